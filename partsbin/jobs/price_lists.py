"""Lines of price lists: what they sell, read with the columns of their list, now or when something is wanted."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from partsbin.stock.accounts import UNSURE, RowAccount
from partsbin.stock.columns import OWN, Column
from partsbin.stock.columns import Mapping as ColumnMap
from partsbin.stock.lists import Cells
from partsbin.stock.parts import Draft
from partsbin.stock.price_reader import picking
from partsbin.stock.row_reader import RowReader
from partsbin.stock.sections import Section
from partsbin.stock.understand import Reader

LISTS, LINES = 64, 16_384
"""Ways of reading that are kept at a time, and lines that are remembered by each [-]."""

_BETWEEN, _NO_SIGNS = "\x1f", re.compile("[\x00\x1f]")
"""What stands between cells, and what none of them may hold."""


@dataclass(frozen=True)
class Sold:
    """What a line sells: what tells it from all else that is sold, the part, and of how many pieces the price is [-]."""

    key: str
    kind: Draft
    together: int


def sold(row: RowAccount, condition: str, *, counted: bool) -> Sold | None:
    """Return what a row that was read sells, None for one of no use; what is doubtful in its words goes with it.

    Parameters
    ----------
    row : RowAccount
        What the line says.
    condition : str
        Condition of what has none of its own in the list.
    counted : bool
        Whether the list has a column of counts: what the words say of one is then not what the price is for.
    """
    draft = row.draft
    if draft is None:
        return None
    together = draft.count if draft.count > 1 and not counted else 1  # "matched pair", "10 x"
    if row.status == UNSURE and row.notes:
        draft = replace(draft, note="; ".join(filter(None, (draft.note, *row.notes))))
    kind = replace(
        draft, origin="offered", count=0, rough=False, condition=draft.condition or condition,
        place="", donor="", file=None, readings=(),
    )  # fmt: skip
    facts = kind.facts.model_dump(exclude_none=True, mode="json")
    words = [getattr(kind, name) for name in _WORDS]
    key = hashlib.sha256(json.dumps([*words, facts], sort_keys=True).encode()).hexdigest()[:32]
    return Sold(key, kind, together)


_WORDS = ("family", "title", "condition", "marking", "maker", "date_code", "year", "lead_style", "note")


def columns_text(rows: RowReader, section: Section, condition: str) -> str:
    """Return all that the reading of a line needs to know of its list, as text."""
    return json.dumps(
        {
            "columns": [[c.heading, c.role, c.by if c.by == OWN else "", 100.0, c.unit] for c in rows.mapping.columns],
            "usual": rows.reader.usual,
            "comma": rows.cells.decimal_comma,
            "doubt": rows.doubt,
            "section": section,
            "condition": condition,
        },
        ensure_ascii=False,
        sort_keys=True,
    )


class LineReader:
    """Reads lines that were kept as they are written.

    Parameters
    ----------
    columns : str
        As `columns_text` gives it.
    """

    def __init__(self, columns: str) -> None:
        held = json.loads(columns)
        mapping = ColumnMap(tuple(Column(*each) for each in held["columns"]))
        headings = tuple(column.heading for column in mapping.columns)
        cells = Cells("", headings, (), (), held["comma"])
        reader = Reader(cells, mapping)
        reader.usual = held["usual"]
        self.rows = RowReader(cells, mapping, reader, held["doubt"])
        family, texts, place = held["section"]
        self.section, self.condition = Section(family, tuple(texts), place), held["condition"]
        self.places = told_by(mapping)
        self.read: Callable[[str], Sold | None] = lru_cache(LINES)(self._read)

    def _read(self, said: str) -> Sold | None:
        """Return what a line sells, None if it is of no use."""
        values = [""] * len(self.rows.headings)
        for at, cell in zip(self.places, said.split(_BETWEEN), strict=True):
            values[at] = cell
        row = self.rows.part(0, values, self.section)
        return sold(row, self.condition, counted="count" in self.rows.mapping.where)


@lru_cache(LISTS)
def line_reader(columns: str) -> LineReader:
    """Return what reads the lines of a list."""
    return LineReader(columns)


def told_by(mapping: ColumnMap) -> list[int]:
    """Return which columns speak of the part."""
    return [at for at, column in enumerate(mapping.columns) if column.role]


def saying(mapping: ColumnMap) -> Callable[[Sequence[tuple[str, ...]]], list[str]]:
    """Return what takes the cells of lines that speak of the part, those of each as one text; the lines are as wide as the headings."""
    places = told_by(mapping)
    pick, between = picking(places), max(len(places) - 1, 0)

    def say(rows: Sequence[tuple[str, ...]]) -> list[str]:
        texts = list(map(_BETWEEN.join, map(pick, rows)))
        whole = "".join(texts)
        if "\x00" in whole or whole.count(_BETWEEN) > between * len(rows):
            texts = [_BETWEEN.join(_NO_SIGNS.sub(" ", cell) for cell in pick(row)) for row in rows]
        return texts

    return say


def said_in_words(said: str) -> str:
    """Return what a line says that was kept as it is written.

    Examples
    --------
    >>> said_in_words("47n" + chr(31) + "630V")
    '47n 630V'
    """
    return " ".join(filter(None, said.split(_BETWEEN)))
