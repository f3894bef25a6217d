"""Thin margins that sit in sets: listed until somebody has looked at them again, after the soak test for instance."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import Connection

from partsbin.errors import RefusedError, UsageError
from partsbin.jobs.lines import write_line
from partsbin.jobs.record import job_of
from partsbin.stock.acts import Who
from partsbin.stock.history import job_code
from partsbin.stock.shelf import number_of
from partsbin.store.statements import Statement

THIN = 0.2
"""Margin from which on nobody asks any more: the widest at which a family's rules call one thin [-]."""


@dataclass(frozen=True)
class ThinMargin:
    """Something that was fitted with care because its margin is thin.

    Parameters
    ----------
    act_id : int
        The act that fitted it.
    job, part, title, where, reason : str
        In which set, what, at which place, and the check that decided.
    margin : float
        Of that check [-].
    """

    act_id: int
    job: str
    part: str
    title: str
    where: str
    reason: str
    margin: float


_THIN = Statement("""
SELECT movement.act_id, movement.job_id, movement.part_id, part.title, fitting.designator, fitting.position, fitting.reason,
  fitting.margin
FROM fitting JOIN movement ON movement.id = fitting.movement_id JOIN part ON part.id = movement.part_id
WHERE fitting.verdict = 'care' AND fitting.margin <= :thin AND (:act = 0 OR movement.act_id = :act)
  AND NOT EXISTS (SELECT 1 FROM act WHERE act.reverses_id = movement.act_id)
  AND (SELECT sum(other.quantity) FROM movement AS other WHERE other.job_id = movement.job_id
    AND other.part_id = movement.part_id AND other.word IN ('fitted', 'returned')) < 0
  AND NOT EXISTS (SELECT 1 FROM job_line WHERE job_line.job_id = movement.job_id AND job_line.kind = 'test'
    AND job_line.what LIKE 'margin of % reviewed (act ' || CAST(movement.act_id AS TEXT) || ')')
ORDER BY fitting.movement_id DESC LIMIT :most OFFSET :start
""")


def thin_margins(connection: Connection, *, most: int, start: int = 0, act_id: int = 0) -> list[ThinMargin]:
    """Return thin margins that sit in sets and were not reviewed, the newest first.

    Parameters
    ----------
    connection : Connection
        Reading.
    most, start : int
        How many, from which on [-].
    act_id : int
        Only those of one act; 0 for all.
    """
    rows = _THIN.rows(connection, {"thin": THIN, "act": act_id, "most": most, "start": start})
    return [
        ThinMargin(act, job_code(job), number_of(part), title, designator or position, reason, margin)
        for act, job, part, title, designator, position, reason, margin in rows
    ]


def reviewed(connection: Connection, act_id: int, who: Who, said: str = "") -> str:
    """Write down in its job that a thin margin was looked at again, and what came out; return what was written.

    Raises
    ------
    RefusedError
        If nothing that the act fitted is to be reviewed.
    """
    found = thin_margins(connection, most=100, act_id=act_id) if act_id else []
    if not found:
        raise RefusedError(f"nothing that act {act_id} fitted is to be reviewed: it was, or it is out again")
    if not who.by:
        raise UsageError("nobody has said who reviews it")
    first = found[0]
    parts = " + ".join(dict.fromkeys(each.part for each in found))
    what = f"margin of {parts} at {first.where} reviewed (act {act_id})"
    write_line(connection, job_of(connection, int(first.job.removeprefix("J-"))), "test", what, who, said=said)
    return what
