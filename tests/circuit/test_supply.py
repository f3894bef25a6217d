"""Rails: off load and loaded, inverse voltage, choke input, against published figures and a circuit simulation."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.circuit.supply import (
    choke_input_rail,
    critical_inductance,
    off_load_from_running,
    off_load_peak,
    peak_charging_current,
    peak_inverse,
    rail_capacitor_input,
)
from tests.circuit.shapes import breaches
from tests.expected import Expected, by_hand, published, simulated

NGSPICE = "ngspice 39, 1N4007-like diodes, steady state"


def _peak(value: float, how: str) -> Expected:
    return by_hand(value, how, of=off_load_peak, rel=2e-4)


OFF_LOAD = [
    ({"secondary_rms": 117.0}, _peak(165.46, "1.41421 · 117")),
    ({"secondary_rms": 220.0}, _peak(311.1, "1.41421 · 220")),
    ({"secondary_rms": 230.0}, _peak(325.3, "1.41421 · 230")),
    ({"secondary_rms": 240.0}, _peak(339.4, "1.41421 · 240")),
    ({"secondary_rms": 250.0}, _peak(353.6, "1.41421 · 250")),
    ({"secondary_rms": 253.0}, _peak(357.8, "1.41421 · 253")),
    ({"secondary_rms": 264.0}, _peak(373.4, "1.41421 · 264")),
    ({"secondary_rms": 275.0}, _peak(388.9, "1.41421 · 275")),
    ({"secondary_rms": 300.0}, _peak(424.3, "1.41421 · 300")),
    ({"secondary_rms": 350.0}, _peak(495.0, "1.41421 · 350")),
    ({"secondary_rms": 250.0, "mains_factor": 1.1}, _peak(388.9, "1.41421 · 250 · 1.1")),
    ({"secondary_rms": 275.0, "mains_factor": 1.1}, _peak(427.8, "1.41421 · 275 · 1.1")),
    ({"secondary_rms": 300.0, "mains_factor": 1.1}, _peak(466.7, "1.41421 · 300 · 1.1")),
    ({"secondary_rms": 350.0, "mains_factor": 1.1}, _peak(544.5, "1.41421 · 350 · 1.1")),
    ({"secondary_rms": 230.0, "mains_factor": 1.1}, _peak(357.8, "1.41421 · 230 · 1.1")),
    ({"secondary_rms": 117.0, "mains_factor": 1.1}, _peak(182.0, "1.41421 · 117 · 1.1")),
    ({"secondary_rms": 240.0, "mains_factor": 1.06}, _peak(359.8, "1.41421 · 240 · 1.06")),
    ({"secondary_rms": 250.0, "mains_factor": 1.1, "regulation": 0.05}, _peak(408.4, "1.41421 · 250 · 1.1 · 1.05")),
    ({"secondary_rms": 275.0, "mains_factor": 1.1, "regulation": 0.05}, _peak(449.2, "1.41421 · 275 · 1.1 · 1.05")),
    ({"secondary_rms": 300.0, "mains_factor": 1.1, "regulation": 0.05}, _peak(490.0, "1.41421 · 300 · 1.1 · 1.05")),
    ({"secondary_rms": 350.0, "mains_factor": 1.1, "regulation": 0.05}, _peak(571.8, "1.41421 · 350 · 1.1 · 1.05")),
    ({"secondary_rms": 286.0, "mains_factor": 253 / 231}, _peak(443.0, "1.41421 · 286 · 253 / 231")),
    (
        {"secondary_rms": 1.0},
        published(1.41, "hammond", of=off_load_peak, where="capacitor input, bridge and half-wave: peak", rel=5e-3),
    ),
    (
        {"secondary_rms": 250.0},
        published(0.71 * 500, "hammond", of=off_load_peak, where="0.71 of the whole winding, 250-0-250", rel=5e-3),
    ),
    (
        {"secondary_rms": 250.0},
        simulated(352.76, NGSPICE + ", 10 Mohm load; 0.8 V lower by the diode", of=off_load_peak, rel=3e-3),
    ),
    ({"secondary_rms": 250.0, "mains_factor": 1.1}, simulated(388.09, NGSPICE, of=off_load_peak, rel=3e-3)),
    ({"secondary_rms": 230.0}, simulated(324.35, NGSPICE + ", half-wave", of=off_load_peak, rel=4e-3)),
    ({"secondary_rms": 253.0}, simulated(356.84, NGSPICE + ", half-wave", of=off_load_peak, rel=4e-3)),
]


@pytest.mark.parametrize(("given_values", "expected"), OFF_LOAD)
def test_off_load_peak_covers_mains_and_regulation(given_values: dict[str, float], expected: Expected) -> None:
    """The crest of the winding, at high mains, with the rise of an unloaded winding."""
    assert off_load_peak(**given_values) == expected


RUNNING = [
    (250.0, False, by_hand(400.0, "1.6 · 250", of=off_load_from_running)),
    (225.0, True, by_hand(450.0, "2 · 225", of=off_load_from_running)),
]


@pytest.mark.parametrize(("rail", "choke_input", "expected"), RUNNING)
def test_off_load_is_guessed_from_the_running_rail(rail: float, choke_input: bool, expected: Expected) -> None:
    """Behind a choke the rail rises further."""
    assert off_load_from_running(rail, choke_input=choke_input) == expected


# Rs [ohm], half the conduction angle found by bisection [rad], rail [V], the simulator's rail [V], peak current [A]
FULL_WAVE_250 = [
    (50.0, 0.343565, 332.1, 331.1, 0.412),
    (100.0, 0.433883, 320.1, 319.5, 0.327),
    (200.0, 0.548734, 301.0, 300.6, 0.259),
    (300.0, 0.630177, 285.0, 284.8, 0.226),
    (400.0, 0.695635, 270.8, 270.6, 0.205),
]
HALF_WAVE_230 = [
    (47.0, 0.437074, 294.0, 292.6, 0.649),
    (100.0, 0.564571, 274.1, 273.3, 0.504),
    (175.0, 0.683770, 251.5, 251.0, 0.417),
    (270.0, 0.794498, 227.3, 226.9, 0.360),
]
HALF_WAVE_117 = [
    (22.0, 0.425313, 150.0, 148.1, 0.667),
    (100.0, 0.712320, 124.6, 124.0, 0.400),
    (150.0, 0.819976, 112.3, 111.9, 0.349),
]
SUPPLIES = [
    *((250.0, False, *row) for row in FULL_WAVE_250),
    *((230.0, True, *row) for row in HALF_WAVE_230),
    *((117.0, True, *row) for row in HALF_WAVE_117),
]


def _closed_form(of: Any) -> list[tuple[float, bool, float, Expected]]:
    """Return the table worked by hand: 60 mA, 0.8 V diode; the angle makes both sides of the equation equal."""
    rows = []
    for secondary, half_wave, resistance, angle, rail, _, crest in SUPPLIES:
        peak, k = f"(1.41421·{secondary:g} - 0.8)", "1" if half_wave else "1/2"
        how = f"t = {angle}: sin t - t cos t = {k}·pi·0.060·{resistance:g}/{peak}; rail {peak} cos t"
        value = rail if of is rail_capacitor_input else crest
        note = how if of is rail_capacitor_input else f"{how}; ({peak} - rail)/{resistance:g}"
        rows.append((secondary, half_wave, resistance, by_hand(value, note, of=of, rel=2.5e-3 if value < 1 else 4e-4)))
    return rows


@pytest.mark.parametrize(("secondary", "half_wave", "resistance", "expected"), _closed_form(rail_capacitor_input))
def test_loaded_rail_solves_the_closed_form(
    secondary: float, half_wave: bool, resistance: float, expected: Expected
) -> None:
    """Twelve supplies at 60 mA, worked through with the angle written out."""
    assert rail_capacitor_input(secondary, resistance, 0.060, half_wave=half_wave) == expected


@pytest.mark.parametrize(("secondary", "half_wave", "resistance", "expected"), _closed_form(peak_charging_current))
def test_charging_crest_solves_the_closed_form(
    secondary: float, half_wave: bool, resistance: float, expected: Expected
) -> None:
    """The crest of the current is what the winding's crest drives over the rail."""
    assert peak_charging_current(secondary, resistance, 0.060, half_wave=half_wave) == expected


