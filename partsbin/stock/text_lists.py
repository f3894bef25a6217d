"""Text files of cells: encoding and delimiter recognised, rows with their lines, read as a stream and as often as wanted."""

from __future__ import annotations

import codecs
import csv
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from partsbin.errors import PartsbinError

MOST_BYTES = 512 * 1024 * 1024
MOST_CELL = 20_000
DELIMITERS = {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar"}
_NAMED = re.compile(r"(?i)\ufeff?sep=([^\w\s\"]|\t)[ ]*(?:\r\n|\n|\r|$)")
"""The line with which some spreadsheets name the delimiter."""
_MARKS = (b"\xff\xfe", b"\xfe\xff")
_CHUNK, _SAMPLE = 1 << 20, 1 << 16


class ListError(PartsbinError):
    """A file cannot be read as a list."""

    code = "PB-LIST"


@dataclass(frozen=True)
class TextRows:
    """The rows of a text file that say anything: line and cells, stripped. Each walk over it reads the file anew.

    Parameters
    ----------
    path : Path
        The file.
    encoding, delimiter : str
        How it is read.
    skip : int
        Lines at its head that are no rows [-].
    """

    path: Path
    encoding: str
    delimiter: str
    skip: int = 0

    def __iter__(self) -> Iterator[tuple[int, tuple[str, ...]]]:
        csv.field_size_limit(MOST_CELL)
        with self.path.open(encoding=self.encoding, newline="") as file:
            for _ in range(self.skip):
                file.readline()
            kept: list[str] = []
            reader = csv.reader(_keeping(file, kept), delimiter=self.delimiter, skipinitialspace=True)
            start = self.skip + 1
            try:
                for row in reader:
                    if kept[-1] == _END:
                        _closed(kept[:-1], self.delimiter)
                    kept.clear()
                    if any(row):
                        cells = tuple([cell.strip() for cell in row])
                        if any(cells):
                            yield start, cells
                    start = self.skip + reader.line_num + 1
            except csv.Error as fault:
                raise ListError(f"{self.path.name}:{start}: {fault}") from None


_END = ""
"""No line is empty: each has its line end, or is the last and says something."""


def _keeping(lines: Iterable[str], kept: list[str]) -> Iterator[str]:
    """Pass lines on, those of the row being read kept; a row that asks for more than there are has an open quote."""
    for line in lines:
        kept.append(line)
        yield line
    kept.append(_END)


def text_rows(path: Path, encoding: str | None = None) -> tuple[TextRows, str]:
    """Return the rows of a text file, and in words how it is read.

    Raises
    ------
    ListError
        If it cannot be read, is binary or too large.
    """
    used = _encoding(path, encoding)
    with path.open(encoding=used, newline="") as file:
        head = file.read(_SAMPLE)
    named = _NAMED.match(head)
    delimiter = named[1] if named else _likeliest(head)
    said = {"utf-8-sig": "UTF-8", "utf-16": "UTF-16"}.get(used, used)
    rows = TextRows(path, used, delimiter, 1 if named else 0)
    return rows, f"{said}, {DELIMITERS.get(delimiter, repr(delimiter))}-separated"


def _encoding(path: Path, named: str | None) -> str:
    """The encoding that the whole file can be read in; the first that fits."""
    try:
        if path.stat().st_size > MOST_BYTES:
            raise ListError(f"{path.name}: over {MOST_BYTES // 1024**2} MB")
        with path.open("rb") as file:
            marked = file.read(2) in _MARKS
        tries = [named] if named else ["utf-16"] if marked else ["utf-8-sig", "cp1252", "latin-1"]
        for name in tries:
            if _fits(path, name, wide=marked or (named or "").lower().replace("_", "-").startswith("utf-16")):
                return name
    except OSError as fault:
        raise ListError(f"cannot read {str(path)!r}: {fault.strerror}") from None
    raise ListError(f"{path.name}: not readable as {tries[0]}", hint="name its encoding with --encoding")


def _fits(path: Path, encoding: str, *, wide: bool) -> bool:
    try:
        b"a".decode(encoding, "replace")  # refuses what is no encoding of texts
        decoder = codecs.getincrementaldecoder(encoding)()
    except LookupError:
        raise ListError(f"unknown encoding {encoding!r}") from None
    with path.open("rb") as file:
        while chunk := file.read(_CHUNK):
            if not wide and b"\0" in chunk:
                raise ListError(f"{path.name}: not a text file")
            try:
                decoder.decode(chunk)
            except UnicodeError:
                return False
    try:
        decoder.decode(b"", final=True)
    except UnicodeError:
        return False
    return True


def _likeliest(text: str) -> str:
    """The delimiter that gives the most rows of one width over the first lines, wider before narrower."""
    sample = text.splitlines()[:50]
    best, score = ",", (0, 0)
    for candidate in DELIMITERS:
        widths = [len(row) for row in _sampled(sample, candidate) if row]
        if not widths:
            continue
        usual = max(set(widths), key=lambda width: (widths.count(width) if width > 1 else 0, width))
        if usual > 1 and (widths.count(usual), usual) > score:
            best, score = candidate, (widths.count(usual), usual)
    return best


def _sampled(sample: list[str], delimiter: str) -> Iterator[list[str]]:
    """Rows of a sample, as far as it can be read: its last cell may have been cut."""
    try:
        yield from csv.reader(sample, delimiter=delimiter, skipinitialspace=True)
    except csv.Error:
        return


def _closed(lines: list[str], delimiter: str) -> None:
    """A quote that is never closed would swallow the rest of a list without a word."""
    try:
        next(csv.reader(lines, delimiter=delimiter, skipinitialspace=True, strict=True), None)
    except csv.Error as fault:
        if "end of data" in str(fault):
            raise csv.Error("a quote is opened here and never closed") from None
