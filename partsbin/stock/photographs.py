"""Photographs of parts: kept with the part, taken back by who made a mistake, never deleted."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Connection, insert, select, update

from partsbin.errors import RefusedError, UsageError
from partsbin.stock.acts import Who, part_of
from partsbin.stock.pictures import Picture
from partsbin.store.page_tables import Photograph
from partsbin.store.statements import Statement
from partsbin.store.tables import table_of

MOST = 50
"""Photographs of one part that stand, at most [-]."""

LONGEST = 200
"""Letters of what is said of one, at most [-]."""


def keep(connection: Connection, part_id: int, picture: Picture, who: Who, *, caption: str = "") -> int:
    """Keep a photograph with a part; return its number.

    Raises
    ------
    UsageError
        If there is no such part, or more is said of it than is kept.
    RefusedError
        If the part has as many as it may have.
    """
    part, table = part_of(connection, part_id), table_of(Photograph)
    if part.origin != "shelf":  # the next list of its supplier replaces it
        raise RefusedError(f"{part.number} is what a supplier offers: photographs are of parts that lie here")
    if how_many(connection, part_id) >= MOST:
        raise RefusedError(f"{part.number} has {MOST} photographs already", hint="take one back that says less")
    if len(caption) > LONGEST:
        raise UsageError(f"{len(caption)} letters said of a photograph: expected at most {LONGEST}")
    row = {
        "part_id": part_id,
        "at": who.at,
        "by": who.by,
        "caption": caption.strip(),
        "width": picture.width,
        "height": picture.height,
        "jpeg": picture.jpeg,
        "small": picture.small,
        "taken_back_by": "",
    }
    return int(connection.execute(insert(table).returning(table.c.id), row).scalar_one())


_ANY = Statement("SELECT 1 FROM photograph WHERE part_id = :part LIMIT 1")
_HOW_MANY = Statement("SELECT count(*) FROM photograph WHERE part_id = :part AND taken_back_at IS NULL")


def photographs_of(connection: Connection, part_id: int) -> list[dict[str, Any]]:
    """Return the photographs of a part, oldest first, without the pictures; ``valid`` is False for those taken back."""
    if not _ANY.rows(connection, {"part": part_id}):
        return []
    table = table_of(Photograph)
    columns = [column for column in table.c if column.name not in ("jpeg", "small")]
    query = select(*columns).where(table.c.part_id == part_id).order_by(table.c.id)
    return [
        {
            "photograph": row["id"],
            "at": row["at"].isoformat(),
            "by": row["by"],
            "caption": row["caption"],
            "width": row["width"],
            "height": row["height"],
            "valid": row["taken_back_at"] is None,
            "taken_back": row["taken_back_at"].isoformat() if row["taken_back_at"] else "",
            "taken_back_by": row["taken_back_by"],
        }
        for row in connection.execute(query).mappings()
    ]


def how_many(connection: Connection, part_id: int) -> int:
    """Return how many photographs of a part stand [-]."""
    return int(_HOW_MANY.rows(connection, {"part": part_id})[0][0])


def picture_of(connection: Connection, part_id: int, number: int, *, small: bool = False) -> bytes | None:
    """Return a photograph of a part as JPEG; None if it has none of that number, or it was taken back."""
    table = table_of(Photograph)
    column = table.c.small if small else table.c.jpeg
    query = select(column).where(table.c.id == number, table.c.part_id == part_id, table.c.taken_back_at.is_(None))
    found = connection.execute(query).scalar()
    return None if found is None else bytes(found)


def take_back(connection: Connection, part_id: int, number: int, who: Who) -> None:
    """Take a photograph back: it is not shown any more, and stays in the catalogue.

    Raises
    ------
    RefusedError
        If the part has none of that number, or it was taken back already.
    """
    table = table_of(Photograph)
    change = update(table).where(table.c.id == number, table.c.part_id == part_id, table.c.taken_back_at.is_(None))
    if connection.execute(change.values(taken_back_at=who.at, taken_back_by=who.by)).rowcount != 1:
        raise RefusedError(f"{part_of(connection, part_id).number} has no photograph {number} that stands")
