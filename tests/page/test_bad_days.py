"""A disk that fills up, a file that may not be written, damage, while pages are open: told in the page, nothing half kept."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import Engine, text
from starlette.testclient import TestClient

from partsbin.stock.keeping.verify import verify
from partsbin.store.engine import open_store, reading
from tests.hardship.test_full_disk import room
from tests.page.shelf import shelve
from tests.page.visitor import NOON, browser, fields_of, one
from tests.stock.test_pictures import picture

AT = "/part/P-0001"


@pytest.fixture
def engine(tmp_path: Path) -> Iterator[Engine]:
    """A catalogue with a part."""
    made = open_store(tmp_path / "page.sqlite")
    shelve(made, "22n 630V", NOON)
    yield made
    made.dispose()


@pytest.fixture
def client(engine: Engine) -> Iterator[TestClient]:
    """A browser in which somebody has said their name."""
    with browser(engine) as made:
        yield made


@pytest.mark.parametrize("most", [0, 5_000, 33_000])
def test_a_photograph_for_which_there_is_no_room_is_not_kept(most: int, client: TestClient, engine: Engine) -> None:
    """The page says what to look at; with room again the same form is taken."""
    form, sent = fields_of(client.get(AT).text, f"{AT}/photograph"), {"photo": ("x.jpg", picture(), "image/jpeg")}
    with room(most):
        answer = client.post(f"{AT}/photograph", data=form, files=sent)
    assert answer.status_code == 503
    assert "the catalogue cannot be worked with" in answer.text
    assert "is the disk full" in answer.text or "make room on the disk" in answer.text
    assert one(engine, "SELECT count(*) FROM photograph") == 0
    assert client.post(f"{AT}/photograph", data=form, files=sent).status_code == 200
    with reading(engine) as connection:
        assert [*verify(connection)] == []


def test_a_catalogue_that_another_program_changed_is_told_in_the_page(client: TestClient, engine: Engine) -> None:
    """And not as a defect of the program."""
    with engine.begin() as connection:
        connection.execute(text("DROP TABLE photograph"))
    answer = client.get(AT)
    assert answer.status_code == 503
    assert "no such table: photograph" in answer.text
