"""Devices that were let in: each has a token, of which the catalogue keeps the hash only."""

from __future__ import annotations

import hashlib
import secrets
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Engine, Row, insert, select, update
from sqlalchemy.exc import DBAPIError

from partsbin.errors import RefusedError
from partsbin.store.engine import reading, writing
from partsbin.store.statements import Statement

LONGEST_NAME = 60
"""Letters that a device's name may have, at most [-]."""

_KNOWN = Statement("SELECT id, seen_at FROM paired_device WHERE token_hash = :hash AND forgotten_at IS NULL")


@dataclass(frozen=True)
class Device:
    """One device.

    Parameters
    ----------
    id : int
        Its number.
    name : str
        What whoever let it in calls it.
    paired_at, seen_at, forgotten_at : datetime or None
        When it was let in, the first request of the last day on which it asked, when it was forgotten.
    """

    id: int
    name: str
    paired_at: datetime
    seen_at: datetime | None
    forgotten_at: datetime | None


def let_in(connection: Connection, name: str, at: datetime) -> tuple[Device, str]:
    """Write a device down and return it with its token, which is told to the device and kept nowhere."""
    from partsbin.store.page_tables import PairedDevice
    from partsbin.store.tables import table_of

    token, said = secrets.token_urlsafe(32), name[:LONGEST_NAME].strip() or "without a name"
    row = {"name": said, "token_hash": _hash(token), "paired_at": at}
    ident = connection.execute(insert(table_of(PairedDevice)).returning(table_of(PairedDevice).c.id), row).scalar_one()
    return Device(int(ident), said, at, None, None), token


class Known:
    """Tells a device that was let in from a stranger; the catalogue is asked each time, so that whoever is forgotten is out.

    Parameters
    ----------
    engine : Engine
        The catalogue.
    """

    def __init__(self, engine: Engine) -> None:
        self.engine = engine
        self._seen: dict[int, str] = {}

    def is_let_in(self, token: str, at: datetime) -> bool:
        """Return whether a token is of a device that was let in and not forgotten."""
        with reading(self.engine) as connection:
            found = _KNOWN.rows(connection, {"hash": _hash(token)})
        if not found:
            return False
        ident, seen = found[0]
        day = f"{at:%Y-%m-%d}"
        if day not in (str(seen or "")[:10], self._seen.get(ident)):  # once a day: looking writes nothing else
            self._seen[ident] = day
            self._saw(ident, at)
        return True

    def _saw(self, ident: int, at: datetime) -> None:
        from partsbin.store.page_tables import PairedDevice
        from partsbin.store.tables import table_of

        table = table_of(PairedDevice)
        # a catalogue that is busy, or may not be written, is looked at all the same
        with suppress(DBAPIError), writing(self.engine) as connection:
            connection.execute(update(table).where(table.c.id == ident).values(seen_at=at))


def devices(connection: Connection) -> list[Device]:
    """Return all devices that were ever let in, those that are still in first."""
    from partsbin.store.page_tables import PairedDevice
    from partsbin.store.tables import table_of

    table = table_of(PairedDevice)
    rows = connection.execute(select(table).order_by(table.c.forgotten_at.is_not(None), table.c.id))
    return [_device(row) for row in rows]


def forget(connection: Connection, ident: int, at: datetime) -> Device:
    """Forget a device: its next request is a stranger's.

    Raises
    ------
    RefusedError
        If there is none of that number, or it is forgotten already.
    """
    from partsbin.store.page_tables import PairedDevice
    from partsbin.store.tables import table_of

    table = table_of(PairedDevice)
    row = connection.execute(select(table).where(table.c.id == ident)).first()
    if row is None:
        raise RefusedError(f"no device {ident}", hint="partsbin serve --devices lists them")
    if row.forgotten_at is not None:
        raise RefusedError(f"device {ident} ({row.name!r}) is forgotten already")
    connection.execute(update(table).where(table.c.id == ident).values(forgotten_at=at))
    return _device(row)


def _device(row: Row[Any]) -> Device:
    return Device(row.id, row.name, row.paired_at, row.seen_at, row.forgotten_at)


def _hash(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()
