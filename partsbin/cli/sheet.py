"""job sheet: what the customer gets."""

from __future__ import annotations

from typing import Annotated

import typer

from partsbin.cli.common import AsJson, Db, engine, now, plain, print_json, tell, write_new
from partsbin.cli.job import Code, job_named, jobs


def add_to(app: typer.Typer) -> None:
    """Add the command to those of ``job``."""
    jobs.command("sheet")(sheet)


def sheet(
    context: typer.Context,
    code: Code,
    html: Annotated[str, typer.Option("--html", metavar="FILE", help="As a page that needs nothing beside it.")] = "",
    pdf: Annotated[str, typer.Option("--pdf", metavar="FILE", help="As a PDF of A4 pages.")] = "",
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """The customer's sheet: what was fitted, from where, how it was tested, and the tests that are still to be made.

    partsbin job sheet J-0012 --pdf sheet.pdf
    """
    from partsbin.reports.sheet import sheet_lines, sheet_of
    from partsbin.store.engine import reading

    with reading(engine(context, db)) as connection:
        found = sheet_of(connection, job_named(connection, code))
    if html or pdf:
        from partsbin.reports.sheet_pages import sheet_html, sheet_pdf

        if html:
            write_new(html, sheet_html(found).encode())
        if pdf:
            write_new(pdf, sheet_pdf(found, now()))
    if as_json:
        print_json(found.as_json())
    elif not (html or pdf):
        tell("\n".join(plain(sheet_lines(found))))
