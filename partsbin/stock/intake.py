"""Taking in a list: each row becomes a part, or is reported with file, line and column. Nothing is lost or silently guessed."""

from __future__ import annotations

import hashlib
import json
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Any

from sqlalchemy import Connection, select

from partsbin import families
from partsbin.errors import Problem
from partsbin.families import Family, load
from partsbin.notation.reading import Reading
from partsbin.stock.columns import DESIGNATOR, VALUE, Mapping, told_apart
from partsbin.stock.describe import (
    TRADE_FAMILIES,
    facts_from,
    family_by_designator,
    family_by_words,
    part_fields,
    read_as,
    readings_of,
)
from partsbin.stock.lists import Cells
from partsbin.stock.mapping import Assigned, map_columns
from partsbin.stock.parts import Draft
from partsbin.stock.row import Row, common_of, fields_of
from partsbin.stock.shelf import number_of
from partsbin.store.tables import FileOrigin, Part, table_of

TAKEN, UNSURE, NOT_OURS, UNREAD, REFUSED, AGAIN = (
    "taken",
    "unsure",
    "not ours",
    "not understood",
    "refused",
    "already here",
)
SAMPLE = 200
"""Rows whose cells may decide what a column is."""
NOT_READ = "kept, not read"
"""What the account says of a column that has no role."""


@dataclass
class RowAccount:
    """What became of one row."""

    line: int
    text: str
    status: str
    family: str = ""
    fields: dict[str, Any] = field(default_factory=dict)
    title: str = ""
    notes: list[str] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    draft: Draft | None = None
    number: str = ""

    def as_json(self) -> dict[str, Any]:
        """Return the row as an object of the import's account."""
        return {
            "line": self.line,
            "text": self.text,
            "status": self.status,
            "family": self.family,
            "fields": self.fields,
            "title": self.title,
            "notes": self.notes,
            "problems": [problem.text() for problem in self.problems],
        }


@dataclass
class Account:
    """What became of a list: every row, the columns, the totals."""

    file: str
    columns: dict[str, str]
    rows: list[RowAccount]
    notes: list[str]
    why: dict[str, str] = field(default_factory=dict)

    @property
    def problems(self) -> list[Problem]:
        """All problems, in line order."""
        return [problem for row in self.rows for problem in row.problems]

    @property
    def drafts(self) -> list[Draft]:
        """The parts that may be shelved."""
        return [row.draft for row in self.rows if row.draft is not None and row.status in (TAKEN, UNSURE)]

    def totals(self) -> dict[str, int]:
        """Return how many rows had each fate; the sum is the list."""
        count = Counter(row.status for row in self.rows)
        return {status: count[status] for status in (TAKEN, UNSURE, NOT_OURS, UNREAD, REFUSED, AGAIN)}


def all_fields() -> list[str]:
    """Return the field names of every family."""
    return [name for family in families.names() for name in load(family).facts.model_fields]


def take_in(
    cells: Cells,
    *,
    known: frozenset[str] = frozenset(),
    here: frozenset[tuple[str, str]] = frozenset(),
    given: Assigned | None = None,
    remembered: Assigned | None = None,
) -> Account:
    """Understand a list row by row.

    Parameters
    ----------
    cells : Cells
        The file.
    known : frozenset of str
        Keys of rows that the catalogue already holds.
    here : frozenset of (str, str)
        Numbers and titles of the parts that are here: a list that the catalogue itself wrote adds nothing.
    given, remembered : mapping of str to str, optional
        Roles of columns by heading: as the person said, and as an earlier file of this shape had them.

    Returns
    -------
    Account
        Every row accounted for.
    """
    sample = [values for _, values in cells.rows[:SAMPLE]]
    mapping = map_columns(cells.header, all_fields(), sample=sample, given=given, remembered=remembered)
    reader = _Reader()
    seen: Counter[str] = Counter()
    rows = []
    for line, values in cells.rows:
        raw = json.dumps([cells.name, *values], ensure_ascii=False)
        seen[raw] += 1
        key = hashlib.sha256(f"{raw}#{seen[raw]}".encode()).hexdigest()
        row = _row(reader, cells, mapping, line, values, key)
        again = key in known or (row.number, row.title) in here
        if again and row.draft is not None:
            row.status, row.draft = AGAIN, None
        rows.append(row)
    named = {name: role or NOT_READ for name, role in zip(told_apart(cells.header), mapping.roles, strict=True)}
    why = dict(zip(told_apart(cells.header), mapping.why, strict=True))
    return Account(cells.name, named, rows, list(cells.notes), why)


