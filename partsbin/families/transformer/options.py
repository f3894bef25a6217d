"""The ways of using a transformer: each winding pair, with the whole primary or half of it; iron on the mains has its own."""

from __future__ import annotations

import math
from collections.abc import Sequence

from partsbin.circuit.output import core_power
from partsbin.circuit.ratio import ratio_from_impedances
from partsbin.families._declare import (
    Item,
    Measured,
    Option,
)
from partsbin.families.transformer.facts import Pair, TransformerFacts
from partsbin.families.transformer.powered import is_powered, powered_options
from partsbin.reference.valves import Valve, lineup
from partsbin.rules import Rules, load_rules
from partsbin.words import percent, say

SPLIT_BEHIND = ("interstage", "driver")
"""Kinds whose centre tap is that of the secondary."""


def options(item: Item) -> Sequence[Option]:
    """Return each winding pair, with the whole primary and, where it has a centre tap, with half of it."""
    facts: TransformerFacts = item.facts
    if is_powered(facts):
        return powered_options(item)
    pairs = facts.pairs or (Pair(),)
    made = []
    for index, pair in enumerate(pairs):
        name = _pair_name(pair, index, len(pairs))
        made.append(_option(item, pair, index, name, half=False))
        if facts.centre_tapped and facts.kind not in SPLIT_BEHIND:
            made.append(_option(item, pair, index, f"{name}, half the primary".removeprefix(", "), half=True))
    return made


def _pair_name(pair: Pair, index: int, count: int) -> str:
    if (pair.primary, pair.secondary) not in ((None, None), ("primary", "secondary")):
        return f"{pair.primary or 'primary'} to {pair.secondary or 'secondary'}"
    if count == 1:
        return ""
    if pair.secondary_impedance:
        return f"tap {say(pair.secondary_impedance, 'ohm')}"
    return f"tap {pair.ratio:.3g}:1" if pair.ratio else f"pair {index + 1}"


def _option(item: Item, pair: Pair, index: int, label: str, *, half: bool) -> Option:
    facts: TransformerFacts = item.facts
    rules = load_rules("transformer")
    assumed: list[str] = []
    share = 0.5 if half else 1.0
    reading = item.readings.get(f"ratio@{index + 1}") or (item.readings.get("ratio") if index == 0 else None)
    ratio, low, high = _ratio(pair, reading, rules, assumed)
    rp = _resistance(item, "primary_resistance", pair.primary_resistance)
    rs = _resistance(item, "secondary_resistance", pair.secondary_resistance)
    gapped, current, carried = _standing(item, rules, assumed)
    insulation = item.readings.get("insulation")
    power = _power(facts, current, gapped, carried, rules, assumed)
    times = share if ratio is not None else math.nan
    return Option(
        label,
        {
            "ratio": None if ratio is None else ratio * times,
            "ratio_low": None if low is None else low * times,
            "ratio_high": None if high is None else high * times,
            "measured": 1.0 if reading else 0.0,
            "primary_resistance": None if rp is None else rp * share,
            "secondary_resistance": rs,
            "dc_current": current,
            "gapped": gapped,
            "carried": float(carried is not None),
            "centre_tapped": _tapped(item, assumed),
            "whole": 0.0 if half else 1.0,
            "kind": facts.kind or ("output" if facts.topology else None),
            "condition": item.condition,
            "power": power,
            "insulation": max(insulation.value - insulation.uncertainty, 0.0) if insulation else None,
            "insulation_high": insulation.value + insulation.uncertainty if insulation else None,
            "line_voltage": facts.line_voltage,
            "insulation_volts": insulation.conditions.get("volts") if insulation else None,
            "primary_inductance": _resistance(item, "primary_inductance", None),
        },
        tuple(assumed),
    )


def _tapped(item: Item, assumed: list[str]) -> float | None:
    """Whether the primary has a centre tap: a new one sold for push-pull has; the leads of an old one are counted."""
    facts: TransformerFacts = item.facts
    if facts.centre_tapped is not None:
        return float(facts.centre_tapped)
    if item.condition == "new" and facts.topology == "push-pull" and facts.kind in (None, "output"):
        assumed.append("push-pull, so with a centre tap")
        return 1.0
    return None


def _power(
    facts: TransformerFacts,
    current: float | None,
    gapped: float | None,
    carried: Valve | None,
    rules: Rules,
    assumed: list[str],
) -> float | None:
    """Watts as marked, else what the valve it served gave, else from the iron or the standing current it was built for."""
    if facts.power is not None:
        return facts.power
    if carried is not None and carried.output_watts:
        return carried.output_watts
    if facts.core_area is not None:
        power = float(core_power(facts.core_area, facts.frequency or 50.0)) * (0.5 if gapped == 1.0 else 1.0)
        assumed.append(f"power {say(power, 'W')} from the core area")
        return power
    if current is not None and gapped == 1.0:
        power = current * float(rules.general("watts_an_ampere"))
        assumed.append(f"power {say(power, 'W')} from the standing current")
        return power
    return None


def _ratio(
    pair: Pair, reading: Measured | None, rules: Rules, assumed: list[str]
) -> tuple[float | None, float | None, float | None]:
    if reading is not None:
        return reading.value, reading.value - reading.uncertainty, reading.value + reading.uncertainty
    ratio = pair.ratio
    if ratio is None and pair.primary_impedance and pair.secondary_impedance:
        ratio = float(ratio_from_impedances(pair.primary_impedance, pair.secondary_impedance))
    if ratio is None:
        return None, None, None
    spread = rules.general("ratio_tolerance")
    assumed.append(f"ratio as marked, ±{percent(spread)}")
    return ratio, ratio * (1 - spread), ratio * (1 + spread)


def _resistance(item: Item, name: str, own: float | None) -> float | None:
    reading = item.readings.get(name)
    return reading.value if reading else own if own is not None else getattr(item.facts, name)


def _standing(item: Item, rules: Rules, assumed: list[str]) -> tuple[float | None, float | None, Valve | None]:
    """Gap, standing current the iron bears and the valve it carried: marked, else what that valve drew, else a closed core's."""
    facts: TransformerFacts = item.facts
    gapped, current, carried = facts.gapped, facts.dc_current, None
    served = lineup(facts.served or item.donor_lineup).output
    if gapped is None and facts.topology is not None:
        gapped = facts.topology == "single-ended"
        assumed.append("single-ended, so gapped" if gapped else "push-pull, so not gapped")
    single = served is not None and served.count == 1 and not facts.centre_tapped and facts.kind in (None, "output")
    if served is not None and single and gapped is not False and current is None and served.valve.anode_amperes:
        carried, current, gapped = served.valve, served.valve.anode_amperes, True
        assumed.append(f"single {carried.type}: carried {say(current, 'A')}, so gapped (inferred)")
    if gapped is False and current is None:
        current = rules.general("gap_current_ungapped")
    return (None if gapped is None else float(gapped)), current, carried
