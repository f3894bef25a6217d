"""What else to check and what to read afterwards: every position of every family says both, with a band where a figure exists."""

from __future__ import annotations

import re

import pytest

from partsbin.families import load
from partsbin.matching.answer import try_parts
from partsbin.needs import Request
from partsbin.sets import read_facts
from partsbin.stock.describe import TRADE_FAMILIES

POSITIONS = [(name, position) for name in TRADE_FAMILIES for position in load(name).rules().positions]
FIGURE = re.compile(r"\d[\d.]* ?(?:%|V|mA|MΩ|Ω|dB|of its)|three quarters|tenth|half an hour|a minute|an hour|seconds?")

BANDS = [
    # family, position, the figure
    ("capacitor", "aerial-isolation", "0.7 mA peak"),
    ("capacitor", "earth-isolation", "0.7 mA peak"),
    ("capacitor", "pickup-isolation", "0.7 mA peak"),
    ("capacitor", "mains-to-chassis", "0.7 mA peak"),
    ("resistor", "isolation-bridging", "0.7 mA peak"),
    ("resistor", "heater-dropper", "within 5 %"),
    ("resistor", "x-discharge", "under 60 V"),
    ("resistor", "bleeder", "under 60 V"),
    ("capacitor", "coupling", "0.1 V positive"),
    ("capacitor", "cathode-bypass", "±15 %"),
    ("resistor", "anode-load", "±15 %"),
    ("transformer", "mains", "within 7 %"),
    ("transformer", "heater", "within 7 %"),
    ("transformer", "output", "10 % under the HT"),
    ("transformer", "isolating", "20 MΩ at 500 V"),
    ("rectifier", "replaces-valve", "within 5 %"),
    ("rectifier", "replaces-selenium", "within 5 %"),
    ("valve", "output", "within 15 %"),
    ("valve", "rectifier", "within 10 %"),
    ("potentiometer", "balance", "within 2 dB"),
    ("switch", "mains", "20 MΩ at 500 V"),
    ("choke", "smoothing", "within 10 %"),
]


@pytest.mark.parametrize(("family", "position"), POSITIONS)
def test_every_position_says_what_else_and_what_afterwards(family: str, position: str) -> None:
    """Neither is empty in the rules, nor in an answer that was built from nothing."""
    answer = try_parts(Request(family, "", position), [])
    assert answer["also"]
    assert answer["after"]
    assert all(line.strip() for line in (*answer["also"], *answer["after"], *answer["cautions"]))


@pytest.mark.parametrize(("family", "position", "figure"), BANDS)
def test_where_a_figure_exists_the_reading_has_its_band(family: str, position: str, figure: str) -> None:
    """A reading without one decides nothing."""
    assert any(figure in line for line in load(family).rules().of(position, "after"))


def test_most_readings_have_a_figure() -> None:
    """The rest are looked at, listened to or aligned."""
    with_figure = [
        key for key in POSITIONS if any(FIGURE.search(line) for line in load(key[0]).rules().of(key[1], "after"))
    ]
    assert 2 * len(with_figure) > len(POSITIONS)


WORKED = [
    # family, position, dead part, facts, a line of the answer: worked by hand beside it
    (
        "capacitor",
        "reservoir",
        "32uF 450V",
        ("rail=250",),
        "225 to 275 V DC across it under load (given)",
    ),  # 250 ± 10 %
    (
        "capacitor",
        "smoothing",
        "32uF 450V",
        ("rail=233",),
        "210 to 256 V DC across it under load (given)",
    ),  # 209.7, 256.3
    (
        "capacitor",
        "reservoir",
        "50uF 350V",
        ("chassis=live", "mains=230"),
        "no more than 358 V across it at switch-on",
    ),  # 253 √2
    ("capacitor", "cathode-bypass", "25uF 25V", ("valve=EL84",), "6.21 to 8.39 V across it, set warm"),  # 7.3 ± 15 %
    ("choke", "smoothing", "10H 60mA 300 ohm", ("current=50mA",), "13.5 to 16.5 V across it warm"),  # 15 ± 10 %
    ("fuse", "primary", "T500mAE250V", (), "no more than 375 mA through it"),  # 0.75 × 500
]


@pytest.mark.parametrize(("family", "position", "dead", "facts", "line"), WORKED)
def test_what_the_set_says_becomes_a_band(
    family: str, position: str, dead: str, facts: tuple[str, ...], line: str
) -> None:
    """The reading that proves the repair, rounded inward."""
    after = try_parts(Request(family, dead, position, {}, read_facts(facts)), [])["after"]
    assert any(one.startswith(line) for one in after), after


@pytest.mark.parametrize(
    ("family", "position", "dead"),
    [("capacitor", "reservoir", "32uF"), ("choke", "smoothing", "10H 300 ohm"), ("fuse", "primary", "")],
)
def test_what_is_not_known_gives_no_band(family: str, position: str, dead: str) -> None:
    """Only the lines of the position are left."""
    after = try_parts(Request(family, dead, position), [])["after"]
    assert after == list(load(family).rules().of(position, "after"))
