"""Rail, ripple and currents of a capacitor-input supply whose reservoir is known, with silicon or with a rectifier valve.

The physics is in ``_steady``. Where the reservoir is not known, ``supply`` and ``ripple`` take it as endless.
"""

from __future__ import annotations

from typing import Literal

import numpy as np

from partsbin.circuit._elementwise import Number, elementwise
from partsbin.circuit._pulse import SILICON_DROP
from partsbin.circuit._steady import steady

__all__ = ["Connection", "capacitor_input", "valve_as_line", "valve_input"]

Connection = Literal["centre-tap", "half-wave", "bridge", "doubler"]

_VALVE_ROUNDS = 4  # the line that stands for the valve, renewed from the crest that it let through
_OFFSET, _SLOPE = 0.17, 0.85  # of drop and of drop over current at the crest: see `valve_as_line`
_MEAN_OFFSET, _MEAN_SLOPE = 0.039, 1.079  # the same for mean and crest: see `valve_input`
_PULSES = {"centre-tap": 2, "half-wave": 1, "bridge": 2, "doubler": 1}
_IN_SERIES = {"bridge": 2}  # rectifiers in the path of one pulse
_WINDING = {
    "centre-tap": np.sqrt(0.5),
    "doubler": np.sqrt(2.0),
}  # RMS of the winding over that of all pulses of a reservoir


def _pulses(connection: str) -> int:
    try:
        return _PULSES[connection]
    except KeyError:
        expected = ", ".join(repr(name) for name in _PULSES)
        raise ValueError(f"unknown connection {connection!r}, expected one of {expected}") from None


@elementwise
def capacitor_input(
    secondary_rms: Number,
    series_resistance: Number,
    current: Number,
    capacitance: Number,
    frequency: Number,
    connection: Connection = "centre-tap",
    *,
    diode_drop: Number = SILICON_DROP,
) -> tuple[Number, Number, Number, Number, Number, Number]:
    """Return rail, ripple and currents of a capacitor-input supply, its reservoir of the size that it has.

    Parameters
    ----------
    secondary_rms : float or array
        RMS voltage of the winding off load, one side of the tap [V]
    series_resistance : float or array
        Resistance in the path of one charging pulse [ohm]
    current : float or array
        Direct current drawn, taken as steady [A]
    capacitance : float or array
        Reservoir; of a doubler each of the two [F]
    frequency : float or array
        Frequency of the mains [Hz]
    connection : {"centre-tap", "half-wave", "bridge", "doubler"}
        How the rectifiers are connected; the doubler is the one whose two reservoirs are charged in turn [-]
    diode_drop : float or array
        Voltage lost in one rectifier; a bridge has two in the path [V]

    Returns
    -------
    rail : float or array
        Mean voltage across the reservoir, of a doubler across both [V]
    ripple : float or array
        Ripple on it, peak to peak [V]
    hum : float or array
        RMS of the ripple's lowest frequency, which is what a filter leaves of it [V]
    crest : float or array
        Crest of the current through a rectifier [A]
    winding : float or array
        RMS current of the winding, one side of the tap [A]
    reservoir : float or array
        RMS ripple current through the reservoir [A]

    Raises
    ------
    ValueError
        If the connection is none of the four.

    Notes
    -----
    The steady state described in `_steady`, within 0.5 % of a simulation. All NaN where the winding cannot deliver the current, or the
    reservoir is so small that the rectifier never rests.

    References
    ----------
    worked: steady state of the pulse, see `_steady`.

    Examples
    --------
    >>> capacitor_input(250.0, 100.0, 0.0782, 32e-6, 50.0)
    (313.1, 17.4, 5.0, 0.389, 0.110, 0.135)
    """
    pulses = _pulses(connection)
    peak = np.sqrt(2) * secondary_rms - diode_drop * _IN_SERIES.get(connection, 1)
    return _supply(peak, series_resistance, current, capacitance, frequency, connection, pulses)


def _supply(
    peak: Number,
    resistance: Number,
    current: Number,
    capacitance: Number,
    frequency: Number,
    connection: str,
    pulses: int,
) -> tuple[Number, Number, Number, Number, Number, Number]:
    peak = np.where(peak > 0, peak, np.nan)
    reservoirs = 2 if connection == "doubler" else 1
    rail, ripple, hum, crest, rms = steady(peak, resistance, current, capacitance, frequency, pulses, reservoirs)
    return rail, ripple, hum, crest, rms * _WINDING.get(connection, 1.0), np.sqrt(np.maximum(rms**2 - current**2, 0.0))


