"""Names behind search keys: where a name decides, those that occur are judged once each, before any part is read.

What follows from a name is judged in full; what is read on a part is not known yet. Whatever the names alone refuse is refused
for all parts that are called so, and so are those of which no table knows anything: they are judged like any other.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

import numpy as np
import numpy.typing as npt
from sqlalchemy import Connection

from partsbin.checks import Verdict
from partsbin.families import Family
from partsbin.families._declare import Named, Option, Search, columns_of
from partsbin.matching.candidates import misses
from partsbin.matching.judge import judge
from partsbin.needs import Need
from partsbin.store.statements import Statement

NAMES = "SELECT number, name FROM key_name WHERE family = :family ORDER BY number"
_NAMES = Statement(NAMES)


@dataclass(frozen=True)
class Names:
    """The names that occur in a family's keys: their numbers, ascending, and what follows from each."""

    numbers: npt.NDArray[np.float64]
    columns: Mapping[str, npt.NDArray[Any]]

    def of(self, numbers: npt.NDArray[np.float64]) -> dict[str, npt.NDArray[Any]]:
        """Return what follows from the names of some numbers."""
        at = np.searchsorted(self.numbers, numbers)
        return {quantity: column[at] for quantity, column in self.columns.items()}

    def judged(self, family: Family, need: Need, search: Search) -> tuple[list[float], list[float]]:
        """Return the numbers of names that are not refused, and of the others, the narrowest miss first."""
        judgement = judge(family, need, search, self.columns)
        refused = np.flatnonzero(judgement.verdict == Verdict.UNFIT)
        faults, short = (each[refused] for each in misses(judgement))
        order = refused[np.lexsort((self.numbers[refused], short, faults))]
        return self.numbers[judgement.verdict < Verdict.UNFIT].tolist(), self.numbers[order].tolist()


def names_of(connection: Connection, family: Family) -> Names | None:
    """Return the names of a family, None where it goes by figures."""
    named = family.keys.named
    if named is None:
        return None
    rows = tuple(tuple(row) for row in _NAMES.rows(connection, {"family": family.name}))
    return _laid_out(named.told, family.words, rows)


@lru_cache(8)  # they change seldom, and what follows from them not at all
def _laid_out(told: Any, words: frozenset[str], rows: Sequence[tuple[int, str]]) -> Names:
    offers = [told(name) for _, name in rows]
    quantities = tuple(offers[0]) if offers else tuple(told(""))
    columns = columns_of([Option("", each) for each in offers], quantities, words)
    return Names(np.array([number for number, _ in rows], dtype=np.float64), columns)


def called(family: Family, need: Need, text: str) -> re.Pattern[str] | None:
    """Return what finds in a line, letters and figures alone, a name that may serve; None where the family goes by figures.

    Parameters
    ----------
    family, need : Family, Need
        What must be done.
    text : str
        The dead part's marking: what bears its own name serves, though no table knows it.
    """
    named = family.keys.named
    if named is None:
        return None
    names = sorted(named.listed(text))
    told = _laid_out(named.told, family.words, tuple(enumerate(names)))
    chosen, _ = told.judged(family, need, family.search(need))
    return re.compile("|".join("".join(filter(str.isalnum, names[int(number)])) for number in chosen) or r"(?!)")


def at_best(named: Named, kinds: Mapping[str, npt.NDArray[Any]]) -> dict[str, npt.NDArray[Any]]:
    """Return what may be read on parts, at its best where anything of it was read."""
    read = kinds[named.read] != ""
    return {quantity: np.where(read, best, np.nan) for quantity, best in named.best.items()}
