"""Donors: chassis stripped for parts. What they are, what they gave, what is still to be read on it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, func, insert, select, update

from partsbin.errors import RefusedError, UsageError
from partsbin.families import load
from partsbin.stock.acts import Who
from partsbin.stock.renewal import renew
from partsbin.stock.shelf import Shelved, get, number_of
from partsbin.store.job_tables import Stripping
from partsbin.store.tables import Donor, Part, table_of


@dataclass(frozen=True)
class Chassis:
    """A donor as it is recorded; `cost` is in thousandths of the currency's unit, `came` as it was written."""

    id: int
    code: str
    name: str
    lineup: str
    note: str
    cost: int | None
    came: str

    def as_json(self) -> dict[str, Any]:
        """Return it as an object of the answers."""
        return {
            "donor": self.code,
            "name": self.name,
            "lineup": self.lineup,
            "note": self.note,
            "cost": self.cost,
            "came": self.came,
        }


def code_of(text: str) -> str:
    """Return a donor's number as it is written, ``D-007``: of a number alone, with or without its letter; other codes stand.

    Examples
    --------
    >>> code_of("7"), code_of("d-7"), code_of("loft radio")
    ('D-007', 'D-007', 'loft radio')
    """
    match = re.fullmatch(r"\s*D?-?0*([1-9][0-9]{0,8})\s*", text, re.IGNORECASE | re.ASCII)
    return f"D-{int(match[1]):03d}" if match else text.strip()


def donor_of(connection: Connection, code: str) -> Chassis:
    """Return a donor.

    Raises
    ------
    UsageError
        If there is none of that number.
    """
    table = table_of(Donor)
    row = connection.execute(select(table).where(table.c.code == code_of(code))).mappings().first()
    if row is None:
        raise UsageError(f"no donor {code_of(code)}", hint="partsbin donor add notes one, donor list shows them")
    return Chassis(row["id"], row["code"], row["name"], row["lineup"], row["note"], row["cost"], row["came"])


def donors(connection: Connection) -> list[Chassis]:
    """Return all donors, by number."""
    table = table_of(Donor)
    rows = connection.execute(select(table).order_by(table.c.code)).mappings()
    return [Chassis(r["id"], r["code"], r["name"], r["lineup"], r["note"], r["cost"], r["came"]) for r in rows]


def add_donor(connection: Connection, *, code: str = "", **said: Any) -> Chassis:
    """Note a donor.

    Parameters
    ----------
    connection : Connection
        Inside a writing transaction.
    code : str
        Its number; without it the next one.
    **said
        `name`, `lineup`, `note`, `cost`, `came`.

    Raises
    ------
    RefusedError
        If that number is taken.
    """
    table = table_of(Donor)
    code = code_of(code) if code else _next_code(connection)
    if connection.execute(select(table.c.id).where(table.c.code == code)).first():
        raise RefusedError(f"there is a donor {code} already", hint="partsbin donor know adds to what is known of it")
    connection.execute(insert(table), {"code": code, "name": "", "lineup": "", "note": "", "came": "", **said})
    return donor_of(connection, code)


def known_or_new(connection: Connection, code: str, lineup: str = "") -> Chassis:
    """Return a donor, noted if its number is new, with its valves if they are said."""
    try:
        known = donor_of(connection, code)
    except UsageError:
        return add_donor(connection, code=code, lineup=lineup)
    return learn(connection, known, lineup=lineup)


def _next_code(connection: Connection) -> str:
    table = table_of(Donor)
    taken = [
        match
        for code in connection.execute(select(table.c.code)).scalars()
        if (match := re.fullmatch(r"D-(\d+)", code))
    ]
    return f"D-{max((int(match[1]) for match in taken), default=0) + 1:03d}"


def learn(connection: Connection, donor: Chassis, **said: Any) -> Chassis:
    """Add to what is known of a donor; its valves stand for every part that came from it, so these get their keys anew."""
    known = {name: value for name, value in said.items() if value not in (None, "")}
    if known:
        table, part = table_of(Donor), table_of(Part)
        connection.execute(update(table).where(table.c.id == donor.id).values(known))
        ids = connection.execute(select(part.c.id).where(part.c.donor_id == donor.id)).scalars().all()
        renew(connection, ids, words="name" in known)
    return donor_of(connection, donor.code)


