"""What is written down of a job: readings on the set, tests, parts kept for the customer, remarks."""

from __future__ import annotations

import re
from typing import Any

from sqlalchemy import Connection, insert, select

from partsbin.errors import UsageError
from partsbin.jobs.record import Opened
from partsbin.stock.acts import Who
from partsbin.store.job_tables import LINES, JobLine
from partsbin.store.tables import table_of

_REVIEW = re.compile(r"margin of .+ reviewed \(act \d+\)", re.DOTALL)
"""The line of `partsbin.jobs.review`: kept among the tests, yet nothing was tested."""


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
    """Return what was written down of a job, oldest first; a margin that was looked at again is of kind ``review``."""
    table = table_of(JobLine)
    query = select(table).where(table.c.job_id == job.id).order_by(table.c.id)
    return [
        {
            "kind": "review" if row["kind"] == "test" and _REVIEW.fullmatch(row["what"]) else row["kind"],
            "what": row["what"],
            "said": row["said"],
            "instrument": row["instrument"],
            "at": row["at"].isoformat(),
            "by": row["by"],
        }
        for row in connection.execute(query).mappings()
    ]
