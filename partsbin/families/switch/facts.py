"""What is marked on a switch, its title, and the one way of using it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Literal

from partsbin.families._declare import Facts, Item, Measured, Option, fact
from partsbin.words import say


class SwitchFacts(Facts):
    """What is marked on a switch."""

    poles: int | None = fact("poles: how many leads it parts at once", ge=1, le=24)
    ways: int | None = fact("positions that make contact", ge=1, le=48)
    action: Literal["toggle", "rotary", "push", "rocker", "slide", "key", "pull", "momentary"] | None = fact(
        "how it is worked"
    )
    voltage_ac: float | None = fact("volts of alternating current it may break, RMS", unit="V", gt=0, le=1000)
    voltage_dc: float | None = fact("volts of direct current it may break", unit="V", gt=0, le=2000)
    current: float | None = fact("current it may switch", unit="A", gt=0, le=100)
    current_dc: float | None = fact("direct current it may switch, where that is another", unit="A", gt=0, le=100)
    surge: float | None = fact("surge current it may make", unit="A", gt=0, le=1000)
    hole: float | None = fact("mounting hole", unit="m", gt=0, le=0.1)


def title(facts: SwitchFacts) -> str:
    """Return the part in trade notation."""
    poles = {1: "single-pole", 2: "double-pole"}.get(facts.poles or 0, f"{facts.poles}-pole" if facts.poles else "")
    rated = " ".join(
        text
        for text in (
            say(facts.current, "A") if facts.current else "",
            f"{say(facts.voltage_ac, 'V')} AC" if facts.voltage_ac else "",
            say(facts.current_dc, "A") if facts.current_dc else "",
            f"{say(facts.voltage_dc, 'V')} DC" if facts.voltage_dc else "",
        )
        if text
    )
    ways = f"{facts.ways}-way" if facts.ways and facts.ways > 1 else ""
    return " ".join(word for word in (poles, ways, facts.action or "", "switch", rated) if word)


def options(item: Item) -> Sequence[Option]:
    """Return the one way of using a switch: all its poles together."""
    facts: SwitchFacts = item.facts
    poles = None if facts.poles is None else float(facts.poles)
    contact: Measured | None = item.readings.get("contact_resistance")
    open_: Measured | None = item.readings.get("insulation")
    return [
        Option(
            "",
            {
                "poles": poles, "poles_low": poles, "poles_high": poles,
                "ways": None if facts.ways is None else float(facts.ways),
                "voltage_ac": facts.voltage_ac, "voltage_dc": facts.voltage_dc, "current": facts.current,
                "current_dc": facts.current_dc,
                "action": facts.action or "", "condition": item.condition, "hole": facts.hole,
                "contact": None if contact is None else contact.value + contact.uncertainty,
                "insulation": None if open_ is None else open_.value - open_.uncertainty,
                "insulation_volts": None if open_ is None else open_.conditions.get("volts", math.nan),
            },
        )
    ]  # fmt: skip
