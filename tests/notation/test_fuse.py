"""Fuses as people write them."""

from __future__ import annotations

from typing import Any

import pytest

from partsbin.notation.fuse import read_fuse

READ: list[tuple[str, dict[str, Any]]] = [
    ("T2AL250V", {"speed": "T", "current": 2.0, "breaking": "L", "voltage_ac": 250.0}),  # the order of IEC 60127
    ("T630mA H 250V", {"speed": "T", "current": 0.63, "breaking": "H", "voltage_ac": 250.0}),
    ("500 mA slow-blow 20 mm", {"speed": "T", "current": 0.5, "size": "5x20"}),
    ("F1A 5x20", {"speed": "F", "current": 1.0, "size": "5x20"}),
    ("Feinsicherung 0,63 A träge 5x20 mm", {"speed": "T", "current": 0.63, "size": "5x20"}),
    ('1A quick blow glass 1 1/4"', {"speed": "F", "current": 1.0, "breaking": "L", "size": "6.3x32"}),
    ("T500mA ceramic 5x20 500V DC", {"speed": "T", "current": 0.5, "size": "5x20", "voltage_dc": 500.0}),
    ("250mA F 20mm UL", {"speed": "F", "current": 0.25, "size": "5x20", "standard": "UL"}),
    ("fuse 3A", {"current": 3.0}),
    ("T2A5 H 250V", {"speed": "T", "current": 2.5, "breaking": "H", "voltage_ac": 250.0}),
    ("Schmelzeinsatz M 0,6/250", {"speed": "M", "current": 0.6, "voltage_ac": 250.0}),
]


@pytest.mark.parametrize(("text", "fields"), READ)
def test_current_speed_breaking_and_size_are_read(text: str, fields: dict[str, Any]) -> None:
    """A ceramic body is no mark of what it breaks; glass breaks little."""
    (reading,) = read_fuse(text)
    assert (reading.fields, reading.sure) == (fields, True)


@pytest.mark.parametrize("text", ["", "22n 400V", "EL84 T", "2 A 250 V~ toggle", "60 mA choke"])
def test_what_is_no_fuse_is_not_read_as_one(text: str) -> None:
    """A current alone names no fuse."""
    assert [reading for reading in read_fuse(text) if not reading.bare] == []


@pytest.mark.parametrize("text", ["3AG 2A slo-blo", "3AG 2A slow-blow", "2A time delay 3AG"])
def test_american_words_and_sizes(text: str) -> None:
    """3AG is a quarter by one and a quarter inch (from memory)."""
    (reading,) = read_fuse(text)
    assert reading.fields == {"current": 2.0, "speed": "T", "size": "6.3x32"}
