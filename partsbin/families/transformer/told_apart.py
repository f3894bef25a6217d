"""The windings of iron on the mains told apart: primary taps, HT, low ones for heaters, the rectifier's among them.

A row of `windings` is the primary if its name says so; up to 60 V it is a low winding, for heaters; above, HT.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from partsbin.families._declare import Item, Measured
from partsbin.families.transformer.facts import TransformerFacts, Winding
from partsbin.rules import Rules

LOW_MOST = 60.0  # V; no heater winding has more
END_TO_END_LEAST = 400.0  # V; a tapped winding marked with more is marked end to end
TAPS_MOST = 8
_SPLIT = re.compile(r"([0-9]+(?:[.,][0-9]+)?) ?V? ?- ?0 ?V? ?- ?\1")
_NUMBER = re.compile(r"[0-9]+(?:\.[0-9]+)?")


@dataclass(frozen=True)
class Side:
    """One winding as it would be used.

    `own` says that it was made to stand at the HT, `number` is its row, `times` how often its turns count.
    """

    volts: float | None
    current: float | None
    number: int
    tapped: float | None = None
    own: float | None = None
    reading: Measured | None = None
    label: str = ""
    times: float = 1.0


NOTHING = Side(None, None, 0)


def taps_of(facts: TransformerFacts, rules: Rules) -> tuple[list[float], bool]:
    """Return the volts of the primary taps, highest first, and whether they are marked; else the usual mains."""
    found: set[float] = set()
    for row in facts.windings:
        if _is_primary(row):
            said = {float(text) for text in _NUMBER.findall(row.taps or "")}
            found |= {tap for tap in said if 90 <= tap <= 300} or ({row.voltage} if row.voltage else set())
    taps = sorted(found, reverse=True)[:TAPS_MOST]
    return (taps, True) if taps else ([float(rules.general("usual_primary"))], False)


def _is_primary(row: Winding) -> bool:
    return (row.name or "").lower().startswith(("pri", "mains", "netz"))


def told_apart(item: Item, whole: float) -> tuple[list[Side], list[Side]]:
    """Return the HT windings and the low ones; a ratio read on a winding (``ratio@3``) tells its volts better than its mark."""
    high, low = [], []
    facts: TransformerFacts = item.facts
    rows = [(number, row) for number, row in enumerate(facts.windings, 1) if not _is_primary(row)]
    for number, row in rows:
        reading = _positive(item.readings.get(f"ratio@{number}"))
        split = _SPLIT.search(f"{row.name or ''} {row.taps or ''}")
        marked = float(split[1].replace(",", ".")) if split and row.voltage is not None else row.voltage
        given = whole / reading.value if reading else marked
        if given is None:
            continue
        side = Side(given, row.current, number, 1.0 if split else 0.0, reading=reading)
        if given > LOW_MOST:
            high.append(_end_to_end(side, facts))
        else:
            made_for_it = "rect" in (row.name or "").lower()
            low.append(replace(side, own=1.0 if made_for_it else None))
    high, low = _as_read(item, high, low, whole)
    return high, [
        replace(side, own=1.0 if high and (side.own or _made_for_a_rectifier(side, low)) else None) for side in low
    ]


def _positive(reading: Measured | None) -> Measured | None:
    """A ratio of nothing is a slip, and no volts follow from it."""
    return reading if reading is not None and reading.value > 0 else None


def _as_read(item: Item, high: list[Side], low: list[Side], whole: float) -> tuple[list[Side], list[Side]]:
    """A ratio without a winding's number is that of the HT, or of the only low winding; a pair tells it where no row does."""
    reading = _positive(item.readings.get("ratio"))
    if not high and not low:
        pair = item.facts.pairs[0].ratio if item.facts.pairs else None
        value = reading.value if reading else pair
        one = [Side(whole / value, None, 1, reading=reading)] if value else []
        return ([], one) if value and whole / value <= LOW_MOST else (one, [])
    if reading is not None and len(high or low) == 1 and not (high or low)[0].reading:
        read = [replace((high or low)[0], volts=whole / reading.value, reading=reading)]
        return (read, low) if high else (high, read)
    return high, low


def _made_for_a_rectifier(side: Side, low: Sequence[Side]) -> bool:
    """5 V beside an HT winding always is; 4 V where another low winding has other volts, or more current at the same."""
    volts, others = side.volts or 0.0, [other for other in low if other is not side]
    if abs(volts / 5.0 - 1) < 0.08:
        return True
    if abs(volts / 4.0 - 1) >= 0.08 or not others:
        return False
    alike = [other for other in others if other.volts and abs(other.volts / volts - 1) < 0.08]
    return all(side.current and other.current and side.current < other.current for other in alike)


def _end_to_end(side: Side, facts: TransformerFacts) -> Side:
    """500 V CT: the trade marks a tapped winding so, and every other line here is a side."""
    if side.tapped or not facts.centre_tapped or not side.volts or side.volts < END_TO_END_LEAST:
        return side
    return replace(side, volts=side.volts / 2, tapped=1.0)
