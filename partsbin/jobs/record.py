"""Jobs: opening and closing a repair, the facts of its set, its needs, what was read and written down of it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, insert, select, update

from partsbin.errors import RefusedError, UsageError
from partsbin.matching.answer import build
from partsbin.needs import Request
from partsbin.notation.reading import NOT_UNDERSTOOD
from partsbin.sets import SetFacts, read_facts
from partsbin.stock.acts import Who
from partsbin.stock.history import job_code
from partsbin.store.job_tables import LINES, Job, JobLine, JobNeed
from partsbin.store.tables import table_of


def job_id_of(code: str) -> int:
    """Return the id behind a job's number, ``J-0012``.

    Raises
    ------
    UsageError
        If the text is no job number.
    """
    match = re.fullmatch(r"\s*(?:J-?)?0*([1-9][0-9]{0,8})\s*", code, re.IGNORECASE | re.ASCII)
    if match is None:
        raise UsageError(f"{code!r} is not a job number", hint="such as J-0012; partsbin job list shows them")
    return int(match[1])


@dataclass(frozen=True)
class Opened:
    """A job as it is recorded."""

    id: int
    reference: str
    what: str
    texts: Mapping[str, str]
    opened_at: datetime
    closed_at: datetime | None

    @property
    def code(self) -> str:
        """``J-0012``."""
        return job_code(self.id)

    @property
    def facts(self) -> SetFacts:
        """The set."""
        return read_facts(f"{name}={text}" for name, text in self.texts.items())


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


def open_job(
    connection: Connection, who: Who, *, reference: str = "", what: str = "", facts: Sequence[str] = ()
) -> Opened:
    """Open a job.

    Parameters
    ----------
    connection : Connection
        Inside a writing transaction.
    who : Who
        When and by whom.
    reference : str
        The customer's own word for the set; no name and no address are kept.
    what : str
        What the set is.
    facts : sequence of str
        Facts of the set, ``KEY=VALUE``.

    Raises
    ------
    UsageError
        If a fact is unknown, or its value cannot be read.
    """
    table = table_of(Job)
    row = {"reference": reference.strip(), "what": what.strip(), "facts": dict(read_facts(facts).texts)}
    made = connection.execute(insert(table).returning(table.c.id), {**row, "opened_at": who.at})
    return job_of(connection, int(made.scalar_one()))


def job_of(connection: Connection, job_id: int) -> Opened:
    """Return a job.

    Raises
    ------
    UsageError
        If there is no such job.
    """
    table = table_of(Job)
    row = connection.execute(select(table).where(table.c.id == job_id)).mappings().first()
    if row is None:
        raise UsageError(f"no job {job_code(job_id)}", hint="partsbin job open opens one, job list shows them")
    return Opened(row["id"], row["reference"], row["what"], row["facts"], row["opened_at"], row["closed_at"])


def job_named(connection: Connection, code: str) -> Opened:
    """Return the job that a number stands for.

    Raises
    ------
    UsageError
        If it is no number, or there is no such job.
    """
    return job_of(connection, job_id_of(code))


def jobs(
    connection: Connection,
    *,
    reference: str | None = None,
    open_only: bool = False,
    before: int | None = None,
    most: int | None = None,
) -> list[Opened]:
    """Return jobs, the newest first: all, those of one reference, those still open; at most so many of those below an id."""
    table = table_of(Job)
    query = select(table).order_by(table.c.id.desc()).limit(most)
    if before is not None:
        query = query.where(table.c.id < before)
    if reference is not None:
        query = query.where(table.c.reference == reference.strip())
    if open_only:
        query = query.where(table.c.closed_at.is_(None))
    return [
        Opened(r["id"], r["reference"], r["what"], r["facts"], r["opened_at"], r["closed_at"])
        for r in connection.execute(query).mappings()
    ]


def learn(connection: Connection, job: Opened, facts: Sequence[str]) -> Opened:
    """Add facts to a job's set; one that was known gets its new value, an empty value forgets it."""
    forget = {f.partition("=")[0].strip() for f in facts if f.partition("=")[1] and not f.partition("=")[2].strip()}
    fresh = read_facts([f for f in facts if f.partition("=")[0].strip() not in forget]).texts
    texts = {name: text for name, text in {**job.texts, **fresh}.items() if name not in forget}
    read_facts(f"{name}={text}" for name, text in texts.items())
    table = table_of(Job)
    connection.execute(update(table).where(table.c.id == job.id).values(facts=texts))
    return job_of(connection, job.id)


def close_job(connection: Connection, job: Opened, who: Who, *, again: bool = False) -> Opened:
    """Close a job, or open it again.

    Raises
    ------
    RefusedError
        If it is closed, or open, already.
    """
    if (job.closed_at is None) == again:
        raise RefusedError(f"{job.code} is {'open' if again else 'closed'} already")
    table = table_of(Job)
    connection.execute(update(table).where(table.c.id == job.id).values(closed_at=None if again else who.at))
    return job_of(connection, job.id)


def still_open(job: Opened) -> Opened:
    """Return the job.

    Raises
    ------
    RefusedError
        If it is closed.
    """
    if job.closed_at is not None:
        raise RefusedError(
            f"{job.code} was closed on {job.closed_at:%Y-%m-%d}",
            hint=f"partsbin job open --again {job.code} reopens it",
        )
    return job


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


def write_line(
    connection: Connection, job: Opened, kind: str, what: str, who: Who, *, said: str = "", instrument: str = ""
) -> None:
    """Write down a reading on the set, a test, a part kept for the customer, or a remark.

    Raises
    ------
    UsageError
        If there is no such kind of line, or nothing was said.
    """
    if kind not in LINES:
        raise UsageError(f"{kind!r} is no kind of line", hint=f"one of {', '.join(LINES)}")
    if not what.strip():
        raise UsageError("nothing was said", hint='partsbin job note J-0012 "rail read on the reservoir" …')
    row = {"job_id": job.id, "kind": kind, "what": what.strip(), "said": said.strip(), "instrument": instrument.strip()}
    connection.execute(insert(table_of(JobLine)), {**row, "at": who.at, "by": who.by})


def lines_of(connection: Connection, job: Opened) -> list[dict[str, Any]]:
    """Return what was written down of a job, oldest first."""
    table = table_of(JobLine)
    query = select(table).where(table.c.job_id == job.id).order_by(table.c.id)
    return [
        {
            "kind": row["kind"],
            "what": row["what"],
            "said": row["said"],
            "instrument": row["instrument"],
            "at": row["at"].isoformat(),
            "by": row["by"],
        }
        for row in connection.execute(query).mappings()
    ]
