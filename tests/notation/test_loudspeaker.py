"""Loudspeakers as people write them."""

from __future__ import annotations

from typing import Any

import pytest

from partsbin.notation.loudspeaker import read_loudspeaker, says_field


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        ("3 ohm 5 inch speaker", {"impedance": 3.0, "diameter": pytest.approx(0.127)}),
        ("tweeter 8 ohm 10W", {"impedance": 8.0, "power": 10.0}),
        ("Elliptical 8 x 5 inch 3 ohm", {"impedance": 3.0, "diameter": pytest.approx(0.2032)}),
        ("LS 4 Ohm 5W oval 180x130", {"impedance": 4.0, "power": 5.0, "diameter": 0.18}),
        (
            "mains energised speaker, field 1200 ohms, 2.5 ohm voice coil",
            {"field_resistance": 1200.0, "impedance": 2.5},
        ),
    ],
)
def test_ohms_watts_and_size_are_read(text: str, fields: dict[str, Any]) -> None:
    """Of an oval one the longer axis counts; bare figures from 50 up are millimetres."""
    (reading,) = read_loudspeaker(text)
    assert (reading.fields, reading.sure, reading.bare) == (fields, True, False)


@pytest.mark.parametrize(
    ("text", "has"),
    [
        ("3 ohm 8 in, field coil", True),
        ("electrodynamic speaker 3 ohm", True),
        ("Lautsprecher 4 Ohm, fremderregt", True),
        ("3 ohm 8 in", False),
        ("speaker 3 ohm, permanent magnet, no field coil", False),
        ("PM speaker 3 ohm", False),
        ("Lautsprecher 4 Ohm permanentdynamisch, ohne Feldspule", False),
    ],
)
def test_a_field_coil_is_read_from_words(text: str, has: bool) -> None:
    """What is denied is no field; no figure is needed for one."""
    assert says_field(text) is has


def test_hundreds_of_ohms_beside_a_denied_field_are_no_field() -> None:
    """800 Ω without a field is the voice coil of an intercom, not a winding at HT."""
    (reading,) = read_loudspeaker("speaker 800 ohm, no field coil")
    assert reading.fields == {"impedance": 800.0}
