"""Capacitor input with its real reservoir: limiting cases, hand-worked pulses, published outputs, a simulation."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.circuit.rectification import capacitor_input, valve_as_line, valve_input
from partsbin.circuit.ripple import capacitor_ripple_current, peak_charging_current, ripple_bound
from partsbin.circuit.supply import rail_capacitor_input
from tests.circuit.shapes import breaches
from tests.expected import Expected, by_hand, published, simulated

NGSPICE = "ngspice 39, 1N4007-like diodes, steady state"
NAMES = ("rail", "ripple", "hum", "crest", "winding", "reservoir")
CONNECTIONS = ("centre-tap", "half-wave", "bridge", "doubler")

WITHOUT_RESISTANCE = (
    "k = 0.060 / (314.159 · 32e-6 · 352.753) = 0.016920; closes where sin b = k; opens where"
    " cos a = cos b - k (3.14159 - a - b): a = 0.3103, cos a = 0.95224, sin a = 0.30535; "
)
# what is asked for, arguments, and what it has to be
FIGURES: list[tuple[str, tuple[Any, ...], Expected]] = [
    (
        "rail",
        (250.0, 0.0, 0.060, 32e-6, 50.0),
        by_hand(
            344.63,
            WITHOUT_RESISTANCE + "352.753 (0.30535 + 0.01692 + 0.97605 · 2.81437) / 3.14159",
            of=capacitor_input,
        ),
    ),
    (
        "ripple",
        (250.0, 0.0, 0.060, 32e-6, 50.0),
        by_hand(16.85, WITHOUT_RESISTANCE + "full at the crest: 352.753 (1 - 0.95224)", of=capacitor_input, rel=0.015),
    ),
    (
        "crest",
        (250.0, 0.0, 0.060, 32e-6, 50.0),
        by_hand(
            1.143,
            WITHOUT_RESISTANCE + "0.0100531 · 352.753 · 0.30535 + 0.060",
            of=capacitor_input,
            rel=0.015,
        ),
    ),
    ("rail", (250.0, 100.0, 312.92 / 4e3, 32e-6, 50.0), simulated(312.92, NGSPICE, of=capacitor_input, rel=1e-3)),
    ("ripple", (250.0, 100.0, 312.92 / 4e3, 32e-6, 50.0), simulated(17.41, NGSPICE, of=capacitor_input, rel=5e-3)),
    ("crest", (250.0, 100.0, 312.92 / 4e3, 32e-6, 50.0), simulated(0.388, NGSPICE, of=capacitor_input, rel=5e-3)),
    ("winding", (250.0, 100.0, 312.92 / 4e3, 32e-6, 50.0), simulated(0.110, NGSPICE, of=capacitor_input, rel=5e-3)),
    ("winding", (250.0, 375.0, 0.060, 32e-6, 50.0), simulated(0.0708, NGSPICE, of=capacitor_input, rel=0.01)),
    ("rail", (250.0, 100.0, 303.6 / 4e3, 8e-6, 50.0), simulated(303.6, NGSPICE, of=capacitor_input, rel=5e-3)),
    ("ripple", (250.0, 100.0, 303.6 / 4e3, 8e-6, 50.0), simulated(65.6, NGSPICE, of=capacitor_input, rel=0.02)),
    ("rail", (230.0, 100.0, 254.87 / 2.7e3, 50e-6, 50.0, "half-wave"), simulated(254.87, NGSPICE, of=capacitor_input)),
    ("ripple", (230.0, 100.0, 254.87 / 2.7e3, 50e-6, 50.0, "half-wave"), simulated(30.07, NGSPICE, of=capacitor_input)),
    ("rail", (117.0, 47.0, 136.03 / 2e3, 40e-6, 60.0, "half-wave"), simulated(136.03, NGSPICE, of=capacitor_input)),
    ("rail", (250.0, 100.0, 312.17 / 4e3, 32e-6, 50.0, "bridge"), simulated(312.17, NGSPICE, of=capacitor_input)),
]


@pytest.mark.parametrize(("name", "args", "expected"), FIGURES)
def test_a_supply_with_its_reservoir_gives_these_figures(name: str, args: tuple[Any, ...], expected: Expected) -> None:
    """Without resistance the reservoir follows the crest, which is worked by hand; with it, a simulation."""
    assert capacitor_input(*args)[NAMES.index(name)] == expected


@pytest.mark.parametrize("half_wave", [False, True])
def test_a_reservoir_without_end_gives_the_closed_form(half_wave: bool) -> None:
    """The two models meet where the reservoir is as large as one of them takes it."""
    connection = "half-wave" if half_wave else "centre-tap"
    rail, ripple, _, crest, _, reservoir = capacitor_input(250.0, 100.0, 0.060, math.inf, 50.0, connection)
    path, how = (250.0, 100.0, 0.060), {"half_wave": half_wave}
    assert rail == pytest.approx(rail_capacitor_input(*path, **how), rel=1e-6)
    assert crest == pytest.approx(peak_charging_current(*path, **how), rel=1e-3)
    assert reservoir == pytest.approx(capacitor_ripple_current(*path, **how), rel=1e-3)
    assert ripple == pytest.approx(0.0, abs=1e-3)


@pytest.mark.parametrize("connection", CONNECTIONS)
def test_off_load_the_reservoir_stands_at_the_crest(connection: Any) -> None:
    """Nothing flows, nothing ripples."""
    drop = 1.6 if connection == "bridge" else 0.8
    crests = 2 if connection == "doubler" else 1
    rail, *rest = capacitor_input(250.0, 100.0, 0.0, 32e-6, 50.0, connection)
    assert rail == pytest.approx(crests * (250.0 * math.sqrt(2) - drop), rel=1e-5)
    assert rest == pytest.approx([0.0] * 5, abs=1e-4)


@pytest.mark.parametrize(
    "args",
    [
        (250.0, 100.0, 3.0, 32e-6, 50.0),
        (250.0, 100.0, 0.060, 0.0, 50.0),
        (250.0, 100.0, 0.060, 0.2e-6, 50.0),
        (0.5, 100.0, 0.060, 32e-6, 50.0),
    ],
    ids=["more than the winding gives", "no reservoir", "next to none", "a winding below its diode"],
)
def test_what_has_no_steady_pulse_is_unknown(args: tuple[float, ...]) -> None:
    """Every figure is NaN, so that none is used."""
    assert all(math.isnan(value) for value in capacitor_input(*args))


def test_a_doubler_is_two_half_wave_supplies_in_series() -> None:
    """Twice the rail of one; the ripple even less than of one, since they are charged in turn; the winding works both ways."""
    half = dict(zip(NAMES, capacitor_input(117.0, 50.0, 0.060, 50e-6, 50.0, "half-wave"), strict=True))
    both = dict(zip(NAMES, capacitor_input(117.0, 50.0, 0.060, 50e-6, 50.0, "doubler"), strict=True))
    assert both["rail"] == pytest.approx(2 * half["rail"])
    assert both["ripple"] < half["ripple"]
    assert both["winding"] == pytest.approx(math.sqrt(2) * half["winding"])
    assert both["crest"] == pytest.approx(half["crest"])


sound = {
    "secondary": st.floats(100, 500),
    "resistance": st.floats(5, 300),
    "current": st.floats(5e-3, 0.1),
    "reservoir": st.floats(16e-6, 500e-6),
    "connection": st.sampled_from(CONNECTIONS),
}


@given(**sound)
def test_the_ripple_never_exceeds_its_bound(
    secondary: float, resistance: float, current: float, reservoir: float, connection: Any
) -> None:
    """The reservoir cannot lose more than the load takes in a period; a doubler's two are refilled in turn."""
    half = connection in ("half-wave", "doubler")
    ripple = capacitor_input(secondary, resistance, current, reservoir, 50.0, connection)[1]
    bound = ripple_bound(current, reservoir, 50.0, half_wave=half)
    assert math.isnan(ripple) or 0 < ripple <= bound


