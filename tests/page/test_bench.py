"""The first page: what is open, what came that is wanted, what is owed, short and thin; and the act that reviews a margin."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import Engine

from partsbin.jobs.fitting import bring_back, fit
from partsbin.jobs.needs import add_need
from partsbin.jobs.record import job_named, open_job
from partsbin.jobs.spots import Said
from partsbin.jobs.stock_rules import add_rule
from partsbin.stock.acts import move
from partsbin.stock.ledger import undo
from partsbin.store.copies import copy_to
from partsbin.store.engine import open_store, writing
from partsbin.store.restoring import restore
from tests.page.visit import NOON, OTHER, SCRIPT, Visit, count, said, shelve, visiting


@pytest.fixture
def engine(tmp_path: Path) -> Iterator[Engine]:
    """Three 400 V capacitors, and a job with an HT that leaves them little to spare."""
    opened = open_store(tmp_path / "page.sqlite")
    shelve(opened, "22n 400V polypropylene", count=3, place="drawer E1")
    with writing(opened) as connection:
        job = open_job(connection, OTHER, what="carriage receiver", facts=["rail=240"])
        add_need(connection, job, "capacitor", "0.02uF 350V", "coupling", designator="C31")
    yield opened
    opened.dispose()


@pytest.fixture
def visit(engine: Engine) -> Iterator[Visit]:
    """Somebody at the bench."""
    with visiting(engine) as found:
        yield found


def fitted(engine: Engine) -> int:
    """Fit one at C31; return the act."""
    with writing(engine) as connection:
        return fit(connection, Said("J-0001", "C31").spot(connection, 1), 1, OTHER).act_id


def test_the_bench_is_the_first_page(visit: Visit) -> None:
    """Whoever opens the address stands at the bench."""
    assert visit.client.get("/").url.path == "/bench"


def test_open_jobs_stand_on_the_bench(visit: Visit) -> None:
    """With what the set is."""
    assert "J-0001 carriage receiver" in visit.get("/bench")


def test_what_just_came_in_is_held_against_what_is_wanted(visit: Visit) -> None:
    """The part, the need, and the way to fit it."""
    page = visit.get("/bench")
    assert ("would serve C31 of J-0001" in page, "/fit?part=P-0001" in page) == (True, True)


def test_what_just_came_in_is_judged_by_the_rules_as_they_are_now(
    visit: Visit, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """They are a file of their own, and changing them is no act."""
    before = visit.get("/bench")
    (tmp_path / "bench.toml").write_text("[capacitor.position.coupling]\nfits = [0.99, 1.01]\ncare = [0.99, 1.01]\n")
    monkeypatch.setenv("PARTSBIN_RULES", str(tmp_path / "bench.toml"))
    assert visit.get("/bench") != before


def test_a_copy_restored_counts_on_from_its_own_last_act(visit: Visit, engine: Engine, tmp_path: Path) -> None:
    """Another act of the same number is another one."""
    copy_to(engine, tmp_path / "copy.sqlite")
    fitted(engine)
    assert "would serve" not in visit.get("/bench")
    restore(tmp_path / "copy.sqlite", tmp_path / "page.sqlite", NOON)
    with writing(engine) as connection:
        move(connection, 1, "shelf Z", OTHER)
    assert "would serve C31 of J-0001" in visit.get("/bench")


def test_what_was_fitted_is_no_longer_wanted(visit: Visit, engine: Engine) -> None:
    """The need is served."""
    fitted(engine)
    assert "would serve" not in visit.get("/bench")


def test_a_part_of_a_donor_owes_its_readings(visit: Visit, engine: Engine) -> None:
    """Where it lies and what to read."""
    shelve(engine, "16uF 450V electrolytic", condition="salvaged", donor="D-001", place="box 2")
    page = visit.get("/bench")
    assert "P-0002</a> 16 µF 450 V electrolytic in box 2: " in page


def test_what_runs_short_is_told_by_its_rule(visit: Visit, engine: Engine) -> None:
    """By hand: ten wanted, none of the three will do at 350 V."""
    with writing(engine) as connection:
        add_rule(connection, "capacitor", "47uF 450V", "reservoir", 10, facts=["rail=250"])
    assert "0 here, 10 wanted, order 10" in visit.get("/bench")


def test_a_thin_margin_is_listed_until_it_is_reviewed(visit: Visit, engine: Engine) -> None:
    """The review stands in the job's record as what it is, with what came out."""
    act = fitted(engine)
    assert f'name="act" value="{act}"' in visit.get("/bench")
    visit.post("/bench/reviewed", act=str(act), said="390 V after an hour")
    assert f'name="act" value="{act}"' not in visit.get("/bench")
    assert f"review: margin of P-0001 at C31 reviewed (act {act}): 390 V after an hour" in visit.get("/job/J-0001")


def test_a_margin_is_reviewed_once(visit: Visit, engine: Engine) -> None:
    """The second is told, and what was typed is there still to be read."""
    act = fitted(engine)
    answers = [visit.post("/bench/reviewed", act=str(act)) for _ in range(2)]
    assert ([answer.status_code for answer in answers], count(engine, "SELECT count(*) FROM job_line")) == (
        [200, 409],
        1,
    )


def test_what_is_out_again_is_not_to_be_reviewed(visit: Visit, engine: Engine) -> None:
    """It stands in no set."""
    fitted(engine)
    with writing(engine) as connection:
        bring_back(connection, job_named(connection, "J-0001"), 1, 1, OTHER)
    assert 'action="/bench/reviewed"' not in visit.get("/bench")


def test_what_was_taken_back_is_not_to_be_reviewed(visit: Visit, engine: Engine) -> None:
    """It never went in."""
    act = fitted(engine)
    with writing(engine) as connection:
        undo(connection, at=NOON, by="other", act_id=act)
    assert 'action="/bench/reviewed"' not in visit.get("/bench")


@pytest.mark.parametrize("act", ["", "0", "99", "many"])
def test_what_no_act_fitted_is_not_reviewed(visit: Visit, act: str) -> None:
    """In words."""
    answer = visit.post("/bench/reviewed", act=act)
    assert (answer.status_code, bool(said(answer.text))) == (409, True)


def test_the_lists_are_bounded(visit: Visit, engine: Engine) -> None:
    """Ten of each, the rest behind a link; the page stays under 100 kB."""
    with writing(engine) as connection:
        for number in range(30):
            job = open_job(connection, OTHER, what=f"intercom {number}")
            add_need(connection, job, "capacitor", "0.02uF 350V", "coupling", designator="C1")
    page = visit.get("/bench")
    assert (page.count('<li><a href="/job/'), page.count("would serve"), len(page) < 100_000) == (10, 10, True)


def test_script_on_the_bench_stays_text(visit: Visit, engine: Engine) -> None:
    """In a job, a place, a title and a field."""
    shelve(engine, "22n 400V polypropylene", place=SCRIPT, condition="salvaged", donor="D-001")
    with writing(engine) as connection:
        open_job(connection, OTHER, what=SCRIPT, reference=SCRIPT)
    pages = [visit.get("/bench"), visit.post("/bench/reviewed", act=SCRIPT, said=SCRIPT).text]
    assert not any("<script>alert" in page for page in pages)