CONSTANT_CURRENT = [
    (secondary, half_wave, resistance, simulated(rail, NGSPICE + ", 60 mA", of=rail_capacitor_input, rel=0.014))
    for secondary, half_wave, resistance, _, _, rail, _ in SUPPLIES
]


@pytest.mark.parametrize(("secondary", "half_wave", "resistance", "expected"), CONSTANT_CURRENT)
def test_loaded_rail_agrees_with_a_simulation_at_constant_current(
    secondary: float, half_wave: bool, resistance: float, expected: Expected
) -> None:
    """Within 0.3 % full-wave and 1.3 % half-wave, although the closed form knows no ripple."""
    assert rail_capacitor_input(secondary, resistance, 0.060, half_wave=half_wave) == expected


def _sim(value: float, circuit: str, rel: float) -> Expected:
    return simulated(value, f"{NGSPICE}, {circuit}", of=rail_capacitor_input, rel=rel)


RESISTIVE_LOAD = [
    (250.0, 100.0, 4000.0, {}, _sim(312.92, "32 uF, 50 Hz", 3e-3)),
    (275.0, 100.0, 4000.0, {}, _sim(344.28, "32 uF, 50 Hz, mains +10 %", 3e-3)),
    (250.0, 100.0, 4000.0, {}, _sim(313.31, "47 uF, 50 Hz", 3e-3)),
    (250.0, 100.0, 4000.0, {}, _sim(313.14, "32 uF, 60 Hz", 3e-3)),
    (250.0, 100.0, 4000.0, {"diode_drop": 1.6}, _sim(312.17, "bridge, 32 uF, 50 Hz", 3e-3)),
    (230.0, 100.0, 2700.0, {"half_wave": True}, _sim(254.87, "half-wave, 50 uF, 50 Hz", 0.01)),
    (117.0, 47.0, 2000.0, {"half_wave": True}, _sim(136.03, "half-wave, 40 uF, 60 Hz", 0.02)),
    (250.0, 100.0, 4000.0, {}, _sim(303.6, "8 uF, 50 Hz: ripple a fifth of the rail", 0.04)),
    (250.0, 100.0, 4000.0, {}, _sim(310.8, "16 uF, 50 Hz", 0.011)),
    (250.0, 100.0, 4000.0, {}, _sim(313.6, "100 uF, 50 Hz", 3e-3)),
]


