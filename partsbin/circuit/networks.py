"""Capacitors and resistors in series and in parallel, and how a string of capacitors shares its voltage."""

from __future__ import annotations

import numpy as np

from partsbin.circuit._elementwise import Number, elementwise


@elementwise
def parallel_resistance(*r: Number) -> Number:
    """Return the resistance of resistors in parallel.

    Parameters
    ----------
    *r : float or array
        Each resistance [ohm]

    Returns
    -------
    float or array
        Resistance of all together; inf for none [ohm]

    Notes
    -----
    1 / sum(1 / R).

    References
    ----------
    worked: conductances add.

    Examples
    --------
    >>> parallel_resistance(1e6, 470e3)
    319.7e3
    """
    return 1 / sum((1 / one for one in r), np.float64(0.0))


@elementwise
def series_capacitance(*c: Number) -> Number:
    """Return the capacitance of capacitors in series.

    Parameters
    ----------
    *c : float or array
        Each capacitance [F]

    Returns
    -------
    float or array
        Capacitance of the string; inf for none [F]

    Notes
    -----
    1 / sum(1 / C).

    References
    ----------
    worked: the same charge in each.

    Examples
    --------
    >>> series_capacitance(22e-6, 18e-6)
    9.9e-06
    """
    return parallel_resistance(*c)  # the same sum of reciprocals


@elementwise
def parallel_capacitance(*c: Number) -> Number:
    """Return the capacitance of capacitors in parallel.

    Parameters
    ----------
    *c : float or array
        Each capacitance [F]

    Returns
    -------
    float or array
        Capacitance of all together; 0 for none [F]

    Notes
    -----
    The sum. The lowest voltage rating among them holds for all.

    References
    ----------
    tubel: 0.02 and 0.02 make 0.04, 10 and 10 make 20.

    Examples
    --------
    >>> parallel_capacitance(10e-6, 10e-6)
    2e-05
    """
    return sum(c, np.float64(0.0))


@elementwise
def series_shares(c1: Number, c2: Number, volts: Number) -> Number:
    """Return how two capacitors in series share a voltage that has just been applied.

    Parameters
    ----------
    c1 : float or array
        First capacitance [F]
    c2 : float or array
        Second capacitance [F]
    volts : float or array
        Voltage across both [V]

    Returns
    -------
    tuple of float or array
        Voltage across the first, then across the second [V]

    Notes
    -----
    V C2 / (C1 + C2): the smaller takes the greater share. In the long run leakage or the balance resistors decide.

    References
    ----------
    worked: the same charge in each.

    Examples
    --------
    >>> series_shares(22e-6, 18e-6, 600.0)
    (270.0, 330.0)
    """
    total = c1 + c2
    return volts * c2 / total, volts * c1 / total


@elementwise
def worst_series_share(volts: Number, tolerance: Number, n: Number = 2) -> Number:
    """Return the largest voltage that one of n equal capacitors in series may get.

    Parameters
    ----------
    volts : float or array
        Voltage across the string [V]
    tolerance : float or array
        Tolerance of each part, 0.2 for +/-20 % [-]
    n : float or array
        Number of parts in the string [-]

    Returns
    -------
    float or array
        Voltage across one part at its lower limit, the others at their upper one [V]

    Notes
    -----
    V (1 + t) / (1 + t + (n - 1)(1 - t)).

    References
    ----------
    worked: the same charge in each.

    Examples
    --------
    >>> worst_series_share(600.0, 0.20)
    360.0
    """
    return volts * (1 + tolerance) / (1 + tolerance + (n - 1) * (1 - tolerance))


@elementwise
def balance_resistor(
    rating: Number, bus: Number, leakage_difference: Number, n: Number = 2, tolerance: Number = 0.0
) -> Number:
    """Return the largest resistor across each of n equal capacitors that keeps every one within its rating.

    Parameters
    ----------
    rating : float or array
        Rated voltage of each part [V]
    bus : float or array
        Voltage across the string [V]
    leakage_difference : float or array
        By how much the best part leaks less than each of the others [A]
    n : float or array
        Number of parts in the string, at least 2 [-]
    tolerance : float or array
        Tolerance of each resistor, 0.05 for +/-5 % [-]

    Returns
    -------
    float or array
        Largest nominal resistance; 0 if even equal shares exceed the rating, so that no resistor helps [ohm]

    Notes
    -----
    (n Vr - Vb) / ((n - 1) dI), from the worst case V1 = (Vb + (n - 1) R dI) / n. The form in circulation has dI for
    (n - 1) dI below the line, which is unsafe for more than two parts. With a tolerance t the best part has the largest
    resistor across it and the others the smallest: Vr ((n - 1) / (1 + t) + 1 / (1 - t)) - Vb / (1 - t) above the line.

    References
    ----------
    va1d, itec: two parts; more than two worked here.

    Examples
    --------
    >>> balance_resistor(450.0, 1200.0, 0.5e-3, n=3)
    150e3
    """
    high, low = 1 + tolerance, 1 - tolerance
    return np.maximum(rating * ((n - 1) / high + 1 / low) - bus / low, 0.0) / ((n - 1) * leakage_difference)


@elementwise
def worst_balanced_share(
    volts: Number, leakage_difference: Number, tolerance: Number, own: Number, *others: Number
) -> Number:
    """Return the most volts that one of several capacitors in series gets, with resistors of any values across them.

    Parameters
    ----------
    volts : float or array
        Voltage across the string [V]
    leakage_difference : float or array
        By how much this part may leak less than each of the others [A]
    tolerance : float or array
        Tolerance of each resistor, 0.05 for +/-5 % [-]
    own : float or array
        Resistor across this part [ohm]
    *others : float or array
        Resistor across each of the others [ohm]

    Returns
    -------
    float or array
        Voltage across this part, its resistor at the upper limit, the others' at the lower one [V]

    Notes
    -----
    V1 = R1 (Vb + dI sum(Rj)) / (R1 + sum(Rj)), never more than Vb, of one current through the string: Vk / Rk + Ik is the same
    for all. It grows with R1 and falls with each Rj. Equal resistors give the worst case of `balance_resistor`. What comes
    quickly, at switch-on, the capacitances share: `worst_series_share`.

    References
    ----------
    worked: one current through the string; va1d: the case of two equal resistors.

    Examples
    --------
    >>> worst_balanced_share(800.0, 0.2e-3, 0.0, 500e3, 500e3)
    450.0
    """
    mine, rest = own * (1 + tolerance), sum(others, np.float64(0.0)) * (1 - tolerance)
    return np.minimum(mine * (volts + leakage_difference * rest) / (mine + rest), volts)
