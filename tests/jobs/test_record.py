"""Jobs as they are written down, with their set."""

from __future__ import annotations

from datetime import datetime

import pytest
from sqlalchemy import Engine

from partsbin.errors import RefusedError, UsageError
from partsbin.jobs.record import close_job, job_id_of, job_of, jobs, learn, open_job, still_open
from partsbin.stock.acts import Who
from partsbin.store.engine import writing


@pytest.mark.parametrize("code", ["J-0012", "j-12", "J12", "12", " 0012 "])
def test_a_job_is_named_as_people_write_it(code: str) -> None:
    """With or without letter, dash and noughts."""
    assert job_id_of(code) == 12


@pytest.mark.parametrize("code", ["", "J-0", "P-0012", "-12", "12a", "J-9999999999"])
def test_what_is_no_job_number_is_refused(code: str) -> None:
    """A part's number among them."""
    with pytest.raises(UsageError, match="is not a job number"):
        job_id_of(code)


def test_a_job_keeps_the_facts_of_its_set(store: Engine, noon: datetime) -> None:
    """More are learnt, one is corrected, one forgotten."""
    with writing(store) as connection:
        job = open_job(connection, Who(noon), what=" intercom ", facts=["rail=240", "chassis=live"])
        job = learn(connection, job, ["rail=248", "chassis=", "mains=240"])
        assert (job.what, dict(job.texts)) == ("intercom", {"rail": "248", "mains": "240"})
        assert job.facts.number("rail") == 248


def test_a_fact_that_cannot_be_read_leaves_the_job_as_it_was(store: Engine, noon: datetime) -> None:
    """The known one stands."""
    with writing(store) as connection:
        job = open_job(connection, Who(noon), facts=["rail=240"])
        with pytest.raises(UsageError):
            learn(connection, job, ["rail=high"])
        assert dict(job_of(connection, job.id).texts) == {"rail": "240"}


def test_a_job_is_closed_once_and_opened_again(store: Engine, noon: datetime) -> None:
    """The way back is named."""
    with writing(store) as connection:
        job = close_job(connection, open_job(connection, Who(noon)), Who(noon))
        with pytest.raises(RefusedError, match="J-0001 is closed already"):
            close_job(connection, job, Who(noon))
        with pytest.raises(RefusedError, match="was closed on 2026-03-01") as refused:
            still_open(job)
        assert refused.value.hint == "partsbin job open --again J-0001 reopens it"
        assert close_job(connection, job, Who(noon), again=True).closed_at is None


def test_jobs_are_listed_the_newest_first(store: Engine, noon: datetime) -> None:
    """All, those still open, or those of one set."""
    with writing(store) as connection:
        first = open_job(connection, Who(noon), reference="box 4")
        open_job(connection, Who(noon), reference="box 5")
        open_job(connection, Who(noon), reference=" box 4 ")
        close_job(connection, first, Who(noon))
        assert [job.id for job in jobs(connection)] == [3, 2, 1]
        assert [job.id for job in jobs(connection, open_only=True)] == [3, 2]
        assert [job.id for job in jobs(connection, reference="box 4")] == [3, 1]
