"""Switch: how many poles it parts, at which volts and amperes, of which current. On the mains only a marked rating counts.

A single pole leaves a live chassis at mains potential when the plug is the wrong way round; a rating for a few volts says
nothing of 230; and a switch rated for alternating current alone draws an arc on direct current.
"""

from __future__ import annotations

from partsbin.families._dangers import TAGS
from partsbin.families._declare import CONDITIONS, Family, Keys, Reading
from partsbin.families.switch.cards import buy, cards
from partsbin.families.switch.checks import CHECKS
from partsbin.families.switch.examples import EXAMPLES
from partsbin.families.switch.facts import SwitchFacts, options, title
from partsbin.families.switch.need import need, search
from partsbin.notation.switch import read_switch

FAMILY = Family(
    "switch",
    SwitchFacts,
    Keys("poles", "poles_low", "poles_high", "voltage_ac", (("condition", ("", *CONDITIONS)),)),
    options,
    need,
    search,
    CHECKS,
    title,
    read_switch,
    readings=(
        Reading("contact_resistance", "ohm", "closed contact, worst of all"),
        Reading("insulation", "ohm", "open contact and to the frame, at stated volts", TAGS),
    ),
    cards=cards,
    buy=buy,
    examples=EXAMPLES,
    words=frozenset({"condition", "action"}),
)
