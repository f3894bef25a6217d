"""Everyday good controls, checked by hand as a repairer would: not refused, not sent to be measured without cause.

Origin: common practice of the trade; each line is a part that a working repairer would fit without a thought.
"""

from __future__ import annotations

import pytest

from partsbin.matching.hand import try_text
from partsbin.needs import Request
from partsbin.sets import read_facts

GOOD = (
    # position, dead part, facts of the set, part in the hand
    ("volume", "500k log", "chassis=floating", "500k log"),
    ("volume", "500k log", "chassis=earthed", "470k log carbon"),
    ("volume", "1M log", "chassis=floating", "1M log 0.25W"),
    ("volume", "1/2 Meg log", "chassis=floating", "470k log pot"),
    ("volume", "250k log", "chassis=floating", "220k log"),
    ("volume", "2M log", "chassis=floating", "2.2M log"),
    ("volume", "1M log no switch", "chassis=live", "1M log plastic spindle no switch"),
    ("volume", "1M log DP sw", "chassis=live current=0.3", "1M log DPST 4A 250V~ plastic spindle"),
    ("volume", "1M log DP sw", "chassis=live", "1M log double pole switch 2A 250VAC nylon spindle"),
    ("volume", "500k log DP sw", "lineup=UCH81,UF89,UABC80,UL84,UY85", "500k log DPST 4A 250V AC insulated spindle"),
    ("volume", "1M log SP sw", "chassis=live current=0.2", "1M log DPST 2A 250V~ plastic spindle"),
    ("volume", "500k log SP sw", "chassis=earthed", "500k log SPST 2A 250V~"),
    ("volume", "500k log SP sw", "lineup=ECH81,EBF89,EABC80,EL84,EZ80", "470k log SPST 2A 250V~"),
    ("volume", "500k log DP sw", "chassis=earthed", "500k log DPST 2A 250V~"),
    ("volume", "500k log spindle 6.35 mm", "chassis=floating", "500k log 6.35 mm spindle"),
    ("volume", "1M log 1/4in shaft", "chassis=floating", "1M log 1/4in shaft"),
    ("volume", "dual 500k log", "chassis=floating", "dual 500k log"),
    ("volume", "2M log tap at 20%", "chassis=floating", "2M log tap at 25%"),
    ("volume", "", "chassis=floating", "500k log"),
    ("tone", "500k lin", "chassis=floating", "470k lin"),
    ("tone", "50k lin", "chassis=floating anode=200", "50k lin 0.5W 350V"),
    ("tone", "1M log", "chassis=floating", "1M log"),
    ("tone", "250k lin", "chassis=earthed", "250k lin 0.25W"),
    ("rf-gain", "10k lin wirewound", "chassis=floating current=10mA", "10k wirewound pot 3W"),
    ("rf-gain", "5k lin wirewound", "chassis=floating current=8mA", "5k lin wirewound pot 2W"),
    ("rf-gain", "10k lin 1W", "chassis=floating", "10k lin 2W"),
    ("hum-balance", "100R wirewound", "", "100R wirewound pot 1W"),
    ("hum-balance", "w/w 50R hum", "", "50R wirewound pot 2W"),
    ("hum-balance", "100R hum", "", "100R lin 1W pot"),
    ("hum-balance", "100R hum", "lineup=AL4", "100R w/w 1W hum"),
    ("bias-preset", "25k lin preset rheostat", "rail=40", "22k lin preset 0.25W"),
    ("bias-preset", "10k preset end resistor", "rail=30", "10k cermet preset 0.5W"),
    ("bias-preset", "22k preset rheostat", "rail=50", "22k preset 0.5W"),
    ("balance", "500k lin", "chassis=floating", "500k lin"),
    ("balance", "1M lin", "chassis=earthed", "1M lin 0.25W"),
)  # fmt: skip

CARE = (
    # works, and something is to be changed or feels different
    ("volume", "500k log", "chassis=floating", "500k lin"),
    ("volume", "1M log DP sw", "chassis=live", "1M log DPST 4A 250V~ brass spindle"),
    ("volume", "1M log DP sw", "chassis=live", "1M log no switch plastic spindle"),
    ("volume", "1M log spindle 6.35 x 45 mm", "chassis=floating", "1M log spindle 6 x 45 mm"),
    ("volume", "2M log tapped", "chassis=floating", "2M log"),
    ("volume", "500k log", "chassis=floating", "dual 500k log"),
    ("volume", "500k log DP sw", "chassis=earthed", "500k log SPST 2A 250V~"),
    ("volume", "500k log", "chassis=floating", "1M log"),
)  # fmt: skip


def verdict(position: str, original: str, facts: str, part: str) -> tuple[str, list[str]]:
    """Return the verdict on a new part in the hand, and the reasons that are not a pass."""
    given = [f"original={original}"] if original else []
    request = Request(
        "potentiometer", "", position, {}, read_facts([*given, *(f.replace(",", " ") for f in facts.split())])
    )
    answer = try_text(request, part, "new", [])
    judged = (answer["candidates"] + answer["near_misses"])[0]
    return judged["verdict"], [check["reason"] for check in judged["checks"] if check["verdict"] != "pass"]


@pytest.mark.parametrize(("position", "original", "facts", "part"), GOOD)
def test_an_everyday_control_fits(position: str, original: str, facts: str, part: str) -> None:
    """A new part that any repairer would fit comes out as fits."""
    said, reasons = verdict(position, original, facts, part)
    assert said == "fits", reasons


@pytest.mark.parametrize(("position", "original", "facts", "part"), CARE)
def test_a_control_that_works_with_a_change_needs_care(position: str, original: str, facts: str, part: str) -> None:
    """It is neither refused nor sent to be measured."""
    said, reasons = verdict(position, original, facts, part)
    assert said == "care", reasons
