"""Fitting from a card: where a part may go, what it owes, what is booked and what is refused."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import Engine

from partsbin.jobs.needs import add_need
from partsbin.jobs.record import job_of, open_job
from partsbin.stock.acts import scrap
from partsbin.store.engine import open_store, writing
from tests.page.visit import OTHER, SCRIPT, Visit, count, hidden, said, shelve, visiting

FITTED = "SELECT -sum(quantity) FROM movement WHERE word = 'fitted'"


@pytest.fixture
def engine(tmp_path: Path) -> Iterator[Engine]:
    """A film capacitor, a salvaged one of unknown leakage, a job that wants a coupling capacitor at C31."""
    opened = open_store(tmp_path / "page.sqlite")
    shelve(opened, "22n 630V polypropylene", count=3)
    shelve(opened, "22n 630V mica", condition="salvaged", count=2)
    with writing(opened) as connection:
        job = open_job(connection, OTHER, what="carriage receiver")
        add_need(connection, job, "capacitor", "0.02uF 350V waxed paper", "coupling", designator="C31")
    yield opened
    opened.dispose()


@pytest.fixture
def visit(engine: Engine) -> Iterator[Visit]:
    """Somebody at the bench."""
    with visiting(engine) as found:
        yield found


def form(visit: Visit, part: str = "P-0001") -> dict[str, str]:
    """Return the form that fits a part for the first need."""
    page = visit.get(f"/fit?part={part}&spot=J-0001/1")
    return {name: hidden(page, name) for name in ("part", "job", "need", "seen")}


def test_the_card_leads_to_the_needs_that_a_part_may_serve(visit: Visit) -> None:
    """The one of the position asked for is chosen already where there is no other."""
    page = visit.get("/fit?part=P-0001&family=capacitor&position=coupling&text=22n")
    assert 'value="J-0001/1" required checked' in page


def test_a_part_that_fits_is_fitted_and_what_follows_is_said(visit: Visit, engine: Engine) -> None:
    """One piece goes out; the next page says what to read after power-up."""
    answer = visit.post("/fit/do", **form(visit))
    assert (count(engine, FITTED), answer.url.path, "After power-up" in answer.text) == (
        1,
        "/job/J-0001/fitted/3",
        True,
    )


def test_the_form_shows_what_a_part_still_owes(visit: Visit) -> None:
    """A salvaged one has its leakage read first."""
    assert 'name="owed.leakage"' in visit.get("/fit?part=P-0002&spot=J-0001/1")


def test_without_what_it_owes_nothing_is_fitted(visit: Visit, engine: Engine) -> None:
    """The page says what is still to be read."""
    answer = visit.post("/fit/do", **form(visit, "P-0002"))
    assert (answer.status_code, "still owes" in said(answer.text), count(engine, FITTED)) == (409, True, 0)


def test_a_reading_is_written_down_and_the_part_fitted_in_one_go(visit: Visit, engine: Engine) -> None:
    """The piece that was read gets a number of its own, and goes in."""
    answer = visit.post("/fit/do", **form(visit, "P-0002"), **{"owed.leakage": "0.01uA@350V"})
    assert (answer.status_code, said(answer.text), count(engine, FITTED)) == (200, "fitted in J-0001", 1)


def test_a_reading_that_makes_it_unfit_stays_written_down(visit: Visit, engine: Engine) -> None:
    """What was read is true whether the part goes in or not."""
    answer = visit.post("/fit/do", **form(visit, "P-0002"), **{"owed.leakage": "50uA@350V"})
    assert ("does not fit" in answer.text, count(engine, "SELECT count(*) FROM reading"), count(engine, FITTED)) == (
        True, 1, 0,
    )  # fmt: skip


def test_a_reading_that_cannot_be_read_is_told_with_what_was_typed(visit: Visit, engine: Engine) -> None:
    """Nothing is written."""
    answer = visit.post("/fit/do", **form(visit, "P-0002"), **{"owed.leakage": "little"})
    assert (answer.status_code, 'value="little"' in answer.text) == (409, True)
    assert count(engine, "SELECT count(*) FROM reading") == 0


def test_an_unfit_part_is_refused(visit: Visit, engine: Engine) -> None:
    """However the form was come by."""
    shelve(engine, "22n 100V polypropylene")
    page = visit.get("/fit?part=P-0003&spot=J-0001/1")
    answer = visit.post(
        "/fit/do", part="P-0003", job="J-0001", need="1", seen=str(count(engine, "SELECT max(id) FROM act"))
    )
    assert ("/fit/do" in page, answer.status_code, count(engine, FITTED)) == (False, 409, 0)


def test_a_form_from_before_another_act_fits_nothing(visit: Visit, engine: Engine) -> None:
    """The second of two at the same part is told, and what was typed is kept."""
    old = form(visit)
    with writing(engine) as connection:
        scrap(connection, 1, 1, OTHER)
    answer = visit.post("/fit/do", **old, change="leads sleeved")
    assert (answer.status_code, "has been changed since" in said(answer.text), "leads sleeved" in answer.text) == (
        409, True, True,
    )  # fmt: skip
    assert count(engine, FITTED) == 0


def test_more_than_there_are_is_refused_unless_found(visit: Visit, engine: Engine) -> None:
    """Four of three lie there only if somebody counted."""
    short = visit.post("/fit/do", **form(visit), pieces="4")
    more = visit.post("/fit/do", **form(visit), pieces="4", found="yes")
    assert (short.status_code, more.status_code, count(engine, FITTED)) == (409, 200, 4)


def test_several_parts_joined_are_fitted_as_one(visit: Visit, engine: Engine) -> None:
    """Two 10 nF in parallel serve for 0.02 µF: one act with a line for each."""
    shelve(engine, "10n 630V polypropylene", count=2)
    page = visit.get("/fit?part=P-0003+P-0003&how=in+parallel&job=J-0001&need=1")
    names = ("part", "how", "job", "need", "seen")
    answer = visit.post("/fit/do", **{name: hidden(page, name) for name in names})
    assert (answer.status_code, count(engine, FITTED)) == (200, 2)


def test_a_can_is_fitted_for_all_that_the_plan_says_it_serves(visit: Visit, engine: Engine) -> None:
    """The plan's link names both needs, the page which section is whose; one piece goes, and both are served."""
    shelve(engine, "32+32uF 450V electrolytic", count=1)
    with writing(engine) as connection:
        job = job_of(connection, 1)
        for name, position in (("C9a", "smoothing"), ("C9b", "decoupling")):
            add_need(connection, job, "capacitor", "32uF 350V", position, designator=name, facts=["rail=250"])
    plan = visit.get("/job/J-0001/plan")
    (link,) = set(re.findall(r'href="(/fit\?[^"]*also=3)"', plan))
    page = visit.get(html.unescape(link))
    assert set(re.findall(r"<p>(section \d) for", page)) == {"section 1", "section 2"}
    answer = visit.post("/fit/do", **{name: hidden(page, name) for name in ("part", "job", "need", "also", "seen")})
    assert (answer.status_code, count(engine, FITTED)) == (200, 1)
    assert "at C9a, C9b" in answer.text


