"""What sits in a job's set now: parts that went in and did not come out again, and the needs that are still open."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from sqlalchemy import ColumnElement, Connection, Table, func, select

from partsbin.checks import Verdict
from partsbin.jobs.needs import Wanted, need_of, needs_of
from partsbin.jobs.record import Opened
from partsbin.stock.history import job_code
from partsbin.stock.shelf import number_of
from partsbin.store.job_tables import Fitting
from partsbin.store.tables import Act, Movement, Part, table_of

VERDICTS = tuple(verdict.word for verdict in sorted(Verdict))


def fitted_in(connection: Connection, job_id: int, part_id: int) -> int:
    """Return how many pieces of a part sit in a job's set now [-]."""
    movement = table_of(Movement)
    query = select(movement.c.quantity).where(
        movement.c.job_id == job_id, movement.c.part_id == part_id, movement.c.word.in_(("fitted", "returned"))
    )
    return -sum(int(quantity) for quantity in connection.execute(query).scalars())


def fittings_of(connection: Connection, job_id: int | None = None) -> list[dict[str, Any]]:
    """Return what sits in a job's set now, oldest first, each with why it went in: what was taken back or out again is left out.

    Without a job it is what sits in any set, job by job: asked at once, not for thousands of jobs one by one.
    """
    return [_fitting_json(row) for row in _each_once(_rows(connection, job_id)) if row["quantity"]]


def fitted_by(connection: Connection, job_id: int, act_id: int) -> list[dict[str, Any]]:
    """Return what an act fitted in a job's set and what still sits there of it."""
    rows = [row for row in _rows(connection, job_id) if row["act_id"] == act_id]
    return [_fitting_json(row) for row in _each_once(rows) if row["quantity"]]


def needs_fitted_by(connection: Connection, job_id: int, act_id: int) -> list[int]:
    """Return the needs that an act served, by id, those of a can's sections among them."""
    found = [row["need_id"] for row in _rows(connection, job_id) if row["act_id"] == act_id]
    return list(dict.fromkeys(need for need in found if need is not None))


def _rows(connection: Connection, job_id: int | None) -> list[dict[str, Any]]:
    """What went in and was not taken back, each with the pieces of it that are still there.

    A can that serves several needs is booked out once, for the first of them; for the others stands a line of no pieces, `along`.
    """
    act, movement, fitting, part = (table_of(t) for t in (Act, Movement, Fitting, Part))
    back = act.alias("back")
    query = (
        select(
            fitting,
            movement.c.act_id,
            movement.c.part_id,
            movement.c.job_id,
            movement.c.quantity,
            movement.c.price,
            act.c.at,
            act.c.by,
            act.c.why,
            part.c.title,
            part.c.family,
        )
        .join(movement, movement.c.id == fitting.c.movement_id)
        .join(act, act.c.id == movement.c.act_id)
        .join(part, part.c.id == movement.c.part_id)
        .join(back, back.c.reverses_id == act.c.id, isouter=True)
        .where(_of(movement, job_id), back.c.id.is_(None))
        .order_by(movement.c.job_id, fitting.c.movement_id)
    )
    rows = [{**row, "along": row["quantity"] == 0} for row in connection.execute(query).mappings()]
    out = _taken_out(connection, job_id)
    for row in reversed(rows):  # what came back is what went in last
        where = (row["job_id"], row["part_id"])
        gone = min(-row["quantity"], out.get(where, 0))
        row["quantity"] += gone
        out[where] = out.get(where, 0) - gone
    there = {(row["act_id"], row["part_id"]): row["quantity"] for row in rows if not row["along"]}
    for row in rows:
        if row["along"]:
            row["quantity"] = there.get((row["act_id"], row["part_id"]), 0)
    return rows


def _each_once(rows: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
    """Each piece once: what a can serves besides is told with it, and the worse verdict is that of the piece."""
    found: dict[tuple[int, int], dict[str, Any]] = {}
    told = []
    for row in rows:
        key = (row["act_id"], row["part_id"])
        if not row["along"]:
            found[key] = row
            told.append(row)
        elif (piece := found.get(key)) is not None:
            worse, margins = [row, piece], [r["margin"] for r in (row, piece) if r["margin"] is not None]
            worst = max(worse, key=lambda r: VERDICTS.index(r["verdict"]) if r["verdict"] in VERDICTS else 0)
            own = {name: worst[name] for name in ("verdict", "check_code")}
            piece |= own | {"margin": min(margins, default=None)}
            for name, joint in (("designator", ", "), ("reason", "; ")):
                piece[name] = joint.join(filter(None, dict.fromkeys((piece[name], row[name]))))
    return told


def _of(movement: Table, job_id: int | None) -> ColumnElement[bool]:
    return movement.c.job_id.is_not(None) if job_id is None else movement.c.job_id == job_id


def serving(connection: Connection, job_id: int) -> dict[int, int]:
    """Return how many pieces of each need are served, by its id [-].

    A make-up is one act with a line for each place: it serves as often as all its places are filled, and not at all when one
    of its parts came out again.
    """
    places: dict[tuple[int, int], list[int]] = {}
    for row in _rows(connection, job_id):
        if row["need_id"] is not None:
            places.setdefault((row["need_id"], row["act_id"]), []).append(-row["quantity"])
    served: dict[int, int] = {}
    for (need_id, _), pieces in places.items():
        served[need_id] = served.get(need_id, 0) + min(pieces)
    return served


def _taken_out(connection: Connection, job_id: int | None) -> dict[tuple[int, int], int]:
    movement = table_of(Movement)
    query = (
        select(movement.c.job_id, movement.c.part_id, func.sum(movement.c.quantity))
        .where(_of(movement, job_id), movement.c.word == "returned")
        .group_by(movement.c.job_id, movement.c.part_id)
    )
    return {(job, part): int(pieces) for job, part, pieces in connection.execute(query)}


def _fitting_json(row: Mapping[str, Any]) -> dict[str, Any]:
    return {
        "part": number_of(row["part_id"]),
        "family": row["family"],
        "title": row["title"],
        "pieces": -row["quantity"],
        "price": row["price"],
        "designator": row["designator"],
        "position": row["position"],
        "need": row["need_id"],
        "verdict": row["verdict"],
        "check": row["check_code"],
        "margin": row["margin"],
        "reason": row["reason"],
        "change": row["change"],
        "at": row["at"].isoformat(),
        "by": row["by"],
        "why": row["why"],
        "job": job_code(row["job_id"]),
    }


def open_needs(connection: Connection, job: Opened) -> list[tuple[Wanted, int]]:
    """Return the needs of a job that are not served yet, and how many pieces each still wants [-]."""
    served = serving(connection, job.id)
    left = [(wanted, wanted.quantity - served.get(wanted.id, 0)) for wanted in needs_of(connection, job)]
    return [(wanted, pieces) for wanted, pieces in left if pieces > 0]


def over_full(connection: Connection, job: Opened, need_id: int | None) -> str:
    """Return what is said where more serves a need than it wants, "" where it does not."""
    if need_id is None:
        return ""
    return said_over(need_of(connection, need_id).quantity, serving(connection, job.id).get(need_id, 0))


def said_over(wanted: int, there: int) -> str:
    """Return the words for more than was wanted at a place, "" where it is not so; 0 wanted where no need was named."""
    return f"{wanted} wanted there, {there} sit there now" if there > wanted > 0 else ""
