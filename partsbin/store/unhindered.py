"""Many rows into empty tables of a server: indexes and references are taken down and made once over all rows, not row by row."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import Connection

_REFERENCES = """
SELECT conrelid::regclass::text, quote_ident(conname), pg_get_constraintdef(oid) FROM pg_constraint
WHERE contype = 'f' AND connamespace = current_schema()::regnamespace ORDER BY 1, 2
"""
_INDEXES = """
SELECT indexrelid::regclass::text, pg_get_indexdef(indexrelid) FROM pg_index JOIN pg_class ON pg_class.oid = indexrelid
WHERE relnamespace = current_schema()::regnamespace
  AND NOT EXISTS (SELECT 1 FROM pg_constraint WHERE conindid = indexrelid) ORDER BY 1
"""


@contextmanager
def unhindered(connection: Connection) -> Iterator[None]:
    """Write many rows into the empty tables of a catalogue; what the database would have refused it refuses at the end.

    Parameters
    ----------
    connection : Connection
        Inside the writing transaction: another one never sees tables without indexes. In a file nothing is taken down.
    """
    if connection.dialect.name != "postgresql":
        yield
        return
    references = connection.exec_driver_sql(_REFERENCES).all()
    indexes = connection.exec_driver_sql(_INDEXES).all()
    for table, name, _ in references:
        connection.exec_driver_sql(f"ALTER TABLE {table} DROP CONSTRAINT {name}")
    for name, _ in indexes:
        connection.exec_driver_sql(f"DROP INDEX {name}")
    yield
    for _, made in indexes:
        connection.exec_driver_sql(made)
    for table, name, made in references:
        connection.exec_driver_sql(f"ALTER TABLE {table} ADD CONSTRAINT {name} {made}")