@pytest.mark.parametrize(("secondary", "resistance", "load", "how", "expected"), RESISTIVE_LOAD)
def test_loaded_rail_agrees_with_a_simulation_into_a_resistor(
    secondary: float, resistance: float, load: float, how: dict[str, Any], expected: Expected
) -> None:
    """The current is the simulator's own rail over the load."""
    assert rail_capacitor_input(secondary, resistance, expected.value / load, **how) == expected


EZ40 = [
    (250.0, 125.0, published(260.0, "tubeofile", of=rail_capacitor_input, where="EZ40, 90 mA, 50 uF", rel=0.03)),
    (275.0, 175.0, published(285.0, "tubeofile", of=rail_capacitor_input, where="EZ40, 90 mA, 50 uF", rel=0.03)),
    (300.0, 215.0, published(310.0, "tubeofile", of=rail_capacitor_input, where="EZ40, 90 mA, 50 uF", rel=0.03)),
    (350.0, 300.0, published(360.0, "tubeofile", of=rail_capacitor_input, where="EZ40, 90 mA, 50 uF", rel=0.03)),
]


@pytest.mark.parametrize(("secondary", "limiter", "expected"), EZ40)
def test_loaded_rail_meets_the_published_outputs_of_a_valve(
    secondary: float, limiter: float, expected: Expected
) -> None:
    """The valve as a resistor: that of a 3/2-power diode of 0.8 mA/V^1.5 at the crest of the pulse it carries."""
    valve = 150.0
    for _ in range(50):
        crest = peak_charging_current(secondary, limiter + valve, 0.090, diode_drop=0.0)
        valve = (crest / 0.8e-3) ** (2 / 3) / crest
    assert rail_capacitor_input(secondary, limiter + valve, 0.090, diode_drop=0.0) == expected


def test_loaded_rail_is_the_crest_without_current_or_without_resistance() -> None:
    """Neither case loses anything but the drop of the diode: 1.41421 · 250 - 0.8 = 352.75."""
    assert rail_capacitor_input(250.0, 100.0, 0.0) == pytest.approx(352.753, abs=1e-3)
    assert rail_capacitor_input(250.0, 0.0, 0.060) == pytest.approx(352.753, abs=1e-3)


