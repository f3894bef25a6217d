"""import, export: lists in and out."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from partsbin.cli.common import AsJson, Db, engine, now, plain, print_json, tell, user, width
from partsbin.cli.progress import progress

if TYPE_CHECKING:
    from sqlalchemy import Connection, Engine

MOST_OFFERS = 20
"""Rows of each fate that are printed of a price list [-]."""

REFUSED_ROW = (
    "a row is refused: the rest is only looked over, nothing will be written; with --keep-good the good rows are"
)
"""Said as soon as it is known: reading on may take minutes."""

MOST_SHOWN = 1000
"""Rows of each fate that are printed of a long list; those with a problem always are [-]."""


def add_to(app: typer.Typer) -> None:
    """Add the commands."""
    app.command("import", short_help="Take in a list, every row accounted for.")(import_)
    app.command("export", short_help="Give back what is on the shelf, as a list.")(export)


def import_(
    context: typer.Context,
    file: Annotated[Path, typer.Argument(help="A list: CSV, XLSX or JSON, columns of our own names or of anyone's.")],
    kind: Annotated[str, typer.Option("--as", metavar="parts|needs|offers", help="What the rows are.")] = "parts",
    supplier: Annotated[str, typer.Option("--supplier", help="With --as offers: whose price list it is.")] = "",
    job: Annotated[str, typer.Option("--job", metavar="JOB", help="With --as needs: of which job, J-0012.")] = "",
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Say what would happen, write nothing.")] = False,
    keep_good: Annotated[
        bool, typer.Option("--keep-good", help="Take the good rows even if others have problems.")
    ] = False,
    encoding: Annotated[
        str | None, typer.Option("--encoding", help="The file's encoding, where the guess is wrong.")
    ] = None,
    sheet: Annotated[str, typer.Option("--sheet", help="Which sheet of a workbook, where it is not the first.")] = "",
    columns: Annotated[
        list[str] | None,
        typer.Option(
            "--column",
            metavar="HEADING=ROLE",
            help="What a column is, where it was taken for something else; it is remembered. Repeat it.",
        ),
    ] = None,
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Take in a list: all of it or nothing, every row accounted for.

    partsbin import stock.csv --dry-run --column "Bauform=description" --column Preis=ignored
    partsbin import amplifier.csv --as needs --job J-0012
    partsbin import prices.csv --as offers --supplier "Bridge Valves"
    """
    from partsbin.cli.wanted import newest, since, wanted_for
    from partsbin.errors import UsageError
    from partsbin.stock.columns import all_fields
    from partsbin.stock.lists import read_cells
    from partsbin.stock.taking import look_over, take_list

    given, most = _assigned(columns or ()), None if as_json else MOST_SHOWN
    if (kind == "needs") != bool(job):
        raise UsageError("a list of needs is one of a job", hint="partsbin import FILE --as needs --job J-0012")
    if kind == "needs":
        from partsbin.cli.needs import take

        store = engine(context, db)
        take(
            store, job, file, given=given, encoding=encoding, sheet=sheet,
            dry_run=dry_run, keep_good=keep_good, as_json=as_json,
        )  # fmt: skip
    if (kind == "offers") != bool(supplier):
        raise UsageError(
            "a price list is one of a supplier", hint='partsbin import FILE --as offers --supplier "Bridge Valves"'
        )
    if kind not in ("parts", "offers"):
        raise UsageError(f"--as {kind!r}", hint="--as parts, or --as needs, or --as offers")
    cells = read_cells(file, encoding=encoding, sheet=sheet, fields=all_fields())
    if kind == "offers":
        _offers(context, db, cells, supplier, given, dry_run=dry_run, keep_good=keep_good, as_json=as_json)
    warning = "" if keep_good or dry_run else REFUSED_ROW
    with progress(cells.name, cells.about, warning=warning) as tell_rows:
        if dry_run:
            account, written = look_over(_there(context, db), cells, given=given, most=most, tell=tell_rows), None
        else:
            store = engine(context, db, create=True)
            last = newest(store)
            account, written = take_list(
                store, cells, at=now(), by=user(), given=given, keep_good=keep_good, most=most, tell=tell_rows
            )
    fresh = since(store, last) if written else []
    _finish(account, as_json, written, wanted_for(store, fresh) if fresh else [])


def _offers(
    context: typer.Context,
    db: str | None,
    cells: Any,
    supplier: str,
    given: dict[str, str],
    *,
    dry_run: bool,
    keep_good: bool,
    as_json: bool,
) -> None:
    """Take in a price list: it replaces what the same supplier offered before."""
    from partsbin.cli.account import account_text
    from partsbin.jobs.offers import take_offers
    from partsbin.stock.accounts import NOT_OURS, REFUSED, UNREAD, UNSURE

    store = engine(context, db, create=True)
    with progress(cells.name, cells.about) as tell_rows:
        account, taken = take_offers(
            store, cells, supplier, at=now(), given=given, keep_good=keep_good, dry_run=dry_run,
            condition="new", most=None if as_json else MOST_OFFERS, tell=tell_rows,
            wrote=lambda lines, of: tell_rows(lines, name="written", of=of),
        )  # fmt: skip
    if as_json:
        print_json(
            {
                "file": account.file,
                "supplier": supplier,
                "columns": account.columns,
                "totals": account.totals(),
                "taken": None if taken is None else vars(taken),
                "rows": [row.as_json() for row in account.rows if row.status in (REFUSED, UNREAD, NOT_OURS)],
            }
        )
    else:
        said = account_text(account, None if taken is None else (), width(), shown=(UNSURE, REFUSED, UNREAD, NOT_OURS))
        tell(said.rpartition("\n")[0] if taken is not None else said)
    if taken is not None and not as_json:
        tell(f"{taken.fresh:,} new offers, {taken.repriced:,} with today's price, {taken.gone:,} no longer offered")
    raise typer.Exit(1 if account.refused else 0)


