"""Paper: typefaces that travel with the package, and texts made fit to print."""

from __future__ import annotations

import hashlib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from partsbin.paper import FILES, POINT, face, in_order, printable
from partsbin.resources import resource

TRADE = "ΩµμÅ±×÷°²³½→≤≥≈∞√–—…“”‚‘’äöüßéèçåøæłžÄÖÜ€£§"


@pytest.mark.parametrize("style", FILES)
def test_a_typeface_has_the_signs_of_the_trade(style: str) -> None:
    """Upright and bold."""
    assert [sign for sign in TRADE if not face(style).has(sign)] == []


def test_a_width_grows_with_the_size() -> None:
    """An em of ten points is ten points wide."""
    assert face().width("—", 20) == pytest.approx(2 * face().width("—", 10))
    assert 0.5 * 10 * POINT < face().width("—", 10) <= 10 * POINT


@pytest.mark.parametrize(
    ("style", "digest"),
    [
        ("", "2d8aa290adcf1ebcbb35f63e57cf32941b012eaab4b65096b904112cf3bac972"),
        ("B", "6d2f2481e2aae944e8411cc5be515c69503ff7f5db52f2c67bcbe5d4de6bec13"),
    ],
)
def test_the_files_are_as_their_makers_gave_them_out(style: str, digest: str) -> None:
    """Not a byte is changed: their licence speaks of these."""
    assert hashlib.sha256(resource(FILES[style]).read_bytes()).hexdigest() == digest


def test_the_licence_lies_beside_the_typefaces() -> None:
    """It asks for that."""
    said = resource(FILES[""]).with_name("LICENSE.txt").read_text(encoding="utf-8")
    assert "this permission notice shall\nbe included in all copies" in said


@pytest.mark.parametrize(
    ("text", "said", "lost"),
    [
        ("22 nF 630 V", "22 nF 630 V", ""),
        (" 22\n\tnF\r\n", "22 nF", ""),
        ("22\x00\x1b[31m nF", "22 [31m nF", ""),
        ("\u202e22\u2066 nF", "22 nF", ""),
        ("漢 22 字 漢", "□ 22 □ □", "漢字"),
        ("22 \ud800 nF", "22 nF", ""),
        ("e\u0301", "é", ""),
        ("\u2126", "Ω", ""),
        ("", "", ""),
    ],
)
def test_a_text_is_made_printable(text: str, said: str, lost: str) -> None:
    """On one line; what the typeface lacks is shown and told."""
    assert printable(text) == (said, lost)


@settings(deadline=None)
@given(st.text(max_size=60))
def test_what_is_printable_has_a_glyph_for_every_sign(text: str) -> None:
    """And is printable as it is."""
    said, _ = printable(text)
    assert [sign for sign in said if not face().has(sign)] == []
    assert printable(said)[0] == said


@settings(deadline=None)
@given(st.text(st.characters(codec="latin-1"), max_size=40))
def test_a_line_from_left_to_right_stays_as_it_is(text: str) -> None:
    """Nothing is moved about."""
    assert in_order(text) == text


def test_hebrew_is_put_in_the_order_in_which_it_is_seen() -> None:
    """Figures within it keep theirs."""
    assert in_order("drawer אבג 12") == "drawer 12 גבא"
