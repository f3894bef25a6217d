"""Many rows into one table: the statement is compiled once, and rows that need no conversion go to the driver as they are."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from sqlalchemy import Connection, Table, insert
from sqlalchemy.sql.compiler import SQLCompiler

_PLAIN = frozenset({int, float, str, bool, bytes})


def insert_rows(connection: Connection, table: Table, rows: Sequence[Mapping[str, Any]]) -> None:
    """Insert rows that all have the same keys.

    Parameters
    ----------
    connection : Connection
        Inside a writing transaction.
    table : Table
        Dates, JSON and defaults make it an ordinary insert, which takes twice as long.
    rows : sequence of mapping
        Column names to values.
    """
    if not rows:
        return
    names = list(rows[0])
    compiled = insert(table).compile(dialect=connection.dialect, column_keys=names)
    assert isinstance(compiled, SQLCompiler)  # what compiling a statement gives
    if compiled.insert_prefetch or not all(table.c[name].type.python_type in _PLAIN for name in names):
        connection.execute(insert(table), list(rows))
    elif (order := compiled.positiontup) is not None:
        connection.exec_driver_sql(compiled.string, [tuple([row[name] for name in order]) for row in rows])
    else:
        connection.exec_driver_sql(compiled.string, [dict(row) for row in rows])
