"""What silicon changes: how far the rail rises, the resistor that restores it on either side, the heater that is gone."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from partsbin.circuit.rectification import capacitor_input
from partsbin.circuit.replacing import resistor_ahead, resistor_behind
from partsbin.families._declare import Beside, Look
from partsbin.families._stress import Draft
from partsbin.needs import Need, Request
from partsbin.notation.preferred import nearest
from partsbin.reference.valves import Valve
from partsbin.rules import Rules
from partsbin.sets import SetFacts
from partsbin.sets.charging import Supply
from partsbin.words import say

USUAL_WINDING = 200.0  # ohm a side of the HT winding of a receiver; common practice, no source
SIZES = (0.5, 1.0, 2.0, 3.0, 5.0, 7.0, 10.0, 17.0, 25.0, 50.0)


def restore(draft: Draft, facts: SetFacts, rules: Rules, supply: Supply, *, selenium: bool) -> None:
    """Write down rail before and after, and the resistors on the AC and on the DC side, where the figures allow.

    `supply` is that of the set with the dead rectifier in it.
    """
    if not supply.known:
        return
    silicon = supply.rectified_by("silicon").charged().rail
    before = _before(draft, facts, rules, supply, selenium=selenium)
    if math.isnan(silicon) or math.isnan(before) or before >= silicon:
        if before >= silicon:
            draft.assume(
                f"rail {before:.0f} V is more than silicon gives by these figures ({silicon:.0f} V): read them again"
            )
        return
    draft.put("rail_before", before, "V", "given" if facts.knows("rail") else "worked out with the dead one's drop")
    draft.put("rail_after", silicon, "V", "worked out with silicon")
    path = (supply.volts, supply.resistance, supply.current, supply.reservoir, supply.frequency)
    ahead, hot = (float(value) for value in resistor_ahead(before, *path, supply.connection))
    each = "in each lead to the rectifier" if supply.connection == "centre-tap" else "in the lead to the rectifier"
    draft.put("ac_resistor", ahead, "ohm", each)
    draft.put("ac_watts", hot, "W", f"{say(math.sqrt(hot / ahead), 'A')} RMS")
    behind, warm = (float(value) for value in resistor_behind(silicon, before, supply.current))
    draft.put("dc_resistor", behind, "ohm", "behind the reservoir")
    draft.put("dc_watts", warm, "W", f"{say(supply.current, 'A')} DC")


def _before(draft: Draft, facts: SetFacts, rules: Rules, supply: Supply, *, selenium: bool) -> float:
    """The rail that the set had: as given, else with the dead rectifier's drop."""
    if facts.knows("rail"):
        return facts.number("rail")
    if selenium:
        plates = math.ceil(supply.volts / rules.general("plate_volts"))
        drop = plates * rules.general("plate_drop")
        draft.assume(f"{plates} plates that drop {drop:g} V together (from memory): the rail with a good one is better")
        path = (supply.volts, supply.resistance, supply.current, supply.reservoir, supply.frequency)
        return float(capacitor_input(*path, supply.connection, diode_drop=drop)[0])
    dead = supply if supply.has_valve else replace(supply, rectifier="valve")
    draft.assume(f"{dead.of_the_rectifier()}: the rail with a good one is better")
    return dead.charged().rail


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


TRIMMED = 0.2
"""How far from the ohms that restore the rail a resistor may be, to be trimmed on the set, common practice, no source [-]."""


def restored_with(need: Need, look: Look) -> Sequence[Beside]:
    """Name the resistor that restores the rail, in the lead or leads to the rectifier, from the shelf."""
    if not need.has("ac_resistor"):
        return ()
    ohms, watts = need.number("ac_resistor"), fit(need.number("ac_watts"))
    facts = need.facts if need.facts.knows("current") else need.facts.having(current=f"{need.number('current'):.6g}A")
    request = Request("resistor", f"{float(nearest(ohms)):g} ohm {watts}", "surge-limiter", {}, facts)
    each = "each of two, " if need.word("connection") in ("centre-tap", "") else ""
    where = need.fields["ac_resistor"].origin
    found = look(request)
    if found is not None and not abs(found.number("resistance") / ohms - 1) <= TRIMMED:
        found = None  # it would do as a surge limiter, and leave the rail elsewhere
    return (Beside(f"resistor {made(ohms)} {watts}, {each}{where}", request, found),)
