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
    ("switch 6A 250VAC / 0.5A 220VDC", {"voltage_ac": 250.0, "voltage_dc": 220.0, "current": 0.5}, False),
]


@pytest.mark.parametrize(("text", "fields", "sure"), READ)
def test_poles_action_and_rating_are_read(text: str, fields: dict[str, Any], sure: bool) -> None:
    """Few volts without a word are direct current; of several currents the smallest counts."""
    (reading,) = read_switch(text)
    assert (reading.fields, reading.sure) == (fields, sure)


@pytest.mark.parametrize("text", ["", "22n 400V", "250k log", "EL84"])
def test_what_is_no_switch_is_not_read_as_one(text: str) -> None:
    """Nothing in it says that it switches."""
    assert read_switch(text) == []
