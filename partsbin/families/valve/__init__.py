"""Valve: its type says what it is; the tables say what else does in its socket, and what changes.

Judged are the type as plugged in (wall: another heater, base or pinout), the heater against winding or chain, heater to cathode
under a rectifier, the limits, and what was read on this very valve. A rectifier of silicon is the business of its own family.
"""

from __future__ import annotations

from partsbin.families._dangers import CLIP_ON, VALVE_HOT
from partsbin.families._declare import CONDITIONS, Family, Keys, Named, Reading
from partsbin.families.valve.cards import after, buy, cards
from partsbin.families.valve.examples import EXAMPLES
from partsbin.families.valve.facts import BEST, ValveFacts, listed, mercury, options, owes, read, title, told
from partsbin.families.valve.instead import other_valve
from partsbin.families.valve.limits import LIMITS
from partsbin.families.valve.need import need, search
from partsbin.families.valve.plugged import PLUGGED
from partsbin.families.valve.tested import TESTED

FAMILY = Family(
    "valve",
    ValveFacts,
    Keys(
        "one",
        "one",
        "one",
        "heater_amperes",
        (("condition", ("", *CONDITIONS)), ("tested", ("", "yes"))),
        Named("called", told, listed, "tested", BEST),
    ),
    options,
    need,
    search,
    (*PLUGGED, *LIMITS, *TESTED),
    title,
    read,
    readings=(
        Reading("emission", "-", "emission, share of a good one: 80%", CLIP_ON),
        Reading("gm", "-", "slope, share of a good one: 80%", CLIP_ON),
        Reading("anode_current", "A", "anode current at the working point of the table", CLIP_ON),
        Reading("gas", "A", "grid current, warm", CLIP_ON),
        Reading("insulation", "ohm", "heater to cathode, hot", VALVE_HOT),
    ),
    cards=cards,
    buy=buy,
    after=after,
    hazards=mercury,
    instead=other_valve,
    examples=EXAMPLES,
    words=frozenset({"type", "base", "condition", "tested"}),
    owes=owes,
)