def test_loaded_rail_is_nothing_at_the_short_circuit_current_and_unknown_beyond() -> None:
    """A rectified sine has the mean 2/pi of its crest: a short circuit takes 2 · 352.753 / (pi · 100) = 2.2457 A."""
    assert rail_capacitor_input(250.0, 100.0, 2.2456) == pytest.approx(0.0, abs=0.05)
    assert math.isnan(rail_capacitor_input(250.0, 100.0, 2.25))


@given(st.floats(20, 600), st.floats(1, 1000), st.floats(1e-3, 0.3), st.booleans())
def test_more_resistance_or_more_current_never_raises_the_rail(
    secondary: float, resistance: float, current: float, half_wave: bool
) -> None:
    """And the rail never exceeds the off-load peak, nor does half-wave exceed full-wave."""
    rail = rail_capacitor_input(secondary, resistance, current, half_wave=half_wave)
    if math.isnan(rail):
        return
    worse = [
        rail_capacitor_input(secondary, resistance * 1.1, current, half_wave=half_wave),
        rail_capacitor_input(secondary, resistance, current * 1.1, half_wave=half_wave),
        rail_capacitor_input(secondary, resistance, current, half_wave=True),
    ]
    assert rail <= off_load_peak(secondary)
    assert all(math.isnan(other) or other <= rail + 1e-9 for other in worse)


def test_resistance_before_the_reservoir_drops_far_more_than_the_direct_current_times_itself() -> None:
    """200 ohm more at 60 mA cost 35 V full-wave (34.7 simulated), not 12: silicon in place of a valve."""
    before = rail_capacitor_input(250.0, np.array([100.0, 300.0]), 0.060)
    assert before[0] - before[1] == pytest.approx(35.07, abs=0.05)  # 320.07 - 285.00 by the closed form


@pytest.mark.parametrize(("secondary", "half_wave", "resistance"), [row[:3] for row in SUPPLIES[:-1]])
def test_the_guess_from_the_running_rail_covers_mains_ten_per_cent_high(
    secondary: float, half_wave: bool, resistance: float
) -> None:
    """For every supply of the table but the last."""
    rail = rail_capacitor_input(secondary, resistance, 0.060, half_wave=half_wave)
    assert off_load_from_running(rail) >= off_load_peak(secondary, mains_factor=1.1)


def test_the_guess_from_the_running_rail_falls_short_where_it_says_so() -> None:
    """Half-wave 117 V behind 150 ohm: 1.6 · 112.3 = 179.7 V, but 182.0 V come at high mains."""
    rail = rail_capacitor_input(117.0, 150.0, 0.060, half_wave=True)
    assert rail < 0.69 * off_load_peak(117.0)
    assert off_load_from_running(rail) < off_load_peak(117.0, mains_factor=1.1)


def test_the_guess_behind_a_choke_covers_mains_ten_per_cent_high() -> None:
    """The simulated choke-input supply: 208.7 V running, 388.1 V off load at +10 %."""
    assert off_load_from_running(208.69, choke_input=True) > 388.09


INVERSE = [
    (500.0, "centre-tap", published(1414.0, "tubeofile", of=peak_inverse, where="AZ1, 2 x 500 V")),
    (250.0, "centre-tap", published(707.0, "tubeofile", of=peak_inverse, where="EZ41, 2 x 250 V")),
    (385.0, "centre-tap", by_hand(1088.9, "2 · 1.41421 · 385: 350-0-350 at +10 %", of=peak_inverse)),
    (230.0, "half-wave", by_hand(650.5, "2 · 1.41421 · 230", of=peak_inverse)),
    (250.0, "bridge", by_hand(353.6, "1.41421 · 250", of=peak_inverse)),
    (117.0, "doubler", by_hand(330.9, "2 · 1.41421 · 117: each diode faces both reservoirs", of=peak_inverse)),
    (250.0, "centre-tap", simulated(706.3, NGSPICE + ", off load", of=peak_inverse, rel=2e-3)),
    (275.0, "centre-tap", simulated(777.0, NGSPICE + ", off load", of=peak_inverse, rel=2e-3)),
    (230.0, "half-wave", simulated(649.6, NGSPICE + ", off load", of=peak_inverse, rel=2e-3)),
    (253.0, "half-wave", simulated(714.6, NGSPICE + ", off load", of=peak_inverse, rel=2e-3)),
]


