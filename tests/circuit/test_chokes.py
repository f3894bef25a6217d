"""Chokes and field coils: drop, inductance from a reading, choke input, replacement by choke and resistor."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.circuit.chokes import (
    capacitance_without_choke,
    choke_drop,
    choke_input_ripple,
    choke_swing,
    filter_resistor,
    inductance_from_reading,
)
from partsbin.circuit.ripple import lc_attenuation, rc_attenuation
from tests.circuit.shapes import breaches
from tests.expected import Expected, by_hand, simulated

NGSPICE = "ngspice 39, 250-0-250 V, 100 ohm a side, 10 H 200 ohm, 32 uF, 4 k"

DROPS = [
    (0, (1140.0, 0.065), by_hand(74.1, "1140 · 0.065: a field coil", of=choke_drop)),
    (1, (1140.0, 0.065), by_hand(4.8165, "74.1 · 0.065", of=choke_drop)),
    (0, (560.0, 0.060), by_hand(33.6, "560 · 0.060: a choke of 14 H", of=choke_drop)),
    (1, (560.0, 0.060), by_hand(2.016, "33.6 · 0.060", of=choke_drop)),
]


@pytest.mark.parametrize(("which", "args", "expected"), DROPS)
def test_the_copper_drops_volts_and_gets_warm(which: int, args: tuple[float, float], expected: Expected) -> None:
    """Volts and watts."""
    assert choke_drop(*args)[which] == expected


READINGS = [
    (
        (10.0, 1.136e-3, 560.0, 100.0),
        by_hand(13.98, "sqrt(8803² - 560²) / 628.32 = 8785 / 628.32", of=inductance_from_reading),
    ),
    ((10.0, 10.0 / 6283.2, 0.0, 100.0), by_hand(10.0, "6283.2 / 628.32 without copper", of=inductance_from_reading)),
]


@pytest.mark.parametrize(("args", "expected"), READINGS)
def test_inductance_is_read_from_volts_and_current(args: tuple[float, ...], expected: Expected) -> None:
    """The copper's share taken out at right angles."""
    assert inductance_from_reading(*args) == expected


SWINGS = [
    (
        (250.0, 10.0, 50.0),
        by_hand(0.023884, "0.60021 · 250 = 150.05 V crest at 100 Hz; / (628.32 · 10)", of=choke_swing),
    ),
    ((250.0, 20.0, 60.0), by_hand(0.009952, "150.05 / (753.98 · 20)", of=choke_swing)),
]


@pytest.mark.parametrize(("args", "expected"), SWINGS)
def test_the_current_of_an_input_choke_swings(args: tuple[float, ...], expected: Expected) -> None:
    """The lowest frequency of the rectified winding, over the reactance."""
    assert choke_swing(*args) == expected


RIPPLES = [
    ((250.0, 10.0, 32e-6, 50.0), by_hand(2.394, "2 · 150.05 / (394784 · 3.2e-4 - 1)", of=choke_input_ripple)),
    ((250.0, 10.0, 32e-6, 50.0), simulated(2.42, NGSPICE, of=choke_input_ripple, rel=0.015)),
]


@pytest.mark.parametrize(("args", "expected"), RIPPLES)
def test_the_ripple_behind_an_input_choke(args: tuple[float, ...], expected: Expected) -> None:
    """Twice the crest over the attenuation."""
    assert choke_input_ripple(*args) == expected


REPLACED = [
    (0, (1140.0, 300.0, 0.065), by_hand(840.0, "1140 - 300", of=filter_resistor)),
    (1, (1140.0, 300.0, 0.065), by_hand(3.549, "840 · 0.065²", of=filter_resistor)),
    (1, (1140.0, 0.0, 0.065), by_hand(4.8165, "a resistor alone takes the power of the coil", of=filter_resistor)),
]


@pytest.mark.parametrize(("which", "args", "expected"), REPLACED)
def test_a_field_coil_is_replaced_by_choke_and_resistor(
    which: int, args: tuple[float, ...], expected: Expected
) -> None:
    """Together they have the resistance of the coil."""
    assert filter_resistor(*args)[which] == expected


WITHOUT = [
    (
        (10.0, 32e-6, 1000.0, 100.0),
        by_hand(199.4e-6, "sqrt(125.33² - 1) / (628.32 · 1000)", of=capacitance_without_choke),
    ),
    ((1.0, 1e-6, 1000.0, 100.0), by_hand(0.0, "394784 · 1e-6 - 1 < 0: it resonates", of=capacitance_without_choke)),
]


@pytest.mark.parametrize(("args", "expected"), WITHOUT)
def test_a_resistor_wants_a_larger_capacitor(args: tuple[float, ...], expected: Expected) -> None:
    """About six times for a choke of 10 H against 1 kohm."""
    assert capacitance_without_choke(*args) == expected


@given(st.floats(2, 50), st.floats(4e-6, 200e-6), st.floats(100, 5000))
def test_with_that_capacitor_the_resistor_smooths_as_the_choke_did(
    inductance: float, capacitance: float, resistance: float
) -> None:
    """Both attenuations agree."""
    instead = capacitance_without_choke(inductance, capacitance, resistance, 100.0)
    was = lc_attenuation(inductance, capacitance, 100.0)
    assert rc_attenuation(resistance, instead, 100.0) == pytest.approx(max(was, 1.0), rel=1e-6)


@pytest.mark.parametrize(
    ("function", "args"),
    [
        (choke_drop, (1140.0, 0.065)),
        (inductance_from_reading, (10.0, 1.136e-3, 560.0, 100.0)),
        (choke_swing, (250.0, 10.0, 50.0)),
        (choke_input_ripple, (250.0, 10.0, 32e-6, 50.0)),
        (filter_resistor, (1140.0, 300.0, 0.065)),
        (capacitance_without_choke, (10.0, 32e-6, 1000.0, 100.0)),
    ],
)
def test_choke_formulas_keep_their_shape(function: Any, args: tuple[float, ...]) -> None:
    """Float in, float out; array equals scalar; NaN in, NaN out, but for ohms that do not rest on the current."""
    known = ["NaN as argument 2 does not give NaN"] if function is filter_resistor else []
    assert breaches(function, args, {}) == known
