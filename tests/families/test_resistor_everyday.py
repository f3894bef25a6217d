"""Everyday resistors, checked by hand as a repairer would: not refused, not sent to be measured without cause.

Origin: a marked value within ±20 % was in its makers' tolerance, closer ones do no harm, more watts always serve (read); the rest
is common practice. Each line is a part that a working repairer would fit without a thought.
"""

from __future__ import annotations

import shlex

import pytest

from partsbin.matching.hand import try_text
from partsbin.needs import Request
from partsbin.sets import read_facts

CHAIN = "chassis=live 'lineup=UCH81 UF89 UABC80 UL84 UY85'"
GOOD = (
    # position, dead part, facts of the set, part in the hand
    ("anode-load", "470k 1/2W composition", "", "470k 0.5W metal film"),
    ("anode-load", "470k 1/2W composition", "rail=250", "470k 0.5W metal film"),
    ("anode-load", "470k 1/2W", "rail=240 anode=90", "470k 0.5W carbon film"),
    ("anode-load", "220k 1/2W", "rail=250 anode=100", "220k 0.5W 5% metal film"),
    ("anode-load", "250k 1/2W", "rail=240", "220k 0.5W metal film"),
    ("anode-load", "100k 1/2W", "rail=250 anode=120", "100k 1W metal film"),
    ("anode-load", "100k 1W", "", "100k 1W carbon film"),
    ("anode-load", "50k 1W", "", "47k 2W metal oxide"),
    ("anode-load", "47k 1W", "rail=220", "47k 1W metal film"),
    ("anode-load", "100k 1/2W", "current=1.2mA rail=250", "100k 0.5W metal film"),
    ("grid-leak", "1M 1/2W", "", "1M 0.25W carbon film"),
    ("grid-leak", "1M 1/2W composition", "", "1M 0.5W metal film"),
    ("grid-leak", "0.5M", "", "470k 0.25W metal film"),
    ("grid-leak", "470k", "valve=EL84", "470k 0.25W metal film"),
    ("grid-leak", "10M 1/4W", "", "10M 0.25W carbon film"),
    ("grid-leak", "2.2M 1/4W", "rail=250", "2.2M 0.25W metal film"),
    ("diode-load", "500k", "", "470k 0.25W metal film"),
    ("diode-load", "220k 1/4W", "", "220k 0.25W carbon film"),
    ("cathode-bias", "150R 1W", "", "150R 1W metal film"),
    ("cathode-bias", "", "valve=EL84", "130R 2W metal film"),
    ("cathode-bias", "140R 1W", "valve=EL84", "140R 2W wirewound"),
    ("cathode-bias", "2.2k 1/2W", "current=1mA", "2.2k 0.25W metal film"),
    ("cathode-bias", "1.5k 1/2W", "valve=ECC83", "1.5k 0.25W metal film"),
    ("cathode-bias", "330R 1W", "rail=16", "330R 3W wirewound"),
    ("back-bias", "47R 1W", "current=60mA", "47R 2W wirewound"),
    ("back-bias", "100R 2W", "", "100R 3W wirewound"),
    ("screen-feed", "47k 1W", "", "47k 1W metal film"),
    ("screen-feed", "47k 1W", "rail=250", "47k 2W metal oxide"),
    ("screen-feed", "100k 1/2W", "rail=250 anode=85", "100k 1W metal film"),
    ("decoupling", "10k 1W", "", "10k 1W metal film"),
    ("decoupling", "22k 1W", "rail=230", "22k 1W carbon film"),
    ("decoupling", "4.7k 1W", "rail=250 current=5mA", "4.7k 0.5W metal film"),
    ("decoupling", "50k 1/2W", "", "47k 0.5W metal film"),
    ("agc-feed", "1M 1/2W", "", "1M 0.25W metal film"),
    ("agc-feed", "2M", "", "2.2M 0.25W carbon film"),
    ("grid-stopper", "10k 1/2W", "", "10k 0.25W metal film"),
    ("grid-stopper", "5k", "", "4.7k 0.5W carbon film"),
    ("grid-stopper", "47R 1/4W", "", "47R 0.25W metal film"),
    ("surge-limiter", "100R 5W", "", "100R 5W wirewound"),
    ("surge-limiter", "150R 5W", "chassis=live", "150R 7W wirewound"),
    ("bleeder", "100k 2W", "rail=250", "100k 3W wirewound"),
    ("bleeder", "220k 1W", "rail=240", "220k 2W metal film"),
    ("heater-dropper", "870R 25W", CHAIN, "870R 30W wirewound"),
    ("heater-dropper", "1.2k 25W", "current=0.1A", "1.2k 50W wirewound"),
    ("ht-dropper", "1.5k 5W", "current=40mA rail=200", "1.5k 10W wirewound"),
    ("ht-dropper", "2.2k 2W", "rail=200", "2.2k 3W wirewound"),
    ("lamp-shunt", "60R 2W", "", "60R 5% 3W wirewound"),
    ("lamp-shunt", "68R", "current=0.1A", "68R 3W wirewound"),
    ("field-substitute", "1k 10W", "current=65mA rail=250", "1k 20W wirewound"),
    ("feedback", "47k 1/2W", "", "47k 0.25W 1% metal film"),
    ("feedback", "1k 1/2W", "", "1k 0.5W 5% metal film"),
)  # fmt: skip

