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
    from partsbin.jobs.needs_list import NeedsTaken
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
    from partsbin.jobs.needs_list import open_list, take_needs
    from partsbin.jobs.record import still_open
    from partsbin.store.engine import writing

    with tempfile.TemporaryDirectory() as folder:
        read = open_list(_typed(file, Path(folder)), given=given, encoding=encoding, sheet=sheet)
        with writing(store) as connection:
            job = still_open(job_named(connection, code))
            taken = take_needs(connection, job, read, dry_run=dry_run, keep_good=keep_good)
    if as_json:
        print_json(_json(job.code, taken))
    else:
        _tell(taken, job.code)
    raise typer.Exit(1 if taken.problems or taken.sums.unread else 0)


def _typed(file: Path, folder: Path) -> Path:
    """A list that is typed or comes through a pipe, as a file."""
    if str(file) != "-":
        return file
    from partsbin.stock.limits import all_of

    typed = folder / "typed.txt"
    typed.write_bytes(all_of(sys.stdin.buffer, "what is typed"))
    return typed


def _json(job: str, taken: NeedsTaken) -> dict[str, Any]:
    sums = taken.sums
    return {
        "job": job,
        "file": taken.file,
        "written": taken.written,
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
            for entry in taken.entries
        ],
        "problems": list(taken.problems),
        "sums": {
            "served": sums.served,
            "short": sums.short,
            "not_ours": sums.not_ours,
            "not_understood": sums.unread,
            "all": sums.all,
        },
    }


def _tell(taken: NeedsTaken, code: str) -> None:
    given, sums = {served.wanted.id: served for served in taken.served}, taken.sums
    for fate, head in _HEADS.items():
        rows = [entry for entry in taken.entries if entry.fate == fate]
        if rows:
            tell(f"{head}  {sum(entry.pieces for entry in rows) or len(rows)}")
        for entry in rows:
            for line in textwrap.wrap(plain(_said(entry, given.get(entry.need))), width(), subsequent_indent=" " * 8):
                tell(f"  {line}")
    for problem in taken.problems:
        tell(plain(problem))
    tell(
        f"{sums.all} pieces on the list: {sums.served} served by the shelf, {sums.short} short, "
        f"{sums.not_ours} not ours, {sums.unread} not understood"
    )
    if not taken.written:
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
