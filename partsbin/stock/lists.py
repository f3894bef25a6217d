"""Reading somebody's file into cells: encoding and delimiter recognised, every row with its line."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from partsbin.errors import PartsbinError

MOST_BYTES = 512 * 1024 * 1024
MOST_CELL = 20_000
HEADING_WITHIN = 12
"""Lines at the top among which the heading is looked for."""
_DELIMITERS = {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar"}
_NAMED = re.compile(r"(?i)sep=([^\w\s\"]|\t)[ ]*(?:\r\n|\n|\r|$)")
"""The line with which some spreadsheets name the delimiter."""


class ListError(PartsbinError):
    """A file cannot be read as a list."""

    code = "PB-LIST"


@dataclass(frozen=True)
class Cells:
    """A table as it stands in a file.

    Parameters
    ----------
    name : str
        The file's own name.
    header : tuple of str
        Column names, as written.
    rows : tuple of (int, tuple of str)
        Line in the file and cells, short rows filled up with "".
    notes : tuple of str
        How it was read: encoding, delimiter.
    """

    name: str
    header: tuple[str, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]
    notes: tuple[str, ...]


def read_cells(path: Path, *, encoding: str | None = None) -> Cells:
    """Read a list: CSV in any of its dialects, XLSX, or JSON; the heading row may stand below lines of title.

    Parameters
    ----------
    path : Path
        The file.
    encoding : str, optional
        Its encoding, where the guess is wrong.

    Raises
    ------
    ListError
        If it cannot be read, is empty, binary or too large.
    """
    if path.suffix.lower() in (".xlsx", ".xlsm", ".json"):
        from partsbin.stock.other_files import json_rows, xlsx_rows

        rows, said = json_rows(path) if path.suffix.lower() == ".json" else xlsx_rows(path)
        return _table(path.name, rows, said)
    text, used = _decode(path, encoding)
    named = _NAMED.match(text)
    body = text[named.end() :] if named else text
    delimiter = named[1] if named else _likeliest(body)
    rows = [
        (line, cells)
        for line, cells in _rows(body, delimiter, path.name, 2 if named else 1)
        if any(cell.strip() for cell in cells)
    ]
    return _table(path.name, rows, f"{used}, {_DELIMITERS.get(delimiter, repr(delimiter))}-separated")


def _table(name: str, rows: list[tuple[int, list[str]]], said: str) -> Cells:
    """Find the heading and fill up short rows; a guard that a spreadsheet needs before a sign is taken off again."""
    if not rows:
        raise ListError(f"{name}: empty, expected a heading line and rows")
    at = _heading([cells for _, cells in rows])
    header = tuple(cell.strip() for cell in rows[at][1])
    width = len(header)
    filled = tuple(
        (line, (*(unguarded(cell.strip()) for cell in cells), *("",) * (width - len(cells))))
        for line, cells in rows[at + 1 :]
    )
    notes = (said, f"heading in line {rows[at][0]}") if at else (said,)
    return Cells(name, header, filled, notes)


def _heading(rows: list[list[str]]) -> int:
    """Return which of the first rows is the heading: the first as wide as the list whose words are known, else the first."""
    from partsbin.stock.columns import FOREIGN_ROLE, PART_COLUMNS, plain_heading

    def known(cells: list[str]) -> int:
        return sum(plain_heading(cell) in FOREIGN_ROLE or cell.strip().lower() in PART_COLUMNS for cell in cells)

    first = rows[:HEADING_WITHIN]
    best = max(range(len(first)), key=lambda at: (known(first[at]), -at))
    return best if known(first[best]) >= 2 and known(first[0]) < 2 else 0


_GUARDED = re.compile(r"'(?='*[=+\-@\t\r])")


def guarded(cell: str) -> str:
    """Return a cell that no spreadsheet takes for a formula."""
    return f"'{cell}" if re.match(r"'*[=+\-@\t\r]", cell) else cell


def unguarded(cell: str) -> str:
    """Return a cell as it was before `guarded`."""
    return cell[1:] if _GUARDED.match(cell) else cell


def _decode(path: Path, encoding: str | None) -> tuple[str, str]:
    try:
        if path.stat().st_size > MOST_BYTES:
            raise ListError(f"{path.name}: over {MOST_BYTES // 1024**2} MB")
        raw = path.read_bytes()
    except OSError as fault:
        raise ListError(f"cannot read {str(path)!r}: {fault.strerror}") from None
    if b"\0" in raw and not raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise ListError(f"{path.name}: not a text file")
    if encoding:
        tries = [encoding]
    elif raw.startswith((b"\xff\xfe", b"\xfe\xff")):
        tries = ["utf-16"]
    else:
        tries = ["utf-8-sig", "cp1252", "latin-1"]
    for name in tries:
        try:
            return raw.decode(name), {"utf-8-sig": "UTF-8"}.get(name, name)
        except LookupError:
            raise ListError(f"unknown encoding {name!r}") from None
        except UnicodeError:
            continue
    raise ListError(f"{path.name}: not readable as {tries[0]}", hint="name its encoding with --encoding")


def _likeliest(text: str) -> str:
    """The delimiter that gives the most rows of one width over the first lines, wider before narrower."""
    sample = text[:65536].splitlines()[:50]
    best, score = ",", (0, 0)
    for candidate in _DELIMITERS:
        widths = [len(row) for row in _sampled(sample, candidate) if row]
        if not widths:
            continue
        usual = max(set(widths), key=lambda width: (widths.count(width), width))
        if usual > 1 and (widths.count(usual), usual) > score:
            best, score = candidate, (widths.count(usual), usual)
    return best


def _sampled(sample: list[str], delimiter: str) -> Iterator[list[str]]:
    """Rows of a sample, as far as it can be read: its last cell may have been cut."""
    try:
        yield from csv.reader(sample, delimiter=delimiter, skipinitialspace=True)
    except csv.Error:
        return


def _rows(text: str, delimiter: str, name: str, first: int) -> Iterator[tuple[int, list[str]]]:
    """Rows with the line that each starts on, lines counted from `first`."""
    csv.field_size_limit(MOST_CELL)
    lines = list(io.StringIO(text, newline=""))
    reader = csv.reader(lines, delimiter=delimiter, skipinitialspace=True)
    while reader.line_num < len(lines):
        start = reader.line_num
        try:
            row = next(reader)
            if reader.line_num == len(lines):
                _closed(lines[start:], delimiter)
        except csv.Error as fault:
            raise ListError(f"{name}:{start + first}: {fault}") from None
        yield start + first, row


def _closed(lines: list[str], delimiter: str) -> None:
    """A quote that is never closed would swallow the rest of a list without a word."""
    try:
        next(csv.reader(lines, delimiter=delimiter, skipinitialspace=True, strict=True))
    except csv.Error as fault:
        if "end of data" in str(fault):
            raise csv.Error("a quote is opened here and never closed") from None
