"""The ways of using a capacitor: the one there is, each section of a can, sections in parallel."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import combinations
from typing import Any

from partsbin.circuit.leakage import (
    insulation_floor,
    leakage_limit_two_minutes,
)
from partsbin.circuit.networks import worst_series_share
from partsbin.families._declare import (
    Item,
    Measured,
    Option,
    Sections,
    known,
)
from partsbin.families.capacitor.facts import PAPER, WET, CapacitorFacts
from partsbin.rules import Rules, load_rules
from partsbin.words import percent, say, volts

MOST_APPROVED = 500.0  # V AC, the highest rating of approved parts; common practice, no source


def options(item: Item) -> Sequence[Option]:
    """Return each section, each set of sections in parallel, or the one capacitor there is."""
    facts: CapacitorFacts = item.facts
    if not facts.sections:
        return (
            _option(
                item,
                "",
                facts.capacitance,
                facts.voltage_dc,
                item.readings.get("capacitance"),
                item.readings.get("leakage"),
            ),
        )
    return [_joined(item, chosen) for chosen in _chosen(len(facts.sections))]


def _chosen(count: int) -> list[tuple[int, ...]]:
    """The sections that are used together, in the order of the options."""
    return [
        chosen
        for size in range(1, count + 1)
        for chosen in combinations(range(count), size)
        if size in (1, count) or count <= 4  # 5 sections and more: single ones and all together are what a bench joins
    ]


def sections(item: Item) -> Sections | None:
    """Return how a can's sections may go to several needs whose negatives lie on one point; None of what is no such can.

    Its marked ripple current heats the whole can: one reservoir alone has it.
    """
    facts: CapacitorFacts = item.facts
    if len(facts.sections) < 2 or facts.common_pole == "positive":
        return None
    alone = frozenset({"reservoir"}) if facts.ripple_current is not None else frozenset()
    return Sections(tuple(frozenset(chosen) for chosen in _chosen(len(facts.sections))), alone)


def _joined(item: Item, chosen: tuple[int, ...]) -> Option:
    sections = [item.facts.sections[index] for index in chosen]
    values = [section.capacitance_low or section.capacitance for section in sections]  # of a range, the end that may be
    rated = [section.voltage_dc for section in sections]
    readings = [item.readings.get(f"capacitance@{index + 1}") for index in chosen]
    leaks = [item.readings.get(f"leakage@{index + 1}") for index in chosen]
    measured = (
        Measured(sum(r.value for r in readings if r), sum(r.uncertainty for r in readings if r))
        if all(readings)
        else None
    )
    leak = (
        Measured(
            sum(r.value for r in leaks if r),
            sum(r.uncertainty for r in leaks if r),
            min((r.conditions for r in leaks if r), key=lambda c: c.get("volts", 0.0)),
        )
        if all(leaks)
        else None
    )
    numbers = "+".join(str(index + 1) for index in chosen)
    label = f"section {numbers}" if len(chosen) == 1 else f"sections {numbers} in parallel"
    total = sum(v for v in values if v is not None) if all(v is not None for v in values) else None
    lowest = min(v for v in rated if v is not None) if all(v is not None for v in rated) else None
    return _option(item, label, total, lowest, measured, leak)


def _option(
    item: Item, label: str, marked: float | None, rated: float | None, reading: Measured | None, leak: Measured | None
) -> Option:
    facts: CapacitorFacts = item.facts
    rules = load_rules("capacitor")
    assumed: list[str] = []
    dielectric = facts.dielectric or _presumed(facts, marked, reading, assumed)
    value, low, high = _interval(facts, item.condition, dielectric, marked, reading, rules, assumed)
    rated = _shared(facts, value, low, high, rated, assumed)
    worst, best, test_volts = _insulation(item.condition, dielectric, value, rated, leak, rules, assumed)
    ripple = facts.ripple_current
    if ripple is None and dielectric == "electrolytic" and value:
        ripple = rules.general("ripple_floor") * math.sqrt(value / 1e-6)
        assumed.append(f"ripple rating not marked: {say(ripple, 'A')} taken (from memory)")
    polarised = _polarised(facts, dielectric)
    return Option(
        label,
        {
            "capacitance": value,
            "capacitance_low": low,
            "capacitance_high": high,
            "measured": 1.0 if reading else 0.0,
            "voltage_dc": rated,
            "voltage_ac": _approved_volts(facts, assumed),
            "dielectric": dielectric,
            "safety_class": facts.safety_class,
            "polarised": None if polarised is None else float(polarised),
            "condition": item.condition,
            "insulation": worst,
            "insulation_high": best,
            "insulation_volts": test_volts,
            "ripple_current": ripple,
            "mounting": facts.mounting,
            "length": facts.length,
            "series": None if facts.series is None else float(facts.series),
            "temperature_max": facts.temperature_max or (85.0 if item.condition == "new" else 70.0),
        },
        tuple(assumed),
    )


def _shared(
    facts: CapacitorFacts,
    value: float | None,
    low: float | None,
    high: float | None,
    rated: float | None,
    assumed: list[str],
) -> float | None:
    """Volts that a string bears when its smallest member takes the largest share."""
    if not facts.series or facts.series < 2 or rated is None or not value or low is None or high is None:
        return rated
    reach = max(
        0.2, max(high / value, value / max(low, 1e-3 * value)) - 1
    )  # a reading of the whole says nothing of its parts
    share = float(worst_series_share(1.0, min(reach, 0.5), facts.series))
    bears = rated / (facts.series * share)
    assumed.append(
        f"{facts.series} in series: {volts(bears)} of {volts(rated)}, the smallest takes {percent(share)} of the volts"
    )
    return bears


def _presumed(facts: CapacitorFacts, marked: float | None, reading: Measured | None, assumed: list[str]) -> str:
    """Above 2 µF a capacitor of an old set is electrolytic unless it says otherwise; below, nobody can tell."""
    value = reading.value if reading else marked
    if value is None or value <= 2e-6 or facts.safety_class:
        return ""
    assumed.append("dielectric not marked: electrolytic, as usual above 2 µF")
    return "electrolytic"


def _approved_volts(facts: CapacitorFacts, assumed: list[str]) -> float | None:
    """AC volts as marked; beside a safety class more than 500 V is a test or DC voltage, and the rating is not known."""
    if facts.safety_class and facts.voltage_ac is not None and facts.voltage_ac > MOST_APPROVED:
        assumed.append(f"{volts(facts.voltage_ac)} is no AC rating of a class {facts.safety_class} part")
        return None
    return facts.voltage_ac


def _polarised(facts: CapacitorFacts, dielectric: str) -> bool | None:
    if facts.polarised is not None:
        return facts.polarised
    if facts.safety_class:
        return False  # approvals X and Y are given for AC
    return dielectric in WET if dielectric else None


def _interval(
    facts: CapacitorFacts,
    condition: str,
    dielectric: str,
    marked: float | None,
    reading: Measured | None,
    rules: Rules,
    assumed: list[str],
) -> tuple[float | None, float | None, float | None]:
    """Measured ± uncertainty, else marked ± tolerance, else marked ± what is usual for the dielectric."""
    if reading is not None:
        return reading.value, reading.value - reading.uncertainty, reading.value + reading.uncertainty
    if marked is None:
        return None, None, None
    if facts.tolerance is not None:
        low, high = -facts.tolerance, facts.tolerance
    elif facts.tolerance_low is not None or facts.tolerance_high is not None:
        low, high = facts.tolerance_low or 0.0, facts.tolerance_high or 0.0
    else:
        key = "new-electrolytic" if condition == "new" and dielectric == "electrolytic" else dielectric
        low, high = rules.get("tolerance", key) or rules.get("tolerance", "other")
        assumed.append(f"tolerance not marked: {low:+.0%}/{high:+.0%} taken")
    return marked, marked * (1 + low), marked * (1 + high)


def _insulation(
    condition: str,
    dielectric: str,
    value: float | None,
    rated: float | None,
    leak: Measured | None,
    rules: Rules,
    assumed: list[str],
) -> tuple[float | None, float | None, float | None]:
    """Insulation resistance, worst and best end, and its volts: measured, or a new part's data-sheet floor by dielectric."""
    if leak is not None:
        test = leak.conditions.get("volts", math.nan)
        least = leak.value - leak.uncertainty
        return test / (leak.value + leak.uncertainty), (test / least if least > 0 else math.inf), test
    if condition != "new" or not dielectric or value is None:
        return None, None, None
    if dielectric in WET:
        floor = rated / float(leakage_limit_two_minutes(value, rated)) if rated else None
    elif dielectric.startswith("film"):
        floor = float(
            insulation_floor(value, rules.general("insulation_floor_film"), rules.general("insulation_floor_seconds"))
        )
    elif dielectric in PAPER or dielectric == "paper-oil":
        return None, None, None
    else:
        floor = float(rules.general("insulation_floor_ceramic"))
    assumed.append("leakage of a new part: its data-sheet floor")
    return floor, floor, rated


def owes(offers: Mapping[str, Any]) -> bool:
    """Return whether a datum outside the search keys is missing that a check may want read or measured."""
    if offers.get("condition") != "new":
        return True  # its leakage may have been read at too few volts for the need
    approved = known(offers, "safety_class") and not known(offers, "voltage_ac")
    return approved or not (known(offers, "insulation") and known(offers, "insulation_volts"))
