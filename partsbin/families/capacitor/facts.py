"""What is marked on a capacitor, and the words for it."""

from __future__ import annotations

import math
from typing import Literal, get_args

from partsbin.families._declare import (
    Facts,
    fact,
    facts_list,
)
from partsbin.words import percent, say, volts

MOUNTINGS = ("", "axial", "radial", "tags", "twist-lug", "clamp")
PAPER = frozenset({"paper", "paper-waxed", "paper-moulded", "paper-metallised"})
WET = frozenset({"electrolytic", "tantalum"})
ISOLATING = ("aerial-isolation", "earth-isolation", "pickup-isolation")
Dielectric = Literal[
    "electrolytic",
    "tantalum",
    "film",
    "film-polyester",
    "film-polypropylene",
    "polystyrene",
    "mica",
    "ceramic",
    "ceramic-1",
    "ceramic-2",
    "paper",
    "paper-waxed",
    "paper-moulded",
    "paper-metallised",
    "paper-oil",
    "air",
    "glass",
]
DIELECTRICS: tuple[str, ...] = ("", *get_args(Dielectric))


class Section(Facts):
    """One section of a can."""

    capacitance: float | None = fact("capacitance of the section", unit="F", gt=0, le=1)
    capacitance_low: float | None = fact("lower end, where a range is marked", unit="F", gt=0, le=1)
    voltage_dc: float | None = fact("rated DC volts of the section", unit="V", gt=0, le=100e3)


class CapacitorFacts(Facts):
    """What is marked on a capacitor."""

    capacitance: float | None = fact("capacitance", unit="F", gt=0, le=1)
    tolerance: float | None = fact("tolerance, either way, as a fraction", unit="-", ge=0, le=1)
    tolerance_low: float | None = fact("lower tolerance as a fraction, negative", unit="-", ge=-1, le=0)
    tolerance_high: float | None = fact("upper tolerance as a fraction", unit="-", ge=0, le=3)
    voltage_dc: float | None = fact("rated DC volts", unit="V", gt=0, le=100e3)
    voltage_ac: float | None = fact("rated AC volts, RMS", unit="V", gt=0, le=50e3)
    dielectric: Dielectric | None = fact("what it is made of")
    safety_class: Literal["X1", "X2", "X3", "Y1", "Y2", "Y3", "Y4", "X1/Y1", "X1/Y2", "X2/Y2", "X2/Y3"] | None = fact(
        "safety class of IEC 60384-14"
    )
    approval: str | None = fact("approval marks")
    sections: tuple[Section, ...] = facts_list("sections of a can")
    series: int | None = fact("equal capacitors in series; value and volts are those of the string", ge=1, le=16)
    common_pole: Literal["negative", "positive"] | None = fact("pole that the sections share")
    insulated_can: bool | None = fact("can insulated from its poles")
    polarised: bool | None = fact("polarised")
    ripple_current: float | None = fact("rated ripple current, RMS", unit="A", gt=0, le=100)
    temperature_max: float | None = fact("highest temperature", unit="°C", gt=0, le=300)
    temperature_coefficient: str | None = fact("temperature code: C0G, X7R")
    mounting: Literal["axial", "radial", "tags", "twist-lug", "clamp"] | None = fact("how it is held")
    diameter: float | None = fact("diameter", unit="m", gt=0, le=1)
    length: float | None = fact("length", unit="m", gt=0, le=2)
    pitch: float | None = fact("lead pitch", unit="m", gt=0, le=1)


def title(facts: CapacitorFacts) -> str:
    """Return the part in trade notation."""
    if facts.sections:
        value = "+".join(say(s.capacitance or math.nan, "F").removesuffix(" µF") for s in facts.sections) + " µF"
        rated = [s.voltage_dc for s in facts.sections if s.voltage_dc]
        rating = "/".join(dict.fromkeys(volts(v) for v in rated))
    else:
        value = say(facts.capacitance, "F") if facts.capacitance else "capacitor"
        rating = volts(facts.voltage_dc) if facts.voltage_dc else ""
    ac = f"{volts(facts.voltage_ac)} AC" if facts.voltage_ac else ""
    tolerance = f"±{percent(facts.tolerance)}" if facts.tolerance else ""
    return " ".join(filter(None, (value, tolerance, rating, ac, facts.safety_class or "", facts.dielectric or "")))
