"""Taking in a list: each row becomes a part, or is reported with file, line and column. Nothing is lost or silently guessed."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import islice

from sqlalchemy import Connection, select

from partsbin.errors import Problem
from partsbin.stock.accounts import (
    AGAIN,
    CHANGED,
    HEADING,
    NOT_OURS,
    NOT_READ,
    REFUSED,
    TAKEN,
    UNREAD,
    UNSURE,
    Account,
    RowAccount,
)
from partsbin.stock.again import Changes, Gone
from partsbin.stock.columns import DESIGNATOR, all_fields, map_columns
from partsbin.stock.columns import Mapping as ColumnMap
from partsbin.stock.headings import is_heading
from partsbin.stock.lists import Cells
from partsbin.stock.row_keys import RowKeys
from partsbin.stock.row_reader import RowReader, raw
from partsbin.stock.sections import TOTAL_LETTERS, Sections
from partsbin.stock.shelf import number_of
from partsbin.stock.understand import Reader
from partsbin.store.tables import FileOrigin, Part, table_of

__all__ = [
    "AGAIN", "CHANGED", "HEADING", "NOT_OURS", "NOT_READ", "REFUSED", "TAKEN", "UNREAD", "UNSURE", "Account", "Intake", "RowAccount",
    "all_fields", "keys_known", "parts_here", "take_in",
]  # fmt: skip

CHUNK = 4096
"""Rows that are understood, looked up and shelved together [-]."""

Known = Callable[[Sequence[str]], Collection[str]]
Here = Callable[[Sequence[str]], Collection[tuple[str, str]]]
Went = Callable[[RowKeys], Iterable[Gone]]


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
        reader = Reader(cells, self.mapping)
        reader.look_at(cells.sample())
        self.sections = Sections(cells)
        self.given, self.headed = given or {}, frozenset(filter(None, cells.header))
        self.gone: list[Gone] = []
        self.before = 0
        self.said, doubt = self.mapping.doubts(cells.sample())
        self.rows = RowReader(cells, self.mapping, reader, doubt)

    @property
    def headings(self) -> list[str]:
        """Headings of the table that is being read."""
        return self.rows.headings

    def account(self, most: int | None = None) -> Account:
        """Return an account of the list in which no row is counted yet."""
        columns = {column.heading: column.role or NOT_READ for column in self.mapping.columns}
        why = {column.heading: column.why for column in self.mapping.columns}
        notes = [*self.cells.notes, *filter(None, (self.said, self.rows.doubt))]
        return Account(self.cells.name, columns, [], notes, why, most)

    def chunks(self, known: Known, here: Here, gone: Went | None = None) -> Iterator[list[RowAccount]]:
        """Yield the rows understood, some thousands at a time.

        Parameters
        ----------
        known : callable
            ``known(keys)`` gives those of the keys of rows that the catalogue holds.
        here : callable
            ``here(numbers)`` gives numbers and titles of those of the parts that it holds: a list that the catalogue itself
            wrote adds nothing to it.
        gone : callable, optional
            ``gone(seen)`` gives the rows of this file that are here and not among those seen; None if it never came in.
        """
        self.gone = list(gone(self._all_keys())) if gone else []
        changes = Changes(self.gone, self.mapping)
        walk, seen, self.sections, self.before = iter(self.cells.rows), RowKeys(), Sections(self.cells), 0
        while chunk := list(islice(walk, CHUNK)):
            keys = seen.keys(self.cells.name, [values for _, values in chunk])
            rows = [self._row(line, values, key) for (line, values), key in zip(chunk, keys, strict=True)]
            self._name(rows, chunk)
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
                elif self.gone and row.draft.file is not None:
                    if changes.mapping is not self.mapping:
                        changes = Changes(self.gone, self.mapping)
                    if was := changes.of(row.draft.file[3]):
                        row.status, row.draft, row.number = CHANGED, None, was[0]
                        row.notes = [f"{was[0]} is this row as it was, and is left so: {was[1]}"]
            yield rows

    def _name(self, rows: Sequence[RowAccount], chunk: Sequence[tuple[int, Sequence[str]]]) -> None:
        """Say which designators the rows stand for, where they have a column of them."""
        at = self.mapping.where.get(DESIGNATOR)
        if at is not None:
            for row, (_, values) in zip(rows, chunk, strict=True):
                row.designator = values[at] if at < len(values) else ""

    def _all_keys(self) -> RowKeys:
        """Keys of all rows: those of an earlier import that are not among them have gone, or changed."""
        walk, seen = iter(self.cells.rows), RowKeys()
        while chunk := list(islice(walk, CHUNK)):
            seen.keys(self.cells.name, [values for _, values in chunk])
        return seen

    def _row(self, line: int, values: Sequence[str], key: str) -> RowAccount:
        values, before, self.before = self.filled(values), self.before, line
        return self.no_part(line, values, before) or self.part(line, values, key)

    def filled(self, values: Sequence[str]) -> tuple[str, ...]:
        """Return the cells of a row, as many as the headings."""
        short = len(self.headings) - len(values)
        return (*values, *[""] * max(short, 0))

    def surely_parts(self, rows: Sequence[Sequence[str]]) -> list[bool]:
        """Return of which rows it is plain at a glance that they stand for parts; of all others `no_part` knows."""
        wide, begins, unlike = len(self.headings), TOTAL_LETTERS | {""}, self.headed.isdisjoint
        return [
            len(row) == wide and row[0][:1] not in begins and row.count("") < wide - 1 and unlike(row) for row in rows
        ]

    def no_part(self, line: int, values: Sequence[str], before: int) -> RowAccount | None:
        """Return what became of a row that stands for no part, a heading or a total or one too wide; None for all others.

        `before` is the line of the row before it, 0 of the first.
        """
        if len(values) > len(self.headings) and any(values[len(self.headings) :]):
            said = f"{len(values)} cells, the heading has {len(self.headings)}"
            problem = Problem("CSV-WIDTH", said, self.cells.name, line)
            return RowAccount(line, " ".join(values), REFUSED, problems=[problem])
        if self.sections.look(values, gap=0 < before < line - 1):
            return RowAccount(line, raw(values), HEADING)
        if not self.headed.isdisjoint(values) and is_heading(values, self.cells.header):
            return self._other_headings(line, values)
        return None

    def part(self, line: int, values: Sequence[str], key: str = "") -> RowAccount:
        """Return what became of a row that stands for a part, whatever stands in it."""
        return self.rows.part(line, values, self.sections.now, key)

    def _other_headings(self, line: int, values: Sequence[str]) -> RowAccount:
        """From here on another table stands in the file, with headings of its own."""
        header = tuple(values)
        told = {heading: role for heading, role in self.given.items() if heading in header}
        self.mapping = map_columns(header, all_fields(), given=told)
        self.cells = replace(self.cells, header=header)
        self.rows = RowReader(self.cells, self.mapping, Reader(self.cells, self.mapping), self.rows.doubt)
        self.sections.header, self.headed = header, frozenset(filter(None, header))
        taken = "; ".join(
            f"{column.heading} → {column.role or NOT_READ}" for column in self.mapping.columns if column.heading
        )
        return RowAccount(line, raw(values), HEADING, notes=(f"other headings from here on: {taken}",))


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
