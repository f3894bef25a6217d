"""Everything known of one part: what is marked, what was measured, where it lies, what became of it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from sqlalchemy import Connection, select

from partsbin.errors import UsageError
from partsbin.families import load
from partsbin.families._declare import Facts
from partsbin.families._said import plain, said_fields
from partsbin.stock.shelf import get, id_of, number_of
from partsbin.store.tables import FileOrigin, Movement, Part, Reading, table_of
from partsbin.words import say


def portrait(connection: Connection, number: str) -> dict[str, Any]:
    """Return a part with its facts, readings, ways of use, ledger and origin.

    Raises
    ------
    UsageError
        If there is no such part.
    """
    ident = id_of(number)
    part, reading, movement, origin = (table_of(t) for t in (Part, Reading, Movement, FileOrigin))
    family_name = connection.execute(select(part.c.family).where(part.c.id == ident)).scalar()
    if family_name is None:
        raise UsageError(f"no part {number_of(ident)}")
    family = load(family_name)
    shelved = get(connection, family, [ident])[ident]
    readings = connection.execute(
        select(reading).where(reading.c.part_id == ident).order_by(reading.c.taken_at, reading.c.id)
    ).mappings()
    lines = connection.execute(select(movement).where(movement.c.part_id == ident).order_by(movement.c.id)).mappings()
    filed = connection.execute(select(origin).where(origin.c.id == shelved.row["file_origin_id"])).mappings().first()
    return {
        "part": shelved.number,
        "family": family_name,
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
        "readings": [
            {
                "quantity": r["quantity"],
                "value": r["value"],
                "uncertainty": r["uncertainty"],
                "unit": r["unit"],
                "conditions": r["conditions"],
                "at": r["taken_at"].isoformat(),
                "by": r["taken_by"],
            }
            for r in readings
        ],
        "options": [{"option": o.label, "assumed": list(o.assumed)} for o in family.options(shelved.item)],
        "ledger": [
            {
                "act": m["act"],
                "quantity": m["quantity"],
                "aside": m["aside"],
                "at": m["at"].isoformat(),
                "by": m["by"],
                "why": m["why"],
                "job": m["job"],
            }
            for m in lines
        ],
        "file": None if filed is None else {"file": filed["file"], "line": filed["line"], "cells": filed["cells"]},
        "hazards": list(family.hazards(shelved.item)),
    }


def _fields(facts: Facts) -> dict[str, Any]:
    known: dict[str, Any] = {}
    for name, value in facts:
        if isinstance(value, (tuple, list)):
            if value:
                known[name] = [_fields(child) for child in value]
        elif value is not None:
            known[name] = value
    return known


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
    for r in found["readings"]:
        at = "".join(f" at {say(float(v), 'V')}" for v in r["conditions"].values())
        spread = f" ±{say(r['uncertainty'], r['unit'])}" if r["uncertainty"] else ""
        lines.append(f"    read {r['at'][:10]}: {r['quantity']} {plain(r['value'], r['unit'])}{spread}{at}")
    lines += [
        f"    {m['at'][:10]} {m['act']} {m['quantity']:+d}{' ' + m['why'] if m['why'] else ''}" for m in found["ledger"]
    ]
    if found["file"]:
        lines.append(f"    came in from {found['file']['file']}, line {found['file']['line']}")
    if found["note"]:
        lines.append(f"    {found['note']}")
    lines += [f"    CAUTION {line}" for line in found["hazards"]]
    return "\n".join(lines)
