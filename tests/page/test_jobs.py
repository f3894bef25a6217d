"""Jobs on the page: opened with their set, what they need, lists, positions, the plan, what comes back, closing."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import Engine

from partsbin.jobs.fitting import fit
from partsbin.jobs.record import job_named, learn
from partsbin.jobs.spots import Said
from partsbin.stock.acts import scrap
from partsbin.store.engine import open_store, reading, writing
from tests.page.visit import OTHER, SCRIPT, Visit, count, hidden, said, shelve, visiting


@pytest.fixture
def engine(tmp_path: Path) -> Iterator[Engine]:
    """A shelf with three film capacitors."""
    opened = open_store(tmp_path / "page.sqlite")
    shelve(opened, "22n 630V polypropylene", count=3, place="drawer E1")
    yield opened
    opened.dispose()


@pytest.fixture
def visit(engine: Engine) -> Iterator[Visit]:
    """Somebody at the bench, with a job open that wants one coupling capacitor."""
    with visiting(engine) as found:
        found.post("/jobs/open", what="carriage receiver", reference="box 4", **{"set.chassis": "earthed"})
        found.post(
            "/job/J-0001/need/add", family="capacitor", text="0.02uF 350V", position="coupling", designator="C31"
        )
        yield found


def fitted(engine: Engine) -> None:
    """Fit the capacitor at C31."""
    with writing(engine) as connection:
        fit(connection, Said("J-0001", "C31").spot(connection, 1), 1, OTHER)


def test_a_job_is_opened_with_what_is_known_of_its_set(visit: Visit, engine: Engine) -> None:
    """It stands in the list, its facts with it."""
    with reading(engine) as connection:
        job = job_named(connection, "J-0001")
    assert (job.what, dict(job.texts), "carriage receiver" in visit.get("/jobs")) == (
        "carriage receiver", {"chassis": "earthed"}, True,
    )  # fmt: skip


def test_a_fact_that_cannot_be_read_opens_nothing_and_keeps_what_was_typed(visit: Visit, engine: Engine) -> None:
    """The fault is told on the page with the form."""
    answer = visit.post("/jobs/open", what="intercom", **{"set.mains": "plenty"})
    assert (answer.status_code, 'value="intercom"' in answer.text, count(engine, "SELECT count(*) FROM job")) == (
        409, True, 1,
    )  # fmt: skip


def test_the_family_of_a_need_is_read_from_its_text(visit: Visit) -> None:
    """The positions of that family are the choices."""
    page = visit.get("/job/J-0001/need?text=0.1uF+350V+waxed+paper")
    assert 'name="position" value="screen-bypass"' in page


def test_a_need_stands_on_the_page_of_its_job(visit: Visit) -> None:
    """With the way to find what can do it."""
    page = visit.get("/job/J-0001")
    assert ("1 C31 coupling capacitor" in page, "/job/J-0001/need/1/find" in page) == (True, True)


def test_find_is_asked_for_a_need_with_the_facts_of_the_set(visit: Visit) -> None:
    """The card then fits for that need without asking where."""
    answer = visit.client.get("/job/J-0001/need/1/find")
    assert ("set.chassis=earthed" in str(answer.url), "fit P-0001 to J-0001" in answer.text) == (True, True)


def test_a_pasted_list_becomes_needs_and_is_summed_up(visit: Visit, engine: Engine) -> None:
    """Every piece is accounted for."""
    answer = visit.post("/job/J-0001/list", list="C1 22n 630V\nC2 50uF 450V\nR7 220k 1W")
    assert said(answer.text).startswith("3 pieces on the list:")
    assert count(engine, "SELECT count(*) FROM job_need") == 4


def test_an_empty_list_is_told(visit: Visit) -> None:
    """Nothing is noted of nothing."""
    assert visit.post("/job/J-0001/list", list=" ").status_code == 409


def test_a_position_that_a_list_left_open_is_said_on_the_page(visit: Visit, engine: Engine) -> None:
    """The choice stands there until it is made."""
    visit.post("/job/J-0001/list", list="C7 22n 630V")
    with engine.begin() as connection:
        connection.exec_driver_sql("UPDATE job_need SET position = '', why = 'nothing says' WHERE id = 2")
    page = visit.get("/job/J-0001")
    assert 'action="/job/J-0001/need/2/position"' in page
    visit.post("/job/J-0001/need/2/position", seen=hidden(page, "seen"), position="tone", back="job")
    assert count(engine, "SELECT count(*) FROM job_need WHERE position = 'tone'") == 1


def test_a_position_that_somebody_else_said_is_not_overwritten(visit: Visit, engine: Engine) -> None:
    """The second is told."""
    seen = hidden(visit.get("/job/J-0001/need/1"), "seen")
    visit.post("/job/J-0001/need/1/position", seen=seen, position="tone")
    answer = visit.post("/job/J-0001/need/1/position", seen=seen, position="agc")
    assert (answer.status_code, count(engine, "SELECT count(*) FROM job_need WHERE position = 'tone'")) == (409, 1)


def test_a_need_is_taken_back(visit: Visit, engine: Engine) -> None:
    """It stays in the record."""
    visit.post("/job/J-0001/need/1/drop", seen=hidden(visit.get("/job/J-0001/need/1"), "seen"))
    assert count(engine, "SELECT count(*) FROM job_need WHERE dropped") == 1


def test_the_plan_says_which_part_goes_where_and_sets_it_aside(visit: Visit, engine: Engine) -> None:
    """One act, for the job."""
    page = visit.get("/job/J-0001/plan")
    assert "1 of 1 pieces served" in page
    visit.post("/job/J-0001/plan/reserve", seen=hidden(page, "seen"))
    assert count(engine, "SELECT reserved FROM part WHERE id = 1") == 1


def test_a_plan_that_has_changed_since_sets_nothing_aside(visit: Visit, engine: Engine) -> None:
    """What was read on the page is what is done, or nothing."""
    page = visit.get("/job/J-0001/plan")
    with writing(engine) as connection:
        scrap(connection, 1, 3, OTHER)
    shelve(engine, "22n 1kV polypropylene")
    answer = visit.post("/job/J-0001/plan/reserve", seen=hidden(page, "seen"))
    assert (answer.status_code, count(engine, "SELECT sum(reserved) FROM part")) == (409, 0)


def test_the_plan_says_what_is_short_and_why(visit: Visit, engine: Engine) -> None:
    """With what is to be bought."""
    with writing(engine) as connection:
        scrap(connection, 1, 3, OTHER)
    page = visit.get("/job/J-0001/plan")
    assert ("short of 1" in page, "buy " in page, "/orders?job=J-0001" in page) == (True, True, True)


def test_a_part_comes_out_again_and_is_salvaged(visit: Visit, engine: Engine) -> None:
    """What was in use is a part of its own."""
    fitted(engine)
    page = visit.get("/job/J-0001")
    form = {name: hidden(page, name) for name in ("part", "seen")}
    visit.post("/job/J-0001/return", **form, pieces="1")
    assert count(engine, "SELECT count(*) FROM part WHERE condition = 'salvaged' AND on_hand = 1") == 1


def test_a_return_from_before_another_act_is_told(visit: Visit, engine: Engine) -> None:
    """Nothing is booked twice by going back and sending again."""
    fitted(engine)
    page = visit.get("/job/J-0001")
    form = {name: hidden(page, name) for name in ("part", "seen")}
    visit.post("/job/J-0001/return", **form)
    assert visit.post("/job/J-0001/return", **form).status_code == 409


def test_facts_of_the_set_are_changed_and_added(visit: Visit, engine: Engine) -> None:
    """Those that stand on the form and one more."""
    page = visit.get("/job/J-0001")
    visit.post("/job/J-0001/facts", seen=hidden(page, "seen"), fact="rail", value="248", **{"set.chassis": "floating"})
    with reading(engine) as connection:
        assert dict(job_named(connection, "J-0001").texts) == {"chassis": "floating", "rail": "248"}


def test_facts_that_somebody_else_changed_are_not_overwritten(visit: Visit, engine: Engine) -> None:
    """The second is told, and what was typed stands there still."""
    page = visit.get("/job/J-0001")
    with writing(engine) as connection:
        learn(connection, job_named(connection, "J-0001"), ["chassis=live"])
    answer = visit.post("/job/J-0001/facts", seen=hidden(page, "seen"), **{"set.chassis": "floating"})
    assert (answer.status_code, 'value="floating"' in answer.text) == (409, True)


def test_what_is_written_down_stays(visit: Visit) -> None:
    """A reading on the set, with the meter."""
    visit.post("/job/J-0001/note", kind="reading", what="rail", said="248 V", instrument="meter")
    assert "reading: rail: 248 V, meter" in visit.get("/job/J-0001")


def test_a_job_is_closed_and_opened_again(visit: Visit, engine: Engine) -> None:
    """A closed one is looked at, and its forms are gone."""
    page = visit.get("/job/J-0001")
    visit.post("/job/J-0001/close", seen=hidden(page, "seen"))
    closed = visit.get("/job/J-0001")
    visit.post("/job/J-0001/again", seen=hidden(closed, "seen"))
    assert ("/job/J-0001/list" in closed, count(engine, "SELECT count(*) FROM job WHERE closed_at IS NULL")) == (
        False, 1,
    )  # fmt: skip


def test_nobody_named_writes_nothing(visit: Visit, engine: Engine) -> None:
    """A job is opened by somebody."""
    visit.client.cookies.delete("partsbin_name")
    assert (visit.post("/jobs/open", what="x").status_code, count(engine, "SELECT count(*) FROM job")) == (409, 1)


def test_many_jobs_and_needs_are_paged(visit: Visit) -> None:
    """Pages stay under 100 kB, the issue's limit."""
    visit.post("/job/J-0001/list", list="\n".join(f"C{n} 22n 630V" for n in range(100, 400)))
    for page in ("/job/J-0001", "/job/J-0001/plan", "/jobs"):
        assert len(visit.get(page)) < 100_000, page


@pytest.mark.parametrize("name", ["what", "reference", "set.lineup", "set.chassis"])
def test_script_in_a_job_stays_text(visit: Visit, name: str) -> None:
    """On the page of the fault and on that of the job."""
    answer = visit.post("/jobs/open", **{"what": "x", name: SCRIPT})
    assert "<script>alert" not in answer.text


@pytest.mark.parametrize("name", ["text", "designator", "facts", "position", "family", "list", "said", "instrument"])
def test_script_in_a_need_or_a_note_stays_text(visit: Visit, name: str) -> None:
    """Wherever it is typed."""
    fields = {"family": "capacitor", "text": "22n", "position": "tone", "kind": "note", "what": "x", name: SCRIPT}
    answers = [visit.post(f"/job/J-0001/{form}", **fields) for form in ("need/add", "list", "note")]
    assert not any("<script>alert" in answer.text for answer in answers)
