"""Opening a catalogue: one SQLite file by default, any SQLAlchemy URL. No engine lives at module level."""

from __future__ import annotations

import os
import re
import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from threading import Lock
from typing import Any
from weakref import WeakKeyDictionary

from sqlalchemy import URL, Connection, Engine, create_engine, event, inspect, make_url, text
from sqlalchemy.exc import ArgumentError, DatabaseError, DBAPIError, OperationalError

from partsbin.errors import StoreError
from partsbin.store.repeating import note_open, settle
from partsbin.store.watching import stay_with

SCHEMA_VERSION = 9

CACHE = 65_536
"""What a connection may keep of the file in memory; the two megabytes that SQLite takes by itself do not hold a search [KiB]."""

PATIENCE = 30
"""How long a writer waits for its turn before it is told that the catalogue is in use [s]."""

ASKING = 0.004
"""How soon a writer asks a file again whether it is its turn [s]."""

BUSY = 10_000
"""How long anything else waits for a file: for the moment in which its log is folded in [ms]."""

QUEUE = "SELECT pg_advisory_xact_lock(hashtext('partsbin'), hashtext(current_schema()))"
"""What a writer waits for on a server: its turn at this catalogue, until its transaction ends."""


def default_file() -> Path:
    """Return the catalogue's file: ``PARTSBIN_DB``, else one in the user's data folder."""
    named = os.environ.get("PARTSBIN_DB", "")
    if named:
        return Path(named)
    from platformdirs import user_data_path

    return user_data_path("partsbin", appauthor=False) / "catalogue.sqlite"


def open_store(where: str | Path | None = None, *, create: bool = True) -> Engine:
    """Open a catalogue, creating what is missing.

    Parameters
    ----------
    where : str or Path, optional
        A file or an SQLAlchemy URL; without it the default file.
    create : bool
        Whether a catalogue that is not there is made.

    Returns
    -------
    Engine
        Ready for use.

    Raises
    ------
    StoreError
        If it is not there, not a catalogue, newer than this program, or cannot be opened.
    """
    named = str(where) if where is not None else os.environ.get("PARTSBIN_DB", "") or str(default_file())
    engine = _by_url(named, create) if "://" in named else _sqlite(Path(named).expanduser(), create)
    try:
        _prepare(engine, create)
    except (OperationalError, sqlite3.OperationalError) as fault:
        engine.dispose()
        why = fault.orig if isinstance(fault, OperationalError) else fault
        said = f"cannot open the catalogue {_shown(engine, named)!r}: {why}"
        raise StoreError(said, hint=advice(str(why))) from None
    except (
        DatabaseError,
        sqlite3.DatabaseError,
        UnicodeDecodeError,
    ) as fault:  # SQLite quotes what it read, text or not
        engine.dispose()
        why = fault.orig if isinstance(fault, DatabaseError) else fault
        raise StoreError(
            f"{_shown(engine, named)!r} is not a catalogue or is damaged: {why}", hint="restore a backup"
        ) from None
    except StoreError:
        engine.dispose()
        raise
    return engine


ADVICE = {
    "readonly": "may you write the file, its folder and what lies beside it (-wal, -shm)?",
    "unable to open": "may you read and write the file and its folder?",
    "disk I/O error": "is the disk full, or was it taken out? nothing was written",
    "is full": "nothing was written; make room on the disk",
}
"""What to look at, by what SQLite says."""


def advice(said: str) -> str:
    """Return what to look at for a fault of the database, "" where nobody knows."""
    return next((hint for words, hint in ADVICE.items() if words in said), "")


def _shown(engine: Engine, named: str) -> str:
    return named if engine.dialect.name == "sqlite" else engine.url.render_as_string()  # without its password


def _by_url(named: str, create: bool) -> Engine:
    try:
        url = make_url(named)
        if url.get_backend_name() == "sqlite" and url.database and url.database != ":memory:" and not url.query:
            return _sqlite(Path(url.database), create)
        return _with_our_begin(create_engine(url))
    except (ArgumentError, ImportError, ValueError) as fault:
        raise StoreError(
            f"cannot open {named!r}: {str(fault).partition(chr(10))[0]}",
            hint="a file, or a URL such as postgresql+psycopg://…",
        ) from None


def _sqlite(path: Path, create: bool) -> Engine:
    try:
        there = path.exists()
        if not there and create:
            path.parent.mkdir(parents=True, exist_ok=True)
            os.close(os.open(path, os.O_CREAT | os.O_RDWR, 0o600))  # the catalogue is private to its owner
    except (OSError, ValueError) as fault:
        why = fault.strerror if isinstance(fault, OSError) else fault
        raise StoreError(f"cannot open or create the catalogue {str(path)!r}: {why}") from None
    if not there and not create:
        raise StoreError(
            f"no catalogue at {str(path)!r}", hint="shelve or import something first, or name one with --db"
        )
    engine = create_engine(URL.create("sqlite", database=str(path)))  # a name may hold ? or %
    stay_with(engine, path, _look_over)
    return _with_our_begin(engine)


def _look_over(connection: Any) -> None:
    """Look over a file that lies in another's place, as opening a catalogue does; it gets its log."""
    try:
        row = connection.execute("SELECT value FROM meta WHERE name = 'schema_version'").fetchone()
        if row is None or str(row[0]) != str(SCHEMA_VERSION):
            raise StoreError(
                f"the catalogue was changed for one of schema {row and row[0]}, expected {SCHEMA_VERSION}",
                hint="end this program and start it again",
            )
        with suppress(sqlite3.OperationalError):  # somebody else is at it: then he gives it its log
            connection.execute("PRAGMA journal_mode=wal")
    except (sqlite3.DatabaseError, UnicodeDecodeError) as fault:
        raise StoreError(
            f"what lies in the catalogue's place is not one or is damaged: {fault}", hint="restore a backup"
        ) from None


