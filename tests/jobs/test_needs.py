"""The needs of a job: found, wanted once, understood before they are noted."""

from __future__ import annotations

from datetime import datetime

import pytest
from sqlalchemy import Engine

from partsbin.errors import RefusedError, UsageError
from partsbin.jobs.needs import add_need, drop_need, need_named, needs_of, numbered
from partsbin.jobs.record import open_job
from partsbin.stock.acts import Who
from partsbin.store.engine import writing


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
