"""The search: read keys, bound, fetch, judge, stop when nothing unread can come before what is found.

The first k of each verdict are those that judging every part would give, in the same order.
"""

from __future__ import annotations

import heapq
import math
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import partial

import numpy as np
from sqlalchemy import Connection

from partsbin.checks import Verdict
from partsbin.families import Family
from partsbin.matching.bounds import Bounds, Line, enough, measure_bounds, miss_bounds, usable_bounds
from partsbin.matching.candidates import Candidate, Rank, brute, judge_parts, measure_rank, usable_rank
from partsbin.matching.judge import Judgement, judge, keys_tell_all
from partsbin.matching.keyrows import KeyRows
from partsbin.matching.make_ups.search import MakeUp
from partsbin.matching.names import names_of
from partsbin.matching.retrieve import by_name, by_score, count_unknown, near, rungs, unknown_value
from partsbin.needs import Need
from partsbin.stock.keys import OPTIONS_A_PART, listed
from partsbin.stock.shelf import get

__all__ = ["MEASURE_SHOWN", "Candidate", "Found", "brute", "merged", "run"]

MEASURE_SHOWN, NEAR_SHOWN, COUNTED = 10, 5, 1000
NEAR_READ, NEAR_JUDGED = 10, 40


@dataclass
class Found:
    """What a search found: the first of each verdict, how many more there are at best, and what several parts would do."""

    usable: list[Candidate]
    measure: list[Candidate]
    near: list[Candidate]
    more: dict[str, tuple[int, bool]] = field(default_factory=dict)
    make_ups: list[MakeUp] = field(default_factory=list)
    make_up_misses: list[MakeUp] = field(default_factory=list)


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


@dataclass(frozen=True)
class _Wanted:
    """Some verdicts, of which the first k are wanted."""

    verdicts: tuple[Verdict, ...]
    k: int


class _Searcher:
    """Holds what has been judged so far, so that no part is fetched twice."""

    def __init__(self, connection: Connection, family: Family, need: Need, limit: int, origin: str) -> None:
        self.connection, self.family, self.need = connection, family, need
        self.listed = replace(family, name=listed(family.name, origin))  # whose keys are read
        self.usable = _Wanted((Verdict.FITS, Verdict.CARE), limit)
        self.measure = _Wanted((Verdict.MEASURE,), MEASURE_SHOWN)
        self.near = _Wanted((Verdict.UNFIT,), NEAR_SHOWN)
        self.search = family.search(need)
        self.measures = partial(measure_bounds, told_all=keys_tell_all(family, need))
        self.rungs = rungs(connection, self.listed)
        self.names = names_of(connection, self.listed)
        self.done: dict[int, Candidate] = {}
        self.seen: list[tuple[KeyRows, Judgement]] = []
        self.missed: list[Bounds] = []
        self.short = False

    def by_score(self) -> Iterator[tuple[KeyRows, float]]:
        """Read keys, each chunk with the least score of anything unread; with the first come those that miss narrowly."""
        if self.names is not None:
            return by_name(self.connection, self.listed, self.need, self.search, self.names, NEAR_READ)
        misses = near(self.connection, self.listed, self.search, self.rungs.classes, NEAR_READ)
        return by_score(self.connection, self.listed, self.need, self.search, self.rungs.classes, misses)

    def bound(self, rows: KeyRows) -> Judgement:
        """Judge by the keys alone: no part is better."""
        return judge(self.family, self.need, self.search, rows.columns)

    def counts(self) -> Counter[int]:
        """Return how many parts there are of each verdict: judged ones as they are, the others at best."""
        counted = Counter(int(candidate.verdict) for candidate in self.done.values())
        if not self.seen:
            return counted
        known, verdicts = [], []
        several: list[tuple[int, int]] = []  # of those alike, who they are and at best
        for rows, bound in self.seen:
            single = rows.id >= 0
            known.append(rows.id[single])
            verdicts.append(bound.verdict[single])
            for at, alike in rows.alike.items():
                best_of = int(bound.verdict[at])
                counted[best_of] += alike.number - len(alike.known)
                several += [(ident, best_of) for _, ident in alike.known]
        known.append(np.array([ident for ident, _ in several], dtype=np.int64))
        verdicts.append(np.array([best_of for _, best_of in several], dtype=np.int8))
        parts, best = np.concatenate(known) // OPTIONS_A_PART, np.concatenate(verdicts)
        order = np.lexsort((best, parts))
        parts, best = parts[order], best[order]
        first = np.diff(parts, prepend=-1) > 0
        undone = (
            verdict
            for part, verdict in zip(parts[first].tolist(), best[first].tolist(), strict=True)
            if part not in self.done
        )
        return counted + Counter(undone)

    def unvalued(self, most: int) -> int:
        """Return how many options of unknown value there are, counting no further than `most` [-]."""
        return count_unknown(self.connection, self.listed, self.search, self.rungs.unknown, most)

    def fetch(self, part_ids: Iterable[int]) -> None:
        """Judge parts in full."""
        wanted = sorted(set(part_ids) - set(self.done))
        if wanted:
            parts = list(get(self.connection, self.family, wanted).values())
            self.done |= {c.part.id: c for c in judge_parts(self.family, self.need, self.search, parts)}

    def best(self, wanted: _Wanted) -> list[Candidate]:
        """Return the first k judged so far among the wanted verdicts."""
        chosen = (candidate for candidate in self.done.values() if candidate.verdict in wanted.verdicts)
        return heapq.nsmallest(wanted.k, chosen, key=lambda candidate: candidate.rank)

    def settle(self, lines: Iterable[tuple[Line, _Wanted]]) -> None:
        """Fetch parts in the order of their bounds until the k-th result of each line beats the next; all lines at once."""
        going = [(line, wanted, wanted.k) for line, wanted in lines]
        while going := [each for each in going if self._open(*each[:2])]:
            self.fetch(part for line, _, size in going for _, part in line.first(size))
            for line, _, size in going:
                line.drop(size)
            going = [(line, wanted, 2 * size) for line, wanted, size in going]

    def _open(self, line: Line, wanted: _Wanted) -> bool:
        following = line.first(1)
        return bool(following) and not self.beaten(wanted, following[0][0])

    def beaten(self, wanted: _Wanted, bound: Rank) -> bool:
        """Return whether k results come before a bound."""
        first = self.best(wanted)
        return len(first) == wanted.k and first[-1].rank < bound


