"""report: what lies on the shelf, what never moves, what nobody knows, thin margins, usage, donors."""

from __future__ import annotations

from typing import Annotated

import typer

from partsbin.cli.common import AsJson, Db, engine, now, plain, print_json, say, write_new

NAMES = "stock, slow, unknown, fitted, thin, usage, donors"


def add_to(app: typer.Typer) -> None:
    """Add the command."""
    app.command("report", short_help="Stock, slow parts, unknowns, thin margins, usage, donors.")(report)


def report(
    context: typer.Context,
    name: Annotated[str, typer.Argument(help=f"Which: {NAMES}.")],
    csv: Annotated[str, typer.Option("--csv", metavar="FILE", help="As CSV.")] = "",
    xlsx: Annotated[str, typer.Option("--xlsx", metavar="FILE", help="As a workbook.")] = "",
    html: Annotated[
        str, typer.Option("--html", metavar="FILE", help="As a page with its plot, that needs nothing beside it.")
    ] = "",
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """A report over the catalogue and its ledger.

    partsbin report donors --html donors.html
    """
    from partsbin.cli.screen import show
    from partsbin.notation.choices import chosen
    from partsbin.reports.frames import REPORTS
    from partsbin.reports.frames import report as made
    from partsbin.reports.writing import lines, plain_rows, report_page, write
    from partsbin.store.engine import reading

    which = chosen(name, tuple(REPORTS), "report")
    with reading(engine(context, db)) as connection:
        frame = made(connection, which, now())
    for file in filter(None, (csv, xlsx)):
        write(frame, file)
        say(f"    {file}")
    if html:
        write_new(html, report_page(which, frame, f"{now():%Y-%m-%d}").encode())
    rows = plain_rows(frame)
    if as_json:
        print_json({"report": which, "rows": rows})
    elif not (csv or xlsx or html):
        show("\n".join(plain(lines(rows, [str(column) for column in frame.columns]))))
        say(f"    {len(rows)} row{'s' * (len(rows) != 1)}")
