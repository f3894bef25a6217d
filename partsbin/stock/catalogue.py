"""The catalogue: putting parts in, with facts, readings, search keys and their first ledger line in one transaction; reading them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, select, update

from partsbin.families import load
from partsbin.stock.key_rows import KeyMaker, write_keys
from partsbin.stock.ledger import open_act
from partsbin.stock.parts import Draft, NewReading
from partsbin.stock.renewal import renew
from partsbin.stock.searching.index import index_parts
from partsbin.stock.shelf import Shelved, get, id_of, newest, number_of
from partsbin.store.bulk import insert_new, insert_numbered, insert_rows
from partsbin.store.family_tables import save
from partsbin.store.statements import Statement
from partsbin.store.tables import Donor, FileOrigin, Movement, Part, Place, Reading, table_of

__all__ = ["Draft", "NewReading", "Shelved", "get", "id_of", "newest", "number_of", "shelve"]

BATCH = 2048
_LINEUPS = Statement("SELECT code, lineup FROM donor WHERE code IN :ids")


def ids_of(connection: Connection, table: Any, column: str, names: Iterable[str]) -> dict[str, int]:
    """Return ids by name, adding the names that are new."""
    wanted = sorted({name for name in names if name})
    query = Statement(f"SELECT {column}, id FROM {table_of(table).name} WHERE {column} IN :ids")
    found = dict(query.tuples_of_ids(connection, wanted))
    fresh = [name for name in wanted if name not in found]
    if fresh:
        insert_new(connection, table_of(table), [{column: name} for name in fresh])
        found |= query.tuples_of_ids(connection, fresh)
    return found


def shelve(
    connection: Connection,
    drafts: Sequence[Draft],
    *,
    at: datetime,
    by: str = "",
    why: str = "",
    keys: KeyMaker | None = None,
    act_id: int | None = None,
    word: str = "shelved",
) -> list[int]:
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
    keys : KeyMaker, optional
        What remembers search keys from one call to the next, where many follow each other.
    act_id : int, optional
        An act of this transaction that the parts belong to; without it shelving them is an act of its own.
    word : str
        How they came: ``shelved`` or ``bought``.

    Returns
    -------
    list of int
        Ids, in order.
    """
    ids: list[int] = []
    maker = keys or KeyMaker()
    if not drafts:
        return ids
    if act_id is None:
        act_id = open_act(connection, "shelved", at=at, by=by, why=why)
    for start in range(0, len(drafts), BATCH):
        ids.extend(_shelve_batch(connection, drafts[start : start + BATCH], act_id, at, by, maker, word))
    index_parts(connection, ids)
    return ids


def _shelve_batch(
    connection: Connection, drafts: Sequence[Draft], act_id: int, at: datetime, by: str, keys: KeyMaker, word: str
) -> list[int]:
    places = ids_of(connection, Place, "name", (draft.place for draft in drafts))
    donors = ids_of(connection, Donor, "code", (draft.donor for draft in drafts))
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
            "price": draft.price,
        }
        for draft, origin in zip(drafts, origins, strict=True)
    ]
    ids = insert_numbered(connection, table_of(Part), rows)
    changed = _note_lineups(connection, drafts)
    lineups = _lineups(connection, donors)
    _write_ledger(connection, ids, drafts, act_id, word)
    readings = [(ident, reading) for ident, draft in zip(ids, drafts, strict=True) for reading in draft.readings]
    write_readings(connection, readings, act_id, at, by)
    for name in dict.fromkeys(draft.family for draft in drafts):
        own = [(ident, draft) for ident, draft in zip(ids, drafts, strict=True) if draft.family == name]
        save(connection, name, [(ident, draft.facts) for ident, draft in own])
        write_keys(connection, [row for ident, draft in own for row in keys.of_draft(ident, draft, lineups)])
    _renew_keys(connection, [donors[code] for code in changed], frozenset(ids))
    return ids


