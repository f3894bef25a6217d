"""Whether a catalogue has changed since it was last looked at, whoever changed it, and whether it is still that file."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Hashable
from contextlib import suppress
from pathlib import Path
from threading import Lock
from typing import Any

from sqlalchemy import Engine, event
from sqlalchemy.exc import DisconnectionError

from partsbin.errors import StoreError


def file_at(path: Path) -> tuple[int, int] | None:
    """Return which file lies at a path, None where none does: another one put in its place is another one."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino


def stay_with(engine: Engine, path: Path, look_over: Callable[[Any], None]) -> None:
    """Work with the file that lies at a path now: what is written into one that was taken away or replaced would be lost.

    Parameters
    ----------
    engine : Engine
        Whose connections are led there.
    path : Path
        Of a catalogue's file.
    look_over : callable
        ``look_over(connection)`` refuses another file than the first, if nothing can be done with it.
    """
    last: Hashable = None

    def there() -> Hashable:
        found = file_at(path)
        if found is None:  # SQLite would make a new one, empty
            raise StoreError(f"the catalogue {str(path)!r} is gone", hint="put it back, or restore a backup")
        return found

    def opening(*_: Any) -> None:
        there()

    def opened(connection: Any, record: Any) -> None:
        nonlocal last
        now = there()
        if last not in (None, now):
            look_over(connection)
        record.info["file"] = last = now

    def asked_for(connection: Any, record: Any, proxy: Any) -> None:
        if record.info["file"] != there():
            raise DisconnectionError

    event.listen(engine, "do_connect", opening)
    event.listen(engine, "connect", opened)
    event.listen(engine, "checkout", asked_for)


class Watch:
    """Looks at a catalogue's file through a connection of its own, which never writes: SQLite tells it of every change by others.

    Parameters
    ----------
    engine : Engine
        The catalogue. One on a server is not watched.
    """

    def __init__(self, engine: Engine) -> None:
        name = engine.url.database if engine.dialect.name == "sqlite" else None
        self._file = Path(name) if name and name != ":memory:" else None
        self._connection: sqlite3.Connection | None = None
        self._opened: Hashable = None
        self._times = 0  # opened: the numbers of SQLite begin anew with each connection
        self._lock = Lock()

    def state(self) -> Hashable:
        """Return what is another one after every change; None where nobody knows whether there was one."""
        if self._file is None:
            return None
        there = file_at(self._file)
        with self._lock:
            try:
                if there is None or there != self._opened:
                    self._let_go()
                if there is None:
                    return None
                if self._connection is None:
                    where = f"{self._file.absolute().as_uri()}?mode=rw"
                    # who looks waits for nobody: a file that somebody has for himself is not known to stand
                    self._connection = sqlite3.connect(
                        where, uri=True, check_same_thread=False, isolation_level=None, timeout=0
                    )
                    self._opened, self._times = there, self._times + 1
                return self._times, int(self._connection.execute("PRAGMA data_version").fetchone()[0])
            except sqlite3.Error:
                return None

    def close(self) -> None:
        """Let go of the file."""
        with self._lock:
            self._let_go()

    def _let_go(self) -> None:
        with suppress(sqlite3.Error):
            if self._connection is not None:
                self._connection.close()
        self._connection, self._opened = None, None
