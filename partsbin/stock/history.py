"""What became of a part: its readings, those taken back included, its movements, and how far it has drifted from its mark."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any

from sqlalchemy import BindParameter, Connection, FromClause, Select, bindparam, select, union

from partsbin.families import Family, load
from partsbin.families._declare import Facts
from partsbin.stock.ledger import FACTS
from partsbin.stock.shelf import number_of
from partsbin.store.statements import Statement
from partsbin.store.tables import UNDONE, Act, Movement, Place, Reading, table_of

PART: BindParameter[int] = bindparam("part")
"""Whose rows are asked for: questions are made once, which costs more than asking them."""

_FAMILY = Statement("SELECT family FROM part WHERE id = :part")
_PARTED_OFF = Statement("SELECT id FROM part WHERE parted_from_id = :part ORDER BY id")


@cache
def _taking_back() -> FromClause:
    """Acts that take others back: made once, which costs more than asking for a row of them."""
    return table_of(Act).alias("back")


USUAL_TOLERANCE = 0.2
"""Spread about the mark within which a part whose tolerance is not marked has not drifted: ±20 %, common practice, no source [-]."""


@cache
def _readings() -> Select[Any]:
    reading, back = table_of(Reading), _taking_back()
    return (
        select(reading, back.c.id.label("back"))
        .join(back, back.c.reverses_id == reading.c.act_id, isouter=True)
        .where(reading.c.part_id == PART)
        .order_by(reading.c.taken_at, reading.c.id)
    )


def readings_of_part(connection: Connection, part_id: int) -> list[dict[str, Any]]:
    """Return every reading of a part, oldest first; `valid` is False for those taken back."""
    return [
        {
            "quantity": row["quantity"],
            "value": row["value"],
            "uncertainty": row["uncertainty"],
            "unit": row["unit"],
            "conditions": row["conditions"],
            "instrument": row["instrument"],
            "at": row["taken_at"].isoformat(),
            "by": row["taken_by"],
            "act": row["act_id"],
            "valid": row["back"] is None,
        }
        for row in connection.execute(_readings(), {"part": part_id}).mappings()
    ]


@cache
def _movements() -> Select[Any]:
    act, movement, back = table_of(Act), table_of(Movement), _taking_back()
    return (
        select(
            movement,
            act.c.word.label("act_word"),
            act.c.at,
            act.c.by,
            act.c.why,
            back.c.id.label("back"),
        )
        .join(act, act.c.id == movement.c.act_id)
        .join(back, back.c.reverses_id == act.c.id, isouter=True)
        .where(movement.c.part_id == PART)
        .order_by(movement.c.id)
    )


def movements_of_part(connection: Connection, part_id: int) -> list[dict[str, Any]]:
    """Return every movement of a part, oldest first, each with its act; one taken back and the one that did it say so."""
    rows = [dict(row) for row in connection.execute(_movements(), {"part": part_id}).mappings()]
    places = _names_of_places(connection, rows)
    return [
        {
            "act": row["act_id"],
            "word": row["word"],
            "quantity": row["quantity"],
            "aside": row["aside"],
            "changes": {name: [places.get(v, v) for v in pair] for name, pair in _changes(row).items()},
            "price": row["price"],
            "at": row["at"].isoformat(),
            "by": row["by"],
            "why": row["why"],
            "job": job_code(row["job_id"]) if row["job_id"] else "",
            "undoes": row["act_word"] == UNDONE,
            "undone": row["back"] is not None,
        }
        for row in rows
    ]


@cache
def _marks_of() -> Select[Any]:
    act, movement, back = table_of(Act), table_of(Movement), _taking_back()
    return (
        select(movement.c.changes, movement.c.word, act.c.at, act.c.by)
        .join(act, act.c.id == movement.c.act_id)
        .join(back, back.c.reverses_id == act.c.id, isouter=True)
        .where(movement.c.part_id == PART, back.c.id.is_(None), act.c.word != UNDONE)
        .order_by(movement.c.id)
    )


def marked_since(connection: Connection, part_id: int) -> dict[str, dict[str, Any]]:
    """Return since when what is marked on a part is known: by field, with ``at``, ``by`` and ``word``; under "" what came with it.

    What was written down later and taken back again is not of it.
    """
    found: dict[str, dict[str, Any]] = {}
    for row in connection.execute(_marks_of(), {"part": part_id}).mappings():
        said = {"at": row["at"].isoformat(), "by": row["by"], "word": row["word"]}
        found.setdefault("", said)
        before, after = (row["changes"] or {}).get(FACTS, ({}, {}))
        found.update({name: said for name, value in after.items() if before.get(name) != value})
    return found


REVERSIBLE = (
    "shelved",
    "bought",
    "reserved",
    "released",
    "scrapped",
    "counted",
    "moved",
    "parted",
    "measured",
    "marked",
)
"""Acts that are taken back from a part's own page; what was fitted comes back through its job."""


