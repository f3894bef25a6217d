"""Judging options against a need: every check over arrays, the worst outcome, the score. One code for a million rows and for one.

Given only some columns (the search keys), the checks that need others are skipped: more checks can only worsen a verdict and
every score term is at least zero, so what comes out is a bound that loses nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from partsbin.checks import UNKNOWN, Check, Columns, Numbers, Ruling, length
from partsbin.families import Family
from partsbin.families._declare import Option, Search, columns_of
from partsbin.needs import Need

MOST = 1e6
"""The largest penalty: a value infinitely far off still has a place in the order [-]."""


@dataclass(frozen=True)
class Judgement:
    """What all checks say of n options.

    Parameters
    ----------
    verdict : array of int8
        Values of `Verdict`: the worst outcome.
    owed : array of int
        Different readings that would settle the unknowns [-].
    score : array
        Sum of penalties, 0 is ideal [-].
    terms : mapping
        The penalties by name [-].
    rulings : tuple of (Check, Ruling)
        In the family's order.
    """

    verdict: npt.NDArray[np.int8]
    owed: npt.NDArray[np.int64]
    score: Numbers
    terms: Mapping[str, Numbers]
    rulings: tuple[tuple[Check, Ruling], ...]


def judge(family: Family, need: Need, search: Search, columns: Columns) -> Judgement:
    """Judge options on the columns at hand.

    Parameters
    ----------
    family : Family
        Whose checks.
    need : Need
        What must be done.
    search : Search
        What the need asks of the keys.
    columns : mapping
        Option quantities; a check is skipped where one of its quantities is not among them.

    Returns
    -------
    Judgement
        Exact if every quantity is there, else a bound: no option comes out worse than it is.
    """
    n = length(columns)
    ruled = rulings(family, need, columns)
    open_readings: dict[str, npt.NDArray[np.bool_]] = {}
    for check, ruling in ruled:
        unknown = ruling.outcome == UNKNOWN
        if unknown.any():
            seen = open_readings.get(check.reading)
            open_readings[check.reading] = unknown if seen is None else seen | unknown
    owed = sum((mask.astype(np.int64) for mask in open_readings.values()), np.zeros(n, dtype=np.int64))
    terms = penalties(family, need, search, columns)
    score = sum(terms.values(), np.zeros(n))
    return Judgement(worst(n, ruled), owed, score, terms, ruled)


def rulings(family: Family, need: Need, columns: Columns) -> tuple[tuple[Check, Ruling], ...]:
    """Return what each check says that concerns the need and has its quantities."""
    made = []
    for check in family.checks:
        if all(name in columns for name in check.uses):
            ruling = check.judge(need, columns)
            if ruling is not None:
                made.append((check, ruling))
    return tuple(made)


def keys_tell_all(family: Family, need: Need) -> bool:
    """Return whether no check outside the search keys can send an option to be measured for this need."""
    blank = columns_of([Option("", {})], family.quantities, family.words)
    return not any(
        "unknown" in check.may and not family.keys.names.issuperset(check.uses) and check.judge(need, blank) is not None
        for check in family.checks
    )


def worst(n: int, ruled: Sequence[tuple[Check, Ruling]]) -> npt.NDArray[np.int8]:
    """Return the worst outcome of each of n options: its verdict."""
    result = np.zeros(n, dtype=np.int8)
    for _, ruling in ruled:
        np.maximum(result, ruling.outcome, out=result)
    return result


def penalties(family: Family, need: Need, search: Search, columns: Columns) -> dict[str, Numbers]:
    """Return the score's terms [-]: distance, margin, thrift, condition. A term that rests on an unknown is zero."""
    rank = _weights(need)
    value, limit = columns[family.keys.value], columns[family.keys.limit]
    with np.errstate(invalid="ignore", divide="ignore"):
        terms = {"distance": rank.get("distance", 1.0) * np.abs(np.log(value / search.ideal))}
        if not np.isnan(search.least):
            terms |= _of_rating(rank, search, limit)
    terms = {name: np.where(np.isnan(term), 0.0, np.minimum(term, MOST)) for name, term in terms.items()}
    if "condition" in columns:
        weight = {
            "": rank.get("salvaged", 0.2),
            "new": 0.0,
            **{word: rank.get(word, 0.0) for word in ("unused-old", "salvaged")},
        }
        terms["condition"] = np.array([weight[word] for word in columns["condition"]], dtype=np.float64)
    return terms


def _weights(need: Need) -> dict[str, float]:
    return {name: float(line.value) for name, line in need.rules.sections.get("rank", {}).items()}


def _of_rating(rank: Mapping[str, float], search: Search, limit: Numbers) -> dict[str, Numbers]:
    """Penalties of a rating: short of comfortable, or more than there is any use for."""
    room = 1.0 - search.least / search.comfortable
    return {
        "margin": rank.get("margin", 1.0) * np.maximum(0.0, room - (limit - search.least) / limit),
        "thrift": rank.get("thrift", 0.0) * np.maximum(0.0, np.log(limit / search.comfortable)),
    }


def rating_penalty(need: Need, search: Search, limit: float) -> float:
    """Return the penalty of one rating: of all ratings, one at the comfortable figure has the least [-]."""
    terms = _of_rating(_weights(need), search, np.array([limit]))
    return float(sum(term[0] for term in terms.values()))


def distance_at(need: Need, factor: float) -> float:
    """Return the least distance penalty of a value farther than `factor` from the ideal [-]."""
    weight = need.rules.get("rank", "distance", 1.0)
    return float(weight) * float(np.log(factor))
