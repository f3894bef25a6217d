"""label: labels for parts and places, as PDF."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from partsbin.cli.common import AsJson, Db, engine, now, plain, print_json, say, tell

if TYPE_CHECKING:
    from sqlalchemy import Connection

    from partsbin.labels.layout import Layout
    from partsbin.labels.sheets import Label, Placed

USUAL = "70x37"
"""The sheet that is taken where none is named."""

ROLL_DPI = 203
"""Dots per inch of most printers for rolls [1/in]."""


def add_to(app: typer.Typer) -> None:
    """Add the command."""
    app.command("label", short_help="Labels for parts and places, as PDF.")(label)


def label(
    context: typer.Context,
    numbers: Annotated[
        list[str] | None, typer.Argument(metavar="PART", help="Parts: P-0042 P-0043.", show_default=False)
    ] = None,
    places: Annotated[
        list[str] | None, typer.Option("--place", metavar="NAME", help="A place, for its own label. Repeat it.")
    ] = None,
    every_place: Annotated[bool, typer.Option("--places", help="Every place where something lies.")] = False,
    inside: Annotated[
        list[str] | None, typer.Option("--in", metavar="PLACE", help="The parts that lie in a place. Repeat it.")
    ] = None,
    donors: Annotated[
        list[str] | None, typer.Option("--donor", metavar="CODE", help="The parts on hand of a donor. Repeat it.")
    ] = None,
    shelved: Annotated[
        str, typer.Option("--shelved", metavar="DAY", help="The parts shelved on a day: today, or 2026-11-25.")
    ] = "",
    out: Annotated[Path, typer.Option("--out", metavar="FILE", help="A PDF that is not there yet.")] = Path(
        "labels.pdf"
    ),
    sheet: Annotated[
        str,
        typer.Option("--sheet", metavar="WxH", help=f"Labels on A4 by their size in mm: {USUAL} if nothing is said."),
    ] = "",
    roll: Annotated[
        str, typer.Option("--roll", metavar="WxH", help="One label a page, of a roll, by its size in mm: 57x32.")
    ] = "",
    across: Annotated[
        int, typer.Option("--across", help="Labels in a row, for a sheet not known here.", show_default=False)
    ] = 0,
    down: Annotated[int, typer.Option("--down", help="Rows, for a sheet not known here.", show_default=False)] = 0,
    margin: Annotated[
        str, typer.Option("--margin", metavar="LxT", help="Left and top margin in mm; centred if nothing is said.")
    ] = "",
    gap: Annotated[str, typer.Option("--gap", metavar="XxY", help="Between labels, beside and below, in mm.")] = "",
    skip: Annotated[
        int, typer.Option("--skip", help="Labels of the first sheet that are used up.", show_default=False)
    ] = 0,
    copies: Annotated[int, typer.Option("--copies", min=1, max=100, help="Labels of each.")] = 1,
    dpi: Annotated[
        int | None,
        typer.Option("--dpi", help=f"Dots per inch of the printer; {ROLL_DPI} for a roll.", show_default=False),
    ] = None,
    page: Annotated[
        str,
        typer.Option(
            "--page", metavar="ADDRESS", help="The bench page's address: a telephone's camera opens the codes."
        ),
    ] = "",
    outline: Annotated[bool, typer.Option("--outline", help="Draw the edges, for a trial on plain paper.")] = False,
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Labels for parts and places: a code to scan, value, number and place, in exact millimetres.

    partsbin label P-0042 P-0043 --place "drawer C2" --out labels.pdf --skip 5

    partsbin label --shelved today --roll 57x32
    """
    from dataclasses import replace

    from partsbin.errors import UsageError
    from partsbin.labels.codes import code_on_page
    from partsbin.labels.sheets import arrange, draw
    from partsbin.store.engine import reading

    layout = _layout(sheet, roll, across, down, margin, gap)
    if not (numbers or places or every_place or inside or donors or shelved):
        raise UsageError(
            "nothing is named to label", hint='parts by number, --place "drawer C2", --in, --donor or --shelved'
        )
    day = _day(shelved) if shelved else None
    with reading(engine(context, db)) as connection:
        labels, notes = _picked(connection, numbers or (), places or (), every_place, inside or (), donors or (), day)
    if page:
        labels = [replace(one, code=code_on_page(page, one.code)) for one in labels]
    if layout.roll and dpi is None:
        dpi = ROLL_DPI
    placed = arrange([one for one in labels for _ in range(copies)], layout, skip=skip, dpi=dpi)
    if placed:
        _write(out, draw(placed, layout, made=now(), outline=outline))
    if as_json:
        print_json(_document(out, placed, layout, notes))
    else:
        _tell(out, placed, layout, notes)
    raise typer.Exit(0 if placed else 1)


