"""The catalogue: putting parts in, with facts, readings, search keys and their first ledger line in one transaction; reading them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, insert, select, update
from sqlalchemy.dialects import postgresql, sqlite

from partsbin.errors import UsageError
from partsbin.families import Family, load
from partsbin.families._declare import Facts, Item, Measured
from partsbin.stock.keys import keys_of, promise, write_keys
from partsbin.store.family_tables import fetch, save
from partsbin.store.tables import Donor, FileOrigin, Movement, Part, Place, Reading, table_of

BATCH = 500


@dataclass(frozen=True, slots=True)
class NewReading:
    """A measurement to be recorded with a part."""

    quantity: str
    value: float
    unit: str
    uncertainty: float = 0.0
    conditions: Mapping[str, float] = field(default_factory=dict)
    instrument: str = ""


@dataclass(frozen=True, slots=True)
class Draft:
    """A part about to be shelved. `facts` has been validated by the family's model."""

    family: str
    facts: Facts
    title: str = ""
    condition: str = ""
    count: int = 1
    rough: bool = False
    marking: str = ""
    place: str = ""
    donor: str = ""
    maker: str = ""
    date_code: str = ""
    year: int | None = None
    lead_style: str = ""
    note: str = ""
    origin: str = "shelf"
    donor_lineup: str = ""
    readings: tuple[NewReading, ...] = ()
    file: tuple[str, int, str, Mapping[str, str]] | None = None


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
    if not body.isdigit() or not 0 < int(body) < 2**53:
        raise UsageError(f"{number!r} is not a part number", hint="such as P-0042")
    return int(body)


def _ids(connection: Connection, table: Any, column: str, names: Iterable[str]) -> dict[str, int]:
    """Return ids by name, adding the names that are new."""
    wanted = sorted({name for name in names if name})
    if not wanted:
        return {}
    maker = postgresql.insert if connection.dialect.name == "postgresql" else sqlite.insert
    connection.execute(maker(table).on_conflict_do_nothing(), [{column: name} for name in wanted])
    key = getattr(table, column)
    return {name: ident for name, ident in connection.execute(select(key, table.id).where(key.in_(wanted)))}


def shelve(connection: Connection, drafts: Sequence[Draft], *, at: datetime, by: str = "", why: str = "") -> list[int]:
    """Put parts into the catalogue, each with its facts, readings, keys and a ledger line.

    Parameters
    ----------
    connection : Connection
        Inside a writing transaction; whole or not at all is the caller's transaction.
    drafts : sequence of Draft
        Validated parts.
    at : datetime
        When, with its time zone.
    by, why : str
        Who and why, for the ledger.

    Returns
    -------
    list of int
        Ids, in order.
    """
    ids: list[int] = []
    for start in range(0, len(drafts), BATCH):
        ids.extend(_shelve_batch(connection, drafts[start : start + BATCH], at, by, why))
    return ids


def _shelve_batch(connection: Connection, drafts: Sequence[Draft], at: datetime, by: str, why: str) -> list[int]:
    places = _ids(connection, Place, "name", (draft.place for draft in drafts))
    donors = _ids(connection, Donor, "code", (draft.donor for draft in drafts))
    origins = _write_origins(connection, drafts)
    rows = [
        {
            "family": draft.family,
            "title": draft.title or load(draft.family).title(draft.facts),
            "marking": draft.marking,
            "condition": draft.condition,
            "origin": draft.origin,
            "on_hand": draft.count,
            "reserved": 0,
            "rough": draft.rough,
            "place_id": places.get(draft.place),
            "donor_id": donors.get(draft.donor),
            "file_origin_id": origin,
            "maker": draft.maker,
            "date_code": draft.date_code,
            "year": draft.year,
            "lead_style": draft.lead_style,
            "note": draft.note,
        }
        for draft, origin in zip(drafts, origins, strict=True)
    ]
    returned = connection.execute(insert(Part).returning(table_of(Part).c.id, sort_by_parameter_order=True), rows)
    ids = [row[0] for row in returned]
    _note_lineups(connection, drafts)
    lineups = _lineups(connection, donors.values())
    connection.execute(
        insert(Movement),
        [
            {
                "part_id": ident,
                "act": "shelved",
                "quantity": draft.count,
                "aside": 0,
                "at": at,
                "by": by,
                "why": why,
                "job": "",
            }
            for ident, draft in zip(ids, drafts, strict=True)
        ],
    )
    readings = [
        {
            "part_id": ident,
            "quantity": r.quantity,
            "value": r.value,
            "uncertainty": r.uncertainty,
            "unit": r.unit,
            "conditions": dict(r.conditions),
            "instrument": r.instrument,
            "taken_at": at,
            "taken_by": by,
        }
        for ident, draft in zip(ids, drafts, strict=True)
        for r in draft.readings
    ]
    if readings:
        connection.execute(insert(Reading), readings)
    keys = []
    for name in dict.fromkeys(draft.family for draft in drafts):
        family = load(name)
        own = [(ident, draft) for ident, draft in zip(ids, drafts, strict=True) if draft.family == name]
        save(connection, name, [(ident, draft.facts) for ident, draft in own])
        for ident, draft in own:
            if draft.count > 0:
                item = Item(
                    draft.facts,
                    draft.condition,
                    {r.quantity: Measured(r.value, r.uncertainty, r.conditions) for r in draft.readings},
                    lineups.get(donors.get(draft.donor, 0), ""),
                )
                keys.extend(
                    keys_of(family, ident, family.options(item), promise(draft.condition, draft.count, draft.origin))
                )
    write_keys(connection, keys)
    return ids


