"""Forms that add something new: two taps write once, other words from the same page write again."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from threading import Thread

import pytest
from sqlalchemy import Engine

from partsbin.jobs.offers import take_offers
from partsbin.jobs.record import open_job
from partsbin.page.once import Once
from partsbin.stock.columns import all_fields
from partsbin.stock.lists import read_cells
from partsbin.store.engine import open_store, writing
from tests.page.visit import NOON, OTHER, Visit, count, hidden, said, visiting

NEED = {"family": "capacitor", "text": "22n 400V", "position": "coupling"}
NEED_PAGE = "/job/J-0001/need?family=capacitor&text=22n"


@pytest.fixture
def engine(tmp_path: Path) -> Iterator[Engine]:
    """An offer and an open job."""
    opened = open_store(tmp_path / "page.sqlite")
    prices = tmp_path / "prices.csv"
    prices.write_text("Order code,Description,Price\nK1,22 nF 630V polyester axial,0.40\n", encoding="utf-8")
    take_offers(opened, read_cells(prices, fields=all_fields()), "Bridge", at=NOON, condition="new")
    with writing(opened) as connection:
        open_job(connection, OTHER, what="intercom")
    yield opened
    opened.dispose()


@pytest.fixture
def visit(engine: Engine) -> Iterator[Visit]:
    """Somebody at the bench."""
    with visiting(engine) as found:
        yield found


@pytest.mark.parametrize(
    ("page", "form", "fields", "query"),
    [
        ("/orders", "/orders/bought", {"offer": "O-0001", "pieces": "3"}, "SELECT sum(on_hand) / 3 FROM part"),
        (NEED_PAGE, "/job/J-0001/need/add", NEED, "SELECT count(*) FROM job_need"),
        ("/jobs", "/jobs/open", {"what": "receiver"}, "SELECT count(*) - 1 FROM job"),
        ("/job/J-0001", "/job/J-0001/note", {"kind": "note", "what": "hum"}, "SELECT count(*) FROM job_line"),
        ("/donors", "/donors", {"name": "a receiver"}, "SELECT count(*) FROM donor"),
    ],
)
def test_two_taps_write_once(
    visit: Visit, engine: Engine, page: str, form: str, fields: dict[str, str], query: str
) -> None:
    """The second answer leads where the first did, and says so."""
    mark = hidden(visit.get(page), "once")
    first, second = (visit.post(form, once=mark, **fields) for _ in range(2))
    assert (first.url.path, count(engine, query)) == (second.url.path, 1)
    assert "sent twice, written once" in said(second.text)


def test_other_words_from_the_same_page_are_another_form(visit: Visit, engine: Engine) -> None:
    """Back, another part typed, sent: both are wanted."""
    mark = hidden(visit.get(NEED_PAGE), "once")
    for text in ("22n 400V", "47n 400V"):
        visit.post("/job/J-0001/need/add", once=mark, **{**NEED, "text": text})
    assert count(engine, "SELECT count(*) FROM job_need") == 2


def test_what_was_refused_may_be_sent_again(visit: Visit, engine: Engine) -> None:
    """A fault writes nothing: the same form is worked on anew, and refused anew."""
    mark = hidden(visit.get("/orders"), "once")
    answers = [visit.post("/orders/bought", once=mark, offer="O-0099", pieces="1") for _ in range(2)]
    assert [answer.status_code for answer in answers] == [409, 409]


def test_the_second_of_two_at_once_waits_for_the_first() -> None:
    """It finds the answer of the first, however long that took."""
    once, found = Once(), []

    def second() -> None:
        with once.held("mark", fields={}) as sent:
            found.append(sent.answer)

    with once.held("mark", fields={}) as sent:
        other = Thread(target=second)
        other.start()
        sent.answer = ("/job/J-0001", "written down")
    other.join()
    assert found == [("/job/J-0001", "written down")]
