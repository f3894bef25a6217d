"""What a resistor's number, letter code or printed code may mean."""

from __future__ import annotations

from decimal import Decimal

import pytest

from partsbin.notation.resistance import TOLERANCE_LETTERS, bare, chip, coded
from partsbin.notation.resistor_doubles import lettered
from tests.expected import Expected, by_hand, published


@pytest.mark.parametrize(
    ("code", "ohms"),
    [
        ("4K7J", by_hand(4700, "4.7 x 1000", of=coded, rel=1e-12)),
        ("R47K", by_hand(0.47, "R in the place of the point", of=coded, rel=1e-12)),
        ("10mR", by_hand(0.01, "10 / 1000", of=coded, rel=1e-12)),
        ("5W10RJ", by_hand(10, "watts before it", of=coded, rel=1e-12)),
        ("4R7J10W", by_hand(4.7, "watts behind it", of=coded, rel=1e-12)),
        ("472J", by_hand(4700, "47 and two noughts", of=coded, rel=1e-12)),
        ("1002F", by_hand(10e3, "100 and two noughts", of=coded, rel=1e-12)),
    ],
)
def test_a_code_holds_the_ohms(code: str, ohms: Expected) -> None:
    """The first of its readings."""
    assert ohms == float(coded(code)[0].resistance or 0)


@pytest.mark.parametrize(
    "code", ["E88C", "EL84", "25kA", "0W5R", "5W4R7J5W", "R", "K", "4K7X", "R00J", "12AX7", "BC547B"]
)
def test_what_is_no_code_of_a_resistor_is_none(code: str) -> None:
    """Names of valves and transistors, the law of a control, nought ohms, two wattages."""
    assert coded(code) == []


@pytest.mark.parametrize(
    ("letter", "share"),
    [
        (letter, published(per_cent / 100, "sanyo", of=coded, where=f"letter {letter}", rel=1e-12))
        for letter, per_cent in {"D": 0.5, "F": 1, "G": 2, "J": 5, "K": 10, "M": 20}.items()
    ],
)
def test_tolerance_letters_are_those_of_the_service_manual(letter: str, share: Expected) -> None:
    """Either way, as fractions."""
    (way,) = coded(f"470R{letter}")
    assert way.tolerance is not None
    assert share == float(way.tolerance[1])
    assert way.tolerance[0] == -TOLERANCE_LETTERS[letter]


@pytest.mark.parametrize(("code", "why"), [("25kB", "on a control it is the law"), ("6K8G", "valves have such names")])
def test_a_code_that_other_parts_carry_is_not_sure(code: str, why: str) -> None:
    """The reason in a note."""
    (way,) = coded(code)
    assert not way.sure
    assert why in way.notes[0]


@pytest.mark.parametrize(
    ("text", "leaded", "ohms"),
    [
        ("472", False, [4700, 472]),
        ("4701", False, [4700, 4701]),
        ("100", False, [100, 10]),
        ("100", True, [100]),
        ("265", False, [265]),
        ("47", False, [47]),
        ("133", False, [13e3, 133]),
    ],
)
def test_a_number_is_ohms_or_a_code(text: str, leaded: bool, ohms: list[float]) -> None:
    """The code needs two digits of E24 or three of E96; round ohms come first, and alone on a body with leads."""
    ways = bare(text, Decimal(text), leaded=leaded)
    assert [float(way.resistance or 0) for way in ways] == ohms
    assert all(way.sure == (len(ways) == 1) for way in ways)


@pytest.mark.parametrize(
    ("text", "value", "letter", "ohms"),
    [
        ("1m", "0.001", "m", [1e6, 1e-3]),
        ("500M", "5E8", "M", [500e6, 500e3]),
        ("2E2", "2.2", "E", [2.2, 200]),
        ("6K7", "6700", "K", [6700]),
        ("R5", "0.5", "R", [0.5]),
    ],
)
def test_a_letter_that_may_mean_something_else_is_not_sure(
    text: str, value: str, letter: str, ohms: list[float]
) -> None:
    """Milli or mega, mega or the thousand of old diagrams, an ohm or a power of ten, a valve, a name in a diagram."""
    ways = lettered(text, Decimal(value), letter)
    assert [float(way.resistance or 0) for way in ways] == ohms
    assert not any(way.sure for way in ways)
    assert all(way.notes for way in ways)


@pytest.mark.parametrize(("text", "value", "letter"), [("4k7", "4700", "k"), ("4E7", "4.7", "E"), ("10M", "1E7", "M")])
def test_a_letter_of_today_is_sure(text: str, value: str, letter: str) -> None:
    """4E7 is no 40 MΩ, which is no preferred value."""
    (way,) = lettered(text, Decimal(value), letter)
    assert way.sure
    assert way.resistance == Decimal(value)


def test_the_code_of_chips_is_never_sure() -> None:
    """Step 68 of E96 is 4.99; C is a hundred: from memory."""
    (way,) = chip("68C")
    assert (float(way.resistance or 0), way.sure) == (49900.0, False)
    assert chip("97C") == []
