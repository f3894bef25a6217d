"""Judging parts joined into one: by the checks of single parts, on what they offer together and on each of them.

A check looks at the whole, with the words of each part in turn (a mixed pair is as humble as its humblest part), or at
each part by itself, whatever it is joined with: paper stays paper; or at both. Given search keys alone, what comes out is a
bound, as it is for single parts.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

from partsbin.checks import FAIL, UNKNOWN, Check, Columns, Numbers, Ruling, length
from partsbin.families import Family
from partsbin.families._declare import Search
from partsbin.families._joining import Join
from partsbin.matching.judge import penalties
from partsbin.needs import Need


@dataclass(frozen=True)
class Together:
    """What all checks say of n make-ups.

    Parameters
    ----------
    verdict : array of int8
        The worst outcome.
    score : array
        Sum of penalties, each at the part that has most of it [-].
    owed : array of int
        Readings owed by the part that owes most [-].
    terms : mapping
        The penalties by name [-].
    rulings : tuple of (int, bool, Check, Ruling)
        Of each place in turn; whether of the part by itself or of the whole.
    places : tuple of mapping
        Of each place, the columns that its rulings on the whole rest on: with the words of that part.
    """

    verdict: npt.NDArray[np.int8]
    score: Numbers
    owed: npt.NDArray[np.int64]
    terms: Mapping[str, Numbers]
    rulings: tuple[tuple[int, bool, Check, Ruling], ...]
    places: tuple[Columns, ...]


def judge_together(family: Family, need: Need, search: Search, join: Join, members: Sequence[Columns]) -> Together:
    """Judge make-ups on the columns at hand.

    Parameters
    ----------
    family : Family
        Whose checks.
    need : Need
        What must be done.
    search : Search
        What the need asks of the keys.
    join : Join
        How the parts are joined.
    members : sequence of mapping
        Of each place the columns of its parts, of n rows each.
    """
    n = length(members[0])
    whole = join.together(need, members)
    places = tuple({**member, **whole} for member in members)
    hopeful = _hopeful(family, need, join, members)
    verdict, owed, ruled = np.zeros(n, dtype=np.int8), np.zeros(n, dtype=np.int64), []
    terms: dict[str, Numbers] = {}
    for at, (member, joined) in enumerate(zip(members, places, strict=True)):
        readings: dict[str, npt.NDArray[np.bool_]] = {}
        for check, alone in _looks(family, join):
            columns = member if alone else joined
            ruling = check.judge(need, columns) if all(name in columns for name in check.uses) else None
            if ruling is None:
                continue
            if hopeful is not None and not alone and family.keys.limit in check.uses:
                _refuse(check, need, {**member, **hopeful}, ruling)
            ruled.append((at, alone, check, ruling))
            np.maximum(verdict, ruling.outcome, out=verdict)
            unknown = ruling.outcome == UNKNOWN
            readings[check.reading] = unknown | readings.get(check.reading, False)
        owed = np.maximum(owed, sum((mask.astype(np.int64) for mask in readings.values()), np.zeros(n, dtype=np.int64)))
        for name, term in penalties(family, need, search, joined).items():
            terms[name] = np.maximum(term, terms.get(name, 0.0))
    return Together(verdict, sum(terms.values(), np.zeros(n)), owed, terms, tuple(ruled), places)


def _looks(family: Family, join: Join) -> Iterator[tuple[Check, bool]]:
    """Yield each check with whether it looks at each part by itself."""
    for check in family.checks:
        if check.code in join.alone:
            yield check, True
        if check.code not in join.each:
            yield check, False


def _hopeful(family: Family, need: Need, join: Join, members: Sequence[Columns]) -> dict[str, Any] | None:
    """What the make-ups offer if every rating that is not known were without end; None where all are known."""
    limit = family.keys.limit
    unknown = [np.isnan(member[limit]) for member in members]
    if not any(mask.any() for mask in unknown):
        return None
    filled = [{**m, limit: np.where(mask, np.inf, m[limit])} for m, mask in zip(members, unknown, strict=True)]
    return join.together(need, filled)


def _refuse(check: Check, need: Need, columns: Columns, ruling: Ruling) -> None:
    """Refuse what the known rating of the other part does not bear, whatever the unknown one turns out to be."""
    best = check.judge(need, columns) if all(name in columns for name in check.uses) else None
    if best is not None:
        ruling.outcome[best.outcome == FAIL] = FAIL


def refused_alone(family: Family, need: Need, join: Join, columns: Columns) -> npt.NDArray[np.bool_]:
    """Return which parts fail a check that looks at each by itself: with whatever they are joined, the whole is unfit."""
    refused = np.zeros(length(columns), dtype=bool)
    for check in family.checks:
        if check.code in join.alone and all(name in columns for name in check.uses):
            ruling = check.judge(need, columns)
            if ruling is not None:
                refused |= ruling.outcome == FAIL
    return refused