@elementwise
def valve_as_line(crest: Number, valve_volts: Number, valve_current: Number) -> tuple[Number, Number]:
    """Return the fixed drop and the resistance that stand for a rectifier valve while it passes a pulse.

    Parameters
    ----------
    crest : float or array
        Crest of the pulse [A]
    valve_volts : float or array
        Drop of one anode at the current below, from the valve's sheet [V]
    valve_current : float or array
        Current at which the sheet gives that drop [A]

    Returns
    -------
    drop : float or array
        Fixed drop [V]
    resistance : float or array
        Resistance; 0 without a crest [ohm]

    Notes
    -----
    A valve loses volts as the 2/3 power of its current. 0.17 of the drop at the crest, and 0.85 of drop over current
    there, is the straight line that fits this best over a pulse shaped as a parabola, by least squares.

    References
    ----------
    worked: Child's law, least squares over a parabola.

    Examples
    --------
    >>> valve_as_line(0.4, 60.0, 0.125)
    (22.1, 276.9)
    """
    return _line(crest, valve_volts, valve_current, _OFFSET, _SLOPE)


def _line(
    crest: Number, valve_volts: Number, valve_current: Number, offset: float, slope: float
) -> tuple[Number, Number]:
    top = valve_volts * np.cbrt(crest / valve_current) ** 2
    return offset * top, slope * top / np.where(crest == 0, np.inf, crest)


@elementwise
def valve_input(
    secondary_rms: Number,
    series_resistance: Number,
    current: Number,
    capacitance: Number,
    frequency: Number,
    valve_volts: Number,
    valve_current: Number,
    connection: Connection = "centre-tap",
) -> tuple[Number, Number, Number, Number, Number, Number]:
    """Return rail, ripple and currents of a capacitor-input supply with a rectifier valve.

    Parameters
    ----------
    secondary_rms : float or array
        RMS voltage of the winding off load, one side of the tap [V]
    series_resistance : float or array
        Resistance in the path of one charging pulse, without the valve's [ohm]
    current : float or array
        Direct current drawn, taken as steady [A]
    capacitance : float or array
        Reservoir; of a doubler each of the two [F]
    frequency : float or array
        Frequency of the mains [Hz]
    valve_volts : float or array
        Drop of one anode at the current below, from the valve's sheet [V]
    valve_current : float or array
        Current at which the sheet gives that drop [A]
    connection : {"centre-tap", "half-wave", "bridge", "doubler"}
        How the rectifiers are connected [-]

    Returns
    -------
    rail : float or array
        Mean voltage across the reservoir, of a doubler across both [V]
    ripple : float or array
        Ripple on it, peak to peak [V]
    hum : float or array
        RMS of the ripple's lowest frequency, which is what a filter leaves of it [V]
    crest : float or array
        Crest of the current through one anode [A]
    winding : float or array
        RMS current of the winding, one side of the tap [A]
    reservoir : float or array
        RMS ripple current through the reservoir [A]

    Raises
    ------
    ValueError
        If the connection is none of the four.

    Notes
    -----
    `capacitor_input` with a straight line for the valve, renewed until it fits the crest that it lets through. No one line
    does for all: that of `valve_as_line` has the shape of the pulse, hence ripple and RMS; mean and crest are those of a line
    of 0.039 of the drop at the crest and 1.079 of drop over current. These two were fitted to steady states of the valve's own
    law, 6X4 and 5Y3GT in the supplies of the simulator's grid; over 115 other supplies and valves the rail was within 0.2 %, crest,
    ripple and RMS within 0.8 %. Where the valve takes half of the winding's volts: rail 0.5 %, crest 1 %, RMS 2.5 %, ripple 6 %.

    References
    ----------
    worked: as `capacitor_input`; tubeofile: outputs of the EZ40, met within 3 %.

    Examples
    --------
    >>> valve_input(250.0, 125.0, 0.090, 50e-6, 50.0, 21.5, 0.090)
    (264.1, 10.7, 3.3, 0.317, 0.105, 0.118)
    """
    pulses, in_path = _pulses(connection), _IN_SERIES.get(connection, 1)
    winding, valve = np.sqrt(2) * secondary_rms, (valve_volts * in_path, valve_current)
    crest = 3.5 * current
    for _ in range(_VALVE_ROUNDS):
        drop, resistance = _line(crest, *valve, _MEAN_OFFSET, _MEAN_SLOPE)
        path, peak = series_resistance + resistance, winding - drop
        narrow = np.cbrt(3 * np.pi * current * path / (pulses * peak))
        angle = narrow + narrow**3 / 30  # root of area(angle) to a hundredth, near enough for the line
        crest = _crest(peak * (1 - np.cos(angle)) / path, drop, path, series_resistance, *valve)
    load = (current, capacitance, frequency, connection, pulses)
    mean = _supply(peak, path, *load)
    shaped, sloping = _line(crest, *valve, _OFFSET, _SLOPE)
    shape = _supply(winding - shaped, series_resistance + sloping, *load)
    return mean[0], *shape[1:3], _crest(mean[3], drop, path, series_resistance, *valve), *shape[4:]


def _crest(
    crest: Number, drop: Number, path: Number, bare: Number, valve_volts: Number, valve_current: Number
) -> Number:
    """Return the crest that the valve's own law passes at the volts that the line has there: one step of Newton."""
    valve = valve_volts * np.cbrt(crest / valve_current) ** 2
    slope = bare + valve * 2 / 3 / np.where(crest == 0, np.inf, crest)
    return crest + (drop + (path - bare) * crest - valve) / np.where(slope == 0, np.inf, slope)
