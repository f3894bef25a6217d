"""Pairs of values by two pointers, held against trying all of them."""

from __future__ import annotations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from partsbin.matching.make_ups.pairs import LEAST_SHARE, SLACK, pairs_within


@given(st.lists(st.integers(1, 400), max_size=30), st.integers(1, 500), st.integers(0, 300))
def test_the_pairs_are_those_that_trying_all_of_them_finds(values: list[int], low: int, width: int) -> None:
    """Each once, a value with itself too; whole numbers, so that no sum lies on a bound by rounding alone."""
    x = np.array(values, dtype=np.float64)
    one, two = pairs_within(x, low, low + width)
    found = sorted(tuple(sorted(pair)) for pair in zip(one.tolist(), two.tolist(), strict=True))
    every = [
        (i, j)
        for i in range(len(values))
        for j in range(i, len(values))
        if low <= values[i] + values[j] <= low + width
        and max(values[i], values[j]) <= min(values[i], values[j]) * (1 - LEAST_SHARE) / LEAST_SHARE * (1 + SLACK)
    ]
    assert found == every
