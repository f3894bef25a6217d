"""Resistors: what they bear by ambient, by element voltage and by section, what they dissipate, what their winding adds."""

from __future__ import annotations

import numpy as np

from partsbin.circuit._elementwise import Number, elementwise

_MU_0 = 4e-7 * np.pi  # H/m
_WHEELER = 0.45  # end correction of a single-layer coil, in diameters


@elementwise
def derated_power(rating: Number, ambient: Number, full_to: Number, zero_at: Number) -> Number:
    """Return the power that a resistor bears in air of a given temperature.

    Parameters
    ----------
    rating : float or array
        Rated power [W]
    ambient : float or array
        Air at the part [°C]
    full_to : float or array
        Temperature up to which the whole rating holds [°C]
    zero_at : float or array
        Temperature at which nothing is left of it, above `full_to` [°C]

    Returns
    -------
    float or array
        Power borne, from 0 to `rating` [W]

    Notes
    -----
    rating (zero_at - ambient) / (zero_at - full_to), held between 0 and the rating. Free air is meant: a neighbour that
    glows, or a body on the board, is not in it.

    References
    ----------
    metal-film, hokuriku: film, whole to 70 °C, nothing at 155 °C; composition: axis to 130 °C.

    Examples
    --------
    >>> derated_power(0.25, 85.0, 70.0, 155.0)
    0.2059
    """
    return rating * np.clip((zero_at - ambient) / (zero_at - full_to), 0.0, 1.0)


@elementwise
def rated_voltage(rating: Number, resistance: Number, limiting: Number) -> Number:
    """Return the continuous voltage that a resistor may have across it, DC or RMS.

    Parameters
    ----------
    rating : float or array
        Rated power [W]
    resistance : float or array
        Resistance [ohm]
    limiting : float or array
        Limiting element voltage of the style; inf if it has none [V]

    Returns
    -------
    float or array
        Rated voltage [V]

    Notes
    -----
    The lesser of sqrt(P R) and the limit of the style. Below the critical resistance the power decides, above it the style.
    Derating with temperature is not in it.

    References
    ----------
    mil39005, mil10509, nat: E = sqrt(P R), never above the maximum of the style.

    Examples
    --------
    >>> rated_voltage(0.25, 1e6, 250.0)
    250.0
    >>> rated_voltage(0.25, 220e3, 250.0)
    234.5
    """
    return np.minimum(np.sqrt(rating * resistance), limiting)


@elementwise
def critical_resistance(rating: Number, limiting: Number) -> Number:
    """Return the resistance above which the limiting element voltage decides and not the power.

    Parameters
    ----------
    rating : float or array
        Rated power [W]
    limiting : float or array
        Limiting element voltage of the style [V]

    Returns
    -------
    float or array
        Critical resistance [ohm]

    Notes
    -----
    V^2 / P.

    References
    ----------
    mil-39005, mil-10509: the two limits; where they meet is worked here.

    Examples
    --------
    >>> critical_resistance(0.5, 350.0)
    245e3
    """
    return limiting**2 / rating


@elementwise
def power_of_current(resistance: Number, current: Number) -> Number:
    """Return the power in a resistor that a current flows through.

    Parameters
    ----------
    resistance : float or array
        Resistance [ohm]
    current : float or array
        Current, DC or RMS [A]

    Returns
    -------
    float or array
        Power [W]

    Notes
    -----
    I^2 R.

    References
    ----------
    worked: Ohm's law.

    Examples
    --------
    >>> power_of_current(10e3, 10e-3)
    1.0
    """
    return current**2 * resistance


@elementwise
def power_of_voltage(resistance: Number, voltage: Number) -> Number:
    """Return the power in a resistor that a voltage stands across.

    Parameters
    ----------
    resistance : float or array
        Resistance [ohm]
    voltage : float or array
        Voltage, DC or RMS [V]

    Returns
    -------
    float or array
        Power [W]

    Notes
    -----
    V^2 / R.

    References
    ----------
    worked: Ohm's law.

    Examples
    --------
    >>> power_of_voltage(1e6, 300.0)
    0.09
    """
    return voltage**2 / resistance


@elementwise
def section_power(rating: Number, section: Number, total: Number) -> Number:
    """Return the power that one section of a tapped resistor bears.

    Parameters
    ----------
    rating : float or array
        Rated power of the whole resistor [W]
    section : float or array
        Resistance of the section [ohm]
    total : float or array
        Resistance of the whole [ohm]

    Returns
    -------
    float or array
        Power of the section [W]

    Notes
    -----
    rating section / total: the current is that of the whole at its full rating. A short section next to idle ones stays
    cooler than this; nothing is credited for that. Sections wound with different wire have their own currents: those go
    before this.

    References
    ----------
    ital: a tapped resistor carries only the pro-rata power.

    Examples
    --------
    >>> section_power(30.0, 200.0, 1000.0)
    6.0
    """
    return rating * section / total


@elementwise
def helix_inductance(turns: Number, diameter: Number, length: Number) -> Number:
    """Return the inductance of a wire-wound resistor whose wire runs round its body in one layer.

    Parameters
    ----------
    turns : float or array
        Turns of wire [-]
    diameter : float or array
        Diameter of the winding [m]
    length : float or array
        Length of the winding [m]

    Returns
    -------
    float or array
        Inductance [H]

    Notes
    -----
    mu0 N^2 (pi d^2 / 4) / (l + 0.45 d), good to a few per cent for windings longer than 0.4 diameters; body without iron.
    Windings laid forth and back (bifilar, crossed) have next to none of it.

    References
    ----------
    memory: end correction of a single-layer coil after H. A. Wheeler, 1928; taylor: a helix has series inductance.

    Examples
    --------
    >>> helix_inductance(100.0, 6e-3, 20e-3)
    15.65e-6
    """
    return _MU_0 * turns**2 * np.pi * diameter**2 / 4 / (length + _WHEELER * diameter)


@elementwise
def impedance_ratio(resistance: Number, inductance: Number, frequency: Number) -> Number:
    """Return the impedance of a resistor with its winding's inductance, over its resistance.

    Parameters
    ----------
    resistance : float or array
        Resistance [ohm]
    inductance : float or array
        Series inductance [H]
    frequency : float or array
        Frequency [Hz]

    Returns
    -------
    float or array
        Impedance over resistance, 1 at DC [-]

    Notes
    -----
    sqrt(1 + (2 pi f L / R)^2). The winding's own capacitance, which resonates with it higher up, is left out.

    References
    ----------
    worked: series R and L.

    Examples
    --------
    >>> impedance_ratio(100.0, 10e-6, 10e6)
    6.362
    """
    return np.sqrt(1 + (2 * np.pi * frequency * inductance / resistance) ** 2)
