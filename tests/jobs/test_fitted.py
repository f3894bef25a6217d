"""What sits in a set now, and which needs are still open."""

from __future__ import annotations

from datetime import datetime

import pytest
from sqlalchemy import Engine

from partsbin.jobs.fitted import fitted_in, fittings_of, open_needs
from partsbin.jobs.fitting import Spot, bring_back, fit
from partsbin.jobs.needs import Wanted, add_need, drop_need
from partsbin.jobs.record import Opened, open_job
from partsbin.stock.acts import Who
from partsbin.stock.catalogue import shelve
from partsbin.stock.draft import draft_from_text
from partsbin.stock.ledger import undo
from partsbin.store.engine import writing


@pytest.fixture
def bench(store: Engine, noon: datetime) -> tuple[Engine, Who, Opened, Wanted]:
    """Ten good capacitors, and a need of three of them."""
    who = Who(noon, "ann")
    with writing(store) as connection:
        draft = draft_from_text("22n 630V polypropylene", family="capacitor", count=10, condition="new")[0]
        shelve(connection, [draft], at=noon, by="ann")
        job = open_job(connection, who, facts=["rail=240"])
        wanted = add_need(connection, job, "capacitor", "0.02uF 350V", "coupling", designator="C31", quantity=3)
    return store, who, job, wanted


def test_a_need_is_open_until_all_its_pieces_are_in(bench: tuple[Engine, Who, Opened, Wanted]) -> None:
    """Those that are left are counted; one that comes back, or was booked by mistake, is wanted again."""
    store, who, job, wanted = bench
    spot = Spot(job, wanted.request(job), wanted)
    with writing(store) as connection:

        def _left() -> list[int]:
            return [pieces for _, pieces in open_needs(connection, job)]

        left = [_left()]
        fit(connection, spot, 1, who, pieces=2)
        left.append(_left())
        fit(connection, spot, 1, who)
        left.append(_left())
        bring_back(connection, job, 1, 1, who)
        left.append(_left())
        undo(connection, at=who.at, by="ann")
        left.append(_left())
        undo(connection, at=who.at, by="ann")
        left.append(_left())
    assert left == [[3], [1], [], [1], [], [1]]


def test_what_came_back_is_what_went_in_last(bench: tuple[Engine, Who, Opened, Wanted]) -> None:
    """The older fitting stands."""
    store, who, job, wanted = bench
    with writing(store) as connection:
        fit(connection, Spot(job, wanted.request(job), wanted, "C31a"), 1, who, pieces=2)
        fit(connection, Spot(job, wanted.request(job), wanted, "C31b"), 1, who, pieces=2)
        bring_back(connection, job, 1, 3, who)
        sits = [(entry["designator"], entry["pieces"]) for entry in fittings_of(connection, job.id)]
        assert (sits, fitted_in(connection, job.id, 1)) == ([("C31a", 1)], 1)


def test_a_need_that_was_dropped_is_not_open(bench: tuple[Engine, Who, Opened, Wanted]) -> None:
    """It is asked for no more."""
    store, _, job, wanted = bench
    with writing(store) as connection:
        drop_need(connection, wanted)
        assert open_needs(connection, job) == []
