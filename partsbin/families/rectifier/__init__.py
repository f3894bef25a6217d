"""Rectifier: silicon, selenium or copper oxide, in place of its own kind, of the other, or of a valve.

Walls are the peak inverse volts at the highest mains, the current, the surge into an empty reservoir, used selenium. In place of a
valve or of selenium the rail rises and stands there at once: the resistor that restores it is part of the answer, never better
than care.
"""

from __future__ import annotations

import math

from partsbin.families._dangers import REVERSE
from partsbin.families._declare import CONDITIONS, Family, Keys, Reading
from partsbin.families.rectifier.cards import after, buy, cards
from partsbin.families.rectifier.change import restored_with
from partsbin.families.rectifier.checks import CHECKS, takes
from partsbin.families.rectifier.examples import EXAMPLES
from partsbin.families.rectifier.facts import CONNECTIONS, TECHNOLOGIES, RectifierFacts, hazards, options, title
from partsbin.families.rectifier.need import need, search
from partsbin.notation.rectifier import read_rectifier_part

FAMILY = Family(
    "rectifier",
    RectifierFacts,
    Keys(
        "inverse",
        "inverse_low",
        "inverse_high",
        "current",
        (
            ("technology", ("", *TECHNOLOGIES)),
            ("connection", ("", *CONNECTIONS)),
            ("condition", ("", *CONDITIONS)),
            ("series", (math.nan, 1.0, 2.0)),
        ),
    ),
    options,
    need,
    search,
    CHECKS,
    title,
    read_rectifier_part,
    readings=(Reading("leakage", "A", "reverse current at stated volts", REVERSE),),
    cards=cards,
    buy=buy,
    after=after,
    hazards=hazards,
    beside=restored_with,
    takes=takes,
    examples=EXAMPLES,
    words=frozenset({"technology", "connection", "condition"}),
)
