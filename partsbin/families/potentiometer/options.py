"""The one way of using a potentiometer: what its track, its switch and its spindle offer."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from partsbin.families._declare import Item, Measured, Option
from partsbin.families.potentiometer.facts import PotentiometerFacts
from partsbin.rules import Rules, load_rules
from partsbin.words import percent, say, volts

MOST_GANGS = 4.0  # more are counted as four: nobody looks for five
_MEGOHM = 1e6  # ohm, above which tracks are made to a wider tolerance


def options(item: Item) -> Sequence[Option]:
    """Return what the part offers, in SI, None where nobody knows."""
    rules = load_rules("potentiometer")
    assumed: list[str] = []
    value, low, high = _interval(item, rules, assumed)
    offers: dict[str, Any] = {
        "resistance": value,
        "resistance_low": low,
        "resistance_high": high,
        "measured": float(_track_reading(item) is not None),
        "taper": _law(item, rules, assumed),
        "condition": item.condition,
        **_track(item, rules, assumed),
        **_switch(item),
        **_mechanics(item),
    }
    return (Option("", offers, tuple(assumed)),)


def _track_reading(item: Item) -> Measured | None:
    return item.readings.get("resistance") or item.readings.get("resistance@1")


def _interval(item: Item, rules: Rules, assumed: list[str]) -> tuple[float | None, float | None, float | None]:
    """Measured ± uncertainty, else marked ± tolerance, else marked ± what is usual."""
    facts: PotentiometerFacts = item.facts
    reading = _track_reading(item)
    if reading is not None:
        return reading.value, reading.value - reading.uncertainty, reading.value + reading.uncertainty
    if facts.resistance is None:
        return None, None, None
    low, high = rules.get("tolerance", "high" if facts.resistance > _MEGOHM else "usual")
    if facts.tolerance is not None:
        low, high = -facts.tolerance, facts.tolerance
    else:
        assumed.append(f"tolerance not marked: ±{percent(high)} taken")
    return facts.resistance, facts.resistance * (1 + low), facts.resistance * (1 + high)


def _law(item: Item, rules: Rules, assumed: list[str]) -> str:
    """The law that half rotation shows, else the one marked; of a wire-wound track that says nothing, linear."""
    reading = item.readings.get("mid")
    if reading is not None:
        ends = {law_at(reading.value + way * reading.uncertainty, rules) for way in (-1, 1)}
        return ends.pop() if len(ends) == 1 else ""
    if item.facts.taper is None and item.facts.track == "wirewound":
        assumed.append("law not marked: wire-wound tracks are linear")
        return "linear"
    return item.facts.taper or ""


def law_at(mid: float, rules: Rules) -> str:
    """Return the law whose band holds a fraction at half rotation, ``other`` if none does."""
    for law, line in rules.sections["mid"].items():
        if line.value[0] <= mid <= line.value[1]:
            return law
    return "other"


def _track(item: Item, rules: Rules, assumed: list[str]) -> dict[str, Any]:
    """Watts and volts as marked, and what is credited without a mark; gangs and how they match; taps."""
    facts: PotentiometerFacts = item.facts
    law = facts.taper not in (None, "linear") and facts.track != "conductive-plastic"
    floor = float(rules.general("floor_watts_law" if law else "floor_watts"))
    body = facts.power is not None and facts.power >= rules.general("body_watts")
    floor_volts = float(rules.general("body_volts" if body else "floor_volts"))
    if facts.power is None:
        assumed.append(f"watts not marked: {say(floor, 'W')} credited, the smallest body's")
    if facts.voltage_limit is None:
        assumed.append(
            f"limit of volts not marked: {volts(floor_volts)} credited, the {'' if body else 'smallest '}body's"
        )
    pair = [item.readings.get(f"resistance@{number}") for number in (1, 2)]
    first, second = pair[0] or item.readings.get("resistance"), pair[1]
    apart = max(first.value / second.value, second.value / first.value) if first and second else None
    ratios = [tap.ratio for tap in facts.taps]
    return {
        "power": facts.power,
        "power_floor": floor,
        "voltage": facts.voltage_limit,
        "voltage_floor": floor_volts,
        "track": facts.track,
        "gangs": None if facts.gangs is None else min(float(facts.gangs), MOST_GANGS),
        "apart": apart,
        "taps": float(len(ratios)),
        "tap": next(iter(ratios), None),
    }


def _switch(item: Item) -> dict[str, Any]:
    """What is marked on its switch; whether there is one, as far as anything tells."""
    facts: PotentiometerFacts = item.facts
    poles = facts.switch_poles
    rated = (facts.switch_voltage_ac, facts.switch_voltage_dc, facts.switch_current, facts.switch_action)
    there = poles > 0 if poles is not None else True if any(mark is not None for mark in rated) else None
    contact, insulation = item.readings.get("contact_resistance"), item.readings.get("insulation")
    return {
        "switch_poles": None if poles is None else float(poles),
        "switched": None if there is None else float(there),
        "switch_ac": facts.switch_voltage_ac,
        "switch_dc": facts.switch_voltage_dc,
        "switch_current": facts.switch_current,
        "contact": contact.value + contact.uncertainty if contact else None,
        "insulation": max(insulation.value - insulation.uncertainty, 0.0) if insulation else None,
        "insulation_volts": insulation.conditions.get("volts") if insulation else None,
    }


def _mechanics(item: Item) -> dict[str, Any]:
    facts: PotentiometerFacts = item.facts
    names = ("shaft_diameter", "shaft_length", "shaft_style", "bush_diameter", "bush_length")
    insulated = facts.insulated_shaft
    return {
        **{name: getattr(facts, name) for name in names},
        "insulated": None if insulated is None else float(insulated),
    }
