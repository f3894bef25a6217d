"""Ripple: the bound, the estimate, the charging currents and the filters, against a circuit simulation."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.circuit.ripple import (
    capacitor_ripple_current,
    lc_attenuation,
    peak_charging_current,
    rc_attenuation,
    ripple_bound,
    ripple_estimate,
)
from partsbin.circuit.supply import rail_capacitor_input
from tests.circuit.shapes import breaches
from tests.expected import Expected, by_hand, simulated

NGSPICE = "ngspice 39, 1N4007-like diodes, steady state"


BOUND = [
    (0.0782, 32e-6, 50.0, False, by_hand(24.4, "0.0782 / (2 · 50 · 32e-6)", of=ripple_bound, rel=2e-3)),
    (0.0944, 50e-6, 50.0, True, by_hand(37.8, "0.0944 / (50 · 50e-6)", of=ripple_bound, rel=2e-3)),
    (0.060, 8e-6, 50.0, False, by_hand(75.0, "0.060 / (2 · 50 · 8e-6)", of=ripple_bound)),
    (0.060, 16e-6, 50.0, False, by_hand(37.5, "0.060 / (2 · 50 · 16e-6)", of=ripple_bound)),
    (0.060, 32e-6, 50.0, False, by_hand(18.75, "0.060 / (2 · 50 · 32e-6)", of=ripple_bound)),
    (0.060, 47e-6, 50.0, False, by_hand(12.77, "0.060 / (2 · 50 · 47e-6)", of=ripple_bound)),
    (0.060, 32e-6, 50.0, True, by_hand(37.5, "0.060 / (50 · 32e-6): half-wave doubles", of=ripple_bound)),
]


@pytest.mark.parametrize(("current", "capacitance", "frequency", "half_wave", "expected"), BOUND)
def test_ripple_bound_is_the_charge_of_one_period_over_the_capacitance(
    current: float, capacitance: float, frequency: float, half_wave: bool, expected: Expected
) -> None:
    """Half-wave has one charge a period, full-wave two."""
    assert ripple_bound(current, capacitance, frequency, half_wave=half_wave) == expected


ESTIMATE_BY_HAND = [
    (
        (0.0782, 32e-6, 50.0, 250.0, 100.0),
        False,
        by_hand(
            17.44,
            "cos t = 0.8895, cos u = 0.8895 + 7.82 / 352.75 = 0.9117, u = 0.4236;"
            " 24.44 · (0.4110 - 0.4236 · 0.9117) / 0.03483 = 24.44 · 0.02485 / 0.03483",
            of=ripple_estimate,
            rel=5e-3,
        ),
    ),
    (
        (0.0944, 50e-6, 50.0, 230.0, 100.0),
        True,
        by_hand(
            30.13,
            "cos t = 0.7905, cos u = 0.7905 + 9.44 / 324.47 = 0.8196, u = 0.6101;"
            " 37.76 · (0.5730 - 0.6101 · 0.8196) / 0.09140 = 37.76 · 0.07293 / 0.09140",
            of=ripple_estimate,
            rel=5e-3,
        ),
    ),
]


@pytest.mark.parametrize(("args", "half_wave", "expected"), ESTIMATE_BY_HAND)
def test_ripple_estimate_shortens_the_bound_by_the_angle_of_conduction(
    args: tuple[float, ...], half_wave: bool, expected: Expected
) -> None:
    """Two supplies worked through with their angles."""
    assert ripple_estimate(*args, half_wave=half_wave) == expected


def _sim(value: float, circuit: str, rel: float = 0.01) -> Expected:
    return simulated(value, f"{NGSPICE}, {circuit}", of=ripple_estimate, rel=rel)


# rail [V], load [ohm], reservoir [F], mains [Hz], winding [V], resistance [ohm], half-wave, ripple
SIMULATED_RIPPLE = [
    (312.92, 4e3, 32e-6, 50.0, 250.0, 100.0, False, _sim(17.41, "full-wave 250 V, 32 uF")),
    (344.28, 4e3, 32e-6, 50.0, 275.0, 100.0, False, _sim(19.15, "full-wave 275 V, 32 uF")),
    (313.31, 4e3, 47e-6, 50.0, 250.0, 100.0, False, _sim(11.88, "full-wave 250 V, 47 uF")),
    (313.14, 4e3, 32e-6, 60.0, 250.0, 100.0, False, _sim(14.52, "full-wave 250 V, 60 Hz")),
    (312.17, 4e3, 32e-6, 50.0, 250.0, 100.0, False, _sim(17.36, "bridge 250 V, 32 uF")),
    (303.6, 4e3, 8e-6, 50.0, 250.0, 100.0, False, _sim(65.6, "full-wave 250 V, 8 uF", 0.04)),
    (310.8, 4e3, 16e-6, 50.0, 250.0, 100.0, False, _sim(34.4, "full-wave 250 V, 16 uF")),
    (313.4, 4e3, 50e-6, 50.0, 250.0, 100.0, False, _sim(11.2, "full-wave 250 V, 50 uF")),
    (313.6, 4e3, 100e-6, 50.0, 250.0, 100.0, False, _sim(5.6, "full-wave 250 V, 100 uF")),
    (254.87, 2.7e3, 50e-6, 50.0, 230.0, 100.0, True, _sim(30.07, "half-wave 230 V, 50 uF")),
    (136.03, 2e3, 40e-6, 60.0, 117.0, 47.0, True, _sim(23.21, "half-wave 117 V, 60 Hz, 40 uF")),
]
_COLUMNS = ("rail", "load", "capacitance", "frequency", "secondary", "resistance", "half_wave", "expected")


@pytest.mark.parametrize(_COLUMNS, SIMULATED_RIPPLE)
def test_ripple_estimate_agrees_with_a_simulation(
    rail: float,
    load: float,
    capacitance: float,
    frequency: float,
    secondary: float,
    resistance: float,
    half_wave: bool,
    expected: Expected,
) -> None:
    """Within 1 %, and within 4 % where the ripple is a fifth of the rail."""
    ripple = ripple_estimate(rail / load, capacitance, frequency, secondary, resistance, half_wave=half_wave)
    assert ripple == expected


@pytest.mark.parametrize(_COLUMNS, SIMULATED_RIPPLE)
def test_simulated_ripple_lies_between_six_tenths_of_the_bound_and_the_bound(
    rail: float,
    load: float,
    capacitance: float,
    frequency: float,
    secondary: float,
    resistance: float,
    half_wave: bool,
    expected: Expected,
) -> None:
    """The bound holds, and is not so loose as to be useless."""
    bound = ripple_bound(rail / load, capacitance, frequency, half_wave=half_wave)
    assert 0.6 * bound < expected.value < bound


@given(
    st.floats(1e-3, 0.3),
    st.floats(1e-6, 1e-3),
    st.floats(20, 600),
    st.floats(0.1, 2000),
    st.booleans(),
)
def test_ripple_estimate_never_exceeds_the_bound(
    current: float, capacitance: float, secondary: float, resistance: float, half_wave: bool
) -> None:
    """Whatever the supply, unless it cannot deliver the current at all."""
    estimate = ripple_estimate(current, capacitance, 50.0, secondary, resistance, half_wave=half_wave)
    bound = ripple_bound(current, capacitance, 50.0, half_wave=half_wave)
    assert math.isnan(estimate) or 0 <= estimate <= bound * (1 + 1e-9)


def test_ripple_estimate_is_the_bound_without_resistance() -> None:
    """Pulses without width leave the whole period to the capacitor."""
    assert ripple_estimate(0.060, 32e-6, 50.0, 250.0, 0.0) == ripple_bound(0.060, 32e-6, 50.0)


@pytest.mark.parametrize("half_wave", [False, True])
def test_ripple_and_its_current_are_those_of_the_sampled_pulse(half_wave: bool) -> None:
    """One period drawn point by point: its running charge gives the ripple, its spread the ripple current."""
    secondary, resistance, current, capacitance = 250.0, 150.0, 0.070, 40e-6
    rail = rail_capacitor_input(secondary, resistance, current, half_wave=half_wave)
    turn = np.linspace(0, 2 * np.pi, 400_001)[:-1]
    wave = np.cos(turn) if half_wave else np.abs(np.cos(turn))
    pulses = np.maximum((math.sqrt(2) * secondary - 0.8) * wave - rail, 0.0) / resistance
    charge = np.cumsum(pulses - current) * (0.02 / turn.size)
    ripple = ripple_estimate(current, capacitance, 50.0, secondary, resistance, half_wave=half_wave)
    assert ripple == pytest.approx((charge.max() - charge.min()) / capacitance, rel=1e-3)
    spread = capacitor_ripple_current(secondary, resistance, current, half_wave=half_wave)
    assert spread == pytest.approx(pulses.std(), rel=1e-3)


RIPPLE_CURRENT = [
    (
        (250.0, 100.0, 0.060),
        by_hand(
            0.1099,
            "t = 0.433883, sin t = 0.420400, cos t = 0.907340, pulse area 0.0267178; mean square 0.060^2 · pi/4"
            " · (0.433883 · (1 + 2 · 0.823266) - 3 · 0.420400 · 0.907340) / 0.0267178^2 = 0.015668 A^2;"
            " sqrt(0.015668 - 0.0036)",
            of=capacitor_ripple_current,
        ),
    ),
    (
        (250.0, 100.0, 312.92 / 4000),
        simulated(
            0.1345,
            f"{NGSPICE}: 110 mA in each half winding, so sqrt(2 · 0.110^2 - 0.0782^2)",
            of=capacitor_ripple_current,
        ),
    ),
    (
        (250.0, 375.0, 0.060),
        simulated(
            0.0802,
            f"{NGSPICE}: 70.8 mA in each half winding, so sqrt(2 · 0.0708^2 - 0.060^2)",
            of=capacitor_ripple_current,
        ),
    ),
]


@pytest.mark.parametrize(("args", "expected"), RIPPLE_CURRENT)
def test_reservoir_carries_the_pulses_less_the_direct_current(args: tuple[float, ...], expected: Expected) -> None:
    """Twice the direct current and more, not a fraction of it."""
    assert capacitor_ripple_current(*args) == expected


CREST = [
    (
        (250.0, 100.0, 0.060),
        by_hand(0.327, "(352.753 - 320.067) / 100, rail by the closed form", of=peak_charging_current),
    ),
    (
        (250.0, 100.0, 312.92 / 4000),
        simulated(0.388, NGSPICE + ", 32 uF, 4 k", of=peak_charging_current),
    ),
]


@pytest.mark.parametrize(("args", "expected"), CREST)
def test_crest_of_the_charging_current_is_several_times_the_direct_current(
    args: tuple[float, ...], expected: Expected
) -> None:
    """What the winding's crest drives over the rail."""
    assert peak_charging_current(*args) == expected


