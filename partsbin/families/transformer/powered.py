"""The ways of using iron on the mains: each primary tap, the HT by its tap or as a whole, each winding for the heaters."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import combinations, product

from partsbin.circuit.output import core_power
from partsbin.families._declare import Item, Measured, Option
from partsbin.families.transformer.drawn import drawn
from partsbin.families.transformer.facts import TransformerFacts
from partsbin.families.transformer.told_apart import NOTHING, Side, taps_of, told_apart
from partsbin.reference.substitutes import HEATER_IS_CATHODE
from partsbin.reference.valves import Valve, lineup
from partsbin.rules import Rules, load_rules
from partsbin.words import percent, say, volts

POWERED = ("mains", "heater", "isolating", "auto")
BRIDGED_MOST = 300.0  # V; the whole of a tapped winding that somebody would bridge
WAYS_MOST = 12
ALIKE = 0.1  # of the volts
LEAST = 1e-9  # lower end of a ratio whose uncertainty is more than itself


def is_powered(facts: TransformerFacts) -> bool:
    """Return whether a transformer stands on the mains: by its kind, else by its windings."""
    return facts.kind in POWERED or (facts.kind is None and facts.topology is None and bool(facts.windings))


def powered_options(item: Item) -> Sequence[Option]:
    """Return each way of using iron on the mains."""
    facts: TransformerFacts = item.facts
    rules = load_rules("transformer")
    taps, known = taps_of(facts, rules)
    assumed = [] if known else [f"primary taken as {volts(taps[0])}: not marked"]
    high, low, carried, most = _with_carried(*told_apart(item, max(taps)), item, assumed)
    common = {
        **_common(item, assumed),
        "kind": facts.kind or ("mains" if high else "heater" if low else None),
        "tap_known": float(known),
        "carried": float(carried),
        "carried_most": most,
    }
    uses = list(_uses(high)) or [NOTHING]
    ways = list(_ways(low, bool(high)))[:WAYS_MOST] or [(NOTHING, NOTHING)]
    made = []
    for tap, use, (heater, rectifier) in product(taps, uses, ways):
        notes = list(assumed)
        first = use if use.number or not heater.number else heater
        offers = common | _ratio(item, first, tap, max(taps), rules, notes) | _windings(item, use, heater, rectifier)
        if rectifier.own and item.condition == "new":
            at = volts(rectifier.volts or math.nan)
            notes.append(f"the {at} winding is for a rectifier: insulated for the HT")
        label = (
            f"tap {volts(tap)}" if len(taps) > 1 else "",
            use.label if len(uses) > 1 else "",
            _said(heater, rectifier) if len(ways) > 1 else heater.label,
        )
        made.append(Option(", ".join(filter(None, label)), offers | {"tap": tap}, tuple(notes)))
    return made


def _common(item: Item, assumed: list[str]) -> dict[str, float | str | None]:
    """What every way of using it offers."""
    facts: TransformerFacts = item.facts
    return {
        "condition": item.condition,
        "power": _power(facts, assumed),
        "frequency": facts.frequency,
        "insulation_voltage": facts.insulation_voltage,
        "listed": 1.0 if facts.windings else None,
        "whole": 1.0,
        "primary_resistance": facts.primary_resistance,
        "secondary_resistance": facts.secondary_resistance,
        **_tested(item.readings.get("insulation"), "insulation"),
    }


def _windings(item: Item, use: Side, heater: Side, rectifier: Side) -> dict[str, float | None]:
    return {
        "dc_current": use.current,
        "centre_tapped": use.tapped,
        "heater_volts": heater.volts,
        "heater_current": heater.current,
        "rect_volts": rectifier.volts,
        "rect_current": rectifier.current,
        "rect_own": rectifier.own,
        **_tested(item.readings.get(f"insulation@{rectifier.number}"), "rect_insulation"),
    }


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


def _with_carried(
    high: list[Side], low: list[Side], item: Item, assumed: list[str]
) -> tuple[list[Side], list[Side], bool, float | None]:
    """Give unmarked windings what the valves drew that it served: iron that carried a set bears it.

    Returned too: whether all are so, and what the valves drew at most.
    """
    valves = item.facts.served or item.donor_lineup
    found = lineup(valves)
    load = drawn(found, 0.0)
    if item.facts.kind != "mains" or found.output is None or load.chain:
        return high, low, False, None
    ht = len(high) == 1 and high[0].current is None and load.current > 0
    if ht:
        high = [replace(high[0], current=load.current)]
        assumed.append(f"HT: carried {say(load.current, 'A')} of {valves} (inferred)")
    at, amperes = load.heater
    alike = [side for side in low if side.volts and at and abs(side.volts / at - 1) < ALIKE and not side.own]
    heaters = len(alike) == 1 and alike[0].current is None
    if heaters:
        amperes += _on_the_same(load.rectifier, at) if len(low) == 1 else 0.0
        low = [replace(side, current=amperes) if side is alike[0] else side for side in low]
        assumed.append(f"heaters: carried {say(amperes, 'A')} (inferred)")
    return high, low, ht and heaters, load.most if ht else None


def _on_the_same(rectifier: Valve | None, at: float) -> float:
    """Amperes of a rectifier whose heater stood on the valves' winding, since there is no other [A]."""
    if rectifier is None or not rectifier.heater_volts or rectifier.heater_volts in HEATER_IS_CATHODE:
        return 0.0
    return (rectifier.heater_amperes or 0.0) if abs(rectifier.heater_volts / at - 1) < ALIKE else 0.0


def _ratio(
    item: Item, first: Side, tap: float, whole: float, rules: Rules, notes: list[str]
) -> dict[str, float | None]:
    """Primary in use over the winding looked for: as read on the whole primary, else as marked."""
    reading = first.reading
    if reading is not None:
        value, spread = (figure * tap / whole / first.times for figure in (reading.value, reading.uncertainty))
        return {
            "ratio": value,
            "ratio_low": max(value - spread, min(value, LEAST)),
            "ratio_high": value + spread,
            "measured": 1.0,
        }
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
