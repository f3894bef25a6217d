"""Series and parallel connection: sums, shares, balance resistors, against brute force and solved networks."""

from __future__ import annotations

import itertools
import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.circuit.networks import (
    balance_resistor,
    parallel_capacitance,
    parallel_resistance,
    series_capacitance,
    series_shares,
    worst_balanced_share,
    worst_series_share,
)
from tests.circuit.shapes import breaches
from tests.expected import Expected, by_hand, published

PARALLEL_R = [
    ((1e6, 1e6), by_hand(500e3, "1 / (1 + 1) of 1 M", of=parallel_resistance)),
    ((500e3, 1e6), by_hand(333.3e3, "500 · 1000 / 1500 k", of=parallel_resistance)),
    ((1e6, 470e3), by_hand(319.7e3, "1000 · 470 / 1470 k", of=parallel_resistance)),
    ((1e6, 2.2e6), by_hand(687.5e3, "1 · 2.2 / 3.2 M", of=parallel_resistance)),
    ((2.2e6, 2.2e6), by_hand(1.1e6, "half of 2.2 M", of=parallel_resistance)),
    ((40e3, 5.2e3), by_hand(4602.0, "40 · 5.2 / 45.2 k", of=parallel_resistance)),
    ((3e3, 3e3, 3e3), by_hand(1e3, "a third of 3 k", of=parallel_resistance)),
    ((4.7e3, math.inf), by_hand(4.7e3, "an open circuit adds nothing", of=parallel_resistance)),
    ((4.7e3, 0.0), by_hand(0.0, "a short circuit takes all", of=parallel_resistance)),
]


@pytest.mark.parametrize(("resistances", "expected"), PARALLEL_R)
def test_conductances_add(resistances: tuple[float, ...], expected: Expected) -> None:
    """Two or more, with the open and the short circuit as limits."""
    assert parallel_resistance(*resistances) == expected


SERIES_C = [
    ((22e-6, 18e-6), by_hand(9.9e-6, "22 · 18 / 40", of=series_capacitance)),
    ((100e-6, 100e-6), by_hand(50e-6, "half of 100", of=series_capacitance)),
    ((47e-6, 47e-6, 47e-6), by_hand(15.667e-6, "47 / 3", of=series_capacitance)),
    ((47e-6, 0.0), by_hand(0.0, "an open capacitor opens the string", of=series_capacitance)),
]


@pytest.mark.parametrize(("capacitances", "expected"), SERIES_C)
def test_a_string_has_less_than_its_smallest_part(capacitances: tuple[float, ...], expected: Expected) -> None:
    """Reciprocals add."""
    assert series_capacitance(*capacitances) == expected


PARALLEL_C = [
    ((0.02e-6, 0.02e-6), published(0.04e-6, "tubel", of=parallel_capacitance, where="0.02 + 0.02")),
    ((10e-6, 10e-6), published(20e-6, "tubel", of=parallel_capacitance, where="10 + 10")),
    ((8e-6, 8e-6, 16e-6), by_hand(32e-6, "8 + 8 + 16", of=parallel_capacitance)),
]


@pytest.mark.parametrize(("capacitances", "expected"), PARALLEL_C)
def test_parallel_capacitances_add(capacitances: tuple[float, ...], expected: Expected) -> None:
    """Two or more."""
    assert parallel_capacitance(*capacitances) == expected


def test_no_part_at_all_is_the_neutral_of_each_sum() -> None:
    """No resistor is an open circuit, no capacitor in parallel is none, none in series does not limit."""
    assert parallel_resistance() == math.inf
    assert series_capacitance() == math.inf
    assert parallel_capacitance() == 0.0


SHARES = [
    (
        (22e-6, 18e-6, 600.0),
        by_hand(270.0, "600 · 18 / 40", of=series_shares),
        by_hand(330.0, "600 · 22 / 40", of=series_shares),
    ),
    (
        (32e-6, 32e-6, 700.0),
        by_hand(350.0, "half of 700", of=series_shares),
        by_hand(350.0, "half of 700", of=series_shares),
    ),
]