def _picked(
    connection: Connection,
    numbers: Sequence[str],
    places: Sequence[str],
    every_place: bool,
    inside: Sequence[str],
    donors: Sequence[str],
    day: date | None,
) -> tuple[list[Label], list[str]]:
    """Return labels, and notes: those by number as given, then the others, each once."""
    from partsbin.labels import pick

    named = pick.by_number(connection, numbers)
    others: list[Label] = []
    for place in inside:
        others += pick.lying_in(connection, place)
    for donor in donors:
        others += pick.from_donor(connection, donor)
    if day is not None:
        since, until = (datetime.combine(edge, time()).astimezone() for edge in (day, day + timedelta(days=1)))
        others += pick.arrived(connection, since, until)
    of_places, notes = pick.of_places(connection, places)
    others += of_places + (pick.every_place(connection) if every_place else [])
    have = set(named)
    return named + [one for one in dict.fromkeys(others) if one not in have], notes


# ---- words of the options


def _layout(sheet: str, roll: str, across: int, down: int, margin: str, gap: str) -> Layout:
    from partsbin.errors import UsageError
    from partsbin.labels.layout import GRIDS, two_lengths
    from partsbin.labels.layout import roll as one_a_page
    from partsbin.labels.layout import sheet as grid

    if roll:
        if sheet or across or down or margin or gap:
            raise UsageError(
                "a roll has one label a page", hint="either --roll, or --sheet with --across, --down, --margin, --gap"
            )
        return one_a_page(*two_lengths("--roll", roll))
    width, height = two_lengths("--sheet", sheet or USUAL)
    known = GRIDS.get(f"{width:g}x{height:g}")
    if not (known or (across and down)):
        raise UsageError(
            f"no grid known for labels of {width:g} × {height:g} mm",
            hint=f"one of {', '.join(GRIDS)}, or say --across and --down, and --margin and --gap where they are needed",
        )
    if known and not (across or down or margin or gap):
        return known
    return grid(
        width,
        height,
        across or (known.across if known else 1),
        down or (known.down if known else 1),
        margin=two_lengths("--margin", margin) if margin else None,
        gap=two_lengths("--gap", gap) if gap else (known.gap if known else (0.0, 0.0)),
    )


def _day(text: str) -> date:
    from partsbin.errors import UsageError

    if text.strip().lower() == "today":
        return now().astimezone().date()
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        raise UsageError(f"--shelved {text[:60]!r} is no day", hint="today, or such as 2026-11-25") from None


# ---- what was made


def _write(path: Path, data: bytes) -> None:
    from partsbin.errors import UsageError

    if path.exists():
        raise UsageError(f"{str(path)!r} exists", hint="name a file that is not there with --out")
    half = path.with_name(f"{path.name}.part")
    try:
        half.write_bytes(data)
        half.replace(path)
    except OSError as fault:
        raise UsageError(f"cannot write {str(path)!r}: {fault.strerror}") from None
    finally:
        half.unlink(missing_ok=True)  # half a page is none


def _pages(placed: Sequence[Placed]) -> int:
    return placed[-1].page + 1 if placed else 0


def _tell(out: Path, placed: Sequence[Placed], layout: Layout, notes: Sequence[str]) -> None:
    if placed:
        pages = _pages(placed)
        tell(f"{_counted(len(placed), 'label')} on {_counted(pages, 'page')} ({layout.name}) in {plain(str(out))}")
        tell('    print it at its own size (100 %), not "fit to page"')
    else:
        tell("nothing to label: no part on hand answers to that")
    said = [f"{entry.label.code}: {'; '.join(entry.notes)}" for entry in placed if entry.notes]
    for note in [*notes, *dict.fromkeys(said)]:
        say(f"    {plain(note)}")


def _counted(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"


def _document(out: Path, placed: Sequence[Placed], layout: Layout, notes: Sequence[str]) -> dict[str, Any]:
    return {
        "file": str(out) if placed else None,
        "layout": layout.name,
        "width": layout.width,
        "height": layout.height,
        "page_width": layout.page[0],
        "page_height": layout.page[1],
        "pages": _pages(placed),
        "labels": [
            {
                "code": entry.label.code,
                "title": entry.label.title,
                "lines": list(entry.label.lines),
                "page": entry.page + 1,
                "row": entry.row + 1,
                "column": entry.column + 1,
                "left": round(entry.x, 4),
                "top": round(entry.y, 4),
                "module": round(entry.symbol.module, 4),
                "level": entry.symbol.level,
                "notes": list(entry.notes),
            }
            for entry in placed
        ],
        "notes": list(notes),
    }
