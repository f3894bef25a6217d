"""Series heater chains: sum, dropper heat, lamp shunt, missing heater, cold start, diode feed, capacitive dropper."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.circuit.chains import (
    capacitive_current,
    chain_volts,
    cold_surge,
    dropper_watts,
    half_wave_volts,
    heater_instead,
    lamp_shunt,
)
from partsbin.circuit.droppers import capacitive_dropper, dropper_resistance
from tests.circuit.shapes import breaches
from tests.expected import Expected, by_hand, published

SUMS = [
    (
        (14.0, 12.6, 14.0, 45.0, 31.0),
        published(117.0, "vr-dropper", of=chain_volts, where="UCH42 UF41 UBC41 UL41 UY41, rounded", rel=5e-3),
    ),
    ((14.0, 12.6, 14.0, 45.0, 31.0), by_hand(116.6, "14 + 12.6 + 14 + 45 + 31", of=chain_volts)),
    ((19.0, 12.6, 28.5, 45.0, 38.0), by_hand(143.1, "UCH81 UF89 UABC80 UL84 UY85, from memory", of=chain_volts)),
    ((12.6, 12.6, 12.6, 50.0, 35.0), by_hand(122.8, "12BE6 12BA6 12AV6 50C5 35W4", of=chain_volts)),
    ((), by_hand(0.0, "an empty chain", of=chain_volts)),
]


@pytest.mark.parametrize(("heaters", "expected"), SUMS)
def test_a_chain_needs_the_sum_of_its_heaters(heaters: tuple[float, ...], expected: Expected) -> None:
    """Volts add up in series."""
    assert chain_volts(*heaters) == expected


WATTS = [
    ((240.0, 116.6, 0.1), published(12.3, "vr-dropper", of=dropper_watts, where="chain of 0.1 A on 240 V", rel=5e-3)),
    ((230.0, 116.6, 0.1), by_hand(11.34, "113.4 · 0.1", of=dropper_watts)),
    ((253.0, 116.6, 0.1), by_hand(13.64, "136.4 · 0.1", of=dropper_watts)),
    ((230.0, 143.1, 0.1), by_hand(8.69, "86.9 · 0.1", of=dropper_watts)),
    ((230.0, 122.8, 0.15), by_hand(16.08, "107.2 · 0.15", of=dropper_watts)),
    ((230.0, 109.0, 0.3), by_hand(36.3, "121 · 0.3", of=dropper_watts)),
    (
        (169.7, 117.0, 0.1),
        published(5.3, "cool386-diode", of=dropper_watts, where="117 V 0.1 A through a diode from 240 V", rel=0.01),
    ),
]


@pytest.mark.parametrize(("args", "expected"), WATTS)
def test_the_dropper_turns_into_heat_what_the_chain_leaves(args: tuple[float, ...], expected: Expected) -> None:
    """Volts left over times the chain's current."""
    assert dropper_watts(*args) == expected


LAMPS = [
    (0, (6.3, 0.15, 0.3), by_hand(42.0, "6.3 / (0.3 - 0.15)", of=lamp_shunt)),
    (1, (6.3, 0.15, 0.3), by_hand(12.6, "42 · 0.3: twice the lamp's volts", of=lamp_shunt)),
    (2, (6.3, 0.15, 0.3), by_hand(3.78, "42 · 0.3²", of=lamp_shunt)),
    (
        0,
        (6.6, 0.110, 0.200),
        by_hand(73.33, "6.6 / 0.090: lamp 110 mA, tap section 90 mA, as the 35Z5GT has it", of=lamp_shunt),
    ),
]


@pytest.mark.parametrize(("which", "args", "expected"), LAMPS)
def test_a_shunt_carries_what_the_lamp_does_not_take(which: int, args: tuple[float, ...], expected: Expected) -> None:
    """And everything when the lamp is open."""
    assert lamp_shunt(*args)[which] == expected


def test_a_lamp_that_takes_the_whole_current_has_no_shunt_and_one_that_wants_more_no_place() -> None:
    """Infinite ohms, and unknown."""
    assert lamp_shunt(6.3, 0.3, 0.3)[0] == math.inf
    assert all(math.isnan(value) for value in lamp_shunt(6.3, 0.5, 0.3))


