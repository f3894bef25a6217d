"""The resistance that restores a rail: the inverse of the rail itself, and the simulated case of the design."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.circuit.restoring import path_resistance_for_rail, pulse_rms_current
from partsbin.circuit.supply import rail_capacitor_input
from tests.expected import by_hand, simulated

TWICE = by_hand(2.0, "mean squares add", of=pulse_rms_current)
SHORT = by_hand(90.03, "2 × 141.42 / pi: the whole half-wave flows", of=path_resistance_for_rail)
SIM = "ngspice: 250-0-250 V, 60 mA, 32 uF, silicon, 300 ohm a side, 284.8 V"


def test_the_simulated_replacement_is_met() -> None:
    """300 Ω a side in all bring silicon down to the rail that a valve gave."""
    found = path_resistance_for_rail(250.0, 284.8, 0.060)
    assert float(found) == simulated(300.0, SIM, of=path_resistance_for_rail, rel=0.03)


def test_each_anode_lead_carries_its_share() -> None:
    """73 mA a side in the same circuit."""
    found = pulse_rms_current(250.0, 300.0, 0.060, leads=2)
    assert float(found) == simulated(0.073, SIM, of=pulse_rms_current, rel=0.02)


def test_two_leads_share_the_heat() -> None:
    """Half the mean square each."""
    one, two = (float(pulse_rms_current(250.0, 300.0, 0.060, leads=n)) for n in (1, 2))
    assert (one / two) ** 2 == TWICE


def test_a_rail_at_the_peak_asks_for_no_resistance() -> None:
    """And one above it cannot be had."""
    assert float(path_resistance_for_rail(100.0, 100 * math.sqrt(2), 0.1, diode_drop=0.0)) == pytest.approx(0, abs=1e-3)
    assert math.isnan(float(path_resistance_for_rail(100.0, 150.0, 0.1)))


def test_a_rail_of_nothing_is_a_short_circuit() -> None:
    """n Vp / (pi I), full-wave: the whole half-wave flows."""
    short = path_resistance_for_rail(100.0, 0.0, 1.0, diode_drop=0.0)
    assert float(short) == SHORT


@given(volts=st.floats(50, 500), ohms=st.floats(1, 500), current=st.floats(0.005, 0.15), half_wave=st.booleans())
def test_it_undoes_the_rail(volts: float, ohms: float, current: float, half_wave: bool) -> None:
    """Rail to resistance and back, over everything that a set can have."""
    rail = float(rail_capacitor_input(volts, ohms, current, half_wave=half_wave))
    if rail > 0.2 * volts:
        assert float(path_resistance_for_rail(volts, rail, current, half_wave=half_wave)) == pytest.approx(
            ohms, rel=1e-4
        )


@pytest.mark.parametrize("function", [path_resistance_for_rail, pulse_rms_current])
def test_an_array_equals_its_scalars_and_the_unknown_stays_unknown(function: object) -> None:
    """Element by element."""
    assert callable(function)
    volts = np.array([200.0, 250.0, np.nan])
    whole = function(volts, 250.0 if function is path_resistance_for_rail else 300.0, 0.06)
    assert [
        float(function(v, 250.0 if function is path_resistance_for_rail else 300.0, 0.06)) for v in volts[:2]
    ] == whole[:2].tolist()
    assert math.isnan(whole[2])
