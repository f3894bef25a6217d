"""Switches as people write them."""

from __future__ import annotations

from typing import Any

import pytest

from partsbin.notation.switch import read_switch

READ: list[tuple[str, dict[str, Any], bool]] = [
    ("DPST toggle 3 A 250 V~", {"poles": 2, "ways": 1, "action": "toggle", "voltage_ac": 250.0, "current": 3.0}, True),
    ("DPDT switch", {"poles": 2, "ways": 2}, True),
    ("double pole mains switch 2A 250VAC", {"poles": 2, "voltage_ac": 250.0, "current": 2.0}, True),
    ("Kippschalter 2-polig 250 V 6 A", {"poles": 2, "action": "toggle", "voltage_ac": 250.0, "current": 6.0}, True),
    ("rotary switch 2 pole 6 way", {"poles": 2, "ways": 6, "action": "rotary"}, True),
    ("slide switch 16 V 1 A", {"action": "slide", "voltage_dc": 16.0, "current": 1.0}, False),
    ("4P3W wafer", {"poles": 4, "ways": 3, "action": "rotary"}, True),
    (
        "switch 6A 250VAC / 0.5A 220VDC",
        {"voltage_ac": 250.0, "voltage_dc": 220.0, "current": 6.0, "current_dc": 0.5},
        True,
    ),
    (
        "switch 3A 250VAC / 6A 125VAC / 1A 30VDC",
        {"voltage_ac": 250.0, "voltage_dc": 30.0, "current": 3.0, "current_dc": 1.0},
        True,
    ),
    ("switch 3A 250VAC / 3A 30VDC", {"voltage_ac": 250.0, "voltage_dc": 30.0, "current": 3.0}, True),
]


@pytest.mark.parametrize(("text", "fields", "sure"), READ)
def test_poles_action_and_rating_are_read(text: str, fields: dict[str, Any], sure: bool) -> None:
    """Few volts without a word are direct current; each kind of current has its own amperes."""
    (reading,) = read_switch(text)
    assert (reading.fields, reading.sure) == (fields, sure)


@pytest.mark.parametrize("text", ["", "22n 400V", "250k log", "EL84"])
def test_what_is_no_switch_is_not_read_as_one(text: str) -> None:
    """Nothing in it says that it switches."""
    assert read_switch(text) == []


@pytest.mark.parametrize(
    ("text", "ratings"),
    [
        ("DPST 3A 125V 250V", [(125.0, 3.0, False), (250.0, 3.0, False)]),
        ("DPST 3A 125-250V", [(125.0, 3.0, False), (250.0, 3.0, False)]),
        ("DPST 3A 125/250V", [(250.0, 3.0, True)]),
        ("DPST 6A/125V 3A/250V", [(250.0, 3.0, True)]),
        ("DPST 3A 250VAC 30VDC", [(250.0, 3.0, True)]),
    ],
)
def test_one_current_beside_several_volts_is_ambiguous(text: str, ratings: list[tuple[float, float, bool]]) -> None:
    """Every reading, the least first; a stroke joins volts of one current, pairs are pairs (common practice, no source)."""
    found = [(r.fields["voltage_ac"], r.fields["current"], r.sure) for r in read_switch(text)]
    assert found == ratings


@pytest.mark.parametrize("text", ["DPST 3A 125/250VDC", "DPST 3A 125/250 V DC", "DPST 3A 125/250V="])
def test_volts_of_a_list_keep_their_kind(text: str) -> None:
    """Direct volts never pass for alternating ones."""
    (reading,) = read_switch(text)
    assert (reading.fields.get("voltage_ac"), reading.fields["voltage_dc"]) == (None, 250.0)


def test_poles_and_a_rating_alone_are_a_switch_if_the_family_is_named() -> None:
    """Bare: without the family they may be a plug's; another noun makes them one."""
    (reading,) = read_switch("DP 16(4)A 250V")
    assert (reading.bare, reading.fields["poles"], reading.fields["current"]) == (True, 2, 4.0)
    assert read_switch("2 pole 250V 3A plug") == []


@pytest.mark.parametrize("text", ["2p6w", "2p 6w rotary", "2 pole 6 way", "2-pole, 6-way", "2P6T"])
def test_poles_and_ways_alone_are_a_switch(text: str) -> None:
    """So wave-change switches are called: no watts, no picofarads (common practice, no source)."""
    (reading,) = read_switch(text)
    assert (reading.fields["poles"], reading.fields["ways"], reading.bare) == (2, 6, False)