@pytest.mark.parametrize(("secondary", "connection", "expected"), INVERSE)
def test_peak_inverse_follows_the_connection(secondary: float, connection: Any, expected: Expected) -> None:
    """Twice the crest, in a bridge once."""
    assert peak_inverse(secondary, connection) == expected


@pytest.mark.parametrize(
    ("secondary", "connection", "seen"),
    [
        (250.0, "centre-tap", 669.8),
        (250.0, "centre-tap", 706.3),
        (275.0, "centre-tap", 777.0),
        (275.0, "centre-tap", 736.9),
        (250.0, "bridge", 321.6),
        (230.0, "half-wave", 579.0),
        (230.0, "half-wave", 649.6),
        (253.0, "half-wave", 714.6),
        (117.0, "half-wave", 300.6),
    ],
)
def test_peak_inverse_is_never_understated(secondary: float, connection: Any, seen: float) -> None:
    """The simulator's inverse voltages, loaded and off load, all lie below."""
    assert peak_inverse(secondary, connection) >= seen


def test_an_unknown_connection_is_refused_with_the_known_ones() -> None:
    """A word that is none of the four is quoted back."""
    with pytest.raises(ValueError, match=r"^unknown connection 'star', expected one of 'centre-tap', "):
        peak_inverse(250.0, "star")  # type: ignore[arg-type]


CHOKE = [
    (250.0, 0.0, 0.0, 0.0, published(0.45 * 500, "hammond", of=choke_input_rail, where="0.45 of the whole winding")),
    (250.0, 0.0, 0.0, 0.0, published(0.90 * 250, "hammond", of=choke_input_rail, where="bridge, choke: 0.90 x V")),
    (250.0, 0.0522, 300.0, 0.75, by_hand(208.7, "0.90032 · 250 - 0.0522 · 300 - 0.75", of=choke_input_rail)),
    (
        250.0,
        208.69 / 4000,
        300.0,
        0.8,
        simulated(208.69, NGSPICE + ", 10 H 200 ohm, 100 ohm a side, 4 k", of=choke_input_rail, rel=1e-3),
    ),
]


@pytest.mark.parametrize(("secondary", "current", "resistance", "drop", "expected"), CHOKE)
def test_choke_input_rail_is_the_mean_of_the_rectified_sine(
    secondary: float, current: float, resistance: float, drop: float, expected: Expected
) -> None:
    """0.9 of the RMS voltage, less what resistance and rectifier take."""
    assert choke_input_rail(secondary, current, resistance, drop=drop) == expected


CRITICAL = [
    (4000.0, 50.0, by_hand(4.244, "4000 / (6 · 3.14159 · 50) = 4000 / 942.48", of=critical_inductance)),
    (4000.0, 60.0, by_hand(3.537, "4000 / (6 · 3.14159 · 60) = 4000 / 1130.97", of=critical_inductance)),
]


@pytest.mark.parametrize(("load", "frequency", "expected"), CRITICAL)
def test_critical_inductance_follows_load_and_mains(load: float, frequency: float, expected: Expected) -> None:
    """The load over 942 at 50 Hz, over 1131 at 60 Hz."""
    assert critical_inductance(load, frequency) == expected


def test_critical_inductance_tells_which_simulated_supply_soars() -> None:
    """10 H hold the rail down at 4 kohm (208.7 V simulated) and not at 40 kohm (278.6 V simulated)."""
    needed = critical_inductance(np.array([4e3, 40e3]), 50.0)
    assert list(needed < 10.0) == [True, False]


@pytest.mark.parametrize(
    ("function", "args", "kwargs"),
    [
        (off_load_peak, (250.0,), {"mains_factor": 1.1, "regulation": 0.05}),
        (off_load_from_running, (250.0,), {"choke_input": True}),
        (rail_capacitor_input, (250.0, 100.0, 0.060), {"half_wave": True, "diode_drop": 0.8}),
        (peak_inverse, (250.0, "bridge"), {}),
        (choke_input_rail, (250.0, 0.060, 300.0), {"drop": 0.8}),
        (critical_inductance, (4000.0, 50.0), {}),
    ],
)
def test_supply_formulas_keep_their_shape(function: Any, args: tuple[Any, ...], kwargs: dict[str, Any]) -> None:
    """Float in, float out; array equals scalar; NaN in, NaN out."""
    assert breaches(function, args, kwargs) == []
