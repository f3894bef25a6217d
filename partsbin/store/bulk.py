"""Rows into one table: the statement is compiled once, and the rows go to the driver as tuples, converted here.

A file takes some rows with one statement, which is quicker by a quarter: much of what a statement costs does not grow with its rows.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import chain
from operator import itemgetter
from typing import Any, Literal

from sqlalchemy import Connection, Float, Insert, Table, insert
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.engine import Dialect
from sqlalchemy.sql.compiler import SQLCompiler

from partsbin.store.statements import Statement

VALUES_AT_ONCE = 240
"""Values that one statement writes into a file at most; no build of SQLite allows fewer than 999 [-]."""


@dataclass(frozen=True)
class _Plan:
    """How rows of some columns are written: the text, the order of its parameters, what fills and converts them.

    Parameters
    ----------
    text : str
        The statement, in the database's own style.
    order : tuple of str
        Columns in the order of the parameters.
    named : bool
        Whether parameters go by name.
    fixed : mapping of str to any
        Defaults of columns that are not given.
    convert : tuple of (int, callable)
        Place and conversion of the columns whose values the driver does not take as they are: dates, JSON.
    """

    text: str
    order: tuple[str, ...]
    named: bool
    fixed: Mapping[str, Any]
    convert: tuple[tuple[int, Callable[[Any], Any]], ...]

    def tuples(self, rows: Sequence[Mapping[str, Any]]) -> Sequence[tuple[Any, ...]]:
        """Return the parameters of each row."""
        if self.fixed:
            rows = [{**self.fixed, **row} for row in rows]
        made = (
            list(map(itemgetter(*self.order), rows)) if len(self.order) > 1 else [(row[self.order[0]],) for row in rows]
        )
        return self.converted(made)

    def parameters(self, rows: Sequence[Mapping[str, Any]]) -> list[Any]:
        """Return the same as the driver wants them: by name or by position."""
        made = self.tuples(rows)
        return [dict(zip(self.order, row, strict=True)) for row in made] if self.named else list(made)

    def converted(self, rows: Sequence[tuple[Any, ...]]) -> Sequence[tuple[Any, ...]]:
        """Return parameters as the driver takes them."""
        if not self.convert:
            return rows
        columns: list[Any] = list(zip(*rows, strict=True))
        for at, convert in self.convert:
            columns[at] = [None if value is None else convert(value) for value in columns[at]]
        return list(zip(*columns, strict=True))

    def write(self, connection: Connection, rows: Sequence[tuple[Any, ...]]) -> None:
        """Write rows of values as the driver takes them."""
        if self.named:
            connection.exec_driver_sql(self.text, [dict(zip(self.order, row, strict=True)) for row in rows])
            return
        size = max(VALUES_AT_ONCE // len(self.order), 1)
        whole = len(rows) // size * size if connection.dialect.name == "sqlite" else 0
        if whole:
            one = f"VALUES ({', '.join('?' * len(self.order))})"
            several = [tuple(chain.from_iterable(rows[start : start + size])) for start in range(0, whole, size)]
            text = self.text.replace(one, one + one.replace("VALUES", ",") * (size - 1))
            connection.exec_driver_sql(text, several)
        if whole < len(rows):
            connection.exec_driver_sql(self.text, list(rows[whole:]))


_Kind = Literal["", "new", "numbered"]
"""Of inserts: a plain one; one that passes over rows that are there; one that gives back the id."""


def insert_rows(connection: Connection, table: Table, rows: Sequence[Mapping[str, Any]]) -> None:
    """Insert rows that all have the same keys.

    Parameters
    ----------
    connection : Connection
        Inside a writing transaction.
    table : Table
        A column whose default is worked out by a function makes it an ordinary insert, which takes twice as long.
    rows : sequence of mapping
        Column names to values.
    """
    _insert(connection, table, rows, "")


def insert_new(connection: Connection, table: Table, rows: Sequence[Mapping[str, Any]]) -> None:
    """Insert rows as `insert_rows` does, but none whose key is there already."""
    _insert(connection, table, rows, "new")


def insert_one(connection: Connection, table: Table, row: Mapping[str, Any]) -> int:
    """Insert one row as `insert_rows` does, and return the id that it got."""
    # SQLite knows the last id anyway: to ask for it takes as long as the insert
    told = connection.dialect.name == "sqlite"
    kind: _Kind = "" if told else "numbered"
    plan = _plan(table, tuple(row), connection.dialect, kind)
    if plan is None:
        return int(connection.execute(insert(table).returning(table.c.id), dict(row)).scalar_one())
    made = connection.exec_driver_sql(plan.text, plan.parameters([row])[0])
    return int(made.lastrowid if told else made.scalar_one())


def insert_numbered(connection: Connection, table: Table, rows: Sequence[Mapping[str, Any]]) -> list[int]:
    """Insert rows as `insert_rows` does, and return the ids that they got, in order.

    SQLite gives ids back for one row at a time only; whoever writes there holds the lock, so the next ones are known.
    """
    if len(rows) < 2:
        return [insert_one(connection, table, row) for row in rows]
    if connection.dialect.name == "sqlite":
        last = Statement(f"SELECT coalesce(max(id), 0) FROM {table.name}").rows(connection, {})[0][0]
        ids = list(range(last + 1, last + 1 + len(rows)))
        insert_rows(connection, table, [{"id": ident, **row} for ident, row in zip(ids, rows, strict=True)])
        return ids
    returned = connection.execute(insert(table).returning(table.c.id, sort_by_parameter_order=True), list(rows))
    return [row[0] for row in returned]


def _insert(connection: Connection, table: Table, rows: Sequence[Mapping[str, Any]], kind: _Kind) -> None:
    if not rows:
        return
    plan = _plan(table, tuple(rows[0]), connection.dialect, kind)
    if plan is None:
        connection.execute(_statement(table, kind, connection.dialect.name), list(rows))
    else:
        plan.write(connection, plan.tuples(rows))


def pour_rows(connection: Connection, table: Table, rows: Sequence[tuple[Any, ...]]) -> None:
    """Insert rows that hold every column of a table, in its order; into a server with its own way for many rows, three times as fast.

    Parameters
    ----------
    connection : Connection
        Inside a writing transaction.
    table : Table
        Where to.
    rows : sequence of tuple
        At least one.
    """
    names = tuple(table.c.keys())
    plan = _plan(table, names, connection.dialect)
    if plan is None or plan.order != names:
        insert_rows(connection, table, [dict(zip(names, row, strict=True)) for row in rows])
    elif connection.dialect.driver == "psycopg":
        _copy_in(connection, table, plan, rows)
    else:
        plan.write(connection, plan.converted(rows))


def _copy_in(connection: Connection, table: Table, plan: _Plan, rows: Sequence[tuple[Any, ...]]) -> None:
    quoted = connection.dialect.identifier_preparer.quote
    driver: Any = connection.connection.cursor()
    with driver.copy(f"COPY {quoted(table.name)} ({', '.join(map(quoted, plan.order))}) FROM STDIN") as lines:
        for row in plan.converted(rows):
            lines.write_row(row)


def insert_tuples(
    connection: Connection, table: Table, names: tuple[str, ...], rows: Sequence[tuple[Any, ...]]
) -> None:
    """Insert rows given as tuples in the order of `names`, of values that the driver takes as they are.

    Parameters
    ----------
    connection : Connection
        Inside a writing transaction.
    table : Table
        Whose other columns may stay empty: no default is filled in.
    names : tuple of str
        Columns.
    rows : sequence of tuple
        Values.
    """
    if not rows:
        return
    plan = _plan(table, names, connection.dialect)
    if plan is None or plan.fixed or plan.convert or plan.named or plan.order != names:
        insert_rows(connection, table, [dict(zip(names, row, strict=True)) for row in rows])
    else:
        plan.write(connection, rows)


_MAKERS: Mapping[str, Any] = {"sqlite": sqlite.insert, "postgresql": postgresql.insert}


def _statement(table: Table, kind: _Kind, database: str) -> Insert:
    if kind == "new":
        passing_over: Insert = _MAKERS[database](table).on_conflict_do_nothing()
        return passing_over
    return insert(table).returning(table.c.id) if kind == "numbered" else insert(table)


@lru_cache(256)
def _plan(table: Table, names: tuple[str, ...], dialect: Dialect, kind: _Kind = "") -> _Plan | None:
    left = [column for column in table.c if column.name not in names and column.default is not None]
    if any(not getattr(column.default, "is_scalar", False) for column in left):
        return None
    fixed = {column.name: getattr(column.default, "arg", None) for column in left}
    compiled = _statement(table, kind, dialect.name).compile(dialect=dialect, column_keys=[*names, *fixed])
    assert isinstance(compiled, SQLCompiler)  # what compiling a statement gives
    named = compiled.positiontup is None
    order = tuple((*names, *fixed) if compiled.positiontup is None else compiled.positiontup)
    kinds = [table.c[name].type for name in order]
    converters = [
        None if isinstance(kind, Float) else kind.dialect_impl(dialect).bind_processor(dialect) for kind in kinds
    ]  # drivers take numbers as they are
    converted = tuple((at, convert) for at, convert in enumerate(converters) if convert is not None)
    return _Plan(compiled.string, order, named, fixed, converted)
