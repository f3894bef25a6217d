"""Heaters on a winding: what they draw together, what volts they stand, what the winding gives them, which tap to take."""

from __future__ import annotations

import numpy as np

from partsbin.circuit._elementwise import Number, elementwise


@elementwise
def heater_sum(*currents: Number) -> Number:
    """Return what heaters and lamps side by side draw from their winding.

    Parameters
    ----------
    *currents : float or array
        Current of each heater and lamp, all of the winding's volts [A]

    Returns
    -------
    float or array
        Sum; 0 for an idle winding [A]

    Notes
    -----
    A winding is wanted that gives at least this, better a tenth more.

    References
    ----------
    worked: sum.

    Examples
    --------
    >>> heater_sum(0.2, 0.3, 0.3, 0.76, 0.6)
    2.16
    """
    return sum(currents, np.zeros(()))


@elementwise
def heater_window(rated: Number, tolerance: Number) -> tuple[Number, Number]:
    """Return the lowest and the highest volts that a heater stands.

    Parameters
    ----------
    rated : float or array
        Volts of the heater [V]
    tolerance : float or array
        Departure allowed as a fraction: 0.07 for long life, 0.10 at the ends of the mains [-]

    Returns
    -------
    low, high : float or array
        Volts [V]

    Notes
    -----
    Beyond a tenth the other ratings of the valve are not to be used in full.

    References
    ----------
    darby-1962: 7 % by British practice, 10 % without serious harm; ge-6x4: 6.3 V within 10 %.

    Examples
    --------
    >>> heater_window(6.3, 0.07)
    (5.86, 6.74)
    """
    return rated * (1 - tolerance), rated * (1 + tolerance)


@elementwise
def tap_for(mains: Number, *taps: Number) -> Number:
    """Return the primary tap to use: the nearest at or above the mains, else the highest there is.

    Parameters
    ----------
    mains : float or array
        Mains as read, RMS [V]
    *taps : float or array
        Volts of each tap [V]

    Returns
    -------
    float or array
        Tap [V]

    Raises
    ------
    ValueError
        If no tap is given.

    Notes
    -----
    A tap above the mains makes every winding a little low, which harms nothing; one below overheats valves and iron. With
    the highest tap below the mains the rise has to be looked at: `mains_windings.heater_volts`.

    References
    ----------
    practice: common practice, no source.

    Examples
    --------
    >>> tap_for(230.0, 200.0, 220.0, 240.0)
    240.0
    """
    if not taps:
        raise ValueError("no tap given, expected the volts of at least one")
    every = np.stack(np.broadcast_arrays(*taps, mains)[:-1])
    above = np.where(every >= mains, every, np.inf).min(axis=0)
    chosen = np.where(np.isinf(above), every.max(axis=0), above)
    return np.where(np.isnan(every.sum(axis=0) + mains), np.nan, chosen)


@elementwise
def volts_at_load(off_load: Number, loaded: Number, at: Number, current: Number) -> Number:
    """Return the volts of a winding under another load than that under which it was read.

    Parameters
    ----------
    off_load : float or array
        Volts of the winding with nothing on it [V]
    loaded : float or array
        Volts of the winding under the load below [V]
    at : float or array
        Load of that reading [A]
    current : float or array
        Load in question [A]

    Returns
    -------
    float or array
        Volts [V]

    Notes
    -----
    A straight line through both readings, taken at the same mains. A winding is never judged off load.

    References
    ----------
    worked: Ohm's law, the winding as a resistor.

    Examples
    --------
    >>> volts_at_load(6.93, 6.3, 2.0, 1.4)
    6.49
    """
    return off_load - (off_load - loaded) * current / at


@elementwise
def heater_settles(off_load: Number, resistance: Number, rated_volts: Number, rated_current: Number) -> Number:
    """Return the volts at which heaters settle on a winding of known resistance.

    Parameters
    ----------
    off_load : float or array
        Volts of the winding with nothing on it [V]
    resistance : float or array
        Winding, primary as seen from there and leads [ohm]
    rated_volts : float or array
        Volts of the heaters [V]
    rated_current : float or array
        Current of all of them at those volts [A]

    Returns
    -------
    float or array
        Volts [V]

    Notes
    -----
    V0 Rh / (Rh + R), with Rh of the hot heaters.

    References
    ----------
    worked: voltage divider.

    Examples
    --------
    >>> heater_settles(6.93, 0.3, 6.3, 2.1)
    6.3
    """
    hot = rated_volts / rated_current
    return off_load * hot / (hot + resistance)


@elementwise
def lead_resistor(volts: Number, rated: Number, current: Number) -> tuple[Number, Number]:
    """Return the resistor in a heater lead that takes up what a winding gives too much.

    Parameters
    ----------
    volts : float or array
        Volts of the winding under this load [V]
    rated : float or array
        Volts of the heater [V]
    current : float or array
        Current of the heater [A]

    Returns
    -------
    resistance : float or array
        Resistor; less than 0 where the winding gives too little [ohm]
    power : float or array
        Heat in it [W]

    Notes
    -----
    (V - Vh) / I. The heater starts more gently behind it.

    References
    ----------
    worked: Ohm's law.

    Examples
    --------
    >>> lead_resistor(6.9, 6.3, 2.16)
    (0.278, 1.3)
    """
    return (volts - rated) / current, (volts - rated) * current
