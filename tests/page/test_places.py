"""Places: the list, what lies in one, taking stock, bringing parts, and the label that is scanned."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import Engine
from starlette.testclient import TestClient

from partsbin.page.addresses import place_address
from partsbin.stock.acts import Who, scrap
from partsbin.store.engine import open_store, writing
from tests.page.shelf import shelve
from tests.page.visitor import NOON, browser, fields_of, one, send

AT = "/place/drawer%20E1"


@pytest.fixture
def engine(tmp_path: Path) -> Iterator[Engine]:
    """Two parts in one drawer, one in another."""
    opened = open_store(tmp_path / "page.sqlite")
    for text, place in (("22n 630V", "drawer E1"), ("47n 400V", "drawer E1"), ("100n 400V", "shelf 2/left")):
        shelve(opened, text, NOON, place=place)
    yield opened
    opened.dispose()


@pytest.fixture
def client(engine: Engine) -> Iterator[TestClient]:
    """A browser in which somebody has said their name."""
    with browser(engine) as opened:
        yield opened


def test_the_list_says_how_much_lies_in_each(client: TestClient) -> None:
    """Parts and pieces."""
    assert f'<a href="{AT}">drawer E1</a></th><td>2</td><td>6</td>' in client.get("/places").text


def test_a_place_shows_what_lies_there(client: TestClient) -> None:
    """And nothing else."""
    page = client.get(AT).text
    assert ("P-0001" in page, "P-0002" in page, "P-0003" in page) == (True, True, False)


@pytest.mark.parametrize("name", ["shelf 2/left", "../x", "a//b", "ünder ?#&%", 'a "b"', "."])
def test_every_name_has_a_page(client: TestClient, engine: Engine, name: str) -> None:
    """Whatever signs it has."""
    shelve(engine, "33n 400V", NOON, place=name)
    assert "1 part, 3 pieces" in client.get(place_address(name)).text or name == "shelf 2/left"


def test_what_is_counted_is_one_act(client: TestClient, engine: Engine) -> None:
    """What was left empty stands."""
    before = one(engine, "SELECT count(*) FROM act")
    page = send(client, AT, "/place/count", **{"count.P-0001": "2", "count.P-0002": "about 3"}).text
    assert "2 counted: P-0001 -1" in page
    assert one(engine, "SELECT count(*) FROM act") == before + 1


def test_a_count_from_before_another_act_is_refused_and_kept(client: TestClient, engine: Engine) -> None:
    """None of it is written."""
    form = {**fields_of(client.get(AT).text, "/place/count"), "count.P-0001": "7", "count.P-0002": "1"}
    with writing(engine) as connection:
        scrap(connection, 2, 1, Who(NOON, "other"))
    answer = client.post("/place/count", data=form)
    assert (answer.status_code, one(engine, "SELECT on_hand FROM part WHERE id = 1")) == (409, 3)
    assert fields_of(answer.text, "/place/count")["count.P-0001"] == "7"


def test_a_part_of_another_place_is_not_counted_here(client: TestClient, engine: Engine) -> None:
    """Not even by a form that was tampered with."""
    form = {**fields_of(client.get(AT).text, "/place/count"), "count.P-0003": "7", "seen": "3:3"}
    assert (client.post("/place/count", data=form).status_code, one(engine, "SELECT sum(on_hand) FROM part")) == (
        409,
        9,
    )


def test_a_part_is_brought_by_its_label(client: TestClient, engine: Engine) -> None:
    """The place first, then one label after another."""
    assert "P-0003 lies in drawer E1 now" in send(client, AT, "/place/bring", code="P-0003").text


def test_a_new_drawer_is_labelled_before_it_is_filled(client: TestClient) -> None:
    """Its page is there, and takes the first part."""
    assert "nothing lies there" in client.get("/scan?code=PLACE:drawer Z9").text
    assert "lies in drawer Z9 now" in send(client, "/place/drawer Z9", "/place/bring", code="P-0001").text


@pytest.mark.parametrize(
    ("code", "address"),
    [
        ("P-0002", "/part/P-0002"),
        ("http://192.0.2.7:8071/scan?code=P-0002", "/part/P-0002"),
        ("2", "/part/P-0002"),
        ("p2", "/part/P-0002"),
        ("PLACE:drawer E1", AT),
        ("drawer E1", AT),
        ("d7", "/donor/D-007"),
        ("J-12", "/job/J-0012"),
    ],
)
def test_a_label_leads_to_its_page(client: TestClient, code: str, address: str) -> None:
    """Scanned, or typed by hand."""
    assert client.get("/scan", params={"code": code}, follow_redirects=False).headers["location"] == address


@pytest.mark.parametrize(
    "code", ["", "http://elsewhere.example/", "//elsewhere.example", "P-9999", "<script>alert(1)", "²"]
)
def test_what_is_on_no_label_of_ours_leads_nowhere(client: TestClient, code: str) -> None:
    """Least of all to another site."""
    answer = client.get("/scan", params={"code": code}, follow_redirects=False)
    assert (answer.status_code, "location" in answer.headers, "<script>alert" in answer.text) == (404, False, False)


def test_a_full_place_comes_in_pages_that_can_be_counted(client: TestClient, engine: Engine) -> None:
    """A form has no more fields than are taken."""
    for _ in range(45):
        shelve(engine, "33n 400V", NOON)
    answer = client.get(AT)
    form = fields_of(answer.text, "/place/count")
    counts = {name: "3" for name in form if name.startswith("count.")}
    assert (len(answer.content) < 100_000, len(counts)) == (True, 40)
    assert "40 counted: as the ledger says" in client.post("/place/count", data={**form, **counts}).text
