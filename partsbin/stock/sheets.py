"""Workbooks (XLSX) as cells and back: an extra, ``pip install 'partsbin[xlsx]'``, loaded where it is used."""

from __future__ import annotations

import datetime
import re
import warnings
import zipfile
from collections.abc import Collection, Iterable, Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import Any

from partsbin.errors import PartsbinError
from partsbin.stock.headings import find_heading, known_in
from partsbin.stock.limits import CELL, COLUMNS, FILE, MB, SHARED, UNPACKED
from partsbin.stock.text_lists import ListError

MOST_SHEET_ROWS = 1_048_576
"""Rows of a sheet, the heading among them, by the format itself [-]."""

MOST_OF_ONE = MB
"""A workbook is read as a stream, and none of its tags or texts needs more than this of it [byte]."""

MOST_SAID = 120
"""Letters of the library's own words that are quoted [-]."""

_HEAD = 30  # headings stand among the first rows, or nowhere
_BY_NUMBER = re.compile("_(?=x[0-9A-Fa-f]{4}_)|[\x00-\x08\x0b-\x1f\ufffe\uffff]")
"""Signs that the format cannot hold, and what it would take for one that is written by its number."""


@dataclass(frozen=True)
class SheetRows:
    """The rows of a sheet that say anything: its own row number and cells as text. Each walk reads the file anew.

    `unworked`: it has formulas that no spreadsheet has worked out.
    """

    path: Path
    sheet: str
    unworked: bool = False

    def __iter__(self) -> Iterator[tuple[int, tuple[str, ...]]]:
        with _book(self.path) as book:
            most, longest = COLUMNS.most, CELL.most
            for number, row in enumerate(self._walk(book), 1):
                if number > MOST_SHEET_ROWS:
                    raise ListError(f"{self.path.name}: over {MOST_SHEET_ROWS:,} rows: a sheet holds no more")
                cells = tuple(map(_text, row))
                if any(cells):
                    if len(cells) > most and any(cells[most:]):
                        raise ListError(*COLUMNS.over(f"{self.path.name}:{number}"))
                    if max(map(len, cells)) > longest:
                        raise ListError(*CELL.over(f"{self.path.name}:{number}"))
                    yield number, cells[:most]

    def _walk(self, book: Any) -> Iterator[Sequence[Any]]:
        """The rows; where formulas have no results, those stand for themselves, so that no cell is lost."""
        rows = _rows(book, self.sheet, self.path)
        if not self.unworked:
            yield from rows
            return
        with _book(self.path, worked=False) as formulas:
            for row, written in zip(rows, _rows(formulas, self.sheet, self.path), strict=False):
                yield [cell if result is None else result for result, cell in zip(row, written, strict=False)]


def _library() -> Any:
    try:
        import openpyxl
    except ImportError:
        raise ListError(
            "workbooks need openpyxl", hint="pip install 'partsbin[xlsx]', or save the list as CSV"
        ) from None
    warnings.filterwarnings("ignore", module="openpyxl")  # what it thinks of styles and dates is nothing to the bench
    return openpyxl


@contextmanager
def _book(path: Path, *, worked: bool = True) -> Iterator[Any]:
    """Give an open workbook; the file is ours to close, for the library leaves a broken one open."""
    openpyxl = _library()
    with ExitStack() as opened:
        try:
            file = opened.enter_context(path.open("rb"))
            book = openpyxl.load_workbook(file, read_only=True, data_only=worked)
        except Exception as fault:
            raise _broken(path, fault) from None
        opened.callback(book.close)
        yield book


def _broken(path: Path, fault: Exception) -> PartsbinError:
    """What to say of a file that the library stumbles over: a broken one leads it to faults of every kind."""
    if isinstance(fault, PartsbinError):
        return fault
    if isinstance(fault, OSError):
        return ListError(f"cannot read {str(path)!r}: {fault.strerror or fault}")
    if zipfile.is_zipfile(path) and not isinstance(fault, KeyError):  # one without its contents is some other archive
        why = f"{type(fault).__name__}: {fault}".partition("\n")[0][:MOST_SAID]
        return ListError(f"{path.name}: a workbook that cannot be read: {why}", hint="save it as CSV")
    return ListError(f"{path.name}: not a workbook", hint="save it as CSV")


def _rows(book: Any, sheet: str, path: Path) -> Iterator[Sequence[Any]]:
    """The rows of a sheet as wide as they are, whatever the sheet says of itself."""
    try:
        page = book[sheet]
        page.reset_dimensions()
        yield from page.iter_rows(values_only=True)
    except Exception as fault:
        raise _broken(path, fault) from None


def _look_over(path: Path) -> None:
    """Refuse what would fill the memory or never end: a workbook is a packed archive, a thousandth of what it holds."""
    try:
        if path.stat().st_size > FILE.most * MB:
            raise ListError(*FILE.over(path.name))
        with zipfile.ZipFile(path) as packed:
            entries = packed.infolist()
            if sum(entry.file_size for entry in entries) > UNPACKED.most * MB:
                raise ListError(*UNPACKED.over(path.name))
            read = [entry for entry in entries if entry.filename.endswith((".xml", ".rels"))]
            held = [entry for entry in read if not entry.filename.startswith("xl/worksheets/")]
            if sum(entry.file_size for entry in held) > SHARED.most * MB:
                raise ListError(*SHARED.over(path.name))
            for entry in read:
                if entry.file_size > MOST_OF_ONE:
                    _refuse_giants(packed, entry, path.name)
    except Exception as fault:
        raise _broken(path, fault) from None


def _refuse_giants(packed: zipfile.ZipFile, entry: zipfile.ZipInfo, name: str) -> None:
    run = 0
    with packed.open(entry) as stream:
        while chunk := stream.read(MOST_OF_ONE):
            pieces = chunk.split(b"<")
            run = max(run + len(pieces[0]), *map(len, pieces[1:])) if pieces[1:] else run + len(chunk)
            if run > max(MOST_OF_ONE, 8 * CELL.most):
                raise ListError(*CELL.over(name))
            run = len(pieces[-1]) if pieces[1:] else run


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
    _library()
    _look_over(path)
    with _book(path) as book:
        names = [found.title for found in book.worksheets]
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
    with _book(path) as book, _book(path, worked=False) as formulas:
        both = zip(_rows(book, sheet, path), _rows(formulas, sheet, path), strict=False)
        return any(
            result is None and isinstance(cell, str) and cell.startswith("=")
            for row, written in islice(both, _LOOKED_AT)
            for result, cell in zip(row, written, strict=False)
        )


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


def sheet_text(text: str) -> str:
    """Return a text as a cell can hold it: what it cannot hold is written by its number.

    Examples
    --------
    >>> sheet_text("22 nF"), sheet_text("\x1b[31m"), sheet_text("_x0041_")
    ('22 nF', '_x001B_[31m', '_x005F_x0041_')
    """
    return _BY_NUMBER.sub(lambda sign: f"_x{ord(sign[0]):04X}_", text)


def write_sheet(path: Path, header: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """Write a workbook with one sheet of texts.

    Raises
    ------
    ListError
        If the library is not installed, or there are more rows than a sheet can hold.
    """
    openpyxl = _library()
    book = openpyxl.Workbook(write_only=True)
    page = book.create_sheet("parts")
    page.append([sheet_text(heading) for heading in header])
    for number, row in enumerate(rows, 2):
        if number > MOST_SHEET_ROWS:
            raise ListError(f"more than {MOST_SHEET_ROWS:,} rows: a sheet holds no more", hint="export to CSV")
        page.append([sheet_text(text) or None for text in row])
    book.save(path)