def _write_origins(connection: Connection, drafts: Sequence[Draft]) -> list[int | None]:
    filed = [draft.file for draft in drafts]
    if not any(filed):
        return [None] * len(drafts)
    rows = [{"file": f[0], "line": f[1], "key": f[2], "cells": dict(f[3])} for f in filed if f]
    returned = connection.execute(
        insert(FileOrigin).returning(table_of(FileOrigin).c.id, sort_by_parameter_order=True), rows
    )
    fresh = iter([row[0] for row in returned])
    return [next(fresh) if f else None for f in filed]


def _note_lineups(connection: Connection, drafts: Sequence[Draft]) -> None:
    """A donor's valves, where a row names them, stand for every part that came from it."""
    table = table_of(Donor)
    for code, lineup in {
        draft.donor: draft.donor_lineup for draft in drafts if draft.donor and draft.donor_lineup
    }.items():
        connection.execute(update(table).where(table.c.code == code).values(lineup=lineup))


def _lineups(connection: Connection, donor_ids: Iterable[int]) -> dict[int, str]:
    wanted = list(donor_ids)
    table = table_of(Donor)
    return (
        dict(connection.execute(select(table.c.id, table.c.lineup).where(table.c.id.in_(wanted))).tuples().all())
        if wanted
        else {}
    )


@dataclass(frozen=True, slots=True)
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


def get(connection: Connection, family: Family, ids: Sequence[int]) -> dict[int, Shelved]:
    """Return parts of one family by id, with facts and newest valid readings."""
    part, place, donor = table_of(Part), table_of(Place), table_of(Donor)
    query = (
        select(part, place.c.name.label("place"), donor.c.code.label("donor"), donor.c.lineup.label("lineup"))
        .select_from(
            part.outerjoin(place, part.c.place_id == place.c.id).outerjoin(donor, part.c.donor_id == donor.c.id)
        )
        .where(part.c.id.in_(ids), part.c.family == family.name)
    )
    rows = connection.execute(query).mappings().all()
    facts = fetch(connection, family, [row["id"] for row in rows])
    readings = newest(connection, [row["id"] for row in rows])
    return {
        row["id"]: Shelved(
            row["id"],
            family.name,
            row["title"],
            Item(
                facts[row["id"]],
                row["condition"],
                readings.get(row["id"], {}),
                row["lineup"] or "",
                row["marking"],
                row["year"],
            ),
            row["on_hand"],
            row["reserved"],
            bool(row["rough"]),
            row["place"] or "",
            row["donor"] or "",
            row["origin"],
            dict(row),
        )
        for row in rows
    }


def newest(connection: Connection, part_ids: Sequence[int]) -> dict[int, dict[str, Measured]]:
    """Return the newest reading of each quantity of each part."""
    table = table_of(Reading)
    found = connection.execute(
        select(table.c.part_id, table.c.quantity, table.c.value, table.c.uncertainty, table.c.conditions)
        .where(table.c.part_id.in_(part_ids))
        .order_by(table.c.taken_at, table.c.id)
    )
    result: dict[int, dict[str, Measured]] = {}
    for part_id, quantity, value, uncertainty, conditions in found:
        result.setdefault(part_id, {})[quantity] = Measured(value, uncertainty, conditions or {})
    return result
