"""Needs and plans as tables: for a spreadsheet, or for another catalogue, which takes needs in again as they were."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from sqlalchemy import Connection

from partsbin.errors import Problem
from partsbin.jobs.listing import WANTED, Entry
from partsbin.jobs.needs import needs_of
from partsbin.jobs.plan import Served
from partsbin.jobs.record import Opened
from partsbin.matching.make_ups.search import MakeUp
from partsbin.stock.guard import unguarded
from partsbin.stock.lists import Cells, ListError, read_cells

NEEDS = ("designator", "family", "text", "position", "facts", "pieces", "why")
"""Of needs: facts are those of the need alone, ``rail=250; anode=120``; why says what its position rests on."""

PLAN = (
    "job",
    "designator",
    "family",
    "position",
    "wanted",
    "part",
    "title",
    "place",
    "verdict",
    "pieces",
    "how",
    "why",
    "buy",
)
"""Of a plan: a line for each part, and one for what is short; how says of parts that are joined in what way."""

_SURE = frozenset(("family", "pieces"))
"""No need is without these: a table that has them, and no other columns than ours, is ours."""


def needs_rows(connection: Connection, jobs: Sequence[Opened]) -> list[dict[str, str]]:
    """Return the needs of jobs as cells by column; those that were dropped are left out."""
    return [
        {
            "designator": wanted.designator,
            "family": wanted.family,
            "text": wanted.text,
            "position": wanted.position,
            "facts": _facts(wanted.texts),
            "pieces": str(wanted.quantity),
            "why": wanted.why,
        }
        for job in jobs
        for wanted in needs_of(connection, job)
    ]


def _facts(texts: Mapping[str, str]) -> str:
    """Facts as they are typed; one with a semicolon of its own, as JSON."""
    said = [f"{name}={text}" for name, text in texts.items()]
    return json.dumps(said, ensure_ascii=False) if any(";" in each for each in said) else "; ".join(said)


def own_cells(path: Path, *, encoding: str | None = None, sheet: str = "") -> Cells | None:
    """Return the cells of a file that has the columns of `needs_rows`, None if it is any other list."""
    try:
        cells = read_cells(path, encoding=encoding, sheet=sheet, fields=NEEDS)
    except ListError:
        return None
    return cells if _SURE <= set(cells.header) <= set(NEEDS) else None


def read_own(cells: Cells) -> tuple[list[Entry], list[Problem]]:
    """Read needs as `needs_rows` wrote them: nothing is guessed.

    Returns
    -------
    (list of Entry, list of Problem)
        The needs; what is wrong with cells.
    """
    entries, problems = [], []
    for line, values in cells.rows:
        row = {name: unguarded(cell.strip()) for name, cell in zip(cells.header, values, strict=False)}
        pieces = row["pieces"]
        if not re.fullmatch(r"[1-9][0-9]{0,6}", pieces):
            problems.append(Problem("CSV-COUNT", f"pieces: {pieces!r} is no number of pieces", cells.name, line))
            continue
        names = tuple(row["designator"].split(",")) if row.get("designator") else ()
        facts = tuple(_typed(row.get("facts", "")))
        text, position, why = (row.get(name, "") for name in ("text", "position", "why"))
        entries.append(Entry(line, names, int(pieces), WANTED, row["family"], text, position, why, facts=facts))
    return entries, problems


def _typed(text: str) -> list[str]:
    if text.startswith("["):
        try:
            told = json.loads(text)
        except ValueError:
            told = None
        if isinstance(told, list) and all(isinstance(each, str) for each in told):
            return told
    return [each.strip() for each in text.split(";") if each.strip()]


def plan_rows(made: Sequence[Served]) -> Iterator[dict[str, str]]:
    """Yield a plan as cells by column: a line for each part that a need gets, and one for what it is short of."""
    for served in made:
        need = {
            "job": served.job.code,
            "designator": served.wanted.designator,
            "family": served.wanted.family,
            "position": served.wanted.position,
            "wanted": str(served.left),
            "why": served.why,
        }
        for chosen, pieces in served.parts:
            how = chosen.join.how if isinstance(chosen, MakeUp) else ""
            for part, each in chosen.parts if isinstance(chosen, MakeUp) else ((chosen.part, chosen.pieces),):
                yield {
                    **need, "part": part.number, "title": part.title, "place": part.place,
                    "verdict": chosen.verdict.word, "pieces": str(pieces * each), "how": how,
                }  # fmt: skip
        if served.pieces < served.left:
            yield {**need, "verdict": "short", "pieces": str(served.left - served.pieces), "buy": served.buy}
