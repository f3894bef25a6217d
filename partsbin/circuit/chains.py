"""A chain of series heaters around its dropper: lamp and shunt, the heater that is gone, the cold start, a diode in front.

The dropper itself is in ``droppers``. A hot heater is taken as the resistor of its rated volts over its rated current;
a real one rises with the current, so that a chain moves less than is said here.
"""

from __future__ import annotations

import numpy as np

from partsbin.circuit._elementwise import Number, elementwise


@elementwise
def chain_volts(*heaters: Number) -> Number:
    """Return what the heaters of a series chain need together.

    Parameters
    ----------
    *heaters : float or array
        Volts of each heater, and of each lamp in the chain [V]

    Returns
    -------
    float or array
        Sum; 0 for an empty chain [V]

    Notes
    -----
    Every part of the chain is rated for the same current; one that is not needs a shunt or has no place in it.

    References
    ----------
    vr-dropper: a chain of 14, 12.6, 14, 45 and 31 V.

    Examples
    --------
    >>> chain_volts(14.0, 12.6, 14.0, 45.0, 31.0)
    116.6
    """
    return sum(heaters, np.zeros(()))


@elementwise
def dropper_watts(mains: Number, heaters: Number, current: Number) -> Number:
    """Return the heat in the dropper of a chain.

    Parameters
    ----------
    mains : float or array
        Mains, RMS [V]
    heaters : float or array
        Sum of the heater volts [V]
    current : float or array
        Current of the chain [A]

    Returns
    -------
    float or array
        Power; less than 0 where the chain needs no dropper [W]

    Notes
    -----
    (Vm - Vh) I. The part fitted is made for at least twice that, and stands where the air moves.

    References
    ----------
    vr-dropper: formula and 12.3 W.

    Examples
    --------
    >>> dropper_watts(240.0, 116.6, 0.1)
    12.34
    """
    return (mains - heaters) * current


@elementwise
def lamp_shunt(lamp_volts: Number, lamp_current: Number, current: Number) -> tuple[Number, Number, Number]:
    """Return the resistor across a dial lamp in a chain, and what happens there when the lamp burns out.

    Parameters
    ----------
    lamp_volts : float or array
        Volts wanted at the lamp [V]
    lamp_current : float or array
        Current that the lamp takes at those volts [A]
    current : float or array
        Current of the chain [A]

    Returns
    -------
    resistance : float or array
        Shunt; inf for a lamp that takes the whole current, NaN for one that wants more [ohm]
    open_volts : float or array
        Volts across the shunt when the lamp is open and the chain current still flows [V]
    open_watts : float or array
        Power of the shunt then, for which it is chosen [W]

    Notes
    -----
    V / (I - Il). Without a shunt an open lamp stops the set.

    References
    ----------
    worked: Ohm's law.

    Examples
    --------
    >>> lamp_shunt(6.3, 0.15, 0.3)
    (42.0, 12.6, 3.78)
    """
    rest = current - lamp_current
    shunt = np.where(rest >= 0, lamp_volts / np.where(rest >= 0, rest, 1.0), np.where(np.isnan(rest), rest, np.nan))
    return shunt, shunt * current, shunt * current**2


@elementwise
def heater_instead(heater_volts: Number, current: Number) -> tuple[Number, Number]:
    """Return the resistor that takes the place of a heater that is gone from a chain.

    Parameters
    ----------
    heater_volts : float or array
        Volts of the missing heater [V]
    current : float or array
        Current of the chain [A]

    Returns
    -------
    resistance : float or array
        Resistor [ohm]
    power : float or array
        Heat in it [W]

    Notes
    -----
    V / I and V I. Cold it has its full resistance, which a heater has not: the others start more gently than before.

    References
    ----------
    worked: Ohm's law.

    Examples
    --------
    >>> heater_instead(31.0, 0.1)
    (310.0, 3.1)
    """
    return heater_volts / current, heater_volts * current


@elementwise
def cold_surge(mains: Number, dropper: Number, heaters: Number, current: Number, cold_ratio: Number) -> Number:
    """Return the current of a chain at the moment of switching on.

    Parameters
    ----------
    mains : float or array
        Mains, RMS [V]
    dropper : float or array
        Resistance of the dropper, of a surge limiter too [ohm]
    heaters : float or array
        Sum of the heater volts at rated current [V]
    current : float or array
        Rated current of the chain [A]
    cold_ratio : float or array
        Hot over cold resistance of a heater, 2.7 to 7.2 [-]

    Returns
    -------
    float or array
        RMS current of the cold chain [A]

    Notes
    -----
    Vm / (R + Vh / (I ratio)). The dropper holds it back: a chain with little to drop suffers most. No heater
    is to pass 1.5 times its volts while the chain warms up.

    References
    ----------
    audioxpress-2004: inrush of heaters 2.7 to 7.2 times the normal current. mullard-outlook-1963: the 1.5 times.

    Examples
    --------
    >>> cold_surge(240.0, 1234.0, 116.6, 0.1, 7.2)
    0.172
    """
    return mains / (dropper + heaters / (current * cold_ratio))


@elementwise
def half_wave_volts(mains: Number) -> Number:
    """Return the RMS volts that a diode in front of a chain leaves of the mains.

    Parameters
    ----------
    mains : float or array
        Mains, RMS [V]

    Returns
    -------
    float or array
        RMS behind the diode [V]

    Notes
    -----
    Vm / sqrt(2), not half: heat goes by the square. A dropper reckoned with half the mains ruins the valves, and so does
    the diode when it fails short.

    References
    ----------
    cool386-diode: 169.7 V of 240 V.

    Examples
    --------
    >>> half_wave_volts(240.0)
    169.7
    """
    return mains / np.sqrt(2)


@elementwise
def capacitive_current(
    mains: Number, capacitance: Number, heaters: Number, current: Number, frequency: Number
) -> Number:
    """Return the current of a chain behind a capacitive dropper.

    Parameters
    ----------
    mains : float or array
        Mains, RMS [V]
    capacitance : float or array
        Capacitor in series, as it is, not as it is marked [F]
    heaters : float or array
        Sum of the heater volts at rated current [V]
    current : float or array
        Rated current of the chain [A]
    frequency : float or array
        Mains frequency [Hz]

    Returns
    -------
    float or array
        RMS current [A]

    Notes
    -----
    Vm / sqrt(Xc**2 + Rh**2). It goes up with the capacitor's tolerance and with the mains frequency.

    References
    ----------
    worked: impedance of a capacitor and a resistor in series.

    Examples
    --------
    >>> capacitive_current(240.0, 1.519e-6, 117.0, 0.1, 50.0)
    0.1
    """
    return mains / np.hypot(1 / (2 * np.pi * frequency * capacitance), heaters / current)
