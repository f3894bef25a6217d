"""The primary of a mains transformer: what it takes, its fuse, the current at switch-on, and volts bucked off the mains."""

from __future__ import annotations

import numpy as np

from partsbin.circuit._elementwise import Number, elementwise

_FILAMENT = 0.55  # power of its volts with which the current of a tungsten filament goes, from memory
_HALVINGS = 40  # of the interval in which the share of the mains lies


@elementwise
def fuse_window(power: Number, mains: Number) -> tuple[Number, Number, Number]:
    """Return the current of a primary, and between which currents its time-lag fuse is rated.

    Parameters
    ----------
    power : float or array
        Power of the transformer [VA]
    mains : float or array
        Mains, RMS [V]

    Returns
    -------
    primary : float or array
        Current at full power, losses left out [A]
    low, high : float or array
        1.5 and 2 times that [A]

    Notes
    -----
    A quick fuse of that size goes at switch-on.

    References
    ----------
    memory: 1.5 to 2 times the current of the primary.

    Examples
    --------
    >>> fuse_window(60.0, 230.0)
    (0.261, 0.391, 0.522)
    """
    primary = power / mains
    return primary, 1.5 * primary, 2 * primary


@elementwise
def inrush_bound(mains: Number, resistance: Number) -> Number:
    """Return the current that a transformer cannot exceed when it is switched on.

    Parameters
    ----------
    mains : float or array
        Mains at its highest, RMS [V]
    resistance : float or array
        Copper of the primary and what is in series with it [ohm]

    Returns
    -------
    float or array
        Crest [A]

    Notes
    -----
    sqrt(2) V / R: the iron saturated, nothing but copper left. It lasts a few milliseconds.

    References
    ----------
    worked: Ohm's law.

    Examples
    --------
    >>> inrush_bound(253.0, 30.0)
    11.9
    """
    return np.sqrt(2) * mains / resistance


@elementwise
def bucked(mains: Number, secondary: Number, current: Number) -> tuple[Number, Number]:
    """Return what a winding in opposition leaves of the mains, and the power that its transformer has to have.

    Parameters
    ----------
    mains : float or array
        Mains, RMS [V]
    secondary : float or array
        Volts of the winding in opposition at this mains and load [V]
    current : float or array
        Current of the set [A]

    Returns
    -------
    left : float or array
        Volts for the set [V]
    power : float or array
        Power of the bucking transformer [VA]

    Notes
    -----
    Connected the wrong way round it adds as much. It does not isolate.

    References
    ----------
    boatanchors-1997: 12 V against 122 to 124 V.

    Examples
    --------
    >>> bucked(122.0, 12.0, 0.5)
    (110.0, 6.0)
    """
    return mains - secondary, secondary * current


@elementwise
def lamp_limited(power: Number, mains: Number, lamp: Number) -> tuple[Number, Number]:
    """Return what flows through a filament lamp in series with a set, and the volts that it leaves to the set.

    Parameters
    ----------
    power : float or array
        Power of the set on the full mains, taken as a resistance [W]
    mains : float or array
        Mains, RMS [V]
    lamp : float or array
        Power of the lamp on the full mains [W]

    Returns
    -------
    current : float or array
        RMS current of both [A]
    left : float or array
        Across the set [V]

    Notes
    -----
    The lamp's current goes as the 0.55 power of its volts: W (1 - x)**0.55 = P x, x the share of the mains left to the set.
    A set is no resistance: below two thirds of the mains its rectifier valve hardly warms, and it draws less.

    References
    ----------
    memory: exponent of a tungsten filament. worked: the two in series.

    Examples
    --------
    >>> lamp_limited(60.0, 230.0, 100.0)
    (0.198, 174.8)
    """
    low, high = np.zeros_like(power * mains * lamp), np.ones_like(power * mains * lamp)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        rises = lamp * (1 - middle) ** _FILAMENT > power * middle
        low, high = np.where(rises, middle, low), np.where(rises, high, middle)
    share = np.where(np.isnan(power * mains * lamp), np.nan, (low + high) / 2)
    return power * share / mains, share * mains
