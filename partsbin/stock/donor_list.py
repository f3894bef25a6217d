"""Donors as a list: what each gave, what is left of it, what nobody has read yet; and the sums of one of them."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Connection, text

from partsbin.stock.donors import Chassis
from partsbin.stock.shelf import number_of

_READ = (
    "EXISTS (SELECT 1 FROM reading WHERE part_id = part.id "
    "AND NOT EXISTS (SELECT 1 FROM act WHERE act.reverses_id = reading.act_id))"
)
_LIST = text(f"""
SELECT donor.id, donor.code, donor.name, donor.lineup, donor.note, donor.cost, donor.came, count(part.id) AS parts,
  coalesce(sum(part.on_hand), 0) AS left_over,
  coalesce(sum(CASE WHEN part.on_hand > 0 AND part.condition <> 'new' AND NOT {_READ} THEN 1 ELSE 0 END), 0) AS unread
FROM (SELECT * FROM donor ORDER BY id DESC LIMIT :limit OFFSET :start) AS donor LEFT JOIN part ON part.donor_id = donor.id
GROUP BY donor.id, donor.code, donor.name, donor.lineup, donor.note, donor.cost, donor.came ORDER BY donor.id DESC
""")
_SUMS = text(f"""
SELECT count(*) AS parts, coalesce(sum(on_hand), 0) AS left_over,
  coalesce(sum(CASE WHEN {_READ} THEN on_hand ELSE 0 END), 0) AS tested,
  coalesce(sum((SELECT sum(-quantity) FROM movement WHERE part_id = part.id AND word IN ('fitted', 'returned'))), 0) AS used,
  coalesce(sum((SELECT sum(-quantity) FROM movement WHERE part_id = part.id AND word = 'scrapped')), 0) AS bad
FROM part WHERE donor_id = :donor
""")
_FAMILIES = text("""
SELECT family, count(*) AS parts, coalesce(sum(on_hand), 0) AS left_over FROM part WHERE donor_id = :donor
GROUP BY family ORDER BY family
""")
_WENT = text("""
SELECT DISTINCT part.id, part.title FROM part JOIN movement ON movement.part_id = part.id AND movement.job_id IS NOT NULL
WHERE part.donor_id = :donor AND movement.word IN ('fitted', 'returned') ORDER BY part.id LIMIT :limit
""")
_GIVEN = text("""
SELECT part.id, part.family, part.title, part.condition, part.on_hand, part.reserved, part.rough,
  coalesce(place.name, '') AS place
FROM part LEFT JOIN place ON place.id = part.place_id WHERE part.donor_id = :donor ORDER BY part.id LIMIT :limit OFFSET :start
""")


def donors_with_sums(connection: Connection, *, limit: int, start: int = 0) -> list[dict[str, Any]]:
    """Return donors, the newest first.

    Parameters
    ----------
    connection : Connection
        Reading.
    limit, start : int
        How many, and how many before them are left out [-].

    Returns
    -------
    list of dict
        What `Chassis` has, ``parts``, ``left`` (pieces on hand), ``unread`` (salvaged parts on hand without a reading).
    """
    rows = connection.execute(_LIST, {"limit": limit, "start": start}).mappings()
    return [
        {
            **{name: row[name] for name in ("name", "lineup", "note", "cost", "came")},
            "donor": row["code"],
            "parts": int(row["parts"]),
            "left": int(row["left_over"]),
            "unread": int(row["unread"]),
        }
        for row in rows
    ]


def how_many(connection: Connection) -> int:
    """Return how many donors there are [-]."""
    return int(connection.execute(text("SELECT count(*) FROM donor")).scalar_one())


def yield_of(connection: Connection, donor: Chassis) -> dict[str, Any]:
    """Return what a donor gave: ``parts``; pieces ``left``, ``tested`` of these, ``used``, ``bad``; and by family [-]."""
    row = connection.execute(_SUMS, {"donor": donor.id}).mappings().one()
    families = connection.execute(_FAMILIES, {"donor": donor.id}).mappings()
    return {
        "donor": donor.code,
        **{"left" if name == "left_over" else name: int(value) for name, value in row.items()},
        "families": {each["family"]: {"parts": each["parts"], "left": int(each["left_over"])} for each in families},
    }


def given(connection: Connection, donor: Chassis, *, limit: int, start: int = 0) -> list[dict[str, Any]]:
    """Return what a donor gave, by number, with what is left of each and where it lies."""
    rows = connection.execute(_GIVEN, {"donor": donor.id, "limit": limit, "start": start}).mappings()
    return [{"part": number_of(row["id"]), **row} for row in rows]


def went(connection: Connection, donor: Chassis, *, limit: int) -> dict[int, str]:
    """Return the parts of a donor that were fitted in sets, by id, with their titles; some may have come back since."""
    return {row.id: row.title for row in connection.execute(_WENT, {"donor": donor.id, "limit": limit})}
