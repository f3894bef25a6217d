"""Two people at one thing: the second, whose page shows it as it was, is told and writes nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from sqlalchemy import Engine

from partsbin.jobs.fitting import fit
from partsbin.jobs.needs import add_need, need_named, place_need
from partsbin.jobs.record import close_job, job_named, open_job
from partsbin.jobs.spots import Said
from partsbin.jobs.stock_rules import add_rule
from partsbin.store.engine import open_store, writing
from tests.page.visit import OTHER, Visit, count, hidden, said, shelve, visiting

CHANGED = "has changed since the page was shown; nothing was written"


@pytest.fixture
def engine(tmp_path: Path) -> Iterator[Engine]:
    """A capacitor, a job that wants two at one place, a closed job, a stock rule."""
    opened = open_store(tmp_path / "page.sqlite")
    shelve(opened, "22n 630V polypropylene", count=3)
    with writing(opened) as connection:
        job = open_job(connection, OTHER, what="carriage receiver")
        add_need(connection, job, "capacitor", "0.02uF 350V", "coupling", designator="C31", quantity=2)
        close_job(connection, open_job(connection, OTHER, what="intercom"), OTHER)
        add_rule(connection, "capacitor", "47uF 450V", "reservoir", 10, facts=["rail=250"])
    yield opened
    opened.dispose()


@pytest.fixture
def visit(engine: Engine) -> Iterator[Visit]:
    """The second of two people."""
    with visiting(engine) as found:
        yield found


def says_what_it_does(engine: Engine) -> None:
    """Somebody else says that it is no coupling capacitor."""
    with writing(engine) as connection:
        job = job_named(connection, "J-0001")
        place_need(connection, job, need_named(connection, job, "C31"), "tone")


def fits_one(engine: Engine) -> None:
    """Somebody else fits one of the two."""
    with writing(engine) as connection:
        fit(connection, Said("J-0001", number=1).spot(connection, 1), 1, OTHER)


@pytest.mark.parametrize("meanwhile", [says_what_it_does, fits_one])
@pytest.mark.parametrize("form", ["drop", "position"])
def test_a_need_that_is_another_by_now_stays(
    visit: Visit, engine: Engine, form: str, meanwhile: Callable[[Engine], None]
) -> None:
    """Neither dropped nor said anew by somebody who has not seen what became of it."""
    seen = hidden(visit.get("/job/J-0001/need/1"), "seen")
    meanwhile(engine)
    answer = visit.post(f"/job/J-0001/need/1/{form}", seen=seen, position="agc")
    assert (answer.status_code, CHANGED in said(answer.text)) == (409, True)
    assert count(engine, "SELECT count(*) FROM job_need WHERE dropped OR position = 'agc'") == 0


def test_a_rule_is_dropped_once(visit: Visit) -> None:
    """The second is told that it is gone."""
    seen = hidden(visit.get("/rules"), "seen")
    answers = [visit.post("/rules/drop", rule="1", seen=seen) for _ in range(2)]
    assert [answer.status_code for answer in answers] == [200, 409]
    assert CHANGED in said(answers[1].text)


def test_a_rule_is_not_dropped_by_a_form_that_shows_none(visit: Visit, engine: Engine) -> None:
    """A form from before `seen` was carried says nothing of what it shows."""
    assert visit.post("/rules/drop", rule="1").status_code == 409
    assert count(engine, "SELECT count(*) FROM stock_rule WHERE dropped") == 0


def test_a_job_is_opened_again_once(visit: Visit) -> None:
    """Reopened from a page that shows it closed; from one that shows it otherwise, not."""
    page = visit.get("/job/J-0002")
    first = visit.post("/job/J-0002/again", seen=hidden(page, "seen"))
    second = visit.post("/job/J-0002/again", seen=hidden(page, "seen"))
    assert (first.status_code, second.status_code, CHANGED in said(second.text)) == (200, 409, True)


@pytest.mark.parametrize(
    ("form", "field", "what"),
    [
        ("/rules/drop", "rule", "a rule"),
        ("/bench/reviewed", "act", "an act"),
        ("/fit?part=P-0001&job=J-0001", "need", "a need"),
    ],
)
def test_a_number_that_is_none_is_told_with_what_it_should_be_of(
    visit: Visit, form: str, field: str, what: str
) -> None:
    """Not as pieces."""
    long = "9" * 40
    answer = (
        visit.client.get(f"{form}&{field}={long}") if form.startswith("/fit") else visit.post(form, **{field: long})
    )
    assert f"'{long}' is no number of {what}: expected 1 to 999999999" in said(answer.text)


def test_the_days_of_a_delivery_are_no_pieces(visit: Visit) -> None:
    """What was expected is named."""
    fields = {"family": "capacitor", "text": "22n 400V", "position": "coupling", "level": "5", "service": "0.95"}
    answer = visit.post("/rules/add", **fields, lead="soon")
    assert "'soon' is no number of days: expected 1 to 9999" in said(answer.text)