@given(st.floats(20, 600), st.floats(0.1, 2000), st.floats(1e-3, 0.3), st.booleans())
def test_crest_is_the_overshoot_of_the_winding_over_its_resistance(
    secondary: float, resistance: float, current: float, half_wave: bool
) -> None:
    """The two functions agree by Ohm's law."""
    rail = rail_capacitor_input(secondary, resistance, current, half_wave=half_wave)
    crest = peak_charging_current(secondary, resistance, current, half_wave=half_wave)
    overshoot = (math.sqrt(2) * secondary - 0.8 - rail) / resistance
    assert crest == pytest.approx(overshoot, rel=1e-6, nan_ok=True)


@pytest.mark.parametrize("function", [peak_charging_current, capacitor_ripple_current])
def test_pulses_are_infinite_without_resistance_and_absent_without_current(function: Any) -> None:
    """Only resistance limits the pulse, and without a load there is none."""
    assert function(250.0, 0.0, 0.060) == math.inf
    assert function(250.0, 100.0, 0.0) == 0.0


def test_a_larger_reservoir_lowers_the_ripple_and_not_its_current() -> None:
    """80 mA from 285 V behind 327 ohm, valve included, run at 312 V: 15 V on 32 uF, 10 V on 47 uF, 0.11 A in either."""
    assert rail_capacitor_input(284.8, 327.0, 0.080, diode_drop=0.0) == pytest.approx(312.0, abs=0.5)
    ripple = ripple_estimate(0.080, np.array([32e-6, 47e-6]), 50.0, 284.8, 327.0)
    assert ripple == pytest.approx([15.0, 10.2], rel=0.01)
    assert capacitor_ripple_current(284.8, 327.0, 0.080) == pytest.approx(0.106, rel=0.01)


