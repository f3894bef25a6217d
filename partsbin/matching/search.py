"""The search: read keys, bound, fetch, judge, stop when nothing unread can come before what is found.

The first k of each verdict are those that judging every part would give, in the same order.
"""

from __future__ import annotations

import heapq
import math
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt
from sqlalchemy import Connection

from partsbin.checks import Columns, Numbers, Outcome, Ruling, Verdict
from partsbin.families import Family
from partsbin.families._declare import Option, Search, columns_of
from partsbin.matching.judge import Judgement, judge
from partsbin.matching.retrieve import KeyRows, by_score, count_unknown, near, rungs, unknown_value
from partsbin.needs import Need
from partsbin.stock.keys import MISSING_OTHER, OPTIONS_A_PART, promise
from partsbin.stock.shelf import Shelved, get

Rank = tuple[float, ...]
_VERDICTS = tuple(sorted(Verdict))
_MEASURE, _UNFIT = Verdict.MEASURE, Verdict.UNFIT
MEASURE_SHOWN, NEAR_SHOWN, COUNTED = 10, 5, 1000
NEAR_READ = 10
CHUNK = 512


@dataclass(frozen=True)
class Candidate:
    """One judged option of one part for one need, and where its quantities and findings stand among those judged with it."""

    family: Family
    need: Need
    part: Shelved
    option: Option
    verdict: Verdict
    owed: int
    score: float
    terms: Mapping[str, float]
    rank: Rank
    columns: Columns
    judgement: Judgement
    index: int


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


def merged(pools: Sequence[Found], limit: int) -> Found:
    """Put what several families may serve into one order; what falls out of sight is counted.

    Parameters
    ----------
    pools : sequence of Found
        Each family's own answer.
    limit : int
        How many that fit, with or without care [-].
    """
    if len(pools) == 1:
        return pools[0]

    def first(lists: Sequence[Sequence[Candidate]], k: int) -> list[Candidate]:
        return sorted((c for each in lists for c in each), key=lambda c: c.rank)[:k]

    whole = Found(
        first([pool.usable for pool in pools], limit),
        first([pool.measure for pool in pools], MEASURE_SHOWN),
        first([pool.near for pool in pools], NEAR_SHOWN),
    )
    dropped = Counter(c.verdict.word for pool in pools for c in (*pool.usable, *pool.measure))
    dropped.subtract(c.verdict.word for c in (*whole.usable, *whole.measure))
    for verdict in (Verdict.FITS, Verdict.CARE, Verdict.MEASURE):
        more = [pool.more.get(verdict.word, (0, False)) for pool in pools]
        rest = sum(n for n, _ in more) + dropped[verdict.word]
        if rest > 0:
            whole.more[verdict.word] = (min(rest, COUNTED), rest >= COUNTED or any(capped for _, capped in more))
    return whole


def judge_parts(family: Family, need: Need, search: Search, parts: Sequence[Shelved]) -> list[Candidate]:
    """Judge every option of each part in full; a part's verdict is that of its best option."""
    pairs = [(part, number, option) for part in parts for number, option in enumerate(family.options(part.item))]
    judged = judge_options(family, need, search, pairs)
    best: dict[int, Candidate] = {}
    for candidate in judged:
        before = best.get(candidate.part.id)
        if before is None or (candidate.verdict, candidate.rank) < (before.verdict, before.rank):
            best[candidate.part.id] = candidate
    return list(best.values())


def judge_options(
    family: Family, need: Need, search: Search, pairs: Sequence[tuple[Shelved, int, Option]]
) -> list[Candidate]:
    """Judge options in full, each for itself."""
    if not pairs:
        return []
    columns = columns_of([option for _, _, option in pairs], family.quantities, family.words)
    result = judge(family, need, search, columns)
    valued, (faults, short) = ~np.isnan(columns[family.keys.value]), _misses(result)
    terms = {name: values.tolist() for name, values in result.terms.items()}
    told = zip(*(a.tolist() for a in (result.verdict, result.owed, result.score, valued, faults, short)), strict=True)
    made = []
    for index, ((part, number, option), (word, owed, score, has_value, n, by)) in enumerate(
        zip(pairs, told, strict=True)
    ):
        order = promise(part.item.condition, part.available, part.origin)
        ident = part.id * OPTIONS_A_PART + number
        verdict, rank = _VERDICTS[word], usable_rank(word, score, order, ident)
        if verdict is _MEASURE:
            rank = measure_rank(owed, has_value, score, order, ident)
        elif verdict is _UNFIT:
            rank = (n, by, score, order, ident)
        own = {name: values[index] for name, values in terms.items() if values[index] > 0}
        made.append(Candidate(family, need, part, option, verdict, owed, score, own, rank, columns, result, index))
    return made


