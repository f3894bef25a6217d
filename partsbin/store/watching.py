"""Whether a catalogue has changed since it was last looked at, whoever changed it."""

from __future__ import annotations

import sqlite3
from contextlib import suppress
from pathlib import Path
from threading import Lock

from sqlalchemy import Engine


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
        self._lock = Lock()

    def state(self) -> int | None:
        """Return a number that is another one after every change; None where nobody knows whether there was one."""
        if self._file is None:
            return None
        with self._lock:
            try:
                if self._connection is None:
                    where = f"{self._file.absolute().as_uri()}?mode=rw"
                    self._connection = sqlite3.connect(where, uri=True, check_same_thread=False, isolation_level=None)
                return int(self._connection.execute("PRAGMA data_version").fetchone()[0])
            except sqlite3.Error:
                return None

    def close(self) -> None:
        """Let go of the file."""
        with self._lock, suppress(sqlite3.Error):
            if self._connection is not None:
                self._connection.close()
            self._connection = None
