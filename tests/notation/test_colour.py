"""Colours on resistors: what the sources print, what is left open, and what cannot be."""

from __future__ import annotations

import re
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.errors import NotationError
from partsbin.notation.colour import COLOURS, DIGITS, MULTIPLIERS, Coded, bands, body_tip_dot
from tests.expected import Expected, by_hand, published


def only(colours: str) -> Coded:
    """The one reading of bands."""
    (way,) = bands(colours.split())
    return way


@pytest.mark.parametrize(
    ("colours", "ohms"),
    [
        ("yellow violet red", published(4700, "vrres", of=bands, where="yellow violet red", rel=1e-12)),
        ("red yellow orange", published(24e3, "vrw", of=bands, where="red yellow orange", rel=1e-12)),
        ("orange white green", published(3.9e6, "vrw", of=bands, where="orange white green", rel=1e-12)),
        ("brown black orange gold", by_hand(10e3, "10 x 10^3", of=bands, rel=1e-12)),
        ("red red gold gold", by_hand(2.2, "22 x 0.1", of=bands, rel=1e-12)),
        ("green blue silver gold", by_hand(0.56, "56 x 0.01", of=bands, rel=1e-12)),
        ("yellow violet black brown brown", by_hand(4700, "470 x 10", of=bands, rel=1e-12)),
        ("brown black black red brown red", by_hand(10e3, "100 x 10^2", of=bands, rel=1e-12)),
        ("red green orange", by_hand(25e3, "25 x 10^3: round, and of before", of=bands, rel=1e-12)),
    ],
)
def test_bands_have_one_sure_value(colours: str, ohms: Expected) -> None:
    """As the named pages read them, or as digits and noughts make them."""
    way = only(colours)
    assert ohms == float(way.value)
    assert way.sure


@pytest.mark.parametrize(
    ("colours", "share"),
    [
        ("yellow violet red", published(0.2, "vrres", of=bands, where="no fourth band", rel=1e-12)),
        ("yellow violet red silver", published(0.1, "vrw", of=bands, where="silver", rel=1e-12)),
        ("yellow violet red gold", published(0.05, "vrw", of=bands, where="gold", rel=1e-12)),
        ("yellow violet red brown", published(0.01, "vrres", of=bands, where="limits 4.653k and 4.747k", rel=1e-12)),
    ],
)
def test_the_last_band_is_the_tolerance(colours: str, share: Expected) -> None:
    """And where there is none it is ±20 %."""
    assert share == float(only(colours).tolerance)


def test_the_scheme_is_named_first() -> None:
    """Which bands were taken for what."""
    assert only("yellow violet red gold").notes[0] == "four bands of IEC 60062"


def values(ways: list[Coded]) -> list[float]:
    """Their ohms, in order."""
    return [float(way.value) for way in ways]


@pytest.mark.parametrize(
    ("colours", "ohms", "why"),
    [
        ("brown black red brown", [1000, 12], "read from the other end"),
        ("yellow black brown", [400, 100e3], "read from the other end"),
        ("green black orange", [50e3, 3e6], "read from the other end"),
        ("red red black brown brown", [2200, 11000], "read from the other end"),
        ("orange orange white gold", [3.3, 33e9], "as some makers had it before gold and silver (from memory)"),
        ("brown black grey silver", [0.1, 1e9], "grey as multiplier of IEC 60062"),
        ("brown black red gold brown", [10.2, 1000], "taken as reliability or material (from memory)"),
        ("brown black black black grey", [100, 100], "grey as tolerance (from memory)"),
    ],
)
def test_bands_that_can_be_read_in_two_ways_are_read_in_both(colours: str, ohms: list[float], why: str) -> None:
    """The likelier first, none of them sure, each with its reason."""
    ways = bands(colours.split())
    assert values(ways) == pytest.approx(ohms)
    assert not any(way.sure for way in ways)
    assert any(why in note for way in ways for note in way.notes)


def test_gold_first_is_read_from_the_other_end() -> None:
    """Nobody's first digit is gold."""
    way = only("gold orange black brown")
    assert (way.value, way.tolerance) == (10_000, Decimal("0.05"))
    assert way.notes[-1] == "read from the other end: gold cannot come first"


