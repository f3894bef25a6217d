"""Where a part goes as it is said, and what is told of what it owes."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from sqlalchemy import Engine

from partsbin.errors import PartsbinError, RefusedError, UsageError
from partsbin.jobs.needs import add_need
from partsbin.jobs.record import close_job, job_of, open_job
from partsbin.jobs.spots import Said, Told, write_down
from partsbin.stock.acts import Who, part_of
from partsbin.stock.catalogue import shelve
from partsbin.stock.draft import draft_from_text
from partsbin.store.engine import writing

WHO = Who(datetime(2026, 3, 1, 12, tzinfo=UTC), "bench")


@pytest.fixture
def stocked(store: Engine) -> Engine:
    """Two salvaged capacitors, and a job whose second need is called 1."""
    draft, _ = draft_from_text("22n 630V mica", family="capacitor", count=2, condition="salvaged")
    with writing(store) as connection:
        shelve(connection, [draft], at=WHO.at, by="test")
        job = open_job(connection, WHO, facts=["rail=240"])
        add_need(connection, job, "capacitor", "0.02uF", "coupling", designator="C31")
        add_need(connection, job, "capacitor", "47n", "tone", designator="1")
    return store


@pytest.mark.parametrize(
    ("said", "position"),
    [
        (Said("J-0001", "C31"), "coupling"),
        (Said("J-0001", "1"), "tone"),
        (Said("J-0001", number=1), "coupling"),
        (Said("J-0001", text="22n", position="agc"), "agc"),
    ],
)
def test_a_place_is_meant_by_designator_number_or_what_it_does(stocked: Engine, said: Said, position: str) -> None:
    """A number alone is that of the need, whatever another one is called."""
    with writing(stocked) as connection:
        assert said.spot(connection, 1).request.position == position


def test_facts_of_the_place_go_before_those_of_the_set(stocked: Engine) -> None:
    """Said for this part alone."""
    with writing(stocked) as connection:
        spot = Said("J-0001", "C31", facts=("rail=180",)).spot(connection, 1)
    assert spot.request.facts.number("rail") == 180


def test_a_closed_job_takes_no_part(stocked: Engine) -> None:
    """Until it is opened again."""
    with writing(stocked) as connection:
        close_job(connection, job_of(connection, 1), WHO)
        with pytest.raises(RefusedError, match="was closed on"):
            Said("J-0001", "C31").spot(connection, 1)


def test_a_number_that_no_need_has_is_told(stocked: Engine) -> None:
    """With the job."""
    with writing(stocked) as connection, pytest.raises(UsageError, match="J-0001 has no need 9"):
        Said("J-0001", number=9).spot(connection, 1)


def test_an_answer_that_cannot_be_read_is_not_taken(stocked: Engine) -> None:
    """Nothing is told then."""
    told = Told()
    with writing(stocked) as connection:
        part = part_of(connection, 1)
    with pytest.raises(PartsbinError):
        told.take(part, "leakage", "reading", "little")
    assert told == Told()


def test_what_was_told_is_written_down_of_the_pieces_that_are_fitted(stocked: Engine) -> None:
    """One of two is read: it becomes a part of its own; the fact is the job's."""
    with writing(stocked) as connection:
        told, part = Told(), part_of(connection, 1)
        told.take(part, "leakage", "reading", "0.01uA@350V")
        told.take(part, "anode", "fact", "120")
        spot = Said("J-0001", "C31").spot(connection, 1)
        read = write_down(connection, spot, 1, told, WHO)
        assert (read, part_of(connection, read).on_hand, job_of(connection, 1).texts["anode"]) == (2, 1, "120")


def test_nothing_is_read_of_what_is_not_there(stocked: Engine) -> None:
    """Three of two."""
    with writing(stocked) as connection:
        spot = Said("J-0001", "C31").spot(connection, 1)
        with pytest.raises(RefusedError, match="3 wanted, 2 on hand"):
            write_down(connection, spot, 1, Told(readings=["leakage=0.01uA@350V"]), WHO, pieces=3)
