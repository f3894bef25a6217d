"""The plan of a set: scarce parts go where nothing else will do, what is set aside stays, nothing is promised twice."""

from __future__ import annotations

import random
from collections import Counter
from datetime import datetime
from typing import Any

import pytest
from sqlalchemy import Connection, Engine, text

from partsbin.jobs import plan as plan_module
from partsbin.jobs.fitting import Spot, fit
from partsbin.jobs.fitting_together import fit_together
from partsbin.jobs.needs import add_need
from partsbin.jobs.plan import plan, reserve
from partsbin.jobs.record import Opened, open_job
from partsbin.matching.make_ups.search import MakeUp
from partsbin.stock.acts import Who
from partsbin.stock.catalogue import shelve
from partsbin.stock.draft import draft_from_text
from partsbin.stock.ledger import set_aside_for, undo
from partsbin.stock.shelf import number_of
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
    return {served.name: [number_of(ident) for ident in served.taken()] for served in made}


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
            (ident,) = served.taken()
            fit(connection, spot, ident, Who(noon, "ann"))
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


def _wet(connection: Connection, noon: datetime, *needs: tuple[str, str, str]) -> Opened:
    """A job with smoothing capacitors wanted, each behind a winding of its own."""
    job = open_job(connection, Who(noon, "ann"))
    for designator, words, fact in needs:
        add_need(connection, job, "capacitor", words, "smoothing", designator=designator, facts=[fact])
    return job


def _joined(made: list[Any]) -> dict[str, list[int]]:
    """By name, the pieces of parts that each need takes."""
    return {served.name: sorted(ident for ident, n in served.taken().items() for _ in range(n)) for served in made}


def test_taking_the_best_in_turn_leaves_a_need_without_and_the_plan_does_not(store: Engine, noon: datetime) -> None:
    """C1 would rather have one of the pair that alone can serve C2, in series."""
    with writing(store) as connection:
        _shelf(connection, noon, ("68uF 350V electrolytic", 2), ("56uF 300V electrolytic", 1))
        needs = (("C1", "68uF", "secondary=150-0-150"), ("C2", "32uF", "secondary=286-0-286"))
        greedy = _joined(plan(connection, [_wet(connection, noon, needs[0])]))
        assert greedy == {"C1": [1]}
        reserve(connection, [_wet(connection, noon, needs[0])], Who(noon, "ann"))
        assert _joined(plan(connection, [_wet(connection, noon, needs[1])])) == {"C2": []}
        undo(connection, at=noon, by="ann")
        assert _joined(plan(connection, [_wet(connection, noon, *needs)])) == {"C1": [2], "C2": [1, 1]}


def test_a_make_up_is_set_aside_stays_and_is_fitted(store: Engine, noon: datetime) -> None:
    """Planning again moves nothing; the pieces are taken from what is set aside; then the need is served."""
    who = Who(noon, "ann")
    with writing(store) as connection:
        _shelf(connection, noon, ("68uF 350V electrolytic", 2), ("68uF 350V electrolytic", 4))
        job = _wet(connection, noon, ("C2", "32uF", "secondary=286-0-286"))
        (served,), moved = reserve(connection, [job], who)
        held = set_aside_for(connection, job.id)
        assert (moved, sum(held.values())) == (len(held), 2)
        assert reserve(connection, [job], who)[1] == 0
        assert set_aside_for(connection, job.id) == held
        (made, times), *_ = served.parts
        assert isinstance(made, MakeUp)
        spot = Spot(job, served.wanted.request(job), served.wanted)
        fit_together(connection, spot, [m.part.id for m in made.members], made.join.how, who, pieces=times)
        assert (set_aside_for(connection, job.id), plan(connection, [job])) == ({}, [])


def test_pairs_come_from_any_parts_alike(store: Engine, noon: datetime) -> None:
    """Six needs of two each, of twelve single parts alike."""
    with writing(store) as connection:
        _shelf(connection, noon, *[("68uF 350V electrolytic", 1)] * 12)
        job = _wet(connection, noon, *((f"C{n}", "32uF", "secondary=286-0-286") for n in range(6)))
        taken = [ident for served in plan(connection, [job]) for ident in served.taken()]
    assert sorted(taken) == list(range(1, 13))


