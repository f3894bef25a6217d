"""The pages of donors: list, one of them, notes, what is worth pulling."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import Engine
from starlette.testclient import TestClient

from partsbin.jobs.record import open_job
from partsbin.reports.donor import donor_portrait
from partsbin.stock.acts import Who, scrap
from partsbin.stock.donor_list import yield_of
from partsbin.stock.donors import add_donor, donor_of
from partsbin.stock.ledger import Line, act
from partsbin.stock.sitting import strip_lines
from partsbin.store.engine import open_store, writing
from tests.page.visitor import NOON, browser, fields_of, one, send

SCRIPT = '"><script>alert(1)</script>'


@pytest.fixture
def engine(tmp_path: Path) -> Iterator[Engine]:
    """A donor of which one piece was fitted and one thrown away."""
    opened = open_store(tmp_path / "page.sqlite")
    who = Who(NOON, "test")
    with writing(opened) as connection:
        add_donor(connection, name="table radio", lineup="EL84 EZ80")
        lines = ["5x 47n 400V polyester ; read capacitance=46nF", "250k log pot"]
        strip_lines(connection, donor_of(connection, "D-001"), lines, who)
        job = open_job(connection, who, reference="R 12")
        act(connection, "fitted", [Line(1, "fitted", -1, job_id=job.id)], **who.said())
        scrap(connection, 1, 1, who)
    yield opened
    opened.dispose()


@pytest.fixture
def client(engine: Engine) -> Iterator[TestClient]:
    """A browser in which somebody has said their name."""
    with browser(engine) as opened:
        yield opened


def test_the_sums_are_those_of_the_report(engine: Engine) -> None:
    """One figure, whoever reckons it."""
    with engine.connect() as connection:
        donor = donor_of(connection, "D-001")
        ours, theirs = yield_of(connection, donor), donor_portrait(connection, donor, NOON)
    assert ours == {name: theirs[name] for name in ours}


def test_a_donor_says_what_it_gave_and_where_that_went(client: TestClient) -> None:
    """Sums, parts, sets."""
    page = client.get("/donor/D-001").text
    assert "2 parts: 4 pieces left, 3 of them tested; 1 used, 1 bad" in page
    assert re.search(r"P-0001</a> 47 nF.*: 1 in the set of <a href=\"/job/J-0001\">J-0001</a> \(R 12\)", page)


def test_a_donor_is_noted_with_the_next_number(client: TestClient, engine: Engine) -> None:
    """And its page is shown."""
    page = send(client, "/donors", "/donors", name="chassis", cost="4.50").text
    assert "<h1>D-002 chassis</h1>" in page
    assert one(engine, "SELECT cost FROM donor WHERE code = 'D-002'") == 4500


def test_a_number_that_is_taken_is_refused_and_what_was_typed_kept(client: TestClient) -> None:
    """Nothing is typed twice."""
    answer = send(client, "/donors", "/donors", name="chassis", number="1")
    assert (answer.status_code, fields_of(answer.text, "/donors")["name"]) == (409, "chassis")


def test_more_is_said_of_a_donor(client: TestClient) -> None:
    """What was known stands in the fields."""
    page = send(client, "/donor/D-001", "/donor/D-001/know", note="rust at one end").text
    assert "<p>rust at one end</p>" in page
    assert "<p>EL84 EZ80</p>" in page


def test_the_second_of_two_who_note_something_is_told(client: TestClient, engine: Engine) -> None:
    """Nothing is written over silently."""
    form = fields_of(client.get("/donor/D-001").text, "/donor/D-001/know")
    client.post("/donor/D-001/know", data={**form, "note": "first"})
    answer = client.post("/donor/D-001/know", data={**form, "note": "second"})
    assert (answer.status_code, one(engine, "SELECT note FROM donor")) == (409, "first")


def test_what_is_worth_pulling_follows_from_the_valves(client: TestClient) -> None:
    """As `donor worth` says it."""
    page = client.get("/donor/D-001/worth").text
    assert "output transformer" in page
    assert "waxed and moulded paper" in page


def test_a_long_list_comes_in_pages(client: TestClient, engine: Engine) -> None:
    """Sixty donors on two, each under 100 kB."""
    with writing(engine) as connection:
        for number in range(60):
            add_donor(connection, name=f"chassis {number}")
    first, second = client.get("/donors"), client.get("/donors?page=2")
    assert 'href="?page=2"' in first.text
    assert ("D-001 table radio" in second.text, len(first.content) < 100_000) == (True, True)


@pytest.mark.parametrize("field", ["name", "lineup", "note", "cost", "came", "number"])
def test_script_in_a_field_stays_text(client: TestClient, field: str) -> None:
    """On the page that is shown after it, fault or not."""
    assert "<script>alert" not in send(client, "/donors", "/donors", **{field: SCRIPT}).text
