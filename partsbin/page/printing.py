"""What is printed from the page: labels of parts and places, the customer's sheet of a job."""

from __future__ import annotations

from markupsafe import Markup
from sqlalchemy import Connection
from starlette.requests import Request as Asked
from starlette.responses import Response
from starlette.routing import Route

from partsbin.errors import UsageError
from partsbin.jobs.record import job_named
from partsbin.labels import pick
from partsbin.labels.layout import GRIDS, Layout, roll, two_lengths
from partsbin.labels.sheets import Label, arrange, draw
from partsbin.page.desk import Form, asked, desk_of
from partsbin.page.fields import count_of
from partsbin.reports.sheet import Sheet, sheet_of
from partsbin.reports.sheet_pages import sheet_body, sheet_pdf, title_of
from partsbin.store.engine import reading

USUAL = "70x37"
"""The sheet that is taken where none is named."""

ROLL_DPI = 203
"""Dots per inch of most printers for rolls [1/in]."""

MOST_COPIES, MOST_PARTS = 100, 200
"""Labels of each, and parts, that one form asks for, at most [-]."""


def label(request: Asked) -> Response:
    """Show what is to be labelled, and on which paper."""
    desk, form = desk_of(request), asked(request)
    with reading(desk.engine) as connection:
        labels, notes = _picked(connection, form)
    return desk.show(request, "label.html", form=form, labels=labels, notes=notes, grids=list(GRIDS), usual=USUAL)


def label_pdf(request: Asked) -> Response:
    """Return labels as a PDF in exact millimetres."""
    desk, form = desk_of(request), asked(request)
    layout = _layout(form)
    copies = count_of(form.get("copies", ""))
    if copies > MOST_COPIES:
        raise UsageError(f"{copies} labels of each: expected at most {MOST_COPIES}")
    with reading(desk.engine) as connection:
        labels, _ = _picked(connection, form)
    dpi = ROLL_DPI if layout.roll else None
    several = [one for one in labels for _ in range(copies)]
    placed = arrange(several, layout, skip=count_of(form.get("skip", ""), least=0), dpi=dpi)
    return _pdf(draw(placed, layout, made=desk.clock()), "labels")


def _picked(connection: Connection, form: Form) -> tuple[list[Label], list[str]]:
    numbers, place = form.get("part", "").split(), form.get("place", "").strip()
    if not (numbers or place):
        raise UsageError("nothing is named to label: expected parts by number, or a place")
    if len(numbers) > MOST_PARTS:
        raise UsageError(f"{len(numbers)} parts: expected at most {MOST_PARTS}")
    labels = pick.by_number(connection, numbers)
    of_places, notes = pick.of_places(connection, [place] if place else [])
    return labels + of_places, notes


def _layout(form: Form) -> Layout:
    if said := form.get("roll", "").strip():
        return roll(*two_lengths("roll", said))
    sheet = form.get("sheet", "") or USUAL
    if sheet not in GRIDS:
        raise UsageError(f"no grid known for labels of {sheet[:40]!r}: expected one of {', '.join(GRIDS)}")
    return GRIDS[sheet]


def sheet(request: Asked) -> Response:
    """Show the customer's sheet, ready to print."""
    found = _sheet(request)
    body = Markup("\n".join(sheet_body(found)))
    return desk_of(request).show(request, "sheet.html", title=title_of(found), code=found.code, body=body)


def sheet_on_paper(request: Asked) -> Response:
    """Return the customer's sheet as a PDF of A4 pages."""
    found = _sheet(request)
    return _pdf(sheet_pdf(found, desk_of(request).clock()), f"sheet-{found.code}")


def _sheet(request: Asked) -> Sheet:
    with reading(desk_of(request).engine) as connection:
        return sheet_of(connection, job_named(connection, request.path_params["code"]))


def _pdf(content: bytes, name: str) -> Response:
    shown = {"Content-Disposition": f'inline; filename="{name}.pdf"'}
    return Response(content, media_type="application/pdf", headers=shown)


ROUTES = [
    Route("/label", label),
    Route("/label.pdf", label_pdf),
    Route("/job/{code}/sheet", sheet),
    Route("/job/{code}/sheet.pdf", sheet_on_paper),
]
