"""Resistor: fixed, or tapped in sections. Windows, deratings and walls are in rules/resistor.toml, each with its source.

Judged by what it carries in the air of its position and by the volts across its body; old composition is measured first; a
fusible one is replaced by a fusible one, and over the isolation only what is made for it counts."""

from __future__ import annotations

import math

from partsbin.families._dangers import SET_DEAD
from partsbin.families._declare import CONDITIONS, Family, Keys, Reading
from partsbin.families.resistor.cards import after, buy, cards, cautions, hazards
from partsbin.families.resistor.checks import CHECKS
from partsbin.families.resistor.examples import EXAMPLES
from partsbin.families.resistor.facts import TECHNOLOGIES, ResistorFacts, title
from partsbin.families.resistor.joining import joins
from partsbin.families.resistor.need import need, search
from partsbin.families.resistor.options import options, owes
from partsbin.notation.resistor import read_resistor

_FLAG = (math.nan, 0.0, 1.0)

FAMILY = Family(
    "resistor",
    ResistorFacts,
    Keys(
        "resistance",
        "resistance_low",
        "resistance_high",
        "power",
        (
            ("technology", TECHNOLOGIES),
            ("condition", ("", *CONDITIONS)),
            ("measured", _FLAG),
            ("fusible", _FLAG),
            ("non_inductive", _FLAG),
            ("pulse_rated", _FLAG),
            ("bridging", _FLAG),
        ),
    ),
    options,
    need,
    search,
    CHECKS,
    title,
    read_resistor,
    readings=(Reading("resistance", "ohm", "resistance, one leg lifted", SET_DEAD),),
    cards=cards,
    buy=buy,
    hazards=hazards,
    cautions=cautions,
    after=after,
    examples=EXAMPLES,
    words=frozenset({"technology", "condition"}),
    owes=owes,
    joins=joins,
)
