"""Whole marks: code, tolerance letter and volts in one run, and the marks that have two readings."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.notation.marks import read_mark
from tests.expected import by_hand, published


@pytest.mark.parametrize(
    ("mark", "farads", "tolerance", "volts", "key"),
    [
        ("2A474J", 0.47e-6, 0.05, 100, "ori"),
        ("2A102K", 1e-9, 0.10, 100, "jest"),
        ("105K330V", 1e-6, 0.10, 330, "primidi"),
        (".1K63", 0.1e-6, 0.10, 63, "pedal"),
    ],
)
def test_published_marks_have_their_published_reading(
    mark: str, farads: float, tolerance: float, volts: float, key: str
) -> None:
    """Value, tolerance and volts as the page reads them."""
    (found,) = read_mark(mark)
    assert found.sure
    assert found.tolerance is not None
    assert found.voltage is not None
    numbers = (float(found.capacitance), float(found.tolerance[1]), float(found.voltage))
    assert numbers == tuple(published(x, key, of=read_mark, where=mark, rel=1e-12) for x in (farads, tolerance, volts))


@pytest.mark.parametrize(
    ("mark", "farads", "low", "high", "volts"),
    [
        ("2J473K", "47E-9", "-0.1", "0.1", "630"),
        ("2j473k", "47E-9", "-0.1", "0.1", "630"),
        ("3A102M", "1E-9", "-0.2", "0.2", "1000"),
        ("1H104Z", "100E-9", "-0.2", "0.8", "50"),
        ("473K630", "47E-9", "-0.1", "0.1", "630"),
        ("0.22J250", "0.22E-6", "-0.05", "0.05", "250"),
        ("10nJ100", "10E-9", "-0.05", "0.05", "100"),
        ("u1K63", "0.1E-6", "-0.1", "0.1", "63"),
    ],
)
def test_a_mark_gives_value_tolerance_and_volts(mark: str, farads: str, low: str, high: str, volts: str) -> None:
    """Worked by the tables of value code, letter and voltage code."""
    (found,) = read_mark(mark)
    assert found.sure
    assert (found.capacitance, found.tolerance, found.voltage) == (
        Decimal(farads),
        (Decimal(low), Decimal(high)),
        Decimal(volts),
    )


def test_a_mark_without_a_letter_has_no_tolerance() -> None:
    """2W106: 450 V and 10 µF."""
    (found,) = read_mark("2W106")
    assert float(found.capacitance) == by_hand(10e-6, "10 × 10^6 pF", of=read_mark, rel=1e-15)
    assert (found.tolerance, found.voltage) == (None, Decimal(450))


def test_three_digits_ending_in_nought_have_two_readings() -> None:
    """470K: 47 pF by the code, 470 pF to some makers; both unsure, both with the reason."""
    by_code, direct = read_mark("470K")
    assert float(by_code.capacitance) == published(47e-12, "pedal", of=read_mark, where="470 is 47 pF", rel=1e-12)
    assert direct.capacitance == Decimal("470E-12")
    assert (by_code.sure, direct.sure) == (False, False)
    assert by_code.note == direct.note == "'470K': to most makers a code (47 pF), to some the value itself (470 pF)"
    assert by_code.tolerance == direct.tolerance == (Decimal("-0.1"), Decimal("0.1"))


def test_two_digits_are_read_directly() -> None:
    """47K: 47 pF ±10 %, as values below 100 pF are marked."""
    (found,) = read_mark("47K")
    assert float(found.capacitance) == published(47e-12, "eto", of=read_mark, where="below 100 pF", rel=1e-12)


@pytest.mark.parametrize(
    ("mark", "farads"),
    [("473K", "47E-9"), ("473k", "47E-9"), ("104M", "100E-9"), ("332H", "3.3E-9"), ("101F", "100E-12")],
)
def test_a_value_code_with_its_letter_is_read_by_the_code(mark: str, farads: str) -> None:
    """Also where the letter looks like a multiplier or a unit."""
    assert {found.capacitance for found in read_mark(mark)} == {Decimal(farads)}


def test_1k63_on_a_capacitor_is_not_sure() -> None:
    """1 µF ±10 % 63 V, or a resistor of 1.63 kΩ."""
    (found,) = read_mark("1K63")
    assert not found.sure
    assert (found.capacitance, found.voltage) == (Decimal("1E-6"), Decimal(63))


def test_a_decimal_of_one_or_more_may_be_micro_or_pico() -> None:
    """2.2K: both; 4.7C only picofarads, since the letter is for a few of them."""
    assert [found.capacitance for found in read_mark("2.2K")] == [Decimal("2.2E-6"), Decimal("2.2E-12")]
    assert [found.capacitance for found in read_mark("4.7C")] == [Decimal("4.7E-12")]


def test_a_capital_m_after_a_decimal_may_be_the_old_micro() -> None:
    """.1M: the same value, with the tolerance or without."""
    assert [(found.capacitance, found.tolerance is None) for found in read_mark(".1M")] == [
        (Decimal("1E-7"), False),
        (Decimal("1E-7"), True),
    ]


@pytest.mark.parametrize(
    "text",
    [
        "4k7",
        "10k",
        "100k",
        "105C",
        "85C",
        "300B",
        "EL84",
        "1N4007",
        "2N3055",
        "100R",
        "100E",
        "1F",
        "10H",
        "hello",
        "",
        "0K",
    ],
)
def test_other_runs_are_no_mark(text: str) -> None:
    """Resistors, temperatures, valves, diodes, units."""
    assert read_mark(text) == []


@given(st.text(alphabet="0123456789.KJMZHPNFCRVunpk ", max_size=10))
def test_whatever_is_read_is_a_capacitor(text: str) -> None:
    """A positive value, and several readings only unsure."""
    found = read_mark(text)
    assert all(mark.capacitance > 0 and mark.note for mark in found)
    assert len(found) < 2 or not any(mark.sure for mark in found)
