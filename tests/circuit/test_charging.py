"""What a rectifier has to bear: switch-on surge, least resistance, largest reservoir."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.circuit.charging import largest_reservoir, least_resistance, switch_on_surge
from partsbin.circuit.rectification import capacitor_input
from tests.circuit.shapes import breaches
from tests.expected import Expected, by_hand, simulated

SIM = "ngspice 39, 250-0-250 V, 100 ohm a side, 4 k, switched on at a crossing"
SURGES = [
    (0, (250.0, 100.0, 8e-6, 50.0), simulated(0.75, SIM, of=switch_on_surge, rel=0.03)),
    (0, (250.0, 100.0, 16e-6, 50.0), simulated(1.22, SIM, of=switch_on_surge, rel=0.02)),
    (0, (250.0, 100.0, 32e-6, 50.0), simulated(1.81, SIM, of=switch_on_surge, rel=0.02)),
    (0, (250.0, 100.0, 50e-6, 50.0), simulated(2.18, SIM, of=switch_on_surge, rel=0.02)),
    (0, (250.0, 100.0, 100e-6, 50.0), simulated(2.69, SIM, of=switch_on_surge, rel=0.02)),
    (1, (250.0, 100.0, 32e-6, 50.0), by_hand(3.536, "1.41421 · 250 / 100", of=switch_on_surge)),
]


@pytest.mark.parametrize(("which", "args", "expected"), SURGES)
def test_the_surge_grows_with_the_reservoir_up_to_ohms_law(
    which: int, args: tuple[float, ...], expected: Expected
) -> None:
    """Switched on at a crossing, and at a crest."""
    assert switch_on_surge(*args)[which] == expected


@given(st.floats(20, 600), st.floats(1, 2000), st.floats(1e-6, 1e-3))
def test_a_crossing_is_never_worse_than_a_crest(secondary: float, resistance: float, reservoir: float) -> None:
    """The worst case is the worst."""
    mild, worst = switch_on_surge(secondary, resistance, reservoir, 50.0)
    assert 0 < mild < worst


def test_without_resistance_the_surge_is_that_of_the_bare_reservoir() -> None:
    """At a crossing the reservoir draws its current in the sine at once; at a crest nothing holds it back."""
    mild, worst = switch_on_surge(250.0, 0.0, 32e-6, 50.0)
    assert mild == pytest.approx(250.0 * math.sqrt(2) * 2 * math.pi * 50 * 32e-6, rel=1e-3)
    assert worst == math.inf


LEAST = [
    ((325.0, 1.1), by_hand(417.8, "1.41421 · 325 / 1.1: below the 525 ohm of the 6X4's sheet", of=least_resistance)),
    ((325.0, 0.8755), by_hand(525.0, "1.41421 · 325 / 0.8755", of=least_resistance)),
]


@pytest.mark.parametrize(("args", "expected"), LEAST)
def test_the_least_resistance_holds_the_worst_surge(args: tuple[float, float], expected: Expected) -> None:
    """Ohm's law at the crest."""
    assert least_resistance(*args) == expected


RESERVOIRS: list[tuple[tuple[Any, ...], Expected]] = [
    (
        (250.0, 0.0, 0.060, 50.0, 1.143),
        by_hand(
            32e-6,
            "32 uF without resistance has a crest of 0.0100531 · 352.753 · 0.30535 + 0.060 = 1.143 A, see capacitor_input",
            of=largest_reservoir,
            rel=0.03,
        ),
    ),
]


@pytest.mark.parametrize(("args", "expected"), RESERVOIRS)
def test_the_largest_reservoir_is_that_whose_crest_reaches_the_limit(args: tuple[Any, ...], expected: Expected) -> None:
    """A case without resistance, which can be worked by hand."""
    assert largest_reservoir(*args) == expected


@given(
    st.floats(100, 400),
    st.floats(20, 400),
    st.floats(0.01, 0.1),
    st.floats(3, 12),
    st.sampled_from(["centre-tap", "half-wave", "bridge", "doubler"]),
)
def test_the_crest_with_the_largest_reservoir_is_the_limit(
    secondary: float, resistance: float, current: float, times: float, connection: Any
) -> None:
    """Put back into the supply, the answer meets the limit; where none is too large, an endless one stays below it."""
    limit = times * current
    found = largest_reservoir(secondary, resistance, current, 50.0, limit, connection)
    crest = capacitor_input(secondary, resistance, current, found, 50.0, connection)[3]
    if math.isinf(found):
        assert crest <= limit * 1.001
    elif found > 1e-7:
        assert math.isnan(crest) or crest == pytest.approx(limit, rel=2e-3)


@pytest.mark.parametrize(
    ("limit", "expected"),
    [(0.100, 0.0), (10.0, math.inf)],
    ids=["below the direct current's own pulses", "more than the winding drives"],
)
def test_a_limit_may_allow_no_reservoir_or_any(limit: float, expected: float) -> None:
    """The two ends are said as such: nothing is small enough, nothing too large."""
    assert largest_reservoir(250.0, 100.0, 0.0782, 50.0, limit) == expected


def test_a_supply_that_cannot_deliver_has_no_largest_reservoir() -> None:
    """Unknown, not unlimited."""
    assert math.isnan(largest_reservoir(250.0, 100.0, 3.0, 50.0, 10.0))


@pytest.mark.parametrize(
    ("function", "args", "kwargs"),
    [
        (switch_on_surge, (250.0, 100.0, 32e-6, 50.0), {}),
        (least_resistance, (325.0, 1.1), {}),
        (largest_reservoir, (250.0, 100.0, 0.0782, 50.0, 0.38), {"diode_drop": 0.8}),
    ],
)
def test_charging_formulas_keep_their_shape(function: Any, args: tuple[Any, ...], kwargs: dict[str, Any]) -> None:
    """Float in, float out; array equals scalar; NaN in, NaN out."""
    assert breaches(function, args, kwargs) == []
