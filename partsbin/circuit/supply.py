"""Direct-current supplies: the off-load peak, the rail under load, the inverse voltage, choke input.

`secondary_rms` is one side of a centre-tapped winding, `series_resistance` all that lies in the path of one charging
pulse: winding, primary as seen from the secondary, surge limiter, rectifier valve. `frequency` is that of the mains.
Ripple and the currents behind it are in ``ripple``, and are offered here too.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from partsbin.circuit._elementwise import Number, elementwise
from partsbin.circuit._pulse import SILICON_DROP, pulse, pulses_a_period
from partsbin.circuit.ripple import (
    capacitor_ripple_current,
    lc_attenuation,
    peak_charging_current,
    rc_attenuation,
    ripple_bound,
    ripple_estimate,
)

__all__ = [
    "Connection",
    "capacitor_ripple_current",
    "choke_input_rail",
    "critical_inductance",
    "lc_attenuation",
    "off_load_from_running",
    "off_load_peak",
    "peak_charging_current",
    "peak_inverse",
    "rail_capacitor_input",
    "rc_attenuation",
    "ripple_bound",
    "ripple_estimate",
]

Connection = Literal["centre-tap", "half-wave", "bridge", "doubler"]

_INVERSE_PEAKS = {"centre-tap": 2, "half-wave": 2, "bridge": 1, "doubler": 2}


@elementwise
def off_load_peak(secondary_rms: Number, *, mains_factor: Number = 1.0, regulation: Number = 0.0) -> Number:
    """Return the voltage to which a capacitor-input supply charges when nothing loads it.

    Parameters
    ----------
    secondary_rms : float or array
        RMS voltage of the winding, one side of the tap, at nominal mains [V]
    mains_factor : float or array
        Highest mains over nominal mains, such as 1.10 [-]
    regulation : float or array
        Rise of the winding from full load to none as a fraction; 0 if `secondary_rms` was read off load [-]

    Returns
    -------
    float or array
        Off-load peak [V]

    Notes
    -----
    sqrt(2) V factor (1 + regulation). The drop of the diode, under 1 V, is left out: the figure errs on the safe side.
    Series resistance does not lower it, since no current flows.

    References
    ----------
    hammond: 1.41 x V off load for capacitor input; the factor and the regulation are our own arithmetic.

    Examples
    --------
    >>> off_load_peak(250.0, mains_factor=1.10, regulation=0.05)
    408.4
    """
    return np.sqrt(2) * secondary_rms * mains_factor * (1 + regulation)


@elementwise
def off_load_from_running(rail: Number, *, choke_input: bool = False) -> Number:
    """Return the off-load peak to reckon with when only the running rail is known.

    Parameters
    ----------
    rail : float or array
        Rail while the set is playing [V]
    choke_input : bool
        Whether the filter starts with a choke [-]

    Returns
    -------
    float or array
        Off-load peak to reckon with [V]

    Notes
    -----
    1.6 x the rail, 2 x behind a choke input. An estimate, and an answer that rests on it says so. With mains 10 % high
    it falls short where the rail runs below 0.69 of the nominal peak, or behind a choke below 0.78 of the RMS voltage:
    such a supply, half-wave with much resistance in its path, needs its winding measured.

    References
    ----------
    practice: the project's own rule, no source.

    Examples
    --------
    >>> off_load_from_running(250.0)
    400.0
    """
    return rail * (2.0 if choke_input else 1.6)


@elementwise
def rail_capacitor_input(
    secondary_rms: Number,
    series_resistance: Number,
    current: Number,
    *,
    half_wave: bool = False,
    diode_drop: Number = SILICON_DROP,
) -> Number:
    """Return the mean rail across the reservoir of a capacitor-input supply under load.

    Parameters
    ----------
    secondary_rms : float or array
        RMS voltage of the winding off load, one side of the tap [V]
    series_resistance : float or array
        Resistance in the path of one charging pulse [ohm]
    current : float or array
        Direct current drawn [A]
    half_wave : bool
        One pulse a period instead of two [-]
    diode_drop : float or array
        Voltage lost in the diodes in the path; for a valve put its resistance into `series_resistance` and 0 here [V]

    Returns
    -------
    float or array
        Mean rail; NaN if the winding cannot deliver the current even into a short circuit [V]

    Notes
    -----
    Vp cos t with sin t - t cos t = k pi I R / Vp, k = 1/2 full-wave and 1 half-wave, Vp = sqrt(2) V - drop. The ripple
    is taken as small and leakage inductance is neglected: 0.3 % above a simulation full-wave, 2 % half-wave, 5 % with a
    small reservoir behind little resistance. Where the reservoir is known, `rectification.capacitor_input` is closer.

    References
    ----------
    worked: mean of the conduction pulse, see `_pulse`; tubeofile: outputs of the EZ40, met within 3 %.

    Examples
    --------
    >>> rail_capacitor_input(250.0, 100.0, 0.060)
    320.1
    """
    peak, angle = pulse(secondary_rms, series_resistance, current, pulses_a_period(half_wave), diode_drop)
    return peak * np.cos(angle)


@elementwise
def peak_inverse(secondary_rms: Number, connection: Connection) -> Number:
    """Return the inverse voltage that each rectifier has to stand with a capacitor behind it.

    Parameters
    ----------
    secondary_rms : float or array
        RMS voltage of the winding at the highest mains, one side of the tap [V]
    connection : {"centre-tap", "half-wave", "bridge", "doubler"}
        How the rectifiers are connected [-]

    Returns
    -------
    float or array
        Peak inverse voltage [V]

    Raises
    ------
    ValueError
        If the connection is none of the four.

    Notes
    -----
    2 sqrt(2) V, in a bridge sqrt(2) V: the capacitor full while the winding stands at its opposite crest.

    References
    ----------
    tubeofile: 1414 V for the AZ1 at 2 x 500 V, 707 V for the EZ41 at 2 x 250 V.

    Examples
    --------
    >>> peak_inverse(250.0, "centre-tap")
    707.1
    """
    try:
        peaks = _INVERSE_PEAKS[connection]
    except KeyError:
        expected = ", ".join(repr(name) for name in _INVERSE_PEAKS)
        raise ValueError(f"unknown connection {connection!r}, expected one of {expected}") from None
    return peaks * np.sqrt(2) * secondary_rms


@elementwise
def choke_input_rail(
    secondary_rms: Number, current: Number, resistance: Number, *, drop: Number = SILICON_DROP
) -> Number:
    """Return the mean rail behind a choke-input filter.

    Parameters
    ----------
    secondary_rms : float or array
        RMS voltage of the winding, one side of the tap [V]
    current : float or array
        Direct current drawn [A]
    resistance : float or array
        Choke and one side of the winding together [ohm]
    drop : float or array
        Voltage lost in the rectifier [V]

    Returns
    -------
    float or array
        Mean rail [V]

    Notes
    -----
    (2 sqrt(2) / pi) V - I R - drop, 0.9003 V off load. Full-wave, and only with at least the critical inductance:
    with less, or with less current, the rail soars towards the peak.

    References
    ----------
    hammond: 0.45 x the whole winding, 0.90 x V for a bridge.

    Examples
    --------
    >>> choke_input_rail(250.0, 0.0522, 300.0)
    208.6
    """
    return 2 * np.sqrt(2) / np.pi * secondary_rms - current * resistance - drop


@elementwise
def critical_inductance(load_resistance: Number, frequency: Number) -> Number:
    """Return the inductance below which a choke-input rail soars.

    Parameters
    ----------
    load_resistance : float or array
        Rail over current, at the smallest current [ohm]
    frequency : float or array
        Frequency of the mains [Hz]

    Returns
    -------
    float or array
        Critical inductance [H]

    Notes
    -----
    R / (6 pi f), full-wave, choke without losses; take the inductance at the current that flows.

    References
    ----------
    memory: R / 942 at 50 Hz.

    Examples
    --------
    >>> critical_inductance(4000.0, 50.0)
    4.24
    """
    return load_resistance / (6 * np.pi * frequency)