@given(**sound)
def test_the_rail_lies_below_the_crest_and_falls_with_the_load(
    secondary: float, resistance: float, current: float, reservoir: float, connection: Any
) -> None:
    """More current, less rail."""
    rails = capacitor_input(secondary, resistance, np.array([0.0, 0.5, 1.0]) * current, reservoir, 50.0, connection)[0]
    assert np.isnan(rails[2]) or rails[0] > rails[1] > rails[2] > 0


def test_an_unknown_connection_is_refused() -> None:
    """The word is quoted back."""
    with pytest.raises(ValueError, match=r"^unknown connection 'star', expected one of 'centre-tap', 'half-wave', "):
        capacitor_input(250.0, 100.0, 0.060, 32e-6, 50.0, "star")  # type: ignore[arg-type]


EZ40 = "EZ40, 90 mA, 50 uF; 21.5 V at 90 mA"
VALVES = [
    ((250.0, 125.0), published(260.0, "tubeofile", of=valve_input, where=EZ40, rel=0.025)),
    ((275.0, 175.0), published(285.0, "tubeofile", of=valve_input, where=EZ40, rel=0.025)),
    ((300.0, 215.0), published(310.0, "tubeofile", of=valve_input, where=EZ40, rel=0.025)),
    ((350.0, 300.0), published(360.0, "tubeofile", of=valve_input, where=EZ40, rel=0.025)),
    ((250.0, 125.0), simulated(264.4, NGSPICE + ", I = 0.9 mA/V^1.5 · V^1.5", of=valve_input, rel=5e-3)),
]