def parts_of(connection: Connection, donor: Chassis) -> list[dict[str, Any]]:
    """Return what a donor gave, by number, with what is left of each."""
    part = table_of(Part)
    query = select(
        part.c.id, part.c.family, part.c.title, part.c.condition, part.c.on_hand, part.c.reserved, part.c.rough
    )
    rows = connection.execute(query.where(part.c.donor_id == donor.id).order_by(part.c.id)).mappings()
    return [{"part": number_of(row["id"]), **dict(row)} for row in rows]


def minutes_of(connection: Connection, donor: Chassis) -> float:
    """Return the time spent stripping a donor [min]."""
    table = table_of(Stripping)
    spent = connection.execute(select(func.sum(table.c.minutes)).where(table.c.donor_id == donor.id)).scalar()
    return float(spent or 0.0)


def note_sitting(connection: Connection, donor: Chassis, who: Who, minutes: float, parts: int) -> None:
    """Write down a sitting over a donor: minutes spent, parts that it gave."""
    row = {"donor_id": donor.id, "at": who.at, "by": who.by, "minutes": minutes, "parts": parts}
    connection.execute(insert(table_of(Stripping)), row)


def owed(connection: Connection, donor: Chassis | None = None, *, newest: int | None = None) -> list[dict[str, Any]]:
    """Return the readings still owed on salvaged parts, most useful first.

    Parameters
    ----------
    connection : Connection
        Reading.
    donor : Chassis, optional
        Whose parts; without it those of all donors.
    newest : int, optional
        How many parts are looked at, the newest; without it all [-].

    Returns
    -------
    list of dict
        Part, what to read in the order of the family's readings with its dangers, and what to look for on it. Parts whose main
        value nobody knows come first, for no search finds them; then those without their rating; then the rest. Among equals the
        larger count.
    """
    part = table_of(Part)
    query = select(part.c.id, part.c.family).where(part.c.on_hand > 0, part.c.condition != "new")
    query = query.order_by(part.c.id) if newest is None else query.order_by(part.c.id.desc()).limit(newest)
    query = query.where(part.c.donor_id == donor.id) if donor else query.where(part.c.donor_id.is_not(None))
    of_family: dict[str, list[int]] = {}
    for ident, name in connection.execute(query):
        of_family.setdefault(name, []).append(ident)
    found = []
    for name, ids in of_family.items():
        for shelved in get(connection, load(name), ids).values():
            entry = owed_on(shelved)
            if entry["read"] or entry["look"]:
                found.append(entry)
    return sorted(found, key=lambda entry: (entry["rank"], -entry["count"], entry["part"]))


def owed_on(shelved: Shelved) -> dict[str, Any]:
    """Return what is still to be read and looked for on one part, as of `owed`; ``readings`` are names to measure it by."""
    family = load(shelved.family)
    facts, readings = shelved.item.facts, shelved.item.readings
    offers: Mapping[str, Any] = family.options(shelved.item)[0].offers
    no_value = offers.get(family.keys.value) in (None, "")
    no_limit = offers.get(family.keys.limit) in (None, "")
    known = {name for name in type(facts).model_fields if getattr(facts, name) not in (None, ())}
    known |= {name.partition("@")[0] for name in readings} | (set() if no_value else {family.keys.value})
    lacking = [reading for reading in family.readings if reading.name not in known]
    unknown = ((family.keys.value, no_value), (family.keys.limit, no_limit))
    look = list(dict.fromkeys(name.replace("_", " ") for name, none in unknown if none and hasattr(facts, name)))
    return {
        "part": shelved.number,
        "title": shelved.title,
        "place": shelved.place,
        "count": shelved.on_hand,
        "read": [reading.help for reading in lacking],
        "readings": [reading.name for reading in lacking],
        "look": look,
        "dangers": [f"{reading.help}: {reading.danger}" for reading in lacking if reading.danger],
        "rank": 0 if no_value else 1 if no_limit else 2,
    }
