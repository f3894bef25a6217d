"""Lists that are no CSV: a spreadsheet's first sheet, a JSON document with a list of objects."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from partsbin.stock.lists import MOST_BYTES, ListError

Rows = tuple[list[tuple[int, list[str]]], str]


def xlsx_rows(path: Path) -> Rows:
    """Return the rows of the first sheet that has any, with their numbers, and how it was read.

    Raises
    ------
    ListError
        If the file cannot be read, or the package that reads it is not installed.
    """
    try:
        from openpyxl import load_workbook
    except ImportError:
        raise ListError(
            f"{path.name}: reading a spreadsheet needs the extra package openpyxl",
            hint="pip install 'partsbin[xlsx]', or save it as CSV",
        ) from None
    _size(path)
    try:
        book = load_workbook(path, read_only=True, data_only=True)
    except Exception as fault:  # the package raises whatever the file's inside raises
        raise ListError(f"{path.name}: not readable as a spreadsheet: {fault}") from None
    try:
        for sheet in book.worksheets:
            rows = [
                (number, [_text(cell) for cell in row])
                for number, row in enumerate(sheet.iter_rows(values_only=True), 1)
                if any(cell not in (None, "") for cell in row)
            ]
            if rows:
                return rows, f"spreadsheet, sheet {sheet.title!r}"
    finally:
        book.close()
    return [], "spreadsheet"


def json_rows(path: Path) -> Rows:
    """Return a list of objects as rows under one heading, and how it was read.

    Raises
    ------
    ListError
        If the document is not a list of objects, or an object that holds one as ``parts``.
    """
    _size(path)
    try:
        document = json.loads(path.read_text(encoding="utf-8-sig"))
    except (OSError, ValueError, RecursionError) as fault:
        raise ListError(f"{path.name}: not readable as JSON: {fault}") from None
    entries = document.get("parts") if isinstance(document, dict) else document
    if not isinstance(entries, list) or not all(isinstance(entry, dict) for entry in entries):
        raise ListError(
            f"{path.name}: expected a list of objects, or an object with one as 'parts'", hint="each object one part"
        )
    if not entries:
        raise ListError(f"{path.name}: the list is empty")
    heading = list(dict.fromkeys(str(name) for entry in entries for name in entry))
    rows = [(0, heading), *((at, [_text(entry.get(name)) for name in heading]) for at, entry in enumerate(entries, 1))]
    return rows, "JSON, rows counted from 1"


def _size(path: Path) -> None:
    try:
        if path.stat().st_size > MOST_BYTES:
            raise ListError(f"{path.name}: over {MOST_BYTES // 1024**2} MB")
    except OSError as fault:
        raise ListError(f"cannot read {str(path)!r}: {fault.strerror}") from None


def _text(cell: Any) -> str:
    """Return what a cell says; a whole number without its point, a list as it is written in JSON."""
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, float) and cell.is_integer() and abs(cell) < 1e15:
        return str(int(cell))
    if isinstance(cell, (list, dict)):
        return json.dumps(cell, ensure_ascii=False)
    return str(cell)
