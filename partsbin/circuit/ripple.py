"""Ripple of a supply: the pulses that recharge the reservoir, what they leave across it, what a filter takes away.

`secondary_rms` is one side of a centre-tapped winding, `series_resistance` all that lies in the path of one charging
pulse: winding, primary as seen from the secondary, surge limiter, rectifier valve.
"""

from __future__ import annotations

import numpy as np

from partsbin.circuit._elementwise import Number, elementwise
from partsbin.circuit._pulse import SILICON_DROP, area, pulse, pulses_a_period


@elementwise
def peak_charging_current(
    secondary_rms: Number,
    series_resistance: Number,
    current: Number,
    *,
    half_wave: bool = False,
    diode_drop: Number = SILICON_DROP,
) -> Number:
    """Return the crest of the pulses that recharge the reservoir.

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
        Voltage lost in the diodes in the path [V]

    Returns
    -------
    float or array
        Crest of the charging current; inf without any resistance [A]

    Notes
    -----
    (Vp - Vdc) / R, same model and limits as `rail_capacitor_input`. The surge at switch-on is larger: up to Vp / R.

    References
    ----------
    worked: conduction pulse, see `_pulse`.

    Examples
    --------
    >>> peak_charging_current(250.0, 100.0, 0.060)
    0.327
    """
    pulses = pulses_a_period(half_wave)
    _, angle = pulse(secondary_rms, series_resistance, current, pulses, diode_drop)
    crest = current * np.pi / pulses * (1 - np.cos(angle)) / area(angle)
    return np.where(angle == 0, np.where(current > 0, np.inf, 0.0), crest)


@elementwise
def capacitor_ripple_current(
    secondary_rms: Number,
    series_resistance: Number,
    current: Number,
    *,
    half_wave: bool = False,
    diode_drop: Number = SILICON_DROP,
) -> Number:
    """Return the RMS alternating current that the reservoir has to carry.

    Parameters
    ----------
    secondary_rms : float or array
        RMS voltage of the winding off load, one side of the tap [V]
    series_resistance : float or array
        Resistance in the path of one charging pulse [ohm]
    current : float or array
        Direct current drawn, taken as steady [A]
    half_wave : bool
        One pulse a period instead of two [-]
    diode_drop : float or array
        Voltage lost in the diodes in the path [V]

    Returns
    -------
    float or array
        RMS ripple current through the reservoir; inf without any resistance [A]

    Notes
    -----
    sqrt(mean square of the pulses - I**2), where the mean square is I**2 (pi / 2n) (t + 2 t cos(t)**2 - 3 sin t cos t)
    / (sin t - t cos t)**2 for n pulses a period. Audio current drawn by the output stage comes on top.

    References
    ----------
    worked: conduction pulse, see `_pulse`.

    Examples
    --------
    >>> capacitor_ripple_current(250.0, 100.0, 0.060)
    0.110
    """
    pulses = pulses_a_period(half_wave)
    _, angle = pulse(secondary_rms, series_resistance, current, pulses, diode_drop)
    sine, cosine = np.sin(angle), np.cos(angle)
    mean_square = np.pi / (2 * pulses) * (angle * (1 + 2 * cosine**2) - 3 * sine * cosine) / area(angle) ** 2
    return np.where(angle == 0, np.where(current > 0, np.inf, 0.0), current * np.sqrt(mean_square - 1))


@elementwise
def ripple_bound(current: Number, capacitance: Number, frequency: Number, *, half_wave: bool = False) -> Number:
    """Return the peak-to-peak ripple that a reservoir cannot exceed.

    Parameters
    ----------
    current : float or array
        Direct current drawn [A]
    capacitance : float or array
        Reservoir capacitance [F]
    frequency : float or array
        Frequency of the mains [Hz]
    half_wave : bool
        One pulse a period instead of two [-]

    Returns
    -------
    float or array
        Upper bound of the ripple, peak to peak [V]

    Notes
    -----
    I / (n f C): the capacitor alone feeds the load all the time, as if it were recharged in no time.

    References
    ----------
    worked: charge over capacitance.

    Examples
    --------
    >>> ripple_bound(0.060, 32e-6, 50.0)
    18.75
    """
    return current / (pulses_a_period(half_wave) * frequency * capacitance)


