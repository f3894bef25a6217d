"""Leakage: what it does to a grid, how much an electrolytic may have, how well a film capacitor must insulate."""

from __future__ import annotations

import numpy as np

from partsbin.circuit._elementwise import Number, elementwise

_OLD_STEPS = (100.0, 250.0, 350.0, 500.0)  # V: rated voltage up to which each slope holds
_OLD_SLOPES = (10.0, 20.0, 25.0, 40.0)  # A/F, printed as 0.01, 0.02, 0.025 and 0.04 mA/µF
_OLD_OFFSET = 0.3e-3  # A
_OLD_CAP = 10e-3  # A: the printed tables stop here
_KNEE = 0.33e-6  # F: above it film is specified by its time constant


@elementwise
def grid_shift(anode: Number, grid_leak: Number, leakage_resistance: Number) -> Number:
    """Return the positive voltage that a leaking coupling capacitor puts on the grid behind it.

    Parameters
    ----------
    anode : float or array
        DC voltage on the driving side [V]
    grid_leak : float or array
        Grid leak [ohm]
    leakage_resistance : float or array
        Insulation resistance of the capacitor at that voltage, warm [ohm]

    Returns
    -------
    float or array
        Shift of the grid [V]

    Notes
    -----
    Va Rg / (Rg + Rl), a plain divider. Grid current, which limits the shift once the bias is gone, is neglected.

    References
    ----------
    worked: divider; mef: 15 nA make 15 mV across 1 Mohm.

    Examples
    --------
    >>> grid_shift(100.0, 470e3, 20e6)
    2.296
    """
    return anode * grid_leak / (grid_leak + leakage_resistance)


@elementwise
def leakage_resistance_needed(anode: Number, grid_leak: Number, shift: Number) -> Number:
    """Return the insulation resistance that keeps the shift of a grid within a limit.

    Parameters
    ----------
    anode : float or array
        DC voltage on the driving side [V]
    grid_leak : float or array
        Grid leak [ohm]
    shift : float or array
        Largest shift allowed [V]

    Returns
    -------
    float or array
        Smallest insulation resistance; 0 where even a short circuit shifts no more [ohm]

    Notes
    -----
    Rg (Va / dV - 1), the inverse of `grid_shift`.

    References
    ----------
    worked: divider.

    Examples
    --------
    >>> leakage_resistance_needed(200.0, 1e6, 0.1)
    1.999e9
    """
    return grid_leak * np.maximum(anode / shift - 1, 0.0)


@elementwise
def leakage_limit_old(capacitance: Number, voltage: Number) -> Number:
    """Return the leakage that the old American rule allows an electrolytic after 2 to 3 minutes.

    Parameters
    ----------
    capacitance : float or array
        Capacitance [F]
    voltage : float or array
        Rated voltage, which is also applied [V]

    Returns
    -------
    float or array
        Largest leakage; NaN above 500 V, where the rule ends [A]

    Notes
    -----
    k C + 0.3 mA with C in microfarads and k = 0.01 to 100 V, 0.02 to 250 V, 0.025 to 350 V, 0.04 above; never more than
    10 mA. The printed table departs from its own formula in places; the formula is used. It allows 10 to 50 times what
    a modern sheet does, so an answer says which limit it took.

    References
    ----------
    amr, boat, tsf: JAN-C-62 rule and table.

    Examples
    --------
    >>> leakage_limit_old(16e-6, 450.0)
    0.94e-3
    """
    bands = [voltage <= step for step in _OLD_STEPS]
    slope = np.select(bands, _OLD_SLOPES, default=np.nan)
    return np.minimum(slope * capacitance + _OLD_OFFSET, _OLD_CAP)


@elementwise
def leakage_limit_modern(capacitance: Number, voltage: Number) -> Number:
    """Return the leakage that a modern electrolytic may have 5 minutes after its rated voltage is applied.

    Parameters
    ----------
    capacitance : float or array
        Capacitance [F]
    voltage : float or array
        Rated voltage, which is also applied [V]

    Returns
    -------
    float or array
        Largest leakage [A]

    Notes
    -----
    0.002 C U + 3 microamperes (C in microfarads), at 20 °C. After long storage it may be a hundred times more at first.

    References
    ----------
    v038: data sheet of a general-purpose type tested to IEC 60384-4, where the limit is left to the sheet.

    Examples
    --------
    >>> leakage_limit_modern(16e-6, 450.0)
    17.4e-6
    """
    return 0.002 * capacitance * voltage + 3e-6


@elementwise
def leakage_limit_two_minutes(capacitance: Number, voltage: Number) -> Number:
    """Return the leakage that a modern electrolytic may have 2 minutes after its rated voltage is applied.

    Parameters
    ----------
    capacitance : float or array
        Capacitance [F]
    voltage : float or array
        Rated voltage, which is also applied [V]

    Returns
    -------
    float or array
        Largest leakage [A]

    Notes
    -----
    0.01 C U or 3 microamperes, whichever is more (C in microfarads), at 20 °C.

    References
    ----------
    v038, pana: data sheets of general-purpose types.

    Examples
    --------
    >>> leakage_limit_two_minutes(16e-6, 450.0)
    72e-6
    """
    return np.maximum(0.01 * capacitance * voltage, 3e-6)


@elementwise
def insulation_floor(capacitance: Number, knee_resistance: Number, time_constant: Number) -> Number:
    """Return the insulation resistance that a new film capacitor must at least have.

    Parameters
    ----------
    capacitance : float or array
        Capacitance [F]
    knee_resistance : float or array
        Resistance that the sheet asks up to 0.33 microfarads [ohm]
    time_constant : float or array
        Product of resistance and capacitance that it asks above, the Mohm x microfarads of the sheet [s]

    Returns
    -------
    float or array
        Least insulation resistance [ohm]

    Notes
    -----
    At 20 to 25 °C after 1 minute at 100 V; it falls with temperature. The two parts need not meet at the knee.

    References
    ----------
    mks4: 30 Gohm and 10 000 s for polyester of 250 V and more; mkp4: 100 Gohm and 30 000 s for polypropylene.

    Examples
    --------
    >>> insulation_floor(0.47e-6, 30e9, 10e3)
    21.3e9
    """
    floor = np.where(capacitance > _KNEE, time_constant / capacitance, knee_resistance)
    return np.where(np.isnan(capacitance + knee_resistance + time_constant), np.nan, floor)
