"""Potentiometer: volume, tone, gain, hum, bias and balance controls. The figures are in rules/potentiometer.toml, each with its source.

Judged are ohms, law, what the track bears, gangs and taps; the mains switch at its back, of which on a live chassis only two
rated poles will do; spindle and bush, which are changes. Letters for the law differ by maker and era: half rotation decides."""

from __future__ import annotations

import math

from partsbin.families._dangers import TAGS
from partsbin.families._declare import CONDITIONS, Family, Keys, Reading
from partsbin.families.potentiometer import checks, form_checks, switch_checks
from partsbin.families.potentiometer.cards import after, buy, cards
from partsbin.families.potentiometer.examples import EXAMPLES
from partsbin.families.potentiometer.facts import TAPERS, PotentiometerFacts, title
from partsbin.families.potentiometer.need import need, search
from partsbin.families.potentiometer.options import options
from partsbin.notation.potentiometer import read_potentiometer

FAMILY = Family(
    "potentiometer",
    PotentiometerFacts,
    Keys(
        "resistance",
        "resistance_low",
        "resistance_high",
        "power",
        (
            ("switch_poles", (math.nan, 0.0, 1.0, 2.0)),
            ("switched", (math.nan, 0.0, 1.0)),
            ("taper", TAPERS),
            ("gangs", (math.nan, 1.0, 2.0, 3.0, 4.0)),
            ("condition", ("", *CONDITIONS)),
            ("measured", (math.nan, 0.0, 1.0)),
        ),
    ),
    options,
    need,
    search,
    (*checks.CHECKS, *switch_checks.CHECKS, *form_checks.CHECKS),
    title,
    read_potentiometer,
    readings=(
        Reading("resistance", "ohm", "track, end to end; @2 for the second gang"),
        Reading("mid", "-", "wiper to cold end at half rotation, over the whole track"),
        Reading("contact_resistance", "ohm", "closed contact of the switch, worst of all"),
        Reading("insulation", "ohm", "open contacts, poles to each other, to spindle and track, at stated volts", TAGS),
    ),
    cards=cards,
    buy=buy,
    after=after,
    examples=EXAMPLES,
    words=frozenset({"taper", "track", "condition", "shaft_style"}),
)
