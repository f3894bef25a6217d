"""Lamps as people write them."""

from __future__ import annotations

from typing import Any

import pytest

from partsbin.notation.lamp import read_lamp

READ: list[tuple[str, dict[str, Any]]] = [
    ("6.3V 0.3A MES lamp", {"voltage": 6.3, "current": 0.3, "base": "E10"}),
    ("8 V 0.2 A E10", {"voltage": 8.0, "current": 0.2, "base": "E10"}),
    ("Skalenlampe 6,3V/0,1A BA9s", {"voltage": 6.3, "current": 0.1, "base": "BA9s"}),
    ("bulb 6V 1.8W", {"voltage": 6.0, "current": 0.3}),
    ("neon 90V", {"kind": "neon", "voltage": 90.0}),
    ("pilot bulb 12V 0.1A", {"voltage": 12.0, "current": 0.1}),
    ("Skalenlämpchen 18V 0,1A", {"voltage": 18.0, "current": 0.1}),
    ("6V3 0A3 lamp", {"voltage": 6.3, "current": 0.3}),
    ("6-8V 0.15A bayonet pilot lamp", {"voltage": 6.3, "current": 0.15, "base": "BA9s"}),
    ("#44 bulb", {"voltage": 6.3, "current": 0.25, "base": "BA9s"}),
    ("type 46 pilot lamp", {"voltage": 6.3, "current": 0.25, "base": "E10"}),
    ("LED lamp 6.3V E10", {"kind": "LED", "voltage": 6.3, "base": "E10"}),
]


@pytest.mark.parametrize(("text", "fields"), READ)
def test_volts_current_and_base_are_read(text: str, fields: dict[str, Any]) -> None:
    """Watts over volts give the current."""
    (reading,) = read_lamp(text)
    assert (reading.fields, reading.sure) == (pytest.approx(fields), True)


@pytest.mark.parametrize("text", ["", "22n 400V", "EL84", "1M log DP switch"])
def test_what_is_no_lamp_is_not_read_as_one(text: str) -> None:
    """Volts alone name no lamp."""
    assert [reading for reading in read_lamp(text) if not reading.bare] == []


def test_a_lamp_of_no_volts_has_no_current() -> None:
    """Watts over nothing are no amperes; that 0 V cannot be is said later."""
    (reading,) = read_lamp("0V 1W lamp")
    assert "current" not in reading.fields


@pytest.mark.parametrize("text", ["#44 bulb 12V", "#45 lamp"])
def test_a_number_that_the_text_contradicts_or_nobody_knows_is_not_sure(text: str) -> None:
    """What the text says stands."""
    (reading,) = read_lamp(text)
    assert not reading.sure
    assert reading.fields.get("voltage") != 6.3


def test_a_number_alone_makes_no_lamp() -> None:
    """#44 may be a drill; where it is known that it is a lamp, it has its volts and amperes (from memory)."""
    (reading,) = read_lamp("#44")
    assert reading.bare
    assert reading.fields == {"voltage": 6.3, "current": 0.25, "base": "BA9s"}
