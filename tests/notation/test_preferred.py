"""Preferred values: the series, the nearest one by ratio, ties upward, old values replaced."""

from __future__ import annotations

from decimal import Decimal

import eseries
import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.errors import NotationError
from partsbin.notation.preferred import SERIES_NAMES, nearest, neighbours, replacement, series
from tests.expected import by_hand, published

E48 = (
    "100 105 110 115 121 127 133 140 147 154 162 169 178 187 196 205 215 226 237 249 261 274 287 301 316 332 348 365 383 402 "
    "422 442 464 487 511 536 562 590 619 649 681 715 750 787 825 866 909 953"
)
"""As the package eseries prints them."""


@pytest.mark.parametrize(
    ("name", "key", "steps"),
    [
        ("E3", "eseries-package", "10 22 47"),
        ("E6", "wiki-e6", "10 15 22 33 47 68"),
        ("E12", "wiki-e6", "10 12 15 18 22 27 33 39 47 56 68 82"),
        ("E24", "wiki-e6", "10 11 12 13 15 16 18 20 22 24 27 30 33 36 39 43 47 51 56 62 68 75 82 91"),
    ],
)
def test_the_coarse_series_are_the_published_ones(name: str, key: str, steps: str) -> None:
    """Each step of E3 to E24, in exact decimals."""
    assert [published(float(step) / 10, key, of=series, where=name, rel=1e-15) for step in steps.split()] == [
        float(step) for step in series(name)
    ]


def test_the_fine_series_are_the_published_ones() -> None:
    """E48 as listed."""
    assert [int(step * 100) for step in series("E48")] == [int(step) for step in E48.split()]


@pytest.mark.parametrize("name", SERIES_NAMES)
def test_each_series_is_that_of_the_independent_package(name: str) -> None:
    """Rule and list agree with another's table, E192 and its 9.20 included."""
    theirs = [Decimal(str(step)) for step in eseries.series(eseries.ESeries[name])]
    assert [step.scaleb(theirs[0].adjusted()) for step in series(name)] == theirs


@pytest.mark.parametrize(
    ("value", "name", "expected"),
    [
        (319, "E24", published(330, "eseries-package", of=nearest, where="find_nearest", rel=1e-15)),
        (5000, "E24", published(5100, "eseries-package", of=nearest, where="find_nearest", rel=1e-15)),
        (184, "E96", published(182, "eseries-package", of=nearest, where="find_nearest", rel=1e-15)),
        ("0.02", "E12", published(0.022, "antiq", of=nearest, where=".02 becomes .022", rel=1e-15)),
        ("0.03", "E12", published(0.033, "antiq", of=nearest, where=".03 becomes .033", rel=1e-15)),
        ("0.05", "E12", published(0.047, "antiq", of=nearest, where=".05 becomes .047", rel=1e-15)),
        (20, "E12", by_hand(22, "22/20 = 1.100 < 20/18 = 1.111", of=nearest, rel=1e-15)),
        (30, "E12", by_hand(33, "33/30 = 1.100 < 30/27 = 1.111", of=nearest, rel=1e-15)),
        (75, "E12", by_hand(82, "82/75 = 1.093 < 75/68 = 1.103", of=nearest, rel=1e-15)),
        (40, "E6", by_hand(47, "47/40 = 1.175 < 40/33 = 1.212", of=nearest, rel=1e-15)),
    ],
)
def test_the_nearest_value_is_nearest_by_ratio(value: str | int, name: str, expected: float) -> None:
    """Published examples, and the ties of exact halves, which go up."""
    assert float(nearest(Decimal(value), name)) == expected


@pytest.mark.parametrize("mantissa", ["20", "30", "75", "25", "5", "4", "8"])
@pytest.mark.parametrize("name", ["E6", "E12", "E24"])
def test_the_scale_of_the_unit_does_not_move_the_answer(mantissa: str, name: str) -> None:
    """20, 0.02 and 2e-8 have the same preferred value: the test that binary fractions fail."""
    answers = {nearest(Decimal(mantissa).scaleb(power), name).scaleb(-power) for power in range(-14, 8)}
    assert len(answers) == 1


