"""A copy of a catalogue in one file, consistent while others go on writing."""

from __future__ import annotations

import errno
import os
import sqlite3
from pathlib import Path
from typing import Any

from sqlalchemy import Engine

from partsbin.errors import StoreError


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
        finally:
            copy.close()
            raw.close()
        second_name(partial, target)
    except (OSError, sqlite3.Error) as fault:
        why = fault.strerror if isinstance(fault, OSError) else fault
        raise StoreError(f"cannot write the copy {str(target)!r}: {why}") from None
    finally:
        partial.unlink(missing_ok=True)


NO_LINKS = (errno.EPERM, errno.EOPNOTSUPP, errno.ENOSYS, errno.EINVAL)
"""What disks say that know one name a file alone, as memory sticks do."""


def second_name(file: Path, name: Path) -> None:
    """Give a file a name that nothing has; on a disk that knows one name a file alone, in the place of the one it has.

    Raises
    ------
    OSError
        If there is a file of that name, or the disk refuses.
    """
    try:
        os.link(file, name)  # refuses a file that came into being meanwhile, where a rename would write over it
    except OSError as fault:
        if fault.errno not in NO_LINKS:
            raise
        if name.exists():
            raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(name)) from None
        file.rename(name)
