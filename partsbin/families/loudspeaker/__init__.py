"""Loudspeaker: impedance, watts, outline, and the field coil that is the set's smoothing choke as well.

A voice coil's resistance is 1.15 to 1.45 times less than its rated impedance. A permanent magnet for a field coil leaves the set
without a choke: a choke and a resistor of the field's ohms take its place, and that is spelled out.
"""

from __future__ import annotations

from partsbin.families._declare import CONDITIONS, Family, Keys, Reading
from partsbin.families.loudspeaker.cards import buy, cards
from partsbin.families.loudspeaker.checks import CHECKS
from partsbin.families.loudspeaker.examples import EXAMPLES
from partsbin.families.loudspeaker.facts import LoudspeakerFacts, options, title
from partsbin.families.loudspeaker.field import in_place_of_a_field
from partsbin.families.loudspeaker.need import need, search
from partsbin.notation.loudspeaker import read_loudspeaker

FAMILY = Family(
    "loudspeaker",
    LoudspeakerFacts,
    Keys("impedance", "impedance_low", "impedance_high", "power", (("condition", ("", *CONDITIONS)),)),
    options,
    need,
    search,
    CHECKS,
    title,
    read_loudspeaker,
    readings=(Reading("resistance", "ohm", "voice coil"), Reading("field_resistance", "ohm", "field coil")),
    cards=cards,
    buy=buy,
    beside=in_place_of_a_field,
    examples=EXAMPLES,
    words=frozenset({"condition"}),
)
