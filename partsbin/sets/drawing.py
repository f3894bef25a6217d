"""What the valves of a set draw from its HT: anodes and screens at their listed working points."""

from __future__ import annotations

import math
from typing import NamedTuple

from partsbin.reference.valves import Valve, lineup
from partsbin.words import listed, say

USUAL_VALVE = (
    0.005  # A of HT that a small valve without a working point in the tables draws; common practice, no source
)
SCREEN_SHARES = (("frequency changer", 4.0), ("output", 0.25), ("pentode", 0.4), ("tetrode", 0.4))
"""What screens, and the triode of a frequency changer, draw at most over the anode's current where no table lists them; memory [-]."""
NOTHING_DRAWN = ("indicator", "diode")


class Drawn(NamedTuple):
    """The sum, NaN where no output valve of a known current is among them [A]; its parts, how far each is known, what was taken."""

    amperes: float
    parts: tuple[str, ...]
    standings: tuple[str, ...]
    assumed: tuple[str, ...]
    most: float  # the sum with what screens that no table lists draw at most


def drawn_by(text: str) -> Drawn:
    """Return what the valves of a line-up draw.

    Parameters
    ----------
    text : str
        The line-up.
    """
    total, unlisted, parts, standings, guessed = 0.0, 0.0, [], [], []
    rows = [item for item in lineup(text).valves if not item.valve.is_rectifier]
    for item in rows:
        row = item.valve
        if row.anode_amperes is None and row.kind.split()[-1] in NOTHING_DRAWN:
            continue
        own = USUAL_VALVE if row.anode_amperes is None else row.anode_amperes + (row.screen_amperes or 0.0)
        if row.anode_amperes is None:
            guessed.append(row.type)
        standings.append(row.standing_of("anode_amperes") or "practice")
        total += item.count * own
        unlisted += item.count * unlisted_screens(row)
        parts.append(f"{row.type} {say(item.count * own, 'A')}")
    if not any(item.valve.is_output and item.valve.anode_amperes for item in rows):
        return Drawn(math.nan, (), (), (), math.nan)
    note = (f"{say(USUAL_VALVE, 'A')} of HT taken for {listed(guessed, 'and')}",) if guessed else ()
    return Drawn(total, tuple(parts), tuple(standings), note, total + unlisted)


def unlisted_screens(row: Valve) -> float:
    """Return what the screens of a valve draw at most where the tables list the anode alone [A]."""
    if row.anode_amperes is None or row.screen_amperes is not None or row.kind.endswith(("triode", "rectifier")):
        return 0.0
    return next((share for word, share in SCREEN_SHARES if word in row.kind), 0.0) * row.anode_amperes
