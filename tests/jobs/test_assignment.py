"""The exact assignment, held against ways of finding it that have nothing in common with it."""

from __future__ import annotations

import itertools
import random

import numpy as np
import pytest
from scipy.optimize import linear_sum_assignment

from partsbin.jobs.assignment import CARE, FITS, MEASURE, Way, assign

Value = tuple[int, int, int, int, float]


def _instance(seed: int, needs: int, parts: int, most: int) -> tuple[list[int], list[int], list[Way]]:
    draw = random.Random(seed)
    wanted = [draw.randint(1, most) for _ in range(needs)]
    pieces = [draw.randint(1, most) for _ in range(parts)]
    ways = [
        Way(n, p, draw.choice((FITS, FITS, CARE, MEASURE)), round(draw.random(), 3), draw.choice((0, 0, 0, 1)))
        for n in range(needs)
        for p in range(parts)
        if draw.random() < 0.5
    ]
    return wanted, pieces, ways


def _value(ways: list[Way], flows: list[int] | tuple[int, ...]) -> Value:
    """What is to be as small as it can be, the first aim first."""
    pairs = list(zip(ways, flows, strict=True))
    return (
        -sum(flows),
        sum(n for way, n in pairs if way.verdict == MEASURE),
        sum(n for way, n in pairs if way.verdict == CARE),
        -sum(min(n, way.kept) for way, n in pairs),
        round(sum(n * way.score for way, n in pairs), 6),
    )


def _possible(wanted: list[int], pieces: list[int], ways: list[Way], flows: list[int] | tuple[int, ...]) -> bool:
    got, gave = [0] * len(wanted), [0] * len(pieces)
    for way, number in zip(ways, flows, strict=True):
        got[way.need] += number
        gave[way.part] += number
    return all(a <= b for a, b in zip(got, wanted, strict=True)) and all(
        a <= b for a, b in zip(gave, pieces, strict=True)
    )


@pytest.mark.parametrize("seed", range(60))
def test_no_other_way_of_sharing_is_better(seed: int) -> None:
    """Every way of sharing out a small shelf is tried."""
    wanted, pieces, ways = _instance(seed, 3, 3, 2)
    ways = ways[:7]
    every = itertools.product(*(range(min(wanted[way.need], pieces[way.part]) + 1) for way in ways))
    best = min(_value(ways, flows) for flows in every if _possible(wanted, pieces, ways, flows))
    found = assign(wanted, pieces, ways)
    assert _possible(wanted, pieces, ways, found)
    assert _value(ways, found) == pytest.approx(best)


@pytest.mark.parametrize("seed", range(200))
def test_single_pieces_are_shared_as_the_assignment_problem_says(seed: int) -> None:
    """scipy's solver of the assignment problem, with a price that no number of later aims outweighs, gives the same."""
    _, _, ways = _instance(seed, 12, 15, 1)
    ways = [Way(way.need, way.part, way.verdict, way.score) for way in ways]
    price = np.zeros((12, 15 + 12))  # a need may stay without: a column of its own
    price[:, :15] = 1e6
    for way in ways:
        price[way.need, way.part] = -1e6 + {FITS: 0.0, CARE: 100.0, MEASURE: 10_000.0}[way.verdict] + way.score
    rows, columns = linear_sum_assignment(price)
    known = {(way.need, way.part): way for way in ways}
    chosen = [known[pair] for pair in zip(rows.tolist(), columns.tolist(), strict=True) if pair in known]
    best = _value(chosen, [1] * len(chosen))
    assert _value(ways, assign([1] * 12, [1] * 15, ways)) == pytest.approx(best)


@pytest.mark.parametrize("seed", range(40))
def test_it_is_never_worse_than_taking_the_best_one_after_the_other(seed: int) -> None:
    """Need by need in their order, each the best that is left."""
    wanted, pieces, ways = _instance(seed, 10, 10, 3)
    left, flows = list(pieces), [0] * len(ways)
    for need in range(len(wanted)):
        open_, own = wanted[need], sorted((w.verdict, w.score, i) for i, w in enumerate(ways) if w.need == need)
        for _, _, index in own:
            taken = min(open_, left[ways[index].part])
            flows[index], open_ = taken, open_ - taken
            left[ways[index].part] -= taken
    assert _value(ways, assign(wanted, pieces, ways)) <= _value(ways, flows)


def test_nothing_to_share_is_no_plan() -> None:
    """No way, no pieces."""
    assert assign([1, 2], [], []) == []
