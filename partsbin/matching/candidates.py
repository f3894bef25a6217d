"""Judging parts in full: each way of using one as a candidate with its verdict, its score and its place in the order."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from partsbin.checks import FAIL, Columns, Numbers, Ruling, Verdict
from partsbin.families import Family
from partsbin.families._declare import Option, Search, columns_of
from partsbin.matching.judge import Judgement, judge, rulings, worst
from partsbin.needs import Need
from partsbin.stock.keys import OPTIONS_A_PART, promise
from partsbin.stock.shelf import Shelved

Rank = tuple[float, ...]
_VERDICTS = tuple(sorted(Verdict))
_MEASURE, _UNFIT = Verdict.MEASURE, Verdict.UNFIT


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
    pieces: int = 1
    """How many of the part make one of what is wanted [-]."""


def usable_rank(verdict: float, score: float, order: float, ident: float) -> Rank:
    """Return the place among what fits or fits with care: verdict, score, promise, id."""
    return (verdict, score, order, ident)


def measure_rank(owed: float, valued: bool, score: float, order: float, ident: float) -> Rank:
    """Return the place among what must be measured: readings owed, value known before unknown, score, promise, id."""
    return (owed, 0.0 if valued else 1.0, score if valued else 0.0, order, ident)


def judge_parts(family: Family, need: Need, search: Search, parts: Sequence[Shelved]) -> list[Candidate]:
    """Judge every option of each part in full; a part's verdict is that of its best option."""
    pairs = [(part, number, option) for part in parts for number, option in enumerate(family.options(part.item))]
    best: dict[int, Candidate] = {}
    for candidate in _judge_options(family, need, search, pairs):
        before = best.get(candidate.part.id)
        if before is None or (candidate.verdict, candidate.rank) < (before.verdict, before.rank):
            best[candidate.part.id] = candidate
    return list(best.values())


def fitting(
    family: Family, parts: Sequence[Shelved], asked: Iterable[tuple[Need, Collection[int]]]
) -> Iterator[set[int]]:
    """Yield for each need, of the parts that it asks of, those that fit without care; the options are laid out once for all needs.

    Parameters
    ----------
    family : Family
        Of the parts.
    parts : sequence of Shelved
        All that any need asks of.
    asked : iterable of (Need, collection of int)
        Needs, and ids of parts.
    """
    pairs = [(part.id, option) for part in parts for option in family.options(part.item)]
    columns = columns_of([option for _, option in pairs], family.quantities, family.words)
    idents = np.array([ident for ident, _ in pairs], dtype=np.int64)
    for need, wanted in asked:
        rows = np.flatnonzero(np.isin(idents, list(wanted)))
        own = {name: column[rows] for name, column in columns.items()}
        found = idents[rows][worst(len(rows), rulings(family, need, own)) == Verdict.FITS] if len(rows) else rows
        yield set(found.tolist())


def judge_ways(family: Family, need: Need, parts: Sequence[Shelved]) -> list[tuple[int, Candidate]]:
    """Judge every option of each part in full, each for itself, beside its number among the part's options."""
    pairs = [(part, number, option) for part in parts for number, option in enumerate(family.options(part.item))]
    judged = _judge_options(family, need, family.search(need), pairs)
    return [(number, candidate) for (_, number, _), candidate in zip(pairs, judged, strict=True)]


def _judge_options(
    family: Family, need: Need, search: Search, pairs: Sequence[tuple[Shelved, int, Option]]
) -> list[Candidate]:
    """Judge options in full, each for itself."""
    if not pairs:
        return []
    columns = columns_of([option for _, _, option in pairs], family.quantities, family.words)
    result = judge(family, need, search, columns)
    valued, (faults, short) = ~np.isnan(columns[family.keys.value]), misses(result)
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


def misses(result: Judgement) -> tuple[Numbers, Numbers]:
    """Return how narrowly each option misses: how many faults, then how far the numbers fall short [-]."""
    n = len(result.verdict)
    short: dict[str, Numbers] = {}
    for check, ruling in result.rulings:
        failed = ruling.outcome == FAIL
        if failed.any():
            root = check.reading or check.code  # two checks of one rating are one fault
            by = np.where(failed, shortfall(ruling), -1.0)
            short[root] = np.maximum(short[root], by) if root in short else by
    faults = sum(((by >= 0).astype(np.float64) for by in short.values()), np.zeros(n))
    return faults, sum((np.maximum(by, 0.0) for by in short.values()), np.zeros(n))


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