def test_the_danger_of_a_reading_stands_by_it_where_parts_are_joined(visit: Visit, engine: Engine) -> None:
    """Nothing is typed there, yet the reading is taken: under test volts, as of a part alone."""
    shelve(engine, "10n 630V mica", condition="salvaged", count=2)
    alone = visit.get("/fit?part=P-0002&spot=J-0001/1")
    joined = visit.get("/fit?part=P-0003+P-0003&how=in+parallel&job=J-0001&need=1")
    danger = dangers(alone)
    assert danger
    assert danger <= dangers(joined)


def dangers(page: str) -> set[str]:
    """Return the cautions of a page about what stands on the clips."""
    return {line for line in re.findall(r'class="caution">(caution: .*?)</p>', page) if "discharge" in line}


def test_a_piece_is_set_aside_for_a_job_from_the_card(visit: Visit, engine: Engine) -> None:
    """The claim is the job's."""
    page = visit.get("/find?text=22n+350V&family=capacitor&position=coupling")
    visit.post("/find/aside", part="P-0001", seen=hidden(page, "seen"), **{"for": "J-0001"})
    assert count(engine, "SELECT aside FROM movement WHERE job_id = 1") == 1


@pytest.mark.parametrize("name", ["part", "spot", "how", "text", "family", "position", "set.rail", "need", "also"])
def test_script_in_a_field_stays_text(visit: Visit, name: str) -> None:
    """Whatever an address says is shown as words, or not at all."""
    fields = {"part": "P-0001", "family": "capacitor", "position": "coupling", "text": "22n", name: SCRIPT}
    assert "<script>alert" not in visit.client.get("/fit", params=fields).text


def test_what_was_not_understood_of_a_need_is_told_before_the_button(visit: Visit, engine: Engine) -> None:
    """And what was taken for granted: nobody fits by what was left out unseen."""
    with writing(engine) as connection:
        job = job_of(connection, 1)
        add_need(connection, job, "capacitor", "0.02uF 350V 5k2", "coupling", designator="C32")
    before = visit.get("/fit?part=P-0001&spot=J-0001/2").partition("<button>fit it</button>")[0]
    assert re.search(r'class="caution">[^<]*not understood: [^<]*5k2[^<]*nothing was judged by it</p>', before)
    assert re.search(r"<p>taken: [^<]*grid leak", before)


def test_more_than_is_wanted_at_a_place_is_told(visit: Visit) -> None:
    """The second of two is one too many, as the command line says; the first is not."""
    first = visit.post("/fit/do", **form(visit))
    second = visit.post("/fit/do", **form(visit))
    said_so = "1 wanted there, 2 sit there now"
    assert (said_so in first.text, said_so in second.text) == (False, True)
