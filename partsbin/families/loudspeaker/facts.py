"""What is marked on a loudspeaker, its title, and the one way of using it."""

from __future__ import annotations

from collections.abc import Sequence

from partsbin.families._declare import Facts, Item, Option, fact
from partsbin.rules import Rules, load_rules
from partsbin.words import say

TOLERANCE = 0.15  # of a rated impedance: it is a curve, not a figure; common practice, no source


class LoudspeakerFacts(Facts):
    """What is marked on a loudspeaker."""

    impedance: float | None = fact("rated impedance", unit="ohm", gt=0, le=10e3)
    resistance: float | None = fact("DC resistance of the voice coil", unit="ohm", gt=0, le=10e3)
    power: float | None = fact("rated power", unit="W", gt=0, le=1000)
    diameter: float | None = fact("outline, longer axis", unit="m", gt=0, le=1)
    hole_centres: float | None = fact("distance of the fixing holes", unit="m", gt=0, le=1)
    depth: float | None = fact("depth behind the baffle", unit="m", gt=0, le=1)
    field_resistance: float | None = fact("resistance of the field coil", unit="ohm", gt=0, le=100e3)
    field_current: float | None = fact("current that the field wants", unit="A", gt=0, le=10)


def title(facts: LoudspeakerFacts) -> str:
    """Return the part in trade notation."""
    figures = [say(value, unit) for value, unit in ((facts.impedance, "ohm"), (facts.power, "W")) if value]
    size = f"{facts.diameter / 0.0254:.3g} in" if facts.diameter else ""
    field = f"field coil {say(facts.field_resistance, 'ohm')}" if facts.field_resistance else ""
    dc = f"{say(facts.resistance, 'ohm')} dcr" if facts.resistance and not facts.impedance else ""
    return " ".join(word for word in ("loudspeaker", *figures, dc, size, field) if word)


def options(item: Item) -> Sequence[Option]:
    """Return the one way of using a loudspeaker."""
    facts, rules = item.facts, load_rules("loudspeaker")
    read = item.readings.get("resistance")
    dc = read.value if read else facts.resistance
    value, low, high, assumed = _impedance(facts.impedance, dc, rules)
    field = item.readings.get("field_resistance")
    offers = {
        "impedance": value, "impedance_low": low, "impedance_high": high, "dc": dc, "power": facts.power,
        "diameter": facts.diameter, "hole_centres": facts.hole_centres, "depth": facts.depth,
        "field": field.value if field else facts.field_resistance,
        "field_current": facts.field_current, "condition": item.condition,
        "coil_read": float(read is not None),
    }  # fmt: skip
    return [Option("", offers, assumed)]


def _impedance(
    rated: float | None, dc: float | None, rules: Rules
) -> tuple[float | None, float | None, float | None, tuple[str, ...]]:
    """Return the impedance and its ends: as rated, else from the DC resistance."""
    if rated is not None:
        return rated, rated * (1 - TOLERANCE), rated * (1 + TOLERANCE), ()
    if dc is None:
        return None, None, None, ()
    times, low, high = (rules.general(f"impedance_{name}") for name in ("of_resistance", "low", "high"))
    return dc * times, dc * low, dc * high, (f"impedance {times:g} times the {say(dc, 'ohm')} of the coil",)
