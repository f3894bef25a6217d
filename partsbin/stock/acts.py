"""What is done to parts on the shelf, each one act: split, measure, move, scrap, bring back, find, set aside and let go."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, select

from partsbin.errors import RefusedError, UsageError
from partsbin.stock.catalogue import ids_of, write_readings
from partsbin.stock.ledger import Done, Line, act, add_lines, claims_on, open_act
from partsbin.stock.parts import NewReading
from partsbin.stock.renewal import renew
from partsbin.stock.searching.index import index_parts
from partsbin.stock.shelf import Shelved, get_one, number_of
from partsbin.store.bulk import insert_one, insert_rows
from partsbin.store.family_tables import save
from partsbin.store.tables import Act, Part, Place, Reading, table_of


@dataclass(frozen=True)
class Who:
    """When, by whom and why something is done: the clock and the user come from outside."""

    at: datetime
    by: str = ""
    why: str = ""

    def because(self, why: str) -> Who:
        """Return the same with a reason, where none was given."""
        return self if self.why else replace(self, why=why)

    def said(self) -> dict[str, Any]:
        """Return it as the arguments of an act."""
        return {"at": self.at, "by": self.by, "why": self.why}


def part_of(connection: Connection, part_id: int) -> Shelved:
    """Return a part of any family.

    Raises
    ------
    UsageError
        If there is no such part.
    """
    part = get_one(connection, part_id)
    if part is None:
        raise UsageError(f"no part {number_of(part_id)}", hint="partsbin search finds parts by words")
    return part


def measure(
    connection: Connection,
    part_id: int,
    readings: Sequence[NewReading],
    who: Who,
    *,
    pieces: int = 0,
    job_id: int | None = None,
) -> tuple[int, int]:
    """Write down readings of a part; they count from now on, in the search too.

    Parameters
    ----------
    connection : Connection
        Inside a writing transaction.
    part_id : int
        The part.
    readings : sequence of NewReading
        What was read.
    who : Who
        When, by whom, why.
    pieces : int
        How many pieces they stand for; fewer than there are become a part of their own. 0: one, where several lie together [-].
    job_id : int, optional
        The job that they were read for: pieces set aside for it are measured before others, and stay set aside for it.

    Returns
    -------
    (int, int)
        The part that has the readings now, and the act.

    Raises
    ------
    RefusedError
        If there are not as many pieces free.
    """
    part = part_of(connection, part_id)
    act_id = open_act(connection, "measured", **who.said())
    several = part.on_hand > 1
    wanted = pieces or (1 if several else part.on_hand)
    splits = several and wanted < part.on_hand
    if not splits and wanted > max(part.on_hand, 1):
        raise RefusedError(f"{part.number}: {wanted} measured, {part.on_hand} on hand")
    measured = _twin(connection, part, {}) if splits else part_id
    write_readings(connection, [(measured, reading) for reading in readings], act_id, who.at, who.by)
    if splits:  # its keys are made when it is counted in, with what was read
        _hand_over(connection, part.id, measured, wanted, act_id, job_id)
    else:
        renew(connection, [part_id])
    return measured, act_id


def part_off(
    connection: Connection,
    part: Shelved,
    pieces: int,
    act_id: int,
    changes: Mapping[str, Any] | None = None,
    *,
    job_id: int | None = None,
) -> int:
    """Split pieces off a part, within an act: the same marks, origin and readings, a number of its own. Return its id.

    Parameters
    ----------
    connection : Connection
        Inside the act's transaction.
    part : Shelved
        What they are taken from.
    pieces : int
        How many [-].
    act_id : int
        The act.
    changes : mapping, optional
        Columns of the new part that differ: its place, its condition.
    job_id : int, optional
        A job whose claim goes with the pieces, as far as it has one.

    Raises
    ------
    RefusedError
        If not as many are free.
    """
    new_id = _twin(connection, part, changes or {})
    _hand_over(connection, part.id, new_id, pieces, act_id, job_id)
    return new_id


def _hand_over(connection: Connection, part_id: int, new_id: int, pieces: int, act_id: int, job_id: int | None) -> None:
    """Count pieces out of a part and into its twin, which can be searched then."""
    held = min(pieces, claims_on(connection, part_id).get(job_id, 0)) if job_id else 0
    whose = job_id if held else None
    lines = [Line(part_id, "parted", -pieces, -held, job_id=whose), Line(new_id, "parted", pieces, held, job_id=whose)]
    add_lines(connection, act_id, lines)
    index_parts(connection, [new_id])


_OWN = ("id", "on_hand", "reserved", "file_origin_id", "parted_from_id")
"""Columns that a part split off does not take over."""


def _twin(connection: Connection, part: Shelved, changes: Mapping[str, Any]) -> int:
    """A part of the same marks and readings of which there is none yet."""
    table = table_of(Part)
    row = {column.name: part.row[column.name] for column in table.c if column.name not in _OWN}
    none = {"on_hand": 0, "reserved": 0, "rough": False, "parted_from_id": part.id}
    new_id = insert_one(connection, table, {**row, **none, **changes})
    save(connection, part.family, [(new_id, part.item.facts)])
    if part.item.readings:
        _copy_readings(connection, part.id, new_id)
    return new_id


def _copy_readings(connection: Connection, part_id: int, new_id: int) -> None:
    """What was read of all pieces stands for those split off, for as long as it does for the others."""
    table, act_table = table_of(Reading), table_of(Act)
    taken_back = select(act_table.c.id).where(act_table.c.reverses_id == table.c.act_id).exists()
    query = select(table).where(table.c.part_id == part_id, ~taken_back).order_by(table.c.taken_at, table.c.id)
    last = {row["quantity"]: {**row, "part_id": new_id} for row in connection.execute(query).mappings()}
    for row in last.values():
        del row["id"]
    insert_rows(connection, table, list(last.values()))


def move(connection: Connection, part_id: int, place: str, who: Who, *, pieces: int = 0) -> tuple[int, int]:
    """Move a part to another place; some of its pieces become a part of their own. Return the part there, and the act.

    Parameters
    ----------
    connection : Connection
        Inside a writing transaction.
    part_id : int
        The part.
    place : str
        Drawer, box, shelf; a new one is noted.
    who : Who
        When, by whom, why.
    pieces : int
        How many; 0 for all [-].

    Raises
    ------
    RefusedError
        If it lies there already, or not as many are free.
    """
    part = part_of(connection, part_id)
    if part.place == place.strip():
        raise RefusedError(f"{part.number} lies in {place.strip()!r} already")
    new_place = ids_of(connection, Place, "name", [place.strip()])[place.strip()]
    act_id = open_act(connection, "moved", **who.said())
    if pieces and pieces < part.on_hand:
        return part_off(connection, part, pieces, act_id, {"place_id": new_place}), act_id
    if pieces > part.on_hand:
        raise RefusedError(f"{part.number}: {pieces} to be moved, {part.on_hand} on hand")
    add_lines(connection, act_id, [Line(part_id, "moved", changes={"place_id": (part.row["place_id"], new_place)})])
    return part_id, act_id


def scrap(connection: Connection, part_id: int, pieces: int, who: Who) -> Done:
    """Throw pieces away that nobody has set aside."""
    return act(connection, "scrapped", [Line(part_id, "scrapped", -pieces)], **who.said())


def buy(connection: Connection, part_id: int, pieces: int, who: Who, *, price: int | None = None) -> Done:
    """Add bought pieces to a part; `price` is a piece's, in thousandths of the currency's unit."""
    before = part_of(connection, part_id).row["price"]
    changes = {"price": (before, price)} if price is not None and price != before else {}
    return act(connection, "bought", [Line(part_id, "bought", pieces, price=price, changes=changes)], **who.said())


def reserve(connection: Connection, part_id: int, pieces: int, who: Who, *, job_id: int | None = None) -> Done:
    """Set pieces aside, for a job or for no job yet: nobody else is offered them."""
    return act(connection, "reserved", [Line(part_id, "reserved", aside=pieces, job_id=job_id)], **who.said())


def release(connection: Connection, part_id: int, pieces: int, who: Who, *, job_id: int | None = None) -> Done:
    """Let pieces go that are set aside.

    Raises
    ------
    RefusedError
        If not as many are set aside for that job.
    """
    held = claims_on(connection, part_id).get(job_id or 0, 0)
    if held < pieces:
        whom = "for this job" if job_id else "for no job"
        raise RefusedError(f"{number_of(part_id)}: {pieces} to be let go, {held} set aside {whom}")
    return act(connection, "released", [Line(part_id, "released", aside=-pieces, job_id=job_id)], **who.said())