@pytest.mark.parametrize(("args", "first", "second"), SHARES)
def test_the_smaller_capacitor_takes_the_greater_share(
    args: tuple[float, float, float], first: Expected, second: Expected
) -> None:
    """In the inverse proportion of the capacitances."""
    assert series_shares(*args) == (first, second)


@given(st.floats(1e-12, 1e-2), st.floats(1e-12, 1e-2), st.floats(1e-3, 2000))
def test_shares_add_up_and_hold_the_same_charge(c1: float, c2: float, volts: float) -> None:
    """Kirchhoff's law, and the charge of the string in each."""
    first, second = series_shares(c1, c2, volts)
    assert first + second == pytest.approx(volts, rel=1e-9)
    assert c1 * first == pytest.approx(volts * series_capacitance(c1, c2), rel=1e-9, abs=0)
    assert c2 * second == pytest.approx(c1 * first, rel=1e-9, abs=0)


WORST = [
    ((600.0, 0.20), by_hand(360.0, "0.6 of 600: 1.2 / (1.2 + 0.8)", of=worst_series_share)),
    ((443.0, 0.20), by_hand(265.8, "0.6 of 443", of=worst_series_share)),
    ((600.0, 0.0), by_hand(300.0, "half without tolerance", of=worst_series_share)),
    ((900.0, 0.20, 3), by_hand(385.7, "900 · 1.2 / (1.2 + 2 · 0.8)", of=worst_series_share)),
    ((600.0, 0.20, 1), by_hand(600.0, "a single part has it all", of=worst_series_share)),
]


@pytest.mark.parametrize(("args", "expected"), WORST)
def test_the_worst_share_falls_on_a_part_at_its_lower_limit(args: tuple[Any, ...], expected: Expected) -> None:
    """The others at their upper limit."""
    assert worst_series_share(*args) == expected


@pytest.mark.parametrize("n", [2, 3, 4])
@pytest.mark.parametrize("tolerance", [0.05, 0.2, 0.5])
def test_no_mix_of_parts_within_tolerance_gives_a_greater_share(n: int, tolerance: float) -> None:
    """All corners of the tolerances, tried one by one; a share is monotonic in each capacitance."""
    strings = itertools.product([1 - tolerance, 1.0, 1 + tolerance], repeat=n)
    greatest = max(100.0 * series_capacitance(*string) / min(string) for string in strings)
    assert worst_series_share(100.0, tolerance, n) == pytest.approx(greatest, rel=1e-12)


BALANCE = [
    ((450.0, 800.0, 0.2e-3), by_hand(500e3, "(2 · 450 - 800) / 0.2 mA", of=balance_resistor)),
    ((450.0, 1200.0, 0.5e-3, 3), by_hand(150e3, "(3 · 450 - 1200) / (2 · 0.5 mA)", of=balance_resistor)),
    (
        (450.0, 800.0, 0.0015 * 22e-6 * 800),
        by_hand(3.788e6, "spread 0.0015 · 22 · 800 = 26.4 uA; 100 / 26.4 uA", of=balance_resistor),
    ),
    (
        (450.0, 800.0, 0.0015 * 47e-6 * 800),
        by_hand(1.773e6, "spread 0.0015 · 47 · 800 = 56.4 uA; 100 / 56.4 uA", of=balance_resistor),
    ),
    (
        (450.0, 800.0, 0.0015 * 100e-6 * 800),
        by_hand(0.8333e6, "spread 0.0015 · 100 · 800 = 120 uA; 100 / 120 uA", of=balance_resistor),
    ),
    ((450.0, 1000.0, 0.2e-3), by_hand(0.0, "2 · 450 < 1000: no resistor helps", of=balance_resistor)),
    ((450.0, 800.0, 0.0), by_hand(math.inf, "equal leakage needs no resistor", of=balance_resistor)),
]


@pytest.mark.parametrize(("args", "expected"), BALANCE)
def test_balance_resistor_has_an_upper_limit(args: tuple[Any, ...], expected: Expected) -> None:
    """The safe form, with n - 1 below the line."""
    assert balance_resistor(*args) == expected


