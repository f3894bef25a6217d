"""The ways of using iron on the mains: each primary tap, the HT by its tap or as a whole, each winding for the heaters.

A row of `windings` is the primary if its name says so; up to 60 V it is a low winding, for heaters; above, HT.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from partsbin.circuit.output import core_power
from partsbin.families._declare import Item, Measured, Option
from partsbin.families.transformer.drawn import Drawn, drawn
from partsbin.families.transformer.facts import TransformerFacts, Winding
from partsbin.reference.valves import lineup
from partsbin.rules import Rules, load_rules
from partsbin.words import percent, say, volts

POWERED = ("mains", "heater", "isolating", "auto")
LOW_MOST = 60.0  # V; no heater winding has more
BRIDGED_MOST = 300.0  # V; the whole of a tapped winding that somebody would bridge
END_TO_END_LEAST = 400.0  # V; a tapped winding marked with more is marked end to end
WAYS_MOST, TAPS_MOST = 12, 8
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


def is_powered(facts: TransformerFacts) -> bool:
    """Return whether a transformer stands on the mains: by its kind, else by its windings."""
    return facts.kind in POWERED or (facts.kind is None and facts.topology is None and bool(facts.windings))


def powered_options(item: Item) -> Sequence[Option]:
    """Return each way of using iron on the mains."""
    facts: TransformerFacts = item.facts
    rules = load_rules("transformer")
    taps, known = _taps(facts, rules)
    assumed = [] if known else [f"primary taken as {volts(taps[0])}: not marked"]
    high, low = _sorted(item, max(taps))
    load = _carried(item, rules)
    high, low = _with_carried(high, low, load, item, assumed)
    uses, ways = list(_uses(high)) or [NOTHING], list(_ways(low, bool(high)))[:WAYS_MOST] or [(NOTHING, NOTHING)]
    power = _power(facts, assumed)
    common = {
        "kind": facts.kind or ("mains" if high else "heater" if low else None),
        "condition": item.condition,
        "power": power,
        "frequency": facts.frequency,
        "insulation_voltage": facts.insulation_voltage,
        "tap_known": float(known),
        "listed": 1.0 if facts.windings else None,
        "carried": float(load is not None),
        "whole": 1.0,
        "primary_resistance": facts.primary_resistance,
        "secondary_resistance": facts.secondary_resistance,
        **_tested(item.readings.get("insulation"), "insulation"),
    }
    made = []
    for tap in taps:
        for use in uses:
            for heater, rectifier in ways:
                notes = list(assumed)
                first = use if use.number or not heater.number else heater
                offers = {**common, **_ratio(item, first, tap, max(taps), rules, notes)}
                offers |= {
                    "tap": tap,
                    "dc_current": use.current,
                    "centre_tapped": use.tapped,
                    "heater_volts": heater.volts,
                    "heater_current": heater.current,
                    "rect_volts": rectifier.volts,
                    "rect_current": rectifier.current,
                    "rect_own": rectifier.own,
                    **_tested(item.readings.get(f"insulation@{rectifier.number}"), "rect_insulation"),
                }
                if rectifier.own and item.condition == "new":
                    notes.append(
                        f"the {volts(rectifier.volts or math.nan)} winding is for a rectifier: insulated for the HT"
                    )
                label = ", ".join(
                    filter(
                        None,
                        (
                            f"tap {volts(tap)}" if len(taps) > 1 else "",
                            use.label if len(uses) > 1 else "",
                            _said(heater, rectifier) if len(ways) > 1 else heater.label,
                        ),
                    )
                )
                made.append(Option(label, offers, tuple(notes)))
    return made


def _taps(facts: TransformerFacts, rules: Rules) -> tuple[list[float], bool]:
    """Volts of the primary taps, highest first; the usual mains where none is marked."""
    found: set[float] = set()
    for row in facts.windings:
        if _is_primary(row):
            said = {float(text) for text in _NUMBER.findall(row.taps or "")}
            found |= {tap for tap in said if 90 <= tap <= 300} or ({row.voltage} if row.voltage else set())
    taps = sorted(found, reverse=True)[:TAPS_MOST]
    return (taps, True) if taps else ([float(rules.general("usual_primary"))], False)


def _is_primary(row: Winding) -> bool:
    return (row.name or "").lower().startswith(("pri", "mains", "netz"))


def _sorted(item: Item, whole: float) -> tuple[list[Side], list[Side]]:
    """The HT windings and the low ones; a ratio read on a winding (``ratio@3``) tells its volts better than its mark."""
    high, low = [], []
    facts: TransformerFacts = item.facts
    rows = [(number, row) for number, row in enumerate(facts.windings, 1) if not _is_primary(row)]
    for number, row in rows:
        reading = item.readings.get(f"ratio@{number}")
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


def _as_read(item: Item, high: list[Side], low: list[Side], whole: float) -> tuple[list[Side], list[Side]]:
    """A ratio without a winding's number is that of the HT, or of the only low winding; a pair tells it where no row does."""
    reading = item.readings.get("ratio")
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


