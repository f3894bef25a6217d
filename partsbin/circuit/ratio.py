"""The turns ratio of a transformer: the one wanted, the one measured with its errors, the reading that passes a test.

Words: *ratio* is primary turns to secondary turns. Floats or numpy arrays; a value not known (NaN) makes the result
unknown.
"""

from __future__ import annotations

import numpy as np

from partsbin.circuit._elementwise import Number, elementwise

_GUARD = 1e-9  # of a rounding step: 0.29 / 0.01 must not become 28.999…


@elementwise
def turns_ratio(primary_volts: Number, secondary_volts: Number) -> Number:
    """Return the turns ratio from the volts on both windings, nothing connected to the one not fed.

    Parameters
    ----------
    primary_volts : float or array
        Volts on the primary [V].
    secondary_volts : float or array
        Volts on the secondary [V].

    Returns
    -------
    float or array
        Primary turns to secondary turns [-].

    References
    ----------
    wattkins.com, node 20952: N = Vp / Vs, winding open.

    Examples
    --------
    >>> turns_ratio(20.0, 1.0)
    20.0
    """
    return np.divide(primary_volts, secondary_volts)


@elementwise
def ratio_interval(
    primary_volts: Number, secondary_volts: Number, *, primary_uncertainty: Number, secondary_uncertainty: Number
) -> tuple[Number, Number]:
    """Return the lowest and the highest ratio that two uncertain readings allow.

    Parameters
    ----------
    primary_volts : float or array
        Volts read on the primary [V].
    secondary_volts : float or array
        Volts read on the secondary [V].
    primary_uncertainty : float or array
        Half-width of the primary reading [V].
    secondary_uncertainty : float or array
        Half-width of the secondary reading [V].

    Returns
    -------
    tuple of float or array
        Lowest and highest ratio; the highest is infinite if the secondary reading may be nothing [-].

    Notes
    -----
    Both errors at their worst ends together, not added in quadrature: a limit has to hold at the worst end.

    Examples
    --------
    >>> lo, hi = ratio_interval(230.0, 5.1, primary_uncertainty=2.3, secondary_uncertainty=0.05)
    >>> round(lo, 1), round(hi, 1)
    (44.2, 46.0)
    """
    low = np.divide(np.maximum(primary_volts - primary_uncertainty, 0.0), secondary_volts + secondary_uncertainty)
    return low, np.divide(primary_volts + primary_uncertainty, np.maximum(secondary_volts - secondary_uncertainty, 0.0))


@elementwise
def magnetising_error(
    primary_resistance: Number, magnetising_current: Number, applied: Number
) -> tuple[Number, Number]:
    """Return by how much a ratio reads too high because the magnetising current drops volts in the primary's copper.

    Parameters
    ----------
    primary_resistance : float or array
        Resistance of the fed primary [ohm].
    magnetising_current : float or array
        Current into the primary, secondary open [A].
    applied : float or array
        Volts applied to the primary [V].

    Returns
    -------
    tuple of float or array
        Relative error with the drop in quadrature, and its upper bound with the drop in phase [-].

    Notes
    -----
    The current is nearly reactive, so the turns see V_eff = sqrt(V^2 - (I R)^2); core loss brings part of it into
    phase, down to V - I R at worst. A secondary reading times 1 + error is corrected. Infinite when the drop takes
    all volts.

    References
    ----------
    Worked: a resistance in series with a reactance.

    Examples
    --------
    >>> quadrature, bound = magnetising_error(420.0, 0.015, 20.0)
    >>> round(quadrature, 3), round(bound, 3)
    (0.054, 0.46)
    """
    drop = np.abs(magnetising_current * primary_resistance / applied)
    return 1 / np.sqrt(np.maximum(1 - drop**2, 0.0)) - 1, 1 / np.maximum(1 - drop, 0.0) - 1


@elementwise
def ratio_from_impedances(primary: Number, secondary: Number) -> Number:
    """Return the turns ratio that makes one impedance of the other.

    Parameters
    ----------
    primary : float or array
        Impedance on the primary side [ohm].
    secondary : float or array
        Impedance on the secondary side [ohm].

    Returns
    -------
    float or array
        Primary turns to secondary turns, sqrt(primary / secondary) [-].

    Examples
    --------
    >>> round(ratio_from_impedances(5200.0, 3.0), 1)
    41.6
    """
    return np.sqrt(np.divide(primary, secondary))


@elementwise
def best_ratio(load_wanted: Number, load: Number, primary_resistance: Number, secondary_resistance: Number) -> Number:
    """Return the ratio that shows the valve the load it wants, copper included.

    Parameters
    ----------
    load_wanted : float or array
        Load that the valve wants [ohm].
    load : float or array
        Impedance on the secondary [ohm].
    primary_resistance : float or array
        Resistance of the primary [ohm].
    secondary_resistance : float or array
        Resistance of the secondary [ohm].

    Returns
    -------
    float or array
        sqrt((R - Rp) / (Zs + Rs)); NaN where the primary's copper alone is more than the load wanted [-].

    Examples
    --------
    >>> round(best_ratio(5200.0, 3.0, 420.0, 0.35), 1)
    37.8
    """
    return np.sqrt(np.divide(load_wanted - primary_resistance, load + secondary_resistance))


@elementwise
def secondary_for_ratio(applied: Number, ratio: Number) -> Number:
    """Return the volts on the open secondary when the primary is fed.

    Parameters
    ----------
    applied : float or array
        Volts on the primary [V].
    ratio : float or array
        Primary turns to secondary turns [-].

    Returns
    -------
    float or array
        V / N [V].

    Examples
    --------
    >>> round(secondary_for_ratio(20.0, 37.8), 2)
    0.53
    """
    return np.divide(applied, ratio)


@elementwise
def test_band(applied: Number, ratio_low: Number, ratio_high: Number) -> tuple[Number, Number]:
    """Return the secondary reading that passes, rounded inward so that no reading in it lies outside the ratios.

    Parameters
    ----------
    applied : float or array
        Volts on the primary [V].
    ratio_low : float or array
        One end of the ratios that pass [-].
    ratio_high : float or array
        The other end [-].

    Returns
    -------
    tuple of float or array
        Lowest and highest reading that passes [V].

    Notes
    -----
    Hundredths of a volt; two figures below 0.1 V, four figures above 100 V, more where the band would close; a band too
    narrow even for that is not rounded.

    Examples
    --------
    >>> test_band(20.0, 32.2, 44.0)
    (0.46, 0.62)
    """
    low = np.divide(applied, np.maximum(ratio_low, ratio_high))
    high = np.divide(applied, np.minimum(ratio_low, ratio_high))
    digits = np.floor(np.log10(low))
    decimals = np.minimum(np.maximum(2, 1 - digits), np.minimum(3 - digits, 9))
    lowest, highest = low, high
    for finer in (3, 2, 1, 0):  # the coarsest step that leaves a band comes last and stays
        scale = 10.0 ** (decimals + finer)
        inward_low, inward_high = np.ceil(low * scale - _GUARD) / scale, np.floor(high * scale + _GUARD) / scale
        is_open = inward_low < inward_high
        lowest, highest = np.where(is_open, inward_low, lowest), np.where(is_open, inward_high, highest)
    return lowest, highest


vars(test_band)["__test__"] = False  # the name means a test on the bench, not one for pytest