@cache
def _standing() -> Select[Any]:
    act, movement, read, back = table_of(Act), table_of(Movement), table_of(Reading), _taking_back()
    own = union(
        select(movement.c.act_id).where(movement.c.part_id == PART),
        select(read.c.act_id).where(read.c.part_id == PART),
    )
    return (
        select(act.c.id, act.c.word, act.c.by)
        .join(back, back.c.reverses_id == act.c.id, isouter=True)
        .where(act.c.id.in_(own), back.c.id.is_(None), act.c.word != UNDONE)
        .order_by(act.c.id.desc())
        .limit(1)
    )


@cache
def _touched() -> Select[Any]:
    movement = table_of(Movement)
    return select(movement.c.part_id).where(movement.c.act_id == bindparam("act")).distinct().limit(3)


def last_standing(connection: Connection, part_id: int) -> dict[str, Any] | None:
    """Return the last act on a part that still stands, if it concerns this part alone, or it and the one that it was split off.

    Returns
    -------
    dict or None
        ``act``, ``word``, ``by``; None where the last one is of another kind, or of a whole list: that is taken back by its number.
    """
    row = connection.execute(_standing(), {"part": part_id}).mappings().first()
    if row is None or row["word"] not in REVERSIBLE:
        return None
    if (
        len(connection.execute(_touched(), {"act": row["id"]}).all()) > 2
    ):  # a list may have thousands: they are not counted
        return None
    return {"act": row["id"], "word": row["word"], "by": row["by"]}


def _changes(row: Mapping[str, Any]) -> dict[str, Sequence[Any]]:
    """What else changed: places and marks under names of their own, ``place`` and ``marks``."""
    changes = dict(row["changes"] or {})
    place, marks = changes.pop("place_id", None), changes.pop(FACTS, None)
    if place:
        changes["place"] = [f"place {ident}" for ident in place]
    if marks:
        changes["marks"] = [_marks(one, other) for one, other in (marks, reversed(marks))]
    return changes


def _marks(own: Mapping[str, Any], other: Mapping[str, Any]) -> str:
    """What of the marked facts differs from the others, in a few words."""
    return ", ".join(f"{name.replace('_', ' ')} {value}" for name, value in own.items() if other.get(name) != value)


def _names_of_places(connection: Connection, rows: Sequence[Mapping[str, Any]]) -> dict[Any, str]:
    ids = {ident for row in rows for ident in (row["changes"] or {}).get("place_id", ()) if ident is not None}
    table = table_of(Place)
    found = connection.execute(select(table.c.id, table.c.name).where(table.c.id.in_(ids))) if ids else ()
    return {"place None": "no place", **{f"place {ident}": name for ident, name in found}}


def job_code(job_id: int) -> str:
    """Return a job's number as it is written: ``J-0012``."""
    return f"J-{job_id:04d}"


def drift_of(facts: Facts, readings: Sequence[Mapping[str, Any]]) -> list[str]:
    """Return what has moved away from its mark, or from one reading to the next, further than mark and meters explain.

    Parameters
    ----------
    facts : Facts
        What is marked.
    readings : sequence of mapping
        As of `readings_of_part`.
    """
    said = []
    valid = [reading for reading in readings if reading["valid"]]
    for quantity in dict.fromkeys(reading["quantity"] for reading in valid):
        own = [reading for reading in valid if reading["quantity"] == quantity]
        newest = own[-1]
        marked = getattr(facts, quantity, None)
        if isinstance(marked, float) and marked > 0:
            tolerance = getattr(facts, "tolerance", None) or USUAL_TOLERANCE
            if abs(newest["value"] - marked) > tolerance * marked + newest["uncertainty"]:
                said.append(f"{quantity} is {_off(newest['value'], marked)} its mark")
        if len(own) > 1 and quantity not in ("leakage", "insulation"):
            first = own[0]
            if abs(newest["value"] - first["value"]) > newest["uncertainty"] + first["uncertainty"]:
                said.append(f"{quantity} is {_off(newest['value'], first['value'])} the reading of {first['at'][:10]}")
    return said


def _off(value: float, reference: float) -> str:
    off = (value / reference - 1) * 100
    return f"{abs(off):.0f} % {'above' if off > 0 else 'below'}"


def family_of(connection: Connection, part_id: int) -> Family | None:
    """Return the family of a part, None where there is no such part."""
    found = _FAMILY.rows(connection, {"part": part_id})
    return load(found[0][0]) if found else None


def parted_off(connection: Connection, part_id: int) -> list[str]:
    """Return the numbers of the parts that were split off this one."""
    return [number_of(ident) for (ident,) in _PARTED_OFF.rows(connection, {"part": part_id})]
