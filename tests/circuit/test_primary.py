"""The primary: its current and fuse, switch-on, bucking."""

from __future__ import annotations

from typing import Any

import pytest

from partsbin.circuit.primary import bucked, fuse_window, inrush_bound, lamp_limited
from tests.circuit.shapes import breaches
from tests.expected import Expected, by_hand, published

FUSES = [
    (0, (60.0, 230.0), by_hand(0.2609, "60 / 230", of=fuse_window)),
    (1, (60.0, 230.0), by_hand(0.3913, "1.5 · 0.2609", of=fuse_window)),
    (2, (60.0, 230.0), by_hand(0.5217, "2 · 0.2609: T 500 mA", of=fuse_window)),
]


@pytest.mark.parametrize(("which", "args", "expected"), FUSES)
def test_the_fuse_is_once_and_a_half_to_twice_the_primary(
    which: int, args: tuple[float, float], expected: Expected
) -> None:
    """A receiver of 60 VA."""
    assert fuse_window(*args)[which] == expected


INRUSH = [
    ((253.0, 30.0), by_hand(11.93, "1.41421 · 253 / 30", of=inrush_bound)),
    ((230.0, 100.0), by_hand(3.253, "1.41421 · 230 / 100", of=inrush_bound)),
]


@pytest.mark.parametrize(("args", "expected"), INRUSH)
def test_the_inrush_is_bounded_by_the_copper(args: tuple[float, float], expected: Expected) -> None:
    """The iron saturated, at a crest."""
    assert inrush_bound(*args) == expected


LIMITED = [
    (0, (100.0, 230.0, 100.0), by_hand(0.2619, "(1 - x)^0.55 = x at x = 0.6023; 100 · 0.6023 / 230", of=lamp_limited)),
    (1, (100.0, 230.0, 100.0), by_hand(138.5, "0.6023 · 230", of=lamp_limited)),
    (0, (1e9, 230.0, 100.0), by_hand(0.4348, "a short: the lamp alone, 100 / 230", of=lamp_limited)),
    (1, (0.01, 230.0, 100.0), by_hand(230.0, "a set that draws nothing has all the mains", of=lamp_limited)),
]


@pytest.mark.parametrize(("which", "args", "expected"), LIMITED)
def test_a_lamp_in_series_limits_a_set(which: int, args: tuple[float, ...], expected: Expected) -> None:
    """As much as the lamp itself draws, and no more."""
    assert lamp_limited(*args)[which] == expected


BUCKED = [
    (0, (122.0, 12.0, 0.5), published(110.0, "boatanchors-1997", of=bucked, where="12 V against 122 V")),
    (0, (124.0, 12.0, 0.5), published(112.5, "boatanchors-1997", of=bucked, where="to 110 to 115 V", rel=0.025)),
    (1, (122.0, 12.0, 0.5), by_hand(6.0, "12 · 0.5", of=bucked)),
]


@pytest.mark.parametrize(("which", "args", "expected"), BUCKED)
def test_a_winding_in_opposition_lowers_the_mains(which: int, args: tuple[float, ...], expected: Expected) -> None:
    """By its own volts; its transformer carries only those."""
    assert bucked(*args)[which] == expected


@pytest.mark.parametrize(
    ("function", "args", "known"),
    [
        (fuse_window, (60.0, 230.0), []),
        (inrush_bound, (253.0, 30.0), []),
        (lamp_limited, (60.0, 230.0, 100.0), []),
        (bucked, (122.0, 12.0, 0.5), [f"NaN as argument {i} does not give NaN" for i in (0, 2)]),
    ],
)
def test_primary_formulas_keep_their_shape(function: Any, args: tuple[float, ...], known: list[str]) -> None:
    """Float in, float out; array equals scalar; NaN in, NaN out, but for what does not rest on it."""
    assert breaches(function, args, {}) == known