LC = [
    (
        10.0,
        32e-6,
        100.0,
        by_hand(125.3, "(2 · 3.14159 · 100)^2 · 10 · 32e-6 - 1 = 394784 · 3.2e-4 - 1", of=lc_attenuation),
    ),
    (10.0, 8e-6, 100.0, by_hand(30.58, "394784 · 8e-5 - 1", of=lc_attenuation)),
    (10.0, 8e-6, 120.0, by_hand(44.48, "(2 · 3.14159 · 120)^2 · 8e-5 - 1 = 568489 · 8e-5 - 1", of=lc_attenuation)),
    (0.1, 8e-6, 100.0, by_hand(0.684, "1 - 394784 · 8e-7: below resonance it amplifies", of=lc_attenuation)),
]


@pytest.mark.parametrize(("inductance", "capacitance", "frequency", "expected"), LC)
def test_choke_and_capacitor_attenuate(
    inductance: float, capacitance: float, frequency: float, expected: Expected
) -> None:
    """As a divider of reactances."""
    assert lc_attenuation(inductance, capacitance, frequency) == expected


RC = [
    (1e3, 32e-6, 100.0, by_hand(20.13, "Xc = 49.74; sqrt(1000^2 + 49.74^2) / 49.74", of=rc_attenuation)),
    (0.0, 32e-6, 100.0, by_hand(1.0, "no resistance, no attenuation", of=rc_attenuation)),
]


