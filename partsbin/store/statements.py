"""SQL texts that are run many times in one question, without the cost of building a result object for each.

A `find` asks some dozens of small questions of the indexes; through the toolkit's result layer each would take longer to
prepare than to answer. The text is compiled once for the database in use, whatever its parameter style.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from typing import Any

from sqlalchemy import Connection, text
from sqlalchemy.engine import Dialect

from partsbin.errors import StoreError
from partsbin.store.repeating import note

MOST_IDS = 4096
"""Numbers in one list: databases allow a limited number of parameters."""


class Statement:
    """One SQL text with named parameters (``:name``); ``IN :ids`` stands for a list of whole numbers.

    Parameters
    ----------
    query : str
        A SELECT.
    """

    def __init__(self, query: str) -> None:
        self.query = query

    def rows(self, connection: Connection, values: Mapping[str, Any]) -> list[Any]:
        """Return all rows as plain tuples.

        Raises
        ------
        StoreError
            If the database refuses.
        """
        return _read(connection, self.query, values)[1]

    def of_ids(self, connection: Connection, ids: Sequence[int], **values: Any) -> list[dict[str, Any]]:
        """Return the rows for a list of ids as mappings by column, in the order of the text for up to `MOST_IDS` of them.

        Raises
        ------
        StoreError
            If the database refuses.
        """
        return [
            dict(zip(names, row, strict=True)) for names, rows in self._by_ids(connection, ids, values) for row in rows
        ]

    def tuples_of_ids(self, connection: Connection, ids: Sequence[int], **values: Any) -> list[Any]:
        """Return the same rows as plain tuples, where there are many."""
        return [row for _, rows in self._by_ids(connection, ids, values) for row in rows]

    def _by_ids(
        self, connection: Connection, ids: Sequence[int], values: Mapping[str, Any]
    ) -> Iterator[tuple[list[str], list[Any]]]:
        for start in range(0, len(ids), MOST_IDS):
            some = ids[start : start + MOST_IDS]
            size = 1 << (len(some) - 1).bit_length()  # few different texts; the last id fills up what is left
            given = {f"id{at}": some[min(at, len(some) - 1)] for at in range(size)}
            listed = ", ".join(f":{name}" for name in given)
            yield _read(connection, self.query.replace(":ids", f"({listed})"), {**values, **given})


def _read(connection: Connection, query: str, values: Mapping[str, Any]) -> tuple[list[str], list[Any]]:
    made, order = _compiled(query, connection.dialect)
    database: Any = connection.dialect.dbapi
    cursor = connection.connection.cursor()
    given = values if order is None else tuple(values[name] for name in order)
    try:
        cursor.execute(made, given)
        names, rows = [column[0] for column in cursor.description or ()], list(cursor.fetchall())
        note(made, given, rows)
        return names, rows
    except database.Error as fault:
        raise StoreError(f"cannot read the catalogue: {fault}") from fault
    finally:
        cursor.close()


@cache
def _compiled(query: str, dialect: Dialect) -> tuple[str, tuple[str, ...] | None]:
    """Return the text in the database's own style, and the order of its parameters where they go by position."""
    made: Any = text(query).compile(dialect=dialect)
    return str(made), None if made.positiontup is None else tuple(made.positiontup)
