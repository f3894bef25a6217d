"""Leakage: grid shift, electrolytic limits old and modern, insulation of film."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from partsbin.circuit.leakage import (
    grid_shift,
    insulation_floor,
    leakage_limit_modern,
    leakage_limit_old,
    leakage_limit_two_minutes,
    leakage_resistance_needed,
)
from tests.circuit.shapes import breaches
from tests.expected import Expected, by_hand, published

SHIFT = [
    ((100.0, 470e3, 20e6), by_hand(2.296, "100 · 0.47 / 20.47", of=grid_shift)),
    ((90.0, 470e3, 5e6), by_hand(7.733, "90 · 0.47 / 5.47", of=grid_shift)),
    ((250.0, 470e3, 10e6), by_hand(11.22, "250 · 0.47 / 10.47", of=grid_shift)),
    ((200.0, 1e6, 100e6), by_hand(1.980, "200 · 1 / 101", of=grid_shift)),
    ((200.0, 470e3, 30e9), by_hand(3.133e-3, "200 · 0.47 / 30000.47", of=grid_shift)),
    ((200.0, 1e6, 100e9), by_hand(2.000e-3, "200 · 1 / 100001", of=grid_shift)),
    ((250.0, 1e6, 100e6), by_hand(2.475, "250 / 101: 100 Mohm is not enough", of=grid_shift)),
    ((400.0, 1e6, 200e9), by_hand(2.0e-3, "400 / 200001: 2 mV takes 200 Gohm, not 499 Mohm", of=grid_shift)),
    (
        (250.0, 1e6, (250 - 0.015) / 15e-9),
        published(15e-3, "mef", of=grid_shift, where="15 nA through 1 Mohm, 1 % of a 1.5 V bias"),
    ),
    ((100.0, 470e3, 0.0), by_hand(100.0, "a short circuit puts the whole voltage there", of=grid_shift)),
    ((100.0, 470e3, math.inf), by_hand(0.0, "a perfect capacitor puts none", of=grid_shift)),
]


@pytest.mark.parametrize(("args", "expected"), SHIFT)
def test_leakage_lifts_the_grid_as_a_divider(args: tuple[float, ...], expected: Expected) -> None:
    """From a leaky paper capacitor to a new film one."""
    assert grid_shift(*args) == expected


NEEDED = [
    ((200.0, 1e6, 0.1), by_hand(1.999e9, "1 M · (2000 - 1)", of=leakage_resistance_needed)),
    ((100.0, 470e3, 0.1), by_hand(469.5e6, "470 k · (1000 - 1)", of=leakage_resistance_needed)),
    ((200.0, 470e3, 0.1), by_hand(939.5e6, "470 k · (2000 - 1)", of=leakage_resistance_needed)),
    ((100.0, 470e3, 0.5), by_hand(93.53e6, "470 k · (200 - 1)", of=leakage_resistance_needed)),
    ((250.0, 1e6, 15e-3), by_hand(16.67e9, "1 M · (16666.7 - 1)", of=leakage_resistance_needed)),
    ((100.0, 470e3, 200.0), by_hand(0.0, "a short circuit shifts no more than 100 V", of=leakage_resistance_needed)),
    ((100.0, 470e3, 0.0), by_hand(math.inf, "no shift at all asks for infinity", of=leakage_resistance_needed)),
]


@pytest.mark.parametrize(("args", "expected"), NEEDED)
def test_insulation_needed_for_a_shift(args: tuple[float, ...], expected: Expected) -> None:
    """Gigohms for a sensitive grid."""
    assert leakage_resistance_needed(*args) == expected


def test_insulation_needed_is_the_root_of_the_shift() -> None:
    """A root finder on `grid_shift` arrives at the same resistance."""
    root = brentq(lambda resistance: grid_shift(200.0, 470e3, resistance) - 0.1, 1e6, 1e12)
    assert leakage_resistance_needed(200.0, 470e3, 0.1) == pytest.approx(root, rel=1e-9)


@given(st.floats(10, 600), st.floats(1e4, 1e7), st.floats(1e-4, 0.9))
def test_shift_and_insulation_needed_are_inverse(anode: float, grid_leak: float, share: float) -> None:
    """The resistance asked for a shift gives that shift."""
    shift = anode * share
    assert grid_shift(anode, grid_leak, leakage_resistance_needed(anode, grid_leak, shift)) == pytest.approx(shift)


def _jan(value: float, key: str) -> Expected:
    return published(value, key, of=leakage_limit_old, where="k C + 0.3 mA, worked examples", rel=1e-6)


def _old(value: float, how: str) -> Expected:
    return by_hand(value, how, of=leakage_limit_old, rel=1e-6)


OLD_LIMIT = [
    (20e-6, 450.0, _jan(1.1e-3, "amr")),
    (20e-6, 250.0, _jan(0.7e-3, "amr")),
    (8e-6, 450.0, _jan(0.62e-3, "tsf")),
    (16e-6, 450.0, _jan(0.94e-3, "tsf")),
    (50e-6, 450.0, _jan(2.30e-3, "tsf")),
    (40e-6, 350.0, _jan(1.30e-3, "tsf")),
    (16e-6, 250.0, _jan(0.62e-3, "tsf")),
    (100e-6, 100.0, _jan(1.30e-3, "tsf")),
    (22e-6, 450.0, _old(1.18e-3, "0.04 · 22 + 0.3 mA")),
    (32e-6, 350.0, _old(1.10e-3, "0.025 · 32 + 0.3 mA")),
    (47e-6, 450.0, _old(2.18e-3, "0.04 · 47 + 0.3 mA")),
    (16e-6, 500.0, _old(0.94e-3, "0.04 · 16 + 0.3 mA: the last step reaches 500 V")),
    (16e-6, 101.0, _old(0.62e-3, "0.02 · 16 + 0.3 mA: above 100 V")),
    (1000e-6, 100.0, _old(10e-3, "0.01 · 1000 + 0.3 = 10.3 mA, printed tables stop at 10")),
]


@pytest.mark.parametrize(("capacitance", "voltage", "expected"), OLD_LIMIT)
def test_old_limit_grows_with_capacitance_and_step_of_voltage(
    capacitance: float, voltage: float, expected: Expected
) -> None:
    """Both sides of the steps, and the cap."""
    assert leakage_limit_old(capacitance, voltage) == expected


PRINTED_OTHERWISE = [
    (250e-6, 100.0, 2.30e-3, _old(2.80e-3, "0.01 · 250 + 0.3 mA")),
    (10e-6, 250.0, 0.54e-3, _old(0.50e-3, "0.02 · 10 + 0.3 mA")),
    (4e-6, 350.0, 0.30e-3, _old(0.40e-3, "0.025 · 4 + 0.3 mA")),
    (125e-6, 350.0, 5.43e-3, _old(3.425e-3, "0.025 · 125 + 0.3 mA")),
]


@pytest.mark.parametrize(("capacitance", "voltage", "printed", "expected"), PRINTED_OTHERWISE)
def test_old_limit_follows_the_formula_where_the_printed_table_departs_from_it(
    capacitance: float, voltage: float, printed: float, expected: Expected
) -> None:
    """Four entries of the table do not fit the formula printed with it."""
    assert leakage_limit_old(capacitance, voltage) == expected
    assert not expected.matches(printed)


def test_old_limit_is_unknown_above_its_last_step() -> None:
    """The rule ends at 500 V; nothing is guessed beyond."""
    assert math.isnan(leakage_limit_old(8e-6, 501.0))


def _five(value: float, how: str) -> Expected:
    return by_hand(value, how, of=leakage_limit_modern, rel=5e-3)


def _two(value: float, how: str) -> Expected:
    return by_hand(value, how, of=leakage_limit_two_minutes)


MODERN = [
    (8e-6, 450.0, _five(10.2e-6, "0.002 · 3600 + 3 uA"), _two(36e-6, "0.01 · 3600 uA")),
    (16e-6, 450.0, _five(17.4e-6, "0.002 · 7200 + 3 uA"), _two(72e-6, "0.01 · 7200 uA")),
    (22e-6, 450.0, _five(22.8e-6, "0.002 · 9900 + 3 uA"), _two(99e-6, "0.01 · 9900 uA")),
    (32e-6, 350.0, _five(25.4e-6, "0.002 · 11200 + 3 uA"), _two(112e-6, "0.01 · 11200 uA")),
    (47e-6, 450.0, _five(45.3e-6, "0.002 · 21150 + 3 uA"), _two(211.5e-6, "0.01 · 21150 uA")),
    (1e-6, 50.0, _five(3.1e-6, "0.002 · 50 + 3 uA"), _two(3e-6, "0.01 · 50 = 0.5 uA, but 3 uA at least")),
]


@pytest.mark.parametrize(("capacitance", "voltage", "five", "two"), MODERN)
def test_modern_limits_after_five_and_two_minutes(
    capacitance: float, voltage: float, five: Expected, two: Expected
) -> None:
    """Microamperes, where the old rule allows milliamperes."""
    assert leakage_limit_modern(capacitance, voltage) == five
    assert leakage_limit_two_minutes(capacitance, voltage) == two


def test_the_same_reading_passes_the_old_limit_and_fails_the_modern() -> None:
    """16 uF 450 V: 0.90 mA passes the old limit, 0.95 mA does not; 0.90 mA is fifty times the modern one."""
    old, modern = leakage_limit_old(16e-6, 450.0), leakage_limit_modern(16e-6, 450.0)
    assert modern < 0.90e-3 <= old < 0.95e-3


POLYESTER, POLYPROPYLENE = (30e9, 10e3), (100e9, 30e3)

FLOOR = [
    (0.1e-6, POLYESTER, published(30e9, "mks4", of=insulation_floor, where="up to 0.33 uF, 250 V and more")),
    (0.1e-6, POLYPROPYLENE, published(100e9, "mkp4", of=insulation_floor, where="up to 0.33 uF")),
    (0.33e-6, POLYESTER, published(30e9, "mks4", of=insulation_floor, where="0.33 uF included")),
    (0.47e-6, POLYESTER, by_hand(21.28e9, "10 000 s / 0.47 uF", of=insulation_floor)),
    (1e-6, POLYESTER, by_hand(10e9, "10 000 s / 1 uF", of=insulation_floor)),
    (0.47e-6, POLYPROPYLENE, by_hand(63.83e9, "30 000 s / 0.47 uF", of=insulation_floor)),
    (1e-6, POLYPROPYLENE, by_hand(30e9, "30 000 s / 1 uF", of=insulation_floor)),
]


@pytest.mark.parametrize(("capacitance", "sheet", "expected"), FLOOR)
def test_insulation_floor_turns_into_a_time_constant_above_the_knee(
    capacitance: float, sheet: tuple[float, float], expected: Expected
) -> None:
    """A resistance to 0.33 uF, beyond it a product of resistance and capacitance."""
    assert insulation_floor(capacitance, *sheet) == expected


@pytest.mark.parametrize(
    ("function", "args"),
    [
        (grid_shift, (100.0, 470e3, 20e6)),
        (leakage_resistance_needed, (200.0, 1e6, 0.1)),
        (leakage_limit_old, (16e-6, 350.0)),
        (leakage_limit_modern, (16e-6, 450.0)),
        (leakage_limit_two_minutes, (16e-6, 450.0)),
        (insulation_floor, (0.33e-6, 30e9, 10e3)),
    ],
)
def test_leakage_formulas_keep_their_shape(function: Any, args: tuple[Any, ...]) -> None:
    """Float in, float out; array equals scalar, also across a step; NaN in, NaN out."""
    assert breaches(function, args, {}) == []
