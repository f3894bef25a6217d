"""The ledger: every change of stock is an act with its movements, written once and never changed; an act is taken back by another.

What a part has on hand and set aside follows from its movements. Both are kept with the part too, in the same transaction, and the
database itself refuses less than nothing on hand and more set aside than there is.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from functools import cache
from typing import Any

from sqlalchemy import Connection, bindparam, select, update

from partsbin.errors import RefusedError, UsageError
from partsbin.families import load
from partsbin.stock.renewal import Recounted, renew, renew_counts
from partsbin.stock.searching.index import index_parts
from partsbin.stock.shelf import marked, number_of
from partsbin.store.bulk import insert_numbered, insert_one
from partsbin.store.family_tables import drop, save
from partsbin.store.statements import Change, Statement
from partsbin.store.tables import UNDONE, Act, Movement, Part, table_of

CHANGEABLE = ("place_id", "rough", "price", "condition", "title", "marking", "note")
"""Columns of a part that a movement may change, beside its counts."""

FACTS = "facts"
"""The name under which a movement changes the marked facts of a part, as one object."""

_WORDED = ("place_id", "condition", "title", "marking", "note")  # what a part is searched by
_KEYED = ("condition", "marking", FACTS)  # what its search keys follow from, beside its count


@dataclass(frozen=True)
class Line:
    """What an act does to one part.

    Parameters
    ----------
    part_id : int
        The part.
    word : str
        As of `partsbin.store.tables.ACTS`.
    quantity, aside : int
        What comes on hand (less than 0: goes), and what is set aside (less than 0: let go) [-].
    price : int, optional
        What a piece cost at that moment, in thousandths of the currency's unit.
    changes : mapping of str to (any, any)
        Columns of `CHANGEABLE`, or `FACTS`, before and after.
    job_id : int, optional
        The job that the pieces are fitted or set aside for.
    """

    part_id: int
    word: str
    quantity: int = 0
    aside: int = 0
    price: int | None = None
    changes: Mapping[str, tuple[Any, Any]] = field(default_factory=dict)
    job_id: int | None = None


@dataclass(frozen=True)
class Done:
    """An act as it was written, and its movements in the order of the lines."""

    act_id: int
    movement_ids: tuple[int, ...]


def open_act(
    connection: Connection,
    word: str,
    *,
    at: datetime,
    by: str = "",
    why: str = "",
    reverses_id: int | None = None,
) -> int:
    """Write an act, to which movements and readings are then added in the same transaction, and return its id."""
    row = {"word": word, "at": at, "by": by, "why": why, "reverses_id": reverses_id}
    return insert_one(connection, table_of(Act), row)


def act(
    connection: Connection,
    word: str,
    lines: Sequence[Line],
    *,
    at: datetime,
    by: str = "",
    why: str = "",
) -> Done:
    """Do something to stock.

    Parameters
    ----------
    connection : Connection
        Inside a writing transaction; if this raises, the whole of it must be given up.
    word : str
        The act, as of `partsbin.store.tables.ACTS`.
    lines : sequence of Line
        What it does; several of one part count together.
    at : datetime
        When, with its time zone.
    by, why : str
        Who and why.

    Returns
    -------
    Done
        The act and its movements.

    Raises
    ------
    RefusedError
        If a part would have less than nothing on hand, or more set aside than there is.
    UsageError
        If there is no such part.
    """
    act_id = open_act(connection, word, at=at, by=by, why=why)
    return Done(act_id, add_lines(connection, act_id, lines))


def add_lines(connection: Connection, act_id: int, lines: Sequence[Line]) -> tuple[int, ...]:
    """Add movements to an act of this transaction, see `act`; return their ids."""
    counted = _apply(connection, lines)
    rows = [
        {
            "act_id": act_id,
            "part_id": line.part_id,
            "job_id": line.job_id,
            "word": line.word,
            "quantity": line.quantity,
            "aside": line.aside,
            "price": line.price,
            "changes": {name: list(pair) for name, pair in line.changes.items()} or None,
        }
        for line in lines
    ]
    ids = insert_numbered(connection, table_of(Movement), rows)
    _refuse_overdrawn(connection, lines)
    keyed, worded = _changed(lines, _KEYED), _changed(lines, _WORDED)
    renew(connection, keyed)
    renew_counts(connection, [part for part in counted if part.id not in keyed])
    if worded:
        index_parts(connection, sorted(worded))
    return tuple(ids)


_OVERDRAWN = Statement("""
SELECT part_id, coalesce(job_id, 0), sum(aside) FROM movement WHERE part_id IN :ids GROUP BY part_id, job_id HAVING sum(aside) < 0
""")


def _refuse_overdrawn(connection: Connection, lines: Sequence[Line]) -> None:
    """Refuse to let go for a job what is not set aside for it: the pieces of a part that others claim are theirs.

    Somebody may have fitted what is let go, or taken back what set it aside; the part itself only holds the sum of all claims.
    """
    lowered: dict[tuple[int, int], int] = {}
    for line in lines:
        if line.aside < 0:
            claim = (line.part_id, line.job_id or 0)
            lowered[claim] = lowered.get(claim, 0) - line.aside
    if not lowered:
        return
    for part_id, job_id, held in _OVERDRAWN.tuples_of_ids(connection, sorted({part for part, _ in lowered})):
        if (part_id, job_id) in lowered:
            whom = "for that job" if job_id else "for no job"
            wanted = lowered[part_id, job_id]
            raise RefusedError(
                f"{number_of(part_id)}: {wanted} to be let go, {max(wanted + int(held), 0)} set aside {whom}",
                hint="look at it again with partsbin show",
            )


def _changed(lines: Sequence[Line], names: Collection[str]) -> set[int]:
    return {line.part_id for line in lines if not line.changes.keys().isdisjoint(names)}


def _apply(connection: Connection, lines: Sequence[Line]) -> list[Recounted]:
    """Change the parts themselves, in the order of their ids: two acts at the same time never wait for each other in a circle.

    Returns
    -------
    list of Recounted
        Those of which more or fewer are available now.
    """
    counted = []
    of_part: dict[int, list[Line]] = {}
    for line in lines:
        of_part.setdefault(line.part_id, []).append(line)
    for part_id, own in sorted(of_part.items()):
        quantity, aside = sum(line.quantity for line in own), sum(line.aside for line in own)
        changes = [(name, pair) for line in own for name, pair in line.changes.items() if name != FACTS]
        values: dict[str, Any] = {"part": part_id, "quantity": quantity, "more": aside}
        for at, (_, (before, after)) in enumerate(changes):
            values |= {f"before{at}": before, f"after{at}": after}
        row: Any = _update(tuple(name for name, _ in changes)).run(connection, values).first()
        if row is None:
            raise _refusal(connection, part_id, quantity, aside)
        for before, after in (line.changes[FACTS] for line in own if FACTS in line.changes):
            rewrite(connection, part_id, before, after)
        if quantity != aside:
            counted.append(Recounted(part_id, row[0], row[1] - row[2]))
    return counted


@cache
def _update(names: tuple[str, ...]) -> Change:
    """The change of a part on the shelf: its counts, and columns by name if they are still what they were thought to be."""
    part = table_of(Part)
    hand, reserved = part.c.on_hand + bindparam("quantity"), part.c.reserved + bindparam("more")
    values: dict[str, Any] = {"on_hand": hand, "reserved": reserved}
    held = [part.c.id == bindparam("part"), part.c.origin == "shelf", hand >= 0, reserved >= 0, reserved <= hand]
    for at, name in enumerate(names):
        if name not in CHANGEABLE:
            raise UsageError(f"a movement does not change {name!r}", hint=f"one of {', '.join(CHANGEABLE)}")
        held.append(part.c[name].is_not_distinct_from(bindparam(f"before{at}")))
        values[name] = bindparam(f"after{at}")
    return Change(update(part).where(*held).values(values).returning(part.c.condition, part.c.on_hand, part.c.reserved))


_FAMILY = Statement("SELECT family FROM part WHERE id = :part")


def rewrite(connection: Connection, part_id: int, before: Mapping[str, Any], after: Mapping[str, Any]) -> None:
    """Write the marked facts of a part anew, if they are still what they were thought to be.

    Raises
    ------
    RefusedError
        If they are not.
    """
    family = load(str(_FAMILY.rows(connection, {"part": part_id})[0][0]))
    now = marked(connection, family, [part_id])[part_id].model_dump(exclude_none=True, mode="json")
    if {name: value for name, value in now.items() if value != []} != dict(before):
        raise RefusedError(f"{number_of(part_id)} was changed by someone else meanwhile", hint="look at it with show")
    drop(connection, family.name, part_id)
    save(connection, family.name, [(part_id, family.facts.model_validate(after))])


def _refusal(connection: Connection, part_id: int, quantity: int, aside: int) -> RefusedError | UsageError:
    part = table_of(Part)
    row = connection.execute(select(part.c.on_hand, part.c.reserved, part.c.origin).where(part.c.id == part_id)).first()
    number = number_of(part_id)
    if row is None:
        return UsageError(f"no part {number}", hint="partsbin search finds parts by words")
    if row[2] != "shelf":
        return RefusedError(f"{number} is what a supplier offers: none of it lies here", hint="what came is booked in")
    here, set_aside = int(row[0]), int(row[1])
    if not (0 <= set_aside + aside <= here + quantity):
        lying = f"{here} on hand, {set_aside} of them set aside" if set_aside else f"{here} on hand"
        wanted = -quantity if quantity < 0 else aside
        if set_aside + aside < 0:
            return RefusedError(f"{number}: {-aside} to be let go, {set_aside} set aside")
        return RefusedError(f"{number}: {wanted} wanted, {lying}", hint="count it again if the shelf says otherwise")
    return RefusedError(f"{number} was changed by someone else meanwhile", hint="look at it again with partsbin show")


MANY = 20
"""Parts of one act above which it is taken back by its number alone: a list that came in is not lost by one word too many."""

_LAST = Statement("""
SELECT act.id AS id, act.word AS word, act.why AS why,
(SELECT count(DISTINCT part_id) FROM movement WHERE act_id = act.id) AS parts FROM act
WHERE act.word <> 'undone' AND act.by = :by AND NOT EXISTS (SELECT 1 FROM act AS later WHERE later.reverses_id = act.id)
ORDER BY act.id DESC LIMIT 1
""")


@dataclass(frozen=True)
class Reversed:
    """An act that was taken back, and the one that did it."""

    act_id: int
    by_act_id: int
    word: str
    why: str
    parts: tuple[int, ...]


def undo(connection: Connection, *, at: datetime, by: str = "", act_id: int | None = None) -> Reversed:
    """Take back the last act of this person that still stands, or one that is named.

    Parameters
    ----------
    connection : Connection
        Inside a writing transaction.
    at : datetime
        When.
    by : str
        Who; the acts of others are not looked at, unless one is named.
    act_id : int, optional
        The act, where it is not the last one.

    Raises
    ------
    RefusedError
        If nothing is left to take back, what has happened since stands in the way, or the last act is one of more than `MANY`
        parts, which wants to be named.
    """
    found = _standing(connection, act_id) if act_id is not None else _last(connection, by)
    ident, word, why = found
    reversal = open_act(connection, UNDONE, at=at, by=by, why=f"{word} taken back", reverses_id=ident)
    table = table_of(Movement)
    rows = connection.execute(select(table).where(table.c.act_id == ident).order_by(table.c.id.desc())).mappings()
    lines = [
        Line(
            row["part_id"],
            row["word"],
            -row["quantity"],
            -row["aside"],
            row["price"],
            {name: (after, before) for name, (before, after) in (row["changes"] or {}).items()},
            row["job_id"],
        )
        for row in rows
    ]
    try:
        add_lines(connection, reversal, lines)
    except RefusedError as fault:
        raise RefusedError(
            f"{word} cannot be taken back, something happened since: {fault.message}",
            hint="partsbin show P-… tells what became of a part",
        ) from None
    read = _read_in(connection, ident)
    renew(connection, read)
    return Reversed(ident, reversal, word, why, tuple(sorted(read.union(line.part_id for line in lines))))


def _last(connection: Connection, by: str) -> tuple[int, str, str]:
    rows = _LAST.rows(connection, {"by": by})
    if not rows:
        raise RefusedError(
            "nothing of yours is left to take back", hint="partsbin show P-… tells what became of a part"
        )
    ident, word, why, parts = rows[0]
    if parts > MANY:
        said = f" ({why})" if why else ""
        raise RefusedError(
            f"the last thing done is {word} of {parts} parts{said}",
            hint=f"partsbin undo --act {ident} takes it all back",
        )
    return rows[0][0], rows[0][1], rows[0][2]


def _standing(connection: Connection, act_id: int) -> tuple[int, str, str]:
    table = table_of(Act)
    row = connection.execute(select(table).where(table.c.id == act_id)).mappings().first()
    if row is None or row["word"] == UNDONE:
        raise RefusedError(f"there is no act {act_id} to take back")
    if connection.execute(select(table.c.id).where(table.c.reverses_id == act_id)).first():
        raise RefusedError(f"act {act_id} has been taken back already")
    return row["id"], row["word"], row["why"]


_READ = Statement("SELECT DISTINCT part_id FROM reading WHERE act_id = :act")


def _read_in(connection: Connection, act_id: int) -> set[int]:
    """Parts whose readings came with an act: they do not count any more."""
    return {row[0] for row in _READ.rows(connection, {"act": act_id})}


_ASIDE = "SELECT part_id, sum(aside) FROM movement WHERE job_id = :job {} GROUP BY part_id HAVING sum(aside) > 0"
_ASIDE_OF_ALL, _ASIDE_OF = Statement(_ASIDE.format("")), Statement(_ASIDE.format("AND part_id IN :ids"))


def set_aside_for(connection: Connection, job_id: int, part_ids: Iterable[int] | None = None) -> dict[int, int]:
    """Return how many pieces of each part are set aside for a job [-]."""
    if part_ids is None:
        rows = _ASIDE_OF_ALL.rows(connection, {"job": job_id})
    else:
        rows = _ASIDE_OF.tuples_of_ids(connection, list(part_ids), job=job_id)
    return {row[0]: int(row[1]) for row in rows}


_CLAIMS = Statement("""
SELECT job_id, sum(aside) FROM movement WHERE part_id = :part GROUP BY job_id HAVING sum(aside) > 0 ORDER BY max(id) DESC
""")


def claims_on(connection: Connection, part_id: int) -> dict[int, int]:
    """Return who has pieces of a part set aside: by job, the newest claim first; 0 stands for no job [-]."""
    return {row[0] or 0: int(row[1]) for row in _CLAIMS.rows(connection, {"part": part_id})}
