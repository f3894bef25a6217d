"""The catalogue: putting parts in, with facts, readings, search keys and their first ledger line in one transaction; reading them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, insert, select, update
from sqlalchemy.dialects import postgresql, sqlite

from partsbin.families import load
from partsbin.families._declare import Item, Measured
from partsbin.stock.key_rows import write_keys
from partsbin.stock.keys import keys_of, promise
from partsbin.stock.parts import Draft, NewReading
from partsbin.stock.shelf import Shelved, get, id_of, newest, number_of
from partsbin.store.family_tables import save
from partsbin.store.tables import Donor, FileOrigin, Movement, Part, Place, Reading, table_of

__all__ = ["Draft", "NewReading", "Shelved", "get", "id_of", "newest", "number_of", "shelve"]

BATCH = 500


def _ids(connection: Connection, table: Any, column: str, names: Iterable[str]) -> dict[str, int]:
    """Return ids by name, adding the names that are new."""
    wanted = sorted({name for name in names if name})
    if not wanted:
        return {}
    maker = postgresql.insert if connection.dialect.name == "postgresql" else sqlite.insert
    connection.execute(maker(table).on_conflict_do_nothing(), [{column: name} for name in wanted])
    key = getattr(table, column)
    return dict(connection.execute(select(key, table.id).where(key.in_(wanted))).tuples().all())


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