def test_a_binary_number_is_taken_as_it_prints() -> None:
    """2e-8 as a float gives 22 nF as the decimal does."""
    assert nearest(2e-8) == Decimal("2.2E-8")


@given(st.integers(1, 99_999), st.integers(-12, 6), st.sampled_from(SERIES_NAMES))
def test_nearest_agrees_with_the_package_where_both_kinds_of_distance_do(digits: int, power: int, name: str) -> None:
    """Left out: values between the geometric and the arithmetic middle, where the package's rule and its floats decide."""
    value = Decimal(digits).scaleb(power)
    ours = nearest(value, name)
    low, high = neighbours(value, name)
    arithmetic, twice = low + high, 2 * value
    same_side = (low * high < value * value) == (arithmetic < twice) and abs(arithmetic - twice) > value / 10_000
    if value == ours or same_side:
        assert float(ours) == pytest.approx(eseries.find_nearest(eseries.ESeries[name], float(value)), rel=1e-9)


@given(st.integers(1, 99_999), st.integers(-12, 6), st.sampled_from(SERIES_NAMES))
def test_neighbours_bracket_the_value(digits: int, power: int, name: str) -> None:
    """Strictly below and strictly above; the nearest is one of them or the value itself."""
    value = Decimal(digits).scaleb(power)
    low, high = neighbours(value, name)
    assert low < value < high
    assert nearest(value, name) in (low, value, high)


def test_neighbours_of_a_preferred_value_leave_it_out() -> None:
    """4700 and 5600 around 5100, and over the decade's end."""
    assert neighbours(5100, "E24") == (4700, 5600)
    assert neighbours(1, "E12") == (Decimal("0.82"), Decimal("1.2"))
    assert neighbours(Decimal("8.2"), "E12") == (Decimal("6.8"), 10)


@pytest.mark.parametrize(
    ("old", "name", "new", "per_cent"),
    [
        ("250E-12", "E6", "220E-12", -12.0),
        ("250E-12", "E12", "270E-12", 8.0),
        ("250E-12", "E24", "240E-12", -4.0),
        ("500E-12", "E24", "510E-12", 2.0),
        ("0.004E-6", "E6", "4.7E-9", 17.5),
        ("0.006E-6", "E6", "6.8E-9", 13.3),
        ("0.008E-6", "E12", "8.2E-9", 2.5),
        ("0.05E-6", "E12", "47E-9", -6.0),
        ("0.25E-6", "E6", "220E-9", -12.0),
        ("0.25E-6", "E12", "270E-9", 8.0),
        ("8E-6", "E6", "6.8E-6", -15.0),
        ("16E-6", "E24", "16E-6", 0.0),
        ("32E-6", "E12", "33E-6", 3.1),
        ("35E3", "E6", "33E3", -5.7),
        ("50E3", "E12", "47E3", -6.0),
        ("60E3", "E6", "68E3", 13.3),
        ("2E6", "E6", "2.2E6", 10.0),
    ],
)
def test_an_old_value_is_replaced_by_a_preferred_one(old: str, name: str, new: str, per_cent: float) -> None:
    """New value and deviation, worked as new/old - 1."""
    found = replacement(Decimal(old), name)
    assert found.new == Decimal(new)
    expected = by_hand(per_cent / 100, f"{new} / {old} - 1", of=replacement, rel=0.01)
    assert float(found.deviation) == expected or per_cent == 0 == found.deviation


@pytest.mark.parametrize("value", [0, -5, float("nan"), float("inf")])
def test_only_a_positive_number_has_a_preferred_value(value: float) -> None:
    """Nought, a negative number and no number are refused."""
    with pytest.raises(NotationError, match=r"no preferred value for '.*': expected a number above 0"):
        nearest(value)


def test_an_unknown_series_is_refused() -> None:
    """With the series there are."""
    with pytest.raises(NotationError, match="no series 'E7': expected one of E3, E6"):
        series("E7")