@pytest.mark.parametrize(("resistance", "capacitance", "frequency", "expected"), RC)
def test_resistor_and_capacitor_attenuate(
    resistance: float, capacitance: float, frequency: float, expected: Expected
) -> None:
    """As a divider of resistance and reactance in quadrature."""
    assert rc_attenuation(resistance, capacitance, frequency) == expected


def test_filters_do_at_least_what_is_promised_in_the_simulation() -> None:
    """Harmonics fall faster than the fundamental: 16.5 to 0.107 V simulated by the choke, 14.46 to 0.608 by 1 kohm."""
    assert lc_attenuation(10.0, 32e-6, 100.0) < 16.5 / 0.107
    assert rc_attenuation(1e3, 32e-6, 100.0) < 14.46 / 0.608


@pytest.mark.parametrize(
    ("function", "args", "kwargs"),
    [
        (ripple_bound, (0.060, 32e-6, 50.0), {"half_wave": True}),
        (ripple_estimate, (0.060, 32e-6, 50.0, 250.0, 100.0), {"half_wave": True}),
        (peak_charging_current, (250.0, 100.0, 0.060), {"half_wave": True, "diode_drop": 0.8}),
        (capacitor_ripple_current, (250.0, 100.0, 0.060), {"diode_drop": 0.8}),
        (lc_attenuation, (10.0, 8e-6, 100.0), {}),
        (rc_attenuation, (1e3, 32e-6, 100.0), {}),
    ],
)
def test_ripple_formulas_keep_their_shape(function: Any, args: tuple[Any, ...], kwargs: dict[str, Any]) -> None:
    """Float in, float out; array equals scalar; NaN in, NaN out."""
    assert breaches(function, args, kwargs) == []