def _with_our_begin(engine: Engine) -> Engine:
    event.listen(engine, "before_cursor_execute", _note)
    if engine.dialect.name == "sqlite":
        event.listen(engine, "connect", _pragmas)
        event.listen(engine, "begin", _begin)
    elif engine.dialect.name == "postgresql":
        event.listen(engine, "begin", _queue_up)
    return engine


def _note(connection: Connection, cursor: Any, statement: str, values: Any, context: Any, many: bool) -> None:
    note_open(statement, values)


def _pragmas(connection: Any, record: Any) -> None:
    connection.isolation_level = None  # we begin ourselves, see _begin
    cursor = connection.cursor()
    for pragma in ("foreign_keys=on", f"busy_timeout={BUSY}", "synchronous=normal", f"cache_size=-{CACHE}"):
        cursor.execute(f"PRAGMA {pragma}")
    cursor.close()


def _begin(connection: Connection) -> None:
    # A writer takes its lock at once: two acts at the same time queue up instead of failing half way.
    if not _is_writer(connection):
        connection.exec_driver_sql("BEGIN")
    elif not _had_its_turn(connection.connection.cursor()):
        connection.exec_driver_sql("BEGIN IMMEDIATE")  # for the last time: says why not


def _had_its_turn(cursor: Any) -> bool:
    # Left to itself SQLite asks ten times a second, and those who come later overtake for seconds on end: we ask more often.
    until = time.monotonic() + PATIENCE
    cursor.execute("PRAGMA busy_timeout=0")
    try:
        while time.monotonic() < until:
            try:
                cursor.execute("BEGIN IMMEDIATE")
            except sqlite3.OperationalError as fault:
                if fault.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY:
                    return False
                time.sleep(ASKING)
            else:
                return True
        return False
    finally:
        cursor.execute(f"PRAGMA busy_timeout={BUSY}")
        cursor.close()


def _queue_up(connection: Connection) -> None:
    # The same on a server: one writer at a time to a catalogue, so that whatever it reads stands until it has written. What it
    # reads after the wait is what the one before it left, hence the isolation of `writing`. Readers wait for nobody.
    if _is_writer(connection):
        connection.exec_driver_sql(f"SET LOCAL lock_timeout = '{PATIENCE}s'")
        connection.exec_driver_sql(QUEUE)


def _is_writer(connection: Connection) -> bool:
    return bool(connection.get_execution_options().get("partsbin_writing", False))


def _prepare(engine: Engine, create: bool) -> None:
    with engine.connect() as connection:
        version = schema_version(connection)
    if version is not None and version > SCHEMA_VERSION:
        raise StoreError(
            f"catalogue has schema {version}, this program knows up to {SCHEMA_VERSION}",
            hint="install the newer program",
        )
    if create or (version is not None and version < SCHEMA_VERSION):
        from partsbin.store.schema import complete  # the table models are loaded for writing only

        complete(engine)
        _log_ahead(engine)
    elif version is None:
        raise StoreError("this database holds no catalogue", hint="shelve or import something first")


def _log_ahead(engine: Engine) -> None:
    """Let readers go on while someone writes. It stays with the file, so it waits until the file is known to be ours."""
    if engine.dialect.name == "sqlite":
        raw = engine.raw_connection()
        try:
            raw.cursor().execute("PRAGMA journal_mode=wal")
        finally:
            raw.close()


def schema_version(connection: Connection) -> int | None:
    """Return the schema's number, None where the database holds no catalogue."""
    if not inspect(connection).has_table("meta"):
        return None
    found = connection.execute(text("SELECT value FROM meta WHERE name = 'schema_version'")).scalar()
    if found is not None and not str(found).isdecimal():
        raise StoreError(f"this database has schema {found!r}, expected a number", hint="restore a backup")
    return None if found is None else int(found)


_TURNS: WeakKeyDictionary[Engine, Lock] = WeakKeyDictionary()
"""Whose turn it is to write, among the threads of this process: they wait for each other without asking the file again and again."""


@contextmanager
def _in_turn(engine: Engine) -> Iterator[None]:
    if engine.dialect.name != "sqlite":
        yield
        return
    turn = _TURNS.setdefault(engine, Lock())
    had = turn.acquire(timeout=PATIENCE)  # whoever waits longer is told by the file that it is in use
    try:
        yield
    finally:
        if had:
            turn.release()


@contextmanager
def writing(engine: Engine) -> Iterator[Connection]:
    """Give a connection inside one transaction that holds the writer's lock: whole or not at all."""
    with _in_turn(engine), engine.connect() as connection:
        if engine.dialect.name == "postgresql":
            connection.execution_options(isolation_level="READ COMMITTED")
        with connection.execution_options(partsbin_writing=True).begin():
            yield connection


@contextmanager
def reading(engine: Engine) -> Iterator[Connection]:
    """Give a connection that sees one state of the catalogue throughout."""
    with engine.connect() as connection:
        if engine.dialect.name == "postgresql":  # as in SQLite: not the state that each statement finds
            connection.execution_options(isolation_level="REPEATABLE READ", postgresql_readonly=True)
        with connection.begin():
            yield connection
            settle(connection)


def may_write(engine: Engine) -> bool:
    """Return whether the catalogue may be written here: a file or a server may be open for reading only."""
    try:
        with writing(engine) as connection:
            connection.execute(text("DELETE FROM meta WHERE name = ''"))  # there is none: only whether it may be asked
    except DBAPIError as fault:
        if re.search("readonly|read-only|permission denied", str(fault.orig)):
            return False
        raise
    return True
