"""One row of a list as a part: what its cells say of it, how it lies, what is doubtful or wrong with it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from partsbin.families import load
from partsbin.stock.accounts import NOT_OURS, REFUSED, TAKEN, UNREAD, UNSURE, RowAccount
from partsbin.stock.columns import Mapping as ColumnMap
from partsbin.stock.lists import Cells
from partsbin.stock.lying import common_of
from partsbin.stock.parts import Draft
from partsbin.stock.remarks import remark_on
from partsbin.stock.row import Row
from partsbin.stock.sections import Section
from partsbin.stock.understand import Reader, Understood

MOST_RAW = 120
"""Letters of a row that is not read, shown in the account [-]."""


class RowReader:
    """Reads the rows of one table of a list.

    Parameters
    ----------
    cells : Cells
        The list.
    mapping : Mapping
        What its columns are.
    reader : Reader
        What understands its cells.
    doubt : str
        What makes every row of it doubtful; "" if nothing.
    """

    def __init__(self, cells: Cells, mapping: ColumnMap, reader: Reader, doubt: str) -> None:
        self.cells, self.mapping, self.reader, self.doubt = cells, mapping, reader, doubt
        self.headings = [column.heading for column in mapping.columns]

    def part(self, line: int, values: Sequence[str], section: Section, key: str = "") -> RowAccount:
        """Return what became of a row that stands for a part, whatever stands in it."""
        row = Row(self.cells, self.mapping, line, values)
        meant = self.reader.understand(values, section)
        family = load(meant.family) if meant.family in self.reader.kept else None
        common, doubts, faults = common_of(row, family, meant.lying, meant.text)
        if self.doubt:
            doubts.append(self.doubt)
        remark = remark_on(common["note"], meant.family)
        if remark.worn and common["condition"]:
            common["condition"] = "salvaged"
        notes = (*meant.notes, *remark.notes, *doubts)
        if not self.mapping.own and "count" in row.where and not row.cell("count") and "count" not in meant.lying:
            notes = (*notes, "how many is not said: one is taken")
        if meant.faults or ((faults or remark.faults) and family is not None):
            problems = [row.problem(fault) for fault in (*meant.faults, *faults, *remark.faults)]
            return RowAccount(line, meant.text, REFUSED, meant.family, meant.fields, notes=notes, problems=problems)
        if meant.facts is None:
            status = NOT_OURS if meant.family or meant.text else UNREAD
            return RowAccount(line, meant.text or raw(values), status, meant.family, notes=meant.notes)
        origin = (self.cells.name, line, key, dict(zip(self.headings, values, strict=False)))
        draft = Draft(meant.family, meant.facts, **{**common, "title": common["title"] or meant.title}, file=origin)
        if not meant.fields and not draft.readings:
            return self._unknown(row, meant, draft, common["title"])
        return RowAccount(
            line, meant.text, TAKEN if meant.sure and not doubts else UNSURE, meant.family, meant.fields, draft.title, notes, [], draft,
            row.cell("part"), draft.count, draft.rough, draft.place,
        )  # fmt: skip

    def _unknown(self, row: Row, meant: Understood, draft: Draft, titled: str) -> RowAccount:
        """A part of which only the family is known is kept as it is called; a row that calls it nothing is left."""
        called = titled or meant.text or draft.note
        if not ((row.cell("family") or meant.family == self.reader.usual) and called):
            notes = [*meant.notes, "nothing in it was understood"]
            return RowAccount(row.line, meant.text or raw(row.values), UNREAD, meant.family, notes=notes)
        notes = [*meant.notes, "nothing is known of it yet: kept as it is called"]
        draft = replace(draft, title=called)
        return RowAccount(
            row.line,
            meant.text,
            UNSURE,
            meant.family,
            {},
            called,
            notes,
            [],
            draft,
            row.cell("part"),
            draft.count,
            draft.rough,
            draft.place,
        )


def raw(values: Sequence[str]) -> str:
    """Return the cells of a row of which nothing was read, so that it can be told which one it is."""
    said = " | ".join(filter(None, values))
    return f"{said[:MOST_RAW]}…" if len(said) > MOST_RAW else said
