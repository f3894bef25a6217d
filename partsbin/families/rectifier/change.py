"""What silicon changes: how far the rail rises, the resistor that restores it on either side, the heater that is gone."""

from __future__ import annotations

import math
from dataclasses import dataclass

from partsbin.circuit.restoring import path_resistance_for_rail, pulse_rms_current
from partsbin.circuit.supply import rail_capacitor_input
from partsbin.families._stress import Draft
from partsbin.notation.preferred import nearest
from partsbin.reference.valves import Valve
from partsbin.rules import Rules
from partsbin.sets import SetFacts, follow
from partsbin.words import say

USUAL_WINDING = 200.0  # ohm a side of the HT winding of a receiver; common practice, no source
SIZES = (0.5, 1.0, 2.0, 3.0, 5.0, 7.0, 10.0, 17.0, 25.0, 50.0)


@dataclass(frozen=True)
class Path:
    """The supply as the pulses see it.

    Parameters
    ----------
    volts : float
        RMS that charge the reservoir, one side of the tap [V].
    resistance : float
        Winding and what is in series with it, the rectifier left out [ohm].
    current : float
        Direct current [A].
    half_wave : bool
        One pulse a period.
    leads : int
        Leads that each need a resistor of their own.
    """

    volts: float
    resistance: float
    current: float
    half_wave: bool
    leads: int


def restore(draft: Draft, facts: SetFacts, rules: Rules, path: Path, *, selenium: bool) -> None:
    """Write down rail before and after, and the resistors on the AC and on the DC side, where the figures allow."""
    if math.isnan(path.volts) or math.isnan(path.current):
        return
    silicon = float(rail_capacitor_input(path.volts, path.resistance, path.current, half_wave=path.half_wave))
    before = _before(draft, facts, rules, path, selenium=selenium)
    if math.isnan(silicon) or math.isnan(before) or before >= silicon:
        if before >= silicon:
            draft.assume(
                f"rail {before:.0f} V is more than silicon gives by these figures ({silicon:.0f} V): read them again"
            )
        return
    draft.put("rail_before", before, "V", "given" if facts.knows("rail") else "worked out with the dead one's drop")
    draft.put("rail_after", silicon, "V", "worked out with silicon")
    whole = float(path_resistance_for_rail(path.volts, before, path.current, half_wave=path.half_wave))
    added = whole - path.resistance
    rms = float(pulse_rms_current(path.volts, whole, path.current, half_wave=path.half_wave, leads=path.leads))
    draft.put(
        "ac_resistor",
        added,
        "ohm",
        "in each lead to the rectifier" if path.leads > 1 else "in the lead to the rectifier",
    )
    draft.put("ac_watts", rms**2 * added, "W", f"{say(rms, 'A')} RMS")
    after = (silicon - before) / path.current
    draft.put("dc_resistor", after, "ohm", "behind the reservoir")
    draft.put("dc_watts", path.current**2 * after, "W", f"{say(path.current, 'A')} DC")


def _before(draft: Draft, facts: SetFacts, rules: Rules, path: Path, *, selenium: bool) -> float:
    """The rail that the set had: as given, else with the dead rectifier's drop."""
    if facts.knows("rail"):
        return facts.number("rail")
    if selenium:
        plates = math.ceil(path.volts / rules.general("plate_volts"))
        drop = plates * rules.general("plate_drop")
        draft.assume(f"{plates} plates that drop {drop:g} V together (from memory): the rail with a good one is better")
        return float(
            rail_capacitor_input(path.volts, path.resistance, path.current, half_wave=path.half_wave, diode_drop=drop)
        )
    valve = follow.VALVE_RESISTANCE
    draft.assume(f"{valve:g} Ω in the dead valve (from memory): the rail with a good one is better")
    return float(
        rail_capacitor_input(
            path.volts, path.resistance + valve, path.current, half_wave=path.half_wave, diode_drop=0.0
        )
    )


def made(ohms: float) -> str:
    """Return the resistor that is made, nearest by ratio."""
    return say(float(nearest(ohms)), "ohm")


def fit(watts: float) -> str:
    """Return the size to fit: at least twice the watts."""
    return say(next((size for size in SIZES if size >= 2 * watts), 2 * watts), "W")


def heater_gone(draft: Draft, row: Valve, chain: bool, rules: Rules) -> None:
    """Write down what the missing heater leaves: a gap in a chain, an idle winding, or a winding relieved."""
    volts, amperes = row.heater_volts, row.heater_amperes
    if not volts or not amperes:
        return
    said = say(volts, "V"), say(amperes, "A")
    if chain:
        text = (
            f"heater of {row.type} gone from the chain: {say(volts / amperes, 'ohm')} in its place, "
            f"{say(volts * amperes, 'W')}: fit {fit(volts * amperes)}"
        )
        draft.put("heater", text, "", f"{said[0]} at {said[1]}")
    elif volts in (4.0, 5.0):
        draft.put(
            "heater_idle",
            f"heater winding of {row.type}, {said[0]}, is left idle: insulate its ends",
            "",
            "own winding",
        )
    else:
        most = volts * (1 + rules.general("heater_rise"))
        text = f"{said[1]} less on the heater winding: read it loaded, {say(most, 'V')} at most, else a resistor in its lead"
        draft.put("heater", text, "", f"{said[0]} shared with the others")
