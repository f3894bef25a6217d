"""The customer's sheet: all that was done, nothing claimed, the tests still to be made with room to write in."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pypdfium2 as pdfium
import pytest
from sqlalchemy import Engine

from partsbin.jobs.fitting import Spot, fit
from partsbin.jobs.lines import write_line
from partsbin.jobs.record import job_of, open_job
from partsbin.jobs.review import reviewed
from partsbin.needs import Request
from partsbin.reports.sheet import TESTS, Sheet, sheet_lines, sheet_of
from partsbin.reports.sheet_pages import sheet_html, sheet_pdf
from partsbin.sets import read_facts
from partsbin.stock.acts import Who, buy
from partsbin.stock.catalogue import shelve
from partsbin.stock.draft import draft_from_text
from partsbin.stock.ledger import undo
from partsbin.store.engine import reading, writing
from tests.command import partsbin


@pytest.fixture
def sheet(store: Engine, noon: datetime) -> Sheet:
    """A job in which two capacitors were fitted, one of them taken back."""
    who = Who(noon, "ann")
    facts = ["rail=200"]
    with writing(store) as connection:
        draft = draft_from_text("22n 630V polypropylene", family="capacitor", count=5, condition="new")[0]
        shelve(connection, [draft], at=noon, by="ann")
        buy(connection, 1, 1, who, price=450)
        job = open_job(connection, who, reference="box 4", what="<b>intercom</b>", facts=facts)
        spot = Spot(job, Request("capacitor", "0.02uF 350V", "coupling", {}, read_facts(facts)), designator="C31")
        fit(connection, spot, 1, who, pieces=2, change="leads sleeved")
        fit(connection, spot, 1, who)
        undo(connection, at=noon, by="ann")
        for kind in ("reading", "test", "kept", "note"):
            write_line(connection, job, kind, f"a {kind}", who, said="said of it", instrument="meter")
    with reading(store) as connection:
        return sheet_of(connection, job_of(connection, 1))


def test_it_lists_what_sits_in_the_set(sheet: Sheet) -> None:
    """Not what was taken back; with its cost."""
    assert [(part.where, part.pieces, part.origin, part.change) for part in sheet.fitted] == [
        ("C31 coupling", 2, "new", "leads sleeved")
    ]
    assert sheet.cost == 900


def test_the_cautions_of_its_positions_stand_once(sheet: Sheet) -> None:
    """Each of them in full."""
    assert len(sheet.cautions) == len(set(sheet.cautions)) > 1


def words_of(sheet: Sheet, form: str, made: datetime) -> str:
    """Return what a form of the sheet says, each blank one."""
    if form == "text":
        said = "\n".join(sheet_lines(sheet))
    elif form == "html":
        said = sheet_html(sheet)
    else:
        pages = pdfium.PdfDocument(sheet_pdf(sheet, made))
        said = " ".join(page.get_textpage().get_text_bounded() for page in pages)
    return " ".join(said.split())


@pytest.mark.parametrize("form", ["text", "html", "pdf"])
def test_every_form_says_the_same(sheet: Sheet, form: str, noon: datetime) -> None:
    """What went in, what was written down, each test still to be made, and that nothing is claimed."""
    said = words_of(sheet, form, noon)
    for wanted in (
        "22 nF 630 V film-polypropylene",
        "leads sleeved",
        "a reading",
        "a test",
        "a kept",
        "a note",
        "0.90",
    ):
        assert wanted in said
    assert all(name in said for name, _ in TESTS)
    assert "does not say that the set is safe" in said


def test_somebodys_words_are_no_markup(sheet: Sheet) -> None:
    """On the page."""
    assert "<b>intercom" not in sheet_html(sheet)


def test_a_long_job_goes_on_to_further_pages(sheet: Sheet, noon: datetime) -> None:
    """Nothing falls off the paper."""
    from dataclasses import replace

    long = replace(sheet, notes=tuple(f"remark {number} " + "word " * 40 for number in range(60)))
    pages = pdfium.PdfDocument(sheet_pdf(long, noon))
    said = " ".join(page.get_textpage().get_text_bounded() for page in pages)
    assert len(pages) > 2
    assert "remark 59" in said


def test_the_command_writes_each_form(tmp_path: Path) -> None:
    """And never over a file that is there."""
    db = tmp_path / "c.sqlite"
    assert partsbin("job", "open", "intercom", db=db).code == 0
    ran = partsbin("job", "sheet", "J-1", "--html", str(tmp_path / "s.html"), "--pdf", str(tmp_path / "s.pdf"), db=db)
    assert ran.code == 0
    assert (tmp_path / "s.pdf").read_bytes().startswith(b"%PDF")
    assert partsbin("job", "sheet", "J-1", "--html", str(tmp_path / "s.html"), db=db).code == 2
    assert "STILL TO BE TESTED" in partsbin("job", "sheet", "J-1", db=db).out


@pytest.mark.parametrize("form", ["text", "html", "pdf"])
def test_a_margin_that_was_looked_at_again_is_not_under_tested(store: Engine, noon: datetime, form: str) -> None:
    """It has a heading of its own: nothing was tested."""
    who = Who(noon, "ann")
    with writing(store) as connection:
        draft = draft_from_text("22n 400V polypropylene", family="capacitor", count=1, condition="new")[0]
        shelve(connection, [draft], at=noon, by="ann")
        job = open_job(connection, who, facts=["rail=240"])
        asked = Request("capacitor", "0.02uF 350V", "coupling", {}, read_facts(["rail=240"]))
        done = fit(connection, Spot(job, asked, designator="C31"), 1, who)
        reviewed(connection, done.act_id, who, "cool after an hour")
    with reading(store) as connection:
        found = sheet_of(connection, job)
    said = words_of(found, form, noon)
    again, tested = said.lower().find("margins looked at again"), said.lower().find(" tested ")
    assert (found.tests, len(found.reviewed)) == ((), 1)
    assert -1 < again < said.find("margin of P-0001 at C31 reviewed")
    assert tested == -1 or "margin of" not in said[tested:again]
