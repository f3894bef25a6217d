"""Reading somebody's file into cells: encoding and delimiter recognised, every row with its line."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from partsbin.errors import PartsbinError

MOST_BYTES = 512 * 1024 * 1024
MOST_CELL = 20_000


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
    """Read a CSV file.

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
    text, used = _decode(path, encoding)
    delimiter = _delimiter(text)
    rows = list(_rows(text, delimiter, path.name))
    if not rows:
        raise ListError(f"{path.name}: empty, expected a heading line and rows")
    header = tuple(cell.strip() for cell in rows[0][1])
    width = len(header)
    body = tuple(
        (line, (*(cell.strip() for cell in cells), *("",) * (width - len(cells))))
        for line, cells in rows[1:]
        if any(cells)
    )
    said = {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar"}[delimiter]
    return Cells(path.name, header, body, (f"{used}, {said}-separated",))


def _decode(path: Path, encoding: str | None) -> tuple[str, str]:
    try:
        if path.stat().st_size > MOST_BYTES:
            raise ListError(f"{path.name}: over {MOST_BYTES // 1024**2} MB")
        raw = path.read_bytes()
    except OSError as fault:
        raise ListError(f"cannot read {str(path)!r}: {fault.strerror}") from None
    if b"\0" in raw[:4096] and not raw.startswith((b"\xff\xfe", b"\xfe\xff")):
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
        except UnicodeDecodeError:
            continue
        except LookupError:
            raise ListError(f"unknown encoding {name!r}") from None
    raise ListError(f"{path.name}: not readable as {tries[0]}", hint="name its encoding with --encoding")


def _delimiter(text: str) -> str:
    """The one that gives the most rows of one width over the first lines, wider before narrower."""
    sample = text[:65536].splitlines()[:50]
    best, score = ",", (0, 0)
    for candidate in (",", ";", "\t", "|"):
        widths = [len(row) for row in csv.reader(sample, delimiter=candidate, skipinitialspace=True) if row]
        if not widths:
            continue
        usual = max(set(widths), key=lambda width: (widths.count(width), width))
        if usual > 1 and (widths.count(usual), usual) > score:
            best, score = candidate, (widths.count(usual), usual)
    return best


def _rows(text: str, delimiter: str, name: str) -> Iterator[tuple[int, list[str]]]:
    csv.field_size_limit(MOST_CELL)
    lines = text.splitlines(keepends=True)
    skipped = 1 if lines and lines[0].lower().startswith("sep=") else 0
    reader = csv.reader(io.StringIO("".join(lines[skipped:]), newline=""), delimiter=delimiter, skipinitialspace=True)
    while True:
        started = reader.line_num + 1 + skipped
        try:
            row = next(reader)
        except StopIteration:
            return
        except csv.Error as fault:
            raise ListError(f"{name}:{started}: {fault}") from None
        yield started, row
