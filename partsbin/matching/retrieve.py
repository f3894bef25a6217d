"""Reading search keys: rings of values round the ideal, classes of rating, parts whose value nobody knows, near misses.

Each query walks one of two covering indexes; `tests/matching/test_plans.py` holds the query plans.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
from sqlalchemy import Connection, text

from partsbin.families import Family
from partsbin.families._declare import Search
from partsbin.stock.keys import LIMIT_UNKNOWN, MISSING_VALUE, limit_class

RINGS = (1.06, 1.25, 1.6)
"""Factors round the ideal; the last ring is whatever is left of the window."""

_COLUMNS = "o.id, o.value, o.low, o.high, o.limit_high, o.kind, o.promise, o.missing"

# CROSS JOIN keeps SQLite's planner from turning the loops round: few rungs outside, one index range each inside.
_BY_VALUE = f"""
SELECT {_COLUMNS} FROM rung r CROSS JOIN option_keys o
WHERE r.family = :family AND (r.missing & 1) = 0 AND (r.limit_class >= :rung OR r.limit_class = {LIMIT_UNKNOWN})
  AND o.family = r.family AND o.missing = r.missing AND o.limit_class = r.limit_class AND o.spread = r.spread
  AND o.value >= {{start}} AND o.value < {{stop}}
  AND o.low <= :high AND o.high >= :low AND (o.limit_high >= :least OR o.limit_high IS NULL)
"""
RING = _BY_VALUE.format(start=":start", stop=":stop")
BELOW = _BY_VALUE.format(start=":start / r.ratio", stop=":stop")
ABOVE = _BY_VALUE.format(start=":start", stop=":stop * r.ratio")

BY_PROMISE = f"""
SELECT {_COLUMNS} FROM option_keys o
WHERE o.family = :family AND o.missing = :missing AND (o.promise > :promise OR (o.promise = :promise AND o.id > :id))
  AND (o.limit_high >= :least OR o.limit_high IS NULL)
ORDER BY o.promise, o.id LIMIT :n
"""

COUNT_UNKNOWN = """
SELECT count(*) FROM (SELECT 1 FROM option_keys o WHERE o.family = :family AND o.missing = :missing
  AND (o.limit_high >= :least OR o.limit_high IS NULL) LIMIT :n) AS counted
"""

UNDER_RATED = f"""
SELECT {_COLUMNS} FROM option_keys o
WHERE o.family = :family AND o.missing = :missing AND o.limit_class = :rung AND o.spread = :spread
  AND o.value >= :start AND o.value < :stop AND o.limit_high < :least LIMIT :n
