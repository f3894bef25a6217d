"""SQL texts that are run many times, without the cost of building an expression and a result object for each.

A `find` asks some dozens of small questions of the indexes; through the toolkit's result layer each would take longer to
prepare than to answer. The text is compiled once for the database in use, whatever its parameter style.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any
from weakref import WeakKeyDictionary

from sqlalchemy import Connection, CursorResult, TextClause, UpdateBase, text
from sqlalchemy.engine import Dialect

from partsbin.errors import StoreError
from partsbin.store.repeating import note

MOST_IDS = 4096
"""Numbers in one list: databases allow a limited number of parameters."""


class Statement:
    """One SQL text with named parameters (``:name``); ``IN :ids`` stands for a list of whole numbers, or of texts.

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

    def of_ids(self, connection: Connection, ids: Sequence[Any], **values: Any) -> list[dict[str, Any]]:
        """Return the rows for a list of ids as mappings by column, in the order of the text for up to `MOST_IDS` of them.

        Raises
        ------
        StoreError
            If the database refuses.
        """
        return [
            dict(zip(names, row, strict=True)) for names, rows in self._by_ids(connection, ids, values) for row in rows
        ]

    def tuples_of_ids(self, connection: Connection, ids: Sequence[Any], **values: Any) -> list[Any]:
        """Return the same rows as plain tuples, where there are many."""
        return [row for _, rows in self._by_ids(connection, ids, values) for row in rows]

    def _by_ids(
        self, connection: Connection, ids: Sequence[Any], values: Mapping[str, Any]
    ) -> Iterator[tuple[list[str], list[Any]]]:
        for start in range(0, len(ids), MOST_IDS):
            some = ids[start : start + MOST_IDS]
            size = 1 << (len(some) - 1).bit_length()  # few different texts; the last id fills up what is left
            query, names = _listing(self.query, size)
            filled = [*some, *[some[-1]] * (size - len(some))]
            yield _read(connection, query, {**values, **dict(zip(names, filled, strict=True))})


class Change:
    """One statement that writes, an UPDATE or a DELETE: compiled once, whereas the toolkit looks up each time what it compiled.

    Parameters
    ----------
    query : str or UpdateBase
        A text with named parameters (``:name``) of numbers and texts; or an expression, where values want converting.
    """

    def __init__(self, query: str | UpdateBase) -> None:
        self.query: TextClause | UpdateBase = text(query) if isinstance(query, str) else query
        self._forms: WeakKeyDictionary[Dialect, _Form] = WeakKeyDictionary()

    def run(self, connection: Connection, values: Mapping[str, Any]) -> CursorResult[Any]:
        """Do it, and return what the database says: how many rows, and what was asked of them with RETURNING."""
        form = self._forms.get(connection.dialect)
        if form is None:
            form = self._forms[connection.dialect] = _form(self.query, connection.dialect)
        given = {**form.fixed, **values}
        for name, convert in form.convert.items():
            given[name] = convert(given[name])
        order = form.order
        return connection.exec_driver_sql(form.text, given if order is None else tuple(given[name] for name in order))


@dataclass(frozen=True)
class _Form:
    """A statement as one database takes it: text, order of parameters by position, values of its own, what converts the others."""

    text: str
    order: tuple[str, ...] | None
    fixed: Mapping[str, Any]
    convert: Mapping[str, Callable[[Any], Any]]


def _form(query: TextClause | UpdateBase, dialect: Dialect) -> _Form:
    made: Any = query.compile(dialect=dialect)
    fixed = {name: bound.value for name, bound in made.binds.items() if not bound.required}
    converters = {name: bound.type.dialect_impl(dialect).bind_processor(dialect) for name, bound in made.binds.items()}
    order = None if made.positiontup is None else tuple(made.positiontup)
    return _Form(str(made), order, fixed, {name: each for name, each in converters.items() if each is not None})


@cache
def _listing(query: str, size: int) -> tuple[str, tuple[str, ...]]:
    """Return a text with a list of so many ids in it, and the names of these."""
    names = tuple(f"id{at}" for at in range(size))
    return query.replace(":ids", f"({', '.join(f':{name}' for name in names)})"), names


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
