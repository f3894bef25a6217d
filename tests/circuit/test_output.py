"""Output and line transformers against figures from the literature and worked tables."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.circuit import output
from partsbin.circuit.output import (
    bass_corner,
    best_ratio,
    core_power,
    dc_drop,
    dc_loss,
    efficiency,
    half_primary,
    insertion_loss,
    line_impedance,
    load_with_copper,
    mismatch_power,
    push_pull_load,
    reflected_load,
)
from tests.circuit.shapes import breaches
from tests.expected import Expected, by_hand, published

REFLECTED = [
    (20.0, 8.0, published(3200.0, "wattkins-20952", of=reflected_load)),
    (20.0, 16.0, published(6400.0, "wattkins-20952", of=reflected_load)),
    (20.0, 50.0, published(20e3, "diyaudio-172659", of=reflected_load)),
    (20.0, 25.0, published(10e3, "diyaudio-172659", of=reflected_load)),
    (20.0, 8.0, published(3200.0, "diyaudio-172659", of=reflected_load)),
    (20.0, 2.5, published(1000.0, "diyaudio-172659", of=reflected_load)),
    (36.0, 8.0, published(10368.0, "njunis-117", of=reflected_load)),
    (36.0, 4.0, by_hand(5184.0, "1296 · 4", of=reflected_load)),
    (1 / 36, 5200.0, published(4.02, "njunis-117", of=reflected_load, rel=3e-3)),
    (1 / 36, 5200.0, by_hand(4.012, "5200 / 1296; the page prints 4.02", of=reflected_load)),
    (31.6, 8.0, published(7988.0, "tdpri-3950811", of=reflected_load)),
    (31.6, 16.0, published(15977.0, "tdpri-3950811", of=reflected_load)),
    (math.sqrt(4400 / 8), 16.0, published(8800.0, "keen-amp-faq", of=reflected_load)),
    (math.sqrt(4400 / 8), 4.0, published(2200.0, "keen-amp-faq", of=reflected_load)),
    (5.1, 23.0, published(598.2, "diyaudio-350032", of=reflected_load)),
    (24.75, 8.0, published(4901.0, "diyaudio-419255", of=reflected_load)),
    (0.95, 1.0, by_hand(0.9025, "a ratio 5 % low is a load 9.75 % low", of=reflected_load, rel=1e-9)),
    (1.05, 1.0, by_hand(1.1025, "a ratio 5 % high is a load 10.25 % high", of=reflected_load, rel=1e-9)),
    (30.0, 3.0, by_hand(2700.0, "900 · 3", of=reflected_load)),
    (37.0, 3.0, by_hand(4107.0, "1369 · 3", of=reflected_load)),
    (45.0, 3.0, by_hand(6075.0, "2025 · 3", of=reflected_load)),
    (60.0, 3.0, by_hand(10800.0, "3600 · 3", of=reflected_load)),
]


@pytest.mark.parametrize(("ratio", "load", "expected"), REFLECTED)
def test_a_load_is_reflected_by_the_square_of_the_ratio(ratio: float, load: float, expected: Expected) -> None:
    """Published examples, the error rule and the taps of a multi-ratio transformer."""
    assert reflected_load(ratio, load) == expected


def test_nearest_tap_is_the_one_nearest_on_a_logarithmic_scale() -> None:
    """Of 30, 37, 45 and 60 to 1 into 3 ohm, 45 comes nearest to 5.2 kilohm: 1.17 is nearer than 0.79."""
    taps = np.array([30.0, 37.0, 45.0, 60.0])
    assert taps[np.argmax(mismatch_power(reflected_load(taps, 3.0), 5200.0))] == 45.0


COPPER = [  # ratio, load, primary and secondary resistance; total, efficiency, loss
    (
        (36.0, 4.0, 350.0, 0.40),
        by_hand(6052.0, "1296 · 4.40 + 350 = 6052.4", of=load_with_copper),
        by_hand(0.857, "5184 / 6052.4", of=efficiency),
        by_hand(0.67, "10 lg(6052.4 / 5184) = 0.6726", of=insertion_loss, rel=6e-3),
    ),
    (
        (41.63, 3.0, 420.0, 0.35),
        by_hand(6226.0, "1733.1 · 3.35 + 420 = 6225.7", of=load_with_copper),
        by_hand(0.835, "5199 / 6225.7", of=efficiency),
        by_hand(0.78, "10 lg(6225.7 / 5199) = 0.7826", of=insertion_loss, rel=6e-3),
    ),
    (
        (24.5, 8.0, 200.0, 0.60),
        by_hand(5362.0, "600.25 · 8.60 + 200 = 5362.2", of=load_with_copper),
        by_hand(0.896, "4802 / 5362.2", of=efficiency),
        by_hand(0.48, "10 lg(5362.2 / 4802) = 0.4792", of=insertion_loss, rel=6e-3),
    ),
]


@pytest.mark.parametrize(("parts", "total", "share", "loss"), COPPER)
def test_copper_adds_to_the_load_and_takes_its_share(
    parts: tuple[float, float, float, float], total: Expected, share: Expected, loss: Expected
) -> None:
    """A transformer sold as 5.2 kilohm loads the valve 15 to 20 % higher."""
    assert load_with_copper(*parts) == total
    assert efficiency(*parts) == share
    assert insertion_loss(efficiency(*parts)) == loss


LOSSES = [
    (4.04 / 4.26, by_hand(0.23, "10 lg(4.26 / 4.04) = 0.2303: the efficiency, 94.8 %", of=insertion_loss, rel=5e-3)),
    ((4.04 / 4.26) ** 2, by_hand(0.46, "20 lg(4.26 / 4.04): the volts lost", of=insertion_loss, rel=5e-3)),
    (0.5, by_hand(3.0103, "10 lg 2", of=insertion_loss, rel=1e-4)),
    (1.0, by_hand(0.0, "10 lg 1", of=insertion_loss)),
]


@pytest.mark.parametrize(("share", "expected"), LOSSES)
def test_loss_is_ten_times_the_logarithm_of_the_power_ratio(share: float, expected: Expected) -> None:
    """A power ratio takes 10, a ratio of volts is squared first."""
    assert insertion_loss(share) == expected


@given(
    wanted=st.floats(1000.0, 20000.0),
    load=st.floats(1.0, 20.0),
    primary=st.floats(10.0, 900.0),
    secondary=st.floats(0.05, 2.0),
)
def test_best_ratio_shows_the_load_wanted(wanted: float, load: float, primary: float, secondary: float) -> None:
    """Copper included, the two formulas are each other's inverse."""
    ratio = best_ratio(wanted, load, primary, secondary)
    assert load_with_copper(ratio, load, primary, secondary) == pytest.approx(wanted)


