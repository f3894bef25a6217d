"""Touch current through capacitors and resistors, and the largest capacitor that a limit allows."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import brentq

from partsbin.circuit.touch import (
    largest_capacitance,
    touch_current,
    touch_current_of_paths,
    touch_current_resistive,
)
from tests.circuit.shapes import breaches
from tests.expected import Expected, by_hand, published


def _at(value: float, capacitance: str, mains: str = "314.16 · 230", of: Any = touch_current) -> Expected:
    return by_hand(value, f"2 pi f V C = {mains} · {capacitance}", of=of, rel=5e-3)


RMS = [
    (1e-9, 230.0, 50.0, _at(0.0723e-3, "1e-9")),
    (2.2e-9, 230.0, 50.0, _at(0.159e-3, "2.2e-9")),
    (4.7e-9, 230.0, 50.0, _at(0.340e-3, "4.7e-9")),
    (6.8e-9, 230.0, 50.0, _at(0.491e-3, "6.8e-9")),
    (10e-9, 230.0, 50.0, _at(0.723e-3, "10e-9")),
    (47e-9, 230.0, 50.0, _at(3.40e-3, "47e-9")),
    (0.1e-6, 230.0, 50.0, _at(7.23e-3, "0.1e-6")),
    (4.7e-9, 120.0, 60.0, _at(0.213e-3, "4.7e-9", "376.99 · 120")),
    (10e-9, 120.0, 60.0, _at(0.452e-3, "10e-9", "376.99 · 120")),
    (0.1e-6, 120.0, 60.0, _at(4.52e-3, "0.1e-6", "376.99 · 120")),
    (1e-9, 253.0, 50.0, _at(0.0795e-3, "1e-9", "314.16 · 253")),
    (2.2e-9, 253.0, 50.0, _at(0.175e-3, "2.2e-9", "314.16 · 253")),
    (4.7e-9, 253.0, 50.0, _at(0.374e-3, "4.7e-9", "314.16 · 253")),
    (10e-9, 253.0, 50.0, _at(0.795e-3, "10e-9", "314.16 · 253")),
    (
        0.1e-6,
        120.0,
        60.0,
        published(4.5e-3, "respuestas", of=touch_current, where="0.1 uF at 120 V 60 Hz", rel=0.01),
    ),
]


@pytest.mark.parametrize(("capacitance", "mains", "frequency", "expected"), RMS)
def test_touch_current_through_a_capacitor(
    capacitance: float, mains: float, frequency: float, expected: Expected
) -> None:
    """Voltage over reactance, at nominal and at high mains, here and in America."""
    assert touch_current(capacitance, mains, frequency) == expected


PEAK = [
    (4.7e-9, _at(0.480e-3, "4.7e-9 · 1.41421")),
    (6.8e-9, _at(0.695e-3, "6.8e-9 · 1.41421")),
    (10e-9, _at(1.022e-3, "10e-9 · 1.41421")),
]


@pytest.mark.parametrize(("capacitance", "expected"), PEAK)
def test_touch_current_peak(capacitance: float, expected: Expected) -> None:
    """The limits of service manuals are peak values."""
    assert touch_current(capacitance, 230.0, 50.0, peak=True) == expected


def _paths(value: float, how: str) -> Expected:
    return by_hand(value, how, of=touch_current_of_paths, rel=5e-3)


PATHS = [
    ([2.2e-9, 2.2e-9], _paths(0.350e-3, "314.16 · 253 · 4.4e-9")),
    ([4.7e-9, 4.7e-9], _paths(0.747e-3, "314.16 · 253 · 9.4e-9: aerial and earth sockets together")),
    ([4.7e-9], _paths(0.374e-3, "314.16 · 253 · 4.7e-9: one path")),
    ([], _paths(0.0, "no path, no current")),
]


@pytest.mark.parametrize(("capacitances", "expected"), PATHS)
def test_currents_of_all_paths_to_one_part_add(capacitances: list[float], expected: Expected) -> None:
    """Two capacitors that pass alone may fail together."""
    assert touch_current_of_paths(capacitances, 253.0, 50.0) == expected


def test_paths_may_be_columns_of_a_batch() -> None:
    """One path the same for all rows, one different; the peak is taken of the sum."""
    rows = touch_current_of_paths([1e-9, np.array([1e-9, 3.7e-9])], 253.0, 50.0, peak=True)
    assert rows == pytest.approx(touch_current(np.array([2e-9, 4.7e-9]), 253.0, 50.0, peak=True), rel=1e-12)


def test_a_path_that_is_not_known_makes_the_sum_unknown() -> None:
    """It must not count as nothing."""
    assert math.isnan(touch_current_of_paths([1e-9, math.nan], 253.0, 50.0))


def test_paths_of_floats_give_a_float() -> None:
    """As for a single path."""
    assert type(touch_current_of_paths([1e-9, 2e-9], 253.0, 50.0)) is float


def _largest(value: float, how: str) -> Expected:
    return by_hand(value, how, of=largest_capacitance, rel=1.5e-3)


LARGEST = [
    (0.7e-3, 230.0, 50.0, _largest(6.85e-9, "0.7e-3 / (314.16 · 1.41421 · 230)")),
    (0.7e-3, 240.0, 50.0, _largest(6.56e-9, "0.7e-3 / (314.16 · 1.41421 · 240)")),
    (0.7e-3, 253.0, 50.0, _largest(6.23e-9, "0.7e-3 / (314.16 · 1.41421 · 253)")),
    (0.7e-3, 264.0, 50.0, _largest(5.97e-9, "0.7e-3 / (314.16 · 1.41421 · 264)")),
    (0.5e-3 * math.sqrt(2), 120.0, 60.0, _largest(11.05e-9, "0.5e-3 / (376.99 · 120), the limit being RMS")),
    (0.25e-3 * math.sqrt(2), 253.0, 50.0, _largest(3.145e-9, "0.25e-3 / (314.16 · 253), the limit being RMS")),
]


@pytest.mark.parametrize(("limit", "mains", "frequency", "expected"), LARGEST)
def test_largest_capacitance_for_a_limit(limit: float, mains: float, frequency: float, expected: Expected) -> None:
    """At the mains voltages of Europe, old Britain and America."""
    assert largest_capacitance(limit, mains, frequency) == expected


def test_the_usual_capacitor_passes_and_the_original_does_not() -> None:
    """Aerial isolation on a live chassis: 4.7 nF and the limit of 0.7 mA peak, against the 0.01 uF of the set."""
    allowed = largest_capacitance(0.7e-3, 253.0, 50.0)
    assert 4.7e-9 < allowed < 10e-9
    assert touch_current(10e-9, 230.0, 50.0, peak=True) > 0.7e-3


def test_largest_capacitance_is_the_root_of_the_touch_current() -> None:
    """A root finder on the peak current arrives at the same value."""
    root = brentq(lambda c: touch_current(c, 253.0, 50.0, peak=True) - 0.7e-3, 1e-12, 1e-6, xtol=1e-20)
    assert largest_capacitance(0.7e-3, 253.0, 50.0) == pytest.approx(root, rel=1e-9, abs=0)


@given(st.floats(1e-5, 1e-2), st.floats(50, 300), st.sampled_from([25.0, 50.0, 60.0]))
def test_the_largest_capacitance_draws_exactly_the_limit(limit: float, mains: float, frequency: float) -> None:
    """The two functions are inverse."""
    largest = largest_capacitance(limit, mains, frequency)
    assert touch_current(largest, mains, frequency, peak=True) == pytest.approx(limit)


RESISTIVE = [
    (
        1500.0,
        0.75,
        published(0.5e-3, "pantv", of=touch_current_resistive, where="0.5 mA is 0.75 V across 1.5 kohm"),
    ),
    (10e3, 4.34, by_hand(0.434e-3, "4.34 / 10 000 (a page prints 0.424)", of=touch_current_resistive)),
    (1e6, 253.0, by_hand(0.253e-3, "253 / 1e6", of=touch_current_resistive)),
    (math.inf, 253.0, by_hand(0.0, "no path", of=touch_current_resistive)),
]


@pytest.mark.parametrize(("resistance", "mains", "expected"), RESISTIVE)
def test_touch_current_through_a_resistor(resistance: float, mains: float, expected: Expected) -> None:
    """Ohm's law, as on the meter across the test resistor."""
    assert touch_current_resistive(resistance, mains) == expected


@pytest.mark.parametrize(
    ("function", "args", "kwargs"),
    [
        (touch_current, (4.7e-9, 253.0, 50.0), {"peak": True}),
        (largest_capacitance, (0.7e-3, 253.0, 50.0), {}),
        (touch_current_resistive, (1e6, 253.0), {}),
    ],
)
def test_touch_formulas_keep_their_shape(function: Any, args: tuple[Any, ...], kwargs: dict[str, Any]) -> None:
    """Float in, float out; array equals scalar; NaN in, NaN out."""
    assert breaches(function, args, kwargs) == []
