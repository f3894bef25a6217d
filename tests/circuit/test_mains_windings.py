"""Windings of a mains transformer: published factors, worked taps, and the rail that a winding was chosen for."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.circuit.mains_windings import Connection, flux_ratio, heater_volts, winding_current, winding_for_rail
from partsbin.circuit.supply import rail_capacitor_input
from tests.circuit.shapes import breaches
from tests.expected import Expected, by_hand, published, simulated


@pytest.mark.parametrize(
    ("tap", "mains", "expected"),
    [
        (220.0, 230.0, by_hand(6.586, "6.3 × 230 / 220", of=heater_volts)),
        (220.0, 240.0, by_hand(6.873, "6.3 × 240 / 220", of=heater_volts)),
        (240.0, 230.0, by_hand(6.0375, "6.3 × 230 / 240", of=heater_volts)),
        (200.0, 253.0, by_hand(7.970, "6.3 × 253 / 200", of=heater_volts)),
        (250.0, 207.0, by_hand(5.216, "6.3 × 207 / 250", of=heater_volts)),
    ],
)
def test_heater_volts_follow_mains_over_tap(tap: float, mains: float, expected: Expected) -> None:
    """A fully loaded 6.3 V winding on five taps."""
    assert heater_volts(6.3, mains, tap, 1.0, 0.1) == expected


def test_an_unloaded_heater_winding_reads_high() -> None:
    """Ten per cent of regulation: nothing to judge by off load."""
    assert heater_volts(6.3, 230.0, 230.0, 0.0, 0.1) == by_hand(6.93, "6.3 × 1.1", of=heater_volts)


def test_the_taught_regulation_is_over_the_loaded_volts() -> None:
    """10 V under load, 11 V without: ten per cent."""
    assert heater_volts(10.0, 1.0, 1.0, 0.0, 0.1) == by_hand(11.0, "10 × 1.1", of=heater_volts)


FIFTH = by_hand(1.2, "60 / 50", of=flux_ratio)
AS_BEFORE = published(1.0, "amwindow-transformers", of=flux_ratio, where="15 V 6 Hz, 150 V 60 Hz")


def test_sixty_hertz_iron_meets_a_fifth_more_flux_on_fifty() -> None:
    """Same volts, lower frequency."""
    assert flux_ratio(230.0, 230.0, 50.0, 60.0) == FIFTH


def test_saturation_goes_with_volts_over_hertz() -> None:
    """What saturates at 15 V and 6 Hz does so at 150 V and 60 Hz."""
    assert flux_ratio(150.0, 15.0, 60.0, 6.0) == AS_BEFORE


@pytest.mark.parametrize(
    ("connection", "choke", "end", "expected"),
    [
        ("centre-tap", False, 0, published(1.0, "hammond", of=winding_current, where="full-wave tapped 1.00")),
        ("bridge", False, 0, published(1 / 0.62, "hammond", of=winding_current, where="bridge 0.62", rel=0.01)),
        ("half-wave", False, 1, published(1 / 0.28, "hammond", of=winding_current, where="half-wave 0.28", rel=0.01)),
        ("centre-tap", True, 0, published(1 / 1.54, "hammond", of=winding_current, where="choke 1.54", rel=0.01)),
        ("half-wave", False, 0, published(2.6, "petra-toroid", of=winding_current, where="half-wave 2.6")),
        ("centre-tap", False, 1, simulated(1.41, "ngspice: 100 ohm a side, silicon, 78 mA", of=winding_current)),
        ("bridge", False, 1, simulated(1.99, "ngspice: bridge, 100 ohm, silicon", of=winding_current)),
    ],
)
def test_rms_over_direct_current_is_that_of_the_sources(
    connection: Connection, choke: bool, end: int, expected: Expected
) -> None:
    """The lenient end and the strict one, silicon."""
    assert winding_current(1.0, connection, "silicon", choke_input=choke)[end] == expected


def test_a_valve_spares_the_winding() -> None:
    """Longer pulses: 1.18 times the direct current with 375 Ω a side."""
    found = winding_current(1.0, "centre-tap", "valve")[1]
    assert found == simulated(1.18, "ngspice: 375 ohm a side, 60 mA", of=winding_current, rel=0.02)


def test_an_unknown_connection_is_refused() -> None:
    """A word that is none of the three."""
    with pytest.raises(ValueError, match="unknown connection 'star'"):
        winding_current(1.0, "star", "valve")  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("ohms", "rail"),
    [(50.0, 331.1), (100.0, 319.5), (200.0, 300.6), (300.0, 284.8), (400.0, 270.6)],
)
def test_the_winding_of_a_simulated_rail_is_found(ohms: float, rail: float) -> None:
    """Five simulated supplies of one 250-0-250 V winding at 60 mA."""
    expected = simulated(250.0, f"ngspice: {ohms:g} ohm a side gives {rail:g} V", of=winding_for_rail, rel=5e-3)
    assert winding_for_rail(rail, ohms, 0.060) == expected


PEAK = by_hand(250.0, "353.55 / 1.41421", of=winding_for_rail)


def test_without_resistance_the_rail_is_the_peak() -> None:
    """A limiting case."""
    assert winding_for_rail(353.55, 0.0, 0.06, diode_drop=0.0) == PEAK


@given(volts=st.floats(50, 500), ohms=st.floats(1, 500), current=st.floats(0.005, 0.15), half_wave=st.booleans())
def test_it_undoes_the_rail(volts: float, ohms: float, current: float, half_wave: bool) -> None:
    """Winding to rail and back, over everything that a set can have."""
    rail = float(rail_capacitor_input(volts, ohms, current, half_wave=half_wave))
    if rail > 0.2 * volts:
        assert winding_for_rail(rail, ohms, current, half_wave=half_wave) == pytest.approx(volts, rel=1e-4)


@pytest.mark.parametrize(
    ("function", "args"),
    [
        (heater_volts, (6.3, 230.0, 220.0, 0.8, 0.05)),
        (flux_ratio, (230.0, 240.0, 50.0, 60.0)),
        (winding_current, (0.08, "bridge", "silicon")),
        (winding_for_rail, (250.0, 200.0, 0.06)),
    ],
)
def test_floats_arrays_and_the_unknown(function: object, args: tuple[object, ...]) -> None:
    """Float in, float out; array equals scalar; NaN in, NaN out."""
    assert callable(function)
    assert breaches(function, args, {}) == []
    assert np.isnan(function(*[np.nan if isinstance(a, float) else a for a in args])).all()
