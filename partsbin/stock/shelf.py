"""Parts as they lie: common facts, marked facts, newest readings, place. Reading only, by SQL text.

This module loads neither the table models nor the ORM: that is what keeps a whole `find` quick to start.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from sqlalchemy import Connection

from partsbin.errors import UsageError
from partsbin.families import Family, load
from partsbin.families._declare import Facts, Item, Measured, child_type, plain_type
from partsbin.store.statements import Statement


def number_of(part_id: int) -> str:
    """Return a part's number as it is written on labels: ``P-0042``."""
    return f"P-{part_id:04d}"


def id_of(number: str) -> int:
    """Return the id behind a part's number.

    Raises
    ------
    UsageError
        If the text is no part number.
    """
    body = number.strip().upper().removeprefix("P-").removeprefix("P")
    if not re.fullmatch(r"[0-9]{1,16}", body) or not 0 < int(body) < 2**53:
        raise UsageError(f"{number!r} is not a part number", hint="such as P-0042")
    return int(body)


def place_said(place: str) -> str:
    """Return where a part lies, in words."""
    return f"in {place}" if place else "in no place"


@dataclass(frozen=True)
class Shelved:
    """A part as it lies: common facts, the family's view of it, where it is."""

    id: int
    family: str
    title: str
    item: Item
    on_hand: int
    reserved: int
    rough: bool
    place: str
    donor: str
    origin: str
    row: Mapping[str, Any]

    @property
    def available(self) -> int:
        """Pieces that nobody has set aside [-]."""
        return self.on_hand - self.reserved

    @property
    def number(self) -> str:
        """``P-0042``."""
        return number_of(self.id)


_PART = """
SELECT part.*, place.name AS place, donor.code AS donor, donor.lineup AS lineup
FROM part LEFT JOIN place ON place.id = part.place_id LEFT JOIN donor ON donor.id = part.donor_id
WHERE part.id IN :ids
"""
_ANY, _PARTS = Statement(_PART), Statement(f"{_PART} AND part.family = :family")
_READINGS = Statement("""
SELECT part_id, quantity, value, uncertainty, conditions FROM reading
WHERE part_id IN :ids AND NOT EXISTS (SELECT 1 FROM act WHERE act.reverses_id = reading.act_id)
ORDER BY taken_at, id
""")


def get(connection: Connection, family: Family, ids: Sequence[int]) -> dict[int, Shelved]:
    """Return parts of one family by id, with facts and newest valid readings."""
    return _all_of(connection, family, _PARTS.of_ids(connection, ids, family=family.name))


def get_one(connection: Connection, part_id: int) -> Shelved | None:
    """Return a part of any family, None where there is no such part."""
    rows = _ANY.of_ids(connection, [part_id])
    return _all_of(connection, load(rows[0]["family"]), rows)[part_id] if rows else None


def _all_of(connection: Connection, family: Family, rows: Sequence[Mapping[str, Any]]) -> dict[int, Shelved]:
    found = [row["id"] for row in rows]
    facts, readings = marked(connection, family, found), newest(connection, found)
    return {row["id"]: _shelved(family, row, facts[row["id"]], readings.get(row["id"], {})) for row in rows}


def _shelved(family: Family, row: Mapping[str, Any], facts: Facts, readings: Mapping[str, Measured]) -> Shelved:
    return Shelved(
        row["id"],
        family.name,
        row["title"],
        Item(facts, row["condition"], readings, row["lineup"] or "", row["marking"], row["year"]),
        row["on_hand"],
        row["reserved"],
        bool(row["rough"]),
        row["place"] or "",
        row["donor"] or "",
        row["origin"],
        row,
    )


def newest(connection: Connection, part_ids: Sequence[int]) -> dict[int, dict[str, Measured]]:
    """Return the newest reading of each quantity of each part."""
    result: dict[int, dict[str, Measured]] = {}
    for row in _READINGS.of_ids(connection, part_ids):
        given = row["conditions"]
        given = json.loads(given) if isinstance(given, str) else given
        measured = Measured(row["value"], row["uncertainty"], given or {})
        result.setdefault(row["part_id"], {})[row["quantity"]] = measured
    return result


def marked(connection: Connection, family: Family, part_ids: Sequence[int]) -> dict[int, Facts]:
    """Return the marked facts of parts by id. Rows come from a table with CHECK constraints, so they are not validated again."""
    lists = _lists(family.facts)
    below: dict[int, dict[str, list[Facts]]] = {}
    for field, inner in lists.items():
        query = f"SELECT * FROM family_{family.name}_{field} WHERE part_id IN :ids ORDER BY part_id, position"
        for row in Statement(query).of_ids(connection, part_ids):
            below.setdefault(row["part_id"], {}).setdefault(field, []).append(_facts(inner, row))
    result = {}
    for row in Statement(f"SELECT * FROM family_{family.name} WHERE part_id IN :ids").of_ids(connection, part_ids):
        own = below.get(row["part_id"], {})
        children = {field: tuple(own.get(field, ())) for field in lists}
        result[row["part_id"]] = _facts(family.facts, row, **children)
    return result


@cache
def _lists(model: type[Facts]) -> Mapping[str, type[Facts]]:
    """Return the fields of a model that hold lists, with what these are of."""
    return {name: inner for name, info in model.model_fields.items() if (inner := child_type(info.annotation))}


@cache
def _columns(model: type[Facts]) -> tuple[tuple[str, bool], ...]:
    """Return the plain fields of a model, and whether each is a truth value, which SQLite keeps as 0 and 1."""
    plain = {name: info for name, info in model.model_fields.items() if child_type(info.annotation) is None}
    return tuple((name, plain_type(info.annotation)[0] is bool) for name, info in plain.items())


def _facts(model: type[Facts], row: Mapping[str, Any], **children: Any) -> Facts:
    values = {
        name: bool(row[name]) if truth and row[name] is not None else row[name] for name, truth in _columns(model)
    }
    return model.trusted({**values, **children})
