"""Two diodes make one rectifier valve: planned, set aside, fitted and taken out as such."""

from __future__ import annotations

from datetime import datetime

import pytest
from sqlalchemy import Connection, Engine

from partsbin.errors import UsageError
from partsbin.jobs.fitted import open_needs
from partsbin.jobs.fitting import Spot, bring_back, fit
from partsbin.jobs.needs import add_need, needs_of
from partsbin.jobs.plan import plan, reserve
from partsbin.jobs.record import Opened, open_job
from partsbin.stock.acts import Who
from partsbin.stock.catalogue import shelve
from partsbin.stock.draft import draft_from_text
from partsbin.stock.ledger import set_aside_for, undo
from partsbin.store.engine import writing
from tests.expected import by_hand


def _job(connection: Connection, noon: datetime, diodes: int, *, valves: int = 1) -> Opened:
    """A set whose rectifier valve is dead, and some diodes on the shelf."""
    shelve(connection, [draft_from_text("1N4007", family="rectifier", count=diodes, condition="new")[0]], at=noon)
    job = open_job(connection, Who(noon, "ann"), facts=["secondary=250-0-250", "current=60mA"])
    add_need(connection, job, "valve", "EZ80", "rectifier", designator="V5", quantity=valves)
    return job


def _spot(connection: Connection, job: Opened) -> Spot:
    (wanted,) = needs_of(connection, job)
    return Spot(job, wanted.request(job), wanted, wanted.designator)


def test_a_plan_takes_as_many_diodes_as_make_the_valve(store: Engine, noon: datetime) -> None:
    """Both halves of a tapped winding have one, of two in series each: all are set aside."""
    with writing(store) as connection:
        job = _job(connection, noon, 5)
        made, _ = reserve(connection, [job], Who(noon, "ann"))
        assert made[0].pieces == 1
        assert set_aside_for(connection, job.id) == {1: by_hand(2, "one for each anode of EZ80", of=plan)}


def test_one_diode_makes_no_valve(store: Engine, noon: datetime) -> None:
    """It is short, and the plan says why."""
    with writing(store) as connection:
        (served,) = plan(connection, [_job(connection, noon, 1)])
    assert (served.pieces, served.why) == (0, "P-0001: 2 of them make one, 1 free")


def test_two_valves_that_share_the_work_take_one_diode_each(store: Engine, noon: datetime) -> None:
    """What stands in is counted for the whole rectifier."""
    with writing(store) as connection:
        (served,) = plan(connection, [_job(connection, noon, 2, valves=2)])
    assert served.taken() == {1: 2}


def test_fitting_one_part_fits_what_makes_the_valve_and_one_taken_out_opens_it(store: Engine, noon: datetime) -> None:
    """A place for each: the need is served while all are filled."""
    who = Who(noon, "ann")
    with writing(store) as connection:
        job = _job(connection, noon, 3)
        done = fit(connection, _spot(connection, job), 1, who)
        assert (done.pieces, open_needs(connection, job)) == (2, [])
        bring_back(connection, job, 1, 1, who)
        assert [left for _, left in open_needs(connection, job)] == [1]


def test_a_number_that_makes_none_is_refused_and_undo_takes_all_back(store: Engine, noon: datetime) -> None:
    """Three diodes are one valve and a half."""
    who = Who(noon, "ann")
    with writing(store) as connection:
        job = _job(connection, noon, 4)
        with pytest.raises(UsageError, match="3 pieces of P-0001: 2 of them make one here"):
            fit(connection, _spot(connection, job), 1, who, pieces=3)
        fit(connection, _spot(connection, job), 1, who, pieces=2)
        undo(connection, at=noon, by="ann")
        assert [left for _, left in open_needs(connection, job)] == [1]
