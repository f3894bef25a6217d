"""Everything known of one part: what is marked, what was measured, where it lies, what became of it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sqlalchemy import Connection, select

from partsbin.errors import UsageError
from partsbin.families import load
from partsbin.families._declare import Facts
from partsbin.families._said import plain, said_fields
from partsbin.stock.history import drift_of, family_of, movements_of_part, parted_off, readings_of_part
from partsbin.stock.photographs import how_many
from partsbin.stock.shelf import get, id_of, number_of
from partsbin.store.tables import FileOrigin, table_of
from partsbin.words import say


def portrait(connection: Connection, number: str) -> dict[str, Any]:
    """Return a part with its facts, readings, ways of use, ledger and origin.

    Raises
    ------
    UsageError
        If there is no such part.
    """
    ident = id_of(number)
    family = family_of(connection, ident)
    if family is None:
        raise UsageError(f"no part {number_of(ident)}", hint="partsbin search finds parts by words")
    shelved = get(connection, family, [ident])[ident]
    readings = readings_of_part(connection, ident)
    filed = _filed(connection, shelved.row["file_origin_id"])
    return {
        "part": shelved.number,
        "family": family.name,
        "title": shelved.title,
        "condition": shelved.item.condition,
        "marking": shelved.row["marking"],
        "on_hand": shelved.on_hand,
        "reserved": shelved.reserved,
        "rough": shelved.rough,
        "place": shelved.place,
        "donor": shelved.donor,
        "donor_lineup": shelved.item.donor_lineup,
        "maker": shelved.row["maker"],
        "date_code": shelved.row["date_code"],
        "year": shelved.row["year"],
        "note": shelved.row["note"],
        "fields": _fields(shelved.item.facts),
        "readings": readings,
        "drift": drift_of(shelved.item.facts, readings),
        "options": [{"option": o.label, "assumed": list(o.assumed)} for o in family.options(shelved.item)],
        "photographs": how_many(connection, ident),
        "ledger": movements_of_part(connection, ident),
        "parted_from": number_of(shelved.row["parted_from_id"]) if shelved.row["parted_from_id"] else "",
        "parted_off": parted_off(connection, ident),
        "file": None if filed is None else {"file": filed["file"], "line": filed["line"], "cells": filed["cells"]},
        "hazards": list(family.hazards(shelved.item)),
    }


def _filed(connection: Connection, ident: int | None) -> Mapping[str, Any] | None:
    if ident is None:
        return None
    origin = table_of(FileOrigin)
    found = connection.execute(select(origin).where(origin.c.id == ident)).mappings().first()
    return None if found is None else dict(found)


def _fields(facts: Facts) -> dict[str, Any]:
    known: dict[str, Any] = {}
    for name, value in facts:
        if isinstance(value, (tuple, list)):
            if value:
                known[name] = [_fields(child) for child in value]
        elif value is not None:
            known[name] = value
    return known


def said_reading(reading: Mapping[str, Any]) -> str:
    """Return a reading of `partsbin.stock.history.readings_of_part` in words."""
    at = "".join(f" at {say(float(v), 'V')}" for v in reading["conditions"].values())
    spread = f" ±{say(reading['uncertainty'], reading['unit'])}" if reading["uncertainty"] else ""
    with_what = f", {reading['instrument']}" if reading["instrument"] else ""
    value = plain(reading["value"], reading["unit"])
    back = "" if reading["valid"] else " (taken back)"
    return f"read {reading['at'][:10]}: {reading['quantity']} {value}{spread}{at}{with_what}{back}"


def said_movement(movement: Mapping[str, Any]) -> str:
    """Return a movement of `partsbin.stock.history.movements_of_part` in words."""
    counts = f" {movement['quantity']:+d}" if movement["quantity"] else ""
    aside = f" {movement['aside']:+d} set aside" if movement["aside"] else ""
    changed = "".join(f" {name}: {b or '—'} → {a or '—'}" for name, (b, a) in movement["changes"].items())
    job = f" for {movement['job']}" if movement["job"] else ""
    why = f" · {movement['why']}" if movement["why"] else ""
    back = " (taken back since)" if movement["undone"] else ""
    return f"{movement['at'][:10]} {movement['word']}{counts}{aside}{changed}{job}{why}{back}"


def portrait_text(found: Mapping[str, Any]) -> str:
    """Return a part's portrait as lines."""
    family = load(found["family"])
    count = f"about {found['on_hand']}" if found["rough"] else str(found["on_hand"])
    lying = ", ".join(
        filter(
            None,
            (
                f"{count} on hand",
                f"{found['reserved']} set aside" if found["reserved"] else "",
                found["condition"],
                f"in {found['place']}" if found["place"] else "",
                f"from {found['donor']}" if found["donor"] else "",
            ),
        )
    )
    lines = [f"{found['part']}  {found['title']}", f"    {lying}"]
    if found["marking"]:
        lines.append(f"    marked {found['marking']!r}")
    lines += [f"    {name}: {text}" for name, text in said_fields(family.facts, found["fields"])]
    lines += [f"    {said_reading(r)}" for r in found["readings"]]
    lines += [f"    DRIFT {said}" for said in found["drift"]]
    if found["photographs"]:
        lines.append(f"    {found['photographs']} photograph{'s' * (found['photographs'] != 1)}, on the bench page")
    lines += [f"    {said_movement(m)}" for m in found["ledger"]]
    if found["parted_from"]:
        lines.append(f"    split off {found['parted_from']}")
    if found["parted_off"]:
        lines.append(f"    split off it: {', '.join(found['parted_off'])}")
    if found["file"]:
        lines.append(f"    came in from {found['file']['file']}, line {found['file']['line']}")
    if found["note"]:
        lines.append(f"    {found['note']}")
    lines += [f"    CAUTION {line}" for line in found["hazards"]]
    return "\n".join(lines)
