"""Taking in a list: each row becomes a part, or is reported with file, line and column. Nothing is lost, nothing is guessed silently."""

from __future__ import annotations

import hashlib
import json
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from sqlalchemy import Connection, select

from partsbin import families
from partsbin.errors import NotationError, PartsbinError, Problem
from partsbin.families import Family, load
from partsbin.families._declare import CONDITIONS, Facts, unit_of
from partsbin.notation import read_quantity, to_float
from partsbin.stock.catalogue import Draft, NewReading
from partsbin.stock.columns import DESIGNATOR, RATING, VALUE, Mapping, map_columns
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
from partsbin.stock.readings import read_measurements
from partsbin.store.family_tables import child_type, plain_type
from partsbin.store.tables import FileOrigin, table_of

TAKEN, UNSURE, NOT_OURS, UNREAD, REFUSED, AGAIN = (
    "taken",
    "unsure",
    "not ours",
    "not understood",
    "refused",
    "already here",
)


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


def take_in(cells: Cells, *, known: frozenset[str] = frozenset()) -> Account:
    """Understand a list row by row.

    Parameters
    ----------
    cells : Cells
        The file.
    known : frozenset of str
        Keys of rows that the catalogue already holds.

    Returns
    -------
    Account
        Every row accounted for.
    """
    mapping = map_columns(cells.header, all_fields())
    seen: Counter[str] = Counter()
    rows = []
    for line, values in cells.rows:
        raw = json.dumps([cells.name, *values], ensure_ascii=False)
        seen[raw] += 1
        key = hashlib.sha256(f"{raw}#{seen[raw]}".encode()).hexdigest()
        row = _row(cells, mapping, line, values, key)
        if key in known and row.draft is not None:
            row.status, row.draft = AGAIN, None
        rows.append(row)
    named = {name: role or "kept, not read" for name, role in zip(cells.header, mapping.roles, strict=True)}
    return Account(cells.name, named, rows, list(cells.notes))


def keys_known(connection: Connection, file: str) -> frozenset[str]:
    """Return the keys of the rows of a file that the catalogue already holds."""
    table = table_of(FileOrigin)
    return frozenset(connection.execute(select(table.c.key).where(table.c.file == file)).scalars())


class _Row:
    """One row being read: cells by role, and the problems met."""

    def __init__(self, cells: Cells, mapping: Mapping, line: int, values: Sequence[str]) -> None:
        self.file, self.header, self.mapping, self.line, self.values = cells.name, cells.header, mapping, line, values
        self.problems: list[Problem] = []

    def cell(self, role: str) -> str:
        index = self.mapping.index(role)
        text = self.values[index] if index is not None and index < len(self.values) else ""
        return "" if text.lower() in ("value", "~", "-", "n/a", "?") else text

    def refuse(self, code: str, message: str, role: str, hint: str = "") -> None:
        index = self.mapping.index(role)
        column = self.header[index] if index is not None else role
        self.problems.append(Problem(code, message, self.file, self.line, column, hint))


def _row(cells: Cells, mapping: Mapping, line: int, values: Sequence[str], key: str) -> RowAccount:
    row = _Row(cells, mapping, line, values)
    text = _text(row)
    if len(values) > len(cells.header) and any(values[len(cells.header) :]):
        row.problems.append(
            Problem("CSV-WIDTH", f"{len(values)} cells, the heading has {len(cells.header)}", cells.name, line)
        )
        return RowAccount(line, text, REFUSED, problems=row.problems)
    name = _family(row, text)
    if name and name not in TRADE_FAMILIES and name not in families.names():
        row.refuse("CSV-FAMILY", f"{name!r} is no family", "family", f"one of {', '.join(TRADE_FAMILIES)}")
        return RowAccount(line, text, REFUSED, problems=row.problems)
    if name not in families.names():
        status = NOT_OURS if name or text else UNREAD
        return RowAccount(
            line,
            text,
            status,
            name,
            notes=[f"{name}: not a family of this version" if name else "no family recognised"],
        )
    family = load(name)
    fields, notes, sure = _described(row, family, text)
    fields |= _columns(row, family)
    own, lying = part_fields(fields, family)
    facts, faults = facts_from(family, own)
    for fault in faults:
        column, _, said = fault.partition(": ")
        row.refuse("CSV-VALUE", said, column)
    draft = None
    if facts is not None and not row.problems:
        draft = _draft(
            row, family, facts, lying, (cells.name, line, key, dict(zip(cells.header, values, strict=False)))
        )
    if row.problems:
        return RowAccount(line, text, REFUSED, name, own, problems=row.problems, notes=notes)
    assert draft is not None  # no problem was met, so there is a part
    if not own and not draft.readings:
        return RowAccount(line, text, UNREAD, name, notes=[*notes, "nothing in it was understood"])
    return RowAccount(
        line,
        text,
        TAKEN if sure else UNSURE,
        name,
        _jsonable(own),
        draft.title or family.title(facts),
        notes,
        draft=draft,
    )


def _text(row: _Row) -> str:
    return " ".join(filter(None, (row.cell(role) for role in (VALUE, RATING, "description"))))