@elementwise
def ripple_estimate(
    current: Number,
    capacitance: Number,
    frequency: Number,
    secondary_rms: Number,
    series_resistance: Number,
    *,
    half_wave: bool = False,
) -> Number:
    """Return the peak-to-peak ripple to expect across a reservoir.

    Parameters
    ----------
    current : float or array
        Direct current drawn [A]
    capacitance : float or array
        Reservoir capacitance [F]
    frequency : float or array
        Frequency of the mains [Hz]
    secondary_rms : float or array
        RMS voltage of the winding off load, one side of the tap [V]
    series_resistance : float or array
        Resistance in the path of one charging pulse [ohm]
    half_wave : bool
        One pulse a period instead of two [-]

    Returns
    -------
    float or array
        Ripple, peak to peak [V]

    Notes
    -----
    The reservoir rises only while the pulse exceeds the load current, within u on either side of the crest, where
    cos u = cos t + I R / Vp. That makes the bound times (sin u - u cos u) / (sin t - t cos t). Silicon, 0.8 V.
    Within 4 % of a simulation up to a ripple of a fifth of the rail.

    References
    ----------
    worked: conduction pulse, see `_pulse`.

    Examples
    --------
    >>> ripple_estimate(0.0782, 32e-6, 50.0, 250.0, 100.0)
    17.4
    """
    peak, angle = pulse(secondary_rms, series_resistance, current, pulses_a_period(half_wave), SILICON_DROP)
    rising = np.arccos(np.cos(angle) + current * series_resistance / peak)
    share = np.where(angle == 0, 1.0, area(rising) / area(angle))
    return ripple_bound(current, capacitance, frequency, half_wave=half_wave) * share


@elementwise
def lc_attenuation(inductance: Number, capacitance: Number, ripple_frequency: Number) -> Number:
    """Return by what factor a choke and a capacitor lower the ripple.

    Parameters
    ----------
    inductance : float or array
        Inductance of the choke at its direct current [H]
    capacitance : float or array
        Capacitance behind it [F]
    ripple_frequency : float or array
        Twice the mains frequency full-wave, the mains frequency half-wave [Hz]

    Returns
    -------
    float or array
        Ripple before over ripple after; below 1 the filter resonates and makes it worse [-]

    Notes
    -----
    |w**2 L C - 1| for the fundamental; its harmonics are lowered more. Losses and the load are neglected.

    References
    ----------
    worked: voltage divider.

    Examples
    --------
    >>> lc_attenuation(10.0, 8e-6, 100.0)
    30.6
    """
    return np.abs((2 * np.pi * ripple_frequency) ** 2 * inductance * capacitance - 1)


@elementwise
def rc_attenuation(resistance: Number, capacitance: Number, ripple_frequency: Number) -> Number:
    """Return by what factor a resistor and a capacitor lower the ripple.

    Parameters
    ----------
    resistance : float or array
        Series resistance [ohm]
    capacitance : float or array
        Capacitance behind it [F]
    ripple_frequency : float or array
        Twice the mains frequency full-wave, the mains frequency half-wave [Hz]

    Returns
    -------
    float or array
        Ripple before over ripple after [-]

    Notes
    -----
    sqrt(R**2 + Xc**2) / Xc for the fundamental; its harmonics are lowered more. The load is neglected.

    References
    ----------
    worked: voltage divider.

    Examples
    --------
    >>> rc_attenuation(1000.0, 32e-6, 100.0)
    20.1
    """
    return np.hypot(1.0, 2 * np.pi * ripple_frequency * resistance * capacitance)
