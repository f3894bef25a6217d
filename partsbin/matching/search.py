"""The search: read keys, bound, fetch, judge, stop when nothing unread can come before what is found.

The first k of each verdict are those that judging every part would give, in the same order.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from sqlalchemy import Connection

from partsbin.checks import Outcome, Verdict
from partsbin.families import Family
from partsbin.families._declare import Option, Search, columns_of
from partsbin.matching.judge import Judgement, distance_at, judge
from partsbin.matching.retrieve import KeyRows, count_unknown, near, rings, unknown_masks, unknown_value
from partsbin.needs import Need
from partsbin.stock.catalogue import Shelved, get
from partsbin.stock.keys import MISSING_OTHER, OPTIONS_A_PART, promise

Rank = tuple[float, ...]
MEASURE_SHOWN, NEAR_SHOWN, COUNTED = 10, 5, 1000
FETCH = 64


@dataclass(frozen=True, slots=True)
class Candidate:
    """One judged option of one part."""

    part: Shelved
    option: Option
    verdict: Verdict
    owed: int
    score: float
    terms: Mapping[str, float]
    rank: Rank


@dataclass
class Found:
    """What a search found: the first of each verdict, and how many more there are at best."""

    usable: list[Candidate]
    measure: list[Candidate]
    near: list[Candidate]
    more: dict[str, tuple[int, bool]] = field(default_factory=dict)


def usable_rank(verdict: float, score: float, order: float, ident: float) -> Rank:
    """Return the place among what fits or fits with care: verdict, score, promise, id."""
    return (verdict, score, order, ident)


def measure_rank(owed: float, valued: bool, score: float, order: float, ident: float) -> Rank:
    """Return the place among what must be measured: readings owed, value known before unknown, score, promise, id."""
    return (owed, 0.0 if valued else 1.0, score if valued else 0.0, order, ident)


def judge_options(
    family: Family, need: Need, search: Search, pairs: Sequence[tuple[Shelved, int, Option]]
) -> list[Candidate]:
    """Judge options in full."""
    if not pairs:
        return []
    columns = columns_of([option for _, _, option in pairs], family.quantities, family.words)
    result = judge(family, need, search, columns)
    valued = ~np.isnan(columns[family.keys.value])
    return [
        _candidate(part, option, number, result, index, bool(valued[index]))
        for index, (part, number, option) in enumerate(pairs)
    ]


def _candidate(part: Shelved, option: Option, number: int, result: Judgement, index: int, valued: bool) -> Candidate:
    verdict, owed, score = Verdict(int(result.verdict[index])), int(result.owed[index]), float(result.score[index])
    order = promise(part.item.condition, part.available, part.origin)
    ident = part.id * OPTIONS_A_PART + number
    rank = (
        measure_rank(owed, valued, score, order, ident)
        if verdict is Verdict.MEASURE
        else (usable_rank(verdict, score, order, ident))
    )
    terms = {name: float(values[index]) for name, values in result.terms.items() if values[index] > 0}
    return Candidate(part, option, verdict, owed, score, terms, rank)


class _Searcher:
    """Holds what has been judged so far, so that no option is fetched twice."""

    def __init__(self, connection: Connection, family: Family, need: Need, limit: int) -> None:
        self.connection, self.family, self.need, self.limit = connection, family, need, limit
        self.search = family.search(need)
        self.done: dict[int, Candidate] = {}
        self.parts: dict[int, list[tuple[Shelved, int, Option]]] = {}
        self.counts = {Verdict.FITS: 0, Verdict.CARE: 0, Verdict.MEASURE: 0}
        self.short = False

    def fetch(self, idents: Sequence[int]) -> None:
        """Judge options in full, by their key ids."""
        part_ids = sorted({ident // OPTIONS_A_PART for ident in idents} - set(self.parts))
        for part_id, part in get(self.connection, self.family, part_ids).items() if part_ids else ():
            made = self.family.options(part.item)
            self.parts[part_id] = [(part, number, option) for number, option in enumerate(made)]
        pairs = [self.parts[ident // OPTIONS_A_PART][ident % OPTIONS_A_PART] for ident in idents]
        for ident, candidate in zip(idents, judge_options(self.family, self.need, self.search, pairs), strict=True):
            self.done[ident] = candidate

    def best(self, wanted: Callable[[Verdict], bool], k: int) -> list[Candidate]:
        """Return the first k judged so far among the wanted verdicts."""
        return heapq.nsmallest(k, (c for c in self.done.values() if wanted(c.verdict)), key=lambda c: c.rank)

    def settle(
        self, bounds: Iterable[tuple[Rank, int]], wanted: Callable[[Verdict], bool], k: int, beyond: Rank | None
    ) -> bool:
        """Fetch in the order of the bounds until the k-th result beats the next; return whether it beats `beyond` too."""
        queue = sorted(bounds)
        size = FETCH
        for start in iter(lambda: self._skip_done(queue), len(queue)):
            kth = self._kth(wanted, k)
            if kth is not None and kth < queue[start][0]:
                break
            batch = []
            for bound, ident in queue[start:]:
                if ident not in self.done:
                    batch.append(ident)
                    if len(batch) == size:
                        break
            self.fetch(batch)
            size *= 2
        kth = self._kth(wanted, k)
        return kth is not None and beyond is not None and kth < beyond

    def _skip_done(self, queue: list[tuple[Rank, int]]) -> int:
        for index, (_, ident) in enumerate(queue):
            if ident not in self.done:
                return index
        return len(queue)

    def _kth(self, wanted: Callable[[Verdict], bool], k: int) -> Rank | None:
        first = self.best(wanted, k)
        return first[-1].rank if len(first) == k else None


def _usable(verdict: Verdict) -> bool:
    return verdict in (Verdict.FITS, Verdict.CARE)


def _measure(verdict: Verdict) -> bool:
    return verdict is Verdict.MEASURE


def run(connection: Connection, family: Family, need: Need, limit: int) -> Found:
    """Search the catalogue for one need.

    Parameters
    ----------
    connection : Connection
        Reading one state of the catalogue.
    family : Family
        Whose parts.
    need : Need
        What must be done.
    limit : int
        How many that fit, with or without care.

    Returns
    -------
    Found
        The first of each verdict, as judging every part would give them; near misses are limited by a stated order.
    """
    searcher = _Searcher(connection, family, need, limit)
    near_ids = _valued(searcher)
    unknown = _unvalued(searcher)
    closest = near(connection, family, searcher.search, 20)
    searcher.fetch([int(ident) for ident in closest.id if int(ident) not in searcher.done])
    searcher.fetch([ident for ident in near_ids if ident not in searcher.done])
    misses = [c for c in searcher.done.values() if c.verdict is Verdict.UNFIT]
    found = Found(
        searcher.best(_usable, limit),
        searcher.best(_measure, MEASURE_SHOWN),
        heapq.nsmallest(NEAR_SHOWN, misses, key=lambda c: nearness(family, need, searcher.search, c)),
    )
    shown = {
        c.verdict: sum(1 for d in (*found.usable, *found.measure) if d.verdict is c.verdict)
        for c in (*found.usable, *found.measure)
    }
    for verdict, count in searcher.counts.items():
        rest = count - shown.get(verdict, 0) + (unknown if verdict is Verdict.MEASURE else 0)
        if rest > 0:
            found.more[verdict.word] = (
                min(rest, COUNTED),
                rest >= COUNTED or (searcher.short and verdict is not Verdict.MEASURE),
            )
    return found


def _valued(searcher: _Searcher) -> list[int]:
    """Read the rings round the ideal; return the ids of some that a wall refused inside the window."""
    refused: list[tuple[float, int]] = []
    usable_done = measure_done = False
    for rows, factor in rings(searcher.connection, searcher.family, searcher.search):
        if not len(rows):
            continue
        bound = judge(searcher.family, searcher.need, searcher.search, rows.columns)
        edge = distance_at(searcher.need, factor) if math.isfinite(factor) else math.inf
        hopeful = bound.verdict < Verdict.UNFIT
        for verdict in searcher.counts:
            searcher.counts[verdict] += int((bound.verdict == verdict).sum())
        refused += sorted((float(bound.score[i]), int(rows.id[i])) for i in np.flatnonzero(~hopeful)[:200])[:20]
        last = math.isinf(factor)
        if not usable_done:
            chosen = np.flatnonzero(bound.verdict <= Verdict.CARE)
            bounds = [
                (
                    usable_rank(int(bound.verdict[i]), float(bound.score[i]), int(rows.promise[i]), int(rows.id[i])),
                    int(rows.id[i]),
                )
                for i in chosen
            ]
            beyond = None if last else usable_rank(Verdict.FITS, edge, -1, -1)
            usable_done = searcher.settle(bounds, _usable, searcher.limit, beyond)
        if not measure_done:
            # A complete option is never sent to be measured for a datum outside its keys, so its bound there is its verdict.
            chosen = np.flatnonzero(hopeful & ((bound.verdict == Verdict.MEASURE) | (rows.missing & MISSING_OTHER > 0)))
            bounds = [
                (
                    measure_rank(
                        max(int(bound.owed[i]), 1), True, float(bound.score[i]), int(rows.promise[i]), int(rows.id[i])
                    ),
                    int(rows.id[i]),
                )
                for i in chosen
            ]
            beyond = None if last else measure_rank(1, True, edge, -1, -1)
            measure_done = searcher.settle(bounds, _measure, MEASURE_SHOWN, beyond)
        if usable_done and measure_done:
            searcher.short = not last
            break
    return [ident for _, ident in sorted(refused)[:20]]


def _unvalued(searcher: _Searcher) -> int:
    """Read options of unknown value in the order of their promise; return how many there are, counted to 1,000."""
    for missing in unknown_masks(searcher.connection, searcher.family):
        for rows in unknown_value(searcher.connection, searcher.family, searcher.search, missing):
            if not len(rows):
                continue
            bound = judge(searcher.family, searcher.need, searcher.search, rows.columns)
            chosen = np.flatnonzero(bound.verdict < Verdict.UNFIT)
            bounds = [
                (
                    measure_rank(max(int(bound.owed[i]), 1), False, 0.0, int(rows.promise[i]), int(rows.id[i])),
                    int(rows.id[i]),
                )
                for i in chosen
            ]
            least_owed = 1
            beyond = measure_rank(least_owed, False, 0.0, int(rows.promise[-1]), int(rows.id[-1]))
            if searcher.settle(bounds, _measure, MEASURE_SHOWN, beyond):
                break
    return count_unknown(searcher.connection, searcher.family, searcher.search, COUNTED)


def nearness(family: Family, need: Need, search: Search, candidate: Candidate) -> Rank:
    """Return how narrowly an unfit option misses: failing checks, then how far the numbers fall short, then promise, id."""
    columns = columns_of([candidate.option], family.quantities, family.words)
    result = judge(family, need, search, columns)
    failing = [(check, ruling) for check, ruling in result.rulings if ruling.outcome[0] == Outcome.FAIL]
    return (len(failing), sum(_shortfall(ruling) for _, ruling in failing), *candidate.rank[2:])


def _shortfall(ruling: Any) -> float:
    """Logarithm of needed over offered, or of how far a value lies outside its window; 1 where there is no number."""
    offered, needed = ruling.offered, ruling.needed
    if isinstance(offered, tuple) and isinstance(needed, tuple):
        low, high, want_low, want_high = (float(x[0]) for x in (*offered, *needed))
        return max(
            math.log(want_low / low) if low > 0 else 9.0, math.log(high / want_high) if want_high > 0 else 9.0, 0.0
        )
    if isinstance(offered, tuple):
        offered = offered[0]
    try:
        ratio = float(needed[0]) / float(offered[0])
        return abs(math.log(ratio)) if ratio > 0 and math.isfinite(ratio) else 1.0
    except (TypeError, ValueError, ZeroDivisionError):
        return 1.0


def brute(family: Family, need: Need, parts: Iterable[Shelved]) -> list[Candidate]:
    """Judge every option of every part: the oracle of the tests, and what `try` does with one part."""
    search = family.search(need)
    pairs = [(part, number, option) for part in parts for number, option in enumerate(family.options(part.item))]
    return judge_options(family, need, search, pairs)


__all__ = ["Candidate", "Found", "KeyRows", "brute", "judge_options", "run"]
