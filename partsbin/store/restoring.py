"""Putting a copy in a catalogue's place: the copy is looked over first, what was there is kept beside it, nothing is half done."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from datetime import datetime
from pathlib import Path

from partsbin.errors import StoreError
from partsbin.files import second_name
from partsbin.store.copies import ALONE
from partsbin.store.engine import SCHEMA_VERSION

BESIDE = ("-wal", "-shm", "-journal")
"""What SQLite lays beside its file."""

UNREADABLE = (sqlite3.Error, UnicodeDecodeError)
"""What comes of a damaged file: the fault itself quotes what was read, be it text or not."""


def look_over(copy: Path) -> int:
    """Return the schema's number of a copy that is a whole catalogue.

    Raises
    ------
    StoreError
        If it is not there, is no catalogue, is damaged, or was written by a newer program.
    """
    if not copy.is_file():
        raise StoreError(f"no file {str(copy)!r}", hint="name a copy that partsbin backup wrote")
    try:
        with closing(sqlite3.connect(f"{copy.absolute().as_uri()}?mode=ro", uri=True)) as connection:
            damage = connection.execute("PRAGMA integrity_check(1)").fetchone()[0]
            row = connection.execute("SELECT value FROM meta WHERE name = 'schema_version'").fetchone()
    except UNREADABLE as fault:
        raise StoreError(f"{str(copy)!r} is not a catalogue or is damaged: {fault}", hint="try an older copy") from None
    if damage != "ok":
        raise StoreError(f"{str(copy)!r} is damaged: {damage}", hint="try an older copy")
    if row is None or not str(row[0]).isdecimal():
        raise StoreError(f"{str(copy)!r} holds no catalogue", hint="name a copy that partsbin backup wrote")
    if int(row[0]) > SCHEMA_VERSION:
        raise StoreError(
            f"{str(copy)!r} has schema {row[0]}, this program knows up to {SCHEMA_VERSION}",
            hint="install the newer program",
        )
    return int(row[0])


def restore(copy: Path, target: Path, at: datetime) -> Path | None:
    """Put a copy in the place of a catalogue.

    Parameters
    ----------
    copy : Path
        A copy of a catalogue; it stays as it is.
    target : Path
        The catalogue, which may be damaged or not there.
    at : datetime
        When: it names the file that keeps what was there.

    Returns
    -------
    Path or None
        Where the catalogue that was there lies now; None if there was none.

    Raises
    ------
    StoreError
        If the copy is no whole catalogue, both are one file, the catalogue is in use, or a file cannot be written.
    """
    look_over(copy)
    if target.exists() and copy.samefile(target):
        raise StoreError(f"{str(copy)!r} is the catalogue itself", hint="name a copy of it")
    try:
        kept = _free_name(target, at)
        if not target.exists():
            target.parent.mkdir(parents=True, exist_ok=True)
            _lay(copy, target, kept)
            return None
        if _is_whole(target):
            _lay(target, kept)
            _write_over(copy, target)
        else:  # nothing can be written into it in a transaction: the file itself goes aside
            _lay(copy, target, kept)
    except (OSError, sqlite3.Error) as fault:
        why = fault.strerror if isinstance(fault, OSError) else fault
        raise StoreError(f"cannot restore {str(target)!r}: {why}", hint="nothing was changed; is it in use?") from None
    return kept


def _is_whole(file: Path) -> bool:
    try:
        with closing(sqlite3.connect(file)) as connection:
            return bool(connection.execute("PRAGMA integrity_check(1)").fetchone()[0] == "ok")
    except UNREADABLE:
        return False


def _free_name(target: Path, at: datetime) -> Path:
    kept = Path(f"{target}.before-{at:%Y%m%d-%H%M%S}")
    number = 1
    while kept.exists():
        number += 1
        kept = Path(f"{target}.before-{at:%Y%m%d-%H%M%S}.{number}")
    return kept


def _copy(source: Path, target: Path) -> None:
    os.close(os.open(target, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
    with closing(sqlite3.connect(source)) as old, closing(sqlite3.connect(target)) as new:
        old.backup(new)
        new.execute(ALONE)


def _write_over(copy: Path, target: Path) -> None:
    """Into the file that is there, in one transaction: others who have it open see the old state or the new one."""
    with closing(sqlite3.connect(copy)) as source, closing(sqlite3.connect(target, timeout=10)) as into:
        source.backup(into, pages=-1)


def _lay(copy: Path, target: Path, kept: Path | None = None) -> None:
    """Put a copy under a name, whole or not at all; what lies there and beside it goes aside under another."""
    partial = target.with_name(f"{target.name}.partial")
    try:
        partial.unlink(missing_ok=True)
        _copy(copy, partial)
        with partial.open("rb+") as file:
            os.fsync(file.fileno())
        if kept:
            _put_aside(target, kept)
        partial.replace(target)
    finally:
        partial.unlink(missing_ok=True)


def _put_aside(target: Path, kept: Path) -> None:
    """Keep a damaged file, which stays until the copy takes its name; its log must not be folded into the copy."""
    for end in BESIDE:
        if (beside := Path(f"{target}{end}")).exists():
            beside.replace(f"{kept}{end}")
    if target.exists():
        second_name(target, kept)
