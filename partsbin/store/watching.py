"""Whether a catalogue has changed since it was last looked at, whoever changed it."""

from __future__ import annotations

import sqlite3
from collections.abc import Hashable
from contextlib import suppress
from pathlib import Path
from threading import Lock

from sqlalchemy import Engine


def file_at(path: Path) -> tuple[int, int] | None:
    """Return which file lies at a path, None where none does: another one put in its place is another one."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino


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
