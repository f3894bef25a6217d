"""Lists of needs: a parts list of a set, every designator accounted for."""

from __future__ import annotations

import sys
import tempfile
import textwrap
from pathlib import Path
from typing import TYPE_CHECKING, Any

import typer

from partsbin.cli.common import plain, print_json, say, tell, width

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sqlalchemy import Engine

    from partsbin.jobs.listing import Entry
    from partsbin.jobs.noting import Sums
    from partsbin.jobs.plan import Served

_HEADS = {
    "wanted": "WANTED",
    "noted before": "NOTED BEFORE",
    "not ours": "NOT OURS: of no family kept here",
    "not understood": "NOT UNDERSTOOD",
    "no part": "NO PART: lines without designators that name none",
}


def take(
    store: Engine,
    code: str,
    file: Path,
    *,
    given: Mapping[str, str] | None = None,
    encoding: str | None = None,
    sheet: str = "",
    dry_run: bool = False,
    keep_good: bool = False,
    as_json: bool = False,
) -> None:
    """Note the needs of a list, all or nothing, and say what the shelf serves of them now."""
    from partsbin.cli.job import job_named
    from partsbin.jobs.as_tables import own_cells, read_own
    from partsbin.jobs.listing import read_needs
    from partsbin.jobs.noting import note, weigh
    from partsbin.jobs.record import still_open
    from partsbin.jobs.typed import cells_of
    from partsbin.store.engine import writing

    with tempfile.TemporaryDirectory() as folder:
        there = _typed(file, Path(folder))
        own = own_cells(there, encoding=encoding, sheet=sheet) if not given else None
        cells = own or cells_of(there, encoding=encoding, sheet=sheet, given=given)
        with writing(store) as connection:
            job = still_open(job_named(connection, code))
            entries, problems = read_own(own) if own else read_needs(cells, job, given=given)
            write = not dry_run and (keep_good or not problems)
            trial = connection.begin_nested()
            entries = note(connection, job, entries)
            sums, made = weigh(connection, job, entries)
            if write:
                trial.commit()
            else:
                trial.rollback()
    said = [problem.text() for problem in problems]
    if as_json:
        print_json(_json(job.code, cells.name, entries, sums, said, write))
    else:
        _tell(entries, made, sums, said, write, job.code)
    raise typer.Exit(1 if problems or sums.unread else 0)


def _typed(file: Path, folder: Path) -> Path:
    """A list that is typed or comes through a pipe, as a file."""
    if str(file) != "-":
        return file
    from partsbin.stock.limits import all_of

    typed = folder / "typed.txt"
    typed.write_bytes(all_of(sys.stdin.buffer, "what is typed"))
    return typed


def _json(job: str, file: str, entries: list[Entry], sums: Sums, problems: list[str], written: bool) -> dict[str, Any]:
    return {
        "job": job,
        "file": file,
        "written": written,
        "needs": [
            {
                "line": entry.line,
                "designators": list(entry.names),
                "pieces": entry.pieces,
                "fate": entry.fate,
                "family": entry.family,
                "text": entry.text,
                "position": entry.position,
                "why": entry.why,
                "notes": list(entry.notes),
            }
            for entry in entries
        ],
        "problems": problems,
        "sums": {
            "served": sums.served,
            "short": sums.short,
            "not_ours": sums.not_ours,
            "not_understood": sums.unread,
            "all": sums.all,
        },
    }


def _tell(entries: list[Entry], made: list[Served], sums: Sums, problems: list[str], written: bool, code: str) -> None:
    given = {served.wanted.id: served for served in made}
    for fate, head in _HEADS.items():
        rows = [entry for entry in entries if entry.fate == fate]
        if rows:
            tell(f"{head}  {sum(entry.pieces for entry in rows) or len(rows)}")
        for entry in rows:
            for line in textwrap.wrap(plain(_said(entry, given.get(entry.need))), width(), subsequent_indent=" " * 8):
                tell(f"  {line}")
    for problem in problems:
        tell(plain(problem))
    tell(
        f"{sums.all} pieces on the list: {sums.served} served by the shelf, {sums.short} short, "
        f"{sums.not_ours} not ours, {sums.unread} not understood"
    )
    if not written:
        say("    nothing was written")
        return
    say(f"    partsbin plan {code} says which part goes where; partsbin job position {code} C31 coupling corrects one")


def _said(entry: Entry, served: Served | None) -> str:
    from partsbin.cli.plan import said_of

    name = " ".join(entry.names) or f"line {entry.line}"
    many = f"{entry.pieces} × " if entry.pieces > 1 else ""
    notes = f" ({'; '.join(entry.notes)})" if entry.notes else ""
    if entry.fate != "wanted":
        return f"{name}: {many}{_part(entry)}{notes}"
    where = f"{entry.position}: {entry.why}" if entry.position else f"position to be said: {entry.why}"
    got = " · ".join(
        f"{said_of(candidate)} ({candidate.verdict.word})" for candidate, _ in (served.parts if served else ())
    )
    return f"{name}: {many}{_part(entry)}, {where}{notes} → {got or 'short'}"


def _part(entry: Entry) -> str:
    """The family before what the list says, unless that begins with it."""
    return entry.text if entry.text.startswith(f"{entry.family} ") else f"{entry.family} {entry.text}".strip()
