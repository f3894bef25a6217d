"""The exact assignment, held against ways of finding it that have nothing in common with it."""

from __future__ import annotations

import functools
import itertools
import random
from collections import Counter

import numpy as np
import pytest
from scipy.optimize import linear_sum_assignment

from partsbin.jobs.assignment import CARE, FITS, MEASURE, Piece, Section, Way, assign
from partsbin.jobs.plan_whole import assign_whole

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


def _joined(seed: int) -> tuple[list[int], list[int], list[Way]]:
    """Four needs and four parts of few pieces, with single parts, pairs and three of one."""
    draw = random.Random(seed)
    wanted = [draw.randint(1, 2) for _ in range(4)]
    pieces = [draw.randint(1, 4) for _ in range(4)]
    ways = []
    for need in range(4):
        for parts in (
            [(p,) for p in range(4)] + list(itertools.combinations_with_replacement(range(4), 2)) + [(0, 0, 0)]
        ):
            if draw.random() < (0.3 if len(parts) == 1 else 0.25):
                verdict = draw.choice((FITS, CARE, MEASURE) if len(parts) == 1 else (FITS, CARE, CARE, MEASURE))
                kept = draw.choice((0, 0, 0, 1))
                ways.append(Way(need, parts[0], verdict, round(draw.random(), 3), kept, parts[1:]))
    return wanted, pieces, ways


def _worth(ways: list[Way], flows: list[int]) -> tuple[float, ...]:
    *whole, score = _value(ways, flows)
    return (*whole, sum(n * len(way.more) for way, n in zip(ways, flows, strict=True)), score)


def _best_by_trying(wanted: list[int], pieces: list[int], ways: list[Way]) -> tuple[float, ...]:
    """Way after way, each as often as it may; of what is left the same, the best is remembered."""

    @functools.cache
    def best(at: int, open_: tuple[int, ...], left: tuple[int, ...]) -> tuple[float, ...]:
        if at == len(ways):
            return (0, 0, 0, 0, 0, 0.0)
        way, found = ways[at], []
        for number in range(open_[way.need] + 1):
            rest = [pieces - number * way.uses.get(part, 0) for part, pieces in enumerate(left)]
            if min(rest) < 0:
                break
            wants = tuple(n - number * (need == way.need) for need, n in enumerate(open_))
            own = _worth([way], [number])
            found.append(tuple(a + b for a, b in zip(own, best(at + 1, wants, tuple(rest)), strict=True)))
        return min(found)

    return best(0, tuple(wanted), tuple(pieces))


@pytest.mark.parametrize("seed", range(200))
def test_with_parts_joined_no_other_way_of_sharing_is_better(seed: int) -> None:
    """Every way of sharing is tried, by a search that has nothing in common with the solver."""
    wanted, pieces, ways = _joined(seed)
    found = assign(wanted, pieces, ways)
    took: Counter[int] = Counter()
    for way, number in zip(ways, found, strict=True):
        for part, uses in way.uses.items():
            took[part] += number * uses
    assert all(took[part] <= there for part, there in enumerate(pieces))
    assert all(
        sum(n for way, n in zip(ways, found, strict=True) if way.need == need) <= wants
        for need, wants in enumerate(wanted)
    )
    assert _worth(ways, found) == pytest.approx(_best_by_trying(wanted, pieces, ways))


