"""Resistors: derating by ambient, element voltage, dissipation, sections, inductance of the winding."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.circuit.resistors import (
    critical_resistance,
    derated_power,
    helix_inductance,
    impedance_ratio,
    power_of_current,
    power_of_voltage,
    rated_voltage,
    section_power,
)
from tests.circuit.shapes import breaches
from tests.expected import Expected, by_hand, published

FILM, COMPOSITION, QUOTED = (70.0, 155.0), (70.0, 130.0), (70.0, 118.0)
DERATED = [
    (70.0, FILM, published(1.0, "metal-film", of=derated_power, where="whole rating to 70 °C")),
    (155.0, FILM, published(0.0, "hokuriku", of=derated_power, where="nothing at 155 °C")),
    (85.0, FILM, by_hand(0.824, "70 / 85", of=derated_power)),
    (100.0, FILM, by_hand(0.647, "55 / 85", of=derated_power)),
    (125.0, FILM, by_hand(0.353, "30 / 85", of=derated_power)),
    (85.0, COMPOSITION, by_hand(0.75, "45 / 60", of=derated_power)),
    (100.0, COMPOSITION, by_hand(0.5, "30 / 60", of=derated_power)),
    (110.0, COMPOSITION, by_hand(0.3333, "20 / 60", of=derated_power)),
    (20.0, COMPOSITION, by_hand(1.0, "never more than the rating", of=derated_power)),
    (85.0, QUOTED, by_hand(0.6875, "33 / 48; of a rating cut to 60 % that is 41.3 %", of=derated_power)),
]


@pytest.mark.parametrize(("ambient", "curve", "expected"), DERATED)
def test_the_rating_falls_in_a_line_between_two_temperatures(
    ambient: float, curve: tuple[float, float], expected: Expected
) -> None:
    """Whole below the first, nothing above the second."""
    assert derated_power(1.0, ambient, *curve) == expected


RATED = [
    ((0.25, 220e3, 250.0), by_hand(234.5, "sqrt(0.25 · 220 000)", of=rated_voltage)),
    ((0.25, 1e6, 250.0), published(250.0, "hokuriku", of=rated_voltage, where="0.25 W, 250 V")),
    ((0.5, 1e6, 350.0), published(350.0, "composition", of=rated_voltage, where="0.5 W, 350 V")),
    ((0.25, 1e6, math.inf), by_hand(500.0, "sqrt(0.25 · 10^6), a style without a limit", of=rated_voltage)),
    ((10.0, 1e3, math.inf), by_hand(100.0, "sqrt(10 · 1000)", of=rated_voltage)),
]


@pytest.mark.parametrize(("args", "expected"), RATED)
def test_the_lesser_of_power_and_style_rates_the_volts(args: tuple[float, ...], expected: Expected) -> None:
    """Power below the critical resistance, style above it."""
    assert rated_voltage(*args) == expected


CRITICAL = [
    ((0.25, 250.0), by_hand(250e3, "62 500 / 0.25", of=critical_resistance)),
    ((0.5, 350.0), by_hand(245e3, "122 500 / 0.5", of=critical_resistance)),
    ((0.5, 300.0), by_hand(180e3, "90 000 / 0.5", of=critical_resistance)),
    ((1.0, 500.0), by_hand(250e3, "250 000 / 1", of=critical_resistance)),
    ((2.0, 500.0), by_hand(125e3, "250 000 / 2", of=critical_resistance)),
]


@pytest.mark.parametrize(("args", "expected"), CRITICAL)
def test_the_critical_resistance_is_where_both_limits_meet(args: tuple[float, float], expected: Expected) -> None:
    """V squared over P."""
    assert critical_resistance(*args) == expected


DISSIPATED = [
    (power_of_current, (10e3, 10e-3), by_hand(1.0, "0.01² · 10 000", of=power_of_current)),
    (power_of_current, (1140.0, 65e-3), by_hand(4.817, "0.065² · 1140", of=power_of_current)),
    (power_of_current, (495.0, 60e-3), by_hand(1.782, "0.06² · 495", of=power_of_current)),
    (power_of_voltage, (1e6, 300.0), by_hand(0.09, "300² / 10^6", of=power_of_voltage)),
    (power_of_voltage, (2.2e6, 450.0), by_hand(0.09205, "450² / 2.2 · 10^6", of=power_of_voltage)),
    (power_of_voltage, (220e3, 230.0), by_hand(0.24045, "230² / 220 000", of=power_of_voltage)),
]


@pytest.mark.parametrize(("formula", "args", "expected"), DISSIPATED)
def test_power_follows_from_current_or_voltage(
    formula: Callable[..., float], args: tuple[float, float], expected: Expected
) -> None:
    """The published traps: little power beside a voltage that is too much for the body."""
    assert formula(*args) == expected


SECTIONS = [
    ((30.0, 200.0, 1000.0), by_hand(6.0, "30 · 200 / 1000", of=section_power)),
    ((30.0, 1000.0, 1000.0), by_hand(30.0, "the whole of it", of=section_power)),
]


@pytest.mark.parametrize(("args", "expected"), SECTIONS)
def test_a_section_bears_its_share(args: tuple[float, float, float], expected: Expected) -> None:
    """Pro rata."""
    assert section_power(*args) == expected


INDUCTANCES = [
    ((100.0, 6e-3, 20e-3), by_hand(15.65e-6, "4π 10^-7 · 10^4 · 28.27 mm² / 22.7 mm", of=helix_inductance)),
    ((0.0, 6e-3, 20e-3), by_hand(0.0, "no turns, no inductance", of=helix_inductance)),
]


@pytest.mark.parametrize(("args", "expected"), INDUCTANCES)
def test_a_helix_has_the_inductance_of_a_coil(args: tuple[float, float, float], expected: Expected) -> None:
    """Microhenries for a body of a few watts."""
    assert helix_inductance(*args) == expected


RATIOS = [
    ((100.0, 10e-6, 10e6), by_hand(6.362, "2π 10^7 · 10^-5 = 628.3; sqrt(1 + 6.283²)", of=impedance_ratio)),
    ((1e3, 10e-6, 1e3), by_hand(1.0, "2π 10^3 · 10^-5 = 0.06 Ω beside 1000", of=impedance_ratio)),
    ((1e3, 0.0, 10e6), by_hand(1.0, "no inductance", of=impedance_ratio)),
]


@pytest.mark.parametrize(("args", "expected"), RATIOS)
def test_inductance_counts_at_radio_frequency(args: tuple[float, float, float], expected: Expected) -> None:
    """Nothing at audio, the larger part at 10 MHz."""
    assert impedance_ratio(*args) == expected


@given(st.floats(0.05, 100.0), st.floats(1.0, 1e7), st.floats(50.0, 2000.0))
def test_the_rated_voltage_never_exceeds_power_or_style(rating: float, resistance: float, limiting: float) -> None:
    """At the rated voltage the power is at most the rating, and the style's limit is kept."""
    volts = rated_voltage(rating, resistance, limiting)
    assert volts <= limiting
    assert power_of_voltage(resistance, volts) <= rating * (1 + 1e-12)


CALLS: list[tuple[Callable[..., Any], tuple[float, ...]]] = [
    (derated_power, (1.0, 90.0, 70.0, 155.0)),
    (rated_voltage, (0.25, 220e3, 250.0)),
    (critical_resistance, (0.5, 350.0)),
    (power_of_current, (10e3, 10e-3)),
    (power_of_voltage, (1e6, 300.0)),
    (section_power, (30.0, 200.0, 1000.0)),
    (helix_inductance, (100.0, 6e-3, 20e-3)),
    (impedance_ratio, (100.0, 10e-6, 10e6)),
]


@pytest.mark.parametrize(("formula", "args"), CALLS)
def test_formulas_take_floats_and_arrays_alike(formula: Callable[..., Any], args: tuple[float, ...]) -> None:
    """Float in, float out; array equals scalar; NaN in, NaN out."""
    assert breaches(formula, args, {}) == []
