"""strip: a donor's parts onto the shelf, a line each, from a terminal, a file or a pipe."""

from __future__ import annotations

import sys
from pathlib import Path
from time import monotonic
from typing import TYPE_CHECKING, Annotated, Any

import typer

from partsbin.cli.common import AsJson, Db, engine, plain, print_json, say, tell
from partsbin.cli.stock import who
from partsbin.cli.wanted import tell_wanted, wanted_for

if TYPE_CHECKING:
    from sqlalchemy import Engine

    from partsbin.stock.sitting import LineByLine, Yielded
    from partsbin.stock.stripping import Taken

HELP = """\
    a part a line: OPT 45:1 Rp 380 ; place B3   ·   2x 250k lin SP sw ; read resistance=255k
    place B3 holds from then on · 3 of them, untested · - takes the last one back · an empty line ends"""


def add_to(app: typer.Typer) -> None:
    """Add the command."""
    app.command("strip", short_help="Shelve what a donor yields, a line a part.")(strip)


def strip(
    context: typer.Context,
    donor: Annotated[str, typer.Argument(help="The chassis: D-007; a new number is noted as a new donor.")],
    file: Annotated[
        str, typer.Argument(metavar="[FILE]", help="A text file, - for a pipe; without it lines are typed.")
    ] = "",
    place: Annotated[str, typer.Option("--place", help="Where the parts go, until a line says otherwise.")] = "",
    lineup: Annotated[str, typer.Option("--lineup", help="The donor's valves.")] = "",
    minutes: Annotated[
        float, typer.Option("--minutes", min=0.0, max=100_000.0, help="Time spent, for lines from a file.")
    ] = 0.0,
    db: Db = None,
    as_json: AsJson = False,
) -> None:
    """Shelve what a donor yields. What is not known stays unknown: partsbin donor todo lists what is still to be read.

    partsbin strip D-007 --place "box B3" --lineup "ECH81 EBF89 EL84 EZ80"
    """
    opened = engine(context, db, create=True)
    if file or not sys.stdin.isatty():
        done = _from_lines(opened, donor, _lines(file), place, lineup, minutes)
        serves = wanted_for(opened, [part for _, _, part in done.lines])
        if as_json:
            print_json({**_json(donor, done), "serves": serves})
        else:
            _account(done, serves)
        raise typer.Exit(1 if any(taken.kind == "refused" for _, taken, _ in done.lines) else 0)
    _typed(opened, donor, place, lineup)


def _lines(file: str) -> list[str]:
    from partsbin.errors import UsageError
    from partsbin.stock.limits import all_of

    try:
        if file in ("", "-"):
            typed: str = all_of(sys.stdin, "what is typed")
            return typed.splitlines()
        with Path(file).open(encoding="utf-8-sig") as lines:
            return all_of(lines, repr(file)).splitlines()
    except (OSError, UnicodeDecodeError) as fault:
        raise UsageError(f"cannot read {file!r}: {fault}", hint="a text file in UTF-8, a part a line") from None


def _from_lines(opened: Engine, code: str, lines: list[str], place: str, lineup: str, minutes: float) -> Yielded:
    from partsbin.stock.donors import known_or_new
    from partsbin.stock.sitting import strip_lines
    from partsbin.store.engine import writing

    with writing(opened) as connection:
        return strip_lines(
            connection, known_or_new(connection, code, lineup), lines, who(), place=place, minutes=minutes
        )


def _account(done: Yielded, serves: list[dict[str, Any]]) -> None:
    for number, taken, part in done.lines:
        if taken.kind != "remark":
            tell(_said(taken, part, f"line {number}: " if taken.kind == "refused" else ""))
    tell_wanted(serves, named=True)
    _total(done.parts, done.pieces, len(done.doubtful))


def _said(taken: Taken, part: str, where: str = "") -> str:
    mark = {"unsure": " UNSURE", "refused": "NOT TAKEN "}.get(taken.kind, "")
    lines = [f"{part}{mark}{'  ' if part else ''}{where}{plain(taken.said)}"]
    lines += [f"    {plain(doubt)}" for doubt in taken.doubts]
    return "\n".join(lines)


def _total(parts: int, pieces: int, doubts: int) -> None:
    said = f", {doubts} with doubts: look at them again with partsbin show or mark" if doubts else ""
    say(f"    {parts} part{'s' * (parts != 1)}, {pieces} piece{'s' * (pieces != 1)} shelved{said}")


def _json(donor: str, done: Yielded) -> dict[str, Any]:
    return {
        "donor": donor,
        "parts": done.parts,
        "pieces": done.pieces,
        "lines": [
            {"line": number, "text": t.text, "taken": t.kind, "part": part, "said": t.said, "doubts": list(t.doubts)}
            for number, t, part in done.lines
        ],
    }


def _typed(opened: Engine, code: str, place: str, lineup: str) -> None:
    """Lines from the keyboard, each shelved as it is read."""
    from partsbin.stock.donors import known_or_new, note_sitting
    from partsbin.stock.sitting import LineByLine
    from partsbin.store.engine import writing

    with writing(opened) as connection:
        donor = known_or_new(connection, code, lineup)
    say(f"{donor.code}  {plain(donor.name) or 'a donor'}{f': {plain(donor.lineup)}' if donor.lineup else ''}\n{HELP}")
    sitting = LineByLine(opened, donor, place)
    started = monotonic()
    while (line := _ask("> ")) is not None and line.strip():
        _take(sitting, line.strip())
    with writing(opened) as connection:
        if sitting.written:
            note_sitting(connection, donor, who(), (monotonic() - started) / 60, sitting.parts)
    _total(sitting.parts, sitting.pieces, 0)


def _ask(prompt: str) -> str | None:
    """A line from the keyboard, None at its end. Heavy modules are loaded while it is typed, not after."""
    try:
        return input(prompt)
    except EOFError:
        return None


def _take(sitting: LineByLine, line: str) -> None:
    """Shelve what a line says, take the last one back, or ask which of several readings is meant."""
    if line in ("-", "undo"):
        _take_back(sitting)
        return
    looked = sitting.look(line)
    taken, number = sitting.take(line, who(), _which(looked) if looked.readings else 0)
    tell(_said(taken, number))
    tell_wanted(wanted_for(sitting.engine, [number]))


def _which(taken: Taken) -> int:
    """Ask which of several readings is meant, counted from 1; 0 for none said."""
    from partsbin.stock.describe import reading_said

    for index, reading in enumerate(taken.readings, 1):
        say(f"    {index}  {plain(reading_said(reading.family, reading.fields, sure=reading.sure))}")
    end = "Enter keeps it as unsure" if taken.draft is not None else "Enter leaves it out"
    chosen = (_ask(f"    which? {end}: ") or "").strip()
    return int(chosen) if chosen.isdecimal() else 0


def _take_back(sitting: LineByLine) -> None:
    if not sitting.written:
        say("    nothing of this sitting is left to take back")
        return
    number = sitting.take_back(who()).number
    left = sitting.left_of(number)
    tell(f"{number}  taken back{f', {left} left' if left else ''}")
