"""Capacitors: corner frequencies, stress, energy, discharge, losses, detuning."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat
from uncertainties.umath import sqrt as uncertain_sqrt

from partsbin.circuit.capacitors import (
    cathode_resistance_seen,
    corner_frequency,
    discharge_time,
    esr_from_tan_delta,
    series_capacitance,
    stored_energy,
    stress_ratio,
    tuned_shift,
)
from tests.circuit.shapes import breaches
from tests.expected import Expected, by_hand


def _corner(value: float, how: str) -> Expected:
    return by_hand(value, f"0.159155 / ({how})", of=corner_frequency)


CORNER = [
    (470e3, 0.01e-6, _corner(33.86, "470e3 · 0.01e-6")),
    (470e3, 0.02e-6, _corner(16.93, "470e3 · 0.02e-6")),
    (1e6, 0.022e-6, _corner(7.234, "1e6 · 0.022e-6")),
    (470e3, 0.022e-6, _corner(15.39, "470e3 · 0.022e-6")),
    (500e3, 0.005e-6, _corner(63.66, "500e3 · 0.005e-6")),
    (1e6, 0.05e-6, _corner(3.183, "1e6 · 0.05e-6")),
    (500e3, 0.0047e-6, _corner(67.73, "500e3 · 0.0047e-6")),
    (1e6, 0.047e-6, _corner(3.386, "1e6 · 0.047e-6")),
    (470e3, 0.1e-6, _corner(3.386, "470e3 · 0.1e-6")),
    (220e3, 1e-9, _corner(723.4, "220e3 · 1e-9")),
    (150.0, 50e-6, _corner(21.22, "150 · 50e-6")),
    (1500.0, 25e-6, _corner(4.244, "1500 · 25e-6")),
    (55.7, 50e-6, _corner(57.15, "55.7 · 50e-6")),
    (776.2, 25e-6, _corner(8.202, "776.2 · 25e-6")),
]


@pytest.mark.parametrize(("resistance", "capacitance", "expected"), CORNER)
def test_corner_frequency_of_coupling_and_bypass(resistance: float, capacitance: float, expected: Expected) -> None:
    """1 over 2 pi R C."""
    assert corner_frequency(resistance, capacitance) == expected


@pytest.mark.parametrize(("old", "new", "shift"), [(0.005, 0.0047, 0.0638), (0.05, 0.047, 0.0638), (1.0, 1.1, -0.0909)])
def test_corner_frequency_rises_as_the_capacitance_falls(old: float, new: float, shift: float) -> None:
    """6 % less capacitance moves the corner up by 6.38 %, 10 % more moves it down by 9.09 %."""
    assert corner_frequency(1e6, new) / corner_frequency(1e6, old) - 1 == pytest.approx(shift, abs=5e-5)


def test_corner_frequency_without_capacitance_is_infinite() -> None:
    """An open coupling capacitor passes nothing at any frequency; a float says so as an array does."""
    assert corner_frequency(1e6, 0.0) == math.inf


CATHODE = [
    (
        (150.0, 11.3e-3),
        {},
        by_hand(55.7, "1 / 0.0113 = 88.50; 150 · 88.50 / 238.50", of=cathode_resistance_seen),
    ),
    (
        (1500.0,),
        {"mu": 100.0, "anode_resistance": 62.5e3, "anode_load": 100e3},
        by_hand(776.2, "162500 / 101 = 1608.9; 1500 · 1608.9 / 3108.9", of=cathode_resistance_seen),
    ),
    ((150.0, 0.0), {}, by_hand(150.0, "a dead valve leaves the resistor alone", of=cathode_resistance_seen)),
    (
        (1500.0, 1.6e-3),
        {"mu": 100.0, "anode_resistance": 62.5e3, "anode_load": 100e3},
        by_hand(776.2, "as above: the triode's three go before its transconductance", of=cathode_resistance_seen),
    ),
]


@pytest.mark.parametrize(("args", "kwargs", "expected"), CATHODE)
def test_cathode_is_in_parallel_with_its_resistor(
    args: tuple[float, ...], kwargs: dict[str, float], expected: Expected
) -> None:
    """So that the corner of the bypass lies well above that of the resistor alone."""
    assert cathode_resistance_seen(*args, **kwargs) == expected


@pytest.mark.parametrize(
    ("kwargs", "message"),
    [
        ({}, "^no valve given, expected transconductance, or mu, anode_resistance and anode_load$"),
        ({"mu": 100.0}, "^a triode given in part, expected mu, anode_resistance and anode_load together$"),
        ({"transconductance": 1e-3, "anode_load": 1e5}, "^a triode given in part, expected mu"),
    ],
)
def test_a_valve_given_in_part_is_refused(kwargs: dict[str, float], message: str) -> None:
    """Rather than half of it being ignored."""
    with pytest.raises(ValueError, match=message):
        cathode_resistance_seen(1500.0, **kwargs)


STRESS = [
    ((200.0, 30.0, 400.0), by_hand(0.606, "(200 + 1.41421 · 30) / 400 = 242.43 / 400", of=stress_ratio)),
    ((200.0, 30.0, 630.0), by_hand(0.385, "242.43 / 630", of=stress_ratio)),
    ((0.0, 250.0, 354.0), by_hand(0.9987, "353.55 / 354", of=stress_ratio)),
    ((450.0, 0.0, 450.0), by_hand(1.0, "450 / 450", of=stress_ratio)),
]


@pytest.mark.parametrize(("args", "expected"), STRESS)
def test_stress_counts_the_crest_of_the_alternating_voltage(args: tuple[float, ...], expected: Expected) -> None:
    """On top of the direct voltage."""
    assert stress_ratio(*args) == expected


ENERGY = [
    (8e-6, 500.0, by_hand(1.00, "8e-6 · 500^2 / 2", of=stored_energy)),
    (16e-6, 450.0, by_hand(1.62, "16e-6 · 450^2 / 2", of=stored_energy)),
    (32e-6, 350.0, by_hand(1.96, "32e-6 · 350^2 / 2", of=stored_energy)),
    (50e-6, 350.0, by_hand(3.0625, "50e-6 · 350^2 / 2", of=stored_energy)),
    (100e-6, 325.0, by_hand(5.281, "100e-6 · 325^2 / 2", of=stored_energy)),
    (220e-6, 325.0, by_hand(11.62, "220e-6 · 325^2 / 2", of=stored_energy)),
    (189e-6, 325.0, by_hand(10.0, "189e-6 · 325^2 / 2 = 9.98", of=stored_energy, rel=5e-3)),
    (163e-6, 350.0, by_hand(10.0, "163e-6 · 350^2 / 2 = 9.98", of=stored_energy, rel=5e-3)),
    (98.8e-6, 450.0, by_hand(10.0, "98.8e-6 · 450^2 / 2 = 10.00", of=stored_energy, rel=5e-3)),
    (4.7e-6, 325.0, by_hand(0.25, "4.7e-6 · 325^2 / 2 = 0.248", of=stored_energy, rel=0.02)),
    (4.1e-6, 350.0, by_hand(0.25, "4.1e-6 · 350^2 / 2 = 0.251", of=stored_energy, rel=0.02)),
    (2.5e-6, 450.0, by_hand(0.25, "2.5e-6 · 450^2 / 2 = 0.253", of=stored_energy, rel=0.02)),
    (47e-6, 443.0, by_hand(4.612, "47e-6 · 443^2 / 2", of=stored_energy)),
]


@pytest.mark.parametrize(("capacitance", "volts", "expected"), ENERGY)
def test_stored_energy_of_usual_reservoirs(capacitance: float, volts: float, expected: Expected) -> None:
    """Joules, and the values that reach 10 J and 0.25 J."""
    assert stored_energy(capacitance, volts) == expected


@given(st.floats(1e-9, 1e-2), st.floats(1, 1000), st.floats(1, 1000))
def test_connecting_capacitors_in_series_stores_what_each_holds(c1: float, c2_factor: float, volts: float) -> None:
    """The energy of the string is the sum of the energies of its parts."""
    c2 = c1 * c2_factor
    string = series_capacitance(c1, c2)
    parts = stored_energy(c1, volts * string / c1) + stored_energy(c2, volts * string / c2)
    assert stored_energy(string, volts) == pytest.approx(parts, rel=1e-9, abs=0)


DISCHARGE = [
    ((1e3, 50e-6, 350.0, 60.0), by_hand(0.0882, "1e3 · 50e-6 · ln 5.8333 = 0.05 · 1.7636", of=discharge_time)),
    ((10e3, 50e-6, 350.0, 60.0), by_hand(0.882, "0.5 · 1.7636", of=discharge_time)),
    ((220e3, 50e-6, 350.0, 60.0), by_hand(19.40, "11 · 1.7636", of=discharge_time)),
    ((10e3, 50e-6, 60.0, 60.0), by_hand(0.0, "ln 1 = 0", of=discharge_time)),
    ((10e3, 50e-6, 50.0, 60.0), by_hand(0.0, "below 60 V from the start", of=discharge_time)),
    ((10e3, 50e-6, 0.0, 0.0), by_hand(0.0, "an empty capacitor is empty", of=discharge_time)),
    ((10e3, 50e-6, 350.0, 0.0), by_hand(math.inf, "an exponential never reaches nothing", of=discharge_time)),
]


@pytest.mark.parametrize(("args", "expected"), DISCHARGE)
def test_discharge_time_to_a_safe_voltage(args: tuple[float, ...], expected: Expected) -> None:
    """Exponential decay, with the cases that need no time or all of it."""
    assert discharge_time(*args) == expected


ESR = [
    ((0.20, 8e-6, 120.0), by_hand(33.16, "0.20 / (753.98 · 8e-6)", of=esr_from_tan_delta)),
    ((0.20, 10e-6, 120.0), by_hand(26.53, "0.20 / (753.98 · 10e-6)", of=esr_from_tan_delta)),
    ((0.20, 22e-6, 120.0), by_hand(12.06, "0.20 / (753.98 · 22e-6)", of=esr_from_tan_delta)),
    ((0.20, 47e-6, 120.0), by_hand(5.644, "0.20 / (753.98 · 47e-6)", of=esr_from_tan_delta)),
    ((0.14, 25e-6, 120.0), by_hand(7.427, "0.14 / (753.98 · 25e-6)", of=esr_from_tan_delta)),
    ((0.14, 100e-6, 120.0), by_hand(1.857, "0.14 / (753.98 · 100e-6)", of=esr_from_tan_delta)),
    ((0.18, 10e-6, 120.0), by_hand(23.87, "0.18 / (753.98 · 10e-6)", of=esr_from_tan_delta)),
]


@pytest.mark.parametrize(("args", "expected"), ESR)
def test_series_resistance_from_the_loss_factor(args: tuple[float, ...], expected: Expected) -> None:
    """Upper limits at 120 Hz; 2 pi 120 = 753.98."""
    assert esr_from_tan_delta(*args) == expected


SHIFT = [
    (0.01, by_hand(-0.00496, "1 / sqrt 1.01 - 1 = 0.995037 - 1", of=tuned_shift)),
    (0.10, by_hand(-0.04654, "1 / sqrt 1.1 - 1 = 0.953463 - 1", of=tuned_shift)),
    (0.20, by_hand(-0.08713, "1 / sqrt 1.2 - 1 = 0.912871 - 1", of=tuned_shift)),
    (-0.19, by_hand(0.11111, "1 / sqrt 0.81 - 1 = 1 / 0.9 - 1", of=tuned_shift)),
    (0.0, by_hand(0.0, "no change, no shift", of=tuned_shift)),
    (-1.0, by_hand(math.inf, "without capacitance there is no upper limit", of=tuned_shift)),
]


@pytest.mark.parametrize(("change", "expected"), SHIFT)
def test_tuned_shift_is_exact_for_large_changes(change: float, expected: Expected) -> None:
    """Not only the rule of half the change."""
    assert tuned_shift(change) == expected


def test_tuned_shift_keeps_its_digits_for_a_minute_change() -> None:
    """Half of 1e-12, where 1 / sqrt(1 + x) - 1 written plainly is off in the fourth digit."""
    assert tuned_shift(1e-12) / 1e-12 == pytest.approx(-0.5, rel=1e-9)


def test_tuned_shift_is_unknown_for_less_than_no_capacitance() -> None:
    """A change of more than minus all has no frequency."""
    assert math.isnan(tuned_shift(-1.5))


def test_one_per_cent_of_the_capacitance_moves_455_kilohertz_by_two() -> None:
    """Error propagation through the resonance formula gives the same 2.3 kHz."""
    inductance = 1 / ((2 * math.pi * 455e3) ** 2 * 200e-12)
    resonance = 1 / (2 * math.pi * uncertain_sqrt(inductance * ufloat(200e-12, 2e-12)))
    assert resonance.nominal_value == pytest.approx(455e3)
    assert abs(tuned_shift(0.01)) * 455e3 == pytest.approx(resonance.std_dev, rel=0.01)


@pytest.mark.parametrize(
    ("function", "args", "kwargs"),
    [
        (corner_frequency, (470e3, 10e-9), {}),
        (cathode_resistance_seen, (150.0, 11.3e-3), {}),
        (cathode_resistance_seen, (1500.0,), {"mu": 100.0, "anode_resistance": 62.5e3, "anode_load": 100e3}),
        (stress_ratio, (200.0, 30.0, 400.0), {}),
        (stored_energy, (50e-6, 350.0), {}),
        (discharge_time, (10e3, 50e-6, 350.0, 60.0), {}),
        (esr_from_tan_delta, (0.2, 8e-6, 120.0), {}),
        (tuned_shift, (0.1,), {}),
    ],
)
def test_capacitor_formulas_keep_their_shape(function: Any, args: tuple[Any, ...], kwargs: dict[str, Any]) -> None:
    """Float in, float out; array equals scalar; NaN in, NaN out."""
    assert breaches(function, args, kwargs) == []


def test_a_division_by_nothing_gives_the_same_in_an_array() -> None:
    """One odd row in a batch neither stops it nor warns."""
    assert list(np.isinf(corner_frequency(np.array([1e6, 0.0]), 1e-9))) == [False, True]
