"""shelve, show, import: putting parts on the shelf and looking at them."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from partsbin.cli.common import AsJson, Db, engine, now, plain, print_json, say, tell, user, width


def add_to(app: typer.Typer) -> None:
    """Add the commands."""
    app.command("shelve")(shelve)
    app.command("show", short_help="Everything known of a part.")(show)
    app.command("import", short_help="Take in a list, every row accounted for.")(import_)


def shelve(
    context: typer.Context,
    text: Annotated[str, typer.Argument(help='The part, in trade notation: "47n 400V film".')],
    family: Annotated[str, typer.Option("--family", help="Its family, where the words do not tell.")] = "",
    count: Annotated[int, typer.Option("--count", min=1, max=1_000_000, help="How many.")] = 1,
    rough: Annotated[bool, typer.Option("--rough", help="The count is about right, no more.")] = False,
    condition: Annotated[str, typer.Option("--condition", help="new, unused-old (NOS) or salvaged (used).")] = "",
    place: Annotated[str, typer.Option("--place", help="Drawer, box, shelf.")] = "",
    donor: Annotated[str, typer.Option("--donor", help="Chassis it came from: D-007.")] = "",
    donor_lineup: Annotated[str, typer.Option("--donor-lineup", help="Valves of that chassis.")] = "",
    title: Annotated[str, typer.Option("--title", help="A title of your own.")] = "",
    note: Annotated[str, typer.Option("--note", help="Anything else.")] = "",
    readings: Annotated[
        list[str] | None,
        typer.Option("--reading", metavar="NAME=VALUE", help="Something measured: capacitance=22.0uF±1%. Repeat it."),
    ] = None,
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Put a part on the shelf.

    partsbin shelve "22n 630V polypropylene" --count 12 --condition new --place "drawer C2"
    """
    from partsbin.stock.catalogue import shelve as put
    from partsbin.stock.draft import draft_from_text
    from partsbin.stock.shelf import number_of
    from partsbin.store.engine import writing

    draft, doubts = draft_from_text(
        text,
        family=family,
        count=count,
        rough=rough,
        condition=condition,
        place=place,
        donor=donor,
        donor_lineup=donor_lineup,
        title=title,
        note=note,
        readings=readings or [],
    )
    with writing(engine(context, db, create=True)) as connection:
        number = number_of(put(connection, [draft], at=now(), by=user())[0])
    if as_json:
        print_json({"part": number, "family": draft.family, "title": draft.title, "notes": doubts})
        return
    tell(f"{number}  {plain(draft.title)}")
    for doubt in doubts:
        say(f"    {doubt}")


def show(
    context: typer.Context,
    number: Annotated[str, typer.Argument(help="A part: P-0042.")],
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Everything known of a part: what is marked, what was measured, where it lies, what became of it.

    partsbin show P-0042
    """
    from partsbin.stock.portrait import portrait, portrait_text
    from partsbin.store.engine import reading

    with reading(engine(context, db)) as connection:
        found = portrait(connection, number)
    if as_json:
        print_json(found)
    else:
        tell(portrait_text(plain(found)))


def import_(
    context: typer.Context,
    file: Annotated[Path, typer.Argument(help="A list: CSV, columns of our own names or of anyone's.")],
    kind: Annotated[str, typer.Option("--as", metavar="parts", help="What the rows are.")] = "parts",
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Say what would happen, write nothing.")] = False,
    keep_good: Annotated[
        bool, typer.Option("--keep-good", help="Take the good rows even if others have problems.")
    ] = False,
    encoding: Annotated[
        str | None, typer.Option("--encoding", help="The file's encoding, where the guess is wrong.")
    ] = None,
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Take in a list: all of it or nothing, every row accounted for.

    partsbin import stock.csv --dry-run
    """
    from partsbin.errors import UsageError
    from partsbin.stock.intake import keys_known, take_in
    from partsbin.stock.lists import read_cells
    from partsbin.store.engine import reading, writing

    if kind != "parts":
        raise UsageError(f"--as {kind!r}: this version takes in parts", hint="--as parts")
    cells = read_cells(file, encoding=encoding)
    if dry_run:
        _finish(take_in(cells, known=_known_already(context, db, cells.name)), as_json, written=None)
        return
    with reading(engine(context, db, create=True)) as connection:
        known = keys_known(connection, cells.name)
    account = take_in(cells, known=known)
    written: list[int] | None = None
    if keep_good or not account.problems:
        from partsbin.stock.catalogue import shelve as put

        with writing(engine(context, db, create=True)) as connection:
            if keys_known(connection, cells.name) != known:
                account = take_in(
                    cells, known=keys_known(connection, cells.name)
                )  # somebody else imported it meanwhile
            written = put(connection, account.drafts, at=now(), by=user(), why=f"import {cells.name}")
    _finish(account, as_json, written=written)


def _known_already(context: typer.Context, db: str | None, name: str) -> frozenset[str]:
    """A dry run creates no catalogue: where there is none, nothing is known."""
    from partsbin.errors import StoreError
    from partsbin.stock.intake import keys_known
    from partsbin.store.engine import reading

    try:
        with reading(engine(context, db)) as connection:
            return keys_known(connection, name)
    except StoreError as fault:
        if fault.message.startswith("no catalogue"):
            return frozenset()
        raise


def _finish(account: Any, as_json: bool, written: list[int] | None) -> None:
    from partsbin.cli.account import account_text

    if as_json:
        print_json(
            {
                "file": account.file,
                "columns": account.columns,
                "notes": account.notes,
                "totals": account.totals(),
                "written": None if written is None else len(written),
                "rows": [row.as_json() for row in account.rows],
            }
        )
    else:
        tell(account_text(account, written, width()))
    raise typer.Exit(1 if account.problems else 0)