@given(
    ratio=st.floats(5.0, 100.0),
    load=st.floats(1.0, 20.0),
    primary=st.floats(0.0, 900.0),
    secondary=st.floats(0.0, 2.0),
)
def test_efficiency_is_the_reflected_share_of_the_whole_load(
    ratio: float, load: float, primary: float, secondary: float
) -> None:
    """What is not reflected from the load is copper."""
    share = reflected_load(ratio, load) / load_with_copper(ratio, load, primary, secondary)
    assert efficiency(ratio, load, primary, secondary) == pytest.approx(share)


MISMATCH = [
    (0.5, published(0.5, "keen-amp-faq", where="half at 2:1 either way", of=mismatch_power)),
    (2.0, published(0.5, "keen-amp-faq", where="half at 2:1 either way", of=mismatch_power)),
    (0.75, by_hand(0.75, "k below 1", of=mismatch_power)),
    (0.8, by_hand(0.80, "k below 1", of=mismatch_power)),
    (1.0, by_hand(1.0, "matched", of=mismatch_power)),
    (1.25, by_hand(0.80, "1 / 1.25", of=mismatch_power)),
    (1.5, by_hand(0.667, "1 / 1.5", of=mismatch_power)),
]


@pytest.mark.parametrize(("k", "expected"), MISMATCH)
def test_mismatch_costs_power_either_way(k: float, expected: Expected) -> None:
    """Below the optimum in proportion, above it inversely."""
    assert mismatch_power(k * 5200.0, 5200.0) == expected


BASS = [
    (8.0, 40e3, 5200.0, by_hand(91.5, "40e3 || 5200 = 4602; 4602 / (2 pi 8)", of=bass_corner)),
    (5.0, 40e3, 5200.0, by_hand(146.5, "4602 / (2 pi 5)", of=bass_corner)),
    (10.0, 38e3, 5200.0, by_hand(72.8, "38e3 || 5200 = 4574; 4574 / (2 pi 10)", of=bass_corner)),
    (8.0, 1700.0, 3200.0, by_hand(22.1, "1700 || 3200 = 1110; 1110 / (2 pi 8)", of=bass_corner)),
    (14.65, 40e3, 5200.0, by_hand(50.0, "L for 50 Hz: 4602 / (2 pi 50) = 14.65", of=bass_corner)),
    (8.0, 40e3, 36.0**2 * 4, by_hand(91.3, "40e3 · 4 / (2 pi 8 (40e3 / 1296 + 4))", of=bass_corner)),
    (8.0, math.inf, 5200.0, by_hand(103.45, "ideal pentode: 5200 / (2 pi 8)", of=bass_corner)),
]


@pytest.mark.parametrize(("inductance", "source", "load", "expected"), BASS)
def test_bass_corner_is_where_the_inductance_equals_the_resistances_in_parallel(
    inductance: float, source: float, load: float, expected: Expected
) -> None:
    """Pentodes need more inductance than triodes for the same bass."""
    assert bass_corner(inductance, source, load) == expected


@given(inductance=st.floats(1.0, 50.0), source=st.floats(500.0, 1e5), load=st.floats(1.0, 20.0), ratio=st.floats(5, 80))
def test_bass_corner_agrees_with_the_form_that_has_the_load_on_the_secondary(
    inductance: float, source: float, load: float, ratio: float
) -> None:
    """rg Rl / (2 pi Lp (n² rg + Rl)) with n = 1 / N, from the transformer notes at amwindow.org."""
    other = source * load / (2 * math.pi * inductance * (source / ratio**2 + load))
    assert bass_corner(inductance, source, reflected_load(ratio, load)) == pytest.approx(other)


