"""The scanner: each piece of a description typed, nothing lost."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.notation.scan import phrase_key, scan
from partsbin.notation.text import normalise

WORDS = {"silver mica": ("material", "mica"), "mica": ("material", "plain mica"), "nos": ("condition", "unused-old")}


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("47n 400V", "quantity quantity"),
        ("47uF450V", "quantity quantity"),
        ("0.1 400V", "number quantity"),
        ("8uF 450V + 25uF 25V", "quantity quantity mark quantity quantity"),
        ("33 uF/450V -10+50%", "quantity mark quantity tolerance"),
        ("450V-10+50%", "quantity tolerance"),
        ("±5 % ±0.5pF 10%", "tolerance tolerance tolerance"),
        ("45:1 30:1,45:1", "ratio ratio mark ratio"),
        ("5k2:3Ω", "quantity mark quantity"),
        ("5:3 ohm", "number mark quantity"),
        ("2x 100uF", "multiple quantity"),
        ("2xEL84", "multiple code"),
        ("10 off 0.1uF", "multiple quantity"),
        ("1 X2 275V", "number code quantity"),
        ("16-16-8", "list"),
        ("8+8 uF", "list"),
        ("10/5/2.5W", "list"),
        ("1/4 W", "quantity"),
        ("250-0-250", "list"),
        ("50-600%", "number mark tolerance"),
        ("18x35mm", "size"),
        ("2J473K X7R EL84 .1K63", "code code code code"),
        ("2-pole 8-mfd", "code number mark word"),
        ("TB009-508-05BE", "code"),
        ("R47 p33 u1", "quantity quantity quantity"),
        ("-25/85°C", "number mark quantity"),
        ("8uF -450V", "quantity quantity"),
        ("waxed paper", "word word"),
    ],
)
def test_each_piece_has_its_kind(text: str, kinds: str) -> None:
    """Quantities, lists, ratios and the rest are told apart without any family's words."""
    assert " ".join(piece.kind for piece in scan(text)) == kinds


def test_a_list_carries_its_numbers_in_si_and_the_sign_between_them() -> None:
    """Sections and taps need both."""
    (piece,) = scan("16-16-8 uF")
    assert piece.values == (Decimal("16E-6"), Decimal("16E-6"), Decimal("8E-6"))
    assert (piece.unit, piece.detail) == ("F", "-")


def test_a_multiplier_letter_without_a_unit_is_kept_apart_from_a_unit() -> None:
    """470K may be a resistor or a capacitor's code: the family decides."""
    (piece,) = scan("470K")
    assert (piece.unit, piece.letter, piece.value) == ("", "K", Decimal("470E3"))


def test_the_longest_phrase_of_the_vocabulary_wins() -> None:
    """Hyphens, stops, capitals and a plural do not matter."""
    assert [piece.meaning for piece in scan("Silver-Micas, mica N.O.S.", WORDS) if piece.kind == "word"] == [
        ("material", "mica"),
        ("material", "plain mica"),
        ("condition", "unused-old"),
    ]


def test_a_word_outside_the_vocabulary_has_no_meaning() -> None:
    """It is left to the rest."""
    assert [piece.meaning for piece in scan("micalex", WORDS)] == [None]


@given(st.text(max_size=120))
def test_no_sign_is_lost(text: str) -> None:
    """The pieces together are the plain text, but for its blanks."""
    assert "".join(piece.text for piece in scan(text)).replace(" ", "") == normalise(text).text.replace(" ", "")


@given(st.text(max_size=30))
def test_phrase_keys_are_stable(words: str) -> None:
    """The key of a key is itself."""
    assert phrase_key(phrase_key(words)) == phrase_key(words)
