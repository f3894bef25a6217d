"""Capacitor: one section, or several in a can. Windows, derating and walls are in rules/capacitor.toml, each with its source.

Judged by stress, not by label: the off-load peak is a wall, the running peak is held against the derated rating; across the
mains and on touchable sockets only the safety class counts; leakage is judged by what it does to the next grid."""

from __future__ import annotations

import math

from partsbin.families._afterwards import of_capacitor
from partsbin.families._dangers import CHARGED, ON_THE_CLIPS
from partsbin.families._declare import CONDITIONS, Family, Keys, Reading
from partsbin.families._mains_checks import CLASSES
from partsbin.families.capacitor.cards import buy, cards, cautions, hazards
from partsbin.families.capacitor.checks import CHECKS
from partsbin.families.capacitor.examples import EXAMPLES
from partsbin.families.capacitor.facts import DIELECTRICS, MOUNTINGS, CapacitorFacts, title
from partsbin.families.capacitor.joining import joins
from partsbin.families.capacitor.need import need, search
from partsbin.families.capacitor.options import options, owes, sections
from partsbin.notation.capacitor import read_capacitor

FAMILY = Family(
    "capacitor",
    CapacitorFacts,
    Keys(
        "capacitance",
        "capacitance_low",
        "capacitance_high",
        "voltage_dc",
        (
            ("dielectric", DIELECTRICS),
            ("condition", ("", *CONDITIONS)),
            ("safety_class", CLASSES),
            ("measured", (math.nan, 0.0, 1.0)),
            ("polarised", (math.nan, 0.0, 1.0)),
            ("mounting", MOUNTINGS),
        ),
    ),
    options,
    need,
    search,
    CHECKS,
    title,
    read_capacitor,
    readings=(
        Reading("capacitance", "F", "capacitance", CHARGED),
        Reading("leakage", "A", "leakage current at stated volts", ON_THE_CLIPS),
    ),
    cards=cards,
    buy=buy,
    hazards=hazards,
    after=of_capacitor,
    cautions=cautions,
    examples=EXAMPLES,
    words=frozenset({"dielectric", "condition", "safety_class", "mounting"}),
    owes=owes,
    joins=joins,
    sections=sections,
)