def _uses(high: Sequence[Side]) -> Iterator[Side]:
    """Each HT winding; two alike joined to make a centre tap; the whole of a tapped one of few volts, for a bridge."""
    for side in high:
        twins = [other for other in high if other.volts == side.volts and not other.tapped]
        if len(twins) == 2 and not side.tapped:
            if side is twins[0]:
                yield replace(side, tapped=1.0, label=f"two of {volts(side.volts or 0)} joined")
            continue
        yield replace(side, label=f"HT {volts(side.volts or 0)}" + (" a side" if side.tapped else ""))
        if side.tapped and 2 * (side.volts or 0.0) <= BRIDGED_MOST:
            yield replace(side, volts=2 * (side.volts or 0.0), tapped=0.0, times=2.0, label="whole HT winding, bridged")


def _ways(low: Sequence[Side], beside_ht: bool) -> Iterator[tuple[Side, Side]]:
    """Which winding heats the valves, alone or two together, and which the rectifier."""
    heaters: list[tuple[Side, tuple[int, ...]]] = [
        (side, (side.number,)) for side in low if len(low) == 1 or not side.own
    ]
    for a, b in combinations([side for side in low if not side.own], 2):
        if a.volts and b.volts and abs(a.volts / b.volts - 1) < 0.02:
            both = None if a.current is None or b.current is None else 2 * min(a.current, b.current)
            two, pair = f"two of {say(a.volts, 'V')}", (a.number, b.number)
            heaters.append((replace(a, current=both, label=f"{two} in parallel"), pair))
            single = None if both is None else both / 2
            in_series = replace(a, volts=a.volts + b.volts, current=single, times=2.0, label=f"{two} in series")
            heaters.append((in_series, pair))
    seen = set()
    for heater, used in heaters:
        rest = [side for side in low if side.number not in used] if beside_ht else []
        for rectifier in rest or [NOTHING]:
            alike = (heater.volts, heater.current, heater.label, rectifier.volts, rectifier.current, rectifier.own)
            if alike not in seen or rectifier.reading or heater.reading:
                seen.add(alike)
                yield heater, rectifier


def _said(heater: Side, rectifier: Side) -> str:
    def one(side: Side) -> str:
        return " ".join(
            filter(None, (say(side.volts or math.nan, "V"), say(side.current, "A") if side.current else ""))
        )

    text = heater.label or f"heaters on {one(heater)}"
    return f"{text}, rectifier on {one(rectifier)}" if rectifier.number else text


def _carried(item: Item, rules: Rules) -> Drawn | None:
    """What the valves drew that it served: iron that carried a set bears it."""
    facts: TransformerFacts = item.facts
    found = lineup(facts.served or item.donor_lineup)
    load = drawn(found, 0.0)
    return load if facts.kind == "mains" and found.output is not None and not load.chain else None


def _with_carried(
    high: list[Side], low: list[Side], load: Drawn | None, item: Item, assumed: list[str]
) -> tuple[list[Side], list[Side]]:
    if load is None:
        return high, low
    at, amperes = load.heater
    if len(high) == 1 and high[0].current is None and load.current > 0:
        high = [replace(high[0], current=load.current)]
        assumed.append(f"HT: carried {say(load.current, 'A')} of {item.facts.served or item.donor_lineup} (inferred)")
    alike = [side for side in low if side.volts and abs(side.volts / (at or math.nan) - 1) < 0.1 and not side.own]
    if len(alike) == 1 and alike[0].current is None:
        low = [replace(side, current=amperes) if side is alike[0] else side for side in low]
        assumed.append(f"heaters: carried {say(amperes, 'A')} (inferred)")
    return high, low


def _ratio(
    item: Item, first: Side, tap: float, whole: float, rules: Rules, notes: list[str]
) -> dict[str, float | None]:
    """Primary in use over the winding looked for: as read on the whole primary, else as marked."""
    reading = first.reading
    if reading is not None:
        value, spread = (figure * tap / whole / first.times for figure in (reading.value, reading.uncertainty))
        return {"ratio": value, "ratio_low": max(value - spread, 1e-9), "ratio_high": value + spread, "measured": 1.0}
    if first.volts is None and item.facts.kind == "isolating" and item.facts.windings:
        notes.append("one to one: an isolating transformer with one voltage marked")
        first = replace(first, volts=whole)
    if not first.volts:
        return {"ratio": None, "ratio_low": None, "ratio_high": None, "measured": 0.0}
    value, spread = tap / first.volts, rules.general("ratio_tolerance")
    notes.append(f"volts as marked, ±{percent(spread)}")
    return {"ratio": value, "ratio_low": value * (1 - spread), "ratio_high": value * (1 + spread), "measured": 0.0}


def _power(facts: TransformerFacts, assumed: list[str]) -> float | None:
    if facts.power is not None or facts.core_area is None:
        return facts.power
    power = float(core_power(facts.core_area, facts.frequency or 50.0))
    assumed.append(f"{power:.0f} VA from the core area, first approximation")
    return power


def _tested(reading: Measured | None, name: str) -> dict[str, float | None]:
    if reading is None:
        return {name: None, f"{name}_high": None, f"{name}_volts": None}
    low, high = reading.value - reading.uncertainty, reading.value + reading.uncertainty
    return {name: max(low, 0.0), f"{name}_high": high, f"{name}_volts": reading.conditions.get("volts")}
