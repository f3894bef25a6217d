"""Two diodes make one rectifier valve: planned, set aside, fitted and taken out as such."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest
from sqlalchemy import Connection, Engine

from partsbin.errors import UsageError
from partsbin.jobs.delivery import Came, book
from partsbin.jobs.fitted import open_needs
from partsbin.jobs.fitting import Spot, bring_back, fit
from partsbin.jobs.needs import add_need, needs_of
from partsbin.jobs.offers import take_offers
from partsbin.jobs.orders import lines, send
from partsbin.jobs.plan import plan, reserve
from partsbin.jobs.record import Opened, open_job
from partsbin.jobs.reorder import propose
from partsbin.jobs.stock_rules import add_rule, levels
from partsbin.stock.acts import Who
from partsbin.stock.catalogue import shelve
from partsbin.stock.columns import all_fields
from partsbin.stock.draft import draft_from_text
from partsbin.stock.ledger import set_aside_for, undo
from partsbin.stock.lists import read_cells
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


def _offers(store: Engine, folder: Path, noon: datetime, other: str) -> None:
    """Diodes, and something else."""
    file = folder / "prices.csv"
    file.write_text(f"Order code,Description,Price,In stock\nD1,1N4007,0.10,500\n{other},9.50,3\n", "utf-8")
    take_offers(store, read_cells(file, fields=all_fields()), "Bridge", at=noon, condition="new")


def test_the_order_buys_as_many_diodes_as_make_the_valves(store: Engine, tmp_path: Path, noon: datetime) -> None:
    """The plan is short of a valve, and no valve is offered: two diodes, for one piece of the need."""
    _offers(store, tmp_path, noon, "R1,470k 1W")
    who = Who(noon, "ann")
    with writing(store) as connection:
        job = _job(connection, noon, 1)
        made = propose(connection, [job], who)
        (line,) = made.lines
        assert (line.pieces, line.uses) == (
            by_hand(2, "one for each anode of EZ80", of=propose),
            ((f"{job.code} V5", 1, "care"),),
        )
        assert made.missing == ()


def test_what_fits_is_bought_before_what_several_make_with_care(store: Engine, tmp_path: Path, noon: datetime) -> None:
    """A valve fits as it is; diodes change the rail and are bought where no valve is offered."""
    _offers(store, tmp_path, noon, "V1,EZ80 NOS")
    with writing(store) as connection:
        made = propose(connection, [_job(connection, noon, 0)], Who(noon, "ann"))
    assert [(line.article, line.pieces) for line in made.lines] == [("V1", 1)]


def test_two_valves_that_share_the_work_are_ordered_a_diode_each(store: Engine, tmp_path: Path, noon: datetime) -> None:
    """As the plan counts them."""
    _offers(store, tmp_path, noon, "R1,470k 1W")
    with writing(store) as connection:
        made = propose(connection, [_job(connection, noon, 0, valves=2)], Who(noon, "ann"))
    assert [(line.pieces, line.uses[0][1]) for line in made.lines] == [(2, 2)]


def test_one_diode_that_came_and_one_that_comes_are_no_reason_to_order(
    store: Engine, tmp_path: Path, noon: datetime
) -> None:
    """Ordered are two; nothing more is bought while they come one by one, and then the plan has its valve."""
    _offers(store, tmp_path, noon, "R1,470k 1W")
    who = Who(noon, "ann")
    with writing(store) as connection:
        job = open_job(connection, who, facts=["secondary=250-0-250", "current=60mA"])
        add_need(connection, job, "valve", "EZ80", "rectifier", designator="V5")
        (line,) = send(connection, propose(connection, [job], who), who)
        for left in (2, 1):
            made = propose(connection, [job], who)
            assert (made.lines, [each.line.coming for each in made.coming], made.comes(made.wanted[0])) == (
                (),
                [left],
                1,
            )
            book(connection, [Came(line.offer_id, 1, order=line.order)], who, place="drawer E1")
        assert (lines(connection, coming=True), plan(connection, [job])[0].pieces) == ([], 1)


def test_a_rule_for_a_valve_counts_the_diodes_that_make_one(store: Engine, tmp_path: Path, noon: datetime) -> None:
    """By hand: three diodes are one valve; two more wanted are four diodes; half a valve here and half to come are one."""
    _offers(store, tmp_path, noon, "R1,470k 1W")
    who = Who(noon, "ann")
    with writing(store) as connection:
        shelve(connection, [draft_from_text("1N4007", family="rectifier", count=3, condition="new")[0]], at=noon)
        add_rule(connection, "valve", "EZ80", "rectifier", 3, facts=["secondary=250-0-250", "current=60mA"])
        made = propose(connection, [], who)
        assert [line.pieces for line in made.lines] == [4]
        (line,) = send(connection, made, who)
        for came, stands in ((1, (1, 2, 0)), (2, (2, 1, 0)), (1, (3, 0, 0))):
            book(connection, [Came(line.offer_id, came, order=line.order)], who, place="drawer E1")
            (level,) = levels(connection, noon)
            assert (level.here, level.coming, level.order) == stands
            assert propose(connection, [], who).lines == ()