def _voltage_of_the_best_part(n: int, resistor: float, bus: float, difference: float) -> float:
    """Solve the string by node voltages: the first part does not leak, each other one leaks `difference`."""
    conductances = np.zeros((n - 1, n - 1))
    currents = np.zeros(n - 1)
    for node in range(n - 1):  # between part `node` above and part `node + 1` below, counted from the top
        conductances[node, node] = 2 / resistor
        if node > 0:
            conductances[node, node - 1] = -1 / resistor
        if node < n - 2:
            conductances[node, node + 1] = -1 / resistor
        above, below = (0.0 if part == 0 else difference for part in (node, node + 1))
        currents[node] = above - below
    currents[0] += bus / resistor
    return float(bus - np.linalg.solve(conductances, currents)[0])


@pytest.mark.parametrize(("n", "bus"), [(2, 800.0), (3, 1200.0), (4, 1500.0)])
def test_the_best_part_gets_exactly_its_rating_at_the_limit(n: int, bus: float) -> None:
    """The solved network puts the rated voltage on the part that leaks least."""
    resistor = balance_resistor(450.0, bus, 0.5e-3, n)
    assert _voltage_of_the_best_part(n, resistor, bus, 0.5e-3) == pytest.approx(450.0, rel=1e-9)


def test_the_form_in_circulation_overloads_the_best_of_three_parts() -> None:
    """(3 · 450 - 1200) / 0.5 mA = 300 kohm puts 500 V on a 450 V part."""
    assert _voltage_of_the_best_part(3, 300e3, 1200.0, 0.5e-3) == pytest.approx(500.0, rel=1e-9)


def test_two_equal_resistors_share_as_published() -> None:
    """The formula for two, turned round."""
    assert worst_balanced_share(800.0, 0.2e-3, 0.0, 500e3, 500e3) == published(
        450.0, "va1d", of=worst_balanced_share, where="its formula with these figures"
    )


@given(
    st.lists(st.floats(10e3, 1e6), min_size=2, max_size=4),
    st.floats(0.0, 0.2),
    st.floats(0.0, 1e-3),
)
def test_no_resistors_and_leakages_within_their_limits_give_a_part_more(
    nominal: list[float], tolerance: float, difference: float
) -> None:
    """Every corner of the resistors' tolerances, the first part leaking least: solved by the one current through all."""
    worst = worst_balanced_share(600.0, difference, tolerance, *nominal)
    found = []
    for signs in itertools.product((-1, 1), repeat=len(nominal)):
        ohms = [own * (1 + sign * tolerance) for own, sign in zip(nominal, signs, strict=True)]
        leaks = [0.0] + [difference] * (len(ohms) - 1)
        current = (600.0 + sum(r * i for r, i in zip(ohms, leaks, strict=True))) / sum(ohms)
        volts = [r * (current - i) for r, i in zip(ohms, leaks, strict=True)]
        assert sum(volts) == pytest.approx(600.0)
        if min(volts) >= 0:  # a leak that drains its part is no longer a current of its own
            found.append(volts[0])
    assert not found or max(found) <= worst * (1 + 1e-9)
    corner = [-1] * len(nominal)
    if len(found) == 2 ** len(corner):
        assert max(found) == pytest.approx(worst)


@pytest.mark.parametrize(
    ("function", "args"),
    [
        (parallel_resistance, (1e6, 470e3)),
        (series_capacitance, (22e-6, 18e-6)),
        (parallel_capacitance, (22e-6, 18e-6)),
        (series_shares, (22e-6, 18e-6, 600.0)),
        (worst_series_share, (600.0, 0.2, 2.0)),
        (balance_resistor, (450.0, 800.0, 0.2e-3, 2.0)),
        (worst_balanced_share, (800.0, 0.2e-3, 0.05, 500e3, 470e3)),
    ],
)
def test_network_formulas_keep_their_shape(function: Any, args: tuple[Any, ...]) -> None:
    """Float in, float out; array equals scalar; NaN in, NaN out."""
    assert breaches(function, args, {}) == []
