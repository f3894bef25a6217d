"""Everyday good substitutions, checked by hand as a repairer would: not refused, not sent to be measured without cause.

Origin: common practice of the trade as collected in the window table of capacitor positions (coupling ±20 %, bypass over-size,
electrolytics up, nothing under the original volts); each line is a part that a working repairer would fit without a thought.
"""

from __future__ import annotations

import pytest

from partsbin.matching.hand import try_text
from partsbin.needs import Request
from partsbin.sets import read_facts

CARRIES_CARE = "care"
GOOD = (
    # position, dead part, facts of the set, part in the hand
    ("coupling", "0.02uF 350V waxed paper", "", "22n 400V film"),
    ("coupling", "0.01uF 350V", "", "10n 400V polyester"),
    ("coupling", "0.05uF 350V", "", "47nF 400V film"),
    ("coupling", "0.1uF 350V", "", "100n 400V polypropylene"),
    ("coupling", "0.005uF 500V", "", "4n7 630V polypropylene"),
    ("coupling", "0.25uF 350V", "", "220n 400V film"),
    ("coupling", "0.5 mfd 350V", "", "470n 630V film"),
    ("coupling", "0.03uF 350V", "", "33n 630V film"),
    ("coupling", "0.02uF", "rail=240", "22n 630V film"),
    ("coupling", "0.02uF", "rail=200 anode=90 grid_leak=470k", "22n 400V film"),
    ("coupling", "0.01uF", "secondary=250-0-250", "10n 630V film"),
    ("coupling", "5000pF 350V", "", "4.7nF 500V silver mica"),
    ("coupling", "0.001uF 350V", "", "1n 500V silver mica"),
    ("decoupling", "8uF 350V", "", "10uF 450V electrolytic"),
    ("decoupling", "8uF 450V", "rail=240", "10uF 450V electrolytic"),
    ("decoupling", "0.1uF 350V", "", "100n 400V film"),
    ("decoupling", "0.5uF 350V", "rail=220", "470n 630V film"),
    ("decoupling", "16uF 350V", "rail=200", "22uF 400V electrolytic"),
    ("reservoir", "32uF 350V", "", "33uF 450V electrolytic"),
    ("reservoir", "16uF 450V", "rail=250", "16uF 450V electrolytic"),
    ("reservoir", "16uF 450V", "rail=250", "22uF 450V electrolytic"),
    ("reservoir", "8uF 450V", "rail=250", "10uF 450V electrolytic"),
    ("reservoir", "32uF 450V", "secondary=250-0-250 rectifier=EZ81", "33uF 450V 105C electrolytic"),
    ("reservoir", "32uF 450V", "secondary=250-0-250 rectifier=EZ81", "47uF 450V 105C electrolytic"),
    ("reservoir", "50uF 350V", "chassis=live", "47uF 450V electrolytic"),
    ("reservoir", "50uF 275V", "chassis=live", "47uF 400V electrolytic"),
    ("smoothing", "32uF 350V", "", "47uF 450V electrolytic"),
    ("smoothing", "32uF 450V", "rail=250", "33uF 450V electrolytic"),
    ("smoothing", "16uF 450V", "rail=250", "22uF 450V electrolytic"),
    ("smoothing", "50uF 350V", "chassis=live", "100uF 400V electrolytic"),
    ("smoothing", "8uF 450V", "rail=250", "10uF 450V electrolytic"),
    ("bias-smoothing", "25uF 25V", "", "47uF 50V electrolytic"),
    ("bias-smoothing", "50uF 50V", "", "47uF 63V electrolytic"),
    ("cathode-bypass", "25uF 25V", "", "22uF 25V electrolytic"),
    ("cathode-bypass", "25uF 25V", "", "47uF 25V electrolytic"),
    ("cathode-bypass", "25uF 12V", "", "47uF 63V electrolytic"),
    ("cathode-bypass", "50uF 12V", "", "100uF 25V electrolytic"),
    ("cathode-bypass", "50uF 25V", "", "47uF 35V electrolytic"),
    ("cathode-bypass", "50uF", "valve=EL84", "47uF 25V electrolytic"),
    ("screen-bypass", "0.1uF 350V", "", "100n 400V film"),
    ("screen-bypass", "0.05uF 350V", "rail=220", "47n 630V film"),
    ("screen-bypass", "0.1uF", "rail=240", "100n 630V film"),
    ("heater-bypass", "0.01uF 500V", "", "10n 1000V ceramic disc X7R"),
    ("agc", "0.1uF 200V", "", "100n 250V film"),
    ("agc", "0.05uF 150V", "", "47n 400V film"),
    ("detector-filter", "100pF 350V", "", "100pF 500V silver mica"),
    ("detector-filter", "200pF 350V", "", "220pF 500V ceramic C0G"),
    ("detector-filter", "100 mmfd 500V", "", "100pF 500V mica"),
    ("tone", "0.01uF 350V", "", "10n 400V film"),
    ("tone", "0.05uF 350V", "", "47n 630V film"),
    ("tone", "0.02uF", "rail=240", "22n 630V film"),
    ("output-tone", "0.005uF 1000V", "", "4n7 1000V film"),
    ("output-tone", "0.005uF", "rail=240", "4.7n 1000V polypropylene"),
    ("output-tone", "0.01uF", "rail=250", "10n 1000V film"),
    ("feedback", "470pF 350V", "", "470pF 5% 500V silver mica"),
    ("rf-bypass", "0.01uF 350V", "", "10n 1000V ceramic disc X7R"),
    ("rf-bypass", "0.005uF 500V", "rail=200", "4.7n 1kV ceramic"),
    ("rf-bypass", "0.1uF", "rail=240", "100n 630V film"),
    ("rectifier-shunt", "0.01uF", "secondary=250-0-250", "10n 2000V ceramic"),
    ("tuned", "200pF 350V", "", "200pF 1% 500V silver mica"),
    ("tuned", "100pF 500V", "", "100pF 1% 500V C0G ceramic"),
    ("padder", "450pF 350V", "", "450pF 1% 500V silver mica"),
    ("mains-across", "0.1uF 250V~", "", "100n 275VAC X2"),
    ("mains-across", "0.05uF", "", "47nF X2 310 VAC"),
    ("mains-across", "0.1uF", "mains=240", "0.1uF X2 275VAC"),
    ("mains-to-chassis", "0.005uF", "chassis=earthed", "4.7nF Y2 250VAC"),
    ("mains-to-chassis", "0.002uF", "chassis=floating", "2.2nF Y1 400VAC"),
    ("aerial-isolation", "0.01uF", "chassis=live", "4.7nF Y2 250V~"),
    ("aerial-isolation", "0.002uF", "chassis=live", "2.2nF Y1 250VAC ceramic"),
    ("aerial-isolation", "1000pF", "chassis=live", "1nF Y2 300VAC"),
    ("earth-isolation", "0.01uF", "chassis=live", "4.7nF Y2 250VAC"),
    ("pickup-isolation", "0.01uF", "chassis=live", "4.7nF X1/Y2 250VAC"),
    ("aerial-isolation", "0.005uF 350V", "chassis=floating", "4.7nF 500V silver mica"),
    ("crossover", "4uF", "rail=20", "3.9uF 250V film"),
)  # fmt: skip