def _misses(result: Judgement) -> tuple[Numbers, Numbers]:
    """How narrowly each option misses: how many faults, then how far the numbers fall short [-]."""
    n = len(result.verdict)
    short: dict[str, Numbers] = {}
    for check, ruling in result.rulings:
        failed = ruling.outcome == Outcome.FAIL
        if failed.any():
            root = check.reading or check.code  # two checks of one rating are one fault
            by = np.where(failed, shortfall(ruling), -1.0)
            short[root] = np.maximum(short[root], by) if root in short else by
    faults = sum(((by >= 0).astype(np.float64) for by in short.values()), np.zeros(n))
    return faults, sum((np.maximum(by, 0.0) for by in short.values()), np.zeros(n))


class _Searcher:
    """Holds what has been judged so far, so that no part is fetched twice."""

    def __init__(self, connection: Connection, family: Family, need: Need, limit: int) -> None:
        self.connection, self.family, self.need, self.limit = connection, family, need, limit
        self.search = family.search(need)
        self.rungs = rungs(connection, family)
        self.done: dict[int, Candidate] = {}
        self.seen: list[tuple[npt.NDArray[np.int64], npt.NDArray[np.int8]]] = []
        self.short = False

    def note(self, rows: KeyRows, bound: Judgement) -> None:
        """Remember the best that each option read so far can be."""
        self.seen.append((rows.id // OPTIONS_A_PART, bound.verdict))

    def counts(self) -> Counter[int]:
        """Return how many parts there are of each verdict: judged ones as they are, the others at best."""
        if not self.seen:
            return Counter(int(c.verdict) for c in self.done.values())
        parts, verdicts = (np.concatenate(column) for column in zip(*self.seen, strict=True))
        order = np.lexsort((verdicts, parts))
        first = np.unique(parts[order], return_index=True)
        judged = np.isin(first[0], np.fromiter(self.done, dtype=np.int64, count=len(self.done)))
        best = verdicts[order][first[1]][~judged]
        return Counter(best.tolist()) + Counter(int(c.verdict) for c in self.done.values())

    def fetch(self, part_ids: Sequence[int]) -> None:
        """Judge parts in full."""
        wanted = sorted(set(part_ids) - set(self.done))
        if wanted:
            parts = list(get(self.connection, self.family, wanted).values())
            self.done |= {c.part.id: c for c in judge_parts(self.family, self.need, self.search, parts)}

    def best(self, wanted: Callable[[Verdict], bool], k: int) -> list[Candidate]:
        """Return the first k judged so far among the wanted verdicts."""
        return heapq.nsmallest(k, (c for c in self.done.values() if wanted(c.verdict)), key=lambda c: c.rank)

    def settle(
        self, chunks: Iterable[list[tuple[Rank, int]]], wanted: Callable[[Verdict], bool], k: int, beyond: Rank | None
    ) -> bool:
        """Fetch parts in the order of the bounds until the k-th result beats the next; return whether it beats `beyond`."""
        size = 2 * k
        for chunk in chunks:
            queue = [(rank, part_id) for rank, part_id in chunk if part_id not in self.done]
            start = 0
            while start < len(queue) and not self._beaten(wanted, k, queue[start][0]):
                self.fetch([part_id for _, part_id in queue[start : start + size]])
                start, size = start + size, size * 2
            if start < len(queue):
                break
        return beyond is not None and self._beaten(wanted, k, beyond)

    def _beaten(self, wanted: Callable[[Verdict], bool], k: int, bound: Rank) -> bool:
        kth = self._kth(wanted, k)
        return kth is not None and kth < bound

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
    refused = _valued(searcher)
    unknown = _unvalued(searcher)
    closest = near(connection, family, searcher.search, searcher.rungs.classes, NEAR_READ)
    searcher.fetch([*refused, *(closest.id // OPTIONS_A_PART).tolist()])
    found = Found(
        searcher.best(_usable, limit),
        searcher.best(_measure, MEASURE_SHOWN),
        searcher.best(lambda verdict: verdict is Verdict.UNFIT, NEAR_SHOWN),
    )
    shown, counts = Counter(candidate.verdict for candidate in (*found.usable, *found.measure)), searcher.counts()
    for verdict in (Verdict.FITS, Verdict.CARE, Verdict.MEASURE):
        rest = counts[verdict] - shown[verdict]
        if verdict is Verdict.MEASURE and unknown > 0:
            rest = max(rest, unknown - shown[verdict])
        if rest > 0:
            capped = rest >= COUNTED or (searcher.short and verdict is not Verdict.MEASURE)
            found.more[verdict.word] = (min(rest, COUNTED), capped)
    return found


def _valued(searcher: _Searcher) -> list[int]:
    """Read keys, the best possible score first; return some parts that a wall refused inside the window, the best first."""
    refused: list[tuple[float, int]] = []
    usable_done = measure_done = False
    family, need, search = searcher.family, searcher.need, searcher.search
    for rows, edge in by_score(searcher.connection, family, need, search, searcher.rungs.classes):
        last = math.isinf(edge)
        if len(rows):
            bound = judge(family, need, search, rows.columns)
            searcher.note(rows, bound)
            unfit = np.flatnonzero(bound.verdict == Verdict.UNFIT)
            refused += sorted(zip(bound.score[unfit].tolist(), _parts(rows, unfit), strict=True))[:NEAR_READ]
            usable_done = usable_done or searcher.settle(
                _usable_bounds(rows, bound), _usable, searcher.limit, None if last else usable_rank(0, edge, -1, -1)
            )
            measure_done = measure_done or searcher.settle(
                _measure_bounds(rows, bound, valued=True),
                _measure,
                MEASURE_SHOWN,
                None if last else measure_rank(1, True, edge, -1, -1),
            )
        if usable_done and measure_done and not last:
            searcher.short = True
            break
    return [part_id for _, part_id in sorted(refused)[:NEAR_READ]]


def _parts(rows: KeyRows, chosen: npt.NDArray[np.int64]) -> list[int]:
    parts: list[int] = (rows.id[chosen] // OPTIONS_A_PART).tolist()
    return parts


def _usable_bounds(rows: KeyRows, bound: Judgement) -> Iterator[list[tuple[Rank, int]]]:
    chosen = np.flatnonzero(bound.verdict <= Verdict.CARE)
    return _in_order([bound.verdict, bound.score, rows.promise, rows.id], rows, chosen)


def _measure_bounds(rows: KeyRows, bound: Judgement, *, valued: bool) -> Iterator[list[tuple[Rank, int]]]:
    """A complete option is never sent to be measured for a datum outside its keys: its bound there is its verdict."""
    incomplete = (rows.missing & MISSING_OTHER) > 0
    chosen = np.flatnonzero((bound.verdict < Verdict.UNFIT) & ((bound.verdict == Verdict.MEASURE) | incomplete))
    unvalued = np.full(len(rows), 0.0 if valued else 1.0)
    score = bound.score if valued else np.zeros(len(rows))
    return _in_order([np.maximum(bound.owed, 1), unvalued, score, rows.promise, rows.id], rows, chosen)


def _in_order(
    columns: list[npt.NDArray[Any]], rows: KeyRows, chosen: npt.NDArray[np.int64]
) -> Iterator[list[tuple[Rank, int]]]:
    """Yield (bound, part) in the order of the bounds, in chunks: most searches need no second one."""
    order = chosen[np.lexsort([column[chosen] for column in reversed(columns)])]
    for start in range(0, len(order), CHUNK):
        some = order[start : start + CHUNK]
        ranks = zip(*(column[some].tolist() for column in columns), strict=True)
        yield list(zip(ranks, _parts(rows, some), strict=True))


def _unvalued(searcher: _Searcher) -> int:
    """Read options of unknown value in the order of their promise; return how many there are, counted to 1,000."""
    for missing in searcher.rungs.unknown:
        for rows in unknown_value(searcher.connection, searcher.family, searcher.search, missing):
            if not len(rows):
                continue
            bound = judge(searcher.family, searcher.need, searcher.search, rows.columns)
            beyond = measure_rank(1, False, 0.0, int(rows.promise[-1]), int(rows.id[-1]))
            if searcher.settle(_measure_bounds(rows, bound, valued=False), _measure, MEASURE_SHOWN, beyond):
                break
    return count_unknown(searcher.connection, searcher.family, searcher.search, searcher.rungs.unknown, COUNTED)


def shortfall(ruling: Ruling) -> Numbers:
    """Return the logarithm of needed over offered, or of how far a value lies outside its window; 1 where there is no number."""
    n = len(ruling.outcome)
    offered, needed = ruling.offered, ruling.needed
    with np.errstate(invalid="ignore", divide="ignore"):
        if isinstance(offered, tuple) and isinstance(needed, tuple):
            (low, high), (want_low, want_high) = offered, needed
            under = np.where(low > 0, np.log(want_low / low), 9.0)
            over = np.where(want_high > 0, np.log(high / want_high), 9.0)
            worst: Numbers = np.nan_to_num(np.maximum(under, over), nan=1.0, posinf=9.0, neginf=0.0)
            return np.maximum(worst, 0.0)
        first = offered[0] if isinstance(offered, tuple) else offered
        if isinstance(needed, tuple) or np.asarray(first).dtype == object or np.asarray(needed).dtype == object:
            return np.ones(n)
        ratio = np.broadcast_to(np.asarray(needed, dtype=np.float64) / np.asarray(first, dtype=np.float64), (n,))
        return np.where((ratio > 0) & np.isfinite(ratio), np.abs(np.log(ratio)), 1.0)


def brute(family: Family, need: Need, parts: Sequence[Shelved]) -> list[Candidate]:
    """Judge every part: the oracle of the tests, and what `try` does with one part."""
    return judge_parts(family, need, family.search(need), parts)