def run(connection: Connection, family: Family, need: Need, limit: int, *, origin: str = "shelf") -> Found:
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
    origin : str
        ``shelf``, or ``offered`` for what suppliers have.

    Returns
    -------
    Found
        The first of each verdict, as judging every part would give them; near misses are limited by a stated order.
    """
    searcher = _Searcher(connection, family, need, limit, origin)
    _valued(searcher)
    _unvalued(searcher)
    searcher.settle(_near(searcher))
    found = Found(searcher.best(searcher.usable), searcher.best(searcher.measure), searcher.best(searcher.near))
    found.more = _more(searcher, found)
    return found


def _more(searcher: _Searcher, found: Found) -> dict[str, tuple[int, bool]]:
    """Count what is not shown, at best and no further than `COUNTED`."""
    more = {}
    shown, counts = Counter(candidate.verdict for candidate in (*found.usable, *found.measure)), searcher.counts()
    for verdict in (Verdict.FITS, Verdict.CARE, Verdict.MEASURE):
        rest = counts[verdict] - shown[verdict]
        if verdict is Verdict.MEASURE and rest < COUNTED:
            rest = max(rest, searcher.unvalued(COUNTED) - shown[verdict])
        if rest > 0:
            capped = rest >= COUNTED or (searcher.short and verdict is not Verdict.MEASURE)
            more[verdict.word] = (min(rest, COUNTED), capped)
    return more


def _valued(searcher: _Searcher) -> None:
    """Read keys of known value, the best possible score first, until nothing unread can come before what is found."""
    usable, measure = searcher.usable, searcher.measure
    makers: dict[_Wanted, Callable[[KeyRows, Judgement], Bounds]] = {usable: usable_bounds, measure: searcher.measures}
    read: dict[_Wanted, list[Bounds]] = {usable: [], measure: []}
    for rows, edge in searcher.by_score():
        if len(rows):
            judged = searcher.bound(rows)
            searcher.seen.append((rows, judged))
            for wanted, bounds in read.items():
                bounds.append(makers[wanted](rows, judged))
        last = math.isinf(edge)
        beyond = {usable: usable_rank(0, edge, -1, -1), measure: measure_rank(1, True, edge, -1, -1)}
        if not last and not all(enough(bounds, wanted.k, beyond[wanted]) for wanted, bounds in read.items()):
            continue
        searcher.settle([*((Line(*bounds), wanted) for wanted, bounds in read.items()), *_near(searcher)])
        read = {wanted: bounds for wanted, bounds in read.items() if not searcher.beaten(wanted, beyond[wanted])}
        if last or not read:
            searcher.short = not last
            return


def _unvalued(searcher: _Searcher) -> None:
    """Read options of unknown value in the order of their promise: they may be usable where no value is asked."""
    usable, measure = searcher.usable, searcher.measure
    hopeful = searcher.search.any_value
    for missing in searcher.rungs.unknown:
        last = (-1, -1)
        chunks = unknown_value(searcher.connection, searcher.listed, searcher.search, missing)
        while rows := _next(chunks, searcher, hopeful, last):
            bound = searcher.bound(rows)
            lines = [(Line(searcher.measures(rows, bound, valued=False)), measure)]
            if hopeful:
                searcher.seen.append((rows, bound))
                lines.append((Line(usable_bounds(rows, bound)), usable))
            searcher.settle(lines)
            last = (int(rows.promise[-1]), int(rows.id[-1]))


def _next(chunks: Iterator[KeyRows], searcher: _Searcher, hopeful: bool, last: tuple[int, int]) -> KeyRows | None:
    """Return the next keys of unknown value, None where there are none, or none that can come before what is found."""
    wanted = not searcher.beaten(searcher.measure, measure_rank(1, False, 0.0, *last))
    if not wanted and hopeful:
        wanted = not searcher.beaten(searcher.usable, usable_rank(0, 0.0, *last))
        searcher.short |= not wanted
    return next(chunks, None) if wanted else None


def _near(searcher: _Searcher) -> list[tuple[Line, _Wanted]]:
    """Return the narrowest misses among what was read; none if nothing was read since the last time."""
    fresh = searcher.seen[len(searcher.missed) :]
    searcher.missed += [miss_bounds(rows, judged) for rows, judged in fresh]
    return [(Line(Line(*searcher.missed).first(NEAR_JUDGED)), searcher.near)] if fresh else []
