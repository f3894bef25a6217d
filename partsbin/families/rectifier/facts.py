"""What is marked on a rectifier, and the ways of using one: alone, or two in series for more inverse volts."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from partsbin.families._declare import Facts, Item, Option, fact
from partsbin.reference.diodes import diode
from partsbin.words import say

CONNECTIONS = ("single", "half-bridge", "centre-tap", "bridge", "doubler")
TECHNOLOGIES = ("silicon", "selenium", "copper-oxide")
MAINS_ROOM = 1.10 * 1.05  # a rating in volts AC holds for mains and regulation at their upper end, from memory
SERIES_SHARE = 0.8  # two alike in series bear this share of both together, resistors across them; common practice
SURGE_TIMES = 15.0  # surge over mean current of any silicon rectifier, at least; common practice
INVERSE_PEAKS = {"bridge": 1.0}  # what stands across an arm over the peak of the AC; all others twice


class RectifierFacts(Facts):
    """What is marked on a rectifier."""

    rectifier_type: str | None = fact("type or code: 1N4007, B250C100")
    technology: Literal["silicon", "selenium", "copper-oxide"] | None = fact("what it is made of")
    connection: Literal["single", "half-bridge", "centre-tap", "bridge", "doubler"] | None = fact(
        "how its arms are joined"
    )
    voltage_peak_inverse: float | None = fact("peak inverse volts of an arm", unit="V", gt=0, le=20000)
    voltage_ac: float | None = fact("AC that may be put in, RMS", unit="V", gt=0, le=5000)
    dc_current: float | None = fact("mean current put out", unit="A", gt=0, le=200)
    surge: float | None = fact("one half-wave of current at switch-on", unit="A", gt=0, le=5000)
    drop: float | None = fact("forward drop at the rated current", unit="V", gt=0, le=200)
    pieces: int | None = fact("pieces in one unit", ge=1, le=24)


def title(facts: RectifierFacts) -> str:
    """Return the part in trade notation."""
    told = facts.technology if facts.rectifier_type is None else ""
    joined = (
        {"single": "half wave"}.get(facts.connection or "", facts.connection or "")
        if facts.rectifier_type is None
        else ""
    )
    noun = "" if facts.rectifier_type else "rectifier"
    rated = [
        f"{say(facts.voltage_peak_inverse, 'V')} PIV" if facts.voltage_peak_inverse else "",
        f"{say(facts.voltage_ac, 'V')} AC" if facts.voltage_ac and "C" not in (facts.rectifier_type or "") else "",
        say(facts.dc_current, "A") if facts.dc_current and "C" not in (facts.rectifier_type or "") else "",
    ]
    return " ".join(word for word in (facts.rectifier_type or "", told or "", joined, noun, *rated) if word)


@dataclass(frozen=True)
class Rated:
    """What the marking promises, in SI; NaN where it says nothing."""

    technology: str
    inverse: float
    current: float
    surge: float
    said: tuple[str, ...]


def rated(facts: RectifierFacts) -> Rated:
    """Return what the marking promises: as marked, else what its type is known for, else what follows from the AC."""
    row = diode(facts.rectifier_type) if facts.rectifier_type else None
    said = (
        [f"{row.type}: {say(row.inverse_volts, 'V')}, {say(row.amperes, 'A')} (from memory)"] if row is not None else []
    )
    inverse = _known(facts.voltage_peak_inverse, row.inverse_volts if row else None)
    if math.isnan(inverse) and facts.voltage_ac:
        peaks = INVERSE_PEAKS.get(facts.connection or "", 2.0)
        inverse = peaks * math.sqrt(2) * facts.voltage_ac * MAINS_ROOM
        said.append(f"{say(facts.voltage_ac, 'V')} AC taken as {say(inverse, 'V')} inverse an arm")
    current = _known(facts.dc_current, row.amperes if row else None)
    technology = facts.technology or (row.technology if row else "")
    surge = _known(facts.surge, row.surge_amperes if row else None)
    if math.isnan(surge) and technology == "silicon" and not math.isnan(current):
        surge = SURGE_TIMES * current
        said.append(f"surge not marked: {SURGE_TIMES:g} × its current taken (common practice)")
    return Rated(technology, inverse, current, surge, tuple(said))


def _known(*values: float | None) -> float:
    return next((value for value in values if value is not None), math.nan)


def options(item: Item) -> Sequence[Option]:
    """Return the ways of using a rectifier: as it is, and single silicon diodes two in series."""
    facts: RectifierFacts = item.facts
    has = rated(facts)
    leakage = item.readings.get("leakage")
    shared: dict[str, Any] = {
        "technology": has.technology, "connection": facts.connection or "", "current": _or_none(has.current),
        "surge": _or_none(has.surge), "condition": item.condition,
        "leakage": None if leakage is None else leakage.value + leakage.uncertainty,
    }  # fmt: skip
    alone = Option("", {**shared, **_inverse(has.inverse), "series": 1.0}, has.said)
    if has.technology != "silicon" or facts.connection not in (None, "single") or math.isnan(has.inverse):
        return [alone]
    two = {**shared, **_inverse(2 * SERIES_SHARE * has.inverse), "series": 2.0}
    return [alone, Option("two in series an arm", two, (*has.said, f"two share the volts to {SERIES_SHARE:g} of both"))]


def _inverse(volts: float) -> dict[str, float | None]:
    value = _or_none(volts)
    return {"inverse": value, "inverse_low": value, "inverse_high": value}


def _or_none(value: float) -> float | None:
    return None if math.isnan(value) else value


def hazards(item: Item) -> tuple[str, ...]:
    """Return the hazard of selenium."""
    selenium = item.facts.technology == "selenium"
    return ("selenium: poisonous when it burns; do not file, scrape or heat it",) if selenium else ()
