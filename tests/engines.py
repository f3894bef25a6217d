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

from partsbin.store.engine import SCHEMA_VERSION, open_store
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


SHAPE = """
SELECT md5(string_agg(line, ' ' ORDER BY line)) FROM (
  SELECT concat(c.relname, c.relkind, a.attname, a.attnum, format_type(a.atttypid, a.atttypmod), a.attnotnull, a.attisdropped,
    pg_get_expr(d.adbin, d.adrelid)) AS line
  FROM pg_class c LEFT JOIN pg_attribute a ON a.attrelid = c.oid AND a.attnum > 0
    LEFT JOIN pg_attrdef d ON d.adrelid = c.oid AND d.adnum = a.attnum
  WHERE c.relnamespace = 'public'::regnamespace
  UNION ALL SELECT concat(conname, pg_get_constraintdef(oid)) FROM pg_constraint WHERE connamespace = 'public'::regnamespace
  UNION ALL SELECT concat(tgname, tgrelid::regclass, tgenabled) FROM pg_trigger WHERE NOT tgisinternal
  UNION ALL SELECT concat(proname, prosrc) FROM pg_proc WHERE pronamespace = 'public'::regnamespace
) AS lines
"""
"""Tables, columns, indexes, sequences, constraints, triggers and functions of a database."""

TABLES = (
    "SELECT relname FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind = 'r' AND relname <> 'meta'"
)
NUMBERS = "SELECT schemaname || '.' || sequencename FROM pg_sequences WHERE last_value IS NOT NULL"
OTHERS = """
SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = current_database() AND pid <> pg_backend_pid()
"""

_emptied: list[URL] = []


@cache
def _empty_catalogue() -> tuple[str, str]:
    """An empty catalogue is made once: copies of it are quicker. Its name, and the shape that it has."""
    url = new_database()
    atexit.register(drop_database, url)
    atexit.register(lambda: [drop_database(each) for each in _emptied])
    engine = open_store(shown(url))
    with engine.connect() as connection:
        shape = str(connection.execute(text(SHAPE)).scalar_one())
    engine.dispose()
    return str(url.database), shape


def _empty(url: URL) -> bool:
    """Empty a catalogue that a test has used, so that the next gets it as new; one of another shape is left as it is."""
    engine = create_engine(url)
    try:
        with engine.begin() as connection:
            connection.execute(text(OTHERS))
            if connection.execute(text(SHAPE)).scalar_one() != _empty_catalogue()[1]:
                return False
            unguard(connection)
            names = connection.execute(text(TABLES)).scalars().all()
            used = " UNION ALL ".join(f"(SELECT '{name}' FROM {name} LIMIT 1)" for name in names)
            for name in connection.execute(text(used)).scalars().all():
                connection.execute(text(f"DELETE FROM {name}"))
            for name in connection.execute(text(NUMBERS)).scalars().all():
                connection.execute(text(f"ALTER SEQUENCE {name} RESTART"))
            connection.execute(text("DELETE FROM meta WHERE name <> 'schema_version'"))
            version = {"value": str(SCHEMA_VERSION)}
            connection.execute(text("UPDATE meta SET value = :value WHERE value <> :value"), version)
        return True
    finally:
        engine.dispose()


def shown(url: URL) -> str:
    """Return a URL as it is typed."""
    return url.render_as_string(hide_password=False)


def new_store(kind: str, folder: Path) -> Engine:
    """Return an empty catalogue: on a server one that a test has left and that was emptied, which takes a quarter of the time."""
    if kind == "sqlite":
        return open_store(folder / "catalogue.sqlite")
    return open_store(shown(_emptied.pop() if _emptied else new_database(_empty_catalogue()[0])))


def remove(engine: Engine) -> None:
    """Close a catalogue of `new_store`; on a server it is emptied for the next, or removed where a test changed its tables."""
    engine.dispose()
    if engine.dialect.name == "postgresql":
        if _empty(engine.url):
            _emptied.append(engine.url)
        else:
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
