"""Jobs as they are written down: the set, its needs, lines that stand."""

from __future__ import annotations

from datetime import datetime

import pytest
from sqlalchemy import Engine, text
from sqlalchemy.exc import DBAPIError

from partsbin.errors import RefusedError, UsageError
from partsbin.jobs.record import (
    add_need,
    close_job,
    drop_need,
    job_id_of,
    job_of,
    jobs,
    learn,
    lines_of,
    need_named,
    needs_of,
    numbered,
    open_job,
    still_open,
    write_line,
)
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


def test_a_need_is_found_by_designator_or_number(store: Engine, noon: datetime) -> None:
    """A number stays what it was when another need is dropped."""
    with writing(store) as connection:
        job = open_job(connection, Who(noon))
        for designator in ("C31", "", "C32"):
            add_need(connection, job, "capacitor", "22n", "coupling", designator=designator)
        drop_need(connection, need_named(connection, job, "c31"))
        assert list(numbered(connection, job)) == [2, 3]
        assert need_named(connection, job, "C32") == need_named(connection, job, "3")
        with pytest.raises(UsageError, match="no need 'C31'") as refused:
            need_named(connection, job, "C31")
        assert refused.value.hint == "its needs: 2, 3 C32"


def test_a_designator_is_wanted_once(store: Engine, noon: datetime) -> None:
    """In capitals or not; free again once dropped."""
    with writing(store) as connection:
        job = open_job(connection, Who(noon))
        wanted = add_need(connection, job, "capacitor", "22n", "coupling", designator="C31")
        with pytest.raises(RefusedError, match="J-0001 has a need c31 already"):
            add_need(connection, job, "capacitor", "47n", "coupling", designator=" c31")
        drop_need(connection, wanted)
        add_need(connection, job, "capacitor", "47n", "coupling", designator="C31")
        assert [need.text for need in needs_of(connection, job)] == ["47n"]


@pytest.mark.parametrize(
    ("family", "words", "position"), [("gizmo", "22n", "coupling"), ("capacitor", "22n", "nowhere")]
)
def test_a_need_that_cannot_be_understood_is_not_noted(
    store: Engine, noon: datetime, family: str, words: str, position: str
) -> None:
    """It is said at once, not when the part is fitted."""
    with writing(store) as connection:
        job = open_job(connection, Who(noon))
        with pytest.raises(UsageError):
            add_need(connection, job, family, words, position)
        assert needs_of(connection, job) == []


def test_the_facts_of_a_need_come_before_those_of_the_set(store: Engine, noon: datetime) -> None:
    """Another rail feeds this one."""
    with writing(store) as connection:
        job = open_job(connection, Who(noon), facts=["rail=240", "mains=240"])
        wanted = add_need(connection, job, "capacitor", "22n", "coupling", facts=["rail=180"])
        facts = wanted.request(job).facts
        assert (facts.number("rail"), facts.number("mains")) == (180, 240)


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
