"""Where a part came from and where it went; and all the siblings of a bad one, on the shelf and in customers' sets."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from sqlalchemy import ColumnElement, Connection, Select, func, select

from partsbin.errors import UsageError
from partsbin.stock.acts import Who, part_of
from partsbin.stock.history import job_code, movements_of_part
from partsbin.stock.ledger import Line, act
from partsbin.stock.shelf import number_of
from partsbin.store.statements import Statement
from partsbin.store.tables import Donor, FileOrigin, Part, Place, table_of


def trace(connection: Connection, part_id: int) -> dict[str, Any]:
    """Return the whole life of a part: back to its donor, file or purchase, forward to the sets it sits in.

    Returns
    -------
    dict
        ``part``, ``title``, ``came`` (donor, file, the part it was split off), ``movements``, ``sets`` (job, reference, pieces
        that sit there now), ``on_hand``, ``place``, ``split_off`` with the same of each part split off it.
    """
    part = part_of(connection, part_id)
    table = table_of(Part)
    below = connection.execute(
        select(table.c.id).where(table.c.parted_from_id == part_id).order_by(table.c.id)
    ).scalars()
    return {
        "part": part.number,
        "title": part.title,
        "condition": part.item.condition,
        "came": _origin(connection, part),
        "on_hand": part.on_hand,
        "place": part.place,
        "sets": sets_of(connection, [part_id]).get(part_id, []),
        "movements": movements_of_part(connection, part_id),
        "split_off": [trace(connection, ident) for ident in below.all()],
    }


def _origin(connection: Connection, part: Any) -> dict[str, Any]:
    donor, filed = table_of(Donor), table_of(FileOrigin)
    row = connection.execute(select(donor).where(donor.c.id == part.row["donor_id"])).mappings().first()
    line = connection.execute(select(filed).where(filed.c.id == part.row["file_origin_id"])).mappings().first()
    whole = part.row["parted_from_id"]
    return {
        "donor": row["code"] if row else "",
        "donor_name": row["name"] if row else "",
        "file": f"{line['file']}:{line['line']}" if line else "",
        "split_off": number_of(whole) if whole else "",
    }


_SETS = Statement("""
SELECT movement.part_id, job.id, job.reference, job.what, -sum(movement.quantity) FROM movement JOIN job ON job.id = movement.job_id
WHERE movement.part_id IN :ids AND movement.word IN ('fitted', 'returned')
GROUP BY movement.part_id, job.id, job.reference, job.what HAVING sum(movement.quantity) < 0 ORDER BY job.id
""")


def sets_of(connection: Connection, part_ids: Sequence[int]) -> dict[int, list[dict[str, Any]]]:
    """Return the sets in which parts sit now, by part: job, its reference, what it is, pieces."""
    found: dict[int, list[dict[str, Any]]] = {}
    for part_id, job_id, reference, what, pieces in _SETS.tuples_of_ids(connection, part_ids):
        entry = {"job": job_code(job_id), "reference": reference, "what": what, "pieces": int(pieces)}
        found.setdefault(part_id, []).append(entry)
    return found


def siblings(
    connection: Connection, *, donor: str = "", family: str = "", maker: str = "", date_code: str = ""
) -> list[dict[str, Any]]:
    """Return parts of one origin, by number: what lies on the shelf and what sits in sets.

    Parameters
    ----------
    connection : Connection
        Reading.
    donor, family, maker, date_code : str
        What they have in common; case and the blanks around do not count.

    Raises
    ------
    UsageError
        If neither donor nor maker is named: a family alone is the whole shelf.
    """
    if not (donor or maker or date_code):
        raise UsageError("recall of what?", hint="name a donor, a maker or a date code")
    rows = [dict(row) for row in connection.execute(_alike(donor, family, maker, date_code)).mappings()]
    inside: dict[int, list[dict[str, Any]]] = {}
    ids = [row["id"] for row in rows]
    for start in range(0, len(ids), 500):
        inside.update(sets_of(connection, ids[start : start + 500]))
    return [_sibling(row, inside.get(row["id"], [])) for row in rows if row["on_hand"] or row["id"] in inside]


def _alike(donor: str, family: str, maker: str, date_code: str) -> Select[Any]:
    part, whole, place = table_of(Part), table_of(Donor), table_of(Place)

    def same(column: Any, text: str) -> ColumnElement[bool]:
        return func.lower(func.trim(column)) == text.strip().lower()

    wanted = ((whole.c.code, donor), (part.c.family, family), (part.c.maker, maker), (part.c.date_code, date_code))
    return (
        select(
            part.c.id,
            part.c.family,
            part.c.title,
            part.c.condition,
            part.c.on_hand,
            part.c.reserved,
            place.c.name.label("place"),
        )
        .join(whole, whole.c.id == part.c.donor_id, isouter=True)
        .join(place, place.c.id == part.c.place_id, isouter=True)
        .where(*(same(column, text) for column, text in wanted if text))
        .order_by(part.c.id)
    )


def _sibling(row: Mapping[str, Any], sets: list[dict[str, Any]]) -> dict[str, Any]:
    return {
        "part": number_of(row["id"]),
        "family": row["family"],
        "title": row["title"],
        "condition": row["condition"],
        "on_hand": row["on_hand"],
        "free": row["on_hand"] - row["reserved"],
        "place": row["place"] or "",
        "sets": sets,
    }


def set_aside(connection: Connection, found: Sequence[Mapping[str, Any]], who: Who) -> int:
    """Set every free piece of such siblings aside, for no job, as one act; return how many pieces [-]."""
    from partsbin.stock.shelf import id_of

    lines = [Line(id_of(each["part"]), "reserved", aside=each["free"]) for each in found if each["free"] > 0]
    if lines:
        act(connection, "reserved", lines, **who.said())
    return sum(line.aside for line in lines)