def _assigned(texts: Iterable[str]) -> dict[str, str]:
    """Read ``HEADING=ROLE``; nothing behind the sign means that the column is not read."""
    from partsbin.errors import UsageError

    roles = {}
    for text in texts:
        heading, sign, role = text.rpartition("=")
        if not sign or not heading.strip():
            raise UsageError(
                f"--column {text!r}", hint='HEADING=ROLE, such as "Bauform=description" or "Preis=ignored"'
            )
        roles[heading.strip()] = role.strip()
    return roles


def _there(context: typer.Context, db: str | None) -> Engine | None:
    """A dry run creates no catalogue: where there is none, nothing is known."""
    from partsbin.errors import StoreError

    try:
        return engine(context, db)
    except StoreError as fault:
        if fault.message.startswith("no catalogue"):
            return None
        raise


def _finish(account: Any, as_json: bool, written: int | None, serves: list[dict[str, Any]]) -> None:
    from partsbin.cli.account import account_text
    from partsbin.cli.wanted import tell_wanted

    if as_json:
        print_json(
            {
                "file": account.file,
                "columns": account.columns,
                "why": account.why,
                "notes": account.notes,
                "totals": account.totals(),
                "written": written,
                "serves": serves,
                "rows": [row.as_json() for row in account.rows],
            }
        )
    else:
        tell(account_text(account, None if written is None else range(written), width()))
        tell_wanted(serves, named=True)
    raise typer.Exit(1 if account.refused else 0)


def export(
    context: typer.Context,
    file: Annotated[Path, typer.Argument(help="Where to: a .csv, .xlsx or .json that is not there yet.")],
    as_came: Annotated[
        str, typer.Option("--as-came", metavar="LIST", help="Only the rows of that list, in its own columns.")
    ] = "",
    kind: Annotated[
        str, typer.Option("--as", metavar="parts|needs|plan|order|ordered", help="What the rows are.")
    ] = "parts",
    jobs: Annotated[
        list[str] | None, typer.Option("--job", metavar="JOB", help="Of which job, J-0012. Repeat it.")
    ] = None,
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Give back what is on the shelf, or what jobs want, as a list that can be taken in again.

    partsbin export shelf.csv
    partsbin export needs.csv --as needs --job J-0012
    """
    from partsbin.cli.orders import read_price_lists
    from partsbin.stock.export import came, rows, write
    from partsbin.stock.export import columns as own
    from partsbin.store.engine import reading

    opened = engine(context, db)
    if kind == "order":
        read_price_lists(opened, jobs or ())
    with reading(opened) as connection:
        heading: Sequence[str]
        found: Iterable[Mapping[str, str]]
        if kind != "parts" or jobs:
            heading, found = _of_jobs(connection, kind, jobs or [], as_came)
        else:
            heading, found = came(connection, as_came) if as_came else (own(), rows(connection))
        count = write(file, heading, found, as_came=bool(as_came))
    if as_json:
        print_json({"file": str(file), "rows": count})
    else:
        tell(f"{count} rows in {plain(str(file))}")


def _of_jobs(
    connection: Connection, kind: str, codes: Sequence[str], as_came: str
) -> tuple[Sequence[str], Iterable[Mapping[str, str]]]:
    """Needs, a plan or an order as columns and rows."""
    from partsbin.cli.job import job_named
    from partsbin.cli.stock import who
    from partsbin.errors import UsageError
    from partsbin.jobs.as_tables import NEEDS, PLAN, needs_rows, plan_rows
    from partsbin.jobs.delivery import COLUMNS, order_rows, ordered_rows
    from partsbin.jobs.orders import lines
    from partsbin.jobs.plan import plan
    from partsbin.jobs.record import still_open
    from partsbin.jobs.reorder import propose

    if kind not in ("needs", "plan", "order", "ordered") or as_came:
        hint = "of jobs: --as needs, plan or order; what is under way: --as ordered"
        raise UsageError(f"--as {kind!r}{' --as-came' * bool(as_came)}", hint=hint)
    if kind == "ordered":
        return COLUMNS, ordered_rows(lines(connection, coming=True), coming=True)
    if not codes and kind != "order":
        raise UsageError(f"a list of {kind} is one of a job", hint=f"--as {kind} --job J-0012")
    found = [job_named(connection, code) for code in codes]
    if kind == "needs":
        return NEEDS, needs_rows(connection, found)
    wanted = [still_open(job) for job in found]
    if kind == "plan":
        return PLAN, plan_rows(plan(connection, wanted))
    return COLUMNS, order_rows(propose(connection, wanted, who()))