def _family(row: _Row, text: str) -> str:
    named = row.cell("family").lower()
    if named:
        return named
    designated = family_by_designator(row.cell(DESIGNATOR))
    worded = family_by_words(" ".join((row.cell("description"), row.cell(VALUE))))
    if designated and worded and designated != worded and designated in ("valve", "transformer", "rectifier"):
        return worded  # letters that lists use for several things give way to the words beside them
    if designated or worded:
        return designated or worded
    if row.mapping.index(DESIGNATOR) is not None and row.cell(DESIGNATOR):
        return ""
    found = readings_of(text) if text else []
    return found[0].family if found else ""


def _described(row: _Row, family: Family, text: str) -> tuple[dict[str, Any], list[str], bool]:
    if not text:
        return {}, [], True
    found = read_as(family, text)
    if not found:
        return {}, [f"{text!r}: not understood"], False
    first = found[0]
    notes = list(first.notes)
    if len(found) > 1:
        notes.append(f"{len(found)} readings, the first is taken: look at the part")
    if first.rest:
        notes.append(f"not understood: {first.rest!r}")
    return dict(first.fields), notes, first.sure and len(found) == 1


def _columns(row: _Row, family: Family) -> dict[str, Any]:
    """Read the family's own columns; a cell that cannot be read is a problem, never a blank."""
    read: dict[str, Any] = {}
    for name, info in family.facts.model_fields.items():
        cell = row.cell(name) if row.mapping.index(name) is not None else ""
        if not cell:
            continue
        try:
            read[name] = _cell(family, name, info, cell)
        except PartsbinError as fault:
            row.refuse("CSV-VALUE", f"{cell!r}: {fault.message}", name, fault.hint)
    return read


_YES, _NO = frozenset({"yes", "y", "true", "1", "ja"}), frozenset({"no", "n", "false", "0", "nein"})


def _cell(family: Family, name: str, info: Any, cell: str) -> Any:
    if child_type(info.annotation) is not None:
        for reading in family.read(cell):
            if name in reading.fields:
                return reading.fields[name]
        raise NotationError(f"expected {info.description}")
    kind, words = plain_type(info.annotation)
    if words:
        low = cell.strip().lower()
        match = next((word for word in words if word.lower() == low), None)
        if match is None:
            raise NotationError(f"expected one of {', '.join(words)}")
        return match
    if kind is bool:
        if cell.lower() in _YES | _NO:
            return cell.lower() in _YES
        raise NotationError("expected yes or no")
    if kind is str:
        return cell
    unit = unit_of(info) or "-"
    if name.startswith("tolerance") or cell.endswith("%"):
        return to_float(read_quantity(cell.strip().lstrip("±+").rstrip("% ").strip(), "-")) / (
            100 if "%" in cell else 1
        )
    return to_float(read_quantity(cell, unit))


def _draft(row: _Row, family: Family, facts: Facts, lying: dict[str, Any], origin: Any) -> Draft | None:
    condition = row.cell("condition").lower().replace("unused old", "unused-old") or str(lying.get("condition", ""))
    if condition and condition not in CONDITIONS:
        row.refuse("CSV-CONDITION", f"{condition!r} is not a condition", "condition", f"one of {', '.join(CONDITIONS)}")
    count, rough = _count(row, lying)
    readings = _readings(row, family)
    year = row.cell("year")
    if year and not (year.isdigit() and 1900 <= int(year) <= 2100):
        row.refuse("CSV-YEAR", f"{year!r} is no year", "year")
    if row.problems:
        return None
    return Draft(
        family.name,
        facts,
        row.cell("title"),
        condition,
        count,
        rough,
        row.cell("marking") or _text(row),
        row.cell("place"),
        row.cell("donor"),
        row.cell("maker"),
        row.cell("date_code"),
        int(year) if year else None,
        row.cell("lead_style"),
        row.cell("note"),
        donor_lineup=row.cell("donor_lineup"),
        readings=readings,
        file=origin,
    )


def _count(row: _Row, lying: dict[str, Any]) -> tuple[int, bool]:
    text = row.cell("count")
    if not text:
        return int(lying.get("count", 1)), False
    rough = text.lower().startswith(("about", "ca", "~", "circa", "etwa"))
    digits = text.lower().lstrip("abouticretw~. ")
    if not digits.isdigit() or int(digits) > 10_000_000:
        row.refuse("CSV-COUNT", f"{text!r} is no count", "count", "a whole number, or about 50")
        return 0, False
    return int(digits), rough


def _readings(row: _Row, family: Family) -> tuple[NewReading, ...]:
    text = row.cell("readings")
    if not text:
        return ()
    try:
        return tuple(read_measurements(family, text))
    except PartsbinError as fault:
        row.refuse("CSV-READING", fault.message, "readings", fault.hint)
        return ()


def _jsonable(own: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in own.items() if value is not None}


def by_line(account: Account) -> Iterator[RowAccount]:
    """Yield the rows in line order."""
    yield from sorted(account.rows, key=lambda row: row.line)
