"""The plan of a set: scarce parts go where nothing else will do, what is set aside stays, nothing is promised twice."""

from __future__ import annotations

from datetime import datetime
from typing import Any

import pytest
from sqlalchemy import Connection, Engine, text

from partsbin.jobs.fitting import Spot, fit
from partsbin.jobs.plan import plan, reserve
from partsbin.jobs.record import Opened, add_need, open_job
from partsbin.stock.acts import Who
from partsbin.stock.catalogue import shelve
from partsbin.stock.draft import draft_from_text
from partsbin.stock.ledger import set_aside_for, undo
from partsbin.store.engine import writing
from tests.command import partsbin


def _shelf(connection: Connection, noon: datetime, *texts: tuple[str, int]) -> None:
    drafts = [draft_from_text(t, family="capacitor", count=n, condition="new")[0] for t, n in texts]
    shelve(connection, drafts, at=noon, by="ann")


def _job(connection: Connection, noon: datetime, *needs: tuple[str, str]) -> Opened:
    """A job with coupling capacitors wanted, each at volts of its own."""
    job = open_job(connection, Who(noon, "ann"))
    for designator, rail in needs:
        add_need(connection, job, "capacitor", "0.1uF", "coupling", designator=designator, facts=[f"rail={rail}"])
    return job


def _given(made: list[Any]) -> dict[str, list[str]]:
    return {served.name: [candidate.part.number for candidate, _ in served.parts] for served in made}


def test_the_only_high_volt_part_goes_where_nothing_else_will_do(store: Engine, noon: datetime) -> None:
    """Taking the best for each need in turn would leave the last one without; the plan says where it went, and why."""
    with writing(store) as connection:
        _shelf(connection, noon, ("0.1uF 1000V polypropylene", 1), ("0.1uF 400V polyester", 1))
        job = _job(connection, noon, ("C1", "150"), ("C2", "400"))
        made = plan(connection, [job])
    assert _given(made) == {"C1": ["P-0002"], "C2": ["P-0001"]}


def test_what_cannot_be_served_says_what_was_nearest_and_what_to_buy(store: Engine, noon: datetime) -> None:
    """With the number that failed."""
    with writing(store) as connection:
        _shelf(connection, noon, ("0.1uF 250V polyester", 1))
        (served,) = plan(connection, [_job(connection, noon, ("C2", "400"))])
    assert (served.parts, served.near[0]["part"]) == ((), "P-0001")
    assert served.buy


def test_what_others_set_aside_is_not_planned(store: Engine, noon: datetime) -> None:
    """Two jobs, one part: the first one that books has it."""
    with writing(store) as connection:
        _shelf(connection, noon, ("0.1uF 630V polypropylene", 1))
        first, second = (_job(connection, noon, ("C1", "150")) for _ in range(2))
        reserve(connection, [first], Who(noon, "ann"))
        assert _given(plan(connection, [second])) == {"C1": []}
        assert _given(plan(connection, [first])) == {"C1": ["P-0001"]}


def test_planning_again_moves_nothing_that_is_as_good_where_it_is(store: Engine, noon: datetime) -> None:
    """Equal parts stay where they were set aside."""
    with writing(store) as connection:
        _shelf(connection, noon, ("0.1uF 630V polypropylene", 1), ("0.1uF 630V polypropylene", 1))
        job = _job(connection, noon, ("C1", "150"))
        reserve(connection, [job], Who(noon, "ann"))
        held = set_aside_for(connection, job.id)
        _shelf(connection, noon, ("0.1uF 630V polypropylene", 5))
        assert reserve(connection, [job], Who(noon, "ann"))[1] == 0
        assert set_aside_for(connection, job.id) == held


def test_a_plan_is_booked_and_taken_back_as_one_act(store: Engine, noon: datetime) -> None:
    """And what was planned can be fitted, from what is set aside."""
    with writing(store) as connection:
        _shelf(connection, noon, ("0.1uF 1000V polypropylene", 1), ("0.1uF 400V polyester", 1))
        job = _job(connection, noon, ("C1", "150"), ("C2", "400"))
        made, moved = reserve(connection, [job], Who(noon, "ann"))
        assert (moved, set_aside_for(connection, job.id)) == (2, {1: 1, 2: 1})
        undo(connection, at=noon, by="ann")
        assert set_aside_for(connection, job.id) == {}
        reserve(connection, [job], Who(noon, "ann"))
        for served in made:
            spot = Spot(job, served.wanted.request(job), served.wanted)
            fit(connection, spot, served.parts[0][0].part.id, Who(noon, "ann"))
        assert plan(connection, [job]) == []
        assert connection.execute(text("SELECT sum(on_hand), sum(reserved) FROM part")).one() == (0, 0)


@pytest.fixture
def two_jobs(tmp_path: Any) -> Any:
    """A catalogue of two parts and a job that wants both."""
    db = tmp_path / "c.sqlite"
    for words in ("0.1uF 1000V polypropylene", "0.1uF 400V polyester"):
        partsbin("shelve", words, "--condition", "new", db=db)
    partsbin("job", "open", "amplifier", db=db)
    for designator, rail in (("C1", "240"), ("C2", "400"), ("C3", "900")):
        partsbin(
            "job", "need", "1", "capacitor", "0.1uF", "-p", "coupling", "-d", designator, "-w", f"rail={rail}", db=db
        )
    return db


def test_the_command_tells_who_gets_what_and_what_is_short(two_jobs: Any) -> None:
    """The answer is no where something is short."""
    ran = partsbin("plan", "J-1", "--reserve", db=two_jobs)
    assert ran.code == 1
    assert "C1: P-0002  0.1 µF 400 V film-polyester (care)" in ran.out
    assert "P-0001 goes to C2, where nothing else will do" in ran.out
    assert "C3: SHORT of 1" in ran.out
    assert "2 of 3 pieces served" in ran.err
    assert [n["parts"][0]["part"] for n in partsbin("plan", "1", "--json", db=two_jobs).json()["needs"][:2]] == [
        "P-0002",
        "P-0001",
    ]
