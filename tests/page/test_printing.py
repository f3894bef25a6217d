"""Labels and the customer's sheet from the page."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import Engine

from partsbin.jobs.fitting import fit
from partsbin.jobs.record import open_job
from partsbin.jobs.spots import Said
from partsbin.store.engine import open_store, writing
from tests.page.visit import OTHER, SCRIPT, Visit, said, shelve, visiting


@pytest.fixture
def engine(tmp_path: Path) -> Iterator[Engine]:
    """A capacitor fitted in a job of a hostile reference."""
    opened = open_store(tmp_path / "page.sqlite")
    shelve(opened, "22n 630V polypropylene", count=3, place="drawer E1")
    with writing(opened) as connection:
        open_job(connection, OTHER, what="intercom", reference=SCRIPT)
        spot = Said("J-0001", family="capacitor", text="0.02uF 350V", position="coupling", designator="C31")
        fit(connection, spot.spot(connection, 1), 1, OTHER)
    yield opened
    opened.dispose()


@pytest.fixture
def visit(engine: Engine) -> Iterator[Visit]:
    """Somebody at the bench."""
    with visiting(engine) as found:
        yield found


def test_the_sheet_is_a_page_without_styles_of_its_own(visit: Visit) -> None:
    """The policy of the pages blocks inline styles; what was fitted stands there, and the tests to be made."""
    page = visit.get("/job/J-0001/sheet")
    assert ("C31" in page, "still to be tested" in page, "<style" in page) == (True, True, False)


def test_the_sheet_is_a_pdf(visit: Visit) -> None:
    """For those who print or send it."""
    answer = visit.client.get("/job/J-0001/sheet.pdf")
    assert (answer.headers["content-type"], answer.content[:5]) == ("application/pdf", b"%PDF-")


def test_script_on_a_sheet_stays_text(visit: Visit) -> None:
    """The customer's own word for the set is shown as words."""
    page = visit.get("/job/J-0001/sheet")
    assert ("<script>alert" in page, "&lt;script&gt;alert" in page) == (False, True)


def test_a_label_is_asked_for_and_made(visit: Visit) -> None:
    """The page says what it will say, the form makes the PDF."""
    assert "22 nF 630 V" in visit.get("/label?part=P-0001")
    assert visit.client.get("/label.pdf?part=P-0001&skip=2&copies=3").content[:5] == b"%PDF-"


def test_a_place_has_a_label_and_a_roll_is_paper_too(visit: Visit) -> None:
    """One label a page."""
    assert visit.client.get("/label.pdf", params={"place": "drawer E1", "roll": "57x32"}).content[:5] == b"%PDF-"


@pytest.mark.parametrize(
    ("asked", "fault"),
    [
        ("", "nothing is named"),
        ("part=P-0099", "no part P-0099"),
        ("part=P-0001&skip=999", "999 labels used up"),
        ("part=P-0001&sheet=3x4", "no grid known"),
        ("part=P-0001&roll=wide", "expected two lengths"),
        ("part=P-0001&copies=101", "expected at most 100"),
    ],
)
def test_paper_that_cannot_be_is_told(visit: Visit, asked: str, fault: str) -> None:
    """In words, with what was expected."""
    answer = visit.client.get(f"/label.pdf?{asked}")
    assert (answer.status_code, fault in said(answer.text)) == (400, True)


@pytest.mark.parametrize("name", ["part", "place", "sheet", "roll", "skip", "copies"])
def test_script_in_a_field_stays_text(visit: Visit, name: str) -> None:
    """Asked for or not understood."""
    fields = {"part": "P-0001", name: SCRIPT}
    assert not any("<script>alert" in visit.client.get(at, params=fields).text for at in ("/label", "/label.pdf"))