def keys_known(connection: Connection, file: str) -> frozenset[str]:
    """Return the keys of the rows of a file that the catalogue already holds."""
    table = table_of(FileOrigin)
    return frozenset(connection.execute(select(table.c.key).where(table.c.file == file)).scalars())


def parts_here(connection: Connection) -> frozenset[tuple[str, str]]:
    """Return the numbers and titles of the parts that are here."""
    table = table_of(Part)
    return frozenset(
        (number_of(ident), title) for ident, title in connection.execute(select(table.c.id, table.c.title))
    )


class _Reader:
    """Reads the descriptions of one list, each distinct one once: shelves repeat themselves."""

    def __init__(self) -> None:
        self.kept = frozenset(families.names())
        self.readings = lru_cache(4096)(self._readings)
        self.family_of = lru_cache(4096)(self._family_of)

    def _readings(self, name: str, text: str) -> list[Reading]:
        return read_as(load(name), text)

    def _family_of(self, text: str) -> str:
        found = readings_of(text)
        return found[0].family if found else ""


def _row(reader: _Reader, cells: Cells, mapping: Mapping, line: int, values: Sequence[str], key: str) -> RowAccount:
    row = Row(cells, mapping, line, values)
    text = row.text
    if any(values[len(cells.header) :]):
        row.problems.append(
            Problem("CSV-WIDTH", f"{len(values)} cells, the heading has {len(cells.header)}", cells.name, line)
        )
        return RowAccount(line, text, REFUSED, problems=row.problems)
    name = _family(reader, row, text)
    if name and name not in TRADE_FAMILIES and name not in reader.kept:
        row.refuse("CSV-FAMILY", f"{name!r} is no family", "family", f"one of {', '.join(TRADE_FAMILIES)}")
        common_of(row, None, {})
        return RowAccount(line, text, REFUSED, problems=row.problems)
    if name not in reader.kept:
        status = NOT_OURS if name or text else UNREAD
        return RowAccount(
            line,
            text,
            status,
            name,
            notes=[f"{name}: not a family of this version" if name else "no family recognised"],
        )
    family = load(name)
    fields, notes, sure = _described(reader, family, text)
    fields |= fields_of(row, family)
    own, lying = part_fields(fields, family)
    facts, faults = facts_from(family, own)
    for fault in faults:
        column, _, said = fault.partition(": ")
        row.refuse("CSV-VALUE", f"{row.cell(column) or text!r}: {said}", column)
    common = common_of(row, family, lying)
    if row.problems or facts is None:
        return RowAccount(line, text, REFUSED, name, own, problems=row.problems, notes=notes)
    draft = Draft(family.name, facts, **common, file=(cells.name, line, key, row.named()))
    if not own and not draft.readings and row.cell("family") and (draft.title or text or row.cell("note")):
        notes.append("nothing is known of it yet: kept as it is called")
        title = draft.title or text or row.cell("note")
        return RowAccount(
            line, text, UNSURE, name, {}, title, notes, draft=replace(draft, title=title), number=row.cell("part")
        )
    if not own and not draft.readings:
        return RowAccount(line, text, UNREAD, name, notes=[*notes, "nothing in it was understood"])
    known = {name: value for name, value in own.items() if value is not None}
    title = draft.title or family.title(facts)
    status = TAKEN if sure else UNSURE
    return RowAccount(line, text, status, name, known, title, notes, draft=draft, number=row.cell("part"))


def _family(reader: _Reader, row: Row, text: str) -> str:
    named = row.cell("family").lower()
    if named:
        return named
    designated = family_by_designator(row.cell(DESIGNATOR))
    worded = family_by_words(" ".join((row.cell("description"), row.cell(VALUE))))
    if designated and worded and designated != worded and designated in ("valve", "transformer", "rectifier"):
        return worded  # letters that lists use for several things give way to the words beside them
    if designated or worded:
        return designated or worded
    if row.cell(DESIGNATOR) or not re.search(r"[^\W\d_]", text):
        return ""  # a bare number may be anything: a price, a date, a stock number
    return reader.family_of(text)


def _described(reader: _Reader, family: Family, text: str) -> tuple[dict[str, Any], list[str], bool]:
    if not text:
        return {}, [], True
    found = reader.readings(family.name, text)
    if not found:
        return {}, [f"{text!r}: not understood"], False
    first = found[0]
    notes = list(first.notes)
    if len(found) > 1:
        notes.append(f"{len(found)} readings, the first is taken: look at the part")
    if first.rest:
        notes.append(f"not understood: {first.rest!r}")
    return dict(first.fields), notes, first.sure and len(found) == 1
