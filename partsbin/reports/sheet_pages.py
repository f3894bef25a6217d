"""The customer's sheet on paper and as a page."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING, Any

from partsbin.notation.money import say_money
from partsbin.paper import FAMILY, document, in_order, printable
from partsbin.reports.pages import listing, page, section, table
from partsbin.reports.sheet import NO_CLAIM, TESTS, Sheet, said_fitted, sections

if TYPE_CHECKING:
    from fpdf import FPDF

MARGIN, WIDTH, BOTTOM = 18.0, 174.0, 279.0
"""Where lines begin, how long they are and where a page ends, on A4 [mm]."""


def title_of(sheet: Sheet) -> str:
    """Return the heading of a sheet."""
    reference = f" ({sheet.reference})" if sheet.reference else ""
    return f"{sheet.code}: {sheet.what or 'repair'}{reference}"


def sheet_html(sheet: Sheet) -> str:
    """Return the sheet as one page that needs nothing beside it."""
    return page(title_of(sheet), sheet_body(sheet))


def sheet_body(sheet: Sheet) -> list[str]:
    """Return what stands below the heading of the sheet, as HTML."""
    fitted = [
        (
            part.where,
            part.what,
            part.origin,
            "; ".join(part.tested) or "—",
            part.change or "—",
            part.pieces,
            "" if part.price is None else say_money(part.price * part.pieces),
        )
        for part in sheet.fitted
    ]
    head = ("where", "part", "from", "tested", "changed for it", "pieces", "cost")
    body = [f"<p>opened {sheet.opened}</p>", section("fitted", [table(head, fitted, numbers=(5, 6))])]
    if sheet.cost is not None:
        body.append(f"<p>parts together {say_money(sheet.cost)}</p>")
    body += [section(heading, [listing(lines)]) for heading, lines in sections(sheet)]
    blanks = [(name, how, None, None, None, None) for name, how in TESTS]
    tests = table(("test", "how", "instrument", "reading", "date", "by"), blanks)
    body.append(section("still to be tested", [f"<p>{NO_CLAIM}</p>", tests]))
    return body


def sheet_pdf(sheet: Sheet, made: datetime) -> bytes:
    """Return the sheet as a PDF of A4 pages; `made` is when, with its zone."""
    paper = document(210, 297, title=title_of(sheet), made=made)
    paper.add_page()
    paper.set_xy(MARGIN, MARGIN)
    _write(paper, title_of(sheet), size=15, bold=True)
    _write(paper, f"opened {sheet.opened}")
    _heading(paper, "fitted")
    for part in sheet.fitted:
        first, *rest = said_fitted(part)
        _write(paper, first)
        for line in rest:
            _write(paper, line, indent=6, size=9)
    if sheet.cost is not None:
        _write(paper, f"parts together {say_money(sheet.cost)}")
    for heading, lines in sections(sheet):
        _heading(paper, heading)
        for line in lines:
            _write(paper, line)
    _heading(paper, "still to be tested")
    _write(paper, NO_CLAIM)
    for name, how in TESTS:
        _blanks(paper, name, how)
    return bytes(paper.output())


def _room(paper: FPDF, height: float) -> None:
    """Begin a new page where this one has not that much room left [mm]."""
    if paper.get_y() + height > BOTTOM:
        paper.add_page()
        paper.set_xy(MARGIN, MARGIN)


def _heading(paper: FPDF, text: str) -> None:
    _room(paper, 20)
    paper.set_y(paper.get_y() + 4)
    _write(paper, text, size=12, bold=True)


def _write(paper: FPDF, text: str, *, size: float = 10, bold: bool = False, indent: float = 0.0) -> None:
    paper.set_font(FAMILY, "B" if bold else "", size)
    height = size * 0.5
    lines: Any = paper.multi_cell(WIDTH - indent, height, printable(text)[0], dry_run=True, output="LINES", align="L")
    for line in lines:
        _room(paper, height)
        paper.set_x(MARGIN + indent)
        paper.cell(WIDTH - indent, height, in_order(line), new_x="LMARGIN", new_y="NEXT")


def _blanks(paper: FPDF, name: str, how: str) -> None:
    """A test with room to write in: instrument, reading, date, by."""
    _room(paper, 24)
    _write(paper, f"{name}: {how}")
    top, wide = paper.get_y() + 1, WIDTH / 4
    paper.set_font(FAMILY, "", 8)
    for at, label in enumerate(("instrument", "reading", "date", "by")):
        paper.rect(MARGIN + at * wide, top, wide, 10)
        paper.set_xy(MARGIN + at * wide, top)
        paper.cell(wide, 4, label)
    paper.set_xy(MARGIN, top + 12)
