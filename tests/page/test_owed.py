"""The readings that are owed: one after another, with the meter in the other hand."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import Engine
from starlette.testclient import TestClient

from partsbin.families import load
from partsbin.stock.acts import Who, scrap
from partsbin.stock.donors import add_donor, donor_of
from partsbin.stock.sitting import strip_lines
from partsbin.store.engine import open_store, writing
from tests.page.visitor import NOON, browser, fields_of, one, send

AT = "/donor/D-001/owed"


@pytest.fixture
def engine(tmp_path: Path) -> Iterator[Engine]:
    """A donor that gave a capacitor and three transformers."""
    opened = open_store(tmp_path / "page.sqlite")
    with writing(opened) as connection:
        add_donor(connection, name="table radio")
        lines = ["22n 630V polypropylene ; place B3", "3x OPT 45:1"]
        strip_lines(connection, donor_of(connection, "D-001"), lines, Who(NOON, "test"))
    yield opened
    opened.dispose()


@pytest.fixture
def client(engine: Engine) -> Iterator[TestClient]:
    """A browser in which somebody has said their name."""
    with browser(engine) as opened:
        yield opened


def test_the_larger_count_comes_first(client: TestClient) -> None:
    """As on the command line."""
    assert fields_of(client.get(AT).text, AT)["part"] == "P-0002"


def test_a_reading_of_one_piece_gives_it_a_number_and_asks_the_next_of_it(client: TestClient, engine: Engine) -> None:
    """The piece is still in the hand."""
    form = fields_of(client.get(AT).text, AT)
    page = client.post(AT, data={**form, "value": "380", "stands": "one"}).text
    assert "P-0003, split off P-0002" in page
    assert fields_of(page, AT)["part"] == "P-0003"
    assert one(engine, "SELECT on_hand FROM part WHERE id = 2") == 2


def test_a_reading_may_stand_for_all(client: TestClient, engine: Engine) -> None:
    """Nothing is split off."""
    form = fields_of(client.get(AT).text, AT)
    client.post(AT, data={**form, "value": "380", "stands": "every"})
    assert one(engine, "SELECT count(*) FROM part") == 2


def test_a_part_that_owes_nothing_any_more_gives_way_to_the_next(client: TestClient) -> None:
    """Its place in the list is the next one's."""
    form = fields_of(client.get(f"{AT}?part=P-0001").text, AT)
    page = client.post(AT, data={**form, "value": "0.1uA@350V"}).text
    assert ("P-0001: read" in page or "P-0001; read" in page, fields_of(page, AT)["part"]) == (True, "P-0002")


def test_not_now_leads_to_the_next_part(client: TestClient) -> None:
    """By its place in the list."""
    assert fields_of(client.get(f"{AT}?at=1").text, AT)["part"] == "P-0001"


def test_a_value_that_cannot_be_read_is_refused_and_kept(client: TestClient, engine: Engine) -> None:
    """What was typed stands in the field."""
    answer = send(client, AT, AT, value="volts")
    assert (answer.status_code, one(engine, "SELECT count(*) FROM reading")) == (409, 0)
    assert fields_of(answer.text, AT)["value"] == "volts"


def test_what_somebody_else_did_meanwhile_is_told(client: TestClient, engine: Engine) -> None:
    """Nothing is written over."""
    form = fields_of(client.get(AT).text, AT)
    with writing(engine) as connection:
        scrap(connection, 2, 1, Who(NOON, "other"))
    answer = client.post(AT, data={**form, "value": "0.1uA@350V"})
    assert (answer.status_code, one(engine, "SELECT count(*) FROM reading")) == (409, 0)


@pytest.mark.parametrize("at", ["99999999999999", "-1", "x", "6"])
def test_a_place_beyond_the_list_shows_the_list(client: TestClient, at: str) -> None:
    """An address typed by hand breaks nothing."""
    assert client.get(AT, params={"at": at}).status_code == 200


def test_nothing_owed_is_said(client: TestClient, engine: Engine) -> None:
    """Where the parts are gone."""
    with writing(engine) as connection:
        scrap(connection, 1, 1, Who(NOON))
        scrap(connection, 2, 3, Who(NOON))
    assert "nothing is owed" in client.get(AT).text


@pytest.mark.parametrize("reading", ["secondary_resistance", "insulation"])
def test_the_danger_of_a_reading_stands_by_its_field(client: TestClient, reading: str) -> None:
    """As its test card has it; where it has none, none is made up."""
    danger = next(each.danger for each in load("transformer").readings if each.name == reading)
    page = client.get(f"{AT}?part=P-0002&reading={reading}").text
    form = page.partition(f'name="reading" value="{reading}"')[2].partition("</form>")[0]
    assert re.findall(r'class="caution">(.*?)</p>', form) == ([f"caution: {danger}"] if danger else [])
