"""A whole catalogue carried from one database to another, a file or a server, and compared row by row before it counts."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sqlalchemy import ColumnElement, Connection, Engine, Integer, String, Table, delete, func, inspect, select, text
from sqlalchemy.exc import DBAPIError
from sqlmodel import SQLModel

import partsbin.store.schema  # noqa: F401 it knows every table but those of the families
from partsbin import families
from partsbin.errors import StoreError
from partsbin.files import new_file
from partsbin.store.bulk import pour_rows
from partsbin.store.engine import open_store, reading, writing
from partsbin.store.family_tables import tables
from partsbin.store.restoring import BESIDE
from partsbin.store.tables import Meta, table_of
from partsbin.store.unhindered import unhindered

AT_ONCE = 2_000
"""Rows that are read and written together; a table of large ones says fewer."""

_SCHEMA = "schema_version"

_Rows = list[tuple[Any, ...]]
_Counting = Callable[[Iterable[_Rows]], Iterator[_Rows]]

Telling = Callable[[str, int, int], None]
"""``tell(what, rows, of)``: what is done with the rows now, how many are done, of how many."""


def _silent(what: str, rows: int, of: int) -> None:
    """Nobody listens."""


@dataclass(frozen=True)
class Carried:
    """One table as it stands in both: how many rows, and their digest in the order of the key."""

    table: str
    rows: int
    digest: str


def carry(source: Engine, target: Engine, tell: Telling = _silent) -> list[Carried]:
    """Copy every row of a catalogue into an empty one, in one transaction, and compare the two.

    Parameters
    ----------
    source, target : Engine
        The catalogue, and an empty one; both have the tables of this program.
    tell : callable
        ``tell("copied", rows, of)`` now and then, with the rows written so far; then ``"compared"`` in the same way.

    Returns
    -------
    list of Carried
        Each table, equal in both.

    Raises
    ------
    StoreError
        If the target is not empty, a table or a column of the source is unknown here, the target refuses a row, or the two
        differ afterwards. Nothing is written then.

    Notes
    -----
    Rows are digested as they are read for copying, and once more as the target gives them back. Derived tables are carried as
    they are.
    """
    known = _known()
    with reading(source) as old, writing(target) as new:
        _refuse_unknown(old, known)
        _refuse_used(new, known)
        new.execute(delete(table_of(Meta)))
        of = sum(_count(old, table) for table in known)
        try:
            with unhindered(new):
                before = list(_copied(old, new, known, _counting("copied", of, tell)))
        except DBAPIError as fault:
            said = str(fault.orig).partition("\n")[0]
            raise StoreError(f"the rows do not go together there: {said}", hint="nothing was written") from None
        _number_on(new, known)
        count = _counting("compared", of, tell)
        for table, first in zip(known, before, strict=True):
            _refuse_different(first, _digested(table, count(_batches(new, table))))
        return before


def carry_to(source: Engine, to: str, tell: Telling = _silent) -> tuple[str, list[Carried]]:
    """Copy every row into what a URL or the name of a file stands for.

    Parameters
    ----------
    source : Engine
        The catalogue.
    to : str
        An empty database, or a file that is not there yet: that gets its name when all is in it and compared.
    tell : callable
        As `carry` does.

    Returns
    -------
    (str, list of Carried)
        Where the rows are now, without a password, and each table.

    Raises
    ------
    StoreError
        As `carry` does, and if the file came to be meanwhile.
    """
    file = None if "://" in to else Path(to).expanduser()
    if file is None or file.exists():
        return _opened(source, to, tell)
    try:
        with new_file(file) as half:
            _clear(half)  # of a copy that was killed
            try:
                _, made = _opened(source, str(half), tell)
            except BaseException:
                _clear(half)
                raise
    except OSError as fault:
        raise StoreError(f"cannot write {str(file)!r}: {fault.strerror}") from None
    return str(file), made


def _clear(half: Path) -> None:
    for end in ("", *BESIDE):
        Path(f"{half}{end}").unlink(missing_ok=True)


def _opened(source: Engine, to: str, tell: Telling) -> tuple[str, list[Carried]]:
    target = open_store(to)
    try:
        made = carry(source, target, tell)
    finally:
        target.dispose()
    return str(target.url.database) if target.dialect.name == "sqlite" else target.url.render_as_string(), made


def strangers(engine: Engine) -> list[str]:
    """Return the tables beside a catalogue that are none of ours: they are not carried."""
    with engine.connect() as connection:
        return sorted(set(inspect(connection).get_table_names()) - {table.name for table in _known()})


def _known() -> list[Table]:
    for name in families.names():
        tables(name)
    return list(SQLModel.metadata.sorted_tables)


def _refuse_unknown(connection: Connection, known: Iterable[Table]) -> None:
    there = inspect(connection)
    for table in known:
        ours, its = set(table.c.keys()), {column["name"] for column in there.get_columns(table.name)}
        if ours != its:
            name = min(ours ^ its)
            said = "has {!r}, which this program does not know" if name in its else "lacks {!r}"
            raise StoreError(
                f"{table.name} {said.format(name)}", hint="it was made by another version; nothing was written"
            )


def _refuse_used(connection: Connection, known: Iterable[Table]) -> None:
    for table in known:
        rows = select(func.count()).select_from(table)
        if table.name == "meta":
            rows = rows.where(table.c.name != _SCHEMA)
        if number := int(connection.execute(rows).scalar_one()):
            said = "a row" if number == 1 else f"{number} rows"
            raise StoreError(f"the target is not empty: {said} in {table.name}", hint="name a new file or database")


def _count(connection: Connection, table: Table) -> int:
    return int(connection.execute(select(func.count()).select_from(table)).scalar_one())


def _counting(what: str, of: int, tell: Telling) -> _Counting:
    """Return what hands batches on and tells how many rows went by, over all tables."""
    done = 0
    tell(what, 0, of)

    def count(batches: Iterable[_Rows]) -> Iterator[_Rows]:
        nonlocal done
        for rows in batches:
            yield rows
            tell(what, done := done + len(rows), of)

    return count


def _copied(old: Connection, new: Connection, known: Iterable[Table], count: _Counting) -> Iterator[Carried]:
    refused = (DBAPIError, getattr(new.dialect.dbapi, "Error", DBAPIError))  # the second: many rows go past SQLAlchemy
    for table in known:

        def written(table: Table = table) -> Iterator[_Rows]:
            for rows in count(_batches(old, table)):
                pour_rows(new, table, rows)
                yield rows

        try:
            yield _digested(table, written())
        except refused as fault:
            said = str(fault.orig if isinstance(fault, DBAPIError) else fault).partition("\n")[0]
            raise StoreError(
                f"{table.name}: a row cannot be written there: {said}", hint="nothing was written"
            ) from None


def _batches(connection: Connection, table: Table) -> Iterator[_Rows]:
    # In the order of the key: a part that was split off comes after the one that it was split from, and both sides of the
    # comparison come alike.
    query = select(table).order_by(*(_bytewise(connection, column) for column in table.primary_key))
    at_once = table.info.get("at_once", AT_ONCE)
    for some in connection.execute(query, execution_options={"yield_per": at_once}).partitions():
        yield [tuple(row) for row in some]


def _bytewise(connection: Connection, column: ColumnElement[Any]) -> ColumnElement[Any]:
    """Texts in the order of their bytes, as in a file, whatever language a server sorts by."""
    on_server = connection.dialect.name == "postgresql" and isinstance(column.type, String)
    return column.collate("C") if on_server else column


def _number_on(connection: Connection, known: Iterable[Table]) -> None:
    """Let a server number new rows from the highest on, and look at how many there are of what before it plans."""
    if connection.dialect.name != "postgresql":
        return
    for table in known:
        column = table.autoincrement_column
        if column is not None and isinstance(column.type, Integer):
            sequence = f"pg_get_serial_sequence('{table.name}', '{column.name}')"
            connection.execute(
                text(f"SELECT setval({sequence}, max({column.name})) FROM {table.name} HAVING count(*) > 0")
            )
    connection.execute(text("ANALYZE"))


def _digested(table: Table, batches: Iterable[_Rows]) -> Carried:
    digest, number = hashlib.sha256(), 0
    for rows in batches:
        digest.update("".join(map(repr, rows)).encode("utf-8", "surrogatepass"))
        number += len(rows)
    return Carried(table.name, number, digest.hexdigest())


def _refuse_different(before: Carried, after: Carried) -> None:
    if before != after:
        raise StoreError(
            f"{before.table} came out different: {before.rows} rows before, {after.rows} after",
            hint="nothing was written",
        )
