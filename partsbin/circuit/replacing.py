"""Silicon in place of a valve or of selenium: what the rail gains, and the resistor that takes it back on either side.

A reservoir of unknown size is given as infinite.
"""

from __future__ import annotations

import numpy as np

from partsbin.circuit._elementwise import Number, elementwise
from partsbin.circuit._pulse import SILICON_DROP, area
from partsbin.circuit.rectification import Connection, capacitor_input, valve_input

_STEPS = 3  # of a secant, from the resistance for an endless reservoir


@elementwise
def gain_over_valve(
    secondary_rms: Number,
    series_resistance: Number,
    current: Number,
    capacitance: Number,
    frequency: Number,
    valve_volts: Number,
    valve_current: Number,
    connection: Connection = "centre-tap",
) -> Number:
    """Return by how much the rail rises when silicon takes the place of a rectifier valve.

    Parameters
    ----------
    secondary_rms : float or array
        RMS voltage of the winding off load, one side of the tap [V]
    series_resistance : float or array
        Resistance in the path of one charging pulse, without the valve's [ohm]
    current : float or array
        Direct current drawn [A]
    capacitance : float or array
        Reservoir [F]
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
    float or array
        Rise of the mean rail at the same current [V]

    Raises
    ------
    ValueError
        If the connection is none of the four.

    Notes
    -----
    A set draws more from a higher rail, so that it rises a little less. Off load nothing changes, but it is there at once.

    References
    ----------
    worked: `rectification.capacitor_input` less `rectification.valve_input`.

    Examples
    --------
    >>> gain_over_valve(250.0, 125.0, 0.060, 32e-6, 50.0, 15.3, 0.060)
    30.0
    """
    silicon = capacitor_input(secondary_rms, series_resistance, current, capacitance, frequency, connection)[0]
    path = (secondary_rms, series_resistance, current, capacitance, frequency)
    return silicon - valve_input(*path, valve_volts, valve_current, connection)[0]


@elementwise
def gain_over_selenium(
    secondary_rms: Number,
    series_resistance: Number,
    current: Number,
    capacitance: Number,
    frequency: Number,
    plates: Number,
    plate_drop: Number,
    connection: Connection = "half-wave",
) -> Number:
    """Return by how much the rail rises when silicon takes the place of a selenium stack.

    Parameters
    ----------
    secondary_rms : float or array
        RMS voltage of the winding or mains, one side of the tap [V]
    series_resistance : float or array
        Resistance in the path of one charging pulse, without the stack's [ohm]
    current : float or array
        Direct current drawn [A]
    capacitance : float or array
        Reservoir [F]
    frequency : float or array
        Frequency of the mains [Hz]
    plates : float or array
        Plates in one arm of the stack [-]
    plate_drop : float or array
        Drop of one plate in use: about 1 when new, up to 5 when aged [V]
    connection : {"centre-tap", "half-wave", "bridge", "doubler"}
        How the rectifiers are connected [-]

    Returns
    -------
    float or array
        Rise of the mean rail at the same current [V]

    Raises
    ------
    ValueError
        If the connection is none of the four.

    Notes
    -----
    The drop of a stack is taken as fixed. It grows with age: the rail when the set was new is the better guide.

    References
    ----------
    selenium-bonkowski: five or six plates at 120 V. memory: the drop of a plate.

    Examples
    --------
    >>> gain_over_selenium(120.0, 30.0, 0.060, 50e-6, 50.0, 6.0, 5.0)
    28.2
    """
    path = (secondary_rms, series_resistance, current, capacitance, frequency, connection)
    return capacitor_input(*path)[0] - capacitor_input(*path, diode_drop=plates * plate_drop)[0]


@elementwise
def resistor_ahead(
    rail: Number,
    secondary_rms: Number,
    series_resistance: Number,
    current: Number,
    capacitance: Number,
    frequency: Number,
    connection: Connection = "centre-tap",
) -> tuple[Number, Number]:
    """Return the resistor ahead of silicon rectifiers that brings the rail to what it was.

    Parameters
    ----------
    rail : float or array
        Mean rail wanted across the reservoir [V]
    secondary_rms : float or array
        RMS voltage of the winding off load, one side of the tap [V]
    series_resistance : float or array
        Resistance in the path of one charging pulse as it is [ohm]
    current : float or array
        Direct current drawn [A]
    capacitance : float or array
        Reservoir [F]
    frequency : float or array
        Frequency of the mains [Hz]
    connection : {"centre-tap", "half-wave", "bridge", "doubler"}
        How the rectifiers are connected: one resistor in each lead of a tapped winding, else one in all [-]

    Returns
    -------
    resistance : float or array
        Each resistor; less than 0 where the rail is too low already, NaN where no resistor does it [ohm]
    power : float or array
        Heat in each; the part fitted is made for at least twice that, and for the pulses [W]

    Raises
    ------
    ValueError
        If the connection is none of the four.

    Notes
    -----
    The resistance for which `rectification.capacitor_input` gives the rail, by a secant; power from the RMS current of the
    pulses, which is more than the direct current. It also holds back the surge, which a resistor behind does not.

    References
    ----------
    worked: `rectification.capacitor_input`.

    Examples
    --------
    >>> resistor_ahead(284.8, 250.0, 125.0, 0.060, 32e-6, 50.0)
    (175.0, 0.945)
    """

    def rail_with(path: Number) -> Number:
        return capacitor_input(secondary_rms, path, current, capacitance, frequency, connection)[0]

    reservoirs, in_path = 2 if connection == "doubler" else 1, 2 if connection == "bridge" else 1
    pulses = 1 if connection in ("half-wave", "doubler") else 2
    peak = np.sqrt(2) * secondary_rms - SILICON_DROP * in_path
    path = _path_for(peak, rail / reservoirs, current, pulses)
    before, after = series_resistance, path
    gave, gives = rail_with(before), rail_with(after)
    for _ in range(_STEPS):
        apart = gives - gave
        slope = np.where(np.abs(apart) > 1e-9, (after - before) / np.where(apart == 0, 1.0, apart), 0.0)
        before, gave = after, gives
        after = after + (rail - gives) * slope
        gives = rail_with(after)
    added = after - series_resistance
    lead = capacitor_input(secondary_rms, after, current, capacitance, frequency, connection)[4]
    return np.where(np.isnan(gives), np.nan, added), lead**2 * added


def _path_for(peak: Number, rail: Number, current: Number, pulses: int) -> Number:
    """Resistance in the path of a pulse that gives a rail across an endless reservoir, NaN where the rail is above the peak."""
    share = rail / peak
    angle = np.arccos(np.where((share >= 0) & (share <= 1), share, np.nan))
    return pulses * peak * area(angle) / (np.pi * current)


@elementwise
def resistor_behind(rail: Number, wanted: Number, current: Number) -> tuple[Number, Number]:
    """Return the resistor behind the reservoir that brings the rail to what it was.

    Parameters
    ----------
    rail : float or array
        Mean rail across the reservoir with silicon [V]
    wanted : float or array
        Rail as it was [V]
    current : float or array
        Direct current drawn [A]

    Returns
    -------
    resistance : float or array
        Resistor; less than 0 where the rail is too low already [ohm]
    power : float or array
        Heat in it; the part fitted is made for at least twice that [W]

    Notes
    -----
    (V - Vw) / I. It smooths a little, and leaves reservoir and rectifier at the higher volts.

    References
    ----------
    0z4-thread: 23.5 V at 90 mA.

    Examples
    --------
    >>> resistor_behind(314.4, 284.7, 0.060)
    (495.0, 1.78)
    """
    return (rail - wanted) / current, (rail - wanted) * current