STANDING = [
    (0.048, 350.0, by_hand(16.8, "0.048 · 350", of=dc_drop), by_hand(0.81, "0.048² · 350", of=dc_loss, rel=6e-3)),
    (0.036, 560.0, by_hand(20.2, "0.036 · 560", of=dc_drop, rel=3e-3), by_hand(0.726, "0.036² · 560", of=dc_loss)),
    (0.065, 1140.0, by_hand(74.1, "0.065 · 1140", of=dc_drop), by_hand(4.82, "0.065² · 1140", of=dc_loss)),
]


@pytest.mark.parametrize(("current", "resistance", "drop", "loss"), STANDING)
def test_a_standing_current_loses_volts_and_makes_heat(
    current: float, resistance: float, drop: Expected, loss: Expected
) -> None:
    """Two output transformers and a field coil."""
    assert dc_drop(current, resistance) == drop
    assert dc_loss(current, resistance) == loss


HALVES = [
    (half_primary, 1000.0, published(250.0, "r390-list-2004", of=half_primary)),
    (half_primary, 8000.0, by_hand(2000.0, "half the turns: 8000 / 4", of=half_primary)),
    (push_pull_load, 250.0, published(1000.0, "r390-list-2004", of=push_pull_load)),
    (push_pull_load, 2000.0, by_hand(8000.0, "twice the turns: 4 · 2000", of=push_pull_load)),
]


@pytest.mark.parametrize(("function", "impedance", "expected"), HALVES)
def test_half_the_turns_are_a_quarter_of_the_impedance(function: Any, impedance: float, expected: Expected) -> None:
    """In both directions."""
    assert function(impedance) == expected


LINES = [
    (100.0, 5.0, by_hand(2000.0, "100² / 5", of=line_impedance)),
    (100.0, 10.0, by_hand(1000.0, "100² / 10", of=line_impedance)),
    (70.7, 10.0, by_hand(499.8, "70.7² / 10 = 4998.5 / 10", of=line_impedance)),
]


@pytest.mark.parametrize(("volts", "power", "expected"), LINES)
def test_a_tap_of_a_line_takes_its_power_at_the_line_volts(volts: float, power: float, expected: Expected) -> None:
    """100 V and 70.7 V lines."""
    assert line_impedance(volts, power) == expected


SQUARE_INCH = 0.0254**2
CORES = [
    (15e-4, 50.0, published(144.0, "audiokit-core", where="5 x 3 cm", of=core_power, rel=1e-9)),
    (15e-4, 50.0, published(140.5, "golborne-29783", where="26 A² in square inches", of=core_power, rel=0.03)),
    (15e-4, 50.0, published(140.3, "hazchem-core", where="A² / 16042 in mm²", of=core_power, rel=0.03)),
    (SQUARE_INCH, 50.0, published(26.0, "golborne-29783", of=core_power, rel=0.03)),
    (1.25 * SQUARE_INCH, 50.0, published(40.6, "golborne-29783", of=core_power, rel=0.03)),
    (1.5 * SQUARE_INCH, 50.0, published(58.5, "golborne-29783", of=core_power, rel=0.03)),
    (2.0 * SQUARE_INCH, 50.0, published(104.0, "golborne-29783", of=core_power, rel=0.03)),
    (SQUARE_INCH, 60.0, published(31.1, "hazchem-core", where="31.1 A² at 60 Hz", of=core_power, rel=0.03)),
    (4e-4, 50.0, by_hand(10.24, "0.64 · 4²", of=core_power)),
]


@pytest.mark.parametrize(("area", "frequency", "expected"), CORES)
def test_core_power_agrees_with_three_independent_rules(area: float, frequency: float, expected: Expected) -> None:
    """Rules in square centimetres, square inches and square millimetres lie within 3 %."""
    assert core_power(area, frequency) == expected


SHAPES: list[tuple[Any, tuple[float, ...]]] = [
    (reflected_load, (36.0, 4.0)),
    (load_with_copper, (36.0, 4.0, 350.0, 0.4)),
    (efficiency, (36.0, 4.0, 350.0, 0.4)),
    (insertion_loss, (0.857,)),
    (mismatch_power, (4000.0, 5200.0)),
    (half_primary, (8000.0,)),
    (push_pull_load, (2000.0,)),
    (line_impedance, (100.0, 5.0)),
    (dc_drop, (0.048, 350.0)),
    (dc_loss, (0.048, 350.0)),
    (bass_corner, (8.0, 40e3, 5200.0)),
    (core_power, (15e-4, 50.0)),
]


@pytest.mark.parametrize(("function", "args"), SHAPES)
def test_floats_arrays_and_the_unknown_are_kept(function: Any, args: tuple[float, ...]) -> None:
    """Float in, float out; array equals scalar; NaN in, NaN out."""
    assert breaches(function, args, {}) == []


def test_the_ratio_is_offered_here_too() -> None:
    """All that concerns an output transformer is found in one place."""
    assert output.test_band(20.0, 32.2, 44.0) == (0.46, 0.62)