@pytest.mark.parametrize("seed", range(40))
def test_with_parts_joined_it_is_never_worse_than_taking_the_best_one_after_the_other(seed: int) -> None:
    """Need by need, the best verdict that is left."""
    wanted, pieces, ways = _joined(1000 + seed)
    left, flows = list(pieces), [0] * len(ways)
    for need, wants in enumerate(wanted):
        own = sorted((w.verdict, len(w.more), w.score, i) for i, w in enumerate(ways) if w.need == need)
        for _, _, _, index in own:
            number = min(wants, *(left[part] // uses for part, uses in ways[index].uses.items()))
            flows[index], wants = number, wants - number
            for part, uses in ways[index].uses.items():
                left[part] -= number * uses
    assert _worth(ways, assign(wanted, pieces, ways)) <= _worth(ways, flows)


def test_a_pair_gives_way_where_a_single_part_leaves_more_served() -> None:
    """Taking the best one after the other would spend both pieces on the first need."""
    ways = [Way(0, 0, FITS, 0.0, 0, (0,)), Way(0, 1, CARE, 0.5), Way(1, 0, FITS, 0.0), Way(2, 0, FITS, 0.0)]
    assert assign([1, 1, 1], [2, 1], ways) == [0, 1, 1, 1]


def _cans(seed: int) -> tuple[list[int], list[int], list[Way], list[Piece]]:
    """As above, with two pieces of cans whose three sections may serve needs alone or two together."""
    wanted, pieces, ways = _joined(seed)
    draw = random.Random(f"cans {seed}")
    cans = []
    for _ in range(2):
        sections, taken = [], []
        for need in range(4):
            for own in ((0,), (1,), (2,), (0, 1)):
                if draw.random() < 0.4:
                    sections.append(Section(need, draw.choice((FITS, CARE, MEASURE)), round(draw.random(), 3)))
                    taken.append(own)
        limits = [([at for at, own in enumerate(taken) if section in own], 1) for section in range(3)]
        limits.append(([at for at, section in enumerate(sections) if section.need == 0], 1))
        cans.append(Piece(draw.randrange(4), draw.random() < 0.3, tuple(sections), tuple(limits)))
    return wanted, pieces, draw.sample(ways, min(len(ways), 8)), cans


def _worth_of_can(can: Piece, places: tuple[int, ...]) -> tuple[float, ...]:
    """What a piece of a can adds: a place for each section that serves, one part for all of them."""
    if not places:
        return (0, 0, 0, 0, 0, 0.0)
    verdicts = [can.sections[at].verdict for at in places]
    score = round(sum(can.sections[at].score for at in places), 6)
    return (-len(places), verdicts.count(MEASURE), verdicts.count(CARE), int(not can.kept), 1 - len(places), score)


def _moved(ways: list[Way], flows: list[int]) -> tuple[float, ...]:
    """The worth with what is moved counted, not what is kept: a can is one piece for several places."""
    served, measure, care, kept, parts, score = _worth(ways, flows)
    return (served, measure, care, kept - served, parts, score)


def _allowed(can: Piece) -> list[tuple[int, ...]]:
    every = range(len(can.sections))
    return [
        places
        for size in range(4)
        for places in itertools.combinations(every, size)
        if all(len(set(some) & set(places)) <= most for some, most in can.limits)
    ]


def _best_with_cans(wanted: list[int], pieces: list[int], ways: list[Way], cans: list[Piece]) -> tuple[float, ...]:
    """Every choice of sections of both cans is tried, then way after way for what is left."""

    @functools.cache
    def best(at: int, open_: tuple[int, ...], left: tuple[int, ...]) -> tuple[float, ...]:
        if at == len(ways):
            return (0, 0, 0, 0, 0, 0.0)
        way, found = ways[at], []
        for number in range(open_[way.need] + 1):
            rest = [there - number * way.uses.get(part, 0) for part, there in enumerate(left)]
            if min(rest) < 0:
                break
            wants = tuple(n - number * (need == way.need) for need, n in enumerate(open_))
            own = _moved([way], [number])
            found.append(tuple(a + b for a, b in zip(own, best(at + 1, wants, tuple(rest)), strict=True)))
        return min(found)

    found = []
    for chosen in itertools.product(*map(_allowed, cans)):
        open_, left = list(wanted), list(pieces)
        for can, places in zip(cans, chosen, strict=True):
            left[can.part] -= bool(places)
            for at in places:
                open_[can.sections[at].need] -= 1
        if min(open_) < 0 or min(left) < 0:
            continue
        own = [_worth_of_can(can, places) for can, places in zip(cans, chosen, strict=True)]
        found.append(tuple(map(sum, zip(*own, best(0, tuple(open_), tuple(left)), strict=True))))
    return min(found)


@pytest.mark.parametrize("seed", range(60))
def test_with_cans_that_serve_several_needs_no_other_way_of_sharing_is_better(seed: int) -> None:
    """Sections go to one need each, a can is one piece, and nothing serves more than it may."""
    wanted, pieces, ways, cans = _cans(seed)
    flows, cut = assign_whole(wanted, pieces, ways, cans)
    own = [_worth_of_can(can, tuple(places)) for can, places in zip(cans, cut, strict=True)]
    assert all(tuple(places) in _allowed(can) for can, places in zip(cans, cut, strict=True))
    worth = tuple(map(sum, zip(*own, _moved(ways, flows), strict=True)))
    assert worth == pytest.approx(_best_with_cans(wanted, pieces, ways, cans))
