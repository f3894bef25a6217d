"""The needs of a job: noted, found by designator or number, said what they do, dropped."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from sqlalchemy import Connection, insert, select, update

from partsbin.errors import RefusedError, UsageError
from partsbin.jobs.record import Opened
from partsbin.matching.answer import build
from partsbin.needs import Request
from partsbin.notation.reading import NOT_UNDERSTOOD
from partsbin.sets import read_facts
from partsbin.store.job_tables import JobNeed
from partsbin.store.tables import table_of


@dataclass(frozen=True)
class Wanted:
    """One need of a job."""

    id: int
    job_id: int
    designator: str
    family: str
    text: str
    position: str
    texts: Mapping[str, str]
    quantity: int
    dropped: bool
    why: str = ""

    def request(self, job: Opened) -> Request:
        """Return the need as a repairer would ask it: the facts of the set, and its own where they say more.

        Raises
        ------
        UsageError
            If a list left its position open.
        """
        if self.why and not self.position:
            raise UsageError(
                f"what {self.designator or self.family} does is not said yet: {self.why}",
                hint=f"partsbin job position {job.code} {self.designator or '4'} …",
            )
        own = {**job.texts, **self.texts}
        return Request(self.family, self.text, self.position, {}, read_facts(f"{n}={t}" for n, t in own.items()))


def add_need(
    connection: Connection,
    job: Opened,
    family: str,
    text: str,
    position: str,
    *,
    designator: str = "",
    facts: Sequence[str] = (),
    quantity: int = 1,
    why: str = "",
) -> Wanted:
    """Note something that a set needs; of a list, with what says that it has that position, or without one.

    Raises
    ------
    UsageError
        If the family, the position, the text or a fact cannot be read.
    RefusedError
        If the job has a need of that designator already.
    """
    texts = dict(read_facts(facts).texts)
    taken = {wanted.designator.lower() for wanted in needs_of(connection, job) if wanted.designator}
    if designator.strip().lower() in taken:
        raise RefusedError(
            f"{job.code} has a need {designator.strip()} already",
            hint=f"partsbin job drop {job.code} {designator.strip()} takes it back",
        )
    wanted = Wanted(0, job.id, designator.strip(), family, text, position, texts, quantity, False)
    if position or not why:
        position = build(wanted.request(job))[1].position  # says at once what is wrong with it
    table = table_of(JobNeed)
    row = {
        "job_id": job.id,
        "designator": wanted.designator,
        "family": family,
        "text": text,
        "position": position,
        "facts": texts,
        "quantity": quantity,
        "why": why,
    }
    made = connection.execute(insert(table).returning(table.c.id), row)
    return need_of(connection, int(made.scalar_one()))


def need_of(connection: Connection, need_id: int) -> Wanted:
    """Return a need by its id.

    Raises
    ------
    UsageError
        If there is none.
    """
    table = table_of(JobNeed)
    row = connection.execute(select(table).where(table.c.id == need_id)).mappings().first()
    if row is None:
        raise UsageError(f"no need {need_id}", hint="partsbin job show lists the needs of a job")
    return _wanted(dict(row))


def needs_of(connection: Connection, job: Opened) -> list[Wanted]:
    """Return the needs of a job, in the order in which they were noted."""
    return list(numbered(connection, job).values())


def numbered(connection: Connection, job: Opened) -> dict[int, Wanted]:
    """Return the needs of a job by their numbers, from 1; the number of one that was dropped is not given again."""
    table = table_of(JobNeed)
    query = select(table).where(table.c.job_id == job.id).order_by(table.c.id)
    rows = [dict(row) for row in connection.execute(query).mappings()]
    return {number: _wanted(row) for number, row in enumerate(rows, 1) if not row["dropped"]}


def not_understood(job: Opened, wanted: Wanted) -> list[str]:
    """Return what of a need's text nobody understood, as the need itself says it."""
    return [line for line in build(wanted.request(job))[1].assumptions if NOT_UNDERSTOOD in line]


def need_named(connection: Connection, job: Opened, text: str) -> Wanted:
    """Return the need of a job that a designator or its number stands for: ``C31``, ``4``.

    Raises
    ------
    UsageError
        If none does, or several do.
    """
    listed = numbered(connection, job)
    word = text.strip().lower()
    found = (
        [wanted for wanted in listed.values() if wanted.designator.lower() == word]
        or [wanted for wanted in listed.values() if word in wanted.designator.lower().split(",")]
        or [wanted for number, wanted in listed.items() if str(number) == word]
    )
    if len(found) != 1:
        known = ", ".join(f"{number} {wanted.designator}".strip() for number, wanted in listed.items())
        how_many = "several needs" if found else "no need"
        raise UsageError(f"{job.code} has {how_many} {text!r}", hint=f"its needs: {known or 'none yet'}")
    return found[0]


def need_numbered(connection: Connection, job: Opened, number: int) -> Wanted:
    """Return the need of a job that has a number, whatever others are called.

    Raises
    ------
    UsageError
        If none has it, or it was dropped.
    """
    found = numbered(connection, job).get(number)
    if found is None:
        raise UsageError(f"{job.code} has no need {number}", hint=f"partsbin job show {job.code} lists its needs")
    return found


def drop_need(connection: Connection, wanted: Wanted) -> None:
    """Take a need back: it stays in the record and is asked for no more."""
    table = table_of(JobNeed)
    connection.execute(update(table).where(table.c.id == wanted.id).values(dropped=True))


def place_need(connection: Connection, job: Opened, wanted: Wanted, position: str) -> Wanted:
    """Say what a need does in the circuit.

    Raises
    ------
    UsageError
        If the family has no such position.
    """
    said = replace(wanted, position=position, why="")
    chosen = build(said.request(job))[1].position
    table = table_of(JobNeed)
    connection.execute(update(table).where(table.c.id == wanted.id).values(position=chosen, why=""))
    return need_of(connection, wanted.id)


def _wanted(row: Mapping[str, Any]) -> Wanted:
    return Wanted(
        row["id"],
        row["job_id"],
        row["designator"],
        row["family"],
        row["text"],
        row["position"],
        row["facts"],
        row["quantity"],
        bool(row["dropped"]),
        row["why"],
    )
