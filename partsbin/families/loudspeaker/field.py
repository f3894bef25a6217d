"""A field coil's stand-in, looked for on the shelf: a smoothing choke, and the resistor that makes up the coil's ohms."""

from __future__ import annotations

import math
from collections.abc import Sequence

from partsbin.circuit.chokes import filter_resistor
from partsbin.families._declare import Beside, Look
from partsbin.needs import Need, Request
from partsbin.notation.preferred import nearest
from partsbin.sets import SetFacts
from partsbin.words import say

USUAL_COPPER = 300.0  # ohm in a smoothing choke of a receiver; common practice, no source
USUAL_CURRENT = 0.065  # A through a field; common practice, no source
USUAL_FIELD = 1200.0  # ohm; common practice, no source
SIZES = (2.0, 3.0, 5.0, 7.0, 10.0, 17.0, 25.0, 50.0)


def in_place_of_a_field(need: Need, look: Look) -> Sequence[Beside]:
    """Name choke and resistor for the field of a need that has one.

    The choke is looked for first: its copper, read or marked, is taken off the field's ohms.
    """
    if not need.has("field_wanted"):
        return ()
    current, field = need.number("current"), need.number("field")
    flows = USUAL_CURRENT if math.isnan(current) else current
    ohms, doubt = (USUAL_FIELD, " (usual: read the dead field)") if math.isnan(field) else (field, "")
    facts = need.facts.having(current=f"{flows:.6g}A")
    choke = Request("choke", "", "smoothing", {}, facts)
    found = look(choke)
    smooths = Beside(f"choke for {say(flows, 'A')}", choke, found)
    copper = math.nan if found is None else found.number("resistance")
    if found is None:
        return (
            smooths,
            _resistor(ohms, flows, f"{say(ohms, 'ohm')}{doubt}, no choke: twice the smoothing behind it", facts, look),
        )
    known = "" if not math.isnan(copper) else f" (taken: read {found.part})"
    copper = USUAL_COPPER if math.isnan(copper) else copper
    made_up = f"{say(ohms, 'ohm')}{doubt} less {say(copper, 'ohm')} of the choke{known}"
    rest = float(filter_resistor(ohms, copper, flows)[0])
    return (smooths,) if rest < 0.05 * ohms else (smooths, _resistor(rest, flows, made_up, facts, look))


def _resistor(ohms: float, flows: float, why: str, facts: SetFacts, look: Look) -> Beside:
    value, heat = float(nearest(ohms)), flows**2 * ohms
    size = next((size for size in SIZES if size >= 2 * heat), 2 * heat)
    request = Request("resistor", f"{value:g} ohm {size:g} W", "field-substitute", {}, facts)
    return Beside(f"resistor {say(value, 'ohm')} {say(size, 'W')} in series, {why}", request, look(request))
