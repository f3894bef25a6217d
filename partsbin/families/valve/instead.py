"""Another output valve in a socket of its own, looked for on the shelf: what to change stands beside it."""

from __future__ import annotations

from collections.abc import Sequence

from partsbin.families._declare import Beside, Look
from partsbin.needs import Need, Request
from partsbin.reference.rewired import rewired
from partsbin.reference.substitutes import substitute
from partsbin.reference.valves import valve

SHOWN = 2
ITSELF = ("same", "drop-in")  # what was found is the valve asked for, not another near it


def other_valve(need: Need, look: Look) -> Sequence[Beside]:
    """Name the valves of the shelf that do a dead output valve's work once the socket is rewired.

    As plugged in none of them is anything but unfit; rewired none is better than care.
    """
    dead = valve(need.word("socket")) if need.has("socket") else None
    if dead is None or need.position not in ("output", "as-plugged"):
        return ()
    named: list[Beside] = []
    for entry in rewired(dead):
        request = Request("valve", entry.valve.type, need.position, {}, need.facts)
        found = look(request)
        if found is not None and substitute(entry.valve.type, str(found.offers.get("type"))).relation in ITSELF:
            what = f"{entry.valve.type} for {dead.type}, not as plugged in: {'; '.join(entry.changes)}"
            named.append(Beside(what, request, found, instead=True))
        if len(named) == SHOWN:
            break
    return named
