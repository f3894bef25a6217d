"""Somebody's file as cells: text, workbook or JSON; the headings found below whatever stands above them, every row with its line."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import dropwhile, islice
from pathlib import Path

from partsbin.stock.contents import is_data, is_place, says_part
from partsbin.stock.describe import family_by_words, singular
from partsbin.stock.headings import find_heading, meaning
from partsbin.stock.text_lists import ListError, TextRows, text_rows

__all__ = ["Cells", "ListError", "read_cells"]

SAMPLE = 300
"""Rows that are looked at before the list is read: headings, contents of columns, decimal comma [-]."""

_HEAD = 30  # headings stand among the first rows, or nowhere

Rows = Iterable[tuple[int, tuple[str, ...]]]


@dataclass(frozen=True)
class Cells:
    """A table as it stands in a file.

    Parameters
    ----------
    name : str
        The file's own name.
    header : tuple of str
        Column names, as written; "" for all where the list has none.
    rows : iterable of (int, tuple of str)
        Line in the file and cells, short rows filled up with ""; read anew each time, so that a long list needs no room.
    notes : tuple of str
        How it was read: encoding, delimiter, what stands above the headings.
    decimal_comma : bool
        Whether it writes 0,1 for a tenth, and 4.700 for thousands.
    above : tuple of str
        What stands above the headings.
    about : int
        How many rows there are, nearly; 0 where nobody knows before they are read [-].
    """

    name: str
    header: tuple[str, ...]
    rows: Rows
    notes: tuple[str, ...]
    decimal_comma: bool = False
    above: tuple[str, ...] = ()
    about: int = 0

    def sample(self) -> list[tuple[str, ...]]:
        """Return the cells of the first rows."""
        return [cells for _, cells in islice(self.rows, SAMPLE)]


@dataclass(frozen=True)
class _Body:
    """The rows below the headings, as wide as these."""

    rows: Rows
    after: int
    width: int

    def __iter__(self) -> Iterator[tuple[int, tuple[str, ...]]]:
        width = self.width
        for row in dropwhile(lambda row: row[0] <= self.after, self.rows):
            yield row if len(row[1]) >= width else (row[0], (*row[1], *("",) * (width - len(row[1]))))


def read_cells(path: Path, *, encoding: str | None = None, sheet: str = "", fields: Collection[str] = ()) -> Cells:
    """Read a list: CSV and its like, XLSX, or JSON, by what the file's name ends in.

    Parameters
    ----------
    path : Path
        The file.
    encoding : str, optional
        Its encoding, where the guess is wrong.
    sheet : str
        Which sheet of a workbook; "" for the first with headings.
    fields : collection of str
        Names of fields of the families: a line that has them is the heading.

    Raises
    ------
    ListError
        If it cannot be read, is empty, binary or too large.
    """
    suffix = path.suffix.lower()
    rows: Rows
    if suffix in (".xlsx", ".xlsm"):
        from partsbin.stock.sheets import sheet_rows

        rows, said = sheet_rows(path, sheet, fields)
    elif suffix == ".json":
        from partsbin.stock.json_lists import json_rows

        rows, said = json_rows(path)
    else:
        rows, said = text_rows(path, encoding)
    head = list(islice(rows, _HEAD))
    if not head:
        raise ListError(f"{path.name}: empty, expected a heading line and rows")
    at = find_heading([cells for _, cells in head], fields)
    line, header = head[at]
    notes = [said]
    if not any(meaning(cell, fields).role for cell in header) and _is_row(header):
        line, header = line - 1, ("",) * max(len(cells) for _, cells in head)
        notes.append("no headings")
    above = tuple(_above(cells) for _, cells in head[:at])
    notes += [f"above the headings: {text!r}" for text in above]
    header = _trimmed(header, [cells for _, cells in head[at:]])
    body = _Body(rows, line, len(header))
    comma = decimal_comma(cells for _, cells in islice(body, SAMPLE))
    if comma:
        notes.append("decimal commas")
    about = max(rows.lines() - line, 0) if isinstance(rows, TextRows) else 0
    return Cells(path.name, header, body, tuple(notes), comma, above, about)


def _is_row(header: Sequence[str]) -> bool:
    """Whether a line with no known heading in it is one of the rows: it speaks of a part or a family, or holds figures alone."""
    alone = len(header) == 1 and (
        bool(re.search(r"\d", header[0])) or is_place(header[0]) or bool(family_by_words(singular(header[0])))
    )
    return alone or any(is_data(cell) or says_part(cell) for cell in header)


def _above(cells: Sequence[str]) -> str:
    return " ".join(filter(None, cells))


def _trimmed(header: tuple[str, ...], rows: Sequence[Sequence[str]]) -> tuple[str, ...]:
    """Leave out nameless columns at the right that no row fills: spreadsheets write many."""
    width = len(header)
    while width > 1 and not header[width - 1] and not any(len(row) >= width and row[width - 1] for row in rows):
        width -= 1
    return header[:width]


_COMMA = re.compile(r"(?<![\d.,])\d+,(?:\d{1,2}|\d{4,})(?![\d,])")
_POINT = re.compile(r"(?<![\d.,])\d*\.(?:\d{1,2}|\d{4,})(?![\d.])")


def decimal_comma(rows: Iterable[Sequence[str]]) -> bool:
    """Whether more numbers have a decimal comma than a decimal point; three figures behind either may be thousands."""
    commas = points = 0
    for cells in rows:
        for cell in cells:
            commas += len(_COMMA.findall(cell))
            points += len(_POINT.findall(cell))
    return commas > points
