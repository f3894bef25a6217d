"""Parts in the order of their bounds: the best place that each could have, from its search keys alone."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from heapq import heappop, heappush
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

CHUNK = 512


class Line:
    """Parts in the order of their bounds, with a look ahead.

    Parameters
    ----------
    bounds : iterator of Bound
        In order.
    """

    def __init__(self, bounds: Iterator[Bound]) -> None:
        self._bounds = bounds
        self._next: list[Bound] = []

    def first(self, n: int) -> list[Bound]:
        """Return the first n, or what there is."""
        self._next += islice(self._bounds, max(0, n - len(self._next)))
        return self._next[:n]

    def drop(self, n: int) -> None:
        """Forget the first n."""
        del self._next[:n]


def usable_bounds(rows: KeyRows, judged: Judgement) -> Iterator[Bound]:
    """Return what may fit, with or without care."""
    chosen = np.flatnonzero(judged.verdict <= Verdict.CARE)
    return _in_order([judged.verdict, judged.score], rows, chosen)


def measure_bounds(rows: KeyRows, judged: Judgement, *, valued: bool) -> Iterator[Bound]:
    """Return what may have to be measured.

    A complete option is never sent to be measured for a datum outside its keys: its bound there is its verdict.
    """
    incomplete = (rows.missing & MISSING_OTHER) > 0
    chosen = np.flatnonzero((judged.verdict < Verdict.UNFIT) & ((judged.verdict == Verdict.MEASURE) | incomplete))
    unvalued = np.full(len(rows), 0.0 if valued else 1.0)
    score = judged.score if valued else np.zeros(len(rows))
    return _in_order([np.maximum(judged.owed, 1), unvalued, score], rows, chosen)


def miss_bounds(rows: KeyRows, judged: Judgement) -> Iterator[Bound]:
    """Return what its keys alone refuse, the narrowest miss first."""
    return _in_order([*misses(judged), judged.score], rows, np.flatnonzero(judged.verdict == Verdict.UNFIT))


def _in_order(columns: Sequence[npt.NDArray[Any]], rows: KeyRows, chosen: npt.NDArray[np.intp]) -> Iterator[Bound]:
    """Yield parts by the columns, then promise and id; those that are alike are read when the turn of their row comes."""
    waiting: list[tuple[Rank, Iterator[Rank]]] = []
    for rank, index in _heads([*columns, rows.promise, rows.id], chosen):
        yield from _before(rank, waiting)
        if index in rows.alike:
            _wait(waiting, _members(rank, rows.alike[index]))
        else:
            yield rank, _part(rank)
    yield from _before((math.inf,), waiting)


def _heads(columns: Sequence[npt.NDArray[Any]], chosen: npt.NDArray[np.intp]) -> Iterator[tuple[Rank, int]]:
    """Yield rows in order, in chunks: most searches need no second one."""
    order = chosen[np.lexsort([column[chosen] for column in reversed(columns)])]
    for start in range(0, len(order), CHUNK):
        some = order[start : start + CHUNK]
        yield from zip(zip(*(column[some].tolist() for column in columns), strict=True), some.tolist(), strict=True)


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