@pytest.mark.parametrize(("winding", "expected"), VALVES)
def test_a_valve_gives_the_rails_of_its_sheet(winding: tuple[float, float], expected: Expected) -> None:
    """One drop for the whole row: within 2.5 %."""
    assert valve_input(*winding, 0.090, 50e-6, 50.0, 21.5, 0.090)[0] == expected


def test_a_valve_without_a_drop_is_a_diode_without_one() -> None:
    """The line that stands for it vanishes."""
    valve = valve_input(250.0, 100.0, 0.060, 32e-6, 50.0, 0.0, 0.060)
    assert valve == pytest.approx(capacitor_input(250.0, 100.0, 0.060, 32e-6, 50.0, diode_drop=0.0), rel=1e-9)


LINES = [
    (0, (0.125, 60.0, 0.125), by_hand(10.2, "0.17 · 60 at the sheet's own current", of=valve_as_line)),
    (1, (0.125, 60.0, 0.125), by_hand(408.0, "0.85 · 60 / 0.125", of=valve_as_line)),
    (
        0,
        (1.0, 60.0, 0.125),
        by_hand(40.8, "eight times the current, four times the drop: 0.17 · 240", of=valve_as_line),
    ),
    (1, (1.0, 60.0, 0.125), by_hand(204.0, "0.85 · 240 / 1", of=valve_as_line)),
]


@pytest.mark.parametrize(("which", "args", "expected"), LINES)
def test_the_line_of_a_valve_follows_its_current(which: int, args: tuple[float, ...], expected: Expected) -> None:
    """The drop goes with the 2/3 power."""
    assert valve_as_line(*args)[which] == expected


def test_the_line_of_a_valve_is_the_best_over_a_parabolic_pulse() -> None:
    """Its two figures are those of a least-squares fit."""
    share = np.linspace(-1, 1, 20_001)
    current = 1 - share**2
    slope, offset = np.polyfit(current, np.cbrt(current) ** 2, 1)
    assert valve_as_line(1.0, 1.0, 1.0) == pytest.approx((offset, slope), abs=6e-3)


@pytest.mark.parametrize("connection", CONNECTIONS)
def test_rectification_keeps_its_shape(connection: Any) -> None:
    """Float in, float out; array equals scalar; NaN in, NaN out."""
    assert (
        breaches(capacitor_input, (250.0, 100.0, 0.060, 32e-6, 50.0), {"connection": connection, "diode_drop": 0.8})
        == []
    )
    assert breaches(valve_input, (250.0, 100.0, 0.060, 32e-6, 50.0, 22.0, 0.070), {"connection": connection}) == []
    assert breaches(valve_as_line, (0.4, 60.0, 0.125), {}) == []
