"""Search keys as they were read: columns to be judged, and who stands behind a row that many share.

Options that are alike in every key get the same bound and differ in their promise and number alone. Where there are many of
them they are read and judged as one row; who they are is read when their turn comes, in their order.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
from sqlalchemy import Connection

from partsbin.families import Family
from partsbin.matching.names import Names, at_best
from partsbin.store.statements import Statement

COLUMNS = "o.id, o.value, o.low, o.high, o.limit_high, o.kind, o.promise, o.missing, 1, 0, 0"
"""One option: its keys, and that it is one."""

LIMIT, FIRST_OF_THEM, NUMBER = 4, 6, 8
"""Which column holds the rating, which the promise (of those alike: with the id of the first), and which says how many."""

_IDS = 1 << 36  # more than any id, and 63 bits hold every promise beside it
ALIKE = f"""
-1, o.value, o.low, o.high, o.limit_high, o.kind, min(o.promise * {_IDS} + o.id), r.missing, count(*), r.limit_class, r.spread
"""
TOGETHER = "GROUP BY r.missing, r.limit_class, r.spread, o.value, o.low, o.high, o.limit_high, o.kind"
"""Options alike: their keys, how many there are, and where they lie in the index."""

MEMBERS = """
SELECT o.promise, o.id FROM option_keys o
WHERE o.family = :family AND o.missing = :missing AND o.limit_class = :limit_class AND o.spread = :spread
  AND o.value = :value AND o.low = :low AND o.high = :high AND o.limit_high = :limit AND o.kind = :kind
  AND (o.promise, o.id) > (:promise, :id)
ORDER BY o.promise, o.id LIMIT :n
"""
MEMBERS_UNLIMITED = MEMBERS.replace("o.limit_high = :limit", "o.limit_high IS NULL")
_MEMBERS, _MEMBERS_UNLIMITED = Statement(MEMBERS), Statement(MEMBERS_UNLIMITED)
FIRST = 8


@dataclass
class Alike:
    """Options that one row of keys stands for.

    Parameters
    ----------
    number : int
        How many they are [-].
    known : list of (promise, id)
        Those read so far, in their order: at least the first.
    """

    connection: Connection
    family: str
    row: tuple[Any, ...]
    number: int
    known: list[tuple[int, int]]

    def __iter__(self) -> Iterator[tuple[int, int]]:
        """Yield promise and id, the best promise first."""
        at = 0
        while at < self.number:
            if at == len(self.known) and not self._read():
                return
            yield self.known[at]
            at += 1

    def _read(self) -> bool:
        """Read on, four times as many as are known."""
        _, value, low, high, limit, kind, _, missing, _, limit_class, spread = self.row
        keys = {
            "family": self.family, "missing": missing, "limit_class": limit_class, "spread": spread,
            "value": value, "low": low, "high": high, "limit": limit, "kind": kind,
        }  # fmt: skip
        statement = _MEMBERS_UNLIMITED if limit is None else _MEMBERS
        promise, ident = self.known[-1]
        n = max(FIRST, 3 * len(self.known))
        more = statement.rows(self.connection, {**keys, "promise": promise, "id": ident, "n": n})
        self.known += [(promise, ident) for promise, ident in more]
        return bool(more)


@dataclass(frozen=True)
class KeyRows:
    """Search keys of n rows, as columns of the family's quantities with the keys' own beside them.

    A row stands for one option, or for those under its number in `alike`: then `promise` is the best of theirs and `id` is -1.
    """

    id: npt.NDArray[np.int64]
    promise: npt.NDArray[np.int64]
    missing: npt.NDArray[np.int64]
    columns: Mapping[str, npt.NDArray[Any]]
    alike: Mapping[int, Alike]

    def __len__(self) -> int:
        return len(self.id)


def key_rows(
    connection: Connection, family: Family, found: Sequence[tuple[Any, ...]], names: Names | None = None
) -> KeyRows:
    """Lay rows of `COLUMNS` or `ALIKE` out as columns; where a name decides, with what follows from theirs."""
    table = np.array(found, dtype=np.float64) if found else np.empty((0, 11))  # ids and kinds stay exact below 2**53
    keys = family.keys
    columns: dict[str, npt.NDArray[Any]] = keys.unpack(table[:, 5].astype(np.int64))
    if names is not None and keys.named is not None:
        columns |= names.of(table[:, 1]) | at_best(keys.named, columns)
    else:
        columns |= {name: table[:, 1 + at] for at, name in enumerate((keys.value, keys.low, keys.high, keys.limit))}
    ident, promise, missing = (table[:, column].astype(np.int64) for column in (0, 6, 7))
    alike = {at: _alike(connection, family, found[at]) for at in np.flatnonzero(table[:, 0] < 0).tolist()}
    for at, several in alike.items():
        promise[at] = several.known[0][0]
    return KeyRows(ident, promise, missing, columns, alike)


def _alike(connection: Connection, family: Family, row: tuple[Any, ...]) -> Alike:
    return Alike(connection, family.name, row, row[NUMBER], [divmod(row[FIRST_OF_THEM], _IDS)])
