"""Lists of needs as they are typed: a line a part, its designators before or behind what it is; and tables, by their headings."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from itertools import islice
from pathlib import Path

from partsbin.errors import UsageError
from partsbin.jobs.positions import at_risk_under
from partsbin.stock.columns import CONTENTS, DESIGNATOR, all_fields, map_columns
from partsbin.stock.describe import family_by_designator
from partsbin.stock.designators import designators, told_apart
from partsbin.stock.lists import Cells, ListError, decimal_comma, read_cells
from partsbin.stock.text_lists import plain_lines

MOST_ROWS = 20_000
"""Rows of a list of needs that are read [-]."""

_TABLES = (".xlsx", ".xlsm", ".json")
_TYPED = ("designator", "description")
_COLON = re.compile(r"\s*:\s+(?!\d+(?:[.,]\d+)?\s*(?:$|[,;)]))")
"""A colon between two cells; before a number alone it may be a ratio's."""
_REMARK = ("#", "//", ";")
"""What begins a line that is said to whoever reads it, not a part."""


def cells_of(
    path: Path, *, encoding: str | None = None, sheet: str = "", given: Mapping[str, str] | None = None
) -> Cells:
    """Read a list of needs: a table if it has a heading of designators, else line by line as it was typed.

    Parameters
    ----------
    path : Path
        The file.
    encoding : str, optional
        Its encoding, where the guess is wrong.
    sheet : str
        Which sheet of a workbook.
    given : mapping of str to str, optional
        Roles of columns by heading, as the person said.

    Raises
    ------
    ListError
        If it cannot be read.
    """
    if path.suffix.lower() in _TABLES:
        return _designated(read_cells(path, encoding=encoding, sheet=sheet, fields=all_fields()), given)
    lines, said = plain_lines(path, encoding)
    typed = as_typed(path.name, lines, (f"{said}, a line a part",))
    try:
        cells = read_cells(path, encoding=encoding, fields=all_fields())
        headed = _column(cells, given)[1]
        if typed is None or headed or given:
            return _designated(cells, given)
    except ListError:
        if typed is None:
            raise
    return typed


def as_typed(name: str, lines: Sequence[tuple[int, str]], notes: tuple[str, ...] = ()) -> Cells | None:
    """Lines as a table of designators and descriptions; None if fewer than half of those with figures have designators.

    Parameters
    ----------
    name : str
        The file's own name.
    lines : sequence of (int, str)
        Number and text of each line.
    notes : tuple of str
        How they were read.
    """
    if len(lines) > MOST_ROWS:
        raise UsageError(f"{name}: over {MOST_ROWS:,} rows", hint="a list of needs is that of one set")
    parted = [(line, text, _cells(text)) for line, text in map(_said, lines) if text]
    having = [found for _, text, found in parted if any(map(str.isdigit, text))]
    if 2 * sum(found is not None for found in having) < max(len(having), 1):
        return None
    rows = [
        each for line, text, found in parted for each in _by_letter(line, found if found is not None else ("", text), 0)
    ]
    return Cells(name, _TYPED, rows, notes, decimal_comma(values for _, values in rows))


def _cells(text: str) -> tuple[str, str] | None:
    """Designators and description of a line, None where it has none; colons between its cells are no signs of what it says.

    Examples
    --------
    >>> _cells("R1: 470k: 1/2W"), _cells("T1: output, ratio 45: 1")
    (('R1', '470k 1/2W'), ('T1', 'output, ratio 45: 1'))
    """
    found = told_apart(text)
    return None if found is None else (found[0], _COLON.sub(" ", found[1]))


def _said(numbered: tuple[int, str]) -> tuple[int, str]:
    """A remark is passed over, but one that is nothing but words and speaks of the mains heads what follows."""
    line, text = numbered
    if not text.startswith(_REMARK):
        return numbered
    words = text.lstrip("#/; ")
    return line, words if at_risk_under(words) and not any(map(str.isdigit, words)) else ""


def is_typed(cells: Cells) -> bool:
    """Whether a list was read line by line."""
    return cells.header == _TYPED


def _designated(cells: Cells, given: Mapping[str, str] | None) -> Cells:
    """A table with one row for each family that the designators of a row are of."""
    rows = list(islice(iter(cells.rows), MOST_ROWS + 1))
    at, _ = _column(cells, given)
    if at is None:
        typed = as_typed(cells.name, [(line, " ".join(filter(None, values))) for line, values in rows], cells.notes)
        return typed or cells
    if len(rows) > MOST_ROWS:
        raise UsageError(f"{cells.name}: over {MOST_ROWS:,} rows", hint="a list of needs is that of one set")
    return replace(cells, rows=[each for line, values in rows for each in _by_letter(line, values, at)])


def _column(cells: Cells, given: Mapping[str, str] | None) -> tuple[int | None, bool]:
    """Where a list has its designators, and whether a heading says so."""
    found = map_columns(cells.header, all_fields(), cells.sample(), given=given)
    at = found.where.get(DESIGNATOR)
    return at, at is not None and found.columns[at].by != CONTENTS


def _by_letter(line: int, values: tuple[str, ...], at: int) -> list[tuple[int, tuple[str, ...]]]:
    """One row for each family that the designators of a row are of: ``R201, RV301`` are a resistor and a control."""
    groups: dict[str, list[str]] = {}
    for name in designators(values[at]) if at < len(values) else ():
        groups.setdefault(family_by_designator(name), []).append(name)
    if len(groups) < 2:
        return [(line, values)]
    return [(line, (*values[:at], ",".join(names), *values[at + 1 :])) for names in groups.values()]
