"""The turns ratio: from readings and impedances, its errors, and the band of the bench test."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat

from partsbin.circuit import ratio
from partsbin.circuit.ratio import (
    best_ratio,
    magnetising_error,
    ratio_from_impedances,
    ratio_interval,
    secondary_for_ratio,
    turns_ratio,
)
from tests.circuit.shapes import breaches
from tests.expected import Expected, by_hand, published

FROM_VOLTS = [
    (20.0, 1.0, published(20.0, "wattkins-20952", of=turns_ratio)),
    (100.0, 4.04, published(24.75, "diyaudio-419255", of=turns_ratio)),
    (230.0, 5.1, by_hand(45.1, "230 / 5.1 = 45.098", of=turns_ratio)),
]


@pytest.mark.parametrize(("primary", "secondary", "expected"), FROM_VOLTS)
def test_ratio_is_primary_volts_over_secondary_volts(primary: float, secondary: float, expected: Expected) -> None:
    """The ratio of the volts is that of the turns."""
    assert turns_ratio(primary, secondary) == expected


FROM_IMPEDANCES = [
    (600.0, 4.0, published(12.2, "us-general-pool", of=ratio_from_impedances, rel=5e-3)),
    (600.0, 4.0, by_hand(12.25, "sqrt(150) = 12.247", of=ratio_from_impedances)),
    (7200.0, 8.0, published(30.0, "bitdriven-output", of=ratio_from_impedances)),
    (16.0, 3.2, published(2.236, "heath-list-2001", of=ratio_from_impedances)),
    (5200.0, 3.0, by_hand(41.6, "sqrt(1733.3)", of=ratio_from_impedances, rel=2e-3)),
    (5200.0, 4.0, by_hand(36.1, "sqrt(1300)", of=ratio_from_impedances, rel=2e-3)),
    (5200.0, 8.0, by_hand(25.5, "sqrt(650)", of=ratio_from_impedances, rel=2e-3)),
    (7000.0, 3.0, by_hand(48.3, "sqrt(2333.3)", of=ratio_from_impedances, rel=2e-3)),
    (4500.0, 4.0, by_hand(33.5, "sqrt(1125)", of=ratio_from_impedances, rel=2e-3)),
    (2500.0, 3.0, by_hand(28.9, "sqrt(833.3)", of=ratio_from_impedances, rel=2e-3)),
    (8000.0, 8.0, by_hand(31.6, "sqrt(1000)", of=ratio_from_impedances, rel=2e-3)),
]


@pytest.mark.parametrize(("primary", "secondary", "expected"), FROM_IMPEDANCES)
def test_ratio_is_the_root_of_the_impedance_ratio(primary: float, secondary: float, expected: Expected) -> None:
    """Published pairs and the usual radio loads."""
    assert ratio_from_impedances(primary, secondary) == expected


LOWEST = by_hand(44.21, "(230 - 2.3) / (5.1 + 0.05) = 227.7 / 5.15", of=ratio_interval)
HIGHEST = by_hand(46.00, "(230 + 2.3) / (5.1 - 0.05) = 232.3 / 5.05", of=ratio_interval)


def test_interval_takes_each_reading_at_its_worst_end() -> None:
    """A low primary with a high secondary, and the reverse."""
    assert ratio_interval(230.0, 5.1, primary_uncertainty=2.3, secondary_uncertainty=0.05) == (LOWEST, HIGHEST)


def test_interval_has_no_upper_end_when_the_secondary_may_show_nothing() -> None:
    """A reading no larger than its own uncertainty says nothing about how high the ratio is."""
    assert ratio_interval(20.0, 0.05, primary_uncertainty=0.2, secondary_uncertainty=0.06)[1] == math.inf


def test_interval_never_falls_below_zero() -> None:
    """A primary reading that may be nothing gives zero, not a negative ratio."""
    assert ratio_interval(0.1, 1.0, primary_uncertainty=0.2, secondary_uncertainty=0.1)[0] == 0.0


@given(
    primary=st.floats(1.0, 300.0),
    secondary=st.floats(0.1, 300.0),
    first=st.floats(1e-5, 1e-3),
    second=st.floats(1e-5, 1e-3),
)
def test_interval_agrees_with_linear_propagation(primary: float, secondary: float, first: float, second: float) -> None:
    """For small errors the half-width is the sum of the contributions that `uncertainties` finds by derivation."""
    lo, hi = ratio_interval(
        primary, secondary, primary_uncertainty=first * primary, secondary_uncertainty=second * secondary
    )
    linear = ufloat(primary, first * primary) / ufloat(secondary, second * secondary)
    assert (hi - lo) / 2 == pytest.approx(sum(linear.error_components().values()), rel=2e-3)
    assert (hi - lo) / 2 >= linear.std_dev * (1 - 1e-6)
    assert lo < linear.nominal_value < hi


QUADRATURE = by_hand(0.0536, "420 · 0.015 / 20 = 0.315; 1 / sqrt(1 - 0.315²) - 1", of=magnetising_error, rel=2e-3)
IN_PHASE = by_hand(0.4599, "1 / (1 - 0.315) - 1", of=magnetising_error)


def test_magnetising_current_through_the_copper_makes_the_ratio_read_high() -> None:
    """15 mA through 420 ohm at 20 V: add 5 % to the secondary reading."""
    assert magnetising_error(420.0, 0.015, 20.0) == (QUADRATURE, IN_PHASE)


def test_magnetising_error_is_without_bound_when_the_copper_takes_all() -> None:
    """21 V dropped of 20 V applied cannot be corrected."""
    assert magnetising_error(420.0, 0.05, 20.0) == (math.inf, math.inf)


@given(
    resistance=st.floats(0.0, 1000.0, allow_subnormal=False),
    current=st.floats(0.0, 0.05, allow_subnormal=False),
    applied=st.floats(5.0, 50.0),
)
def test_magnetising_error_in_phase_bounds_the_one_in_quadrature(
    resistance: float, current: float, applied: float
) -> None:
    """Neither is ever negative, and the drop in phase never costs less."""
    quadrature, bound = magnetising_error(resistance, current, applied)
    assert 0 <= quadrature <= bound


BEST = by_hand(37.77, "sqrt((5200 - 420) / (3 + 0.35)) = sqrt(1426.9)", of=best_ratio)
BEST_8_OHM = by_hand(24.08, "sqrt((5200 - 200) / (8 + 0.62)) = sqrt(580.05)", of=best_ratio)


def test_best_ratio_counts_the_copper() -> None:
    """The copper makes the best ratio lower than the root of the impedance ratio."""
    assert best_ratio(5200.0, 3.0, 420.0, 0.35) == BEST
    assert best_ratio(5200.0, 8.0, 200.0, 0.62) == BEST_8_OHM


def test_no_ratio_is_best_when_the_primary_alone_is_too_much() -> None:
    """300 ohm of load cannot be had through 420 ohm of copper."""
    assert math.isnan(best_ratio(300.0, 3.0, 420.0, 0.35))


OPEN_SECONDARY = [
    (20.0, 20.0, published(1.0, "wattkins-20952", of=secondary_for_ratio)),
    (20.0, 37.77, by_hand(0.5295, "20 / 37.77", of=secondary_for_ratio)),
    (6.3, 1 / 41.6, by_hand(262.0, "6.3 · 41.6 = 262.1, fed from the loudspeaker side", of=secondary_for_ratio)),
    (6.3, 1 / 37.77, by_hand(238.0, "6.3 · 37.77 = 237.95, fed from the loudspeaker side", of=secondary_for_ratio)),
]


@pytest.mark.parametrize(("applied", "turns", "expected"), OPEN_SECONDARY)
def test_open_secondary_shows_the_applied_volts_over_the_ratio(
    applied: float, turns: float, expected: Expected
) -> None:
    """Fed the wrong way round, heater volts become hundreds."""
    assert secondary_for_ratio(applied, turns) == expected


BANDS = [  # applied, the two ratios, lowest and highest reading
    (
        20.0,
        (math.sqrt((6900 - 420) / 3.35), math.sqrt((3900 - 420) / 3.35)),
        by_hand(0.46, "20 / 43.98 = 0.4547, up to 0.46", of=ratio.test_band),
        by_hand(0.62, "20 / 32.23 = 0.6205, down to 0.62", of=ratio.test_band),
    ),
    (
        20.0,
        (math.sqrt((10400 - 420) / 3.35), math.sqrt((2600 - 420) / 3.35)),
        by_hand(0.37, "20 / 54.58 = 0.3664, up to 0.37", of=ratio.test_band),
        by_hand(0.78, "20 / 25.51 = 0.7840, down to 0.78", of=ratio.test_band),
    ),
    (
        20.0,
        (20.0, 40.0),
        by_hand(0.5, "20 / 40, on the step: stays", of=ratio.test_band),
        by_hand(1.0, "20 / 20, on the step: stays", of=ratio.test_band),
    ),
    (
        1.0,
        (20.3, 22.7),
        by_hand(0.045, "1 / 22.7 = 0.04405, two figures, up", of=ratio.test_band),
        by_hand(0.049, "1 / 20.3 = 0.04926, two figures, down", of=ratio.test_band),
    ),
    (
        20.0,
        (20 / 0.5249, 20 / 0.5351),
        by_hand(0.525, "0.53 alone would be left: one step finer, up", of=ratio.test_band),
        by_hand(0.535, "0.53 alone would be left: one step finer, down", of=ratio.test_band),
    ),
    (
        230.0,
        (1.9, 2.1),
        by_hand(109.6, "230 / 2.1 = 109.52, four figures, up", of=ratio.test_band),
        by_hand(121.0, "230 / 1.9 = 121.05, four figures, down", of=ratio.test_band),
    ),
]


@pytest.mark.parametrize(("applied", "ratios", "lowest", "highest"), BANDS)
def test_band_is_rounded_inward_to_what_a_meter_shows(
    applied: float, ratios: tuple[float, float], lowest: Expected, highest: Expected
) -> None:
    """Up at the low end, down at the high end, whichever ratio is named first."""
    expected = (pytest.approx(lowest.value, rel=1e-12), pytest.approx(highest.value, rel=1e-12))
    assert ratio.test_band(applied, *ratios) == expected
    assert ratio.test_band(applied, *reversed(ratios)) == expected


@given(
    applied=st.floats(0.5, 250.0),
    low=st.floats(0.5, 100.0),
    spread=st.floats(1.0, 4.0),
    share=st.floats(0.0, 1.0),
)
def test_every_reading_in_the_band_has_a_ratio_that_passes(
    applied: float, low: float, spread: float, share: float
) -> None:
    """Rounding never lets a ratio in from outside, and never turns the band round."""
    lowest, highest = ratio.test_band(applied, low, low * spread)
    assert lowest <= highest
    reading = lowest + share * (highest - lowest)
    assert low * (1 - 1e-6) <= applied / reading <= low * spread * (1 + 1e-6)


def test_a_band_of_no_width_is_left_as_it_is() -> None:
    """One single ratio passes: rounding would leave nothing."""
    assert ratio.test_band(20.0, 37.77, 37.77) == (20 / 37.77, 20 / 37.77)


SHAPES: list[tuple[Any, tuple[float, ...], dict[str, float]]] = [
    (turns_ratio, (230.0, 5.1), {}),
    (ratio_interval, (230.0, 5.1), {"primary_uncertainty": 2.3, "secondary_uncertainty": 0.05}),
    (magnetising_error, (420.0, 0.015, 20.0), {}),
    (ratio_from_impedances, (5200.0, 3.0), {}),
    (best_ratio, (5200.0, 3.0, 420.0, 0.35), {}),
    (secondary_for_ratio, (20.0, 37.8), {}),
    (ratio.test_band, (20.0, 32.2, 44.0), {}),
]


@pytest.mark.parametrize(("function", "args", "kwargs"), SHAPES)
def test_floats_arrays_and_the_unknown_are_kept(
    function: Any, args: tuple[float, ...], kwargs: dict[str, float]
) -> None:
    """Float in, float out; array equals scalar; NaN in, NaN out."""
    assert breaches(function, args, kwargs) == []


def test_nothing_on_the_secondary_is_an_infinite_ratio_in_floats_and_arrays() -> None:
    """Division by nothing does not raise, as an array of a million parts must not."""
    assert turns_ratio(20.0, 0.0) == math.inf
    assert np.isinf(turns_ratio(np.array([20.0]), np.array([0.0]))).all()
