"""The lines of price lists that wait unread, as columns: which may serve a need, the least dear first."""

from __future__ import annotations

import re
from collections.abc import Iterator

import numpy as np
import numpy.typing as npt
from sqlalchemy import Connection

from partsbin.families import Family
from partsbin.needs import Need
from partsbin.stock.sieve import SEVERAL, VALUED, bit
from partsbin.store.statements import Statement

AT_ONCE = 65_536
"""Lines that are fetched together: a million of them never stand as rows beside the columns that are made of them [-]."""

_WAITING = Statement("""
SELECT id, supplier_id, least, sieve, low, high, most FROM offer WHERE part_id IS NULL AND sieve > 0 AND id > :last
ORDER BY id LIMIT :many
""")
_SAID = Statement("SELECT id, said FROM offer WHERE id IN :ids")
_OTHER = re.compile(r"[\W_]+")

Mask = npt.NDArray[np.bool_]
Places = npt.NDArray[np.intp]


def _fetched(connection: Connection, at_once: int) -> Iterator[npt.NDArray[np.float64]]:
    """Yield the lines that wait, some at a time, in the order of their numbers."""
    last, more = 0, True
    while more:
        rows = _WAITING.rows(connection, {"last": last, "many": at_once})
        yield np.array(rows, dtype=np.float64).reshape(-1, 7)
        more = len(rows) == at_once
        last = rows[-1][0] if rows else last


class WaitingLines:
    """The lines that wait, the least dear first.

    Parameters
    ----------
    connection : Connection
        Reading one state of the catalogue.
    at_once : int
        Lines that are fetched together [-].
    """

    def __init__(self, connection: Connection, at_once: int = AT_ONCE) -> None:
        columns = np.concatenate([*_fetched(connection, at_once)]).T
        ids, _, least, sieve, *_ = columns
        least[(sieve.astype(np.int64) & SEVERAL) > 0] = 0.0  # the price may be that of several
        columns = columns[:, np.lexsort((ids, least))]
        self.id, self.supplier, self.sieve = (columns[at].astype(np.int64) for at in (0, 1, 3))
        self.least, self.low, self.high, self.most = (columns[at] for at in (2, 4, 5, 6))
        self.suppliers: list[int] = np.unique(self.supplier).tolist()
        self.left = np.ones(len(self.id), dtype=bool)

    def may(self, family: Family, need: Need) -> Mask:
        """Return which lines may serve a need."""
        own, search = bit(family.name), family.search(need)
        here: Mask = (self.sieve & own) > 0
        if own & VALUED and search.low <= search.high:  # else the need names no value
            here &= (self.low <= search.high) & (self.high >= search.low)
        if own & VALUED and search.least > 0:
            here &= self.most >= search.least
        return here

    def fit(self, family: Family, need: Need) -> Mask:
        """Return which lines may fit a need without care, by their value."""
        low, high = need.window("fits")
        if not (bit(family.name) & VALUED and low <= high):
            return np.ones(len(self.id), dtype=bool)
        here: Mask = (self.low <= high) & (self.high >= low)
        return here

    def keep_called(self, connection: Connection, may: Mask, names: re.Pattern[str]) -> None:
        """Leave of some lines those that hold one of some names, however it is written."""
        found = np.flatnonzero(may)
        said = {row["id"]: row["said"] for row in _SAID.of_ids(connection, self.id[found].tolist())}
        may[found] = [
            bool(names.search(_OTHER.sub("", said.get(ident, "")).upper())) for ident in self.id[found].tolist()
        ]

    def queues(self, may: Mask) -> dict[int, Places]:
        """Return lines by supplier, the least dear first."""
        found = np.flatnonzero(may)
        return {name: found[self.supplier[found] == name] for name in self.suppliers}