def test_a_single_part_that_fits_goes_before_a_make_up_that_is_set_aside_with_care(
    store: Engine, noon: datetime
) -> None:
    """It came in later; the pair is let go."""
    who = Who(noon, "ann")
    with writing(store) as connection:
        _shelf(connection, noon, ("68uF 350V electrolytic", 2))
        job = _wet(connection, noon, ("C2", "32uF", "secondary=286-0-286"))
        reserve(connection, [job], who)
        _shelf(connection, noon, ("33uF 630V electrolytic", 1))
        reserve(connection, [job], who)
        assert set_aside_for(connection, job.id) == {2: 1}


@pytest.mark.parametrize("seed", range(8))
def test_a_short_list_of_candidates_is_as_good_as_a_long_one(
    seed: int, store: Engine, noon: datetime, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The plan reads on only where it must: it is worth the same as one that read everything at once."""
    draw = random.Random(seed)
    kinds = ("0.1uF 630V polypropylene", "0.1uF 400V polyester", "0.1uF 250V polyester", "0.12uF 1000V polypropylene")
    with writing(store) as connection:
        _shelf(connection, noon, *[(draw.choice(kinds), draw.choice((1, 1, 2))) for _ in range(12)])
        rails = ("100", "150", "240", "400")
        job = _job(connection, noon, *((f"C{n}", draw.choice(rails)) for n in range(14)))
        worth = []
        for few in (1, 200):
            monkeypatch.setattr(plan_module, "FEW", few)
            made = [each for served in plan(connection, [job]) for each in served.parts]
            words = Counter(each.verdict.word for each, n in made for _ in range(n))
            worth.append((words, round(sum(each.score * n for each, n in made), 6)))
    assert worth[0] == worth[1]


def test_the_command_says_how_parts_are_joined(tmp_path: Any) -> None:
    """With the change that it takes."""
    db = tmp_path / "c.sqlite"
    partsbin("shelve", "68uF 350V electrolytic", "--count", "2", "--condition", "new", "--place", "drawer E4", db=db)
    partsbin("job", "open", "amplifier", "--with", "secondary=286-0-286", db=db)
    partsbin("job", "need", "1", "capacitor", "32uF", "-p", "smoothing", "-d", "C2", db=db)
    ran = partsbin("plan", "1", db=db)
    assert (ran.code, "C2: 2 × P-0001 in series, 34 µF 700 V, P-0001 in drawer E4 (care)" in ran.out) == (0, True)
    assert "change: 220 kΩ 1 W across each" in ran.out
    (part,) = partsbin("plan", "1", "--json", db=db).json()["needs"][0]["parts"]
    assert (part["part"], part["pieces"], part["serves"], part["how"]) == ("P-0001", 2, 1, "in series")


def test_a_dead_can_is_replaced_by_single_capacitors(store: Engine, noon: datetime) -> None:
    """60-40-40-20 µF by 68, 47, 47 and 22, as the trade does it: each section gets its own, none is joined, all fit."""
    sections = (("reservoir", "60uF 400V"), ("smoothing", "40uF 400V"), ("decoupling", "40uF 400V"))
    with writing(store) as connection:
        _shelf(
            connection,
            noon,
            ("22uF 450V electrolytic", 1),
            ("68uF 450V electrolytic", 1),
            ("47uF 450V electrolytic", 2),
        )
        job = open_job(connection, Who(noon, "ann"), facts=["secondary=250-0-250 off-load"])
        for number, (position, said) in enumerate((*sections, ("decoupling", "20uF 400V")), 1):
            add_need(connection, job, "capacitor", said, position, designator=f"C1/{number}")
        made = plan(connection, [job])
    assert _given(made) == {"C1/1": ["P-0002"], "C1/2": ["P-0003"], "C1/3": ["P-0003"], "C1/4": ["P-0001"]}
    assert {candidate.verdict.word for served in made for candidate, _ in served.parts} == {"fits"}
