"""Taking in a list: each row becomes a part, or is reported with file, line and column. Nothing is lost or silently guessed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import islice
from typing import Any

from sqlalchemy import Connection, select

from partsbin.errors import Problem
from partsbin.families import load
from partsbin.stock.columns import Mapping as ColumnMap
from partsbin.stock.columns import all_fields, map_columns
from partsbin.stock.lists import Cells
from partsbin.stock.parts import Draft
from partsbin.stock.remarks import remark_on
from partsbin.stock.row import Row, common_of
from partsbin.stock.row_keys import RowKeys
from partsbin.stock.shelf import number_of
from partsbin.stock.understand import Reader, Understood
from partsbin.store.tables import FileOrigin, Part, table_of

__all__ = ["Account", "Intake", "RowAccount", "all_fields", "keys_known", "parts_here", "take_in"]

TAKEN, UNSURE, NOT_OURS, UNREAD, REFUSED, AGAIN = (
    "taken",
    "unsure",
    "not ours",
    "not understood",
    "refused",
    "already here",
)
FATES = (TAKEN, UNSURE, NOT_OURS, UNREAD, REFUSED, AGAIN)
NOT_READ = "kept, not read"
"""What the account says of a column that has no role."""

CHUNK = 4096
"""Rows that are understood, looked up and shelved together [-]."""

Known = Callable[[Sequence[str]], Collection[str]]
Here = Callable[[Sequence[str]], Collection[tuple[str, str]]]


@dataclass(slots=True)
class RowAccount:
    """What became of one row."""

    line: int
    text: str
    status: str
    family: str = ""
    fields: Mapping[str, Any] = field(default_factory=dict)
    title: str = ""
    notes: Sequence[str] = ()
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
            "fields": dict(self.fields),
            "title": self.title,
            "notes": list(self.notes),
            "problems": [problem.text() for problem in self.problems],
        }


@dataclass
class Account:
    """What became of a list: the columns, the totals, the rows.

    Parameters
    ----------
    file : str
        Its name.
    columns, why : dict of str to str
        What each column was taken for, by heading, and what says so.
    rows : list of RowAccount
        Every row; of a list taken in as a stream no more than `most` of each fate, but every one that was refused.
    notes : list of str
        How the file was read.
    most : int, optional
        Rows of each fate that are kept here; None for all of them.
    """

    file: str
    columns: dict[str, str]
    rows: list[RowAccount]
    notes: list[str]
    why: dict[str, str] = field(default_factory=dict)
    most: int | None = None
    count: Counter[str] = field(default_factory=Counter)
    left_out: Counter[str] = field(default_factory=Counter)

    def add(self, row: RowAccount) -> None:
        """Count a row, and keep it if there is room."""
        self.count[row.status] += 1
        if row.status == NOT_OURS:
            self.left_out[row.family] += 1
        if self.most is None or row.status == REFUSED or self.count[row.status] <= self.most:
            self.rows.append(row)

    @property
    def refused(self) -> int:
        """Rows with a problem [-]."""
        return self.count[REFUSED]

    @property
    def problems(self) -> list[Problem]:
        """All problems, in line order."""
        return [problem for row in self.rows for problem in row.problems]

    @property
    def drafts(self) -> list[Draft]:
        """The parts that may be shelved."""
        return [row.draft for row in self.rows if row.draft is not None]

    def totals(self) -> dict[str, int]:
        """Return how many rows had each fate; the sum is the list."""
        return {status: self.count[status] for status in FATES}


class Intake:
    """A list being understood, chunk by chunk.

    Parameters
    ----------
    cells : Cells
        The file.
    given, remembered : mapping of str to str, optional
        Roles of columns by heading: as the person said, and as an earlier file of this shape had them.
    """

    def __init__(
        self, cells: Cells, *, given: Mapping[str, str] | None = None, remembered: Mapping[str, str] | None = None
    ) -> None:
        self.cells = cells
        self.mapping: ColumnMap = map_columns(
            cells.header, all_fields(), cells.sample(), given=given, remembered=remembered
        )
        self.reader = Reader(cells, self.mapping)
        self.reader.look_at(cells.sample())
        self.headings = [column.heading for column in self.mapping.columns]

    def account(self, most: int | None = None) -> Account:
        """Return an account of the list in which no row is counted yet."""
        columns = {column.heading: column.role or NOT_READ for column in self.mapping.columns}
        why = {column.heading: column.why for column in self.mapping.columns}
        return Account(self.cells.name, columns, [], list(self.cells.notes), why, most)

    def chunks(self, known: Known, here: Here) -> Iterator[list[RowAccount]]:
        """Yield the rows understood, some thousands at a time.

        Parameters
        ----------
        known : callable
            ``known(keys)`` gives those of the keys of rows that the catalogue holds.
        here : callable
            ``here(numbers)`` gives numbers and titles of those of the parts that it holds: a list that the catalogue itself
            wrote adds nothing to it.
        """
        walk, seen = iter(self.cells.rows), RowKeys()
        while chunk := list(islice(walk, CHUNK)):
            keys = seen.keys(self.cells.name, [values for _, values in chunk])
            rows = [self._row(line, values, key) for (line, values), key in zip(chunk, keys, strict=True)]
            old = known(keys)
            parts = here([row.number for row in rows if row.number])
            for row, key in zip(rows, keys, strict=True):
                if row.draft is None:
                    continue
                if key in old:
                    row.status, row.draft = AGAIN, None
                elif (row.number, row.title) in parts:
                    row.status, row.draft = AGAIN, None
                    row.notes = [*row.notes, f"{row.number} is here: what a list says of it changes nothing"]
            yield rows

    def _row(self, line: int, values: Sequence[str], key: str) -> RowAccount:
        if len(values) < len(self.headings):
            values = (*values, *[""] * (len(self.headings) - len(values)))
        row = Row(self.cells, self.mapping, line, values)
        if len(values) > len(self.headings) and any(values[len(self.headings) :]):
            said = f"{len(values)} cells, the heading has {len(self.headings)}"
            problem = Problem("CSV-WIDTH", said, self.cells.name, line)
            return RowAccount(line, " ".join(values), REFUSED, problems=[problem])
        meant = self.reader.understand(values)
        family = load(meant.family) if meant.family in self.reader.kept else None
        common, faults = common_of(row, family, meant.lying, meant.text)
        remark = remark_on(common["note"], meant.family)
        if remark.notes:
            meant = replace(meant, notes=(*meant.notes, *remark.notes))
        if remark.worn and common["condition"]:
            common["condition"] = "salvaged"
        if meant.faults or ((faults or remark.faults) and family is not None):
            problems = [row.problem(fault) for fault in (*meant.faults, *faults, *remark.faults)]
            return RowAccount(
                line, meant.text, REFUSED, meant.family, meant.fields, notes=meant.notes, problems=problems
            )
        if meant.facts is None:
            status = NOT_OURS if meant.family or meant.text else UNREAD
            return RowAccount(line, meant.text, status, meant.family, notes=meant.notes)
        origin = (self.cells.name, line, key, dict(zip(self.headings, values, strict=False)))
        draft = Draft(meant.family, meant.facts, **{**common, "title": common["title"] or meant.title}, file=origin)
        if not meant.fields and not draft.readings:
            return self._unknown(row, meant, draft, common["title"])
        return RowAccount(
            line, meant.text, TAKEN if meant.sure else UNSURE, meant.family, meant.fields, draft.title, meant.notes, [], draft,
            row.cell("part"),
        )  # fmt: skip

    def _unknown(self, row: Row, meant: Understood, draft: Draft, titled: str) -> RowAccount:
        """A part of which only the family is known is kept as it is called; a row that calls it nothing is left."""
        called = titled or meant.text or draft.note
        if not ((row.cell("family") or meant.family == self.reader.usual) and called):
            notes = [*meant.notes, "nothing in it was understood"]
            return RowAccount(row.line, meant.text, UNREAD, meant.family, notes=notes)
        notes = [*meant.notes, "nothing is known of it yet: kept as it is called"]
        draft = replace(draft, title=called)
        return RowAccount(row.line, meant.text, UNSURE, meant.family, {}, called, notes, [], draft, row.cell("part"))


def take_in(
    cells: Cells,
    *,
    known: Collection[str] = frozenset(),
    here: Collection[tuple[str, str]] = frozenset(),
    given: Mapping[str, str] | None = None,
    remembered: Mapping[str, str] | None = None,
) -> Account:
    """Understand a list row by row.

    Parameters
    ----------
    cells : Cells
        The file.
    known : collection of str
        Keys of rows that the catalogue already holds.
    here : collection of (str, str)
        Numbers and titles of the parts that are here.
    given, remembered : mapping of str to str, optional
        Roles of columns by heading: as the person said, and as an earlier file of this shape had them.

    Returns
    -------
    Account
        Every row accounted for.
    """
    intake = Intake(cells, given=given, remembered=remembered)
    account = intake.account()
    for rows in intake.chunks(lambda keys: known, lambda numbers: here):
        for row in rows:
            account.add(row)
    return account


def keys_known(connection: Connection, file: str) -> frozenset[str]:
    """Return the keys of the rows of a file that the catalogue already holds."""
    table = table_of(FileOrigin)
    return frozenset(connection.execute(select(table.c.key).where(table.c.file == file)).scalars())


def parts_here(connection: Connection, numbers: Iterable[str] | None = None) -> frozenset[tuple[str, str]]:
    """Return the numbers and titles of the parts that are here: of all, or of those with the numbers given."""
    table = table_of(Part)
    query = select(table.c.id, table.c.title)
    if numbers is not None:
        ids = [
            int(number[2:]) for number in numbers if number[:2] == "P-" and number[2:].isdecimal() and len(number) < 18
        ]
        if not ids:
            return frozenset()
        query = query.where(table.c.id.in_(ids))
    return frozenset((number_of(ident), title) for ident, title in connection.execute(query))
