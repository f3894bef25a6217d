"""Codes on capacitors: digits, letters, voltages, ceramics, each against its published list."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.notation.codes import (
    TOLERANCE_LETTERS,
    VOLTAGE_CODES,
    capacitance_code,
    ceramic_code,
    likely_code,
    tolerance_letter,
    voltage_code,
)
from partsbin.sources import SOURCES
from tests.expected import Expected, published

NANOFARAD = Decimal("1E-9")


@pytest.mark.parametrize(
    ("digits", "expected"),
    [
        ("470", published(47e-12, "pedal", of=capacitance_code, rel=1e-15)),
        ("471", published(470e-12, "pedal", of=capacitance_code, rel=1e-15)),
        ("473", published(47e-9, "pedal", of=capacitance_code, rel=1e-15)),
        ("474", published(0.47e-6, "pedal", of=capacitance_code, rel=1e-15)),
        ("476", published(47e-6, "pedal", of=capacitance_code, rel=1e-15)),
        ("478", published(0.47e-12, "pedal", of=capacitance_code, rel=1e-15)),
        ("479", published(4.7e-12, "pedal", of=capacitance_code, rel=1e-15)),
    ],
)
def test_three_digits_are_a_value_in_picofarads(digits: str, expected: Expected) -> None:
    """Zeros, and the multipliers 8 and 9."""
    value = capacitance_code(digits)
    assert value is not None
    assert float(value) == expected


@pytest.mark.parametrize("digits", ["477", "047", "47", "4700", "4a3", "", "٤٧٣"])
def test_other_digits_are_no_code(digits: str) -> None:
    """7 is not used, the first digit is not 0, three digits and no others."""
    assert capacitance_code(digits) is None


@pytest.mark.parametrize(
    ("letter", "low", "high", "key"),
    [
        ("F", -0.01, 0.01, "iec-60384-tolerance"),
        ("G", -0.02, 0.02, "iec-60384-tolerance"),
        ("J", -0.05, 0.05, "iec-60384-tolerance"),
        ("K", -0.10, 0.10, "iec-60384-tolerance"),
        ("M", -0.20, 0.20, "iec-60384-tolerance"),
        ("Z", -0.20, 0.80, "iec-60384-tolerance"),
        ("N", -0.30, 0.30, "sanyo"),
        ("P", 0.0, 1.0, "sanyo"),
        ("T", -0.10, 0.50, "sanyo"),
        ("E", -0.0025, 0.0025, "eto"),
        ("L", -0.15, 0.15, "eto"),
        ("S", -0.20, 0.50, "eto"),
        ("W", 0.0, 2.0, "eto"),
        ("X", -0.20, 0.40, "eto"),
    ],
)
def test_a_letter_has_its_published_limits(letter: str, low: float, high: float, key: str) -> None:
    """In per cent from 10 pF up, one reading only."""
    (limits, _), *more = tolerance_letter(letter, NANOFARAD)
    assert not more
    assert float(limits[0]) == published(low, key, of=tolerance_letter, where=letter, rel=1e-12)
    assert float(limits[1]) == published(high, key, of=tolerance_letter, where=letter, rel=1e-12)


def test_published_lists_disagree_on_the_letter_h() -> None:
    """Both readings, each with the other as its doubt."""
    readings = tolerance_letter("H", NANOFARAD)
    assert [float(limits[1]) for limits, _ in readings] == [
        published(0.025, "eto", of=tolerance_letter, where="H", rel=1e-12),
        published(0.03, "ori", of=tolerance_letter, where="H", rel=1e-12),
    ]
    assert [doubt for _, doubt in readings] == ["another list has 3 %", "another list has 2.5 %"]


@pytest.mark.parametrize(("letter", "pico"), [("B", 0.1), ("C", 0.25), ("D", 0.5)])
def test_b_c_and_d_are_picofarads_on_small_values(letter: str, pico: float) -> None:
    """±0.5 pF of 4.7 pF as a fraction."""
    ((limits, _),) = tolerance_letter(letter, Decimal("4.7E-12"))
    assert float(limits[1]) == published(pico / 4.7, "iec-60384-tolerance", of=tolerance_letter, where=letter, rel=1e-9)


def test_f_is_a_picofarad_below_ten() -> None:
    """±1 pF, not ±1 %."""
    ((limits, _),) = tolerance_letter("F", Decimal("5E-12"))
    assert float(limits[1]) == published(0.2, "eto", of=tolerance_letter, where="F below 10 pF", rel=1e-12)


def test_b_c_and_d_on_larger_values_are_doubted() -> None:
    """Per cent first, picofarads second."""
    assert [limits[1] for limits, _ in tolerance_letter("D", NANOFARAD)] == [Decimal("0.005"), Decimal("0.0005")]


def test_a_letter_of_no_list_means_nothing() -> None:
    """No reading is invented."""
    assert tolerance_letter("A", NANOFARAD) == ()


@pytest.mark.parametrize(
    ("key", "codes"),
    [
        ("ori", "0G=4 0L=5.5 0J=6.3 1A=10 1C=16 1E=25 1H=50 1J=63 2A=100 2D=200 2E=250 2G=400 2J=630 3A=1000"),
        ("pedal", "0E=2.5 1D=20 1V=35 1G=40 2K=800 3A=1000 3B=1250"),
        ("jest", "1H=50 2A=100 2D=200 2E=250 2G=400 2J=630"),
    ],
)
def test_voltage_codes_are_those_of_the_lists(key: str, codes: str) -> None:
    """Three lists that agree where they overlap."""
    for code, volts in (pair.split("=") for pair in codes.split()):
        value = voltage_code(code)
        assert value is not None
        assert float(value) == published(float(volts), key, of=voltage_code, where=code, rel=1e-15)


def test_the_letter_is_the_significand_and_the_digit_the_power_of_ten() -> None:
    """The rule (from memory) that the lists fit; the codes with L, P, Q and Z of one list fall outside it."""
    significands = {
        "A": "1", "B": "1.25", "C": "1.6", "D": "2", "E": "2.5", "F": "3.15",
        "G": "4", "V": "3.5", "W": "4.5", "H": "5", "J": "6.3", "K": "8",
    }  # fmt: skip
    outside = {"0L", "2P", "2Q", "2Z"}
    for code, volts in VOLTAGE_CODES.items():
        assert code in outside or volts == Decimal(significands[code[1]]).scaleb(int(code[0]))


def test_a_makers_own_letter_is_no_voltage_code() -> None:
    """One letter alone, and codes of one list that no standard has."""
    assert [voltage_code(code) for code in ("A", "Z", "2I", "3L", "2T", "")] == [None] * 6


@pytest.mark.parametrize(
    ("code", "coldest", "hottest", "low", "high"),
    [
        ("X7R", -55, 125, -0.15, 0.15),
        ("Z5U", 10, 85, -0.56, 0.22),
        ("Y5V", -30, 85, -0.82, 0.22),
        ("Y5P", -30, 85, -0.10, 0.10),
    ],
)
def test_class_2_codes_have_their_range_and_change(
    code: str, coldest: float, hottest: float, low: float, high: float
) -> None:
    """Low temperature, high temperature, change."""
    found = ceramic_code(code)
    assert found is not None
    numbers = [found.coldest, found.hottest, found.low, found.high]
    expected = [
        published(number, "ti-slaa701b", of=ceramic_code, where=code, rel=1e-12)
        for number in (coldest, hottest, low, high)
    ]
    assert [float(number) for number in numbers if number is not None] == expected
    assert found.dielectric == "ceramic-2"


@pytest.mark.parametrize(
    ("code", "name", "drift"),
    [("C0G", "C0G", 0), ("NP0", "C0G", 0), ("NPO", "C0G", 0), ("U2J", "U2J", -750), ("N750", "U2J", -750)],
)
def test_class_1_codes_have_their_drift(code: str, name: str, drift: float) -> None:
    """ppm per kelvin; the old names are the same ceramics."""
    found = ceramic_code(code)
    assert found is not None
    assert (found.code, found.dielectric) == (name, "ceramic-1")
    assert float(found.low) == (published(drift, "holy", of=ceramic_code, where=name) if drift else 0)


@pytest.mark.parametrize("code", ["X2", "Y1", "X7", "EL84", "N914", "ABC", "X1R"])
def test_other_codes_are_no_ceramic(code: str) -> None:
    """A safety class, a valve and a diode are not taken for one."""
    assert ceramic_code(code) is None


def test_every_source_named_is_in_the_list() -> None:
    """A letter or code with an unknown source would be one without."""
    named = {letter.source for letters in TOLERANCE_LETTERS.values() for letter in letters}
    named |= {found.source for code in ("C0G", "X7B", "X7R", "N220") if (found := ceramic_code(code))}
    assert named <= set(SOURCES)


@given(st.text(alphabet="0123456789XYZNPCUGRVJ٤", max_size=5))
def test_a_code_gives_a_positive_value_or_none(text: str) -> None:
    """Nothing raises, and no code stands for nought."""
    for found in (capacitance_code(text), voltage_code(text)):
        assert found is None or found > 0
    ceramic = ceramic_code(text)
    assert ceramic is None or ceramic.dielectric == "ceramic-1" or ceramic.low <= ceramic.high  # class 1: slope, spread


@pytest.mark.parametrize(
    ("digits", "likely"), [("104", True), ("223", True), ("250", False), ("365", False), ("470", False)]
)
def test_a_likely_code_is_an_e12_value_with_zeros(digits: str, likely: bool) -> None:
    """250 and 365 are values of old parts."""
    assert likely_code(digits) is likely
