"""What else to check and what to read afterwards: every position of every family says both, with a band where a figure exists."""

from __future__ import annotations

import re

import pytest

from partsbin.families import load
from partsbin.matching.answer import try_parts
from partsbin.needs import Request
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
