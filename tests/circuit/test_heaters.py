"""Heaters on a winding: sum, window, tap against today's mains, volts under another load, resistor in the lead."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.circuit.heaters import (
    heater_settles,
    heater_sum,
    heater_window,
    lead_resistor,
    tap_for,
    volts_at_load,
)
from partsbin.circuit.mains_windings import heater_volts
from tests.circuit.shapes import breaches
from tests.expected import Expected, by_hand, published

SUMS = [
    ((0.2, 0.3, 0.3, 0.76, 0.6), by_hand(2.16, "EF89 ECH81 EBF80 EL84 EZ80, currents from memory", of=heater_sum)),
    ((0.2, 0.3, 0.3, 0.76, 0.6, 0.3, 0.3), by_hand(2.76, "the same and two lamps of 0.3 A", of=heater_sum)),
    ((), by_hand(0.0, "an idle winding", of=heater_sum)),
]


@pytest.mark.parametrize(("currents", "expected"), SUMS)
def test_heaters_side_by_side_add_their_currents(currents: tuple[float, ...], expected: Expected) -> None:
    """A line-up on one winding."""
    assert heater_sum(*currents) == expected


WINDOWS = [
    (0, (6.3, 0.07), by_hand(5.859, "6.3 · 0.93", of=heater_window)),
    (1, (6.3, 0.07), by_hand(6.741, "6.3 · 1.07", of=heater_window)),
    (0, (6.3, 0.10), by_hand(5.67, "6.3 · 0.90", of=heater_window)),
    (1, (6.3, 0.10), by_hand(6.93, "6.3 · 1.10", of=heater_window)),
]


@pytest.mark.parametrize(("which", "args", "expected"), WINDOWS)
def test_a_heater_stands_so_much_either_way(which: int, args: tuple[float, float], expected: Expected) -> None:
    """Seven per cent for long life, ten at the ends."""
    assert heater_window(*args)[which] == expected


MAINS = (207.0, 216.2, 230.0, 240.0, 253.0)
BY_TAP = {
    200.0: (6.52, 6.81, 7.25, 7.56, 7.97),
    210.0: (6.21, 6.49, 6.90, 7.20, 7.59),
    220.0: (5.93, 6.19, 6.59, 6.87, 7.24),
    230.0: (5.67, 5.92, 6.30, 6.57, 6.93),
    240.0: (5.43, 5.68, 6.04, 6.30, 6.64),
    250.0: (5.22, 5.45, 5.80, 6.05, 6.38),
}
TABLE = [
    (tap, mains, by_hand(volts, f"6.3 · {mains:g} / {tap:g}", of=heater_volts, rel=1.2e-3))
    for tap, row in BY_TAP.items()
    for mains, volts in zip(MAINS, row, strict=True)
]


@pytest.mark.parametrize(("tap", "mains", "expected"), TABLE)
def test_every_winding_moves_with_mains_over_tap(tap: float, mains: float, expected: Expected) -> None:
    """A 6.3 V winding, fully loaded, on six taps at five mains."""
    assert heater_volts(6.3, mains, tap, 1.0, 0.05) == expected


TAPS = [
    ((230.0, 200.0, 220.0, 240.0), by_hand(240.0, "the first tap at or above 230", of=tap_for)),
    ((240.0, 200.0, 220.0, 240.0), by_hand(240.0, "a tap that equals the mains", of=tap_for)),
    ((215.0, 250.0, 220.0, 200.0), by_hand(220.0, "whatever their order", of=tap_for)),
    ((253.0, 200.0, 220.0, 240.0), by_hand(240.0, "none above: the highest", of=tap_for)),
]


@pytest.mark.parametrize(("args", "expected"), TAPS)
def test_the_tap_is_the_nearest_at_or_above_the_mains(args: tuple[float, ...], expected: Expected) -> None:
    """Low is harmless, high is not."""
    assert tap_for(*args) == expected


def test_no_tap_at_all_is_refused() -> None:
    """There has to be one."""
    with pytest.raises(ValueError, match=r"^no tap given, expected the volts of at least one$"):
        tap_for(230.0)


@given(st.floats(100, 280), st.lists(st.floats(100, 280), min_size=1, max_size=6))
def test_the_tap_chosen_is_one_of_those_given(mains: float, taps: list[float]) -> None:
    """And none of the others lies between it and the mains."""
    chosen = tap_for(mains, *taps)
    assert chosen in taps
    assert not any(mains <= tap < chosen for tap in taps)


UNDER_LOAD = [
    ((6.93, 6.3, 2.0, 1.4), by_hand(6.489, "6.93 - 0.63 · 1.4 / 2", of=volts_at_load)),
    ((6.93, 6.3, 2.0, 0.0), by_hand(6.93, "off load", of=volts_at_load)),
    ((11.0, 10.0, 1.0, 1.0), published(10.0, "talema", of=volts_at_load, where="11 V off load, 10 V loaded")),
]


@pytest.mark.parametrize(("args", "expected"), UNDER_LOAD)
def test_a_winding_sinks_with_its_load(args: tuple[float, ...], expected: Expected) -> None:
    """A line through two readings."""
    assert volts_at_load(*args) == expected


SETTLED = [
    ((6.93, 0.3, 6.3, 2.1), by_hand(6.3, "3 / 3.3 · 6.93", of=heater_settles)),
    ((6.93, 0.3, 6.3, 1.05), by_hand(6.6, "6 / 6.3 · 6.93", of=heater_settles)),
]


@pytest.mark.parametrize(("args", "expected"), SETTLED)
def test_heaters_and_winding_divide_the_volts(args: tuple[float, ...], expected: Expected) -> None:
    """Half the heaters, half the drop."""
    assert heater_settles(*args) == expected


LEADS = [
    (0, (6.9, 6.3, 2.16), by_hand(0.2778, "0.6 / 2.16", of=lead_resistor)),
    (1, (6.9, 6.3, 2.16), by_hand(1.296, "0.6 · 2.16", of=lead_resistor)),
]


@pytest.mark.parametrize(("which", "args", "expected"), LEADS)
def test_a_resistor_in_the_lead_takes_up_the_rest(which: int, args: tuple[float, ...], expected: Expected) -> None:
    """Ohms and watts."""
    assert lead_resistor(*args)[which] == expected


@pytest.mark.parametrize(
    ("function", "args"),
    [
        (heater_sum, (0.3, 0.76)),
        (heater_window, (6.3, 0.07)),
        (volts_at_load, (6.93, 6.3, 2.0, 1.4)),
        (heater_settles, (6.93, 0.3, 6.3, 2.1)),
        (lead_resistor, (6.9, 6.3, 2.16)),
    ],
)
def test_heater_formulas_keep_their_shape(function: Any, args: tuple[float, ...]) -> None:
    """Float in, float out; array equals scalar; NaN in, NaN out."""
    assert breaches(function, args, {}) == []


def test_taps_are_chosen_for_many_mains_at_once() -> None:
    """Array equals scalar, NaN stays NaN."""
    assert type(tap_for(230.0, 220.0, 240.0)) is float
    assert tap_for(np.array([210.0, 230.0, 250.0]), 220.0, 240.0).tolist() == [220.0, 240.0, 240.0]
    assert math.isnan(tap_for(math.nan, 220.0, 240.0))
    assert math.isnan(tap_for(230.0, math.nan, 240.0))
