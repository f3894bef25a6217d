"""The charging pulse: its closed form against a root finder, against quadrature and against the pulse itself."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq

from partsbin.circuit._pulse import area, half_angle, pulse


@pytest.mark.parametrize("wanted", [1e-9, 1e-6, 1e-3, 0.0267, 0.1, 0.5, 0.9, 1.0])
def test_half_angle_is_the_root_that_a_root_finder_gives(wanted: float) -> None:
    """Four steps of Newton reach what a bracketing method finds."""
    root = brentq(lambda angle: math.sin(angle) - angle * math.cos(angle) - wanted, 0, math.pi / 2 + 1e-9, xtol=1e-15)
    assert float(half_angle(wanted)) == pytest.approx(root, rel=1e-8, abs=0)


def test_half_angle_is_nothing_without_current_and_a_quarter_turn_in_a_short_circuit() -> None:
    """The two limiting cases are exact."""
    with np.errstate(invalid="ignore"):  # as every formula is called
        assert float(half_angle(0.0)) == 0.0
    assert float(half_angle(1.0)) == pytest.approx(math.pi / 2, rel=1e-12)


@pytest.mark.parametrize("wanted", [-1e-3, 1.001, math.nan])
def test_half_angle_is_unknown_where_no_pulse_has_that_area(wanted: float) -> None:
    """A negative current and one above the short-circuit current have no angle."""
    assert math.isnan(float(half_angle(wanted)))


@pytest.mark.parametrize("angle", [0.2, 0.5, 1.0, 1.5])
def test_area_is_the_integral_of_the_pulse(angle: float) -> None:
    """The half-pulse cos a - cos t, integrated numerically from the crest to t."""
    integral, _ = quad(lambda a: math.cos(a) - math.cos(angle), 0, angle)
    assert area(angle) == pytest.approx(integral, rel=1e-12)


@pytest.mark.parametrize("pulses", [1, 2])
def test_mean_of_the_pulses_is_the_direct_current(pulses: int) -> None:
    """What the found angle lets through in one period, sampled, adds up to the current that was asked for."""
    peak, angle = pulse(np.float64(250.0), np.float64(100.0), np.float64(0.060), pulses, np.float64(0.8))
    turn = np.linspace(-math.pi, math.pi, 200_001)
    flowing = np.where(np.abs(turn) < angle, (peak * np.cos(turn) - peak * np.cos(angle)) / 100.0, 0.0)
    assert pulses * flowing.mean() == pytest.approx(0.060, rel=1e-4)


def test_a_winding_below_the_drop_of_its_diode_is_unknown() -> None:
    """Half a volt never opens a silicon diode, so there is no pulse to speak of."""
    peak, angle = pulse(np.float64(0.5), np.float64(1.0), np.float64(0.0), 2, np.float64(0.8))
    assert np.isnan(peak)
    assert np.isnan(angle)
