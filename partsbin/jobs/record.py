"""Jobs: opening and closing a repair, and the facts of its set."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection, insert, select, update

from partsbin.errors import RefusedError, UsageError
from partsbin.sets import SetFacts, read_facts
from partsbin.stock.acts import Who
from partsbin.stock.history import job_code
from partsbin.store.job_tables import Job
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
