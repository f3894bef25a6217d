"""What is marked on a resistor, and the words for it."""

from __future__ import annotations

import math
from typing import Literal, get_args

from partsbin.families._declare import Facts, fact, facts_list
from partsbin.words import percent, say, volts

Technology = Literal["carbon-composition", "carbon-film", "metal-film", "metal-oxide", "metal-glaze", "wirewound"]
TECHNOLOGIES: tuple[str, ...] = ("", *get_args(Technology))
FILMS = frozenset({"carbon-film", "metal-film", "metal-oxide", "metal-glaze"})


class Tap(Facts):
    """One section of a tapped resistor, from one tap to the next."""

    resistance: float | None = fact("resistance of the section", unit="ohm", gt=0, le=1e12)
    current: float | None = fact("current that the section may carry", unit="A", gt=0, le=1000)


class ResistorFacts(Facts):
    """What is marked on a resistor."""

    resistance: float | None = fact("resistance; of a tapped one, end to end", unit="ohm", gt=0, le=1e12)
    tolerance: float | None = fact("tolerance, either way, as a fraction", unit="-", ge=0, le=1)
    tolerance_low: float | None = fact("lower tolerance as a fraction, negative", unit="-", ge=-1, le=0)
    tolerance_high: float | None = fact("upper tolerance as a fraction", unit="-", ge=0, le=3)
    power: float | None = fact("rated power", unit="W", gt=0, le=10e3)
    voltage_limit: float | None = fact("limiting element voltage", unit="V", gt=0, le=100e3)
    technology: Technology | None = fact("what it is made of")
    fusible: bool | None = fact("made to open on overload, flameproof")
    non_inductive: bool | None = fact("wound or made without inductance")
    pulse_rated: bool | None = fact("rated for pulses by its data sheet")
    bridging: bool | None = fact("approved to bridge insulation")
    temperature_max: float | None = fact("highest temperature", unit="°C", gt=0, le=600)
    taps: tuple[Tap, ...] = facts_list("sections of a tapped resistor, in order")
    mounting: Literal["axial", "radial", "tags", "clamp"] | None = fact("how it is held")
    diameter: float | None = fact("diameter", unit="m", gt=0, le=1)
    length: float | None = fact("length of the body", unit="m", gt=0, le=2)


def title(facts: ResistorFacts) -> str:
    """Return the part in trade notation."""
    value = say(facts.resistance, "ohm") if facts.resistance else "resistor"
    if facts.taps:
        sections = "+".join(say(tap.resistance or math.nan, "ohm") for tap in facts.taps)
        value = f"{value} ({sections})" if facts.resistance else sections
    tolerance = f"±{percent(facts.tolerance)}" if facts.tolerance else ""
    power = say(facts.power, "W") if facts.power else ""
    limit = volts(facts.voltage_limit) if facts.voltage_limit else ""
    marks = ["fusible"] * bool(facts.fusible) + ["non-inductive"] * bool(facts.non_inductive)
    marks += ["bridging"] * bool(facts.bridging)
    return " ".join(filter(None, (value, tolerance, power, limit, facts.technology or "", *marks)))
