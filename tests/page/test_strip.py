"""The strip page: lines shelved as they are said, read back, asked about, taken back."""

from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import Engine
from starlette.testclient import TestClient

from partsbin.jobs.needs import add_need
from partsbin.jobs.record import open_job
from partsbin.page.strip import MOST_LINES
from partsbin.stock.acts import Who
from partsbin.stock.donors import add_donor
from partsbin.store.engine import open_store, writing
from tests.page.visitor import NOON, Clock, browser, fields_of, one, send

AT = "/donor/D-001/strip"


@pytest.fixture
def engine(tmp_path: Path) -> Iterator[Engine]:
    """A catalogue with one donor."""
    opened = open_store(tmp_path / "page.sqlite")
    with writing(opened) as connection:
        add_donor(connection, name="table radio", lineup="ECH81 EBF89 EL84 EZ80")
    yield opened
    opened.dispose()


@pytest.fixture
def clock() -> Clock:
    """A clock set by hand."""
    return Clock()


@pytest.fixture
def client(engine: Engine, clock: Clock) -> Iterator[TestClient]:
    """A browser in which somebody has said their name."""
    with browser(engine, clock=clock) as opened:
        yield opened


def test_a_line_is_shelved_and_read_back_with_what_is_owed(client: TestClient) -> None:
    """Number, what was understood, what is still to be read."""
    page = send(client, AT, AT, line="OPT 45:1", place="box B3").text
    assert re.search(r"P-0001</a> output transformer 45:1 → box B3</h3>.*<p>read: ", page, re.DOTALL)


def test_a_line_says_which_need_it_would_serve(client: TestClient, engine: Engine) -> None:
    """A part that a job waits for is named as soon as it is in the hand."""
    with writing(engine) as connection:
        job = open_job(connection, Who(NOON), what="radio")
        add_need(connection, job, "capacitor", "22n 630V", position="coupling")
    assert "would serve" in send(client, AT, AT, line="22n 630V polypropylene").text


def test_the_place_said_in_a_line_holds_for_the_next(client: TestClient) -> None:
    """It stands in the field, where it can be seen and changed."""
    send(client, AT, AT, line="place B3")
    assert fields_of(client.get(AT).text, AT)["place"] == "B3"


def test_several_lines_are_taken_one_by_one(client: TestClient, engine: Engine) -> None:
    """One that is refused leaves the others alone."""
    page = send(client, AT, AT, list="22n 630V polypropylene\nblah blah\n250k log pot").text
    assert (one(engine, "SELECT count(*) FROM part"), "not taken: " in page) == (2, True)


def test_a_further_line_says_more_of_the_part_before(client: TestClient, engine: Engine) -> None:
    """As at the terminal."""
    send(client, AT, AT, line="250k log pot")
    send(client, AT, AT, line="3 of them, untested")
    assert one(engine, "SELECT on_hand FROM part") == 3


def test_the_last_line_is_taken_back(client: TestClient, engine: Engine) -> None:
    """What it shelved goes; the line before it stands."""
    for line in ("22n 630V polypropylene", "250k log pot"):
        send(client, AT, AT, line=line)
    page = send(client, AT, f"{AT}/back").text
    assert "P-0002 taken back" in page
    assert one(engine, "SELECT group_concat(on_hand) FROM part") == "1,0"


def test_what_follows_a_line_taken_back_does_not_speak_of_it(client: TestClient, engine: Engine) -> None:
    """Nor of the part before it."""
    for line in ("22n 630V polypropylene", "250k log pot"):
        send(client, AT, AT, line=line)
    send(client, AT, f"{AT}/back")
    page = send(client, AT, AT, line="3 of them").text
    assert ("there is none" in page, one(engine, "SELECT max(on_hand) FROM part")) == (True, 1)


def test_a_form_sent_twice_shelves_once(client: TestClient, engine: Engine) -> None:
    """A double tap on the big button."""
    form = {**fields_of(client.get(AT).text, AT), "line": "250k log pot"}
    answers = [client.post(AT, data=form) for _ in range(2)]
    assert (answers[1].status_code, one(engine, "SELECT count(*) FROM part")) == (409, 1)


def test_a_line_with_two_readings_is_asked_about_before_anything_is_written(client: TestClient, engine: Engine) -> None:
    """What nobody can tell is not guessed."""
    page = send(client, AT, AT, line="104K 100V").text
    assert ("which is meant?" in page, one(engine, "SELECT count(*) FROM part")) == (True, 0)


def test_the_reading_that_was_chosen_is_shelved(client: TestClient, engine: Engine) -> None:
    """And is not unsure any more."""
    page = client.post(AT, data={**fields_of(client.get(AT).text, AT), "line": "104K 100V"}).text
    page = client.post(AT, data={**fields_of(page, AT), "chosen": "1"}).text
    assert ("unsure: " in page, one(engine, "SELECT count(*) FROM part")) == (False, 1)


def test_a_line_that_was_refused_stands_in_the_field_again(client: TestClient) -> None:
    """To be put right, not typed anew."""
    page = send(client, AT, AT, line="blah blah").text
    assert fields_of(page, AT)["line"] == "blah blah"


def test_too_many_lines_are_sent_to_the_command_line(client: TestClient, engine: Engine) -> None:
    """With what was typed kept."""
    answer = send(client, AT, AT, list="\n".join(["250k log pot"] * (MOST_LINES + 1)))
    assert (answer.status_code, one(engine, "SELECT count(*) FROM part")) == (409, 0)
    assert answer.text.count("250k log pot") > MOST_LINES


def test_the_minutes_between_lines_are_written_down_without_pauses(
    client: TestClient, engine: Engine, clock: Clock
) -> None:
    """Ten minutes at the chassis, an hour at lunch."""
    for gap in (0, 10, 60):
        clock.now += timedelta(minutes=gap)
        send(client, AT, AT, line="250k log pot")
    send(client, AT, f"{AT}/end")
    assert one(engine, "SELECT minutes FROM stripping") == pytest.approx(10)


def test_nobody_named_means_nothing_shelved(engine: Engine) -> None:
    """What was typed is kept."""
    with browser(engine, name="") as stranger:
        answer = send(stranger, AT, AT, line="250k log pot")
    assert (answer.status_code, "250k log pot" in answer.text) == (409, True)


def test_the_list_says_what_nobody_has_read(client: TestClient) -> None:
    """Of each donor, with the way there."""
    send(client, AT, AT, list="250k log pot\n22n 630V polypropylene")
    assert 'href="/donor/D-001/owed">2 parts' in client.get("/strip").text


def test_a_donor_that_is_not_there_is_said_in_words(client: TestClient) -> None:
    """Not a broken page."""
    answer = client.get("/donor/D-999/strip")
    assert (answer.status_code, "no donor D-999" in answer.text) == (400, True)


def test_script_in_a_line_stays_text(client: TestClient) -> None:
    """It is read back as it was said."""
    assert "<script>alert" not in send(client, AT, AT, line="<script>alert(1)</script>").text
