"""Smoothing chokes: what they drop, their inductance from a reading, choke input, and what replaces one or a field coil.

Rail and critical inductance of a choke-input filter are in ``supply``, the attenuation of a filter in ``ripple``.
"""

from __future__ import annotations

import numpy as np

from partsbin.circuit._elementwise import Number, elementwise


@elementwise
def choke_drop(resistance: Number, current: Number) -> tuple[Number, Number]:
    """Return what the copper of a choke, or of a field coil, takes from the rail.

    Parameters
    ----------
    resistance : float or array
        Resistance of the copper, warm [ohm]
    current : float or array
        Direct current [A]

    Returns
    -------
    volts : float or array
        Drop [V]
    power : float or array
        Heat in it; of a field coil the power that magnetises the loudspeaker [W]

    Notes
    -----
    I R and I**2 R. Copper gains 4 % every 10 K.

    References
    ----------
    philco-field: 1140 ohm at 65 mA.

    Examples
    --------
    >>> choke_drop(1140.0, 0.065)
    (74.1, 4.82)
    """
    return current * resistance, current**2 * resistance


@elementwise
def inductance_from_reading(volts: Number, current: Number, resistance: Number, frequency: Number) -> Number:
    """Return the inductance of a coil from alternating volts across it and the current that they drive.

    Parameters
    ----------
    volts : float or array
        RMS volts across the coil [V]
    current : float or array
        RMS current through it [A]
    resistance : float or array
        Resistance of the copper [ohm]
    frequency : float or array
        Frequency of the volts [Hz]

    Returns
    -------
    float or array
        Inductance; NaN where the copper alone would take more volts [H]

    Notes
    -----
    sqrt((V / I)**2 - R**2) / (2 pi f). Without its direct current a choke shows more than it has in the set.

    References
    ----------
    worked: impedance of a coil and a resistor in series.

    Examples
    --------
    >>> inductance_from_reading(10.0, 1.136e-3, 560.0, 100.0)
    13.98
    """
    return np.sqrt((volts / current) ** 2 - resistance**2) / (2 * np.pi * frequency)


@elementwise
def choke_swing(secondary_rms: Number, inductance: Number, frequency: Number) -> Number:
    """Return by how much the current of an input choke swings above and below the direct current.

    Parameters
    ----------
    secondary_rms : float or array
        RMS voltage of the winding, one side of the tap [V]
    inductance : float or array
        Inductance at the direct current that flows [H]
    frequency : float or array
        Frequency of the mains [Hz]

    Returns
    -------
    float or array
        Crest of the alternating part; the rectifier's crest is the direct current and this [A]

    Notes
    -----
    (4 sqrt(2) / 3 pi) V / (4 pi f L): the lowest frequency of a full-wave rectified winding, all of it across the choke.
    It is also the direct current below which the rail soars: the choke runs dry.

    References
    ----------
    worked: Fourier series of the rectified sine; capacitor large against the choke.

    Examples
    --------
    >>> choke_swing(250.0, 10.0, 50.0)
    0.0239
    """
    return 4 * np.sqrt(2) / (3 * np.pi) * secondary_rms / (4 * np.pi * frequency * inductance)


@elementwise
def choke_input_ripple(secondary_rms: Number, inductance: Number, capacitance: Number, frequency: Number) -> Number:
    """Return the ripple behind a choke-input filter.

    Parameters
    ----------
    secondary_rms : float or array
        RMS voltage of the winding, one side of the tap [V]
    inductance : float or array
        Inductance at the direct current that flows [H]
    capacitance : float or array
        Capacitor behind the choke [F]
    frequency : float or array
        Frequency of the mains [Hz]

    Returns
    -------
    float or array
        Ripple, peak to peak [V]

    Notes
    -----
    Twice the crest of the lowest frequency of the rectified winding over |w**2 L C - 1|, w of twice the mains; it needs at
    least the critical inductance.

    References
    ----------
    worked: Fourier series of the rectified sine.

    Examples
    --------
    >>> choke_input_ripple(250.0, 10.0, 32e-6, 50.0)
    2.39
    """
    left = np.abs((4 * np.pi * frequency) ** 2 * inductance * capacitance - 1)
    return 8 * np.sqrt(2) / (3 * np.pi) * secondary_rms / left


@elementwise
def filter_resistor(old: Number, new: Number, current: Number) -> tuple[Number, Number]:
    """Return the resistor that makes a new choke drop as many volts as the coil that it replaces.

    Parameters
    ----------
    old : float or array
        Resistance of the field coil or choke that is gone [ohm]
    new : float or array
        Resistance of the choke fitted, 0 for a resistor alone [ohm]
    current : float or array
        Direct current [A]

    Returns
    -------
    resistance : float or array
        Resistor in series; less than 0 where the new choke has too much [ohm]
    power : float or array
        Heat in it; the part fitted is made for twice that [W]

    Notes
    -----
    R - Rn and I**2 (R - Rn): the rail stays as it was, and with it bias that was taken from the coil.

    References
    ----------
    canadianvintageradio-6440: choke and resistor with the resistance of the coil.

    Examples
    --------
    >>> filter_resistor(1140.0, 300.0, 0.065)
    (840.0, 3.55)
    """
    return old - new, current**2 * (old - new)


@elementwise
def capacitance_without_choke(
    inductance: Number, capacitance: Number, resistance: Number, ripple_frequency: Number
) -> Number:
    """Return the smoothing capacitor with which a resistor smooths as well as the choke did.

    Parameters
    ----------
    inductance : float or array
        Inductance of the choke or field coil at its direct current [H]
    capacitance : float or array
        Capacitor behind it [F]
    resistance : float or array
        Resistor in its place [ohm]
    ripple_frequency : float or array
        Twice the mains frequency full-wave, the mains frequency half-wave [Hz]

    Returns
    -------
    float or array
        Capacitance; 0 where the choke made the ripple worse [F]

    Notes
    -----
    sqrt((w**2 L C - 1)**2 - 1) / (w R), for the lowest frequency of the ripple.

    References
    ----------
    worked: both voltage dividers set equal.

    Examples
    --------
    >>> capacitance_without_choke(10.0, 32e-6, 1000.0, 100.0)
    199.4e-6
    """
    turn = 2 * np.pi * ripple_frequency
    left = turn**2 * inductance * capacitance - 1
    return np.sqrt(np.maximum(left**2 - 1, 0.0)) * np.where(left < 0, 0.0, 1.0) / (turn * resistance)
