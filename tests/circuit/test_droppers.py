"""Cathode resistor and heater dropper, resistive and capacitive."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.circuit.droppers import capacitive_dropper, cathode_resistor, chain_current, dropper_resistance
from tests.circuit.shapes import breaches
from tests.expected import Expected, by_hand, published

CATHODES = [
    ((-7.3, 48e-3, 5.5e-3), by_hand(136.4, "7.3 / 0.0535, EL84", of=cathode_resistor)),
    ((-7.3, 48e-3, 5.5e-3), published(135.0, "kothf-sheets", of=cathode_resistor, where="EL84", rel=0.02)),
    ((-2.0, 1.2e-3, 0.0), by_hand(1667.0, "2 / 0.0012, ECC83", of=cathode_resistor)),
    ((7.3, 48e-3, 5.5e-3), by_hand(136.4, "the sign of the bias is of no account", of=cathode_resistor)),
]


@pytest.mark.parametrize(("args", "expected"), CATHODES)
def test_the_cathode_resistor_gives_the_bias(args: tuple[float, float, float], expected: Expected) -> None:
    """Bias over the sum of both currents."""
    assert cathode_resistor(*args) == expected


DROPPERS = [
    ((240.0, 117.0, 0.1), published(1230.0, "vr-dropper", of=dropper_resistance, where="chain rounded to 117 V")),
    ((240.0, 116.6, 0.1), by_hand(1234.0, "123.4 / 0.1", of=dropper_resistance)),
    ((230.0, 116.6, 0.1), by_hand(1134.0, "113.4 / 0.1", of=dropper_resistance)),
    ((230.0, 122.8, 0.15), by_hand(714.7, "107.2 / 0.15", of=dropper_resistance)),
    ((230.0, 109.0, 0.3), by_hand(403.3, "121 / 0.3", of=dropper_resistance)),
    ((117.0, 122.8, 0.15), by_hand(-38.67, "-5.8 / 0.15: no dropper", of=dropper_resistance)),
]


@pytest.mark.parametrize(("args", "expected"), DROPPERS)
def test_the_dropper_takes_what_the_heaters_leave(args: tuple[float, float, float], expected: Expected) -> None:
    """Volts left over, over the chain's current."""
    assert dropper_resistance(*args) == expected


CURRENTS = [
    ((253.0, 1230.0, 116.6, 0.1), by_hand(0.10559, "253 / (1230 + 1166)", of=chain_current)),
    ((116.6, 0.0, 116.6, 0.1), by_hand(0.1, "no dropper at the chain's own volts", of=chain_current)),
]


@pytest.mark.parametrize(("args", "expected"), CURRENTS)
def test_the_chain_is_a_string_of_resistors(args: tuple[float, ...], expected: Expected) -> None:
    """Mains ten per cent high give less than ten per cent more, since the nominal dropper is a little large."""
    assert chain_current(*args) == expected


CAPACITORS = [
    ((240.0, 117.0, 0.1, 50.0), by_hand(1.519e-6, "sqrt(240² - 117²) = 209.6; 1 / (314.2 · 2096)", of=capacitive_dropper)),
    ((230.0, 116.6, 0.1, 50.0), by_hand(1.6055e-6, "sqrt(230² - 116.6²) = 198.3", of=capacitive_dropper)),
    ((230.0, 121.0, 0.15, 50.0), by_hand(2.441e-6, "sqrt(230² - 121²) = 195.6", of=capacitive_dropper)),
    ((100.0, 116.6, 0.1, 50.0), by_hand(math.inf, "no dropper wanted", of=capacitive_dropper)),
]  # fmt: skip


@pytest.mark.parametrize(("args", "expected"), CAPACITORS)
def test_volts_across_a_capacitor_stand_at_right_angles(args: tuple[float, ...], expected: Expected) -> None:
    """Pythagoras, not the difference."""
    assert capacitive_dropper(*args) == expected


@given(st.floats(200.0, 260.0), st.floats(20.0, 190.0), st.sampled_from((0.1, 0.15, 0.3)))
def test_the_dropper_gives_the_chain_its_current(mains: float, heaters: float, current: float) -> None:
    """Worked forth and back."""
    dropper = dropper_resistance(mains, heaters, current)
    assert chain_current(mains, dropper, heaters, current) == pytest.approx(current)


CALLS: list[tuple[Callable[..., Any], tuple[float, ...]]] = [
    (cathode_resistor, (-7.3, 48e-3, 5.5e-3)),
    (dropper_resistance, (240.0, 116.6, 0.1)),
    (chain_current, (253.0, 1230.0, 116.6, 0.1)),
    (capacitive_dropper, (240.0, 117.0, 0.1, 50.0)),
]


@pytest.mark.parametrize(("formula", "args"), CALLS)
def test_formulas_take_floats_and_arrays_alike(formula: Callable[..., Any], args: tuple[float, ...]) -> None:
    """Float in, float out; array equals scalar; NaN in, NaN out."""
    assert breaches(formula, args, {}) == []
