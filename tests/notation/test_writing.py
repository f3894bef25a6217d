"""Numbers to text, the trade's way, and back again."""

from __future__ import annotations

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.errors import NotationError
from partsbin.notation.quantity import read_quantity
from partsbin.notation.units import SI_UNITS
from partsbin.notation.writing import format_interval, format_quantity, format_tolerance


@pytest.mark.parametrize(
    ("value", "unit", "text"),
    [
        (22e-9, "F", "22 nF"),
        (1e-7, "F", "0.1 µF"),
        (8e-6, "F", "8 µF"),
        (47e-12, "F", "47 pF"),
        (1e-3, "F", "1000 µF"),
        (4700, "ohm", "4.7 kΩ"),
        (1e6, "ohm", "1 MΩ"),
        (380, "ohm", "380 Ω"),
        (0.35, "ohm", "0.35 Ω"),
        (450, "V", "450 V"),
        (1000, "V", "1000 V"),
        (6.3, "V", "6.3 V"),
        (0.012, "A", "12 mA"),
        (3, "A", "3 A"),
        (0.25, "W", "0.25 W"),
        (0.06, "W", "60 mW"),
        (10, "H", "10 H"),
        (450e3, "Hz", "450 kHz"),
        (0.00635, "m", "6.35 mm"),
        (0.0004, "m²", "4 cm²"),
        (105, "°C", "105 °C"),
        (4.6, "J", "4.6 J"),
        (0.1, "-", "0.1"),
        (-12, "V", "-12 V"),
        (0, "V", "0 V"),
        (0, "F", "0 F"),
        (Decimal("22.0449E-9"), "F", "22.04 nF"),
        (999.96e-9, "F", "1 µF"),
        (0.1 + 0.2, "V", "0.3 V"),
        (math.nan, "V", "unknown"),
        (math.inf, "ohm", "∞ Ω"),
    ],
)
def test_values_are_written_the_trades_way(value: float, unit: str, text: str) -> None:
    """Four significant digits at most, no trailing zeros, the usual prefix."""
    assert format_quantity(value, unit) == text


@pytest.mark.parametrize(
    ("lo", "hi", "unit", "text"),
    [
        (26e-6, 50e-6, "F", "26–50 µF"),
        (3900, 6900, "ohm", "3.9–6.9 kΩ"),
        (820e-12, 1.2e-9, "F", "0.82–1.2 nF"),
        (-5, 10, "V", "-5 to 10 V"),
        (20e6, math.inf, "ohm", "over 20 MΩ"),
        (-math.inf, 50e-6, "F", "up to 50 µF"),
        (math.nan, 1, "V", "unknown"),
    ],
)
def test_intervals_share_the_unit_of_the_upper_end(lo: float, hi: float, unit: str, text: str) -> None:
    """One unit for both ends; an open end is said in words."""
    assert format_interval(lo, hi, unit) == text


@pytest.mark.parametrize(
    ("low", "high", "text"),
    [
        (0.1, None, "±10 %"),
        (-0.025, 0.025, "±2.5 %"),
        (-0.2, 0.5, "-20/+50 %"),
        (0, 1, "-0/+100 %"),
        (-0.5, 0, "-50/+0 %"),
    ],
)
def test_tolerances_are_written_with_their_signs(low: float, high: float | None, text: str) -> None:
    """Alike both ways, or lower limit first."""
    assert format_tolerance(low, high) == text


def test_an_unknown_unit_is_refused() -> None:
    """With the units there are."""
    with pytest.raises(NotationError, match="no unit 'furlong': expected one of F, ohm"):
        format_quantity(1, "furlong")


@given(st.integers(1, 9999), st.integers(-15, 9), st.sampled_from(SI_UNITS), st.booleans())
def test_what_is_written_reads_back_as_the_same_value(digits: int, power: int, unit: str, minus: bool) -> None:
    """Up to four significant digits, every unit, over 28 powers of ten."""
    value = Decimal(-digits if minus else digits).scaleb(power)
    back = read_quantity(format_quantity(value, unit), unit)
    assert (back.value, back.unit) == (value, unit)


@given(st.integers(1, 9999), st.integers(-15, 9), st.sampled_from(SI_UNITS))
def test_a_binary_number_reads_back_as_the_same_binary_number(digits: int, power: int, unit: str) -> None:
    """The way through text loses nothing that had four digits."""
    value = float(f"{digits}e{power}")
    assert float(read_quantity(format_quantity(value, unit), unit).value) == value


@given(st.floats(allow_nan=True, allow_infinity=True), st.sampled_from(SI_UNITS))
def test_any_number_can_be_written(value: float, unit: str) -> None:
    """No number raises, none is written with more than a line."""
    assert 0 < len(format_quantity(value, unit)) < 40