WITH_CARE = (
    ("cathode-bias", "200R 1W", "valve=EL84", "220R 1W metal film"),
    ("cathode-bias", "150R 1W", "", "150R 1W composition"),
    ("x-discharge", "1M", "", "1M 1W carbon film"),
    ("anode-load", "220k 1/2W", "rail=200", "330k 0.5W metal film"),
    ("bleeder", "100k 2W", "rail=250", "100k 2W wirewound 420V"),
    ("anode-load", "470k 1/2W", "", "470k 5W wirewound"),
)  # fmt: skip

NOT_FIT = (
    ("anode-load", "470k 1/2W", "rail=300", "470k 0.25W 250V metal film"),
    ("bleeder", "1M 1/2W", "rail=300", "1M 0.25W metal film"),
    ("heater-dropper", "870R 25W", CHAIN, "870R 25W metal film"),
    ("grid-stopper", "4.7k", "", "4.7k 5W wirewound"),
    ("back-bias", "47R", "current=0.1A", "47R 0.5W metal film"),
)  # fmt: skip


def verdict(position: str, original: str, facts: str, part: str, condition: str = "new") -> tuple[str, list[str]]:
    """Return the verdict on a part in the hand, and the reasons that are not a pass."""
    given = [f"original={original}"] if original else []
    request = Request("resistor", "", position, {}, read_facts([*given, *shlex.split(facts)]))
    answer = try_text(request, part, condition, [])
    judged = (answer["candidates"] + answer["near_misses"])[0]
    return judged["verdict"], [check["reason"] for check in judged["checks"] if check["verdict"] != "pass"]


@pytest.mark.parametrize(("position", "original", "facts", "part"), GOOD)
def test_an_everyday_part_fits(position: str, original: str, facts: str, part: str) -> None:
    """A new part that any repairer would fit comes out as fits."""
    said, reasons = verdict(position, original, facts, part)
    assert said == "fits", reasons


@pytest.mark.parametrize(("position", "original", "facts", "part"), WITH_CARE)
def test_a_part_at_the_edge_needs_care(position: str, original: str, facts: str, part: str) -> None:
    """It is neither refused nor sent to be measured."""
    assert verdict(position, original, facts, part)[0] == "care"


@pytest.mark.parametrize(("position", "original", "facts", "part"), NOT_FIT)
def test_a_part_that_would_fail_is_unfit(position: str, original: str, facts: str, part: str) -> None:
    """The other side of the line: what looks alike and is not enough."""
    assert verdict(position, original, facts, part)[0] == "unfit"


def test_old_composition_is_measured_first() -> None:
    """It climbs with the years, in the drawer too."""
    said, reasons = verdict("anode-load", "470k 1/2W", "", "470k 1/2W composition", "salvaged")
    assert (said, any("drifts upward" in reason for reason in reasons)) == ("measure", True)
