"""Potentiometers: laws, loads, resistors across the track, what the track bears."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.circuit.potentiometers import (
    across_track,
    exponential_taper,
    level,
    load_for_mid,
    loaded_fraction,
    loaded_input,
    loaded_taper,
    shunted_rheostat,
    taper_base,
    track_current,
    two_piece_taper,
)
from partsbin.circuit.resistors import rated_voltage
from tests.circuit.shapes import breaches
from tests.expected import Expected, by_hand, published

LEVELS = [
    (0.10, by_hand(-20.0, "20 log10 0.10", of=level)),
    (0.13, by_hand(-17.7, "20 log10 0.13, the law that zwi measured", of=level, rel=2e-3)),
    (0.15, by_hand(-16.5, "20 log10 0.15", of=level, rel=2e-3)),
    (0.20, by_hand(-14.0, "20 log10 0.20", of=level, rel=2e-3)),
    (0.30, by_hand(-10.5, "20 log10 0.30, the old tracks of sunny", of=level, rel=5e-3)),
    (0.50, by_hand(-6.0, "20 log10 0.50, linear", of=level, rel=5e-3)),
]


@pytest.mark.parametrize(("fraction", "expected"), LEVELS)
def test_a_fraction_at_half_rotation_in_decibels(fraction: float, expected: Expected) -> None:
    """The table of half-rotation fractions."""
    assert level(fraction) == expected


def test_an_old_and_a_new_log_control_differ_by_nine_decibels() -> None:
    """30 % against 10 % at half rotation: the feel of the control changes."""
    assert level(0.30) - level(0.10) == by_hand(9.54, "20 log10(30 / 10)", of=level)


BASES = [
    (0.10, by_hand(81.0, "(10 - 1) squared", of=taper_base)),
    (0.15, by_hand(32.1, "(1 / 0.15 - 1) squared", of=taper_base, rel=2e-3)),
    (0.20, by_hand(16.0, "(5 - 1) squared", of=taper_base)),
    (0.50, by_hand(1.0, "(2 - 1) squared: linear", of=taper_base)),
]


@pytest.mark.parametrize(("mid", "expected"), BASES)
def test_the_base_of_the_law_follows_from_half_rotation(mid: float, expected: Expected) -> None:
    """The exponential model of the tables."""
    assert taper_base(mid) == expected


TAPERS = [
    (exponential_taper, 0.5, 0.10, by_hand(0.10, "through its own point", of=exponential_taper)),
    (exponential_taper, 0.25, 0.10, by_hand(0.025, "(81^0.25 - 1) / 80 = 2 / 80", of=exponential_taper)),
    (exponential_taper, 0.75, 0.10, by_hand(0.325, "(81^0.75 - 1) / 80 = 26 / 80", of=exponential_taper)),
    (exponential_taper, 0.5, 0.90, by_hand(0.90, "antilog, through its own point", of=exponential_taper)),
    (exponential_taper, 0.3, 0.50, by_hand(0.30, "linear", of=exponential_taper)),
    (two_piece_taper, 0.25, 0.10, by_hand(0.05, "half of 0.10", of=two_piece_taper)),
    (two_piece_taper, 0.75, 0.10, by_hand(0.55, "half way from 0.10 to 1", of=two_piece_taper)),
    (two_piece_taper, 0.5, 0.15, by_hand(0.15, "where the pieces meet", of=two_piece_taper)),
]


@pytest.mark.parametrize(("law", "rotation", "mid", "expected"), TAPERS)
def test_a_law_at_a_rotation(law: Callable[..., Any], rotation: float, mid: float, expected: Expected) -> None:
    """The smooth law and the two straight pieces of commercial tracks."""
    assert law(rotation, mid) == expected


@given(st.floats(0.02, 0.98), st.floats(0.0, 1.0), st.floats(0.0, 1.0))
def test_every_law_rises_from_nothing_to_the_whole(mid: float, one: float, other: float) -> None:
    """Ends at 0 and 1, never falls on the way."""
    low, high = sorted((one, other))
    for law in (exponential_taper, two_piece_taper):
        assert law(0.0, mid) == pytest.approx(0.0, abs=1e-12)
        assert law(1.0, mid) == pytest.approx(1.0)
        assert law(low, mid) <= law(high, mid) + 1e-9


MIDS = [
    (1.0, by_hand(0.400, "0.5 / 1.25", of=loaded_fraction)),
    (0.5, by_hand(0.333, "0.25 / 0.75", of=loaded_fraction, rel=2e-3)),
    (0.2, by_hand(0.222, "0.1 / 0.45", of=loaded_fraction, rel=2e-3)),
    (1 / 6, by_hand(0.200, "(1/12) / (5/12)", of=loaded_fraction)),
    (0.15, by_hand(0.1875, "0.075 / 0.4", of=loaded_fraction)),
    (3 / 28, by_hand(0.150, "(3/56) / (10/28)", of=loaded_fraction)),
    (0.1, by_hand(0.143, "0.05 / 0.35", of=loaded_fraction, rel=2e-3)),
    (1 / 16, by_hand(0.100, "(1/32) / (5/16)", of=loaded_fraction)),
]


@pytest.mark.parametrize(("load", "expected"), MIDS)
def test_a_load_pulls_a_linear_track_down_at_half_rotation(load: float, expected: Expected) -> None:
    """0.5 k / (k + 0.25)."""
    assert loaded_fraction(0.5, load) == expected
    assert loaded_taper(0.5, 0.5, load) == expected


QUARTERS = [
    (0.25, by_hand(0.0909, "0.25 k / (k + 0.1875), k = 3/28", of=loaded_taper)),
    (0.75, by_hand(0.273, "0.75 k / (k + 0.1875), k = 3/28", of=loaded_taper, rel=2e-3)),
]


@pytest.mark.parametrize(("rotation", "expected"), QUARTERS)
def test_the_fifteen_per_cent_law_at_a_quarter_and_three_quarters(rotation: float, expected: Expected) -> None:
    """A linear track with a load of 3/28 of it."""
    assert loaded_taper(rotation, 0.5, 3 / 28) == expected


LOADS = [
    (0.15, by_hand(0.1071, "3 / 28", of=load_for_mid)),
    (0.10, by_hand(0.0625, "1 / 16", of=load_for_mid)),
    (0.40, by_hand(1.0, "0.4 / 0.4", of=load_for_mid)),
]


@pytest.mark.parametrize(("mid", "expected"), LOADS)
def test_the_load_for_a_law_is_far_below_the_track(mid: float, expected: Expected) -> None:
    """Half to one track, as k0cq advises, gives 33 to 40 % and no logarithmic law."""
    assert load_for_mid(mid) == expected
    assert loaded_fraction(0.5, load_for_mid(mid)) == pytest.approx(mid)


INPUTS = [((500e3, 1 / 16), by_hand(29.4e3, "500k parallel to 31.25k", of=loaded_input))]


@pytest.mark.parametrize(("args", "expected"), INPUTS)
def test_a_faked_log_control_loads_its_source(args: tuple[float, float], expected: Expected) -> None:
    """Behind a detector of some hundred kilohms nothing would be left."""
    assert loaded_input(*args) == expected


ACROSS = [
    ((1e6, 500e3), by_hand(1e6, "1M and 1M make 500k", of=across_track)),
    ((500e3, 1e6 / 3), by_hand(1e6, "500k and 1M make 333.3k", of=across_track)),
    ((1e6, 319.7e3), by_hand(470e3, "1M and 470k make 319.7k", of=across_track)),
    ((1e6, 687.5e3), by_hand(2.2e6, "1M and 2.2M make 687.5k", of=across_track)),
    ((2.2e6, 1.1e6), by_hand(2.2e6, "2.2M and 2.2M make 1.1M", of=across_track)),
]


@pytest.mark.parametrize(("args", "expected"), ACROSS)
def test_a_resistor_across_the_track_brings_it_down(args: tuple[float, float], expected: Expected) -> None:
    """End to end; the law of a divider stays."""
    assert across_track(*args) == expected


def test_no_resistor_brings_a_track_up() -> None:
    """A track too low has no answer, one that is right needs none."""
    assert math.isnan(across_track(470e3, 500e3))
    assert math.isinf(across_track(500e3, 500e3))


SHUNTED = [
    ((1.0, 100e3, 100e3), by_hand(50e3, "100k and 100k", of=shunted_rheostat)),
    ((0.5, 100e3, 100e3), by_hand(33.3e3, "50k and 100k", of=shunted_rheostat, rel=2e-3)),
]


@pytest.mark.parametrize(("args", "expected"), SHUNTED)
def test_a_resistor_across_a_rheostat_bends_its_law(args: tuple[float, ...], expected: Expected) -> None:
    """Half the rotation is two thirds of the whole."""
    assert shunted_rheostat(*args) == expected


BORNE = [
    ((0.25, 50e3), by_hand(2.24e-3, "sqrt(0.25 / 50 000)", of=track_current, rel=2e-3)),
    ((0.12, 500e3), by_hand(0.490e-3, "sqrt(0.12 / 500 000)", of=track_current)),
    ((0.05, 50e3), by_hand(1.0e-3, "sqrt(0.05 / 50 000)", of=track_current)),
]


@pytest.mark.parametrize(("args", "expected"), BORNE)
def test_any_part_of_a_track_bears_the_same_current(args: tuple[float, float], expected: Expected) -> None:
    """The square root of power over resistance."""
    assert track_current(*args) == expected


VOLTS = [
    ((0.25, 50e3, 350.0), by_hand(111.8, "sqrt(0.25 · 50 000)", of=rated_voltage)),
    ((0.12, 500e3, 350.0), by_hand(244.9, "sqrt(0.12 · 500 000)", of=rated_voltage)),
    ((0.25, 500e3, 350.0), published(350.0, "omegeco", of=rated_voltage, where="16 mm, limit 350 V DC")),
    ((0.4, 1e6, 500.0), published(500.0, "omegp20", of=rated_voltage, where="20 mm, limit 500 V DC")),
    ((0.05, 50e3, 50.0), published(50.0, "sanni", of=rated_voltage, where="9 mm, limit 50 V AC")),
]


@pytest.mark.parametrize(("args", "expected"), VOLTS)
def test_power_or_the_limit_of_the_body_rates_the_volts(args: tuple[float, ...], expected: Expected) -> None:
    """The table of sizes: 20, 16 and 9 mm."""
    assert rated_voltage(*args) == expected


PROMISES: list[tuple[Callable[..., Any], tuple[float, ...]]] = [
    (taper_base, (0.2,)), (exponential_taper, (0.3, 0.2)), (two_piece_taper, (0.3, 0.2)), (level, (0.3,)),
    (loaded_fraction, (0.4, 0.2)), (loaded_taper, (0.4, 0.2, 0.3)), (load_for_mid, (0.15,)), (loaded_input, (5e5, 0.1)),
    (across_track, (1e6, 4e5)), (shunted_rheostat, (0.5, 1e5, 1e5)), (track_current, (0.25, 5e4)),
]  # fmt: skip


@pytest.mark.parametrize(("function", "args"), PROMISES, ids=[f.__name__ for f, _ in PROMISES])
def test_floats_give_floats_arrays_equal_scalars_and_nan_stays(
    function: Callable[..., Any], args: tuple[float, ...]
) -> None:
    """What every formula owes."""
    assert breaches(function, args, {}) == []
