"""import, export: lists in and out."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from partsbin.cli.common import AsJson, Db, engine, now, plain, print_json, tell, user, width

if TYPE_CHECKING:
    from partsbin.stock.lists import Cells


def add_to(app: typer.Typer) -> None:
    """Add the commands."""
    app.command("import", short_help="Take in a list, every row accounted for.")(import_)
    app.command("export", short_help="Give back what is on the shelf, as a list.")(export)


def import_(
    context: typer.Context,
    file: Annotated[Path, typer.Argument(help="A list: CSV, XLSX or JSON, columns of our own names or of anyone's.")],
    kind: Annotated[str, typer.Option("--as", metavar="parts", help="What the rows are.")] = "parts",
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Say what would happen, write nothing.")] = False,
    keep_good: Annotated[
        bool, typer.Option("--keep-good", help="Take the good rows even if others have problems.")
    ] = False,
    encoding: Annotated[
        str | None, typer.Option("--encoding", help="The file's encoding, where the guess is wrong.")
    ] = None,
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
    """
    from partsbin.errors import UsageError
    from partsbin.stock.intake import keys_known, parts_here, take_in
    from partsbin.stock.list_memory import recall, remember
    from partsbin.stock.lists import read_cells
    from partsbin.store.engine import reading, writing

    if kind != "parts":
        raise UsageError(f"--as {kind!r}: this version takes in parts", hint="--as parts")
    cells, given = read_cells(file, encoding=encoding), _assigned(columns or ())
    if dry_run:
        known, remembered, here = _already(context, db, cells)
        _finish(take_in(cells, known=known, here=here, given=given, remembered=remembered), as_json, written=None)
        return
    store = engine(context, db, create=True)
    with reading(store) as connection:
        known, remembered = keys_known(connection, cells.name), recall(connection, cells.header)
        here = parts_here(connection) if "part" in cells.header else frozenset()
    account = take_in(cells, known=known, here=here, given=given, remembered=remembered)
    written: list[int] | None = None
    if keep_good or not account.problems:
        from partsbin.stock.catalogue import shelve as put

        with writing(store) as connection:
            now_known = keys_known(connection, cells.name)
            if now_known != known:  # somebody else imported it meanwhile
                account = take_in(cells, known=now_known, here=here, given=given, remembered=remembered)
            written = put(connection, account.drafts, at=now(), by=user(), why=f"import {cells.name}")
            remember(connection, cells.header, given)
    _finish(account, as_json, written=written)


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


Here = frozenset[tuple[str, str]]


def _already(context: typer.Context, db: str | None, cells: Cells) -> tuple[frozenset[str], dict[str, str], Here]:
    """A dry run creates no catalogue: where there is none, nothing is known."""
    from partsbin.errors import StoreError
    from partsbin.stock.intake import keys_known, parts_here
    from partsbin.stock.list_memory import recall
    from partsbin.store.engine import reading

    try:
        with reading(engine(context, db)) as connection:
            here = parts_here(connection) if "part" in cells.header else frozenset()
            return keys_known(connection, cells.name), recall(connection, cells.header), here
    except StoreError as fault:
        if fault.message.startswith("no catalogue"):
            return frozenset(), {}, frozenset()
        raise


def _finish(account: Any, as_json: bool, written: list[int] | None) -> None:
    from partsbin.cli.account import account_text

    if as_json:
        print_json(
            {
                "file": account.file,
                "columns": account.columns,
                "why": account.why,
                "notes": account.notes,
                "totals": account.totals(),
                "written": None if written is None else len(written),
                "rows": [row.as_json() for row in account.rows],
            }
        )
    else:
        tell(account_text(account, written, width()))
    raise typer.Exit(1 if account.problems else 0)


def export(
    context: typer.Context,
    file: Annotated[Path, typer.Argument(help="Where to: a .csv, .xlsx or .json that is not there yet.")],
    as_came: Annotated[
        str, typer.Option("--as-came", metavar="LIST", help="Only the rows of that list, in its own columns.")
    ] = "",
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Give back what is on the shelf, as a list that can be taken in again.

    partsbin export shelf.csv
    """
    from partsbin.stock.export import came, rows, write
    from partsbin.stock.export import columns as own
    from partsbin.store.engine import reading

    with reading(engine(context, db)) as connection:
        heading, found = came(connection, as_came) if as_came else (own(), rows(connection))
        count = write(file, heading, found)
    if as_json:
        print_json({"file": str(file), "rows": count})
    else:
        tell(f"{count} rows in {plain(str(file))}")
