"""A copy of a catalogue in one file, consistent while others go on writing."""

from __future__ import annotations

import os
import sqlite3
from pathlib import Path
from typing import Any

from sqlalchemy import Engine

from partsbin.errors import StoreError
from partsbin.files import second_name

ALONE = "PRAGMA journal_mode=delete"
"""A copy is one file that can be read where nothing can be written beside it; as a catalogue it gets a log again."""


def copy_to(engine: Engine, target: Path) -> None:
    """Copy an SQLite catalogue into a new file, as it stands at one moment.

    Parameters
    ----------
    engine : Engine
        The catalogue, in SQLite.
    target : Path
        A file that is not there yet; it is made private to its owner, and is there whole or not at all.

    Raises
    ------
    StoreError
        If the file is there, or cannot be written.
    """
    partial = target.with_name(f"{target.name}.partial")
    try:
        if target.exists():
            raise StoreError(f"{str(target)!r} is there already", hint="name a file that is not")
        os.close(os.open(partial, os.O_CREAT | os.O_RDWR | os.O_TRUNC, 0o600))
        raw = engine.raw_connection()
        copy = sqlite3.connect(partial)
        try:
            source: Any = raw.driver_connection
            source.backup(copy)
            copy.execute(ALONE)
        finally:
            copy.close()
            raw.close()
        second_name(partial, target)
    except (OSError, sqlite3.Error) as fault:
        why = fault.strerror if isinstance(fault, OSError) else fault
        raise StoreError(f"cannot write the copy {str(target)!r}: {why}") from None
    finally:
        partial.unlink(missing_ok=True)
