"""What restores a rail when the rectifier is another: the resistance in the path of the pulses, and what it has to carry."""

from __future__ import annotations

import numpy as np

from partsbin.circuit._elementwise import Number, elementwise
from partsbin.circuit._pulse import SILICON_DROP, area, pulses_a_period
from partsbin.circuit.ripple import capacitor_ripple_current


@elementwise
def path_resistance_for_rail(
    secondary_rms: Number,
    rail: Number,
    current: Number,
    *,
    half_wave: bool = False,
    diode_drop: Number = SILICON_DROP,
) -> Number:
    """Return the resistance in the path of one charging pulse with which a capacitor-input supply gives a wanted rail.

    Parameters
    ----------
    secondary_rms : float or array
        RMS voltage of the winding off load, one side of the tap [V]
    rail : float or array
        Mean rail wanted under load [V]
    current : float or array
        Direct current drawn [A]
    half_wave : bool
        One pulse a period instead of two [-]
    diode_drop : float or array
        Voltage lost in the diodes in the path [V]

    Returns
    -------
    float or array
        Winding, primary as seen from there and series resistor together; NaN where the rail is above the peak [ohm]

    Notes
    -----
    n Vp (sin t - t cos t) / (pi I) with cos t = V / Vp, n pulses a period: the inverse of `rail_capacitor_input`, with
    its limits.

    References
    ----------
    worked: conduction pulse, see `_pulse`.

    Examples
    --------
    >>> path_resistance_for_rail(250.0, 284.8, 0.060)
    301.3
    """
    peak = np.sqrt(2) * secondary_rms - diode_drop
    share = rail / peak
    angle = np.arccos(np.where((share >= 0) & (share <= 1), share, np.nan))
    return pulses_a_period(half_wave) * peak * area(angle) / (np.pi * current)


@elementwise
def pulse_rms_current(
    secondary_rms: Number,
    series_resistance: Number,
    current: Number,
    *,
    half_wave: bool = False,
    leads: Number = 1,
    diode_drop: Number = SILICON_DROP,
) -> Number:
    """Return the RMS current that a resistor in the path of the charging pulses carries.

    Parameters
    ----------
    secondary_rms : float or array
        RMS voltage of the winding off load, one side of the tap [V]
    series_resistance : float or array
        Resistance in the path of one charging pulse, that resistor included [ohm]
    current : float or array
        Direct current drawn [A]
    half_wave : bool
        One pulse a period instead of two [-]
    leads : float or array
        Resistors that share the pulses: 2 where each anode has its own, else 1 [-]
    diode_drop : float or array
        Voltage lost in the diodes in the path [V]

    Returns
    -------
    float or array
        RMS current of one resistor [A]

    Notes
    -----
    sqrt((I**2 + Ic**2) / leads), Ic the ripple current of the reservoir: its watts are that squared times its ohms, far more
    than those of the direct current.

    References
    ----------
    worked: conduction pulse, see `_pulse`.

    Examples
    --------
    >>> pulse_rms_current(250.0, 300.0, 0.060, leads=2)
    0.0735
    """
    ripple = capacitor_ripple_current(
        secondary_rms, series_resistance, current, half_wave=half_wave, diode_drop=diode_drop
    )
    return np.sqrt((current**2 + ripple**2) / leads)
