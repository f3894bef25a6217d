"""Lines of a job: they stand, and say something."""

from __future__ import annotations

from datetime import datetime

import pytest
from sqlalchemy import Engine, text
from sqlalchemy.exc import DBAPIError

from partsbin.errors import UsageError
from partsbin.jobs.lines import lines_of, write_line
from partsbin.jobs.record import open_job
from partsbin.stock.acts import Who
from partsbin.store.engine import writing


def test_a_line_is_never_written_over(store: Engine, noon: datetime) -> None:
    """The database itself refuses."""
    with writing(store) as connection:
        job = open_job(connection, Who(noon))
        write_line(connection, job, "reading", " rail ", Who(noon, "ann"), said="248 V", instrument="meter")
        assert lines_of(connection, job) == [
            {
                "kind": "reading",
                "what": "rail",
                "said": "248 V",
                "instrument": "meter",
                "at": noon.isoformat(),
                "by": "ann",
            }
        ]
    with pytest.raises(DBAPIError, match="append-only"), writing(store) as connection:
        connection.execute(text("UPDATE job_line SET said = '1 V'"))


@pytest.mark.parametrize(("kind", "what"), [("note", "  "), ("rumour", "hums")])
def test_a_line_says_something_of_a_known_kind(store: Engine, noon: datetime, kind: str, what: str) -> None:
    """Nothing empty is kept."""
    with writing(store) as connection:
        job = open_job(connection, Who(noon))
        with pytest.raises(UsageError):
            write_line(connection, job, kind, what, Who(noon))
