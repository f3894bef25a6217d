"""Rows of a list that came in before and have changed since: the same part with another count is not shelved twice."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from sqlalchemy import Connection

from partsbin.stock.columns import Mapping as ColumnMap
from partsbin.stock.row_keys import RowKeys
from partsbin.stock.shelf import number_of
from partsbin.store.statements import Statement

_CAME = Statement(
    "SELECT o.id, o.key, o.cells, p.id FROM file_origin o JOIN part p ON p.file_origin_id = o.id"
    " WHERE o.file = :file AND o.id > :after ORDER BY o.id LIMIT :n"
)
_CHUNK = 4096

MAY_CHANGE = frozenset({"", "count", "place", "note"})
"""Roles of columns that may say something else of the same part later; what is not read is among them."""


class Gone(NamedTuple):
    """A row that came in before and stands in the list no longer as it was."""

    number: str
    cells: Mapping[str, str]


def gone_from(connection: Connection, file: str, seen: RowKeys) -> Iterator[Gone]:
    """Yield the rows of a file that are here and not among the rows seen now."""
    after = 0
    while rows := _CAME.rows(connection, {"file": file, "after": after, "n": _CHUNK}):
        for _, key, cells, part in rows:
            if not seen.has(key):
                yield Gone(number_of(part), json.loads(cells) if isinstance(cells, str) else cells)
        after = rows[-1][0]


class Changes:
    """Finds for a row of a list the row that it was when the list came in before.

    Parameters
    ----------
    gone : list of Gone
        Rows that came in before and are not in the list now.
    mapping : Mapping
        What the columns are.
    """

    def __init__(self, gone: list[Gone], mapping: ColumnMap) -> None:
        self.mapping = mapping
        self.held = [column.heading for column in mapping.columns if column.role not in MAY_CHANGE]
        self.by_part: dict[tuple[str, ...], list[Gone]] = defaultdict(list)
        for row in reversed(gone):
            self.by_part[self._part(row.cells)].append(row)

    def _part(self, cells: Mapping[str, str]) -> tuple[str, ...]:
        return tuple(cells.get(heading, "") for heading in self.held)

    def of(self, cells: Mapping[str, str]) -> tuple[str, str] | None:
        """Return the part that came from the row before, and in words what has changed; each is found once."""
        there = self.by_part.get(self._part(cells))
        if not there:
            return None
        was = there.pop()
        said = [
            f"{heading} {was.cells.get(heading, '')!r}, now {now!r}"
            for heading, now in cells.items()
            if now != was.cells.get(heading, "")
        ]
        return was.number, "; ".join(said)
