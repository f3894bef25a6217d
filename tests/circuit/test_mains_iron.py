"""Mains transformers: power from the core, regulation, the resistance that a load sees."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.circuit.mains_iron import (
    core_area,
    core_rating,
    path_resistance,
    regulation,
    regulation_of_copper,
    windings_power,
)
from tests.circuit.shapes import breaches
from tests.expected import Expected, by_hand, published

SQUARE_INCH = 6.4516e-4
CORES = [
    ((15e-4, 50.0), published(144.0, "audiokit-core", of=core_rating, where="5 by 3 cm")),
    ((15e-4, 50.0), published(140.5, "golborne-29783", of=core_rating, where="26 A² in square inches", rel=0.03)),
    ((SQUARE_INCH, 50.0), published(26.0, "golborne-29783", of=core_rating, where="one square inch", rel=0.03)),
    ((1.5 * SQUARE_INCH, 50.0), published(58.5, "golborne-29783", of=core_rating, where="26 · 1.5²", rel=0.03)),
    ((2 * SQUARE_INCH, 50.0), published(104.0, "golborne-29783", of=core_rating, where="26 · 2²", rel=0.03)),
    ((SQUARE_INCH, 60.0), published(31.1, "hazchem-core", of=core_rating, where="60 Hz, one square inch", rel=0.03)),
    ((15e-4, 50.0), published(140.3, "hazchem-core", of=core_rating, where="A² / 16042 in mm²", rel=0.03)),
    ((15e-4, 60.0), by_hand(172.8, "144 · 60 / 50", of=core_rating)),
]


@pytest.mark.parametrize(("args", "expected"), CORES)
def test_the_core_says_what_a_transformer_delivers(args: tuple[float, float], expected: Expected) -> None:
    """Three sources within three per cent."""
    assert core_rating(*args) == expected


AREAS = [
    ((144.0, 50.0), published(15e-4, "audiokit-core", of=core_area, where="5 by 3 cm for 144 VA")),
    ((26.0, 50.0), published(SQUARE_INCH, "golborne-29783", of=core_area, where="26 VA a square inch", rel=0.02)),
]


@pytest.mark.parametrize(("args", "expected"), AREAS)
def test_a_power_asks_for_a_core(args: tuple[float, float], expected: Expected) -> None:
    """The formula the other way round."""
    assert core_area(*args) == expected


@given(st.floats(1e-5, 1e-1), st.floats(40, 70))
def test_core_and_power_are_inverse(area: float, frequency: float) -> None:
    """There and back."""
    assert core_area(core_rating(area, frequency), frequency) == pytest.approx(area)


POWERS = [
    (
        (400.0, 0.2025, 63.0),
        published(144.0, "audiokit-core", of=windings_power, where="63 VA of heaters, 0.2 A", rel=5e-3),
    ),
    ((250.0, 0.2, 6.3 * 2.16), by_hand(63.61, "50 + 13.608", of=windings_power)),
    ((250.0, 0.2), by_hand(50.0, "no heaters", of=windings_power)),
]


@pytest.mark.parametrize(("args", "expected"), POWERS)
def test_the_windings_share_the_power_of_the_core(args: tuple[float, ...], expected: Expected) -> None:
    """The sum of volts times amperes."""
    assert windings_power(*args) == expected


REGULATIONS = [
    ((11.0, 10.0), published(0.10, "talema", of=regulation, where="11 V off load, 10 V loaded")),
    ((6.93, 6.3), by_hand(0.10, "0.63 / 6.3", of=regulation)),
]


@pytest.mark.parametrize(("args", "expected"), REGULATIONS)
def test_regulation_is_over_the_loaded_volts(args: tuple[float, float], expected: Expected) -> None:
    """Not over those off load, which would say 9.1 %."""
    assert regulation(*args) == expected


PATHS = [
    ((150.0, 30.0, 250.0, 230.0), by_hand(185.4, "150 + 30 · 1.0870²", of=path_resistance)),
    ((0.1, 30.0, 6.3, 230.0), by_hand(0.12251, "0.1 + 30 · 0.027391²", of=path_resistance)),
]


@pytest.mark.parametrize(("args", "expected"), PATHS)
def test_the_primary_is_seen_through_the_turns(args: tuple[float, ...], expected: Expected) -> None:
    """By the square of the ratio."""
    assert path_resistance(*args) == expected


COPPER = [
    ((6.93, 0.3, 2.1), by_hand(0.1, "0.63 / 6.3", of=regulation_of_copper)),
    ((11.0, 1.0, 1.0), published(0.10, "talema", of=regulation_of_copper, where="1 V lost of 11 V")),
]


@pytest.mark.parametrize(("args", "expected"), COPPER)
def test_regulation_follows_from_the_copper(args: tuple[float, ...], expected: Expected) -> None:
    """What the copper takes over what is left."""
    assert regulation_of_copper(*args) == expected


def test_copper_that_takes_everything_regulates_without_end() -> None:
    """Nothing is left."""
    assert regulation_of_copper(6.3, 10.0, 1.0) == math.inf


@given(st.floats(1, 500), st.floats(1e-3, 10), st.floats(1e-3, 0.09))
def test_both_regulations_agree(off_load: float, resistance: float, current: float) -> None:
    """From two readings, and from the copper that lies between them."""
    loaded = off_load - resistance * current
    assert regulation_of_copper(off_load, resistance, current) == pytest.approx(regulation(off_load, loaded), abs=1e-9)


@pytest.mark.parametrize(
    ("function", "args"),
    [
        (core_rating, (15e-4, 50.0)),
        (core_area, (144.0, 50.0)),
        (windings_power, (400.0, 0.2, 63.0)),
        (regulation, (11.0, 10.0)),
        (path_resistance, (150.0, 30.0, 250.0, 230.0)),
        (regulation_of_copper, (6.93, 0.3, 2.1)),
    ],
)
def test_iron_formulas_keep_their_shape(function: Any, args: tuple[float, ...]) -> None:
    """Float in, float out; array equals scalar; NaN in, NaN out."""
    assert breaches(function, args, {}) == []
