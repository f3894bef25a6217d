"""Catalogues for tests on both engines: a file of SQLite, a database of its own on the server that the environment names."""

from __future__ import annotations

import atexit
import os
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from itertools import count
from pathlib import Path

import pytest
from sqlalchemy import (
    URL,
    Connection,
    DateTime,
    Engine,
    MetaData,
    String,
    create_engine,
    insert,
    make_url,
    select,
    text,
)

from partsbin.store.engine import open_store
from partsbin.store.tables import append_only

NAMED = "PARTSBIN_TEST_POSTGRES"
"""The variable that holds the URL of a server on which the tests may make databases."""

SERVER = os.environ.get(NAMED, "")

on_server = pytest.mark.skipif(not SERVER, reason=f"{NAMED} names no server: .ci/postgres start FOLDER starts one")

ENGINES = ("sqlite", pytest.param("postgresql", marks=on_server))
"""What a test that runs on both is parametrised by."""

_number = count(1)


def _does(statement: str) -> None:
    engine = create_engine(SERVER, isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        connection.execute(text(statement))
    engine.dispose()


def new_database(template: str = "template0") -> URL:
    """Return the URL of a new database on the server."""
    name = f"partsbin_{os.getpid()}_{next(_number)}"
    _does(f"CREATE DATABASE {name} TEMPLATE {template}")
    return make_url(SERVER).set(database=name)


def drop_database(url: URL) -> None:
    """Remove a database, whoever is still connected to it."""
    _does(f"DROP DATABASE {url.database} WITH (FORCE)")


def lay_as(url: URL, file: Path) -> None:
    """Lay a catalogue of an older version into a new database, as that version had made it there."""
    old, new = create_engine(f"sqlite:///{file}"), create_engine(url)
    then = MetaData()
    then.reflect(old)
    for table in then.tables.values():
        for column in table.c:
            column.type = column.type.as_generic()
            if column.name in ("at", "taken_at"):
                column.type = DateTime(timezone=True)
            elif table.name == "search_word" and column.name != "id":
                column.type = String(collation="C")
        if table.name in ("movement", "reading"):
            append_only(table, table.name)
    with old.connect() as before, new.begin() as connection:
        then.create_all(connection)
        for table in then.sorted_tables:
            rows = [dict(row) for row in before.execute(select(table)).mappings()]
            if rows:
                connection.execute(insert(table), rows)
            if "id" in table.c and rows and table.name != "option_keys":
                connection.execute(
                    text(f"SELECT setval(pg_get_serial_sequence('{table.name}', 'id'), max(id)) FROM {table.name}")
                )
    old.dispose()
    new.dispose()


@cache
def _empty_catalogue() -> str:
    """An empty catalogue is made once: copies of it are quicker."""
    url = new_database()
    atexit.register(drop_database, url)
    open_store(shown(url)).dispose()
    return str(url.database)


def shown(url: URL) -> str:
    """Return a URL as it is typed."""
    return url.render_as_string(hide_password=False)


def new_store(kind: str, folder: Path) -> Engine:
    """Return an empty catalogue."""
    if kind == "sqlite":
        return open_store(folder / "catalogue.sqlite")
    return open_store(shown(new_database(_empty_catalogue())))


def remove(engine: Engine) -> None:
    """Close a catalogue of `new_store`, and remove it from the server."""
    engine.dispose()
    if engine.dialect.name == "postgresql":
        drop_database(engine.url)


def unguard(connection: Connection) -> None:
    """Let this transaction change what no one may: no trigger of the ledger holds it back, and on a server no reference."""
    if connection.dialect.name == "postgresql":
        connection.execute(text("SET LOCAL session_replication_role = replica"))
        return
    for table in ("movement", "reading", "act"):
        for verb in ("update", "delete"):
            connection.execute(text(f"DROP TRIGGER IF EXISTS {table}_no_{verb}"))


@cache
def shared_store(kind: str) -> Engine:
    """Return a catalogue for tests that take back all that they do: in memory, or one for the whole run."""
    if kind == "sqlite":
        return open_store("sqlite://")
    engine = new_store(kind, Path())
    atexit.register(remove, engine)
    return engine


@contextmanager
def undone(kind: str) -> Iterator[Connection]:
    """Give a connection to a catalogue that is empty again afterwards."""
    with shared_store(kind).connect() as connection:
        act = connection.begin()
        try:
            yield connection
        finally:
            act.rollback()
