"""Windings of a mains transformer, in the order of the text."""

from __future__ import annotations

from decimal import Decimal

import pytest

from partsbin.notation.scan import scan
from partsbin.notation.windings import Windings, is_split


def taken(*texts: str, primary: bool = False) -> list[dict[str, object]]:
    """The rows that volts and amperes in that order make."""
    windings = Windings()
    for text in texts:
        (piece,) = scan(text)
        if piece.unit == "A":
            windings.amperes(piece.value)
        else:
            windings.volts(piece, primary=primary, times=1)
    return [row.fields() for row in windings.rows]


def test_a_split_winding_is_named_by_its_sides() -> None:
    """250-0-250: the volts of one side."""
    assert taken("250-0-250", "80mA") == [{"name": "250-0-250 V", "voltage": 250.0, "current": 0.08}]


def test_a_current_belongs_to_the_winding_before_it_and_to_no_other() -> None:
    """The second current finds no winding without one."""
    assert taken("6.3V", "3A", "2A", "5V") == [
        {"name": "6.3 V", "voltage": 6.3, "current": 3.0},
        {"name": "5 V", "voltage": 5.0},
    ]


def test_taps_keep_their_volts_in_words() -> None:
    """The highest is the winding's."""
    assert taken("0-110-230V", primary=True) == [{"name": "primary", "voltage": 230.0, "taps": "110/230 V"}]


def test_mains_volts_that_stand_first_are_the_primary() -> None:
    """Said in a note, since the text does not."""
    windings = Windings()
    (piece,) = scan("230V")
    windings.volts(piece, primary=False, times=1)
    assert (windings.rows[0].name, windings.notes) == ("primary", ["'230V' stands first: taken as the primary"])


def test_volts_with_milliamperes_are_no_primary() -> None:
    """1 × 250 V 60 mA is an HT winding, and nothing is said of a primary."""
    windings = Windings()
    (volts,), (current,) = scan("250V"), scan("60mA")
    windings.volts(volts, primary=False, times=1)
    windings.amperes(current.value)
    assert ([row.fields() for row in windings.rows], windings.notes) == (
        [{"name": "250 V", "voltage": 250.0, "current": 0.06}],
        [],
    )


def test_windings_are_bounded() -> None:
    """A thousand windings are not taken."""
    windings = Windings()
    (piece,) = scan("6.3V")
    assert not windings.volts(piece, primary=False, times=1000)
    assert windings.rows == []
    assert not windings.amperes(Decimal(1))


@pytest.mark.parametrize(
    ("text", "split"), [("250-0-250", True), ("250-0-240V", False), ("0-110-230V", False), ("6.3V", False)]
)
def test_only_equal_sides_about_nought_are_a_split_winding(text: str, split: bool) -> None:
    """Taps are not."""
    (piece,) = scan(text)
    assert is_split(piece) is split