@pytest.mark.parametrize(
    ("colours", "ohms"), [("violet brown red brown", [120, 7100]), ("brown red violet red", [2700, 120e6])]
)
def test_the_likelier_end_comes_first(colours: str, ohms: list[float]) -> None:
    """A preferred value before 71 x 100, and before one of 120 MΩ."""
    assert values(bands(colours.split())) == ohms


def test_an_odd_value_is_never_sure() -> None:
    """55 kΩ may be right, or a colour misread."""
    way = only("green green orange")
    assert (float(way.value), way.sure) == (55e3, False)
    assert way.notes[-1] == "no preferred value: look again"


@pytest.mark.parametrize(
    ("colours", "message"),
    [
        ("gold red gold", "gold as first digit of 'gold red gold': expected brown to white"),
        ("black red black", "black as first digit of 'black red black': expected brown to white"),
        ("red violet", "2 bands 'red violet': expected three to six"),
        ("red silver red gold", "silver as second digit of 'red silver red': expected black to white"),
        (
            "red red red black",
            "black as tolerance of 'red red red black': expected brown, red, gold, silver, green, blue or violet",
        ),
    ],
)
def test_what_cannot_be_is_refused_in_words(colours: str, message: str) -> None:
    """The colour, where it stands, and what was expected."""
    with pytest.raises(NotationError, match=f"^{re.escape(message)}$"):
        bands(colours.split())


@pytest.mark.parametrize(
    ("painted", "ohms"),
    [
        (("red", "red", "brown"), published(220, "vrw", of=body_tip_dot, where="red, red, brown", rel=1e-12)),
        (("red", "violet", "yellow"), by_hand(270e3, "27 x 10^4", of=body_tip_dot, rel=1e-12)),
        (("green", "", "orange"), by_hand(55e3, "tip as the body: 55 x 10^3", of=body_tip_dot, rel=1e-12)),
    ],
)
def test_body_tip_and_dot_are_digits_and_noughts(painted: tuple[str, str, str], ohms: Expected) -> None:
    """A tip that seems missing has the colour of the body."""
    (way,) = body_tip_dot(*painted)
    assert ohms == float(way.value)


def test_a_missing_tip_is_said() -> None:
    """It may have been left out by who wrote it down."""
    (way,) = body_tip_dot("green", "", "brown")
    assert not way.sure
    assert way.notes[-1] == "no tip named: taken as green, the colour of the body"


def test_the_other_end_is_the_tolerance() -> None:
    """Gold ±5 %; without one ±20 %."""
    assert [body_tip_dot("green", "brown", "orange", end)[0].tolerance for end in ("gold", "silver", "")] == [
        Decimal("0.05"),
        Decimal("0.1"),
        Decimal("0.2"),
    ]


def test_every_word_is_of_a_colour_that_has_a_multiplier() -> None:
    """English, German and short."""
    assert set(COLOURS.values()) == set(MULTIPLIERS)
    assert [COLOURS[word] for word in ("yel", "vio", "braun", "silber")] == ["yellow", "violet", "brown", "silver"]


@given(st.lists(st.sampled_from(sorted(MULTIPLIERS)), min_size=0, max_size=8))
def test_any_bands_are_read_or_refused(colours: list[str]) -> None:
    """Never a fault of the program's own; several are never sure; every value is above nought."""
    try:
        ways = bands(colours)
    except NotationError:
        return
    assert ways
    assert len(ways) == 1 or not any(way.sure for way in ways)
    assert all(way.value > 0 and 0 < way.tolerance < 1 and way.notes for way in ways)


@given(st.integers(10, 99), st.integers(0, 6), st.sampled_from(["gold", "silver"]))
def test_painting_a_value_and_reading_it_gives_it_back(digits: int, noughts: int, last: str) -> None:
    """Gold and silver cannot come first, so there is one way to hold it."""
    names = {digit: colour for colour, digit in DIGITS.items()}
    way = only(f"{names[digits // 10]} {names[digits % 10]} {names[noughts]} {last}")
    assert way.value == Decimal(digits).scaleb(noughts)
