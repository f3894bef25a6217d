"""The find page: what is said, read, answered, written down and set aside through it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import Engine, text
from starlette.testclient import TestClient

from partsbin.page.app import create
from partsbin.stock.acts import Who
from partsbin.stock.acts import scrap as scrap_pieces
from partsbin.store.engine import open_store, writing
from tests.page.shelf import shelve

NOON = datetime(2026, 3, 1, 12, tzinfo=UTC)
ASK = "/find?text=0.02uF+350V+waxed+paper&family=capacitor&position=coupling"


@pytest.fixture
def engine(tmp_path: Path) -> Iterator[Engine]:
    """A catalogue with two capacitors in it."""
    opened = open_store(tmp_path / "page.sqlite")
    shelve(opened, "22n 630V polypropylene", NOON)
    yield opened
    opened.dispose()


@pytest.fixture
def client(engine: Engine) -> Iterator[TestClient]:
    """A browser in which somebody has said their name."""
    with TestClient(create(engine, clock=lambda: NOON), base_url="http://127.0.0.1") as opened:
        opened.post("/name", data={"token": field(opened.get("/find").text, "token"), "name": "bench"})
        yield opened


def field(page: str, name: str) -> str:
    """Return what a hidden field of a page holds."""
    found = re.search(rf'name="{name}" value="([^"]*)"', page)
    assert found, name
    return found[1]


def form_of(page: str) -> dict[str, str]:
    """Return the fields of the form that sets the first candidate aside."""
    names = ("token", "text", "family", "position")
    form = page.partition('action="/find/aside"')[2]
    return {name: field(form, name) for name in (*names, "part", "seen")}


def reserved(engine: Engine) -> int:
    """Return how many pieces are set aside."""
    with engine.connect() as connection:
        return int(connection.execute(text("SELECT sum(reserved) FROM part")).scalar_one())


def test_the_text_tells_its_family_and_the_positions_become_choices(client: TestClient) -> None:
    """A description that has one sure reading needs no family said."""
    page = client.get("/find?text=0.02uF+350V+waxed+paper").text
    assert 'type="radio" name="position" value="coupling"' in page


def test_the_reading_of_a_text_is_a_fragment(client: TestClient) -> None:
    """What is shown while it is typed is no whole page."""
    answer = client.get("/find/reading", params={"text": "0.02uF 350V"}).text
    assert (answer.strip()[:14], "<html" in answer) == ("<p>capacitor: ", False)


def test_the_answer_says_verdict_and_part_in_words(client: TestClient) -> None:
    """A capacitor that fits stands on a card."""
    page = client.get(ASK).text
    assert re.search(r"<strong>fits</strong> P-0001 22 nF", page)


def test_a_piece_is_set_aside_and_the_page_shown_again(client: TestClient, engine: Engine) -> None:
    """The form writes one act and answers with a redirect."""
    answer = client.post("/find/aside", data=form_of(client.get(ASK).text), follow_redirects=False)
    assert (answer.status_code, reserved(engine)) == (303, 1)


def test_what_was_done_is_said_once(client: TestClient) -> None:
    """By the page that the form leads to, and not when that is loaded again."""
    there = client.post("/find/aside", data=form_of(client.get(ASK).text))
    said = '<p class="done" role="status" tabindex="-1" autofocus>one of P-0001 set aside</p>'
    assert (said in there.text, "done" in str(there.url), said in client.get(str(there.url)).text) == (
        True,
        False,
        False,
    )


def test_a_form_from_before_another_act_writes_nothing(client: TestClient, engine: Engine) -> None:
    """The second of two who edit the same part is told."""
    form = form_of(client.get(ASK).text)
    with writing(engine) as connection:
        scrap_pieces(connection, 1, 1, Who(NOON, "other", ""))
    answer = client.post("/find/aside", data=form)
    assert (answer.status_code, "has been changed since" in answer.text, reserved(engine)) == (409, True, 0)


def test_a_reading_is_written_down_by_who_said_their_name(client: TestClient, engine: Engine) -> None:
    """It goes through the ledger like one from the command line."""
    form = {**form_of(client.get(ASK).text), "reading": "capacitance", "value": "21.6nF"}
    client.post("/find/record", data=form)
    with engine.connect() as connection:
        assert connection.execute(text('SELECT "by" FROM act ORDER BY id DESC')).scalar() == "bench"


def owed_form(page: str, ident: str, asked_for: str, instrument: str, value: str) -> dict[str, str]:
    """Return the form of a card of a part, as it stands on the page."""
    form = next(
        form
        for form in page.split("<form")[1:]
        if f'value="{ident}"' in form and f'"reading" value="{asked_for}"' in form
    )
    names = ("token", "text", "family", "position", "part", "seen", "reading", "instrument")
    found = {name: field(form, name) for name in names}
    assert found["instrument"] == instrument
    return {**found, "value": value}


def test_a_mark_that_was_looked_for_is_written_down_as_a_mark(client: TestClient, engine: Engine) -> None:
    """Rated volts are read with the eyes: no meter's reading of them exists."""
    shelve(engine, "10n film", NOON)
    page = client.get("/find?text=0.01uF+250V&family=capacitor&position=coupling&set.rail=200").text
    answer = client.post("/find/record", data=owed_form(page, "P-0002", "voltage_dc", "eyes", "630 V"))
    assert re.search(r"</strong> P-0002 10 nF 630 V", answer.text)


def test_nobody_named_means_nothing_written(engine: Engine) -> None:
    """An act needs to know who did it."""
    with TestClient(create(engine, clock=lambda: NOON), base_url="http://127.0.0.1") as stranger:
        answer = stranger.post("/find/aside", data=form_of(stranger.get(ASK).text))
    assert (answer.status_code, reserved(engine)) == (409, 0)


def test_pages_stay_under_a_hundred_kilobytes(client: TestClient) -> None:
    """The limit is the issue's: 100 kB a page."""
    assert len(client.get(ASK).content) < 100_000


def test_what_nobody_understood_of_the_dead_part_is_a_caution(client: TestClient) -> None:
    """It stands apart from what was taken for granted: nothing was judged by it."""
    page = client.get("/find?text=22n+350V+47k&family=capacitor&position=coupling").text
    assert re.search(r'class="caution">[^<]*not understood: [^<]*47k[^<]*: nothing was judged by it<', page)


def test_what_was_counted_and_not_judged_is_told(client: TestClient, engine: Engine) -> None:
    """Seven kinds fit, five are shown: the other two may fit."""
    for volts in (630, 650, 700, 750, 800, 900):
        shelve(engine, f"22n {volts}V polypropylene", NOON)
    assert "<p>not judged in full: 2 may fit</p>" in client.get(ASK).text


def test_what_was_taken_for_a_part_stands_on_its_card(client: TestClient) -> None:
    """A tolerance that is not marked, for one."""
    assert re.search(r"<p>taken for the part: [^<]*tolerance", client.get(ASK).text)


def test_the_reading_that_decides_most_is_told_first(client: TestClient, engine: Engine) -> None:
    """Where several kinds of reading are owed."""
    for words in ("22n 630V", "22n polypropylene"):
        shelve(engine, words, NOON)
    assert "read what decides about most parts: " in client.get(ASK).text