INSTEAD = [
    (0, (31.0, 0.1), by_hand(310.0, "31 / 0.1, UY41", of=heater_instead)),
    (1, (31.0, 0.1), by_hand(3.1, "31 · 0.1", of=heater_instead)),
    (0, (35.0, 0.15), by_hand(233.3, "35 / 0.15, 35W4", of=heater_instead)),
    (1, (35.0, 0.15), by_hand(5.25, "35 · 0.15", of=heater_instead)),
]


@pytest.mark.parametrize(("which", "args", "expected"), INSTEAD)
def test_a_missing_heater_is_made_up_by_its_hot_resistance(
    which: int, args: tuple[float, float], expected: Expected
) -> None:
    """Ohms and watts of the heater that is gone."""
    assert heater_instead(*args)[which] == expected


COLD = [
    ((240.0, 1234.0, 116.6, 0.1, 7.2), by_hand(0.1719, "240 / (1234 + 1166 / 7.2)", of=cold_surge)),
    (
        (117.0, 0.0, 117.0, 0.15, 2.7),
        published(2.7 * 0.15, "audioxpress-2004", of=cold_surge, where="least inrush of a bare chain"),
    ),
    (
        (117.0, 0.0, 117.0, 0.15, 7.2),
        published(7.2 * 0.15, "audioxpress-2004", of=cold_surge, where="greatest inrush of a bare chain"),
    ),
]


@pytest.mark.parametrize(("args", "expected"), COLD)
def test_the_dropper_holds_back_the_cold_chain(args: tuple[float, ...], expected: Expected) -> None:
    """A bare chain surges by the whole ratio, one with a dropper by far less."""
    assert cold_surge(*args) == expected


HALF_WAVE = [
    (240.0, published(169.7, "cool386-diode", of=half_wave_volts, where="240 V through a diode")),
    (230.0, by_hand(162.6, "230 / 1.41421", of=half_wave_volts)),
]


@pytest.mark.parametrize(("mains", "expected"), HALF_WAVE)
def test_a_diode_leaves_more_than_half(mains: float, expected: Expected) -> None:
    """Heat goes by the square of the volts."""
    assert half_wave_volts(mains) == expected


def test_the_diode_fed_dropper_is_that_of_the_published_chain() -> None:
    """117 V at 0.1 A behind a diode on 240 V: 527 ohm."""
    wanted = published(527.0, "cool386-diode", of=dropper_resistance, where="117 V 0.1 A through a diode from 240 V")
    assert dropper_resistance(half_wave_volts(240.0), 117.0, 0.1) == wanted


CAPACITIVE = [
    (
        (240.0, 1.52e-6, 117.0, 0.1, 50.0),
        by_hand(0.10004, "Xc = 1 / (314.16 · 1.52e-6) = 2094.2; 240 / sqrt(2094.2² + 1170²)", of=capacitive_current),
    ),
    (
        (230.0, 4e-6, 24.0, 0.3, 50.0),
        published(0.3, "radiotrician", of=capacitive_current, where="4 uF for 300 mA", rel=0.05),
    ),
]


@pytest.mark.parametrize(("args", "expected"), CAPACITIVE)
def test_a_capacitive_dropper_sets_the_current(args: tuple[float, ...], expected: Expected) -> None:
    """Its volts stand at right angles to those of the heaters."""
    assert capacitive_current(*args) == expected


@given(st.floats(200, 260), st.floats(5, 190), st.floats(0.05, 0.5))
def test_the_capacitor_worked_out_for_a_chain_gives_its_current(mains: float, heaters: float, current: float) -> None:
    """The two functions are each other's inverse."""
    farads = capacitive_dropper(mains, heaters, current, 50.0)
    assert capacitive_current(mains, farads, heaters, current, 50.0) == pytest.approx(current)


@pytest.mark.parametrize(
    ("function", "args"),
    [
        (chain_volts, (14.0, 12.6)),
        (dropper_watts, (240.0, 116.6, 0.1)),
        (lamp_shunt, (6.3, 0.1, 0.5)),
        (heater_instead, (31.0, 0.1)),
        (cold_surge, (240.0, 1234.0, 116.6, 0.1, 7.2)),
        (half_wave_volts, (240.0,)),
        (capacitive_current, (240.0, 1.5e-6, 117.0, 0.1, 50.0)),
    ],
)
def test_chain_formulas_keep_their_shape(function: Any, args: tuple[float, ...]) -> None:
    """Float in, float out; array equals scalar; NaN in, NaN out."""
    assert breaches(function, args, {}) == []
