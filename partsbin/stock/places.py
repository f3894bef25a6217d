"""Places as a list, and what lies in one of them, a page at a time."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Connection, text

from partsbin.stock.shelf import number_of

_NAMED = "lower(name) LIKE :low ESCAPE '\\' OR name LIKE :like ESCAPE '\\'"
_LIST = text(f"""
SELECT place.name, count(part.id) AS parts, coalesce(sum(part.on_hand), 0) AS pieces
FROM (SELECT id, name FROM place WHERE {_NAMED} ORDER BY name LIMIT :limit OFFSET :start) AS place
LEFT JOIN part ON part.place_id = place.id AND part.on_hand > 0 AND part.origin = 'shelf'
GROUP BY place.id, place.name ORDER BY place.name
""")
_COUNT = text(f"SELECT count(*) FROM place WHERE {_NAMED}")
_THERE = text("""
SELECT part.id, part.title, part.condition, part.on_hand, part.reserved, part.rough FROM part JOIN place ON place.id = part.place_id
WHERE place.name = :name AND part.origin = 'shelf' AND part.on_hand > 0 ORDER BY part.id LIMIT :limit OFFSET :start
""")
_HOW_MANY = text("""
SELECT count(*), coalesce(sum(part.on_hand), 0) FROM part JOIN place ON place.id = part.place_id
WHERE place.name = :name AND part.origin = 'shelf' AND part.on_hand > 0
""")


def _like(words: str) -> str:
    plain = words.strip().replace("\\", "\\\\").replace("%", "\\%").replace("_", "\\_")
    return f"%{plain}%"


def places(connection: Connection, *, limit: int, start: int = 0, words: str = "") -> tuple[list[dict[str, Any]], int]:
    """Return places by name with ``parts`` and ``pieces`` that lie there, and how many places there are in all.

    Parameters
    ----------
    connection : Connection
        Reading.
    limit, start : int
        How many, and how many before them are left out [-].
    words : str
        What their names have in them.
    """
    named = {
        "like": _like(words),
        "low": _like(words.lower()),
    }  # SQLite knows small letters of the plain alphabet alone
    rows = connection.execute(_LIST, {**named, "limit": limit, "start": start}).mappings()
    count = int(connection.execute(_COUNT, named).scalar_one())
    return [{"place": row["name"], "parts": int(row["parts"]), "pieces": int(row["pieces"])} for row in rows], count


def lying_in(connection: Connection, name: str, *, limit: int, start: int = 0) -> list[dict[str, Any]]:
    """Return the parts on hand in a place, by number."""
    rows = connection.execute(_THERE, {"name": name, "limit": limit, "start": start}).mappings()
    return [{**row, "part": number_of(row["id"])} for row in rows]


def how_much(connection: Connection, name: str) -> tuple[int, int]:
    """Return how many parts, and pieces of them, lie in a place [-]."""
    parts, pieces = connection.execute(_HOW_MANY, {"name": name}).one()
    return int(parts), int(pieces)