def place_offers(connection: Connection, drafts: Sequence[Draft], keys: KeyMaker) -> list[int]:
    """Put parts that a supplier has into the catalogue: facts and search keys, no pieces, no place, no line in the ledger.

    Parameters
    ----------
    connection : Connection
        Inside a writing transaction.
    drafts : sequence of Draft
        Of origin "offered", none on hand.
    keys : KeyMaker
        What remembers search keys from one call to the next.
    """
    rows = [
        {
            "family": draft.family,
            "title": draft.title or load(draft.family).title(draft.facts),
            "marking": draft.marking,
            "condition": draft.condition,
            "origin": "offered",
            "on_hand": 0,
            "reserved": 0,
            "rough": False,
            "maker": draft.maker,
            "date_code": draft.date_code,
            "year": draft.year,
            "lead_style": draft.lead_style,
            "note": draft.note,
        }
        for draft in drafts
    ]
    ids = insert_numbered(connection, table_of(Part), rows)
    for name in dict.fromkeys(draft.family for draft in drafts):
        own = [(ident, draft) for ident, draft in zip(ids, drafts, strict=True) if draft.family == name]
        save(connection, name, [(ident, draft.facts) for ident, draft in own])
        write_keys(connection, [row for ident, draft in own for row in keys.of_draft(ident, draft, {})])
    return ids


def _write_ledger(connection: Connection, ids: Sequence[int], drafts: Sequence[Draft], act_id: int, word: str) -> None:
    said = {"act_id": act_id, "word": word, "aside": 0}
    rows = [
        {"part_id": ident, "quantity": draft.count, "price": draft.price, **said}
        for ident, draft in zip(ids, drafts, strict=True)
    ]
    insert_rows(connection, table_of(Movement), rows)


def write_readings(
    connection: Connection, readings: Sequence[tuple[int, NewReading]], act_id: int, at: datetime, by: str
) -> None:
    """Write readings of parts, by part id, as belonging to an act of this transaction."""
    rows = [
        {
            "part_id": ident,
            "quantity": r.quantity,
            "value": r.value,
            "uncertainty": r.uncertainty,
            "unit": r.unit,
            "conditions": dict(r.conditions),
            "instrument": r.instrument,
            "taken_at": r.taken_at or at,
            "taken_by": by,
            "act_id": act_id,
        }
        for ident, r in readings
    ]
    insert_rows(connection, table_of(Reading), rows)


def _write_origins(connection: Connection, drafts: Sequence[Draft]) -> list[int | None]:
    filed = [draft.file for draft in drafts]
    if not any(filed):
        return [None] * len(drafts)
    rows = [{"file": f[0], "line": f[1], "key": f[2], "cells": dict(f[3])} for f in filed if f]
    fresh = iter(insert_numbered(connection, table_of(FileOrigin), rows))
    return [next(fresh) if f else None for f in filed]


def _note_lineups(connection: Connection, drafts: Sequence[Draft]) -> list[str]:
    """Write down a donor's valves where a row names them, and return the donors for which that is news."""
    table = table_of(Donor)
    said = {draft.donor: draft.donor_lineup for draft in drafts if draft.donor and draft.donor_lineup}
    before = _lineups(connection, said)
    changed = [code for code, lineup in said.items() if before[code] != lineup]
    for code in changed:
        connection.execute(update(table).where(table.c.code == code).values(lineup=said[code]))
    return changed


def _renew_keys(connection: Connection, donor_ids: Sequence[int], fresh: frozenset[int]) -> None:
    """A donor's valves stand for every part that came from it: those shelved earlier get their search keys anew."""
    if not donor_ids:
        return
    part = table_of(Part)
    earlier = connection.execute(select(part.c.id).where(part.c.donor_id.in_(donor_ids))).scalars()
    renew(connection, [ident for ident in earlier if ident not in fresh])


def _lineups(connection: Connection, donors: Iterable[str]) -> dict[str, str]:
    """The valves of donors by code."""
    return dict(_LINEUPS.tuples_of_ids(connection, list(donors)))
