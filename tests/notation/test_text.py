"""Plain text: one sign for each thing, upper and lower case kept, work bounded."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.notation.text import LIMIT, normalise


@pytest.mark.parametrize(
    ("given_text", "plain"),
    [
        ("0.1 \u00b5F", "0.1 uF"),
        ("0.1 \u03bcF", "0.1 uF"),
        ("4.7 k\u03a9", "4.7 kohm"),
        ("4.7 k\u2126", "4.7 kohm"),
        ("4.7 kω", "4.7 kohm"),
        ("10 kOhms", "10 kohm"),
        ("1\u00a0000\u202fpF\u2009x", "1 000 pF x"),
        ("2 × 8 \u00b5F", "2 x 8 uF"),
        ("16\u201316\u20148\u22122\u20111", "16-16-8-2-1"),
        ("\uff11\uff10\uff10\uff4e", "100n"),
        ("±5% +/-10% +-20%", "±5% ±10% ±20%"),
        ("0·02 µF", "0.02 uF"),
        ("½ W, 1½ in, 2½ meg", "1/2 W, 1.5 in, 2.5 meg"),
        ("470½W, 47k½W", "470 1/2W, 47k 1/2W"),
        ("8 ㎌", "8 uF"),
        ("105 ℃", "105 °C"),
        ("105ºC", "105°C"),
        ("4 cm²", "4 cm²"),
        ("a\u200bb\tc\n d", "ab c d"),
    ],
)
def test_each_sign_gets_its_plain_form(given_text: str, plain: str) -> None:
    """Signs that mean the same come out the same."""
    assert normalise(given_text).text == plain


def test_case_is_kept_because_it_carries_the_multiplier() -> None:
    """MΩ and mΩ stay apart."""
    assert normalise("1 MΩ").text != normalise("1 mΩ").text


def test_a_long_text_is_cut_with_a_note() -> None:
    """The cut is said, with both lengths."""
    cut = normalise("x" * (LIMIT + 7))
    assert len(cut.text) == LIMIT
    assert cut.notes == (f"only the first {LIMIT} of {LIMIT + 7} characters were read",)


def test_a_text_of_the_longest_length_is_not_cut() -> None:
    """No note where nothing was left out."""
    assert normalise("x" * LIMIT).notes == ()


@given(st.text(max_size=60))
def test_plain_text_stays_as_it_is(text: str) -> None:
    """Making plain twice changes nothing more."""
    plain = normalise(text).text
    assert normalise(plain).text == plain


@given(st.text(max_size=3 * LIMIT))
def test_plain_text_is_bounded(text: str) -> None:
    """However a sign is spelled out, the plain text is no longer than the limit."""
    assert len(normalise(text).text) <= LIMIT
