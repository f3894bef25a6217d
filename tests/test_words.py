"""Numbers as people on the bench read them."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.notation.quantity import read_quantity, to_float
from partsbin.words import listed, percent, say, span, volts

SAID = [
    (22e-9, "F", "22 nF"),
    (1e-7, "F", "0.1 µF"),
    (443.0, "V", "443 V"),
    (442.99, "V", "443 V"),
    (5201.3, "ohm", "5.2 kΩ"),
    (999.6, "ohm", "1 kΩ"),
    (0.048, "A", "48 mA"),
    (-3.2, "V", "-3.2 V"),
    (0.0, "F", "0 F"),
    (math.inf, "ohm", "∞ Ω"),
    (math.nan, "ohm", "unknown"),
]


@pytest.mark.parametrize(("value", "unit", "text"), SAID)
def test_a_value_is_said_to_three_digits(value: float, unit: str, text: str) -> None:
    """In trade notation; not a number is unknown."""
    assert say(value, unit) == text


@given(st.floats(1e-12, 1e9), st.sampled_from(["F", "ohm", "V", "A", "W"]))
def test_what_is_said_differs_from_the_value_by_half_a_digit_at_most(value: float, unit: str) -> None:
    """Three digits: at worst 5 in 1000."""
    assert to_float(read_quantity(say(value, unit), unit)) == pytest.approx(value, rel=5.0001e-3)


SPANS = [
    (26e-6, 50e-6, "F", "26–50 µF"),
    (25.6e-6, 25.601e-6, "F", "25.6 µF"),
    (3900.0, 6933.3, "ohm", "3.9–6.93 kΩ"),
    (20e6, math.inf, "ohm", "over 20 MΩ"),
    (math.nan, 1.0, "F", "unknown"),
]


@pytest.mark.parametrize(("low", "high", "unit", "text"), SPANS)
def test_an_interval_is_said_once_where_its_ends_read_the_same(low: float, high: float, unit: str, text: str) -> None:
    """Both ends in the unit that suits the upper one."""
    assert span(low, high, unit) == text


VOLTS = [
    (442.99, "443 V"),
    (9.96, "10 V"),
    (7.24, "7.2 V"),
    (0.004, "0.004 V"),
    (-12.6, "-13 V"),
    (math.nan, "unknown"),
]


@pytest.mark.parametrize(("value", "text"), VOLTS)
def test_volts_are_said_to_the_whole_volt_above_ten(value: float, text: str) -> None:
    """Nobody reads tenths on a 500 V range."""
    assert volts(value) == text


@pytest.mark.parametrize(
    ("fraction", "text"), [(0.0161, "1.6 %"), (0.0, "0 %"), (0.25, "25 %"), (-0.05, "-5 %"), (1.0, "100 %")]
)
def test_per_cent_has_a_decimal_below_ten_unless_it_is_whole(fraction: float, text: str) -> None:
    """Where it matters."""
    assert percent(fraction) == text


@pytest.mark.parametrize(
    ("words", "text"), [([], ""), (["a"], "a"), (["a", "b"], "a or b"), (["a", "b", "c"], "a, b or c")]
)
def test_words_are_listed_as_they_are_spoken(words: list[str], text: str) -> None:
    """With a last or."""
    assert listed(words) == text