THIN_BY_RULE = (
    # equality and more than 95 % of a rating are thin: the design's rule, so care and not a nag
    ("coupling", "0.02uF", "rail=250", "22n 400V film"),
    ("reservoir", "32uF 350V", "", "32uF 350V electrolytic"),
    ("output-tone", "0.005uF", "rail=250", "4n7 630V film"),
)  # fmt: skip


def verdict(position: str, original: str, facts: str, part: str) -> tuple[str, list[str]]:
    """Return the verdict on a new part in the hand, and the reasons that are not a pass."""
    request = Request("capacitor", "", position, {}, read_facts([f"original={original}", *facts.split()]))
    answer = try_text(request, part, "new", [])
    judged = (answer["candidates"] + answer["near_misses"])[0]
    return judged["verdict"], [check["reason"] for check in judged["checks"] if check["verdict"] != "pass"]


@pytest.mark.parametrize(("position", "original", "facts", "part"), GOOD)
def test_an_everyday_part_fits(position: str, original: str, facts: str, part: str) -> None:
    """A new part that any repairer would fit comes out as fits."""
    said, reasons = verdict(position, original, facts, part)
    assert said == "fits", reasons


@pytest.mark.parametrize(("position", "original", "facts", "part"), THIN_BY_RULE)
def test_a_part_at_the_edge_of_its_rating_needs_care(position: str, original: str, facts: str, part: str) -> None:
    """It is neither refused nor sent to be measured."""
    assert verdict(position, original, facts, part)[0] == "care"