"""

RUNGS = "SELECT missing, limit_class, spread, ratio FROM rung WHERE family = :family ORDER BY limit_class DESC, missing, spread"


@dataclass(frozen=True)
class KeyRows:
    """Search keys of n options, as columns of the family's quantities with the keys' own beside them."""

    id: npt.NDArray[np.int64]
    promise: npt.NDArray[np.int64]
    missing: npt.NDArray[np.int64]
    columns: Mapping[str, npt.NDArray[Any]]

    def __len__(self) -> int:
        return len(self.id)


def _rows(family: Family, found: list[Any]) -> KeyRows:
    if not found:
        empty = np.empty(0, dtype=np.int64)
        table = np.empty((0, 8))
    else:
        table = np.array([tuple(row) for row in found], dtype=np.float64)  # ids and kinds stay exact below 2**53
        empty = table[:, 0].astype(np.int64)
    keys = family.keys
    columns: dict[str, npt.NDArray[Any]] = {
        keys.value: table[:, 1],
        keys.low: table[:, 2],
        keys.high: table[:, 3],
        keys.limit: table[:, 4],
        **keys.unpack(table[:, 5].astype(np.int64)),
    }
    return KeyRows(empty, table[:, 6].astype(np.int64), table[:, 7].astype(np.int64), columns)


def _parameters(family: Family, search: Search) -> dict[str, Any]:
    least = 0.0 if math.isnan(search.least) else search.least
    rung = LIMIT_UNKNOWN if least <= 0 else limit_class(least)
    return {"family": family.name, "low": search.low, "high": search.high, "least": least, "rung": rung}


def rings(connection: Connection, family: Family, search: Search) -> Iterator[tuple[KeyRows, float]]:
    """Yield keys by growing distance from the ideal, each with the factor beyond which nothing has been read yet.

    The last yield has factor infinity: every option whose interval touches the window has been read.
    """
    base = _parameters(family, search)
    inner = (search.ideal, search.ideal)
    for factor in RINGS:
        outer = (search.ideal / factor, search.ideal * factor)
        if outer[0] <= search.low and outer[1] >= search.high:
            break
        spans = ((outer[0], inner[0]), (inner[1], outer[1]))
        found = [
            row
            for start, stop in spans
            for row in connection.execute(text(RING), base | {"start": start, "stop": stop})
        ]
        yield _rows(family, found), factor
        inner = outer
    found = list(connection.execute(text(BELOW), base | {"start": min(search.low, inner[0]), "stop": inner[0]}))
    found += connection.execute(
        text(ABOVE), base | {"start": inner[1], "stop": max(search.high, inner[1]) * (1 + 1e-12)}
    )
    yield _rows(family, found), math.inf


def unknown_value(connection: Connection, family: Family, search: Search, missing: int) -> Iterator[KeyRows]:
    """Yield keys of options whose value nobody knows, in the order of their promise, in growing chunks."""
    base = _parameters(family, search) | {"missing": missing, "promise": -1, "id": -1}
    n = 64
    while True:
        found = list(connection.execute(text(BY_PROMISE), base | {"n": n}))
        yield _rows(family, found)
        if len(found) < n:
            return
        base |= {"promise": found[-1].promise, "id": found[-1].id}
        n = min(4 * n, 4096)


def unknown_masks(connection: Connection, family: Family) -> list[int]:
    """Return the masks with an unknown value that occur."""
    found = connection.execute(text(RUNGS), {"family": family.name})
    return sorted({row.missing for row in found if row.missing & MISSING_VALUE})


def count_unknown(connection: Connection, family: Family, search: Search, most: int) -> int:
    """Return how many options of unknown value there are, counting no further than `most` [-]."""
    base = _parameters(family, search)
    total = 0
    for missing in unknown_masks(connection, family):
        total += connection.execute(text(COUNT_UNKNOWN), base | {"missing": missing, "n": most - total}).scalar_one()
        if total >= most:
            break
    return total


def near(connection: Connection, family: Family, search: Search, most: int) -> KeyRows:
    """Return keys of options that miss narrowly, in a stated order: the next lower ratings inside the window, then values
    just outside it with the rating kept; no more than about `most` of each."""
    base = _parameters(family, search)
    found: list[Any] = []
    if base["rung"] != LIMIT_UNKNOWN:
        for row in connection.execute(text(RUNGS), {"family": family.name}).all():
            if row.missing & MISSING_VALUE or not LIMIT_UNKNOWN < row.limit_class <= base["rung"]:
                continue
            found += connection.execute(
                text(UNDER_RATED),
                base
                | {
                    "missing": row.missing,
                    "rung": row.limit_class,
                    "spread": row.spread,
                    "start": search.low,
                    "stop": search.high,
                    "n": most,
                },
            )
            if len(found) >= most:
                break
    for inner, outer in ((1.0, 1.15), (1.15, 1.5), (1.5, 3.0)):
        aside: list[Any] = []
        for start, stop in ((search.low / outer, search.low / inner), (search.high * inner, search.high * outer)):
            aside += connection.execute(
                text(RING + " LIMIT :n"),
                base | {"start": start, "stop": stop, "low": start / 3, "high": stop * 3, "n": most},
            )
        found += aside
        if len(aside) >= most:
            break
    return _rows(family, found)
