"""Parts in the order of their bounds: the best place that each could have, from its search keys alone."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush, merge
from itertools import islice
from typing import Any

import numpy as np
import numpy.typing as npt

from partsbin.checks import Verdict
from partsbin.matching.candidates import Rank, misses
from partsbin.matching.judge import Judgement
from partsbin.matching.keyrows import Alike, KeyRows
from partsbin.stock.keys import MISSING_OTHER, OPTIONS_A_PART

Bound = tuple[Rank, int]
"""The best place that a part can have, and its id."""

CHUNK = 128


class Line:
    """Parts in the order of their bounds, with a look ahead.

    Parameters
    ----------
    *bounds : iterable of Bound
        Each in order.
    """

    def __init__(self, *bounds: Iterable[Bound]) -> None:
        self._bounds = merge(*bounds)
        self._next: list[Bound] = []

    def first(self, n: int) -> list[Bound]:
        """Return the first n, or what there is."""
        self._next += islice(self._bounds, max(0, n - len(self._next)))
        return self._next[:n]

    def drop(self, n: int) -> None:
        """Forget the first n."""
        del self._next[:n]


@dataclass(frozen=True)
class Bounds:
    """Options that a list may want, in the order of the best place that each can have.

    Parameters
    ----------
    columns : sequence of array
        What the order looks at before promise and id.
    rows : KeyRows
        The options' keys.
    chosen : array
        Which rows may be wanted.
    """

    columns: Sequence[npt.NDArray[Any]]
    rows: KeyRows
    chosen: npt.NDArray[np.intp]

    def heads(self) -> Iterator[tuple[Rank, int]]:
        """Yield bounds and rows in order, in chunks: most searches need no second one."""
        columns = [*self.columns, self.rows.promise, self.rows.id]
        order = self.chosen[np.lexsort([column[self.chosen] for column in reversed(columns)])]
        for start in range(0, len(order), CHUNK):
            some = order[start : start + CHUNK]
            yield from zip(zip(*(column[some].tolist() for column in columns), strict=True), some.tolist(), strict=True)

    def numbers(self) -> Iterator[tuple[Rank, int]]:
        """Yield bounds in order, and how many options have each."""
        for rank, index in self.heads():
            yield rank, self.rows.alike[index].number if index in self.rows.alike else 1

    def __iter__(self) -> Iterator[Bound]:
        """Yield parts in order; those that are alike are read when the turn of their row comes."""
        waiting: list[tuple[Rank, Iterator[Rank]]] = []
        for rank, index in self.heads():
            yield from _before(rank, waiting)
            if index in self.rows.alike:
                _wait(waiting, _members(rank, self.rows.alike[index]))
            else:
                yield rank, _part(rank)
        yield from _before((math.inf,), waiting)


def usable_bounds(rows: KeyRows, judged: Judgement) -> Bounds:
    """Return what may fit, with or without care."""
    return Bounds([judged.verdict, judged.score], rows, np.flatnonzero(judged.verdict <= Verdict.CARE))


def measure_bounds(rows: KeyRows, judged: Judgement, *, valued: bool = True, told_all: bool = False) -> Bounds:
    """Return what may have to be measured.

    A complete option is never sent to be measured for a datum outside its keys, nor is any where these tell all that the need
    asks: its bound there is its verdict.
    """
    incomplete = ((rows.missing & MISSING_OTHER) > 0) & (not told_all)
    chosen = np.flatnonzero((judged.verdict < Verdict.UNFIT) & ((judged.verdict == Verdict.MEASURE) | incomplete))
    unvalued = np.full(len(rows), 0.0 if valued else 1.0)
    score = judged.score if valued else np.zeros(len(rows))
    return Bounds([np.maximum(judged.owed, 1), unvalued, score], rows, chosen)


def miss_bounds(rows: KeyRows, judged: Judgement) -> Bounds:
    """Return what its keys alone refuse, the narrowest miss first."""
    return Bounds([*misses(judged), judged.score], rows, np.flatnonzero(judged.verdict == Verdict.UNFIT))


def enough(read: Iterable[Bounds], k: int, beyond: Rank) -> bool:
    """Return whether the bounds of k options lie before a place: if not, what lies there must be read in any case."""
    count = 0
    for rank, number in merge(*(bounds.numbers() for bounds in read)):
        if not rank < beyond:
            return False
        count += number
        if count >= k:
            return True
    return False


def _before(rank: Rank, waiting: list[tuple[Rank, Iterator[Rank]]]) -> Iterator[Bound]:
    while waiting and waiting[0][0] < rank:
        first, rest = heappop(waiting)
        yield first, _part(first)
        _wait(waiting, rest)


def _members(least: Rank, alike: Alike) -> Iterator[Rank]:
    for promise, ident in alike:
        yield (*least[:-2], promise, ident)


def _wait(waiting: list[tuple[Rank, Iterator[Rank]]], ranks: Iterator[Rank]) -> None:
    first = next(ranks, None)
    if first is not None:
        heappush(waiting, (first, ranks))


def _part(rank: Rank) -> int:
    return int(rank[-1]) // OPTIONS_A_PART
