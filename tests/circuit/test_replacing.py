"""Silicon for a valve or selenium: the gain, and the resistors that take it back."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.circuit.rectification import capacitor_input, valve_input
from partsbin.circuit.replacing import gain_over_selenium, gain_over_valve, resistor_ahead, resistor_behind
from tests.circuit.shapes import breaches
from tests.expected import Expected, by_hand, published, simulated

SIM = "ngspice 39, 250-0-250 V, 125 ohm a side, 60 mA, 32 uF; valve of 1 mA/V^1.5"
WITHOUT_RESISTANCE = "32 uF, 60 mA, no resistance: 344.63 V behind 352.753 V, worked for capacitor_input"

GAINS = [
    (
        (250.0, 125.0, 0.060, 32e-6, 50.0, 15.33, 0.060),
        simulated(29.7, SIM, of=gain_over_valve, rel=0.03),
    ),
    (
        (250.0, 100.0, 0.060, 32e-6, 50.0, 0.0, 0.060),
        by_hand(-0.80, "a valve without a drop gives 0.8 V more than silicon", of=gain_over_valve, rel=0.05),
    ),
]


@pytest.mark.parametrize(("args", "expected"), GAINS)
def test_silicon_gains_what_the_valve_lost(args: tuple[float, ...], expected: Expected) -> None:
    """About thirty volts in a receiver."""
    assert gain_over_valve(*args) == expected


STACKS = [
    (
        (250.0, 0.0, 0.060, 32e-6, 50.0, 6.0, 5.0, "centre-tap"),
        by_hand(
            29.2,
            WITHOUT_RESISTANCE + "; without resistance the droop stays nearly as it was: 6 · 5 - 0.8",
            of=gain_over_selenium,
            rel=0.02,
        ),
    ),
]


@pytest.mark.parametrize(("args", "expected"), STACKS)
def test_silicon_gains_what_the_plates_dropped(args: tuple[Any, ...], expected: Expected) -> None:
    """Plates times the drop of one, less silicon's own."""
    assert gain_over_selenium(*args) == expected


AHEAD = [
    (0, (284.7, 250.0, 125.0, 0.060, 32e-6, 50.0), simulated(175.0, SIM, of=resistor_ahead, rel=0.02)),
    (1, (284.7, 250.0, 125.0, 0.060, 32e-6, 50.0), simulated(0.95, SIM, of=resistor_ahead, rel=0.03)),
    (
        0,
        (284.97, 250.0, 100.0, 0.060, math.inf, 50.0),
        by_hand(
            200.0,
            "endless reservoir, t = 0.630177: 352.753 cos t = 284.97 V; 2 · 352.753 (sin t - t cos t) / (pi · 0.060) = 300",
            of=resistor_ahead,
            rel=2e-3,
        ),
    ),
]


@pytest.mark.parametrize(("which", "args", "expected"), AHEAD)
def test_a_resistor_ahead_restores_the_rail(which: int, args: tuple[float, ...], expected: Expected) -> None:
    """Ohms and watts of each of the two."""
    assert resistor_ahead(*args)[which] == expected


BEHIND = [
    (0, (23.5, 0.0, 0.090), published(261.0, "0z4-thread", of=resistor_behind, where="23.5 V at 90 mA")),
    (1, (23.5, 0.0, 0.090), published(2.115, "0z4-thread", of=resistor_behind, where="23.5 V at 90 mA")),
    (0, (314.4, 284.7, 0.060), by_hand(495.0, "29.7 / 0.060", of=resistor_behind)),
    (1, (314.4, 284.7, 0.060), by_hand(1.782, "29.7 · 0.060", of=resistor_behind)),
]


@pytest.mark.parametrize(("which", "args", "expected"), BEHIND)
def test_a_resistor_behind_drops_the_gain(which: int, args: tuple[float, ...], expected: Expected) -> None:
    """Ohm's law of the direct current."""
    assert resistor_behind(*args)[which] == expected


@given(
    st.floats(150, 400),
    st.floats(20, 300),
    st.floats(0.02, 0.1),
    st.floats(16e-6, 100e-6),
    st.floats(10, 60),
    st.sampled_from(["centre-tap", "half-wave", "bridge", "doubler"]),
)
def test_with_the_resistor_ahead_the_rail_is_that_of_the_valve(
    secondary: float, resistance: float, current: float, reservoir: float, drop: float, connection: Any
) -> None:
    """Put back into the supply, the answer gives the rail asked for."""
    path = (secondary, resistance, current, reservoir, 50.0)
    rail = valve_input(*path, drop, current, connection)[0]
    added, watts = resistor_ahead(rail, *path, connection)
    if math.isnan(added):
        return
    restored = capacitor_input(secondary, resistance + added, current, reservoir, 50.0, connection)
    assert restored[0] == pytest.approx(rail, rel=1e-3)
    assert watts == pytest.approx(restored[4] ** 2 * added, rel=1e-6)


def test_a_rail_above_the_crest_cannot_be_restored() -> None:
    """No resistor raises it."""
    assert all(math.isnan(value) for value in resistor_ahead(400.0, 250.0, 125.0, 0.060, 32e-6, 50.0))


@pytest.mark.parametrize(
    ("function", "args"),
    [
        (gain_over_valve, (250.0, 125.0, 0.060, 32e-6, 50.0, 15.3, 0.060)),
        (gain_over_selenium, (120.0, 30.0, 0.060, 50e-6, 50.0, 6.0, 5.0)),
        (resistor_ahead, (284.8, 250.0, 125.0, 0.060, 32e-6, 50.0)),
        (resistor_behind, (314.4, 284.7, 0.060)),
    ],
)
def test_replacing_formulas_keep_their_shape(function: Any, args: tuple[float, ...]) -> None:
    """Float in, float out; array equals scalar; NaN in, NaN out."""
    assert breaches(function, args, {}) == []
