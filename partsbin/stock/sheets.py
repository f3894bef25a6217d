"""Workbooks (XLSX) as cells and back: an extra, ``pip install 'partsbin[xlsx]'``, loaded where it is used."""

from __future__ import annotations

import datetime
import re
import zipfile
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import Any

from partsbin.stock.headings import find_heading, known_in
from partsbin.stock.text_lists import MOST_BYTES, ListError

MOST_SHEET_ROWS = 1_048_576
"""Rows of a sheet, the heading among them, by the format itself [-]."""

MOST_UNPACKED = 4 * MOST_BYTES
"""A workbook is a packed archive: more than this, unpacked, is not opened [byte]."""

_HEAD = 30  # headings stand among the first rows, or nowhere
_LIKE_ESCAPED = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")
"""What the format would take for a sign written by its number."""


@dataclass(frozen=True)
class SheetRows:
    """The rows of a sheet that say anything: its own row number and cells as text. Each walk reads the file anew.

    `unworked`: it has formulas that no spreadsheet has worked out.
    """

    path: Path
    sheet: str
    unworked: bool = False

    def __iter__(self) -> Iterator[tuple[int, tuple[str, ...]]]:
        book = _open(self.path)
        try:
            for number, row in enumerate(self._walk(book), 1):
                cells = tuple(map(_text, row))
                if any(cells):
                    yield number, cells
        finally:
            book.close()

    def _walk(self, book: Any) -> Iterator[Sequence[Any]]:
        """The rows; where formulas have no results, those stand for themselves, so that no cell is lost."""
        rows = book[self.sheet].iter_rows(values_only=True)
        if not self.unworked:
            yield from rows
            return
        formulas = _open(self.path, worked=False)
        try:
            for row, written in zip(rows, formulas[self.sheet].iter_rows(values_only=True), strict=False):
                yield [cell if result is None else result for result, cell in zip(row, written, strict=False)]
        finally:
            formulas.close()


def _library() -> Any:
    try:
        import openpyxl
    except ImportError:
        raise ListError(
            "workbooks need openpyxl", hint="pip install 'partsbin[xlsx]', or save the list as CSV"
        ) from None
    return openpyxl


def _open(path: Path, *, worked: bool = True) -> Any:
    openpyxl = _library()
    try:
        if path.stat().st_size > MOST_BYTES:
            raise ListError(f"{path.name}: over {MOST_BYTES // 1024**2} MB")
        with zipfile.ZipFile(path) as packed:
            if sum(entry.file_size for entry in packed.infolist()) > MOST_UNPACKED:
                raise ListError(f"{path.name}: over {MOST_UNPACKED // 1024**2} MB unpacked")
        return openpyxl.load_workbook(path, read_only=True, data_only=worked)
    except OSError as fault:
        raise ListError(f"cannot read {str(path)!r}: {fault.strerror}") from None
    except (zipfile.BadZipFile, KeyError, ValueError, openpyxl.utils.exceptions.InvalidFileException):
        raise ListError(f"{path.name}: not a workbook", hint="save it as CSV") from None


def sheet_rows(path: Path, sheet: str = "", fields: Collection[str] = ()) -> tuple[SheetRows, str]:
    """Return the rows of a sheet, and in words which one it is.

    Parameters
    ----------
    path : Path
        The workbook.
    sheet : str
        Its sheet; "" for the first with headings, else the first that holds anything.
    fields : collection of str
        Names of fields of the families, which are known headings.

    Raises
    ------
    ListError
        If the library is not installed, the file no workbook, or there is no such sheet.
    """
    book = _open(path)
    names = [found.title for found in book.worksheets]
    book.close()
    if sheet and sheet not in names:
        raise ListError(f"{path.name}: no sheet {sheet!r}", hint=f"there are {', '.join(names)}")
    filled = [sheet] if sheet else [name for name in names if any(True for _ in SheetRows(path, name))]
    headed = [name for name in filled if _known(SheetRows(path, name), fields) > 1] if filled[1:] else []
    chosen = (headed or filled or names)[0]
    left = [name for name in filled if name != chosen]
    said = f"sheet {chosen!r}" + (f"; also there, not read: {', '.join(left)} (--sheet)" if left else "")
    rows = SheetRows(path, chosen, _unworked(path, chosen))
    return rows, f"{said}; formulas not worked out stand as they are" if rows.unworked else said


_LOOKED_AT = 300


def _known(rows: SheetRows, fields: Collection[str]) -> int:
    """How many known headings the likeliest of the first rows has."""
    head = [cells for _, cells in islice(rows, _HEAD)]
    return known_in(head[find_heading(head, fields)], fields)


def _unworked(path: Path, sheet: str) -> bool:
    """Whether one of the first rows has a formula without a result: a program wrote it, and no spreadsheet opened it since."""
    book, formulas = _open(path), _open(path, worked=False)
    try:
        both = zip(book[sheet].iter_rows(values_only=True), formulas[sheet].iter_rows(values_only=True), strict=False)
        return any(
            result is None and isinstance(cell, str) and cell.startswith("=")
            for row, written in islice(both, _LOOKED_AT)
            for result, cell in zip(row, written, strict=False)
        )
    finally:
        book.close()
        formulas.close()


def _text(value: Any) -> str:
    """A cell as a person would type it."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() and abs(value) < 1e15 else repr(value)
    if isinstance(value, datetime.datetime):
        return value.date().isoformat() if value.time() == datetime.time() else value.isoformat(" ")
    from openpyxl.utils.escape import unescape

    return str(unescape(str(value))).strip()


def write_sheet(path: Path, header: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """Write a workbook with one sheet of texts.

    Raises
    ------
    ListError
        If the library is not installed, or there are more rows than a sheet can hold.
    """
    openpyxl = _library()
    from openpyxl.utils.escape import escape

    def cell(text: str) -> str | None:
        return escape(_LIKE_ESCAPED.sub("_x005F_", text)) if text else None

    book = openpyxl.Workbook(write_only=True)
    page = book.create_sheet("parts")
    page.append([cell(heading) for heading in header])
    for number, row in enumerate(rows, 2):
        if number > MOST_SHEET_ROWS:
            raise ListError(f"more than {MOST_SHEET_ROWS:,} rows: a sheet holds no more", hint="export to CSV")
        page.append([cell(text) for text in row])
    book.save(path)
