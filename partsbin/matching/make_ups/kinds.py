"""Parts of the shelf by kind: options that are alike in every search key, and who they are."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from heapq import heappop, heappush
from typing import Any

import numpy as np
from sqlalchemy import Connection

from partsbin.checks import Columns, Numbers
from partsbin.families import Family
from partsbin.matching.keyrows import COLUMNS, key_rows
from partsbin.stock.keys import OPTIONS_A_PART, keys_of, pieces_of, promise
from partsbin.stock.shelf import get
from partsbin.store.statements import Statement

MOST_READ = 50_000
"""Options that are read for one question [-]."""

_READ = Statement(f"""
SELECT {COLUMNS} FROM option_keys o
WHERE o.family = :family AND o.value BETWEEN :low AND :high AND (o.limit_high >= :least OR o.limit_high IS NULL)
ORDER BY o.value, o.limit_high LIMIT :n
""")
_KEYS = slice(1, 6)  # of a row of COLUMNS, what makes a kind
_MISSING, _PROMISE = 7, 6

Tail = tuple[float, ...]
"""What orders make-ups of one score: how many different parts, and the sum of their promises."""


@dataclass(frozen=True)
class Lying:
    """An option of a part: its promise, its number (part × 256 + option) and how many pieces are free."""

    promise: int
    ident: int
    pieces: int

    @property
    def part(self) -> int:
        """The part's id."""
        return self.ident // OPTIONS_A_PART


@dataclass(frozen=True)
class Kinds:
    """Kinds of a family's options: their keys as columns, and who is of each, the best promise first."""

    columns: Columns
    members: Sequence[Sequence[Lying]]
    pieces: Numbers

    @cached_property
    def _of(self) -> Mapping[int, int]:
        return {one.ident: number for number, some in enumerate(self.members) for one in some}

    def alike(self, ident: int) -> Sequence[Lying]:
        """Return all of the kind of an option."""
        return self.members[self._of[ident]]

    def combinations(self, combo: Sequence[int]) -> Iterator[tuple[Tail, tuple[Lying, ...]]]:
        """Yield the make-ups of some kinds, those of fewest different parts and best promise first."""
        if len(set(combo)) == 1:
            for one in self.members[combo[0]]:
                if one.pieces >= len(combo):
                    yield (1, len(combo) * one.promise), (one,) * len(combo)
        if len(combo) == 2:
            yield from _pairs(self.members[combo[0]], self.members[combo[1]], same=combo[0] == combo[1])


def _pairs(some: Sequence[Lying], others: Sequence[Lying], *, same: bool) -> Iterator[tuple[Tail, tuple[Lying, ...]]]:
    """Yield pairs of different parts, the least sum of promises first: for each of the one kind its line of partners."""
    waiting: list[tuple[int, int, int]] = []

    def wait(at: int, by: int) -> None:
        if at < len(some) and by < len(others):
            heappush(waiting, (some[at].promise + others[by].promise, at, by))

    wait(0, 1 if same else 0)
    while waiting:
        promise, at, by = heappop(waiting)
        if by == (at + 1 if same else 0):
            wait(at + 1, at + 2 if same else 0)
        wait(at, by + 1)
        if some[at].part != others[by].part:
            yield (2, promise), (some[at], others[by])


def kinds_of(
    connection: Connection,
    family: Family,
    low: float = 0.0,
    high: float = 1e300,
    least: float = 0.0,
    *,
    held: Mapping[int, int] | None = None,
) -> Kinds:
    """Read kinds of known value.

    Parameters
    ----------
    connection : Connection
        Reading one state of the catalogue.
    family : Family
        Whose parts.
    low, high : float
        Bounds of the value [SI].
    least : float
        The least limit; unknown ones are read as well [SI].
    held : mapping of int to int, optional
        Parts of which pieces are set aside that may be taken all the same, and how many there are with them [-].
    """
    given = {"family": family.name, "low": low, "high": high, "least": least, "n": MOST_READ}
    rows = _READ.rows(connection, given)
    if held:
        rows = [row for row in rows if row[0] // OPTIONS_A_PART not in held] + _held(connection, family, held)
    return _kinds(connection, family, rows)


def kinds_set_aside(connection: Connection, family: Family, held: Mapping[int, int]) -> Kinds:
    """Return the kinds of what is set aside alone, so many pieces of each part."""
    return _kinds(connection, family, _held(connection, family, held))


def _kinds(connection: Connection, family: Family, rows: list[tuple[Any, ...]]) -> Kinds:
    rows.sort(key=lambda row: ([-1.0 if value is None else value for value in _kind(row)], row[_PROMISE], row[0]))
    starts = [at for at in range(len(rows)) if at == 0 or _kind(rows[at]) != _kind(rows[at - 1])]
    members = [
        [Lying(row[_PROMISE], row[0], pieces_of(row[_PROMISE])) for row in rows[start:stop]]
        for start, stop in zip(starts, [*starts[1:], len(rows)], strict=False)
    ]
    pieces = np.array([sum(one.pieces for one in some) for some in members], dtype=np.float64)
    return Kinds(key_rows(connection, family, [rows[start] for start in starts]).columns, members, pieces)


def _held(connection: Connection, family: Family, held: Mapping[int, int]) -> list[tuple[Any, ...]]:
    """Rows of parts that are set aside, as they would stand in the keys if they were not."""
    rows = []
    for ident, part in get(connection, family, list(held)).items():
        order = promise(part.item.condition, held[ident], part.origin)
        for row in keys_of(family, ident, family.options(part.item), order):
            if row["value"] is not None:
                keys = (
                    row[name] for name in ("id", "value", "low", "high", "limit_high", "kind", "promise", "missing")
                )
                rows.append((*keys, 1, 0, 0))
    return rows


def _kind(row: Sequence[object]) -> tuple[object, ...]:
    return (*row[_KEYS], row[_MISSING])
