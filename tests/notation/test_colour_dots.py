"""Dots of moulded mica and paper: figures of the published pages, the two schemes side by side, colours that cannot stand."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.notation.colour import MULTIPLIERS
from partsbin.notation.colour_dots import Painted, aws_dots, rma_dots
from tests.expected import by_hand, published

colours = st.lists(st.sampled_from(sorted(MULTIPLIERS)), min_size=1, max_size=8)


def one(ways: list[Painted]) -> Painted:
    """The only reading."""
    (way,) = ways
    return way


def test_three_dots_are_digits_and_noughts() -> None:
    """Red, green, black is 25 pF; 500 V and 20 % are implied."""
    way = one(rma_dots(["red", "green", "black"]))
    assert float(way.capacitance) == published(25e-12, "vcomp", of=rma_dots)
    assert float(way.voltage or 0) == published(500.0, "vcomp", of=rma_dots, where="3 dots")
    assert way.limits == (Decimal("-0.2"), Decimal("0.2"))
    assert way.sure


@pytest.mark.parametrize(
    ("fourth", "volts"),
    [("red", 200.0), ("green", 500.0), ("gold", 1000.0), ("silver", 2000.0)],
)
def test_the_fourth_of_five_dots_is_hundreds_of_volts(fourth: str, volts: float) -> None:
    """Gold and silver go on from there."""
    way = one(rma_dots(["red", "violet", "brown", fourth, "silver"]))
    assert float(way.voltage or 0) == published(volts, "vcomp", of=rma_dots, where="5 dots, volts")


@pytest.mark.parametrize(("fifth", "limit"), [("red", 0.02), ("gold", 0.05), ("silver", 0.1)])
def test_the_fifth_of_five_dots_is_the_tolerance(fifth: str, limit: float) -> None:
    """The digit in per cent; gold and silver as on resistors."""
    way = one(rma_dots(["red", "violet", "brown", "green", fifth]))
    assert way.limits is not None
    assert float(way.limits[1]) == published(limit, "vcomp", of=rma_dots, where="5 dots, tolerance")


def test_six_dots_of_rma_have_three_digits() -> None:
    """Once round the edge: digits, noughts, tolerance, volts."""
    way = one(rma_dots(["red", "violet", "green", "brown", "gold", "green"]))
    assert float(way.capacitance) == by_hand(2750e-12, "275 x 10 pF", of=rma_dots)
    assert float(way.voltage or 0) == by_hand(500.0, "5 x 100 V", of=rma_dots)


def test_the_army_example_is_read_along_the_arrows() -> None:
    """White for mica, brown, red, multiplier red: 1200 pF."""
    way = one(aws_dots(["white", "brown", "red", "brown", "red", "red"]))
    assert float(way.capacitance) == published(1200e-12, "army", of=aws_dots)
    assert way.dielectric == "mica"


def test_the_disputed_part_differs_between_the_schemes() -> None:
    """Black, green, brown over red, yellow, black: 51 pF for 500 V, or 051 pF for 200 V."""
    by_aws = one(aws_dots(["black", "green", "brown", "red", "yellow", "black"]))
    by_rma = one(rma_dots(["black", "green", "brown", "black", "yellow", "red"]))
    assert float(by_aws.capacitance) == published(51e-12, "arc5c", of=aws_dots)
    assert float(by_aws.voltage or 0) == published(500.0, "arc5c", of=aws_dots, where="one reader")
    assert float(by_rma.voltage or 0) == published(200.0, "arc5c", of=rma_dots, where="another reader")


@pytest.mark.parametrize(
    ("digits", "power", "volts"),
    [(("blue", "red"), "red", 500.0), (("blue", "grey"), "red", 300.0), (("brown", "black"), "orange", 300.0)],
)
def test_large_micas_are_for_fewer_volts(digits: tuple[str, str], power: str, volts: float) -> None:
    """500 V below 6800 pF, 300 V from there to 10000 pF."""
    way = one(aws_dots(["black", *digits, "red", "silver", power]))
    assert float(way.voltage or 0) == published(volts, "arc5c", of=aws_dots, where="volts of AWS micas")


def test_mica_beyond_the_table_has_no_volts() -> None:
    """Nor has paper, whose volts the colours do not say."""
    assert one(aws_dots(["black", "red", "red", "red", "silver", "orange"])).voltage is None
    assert one(aws_dots(["silver", "red", "red", "red", "silver", "orange"])).voltage is None


def test_a_blue_tolerance_dot_is_read_both_ways() -> None:
    """The army text has 2 %, the rule of the digit 6 %."""
    army, digit = aws_dots(["white", "brown", "red", "brown", "blue", "red"])
    assert army.limits is not None
    assert digit.limits is not None
    assert float(army.limits[1]) == published(0.02, "army", of=aws_dots, where="blue dot")
    assert float(digit.limits[1]) == by_hand(0.06, "digit 6 in per cent", of=aws_dots)
    assert not army.sure
    assert not digit.sure


@pytest.mark.parametrize(
    "dots",
    [
        ["red", "green"],
        ["gold", "red", "red"],
        ["red", "red", "red", "black", "silver"],
        ["red", "red", "red", "red", "pink"],
        ["black", "black", "red"],
        ["red", "red", "white"],
    ],
)
def test_dots_that_cannot_stand_so_are_not_read(dots: list[str]) -> None:
    """Gold is no digit, black no rating, nought no value, 22 thousand microfarads no mica."""
    assert rma_dots(dots) == []


@pytest.mark.parametrize(
    "dots",
    [["red", "red", "red", "red", "red", "red"], ["black", "red", "red", "red", "pink", "red"], ["black", "red"]],
)
def test_the_first_dot_of_aws_names_the_material(dots: list[str]) -> None:
    """Anything but black, white or silver is another scheme."""
    assert aws_dots(dots) == []


@given(colours)
def test_no_colours_give_more_than_dots_can_mean(dots: list[str]) -> None:
    """Half a picofarad to a tenth of a microfarad, and up to 2000 V."""
    for way in (*rma_dots(dots), *aws_dots(dots)):
        assert Decimal("5E-13") <= way.capacitance <= Decimal("1E-7")
        assert way.voltage is None or 0 < way.voltage <= 2000
