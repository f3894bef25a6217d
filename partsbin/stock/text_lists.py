"""Text files of cells: encoding and delimiter recognised, rows with their lines, read as a stream and as often as wanted."""

from __future__ import annotations

import codecs
import csv
import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import TextIO

from partsbin.errors import PartsbinError
from partsbin.stock.limits import CELL, COLUMNS, FILE, LINE, MB, ROWS

DELIMITERS = {",": "comma", ";": "semicolon", "\t": "tab", "|": "bar"}
ONE_COLUMN, ALIGNED = "\x1f", "  "
"""What stands for a delimiter where lines are one cell each, and where blanks keep the columns below each other."""
_NAMED = re.compile(r"(?i)\ufeff?sep=([^\w\s\"]|\t)[ ]*(?:\r\n|\n|\r|$)")
"""The line with which some spreadsheets name the delimiter."""
_MARKS = (b"\xff\xfe", b"\xfe\xff")
_CHUNK, _SAMPLE = 1 << 20, 1 << 16
_RULE = re.compile(r"[-=+:|_*.\s]*")
"""A line drawn between rows says nothing."""
_CONTROL = re.compile(r"[\x00-\x08\x0e-\x1f\x7f-\x9f]")
_BETWEEN_FIGURES = re.compile(r"(?<=[0-9]),(?=[0-9])")
_TENTH = re.compile(r"(?<![0-9.,])0,[0-9]")
_GAP = re.compile(r"[^\s](?:[^\s]| (?! ))*")
"""A piece of a line whose columns are kept apart by several blanks."""


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
    places : tuple of (int, int)
        Where columns begin and end that blanks keep apart.
    """

    path: Path
    encoding: str
    delimiter: str
    skip: int = 0
    places: tuple[tuple[int, int], ...] = ()

    def lines(self) -> int:
        """Return how many lines there are, ended ones: about as many as rows."""
        with self.path.open("rb") as file:
            return sum(chunk.count(b"\n") for chunk in iter(lambda: file.read(_CHUNK), b""))

    def __iter__(self) -> Iterator[tuple[int, tuple[str, ...]]]:
        most = ROWS.most
        rows = self._aligned() if self.delimiter == ALIGNED else self._separated()
        yield from islice(rows, most + 1)  # the headings are no row
        if next(rows, None) is not None:
            raise ListError(*ROWS.over(self.path.name))

    def _aligned(self) -> Iterator[tuple[int, tuple[str, ...]]]:
        with self.path.open(encoding=self.encoding) as file:
            for number, line in enumerate(_lines(file, self.path.name), 1):
                if not _RULE.fullmatch(line):
                    yield number, _placed(line, self.places)

    def _separated(self) -> Iterator[tuple[int, tuple[str, ...]]]:
        with self.path.open(encoding=self.encoding, newline="") as file:
            for _ in range(self.skip):
                file.readline()
            csv.field_size_limit(CELL.most)
            most, over = COLUMNS.most, list[bool]()
            reader = csv.reader(_lines(file, self.path.name, over), delimiter=self.delimiter, skipinitialspace=True)
            start = self.skip + 1
            try:
                for row in reader:
                    if over:  # it asked for more than there is: a quote is open
                        self._closed(start)
                    if any(row):
                        cells = tuple(map(str.strip, row))
                        if len(cells) > most:
                            raise ListError(*COLUMNS.over(f"{self.path.name}:{start}"))
                        if cells[0][:1].isalnum() or not _RULE.fullmatch("".join(cells)):
                            yield start, cells
                    start = self.skip + reader.line_num + 1
            except csv.Error as fault:
                where = f"{self.path.name}:{start}"
                raise ListError(
                    *(CELL.over(where) if "field limit" in str(fault) else (f"{where}: {fault}",))
                ) from None

    def _closed(self, start: int) -> None:
        """A quote that is never closed would swallow the rest of a list without a word."""
        with self.path.open(encoding=self.encoding, newline="") as file:
            lines = islice(file, start - 1, None)
            try:
                next(csv.reader(lines, delimiter=self.delimiter, skipinitialspace=True, strict=True), None)
            except csv.Error as fault:
                if "end of data" in str(fault):
                    raise csv.Error("a quote is opened here and never closed") from None


def _lines(file: TextIO, name: str, over: list[bool] | None = None) -> Iterator[str]:
    """The lines of a file, none of them so long that it fills the memory; noted is when more are asked for than there are."""
    most, number = LINE.most, 0
    while line := file.readline(most + 1):
        number += 1
        if len(line) > most:
            raise ListError(*LINE.over(f"{name}:{number}"))
        yield line
    if over is not None:
        over.append(True)


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
    if not encoding and len(_CONTROL.findall(head)) > max(20, len(head) / 50):
        raise ListError(f"{path.name}: not a text file")
    named = _NAMED.match(head)
    delimiter = named[1] if named else _likeliest(head)
    places: tuple[tuple[int, int], ...] = ()
    if delimiter == ONE_COLUMN:
        places = _columns_of_blanks(head.splitlines()[:50])
        delimiter = ALIGNED if places else delimiter
    said = {"utf-8-sig": "UTF-8"}.get(used, used.upper() if used.startswith("utf-16") else used)
    rows = TextRows(path, used, delimiter, 1 if named else 0, places)
    return rows, f"{said}, {_SAID.get(delimiter) or DELIMITERS.get(delimiter, repr(delimiter)) + '-separated'}"


def plain_lines(path: Path, encoding: str | None = None) -> tuple[list[tuple[int, str]], str]:
    """Return the lines of a text file that say anything, with their numbers, uncut; and in words how it is read.

    Raises
    ------
    ListError
        If it cannot be read, or is too large.
    """
    used = _encoding(path, encoding)
    with path.open(encoding=used) as file:
        lines = [(number, line.strip()) for number, line in enumerate(file, 1) if not _RULE.fullmatch(line)]
    return lines, "UTF-8" if used == "utf-8-sig" else used.upper()


_SAID = {ONE_COLUMN: "one cell a line", ALIGNED: "columns kept apart by blanks"}


def _encoding(path: Path, named: str | None) -> str:
    """The encoding that the whole file can be read in; the first that fits."""
    try:
        if path.stat().st_size > FILE.most * MB:
            raise ListError(*FILE.over(path.name))
        with path.open("rb") as file:
            start = file.read(1024)
        marked, unmarked = start[:2] in _MARKS, _unmarked(start)
        tries = ["utf-16"] if marked else [unmarked] if unmarked else ["utf-8-sig", "cp1252", "latin-1"]
        tries = [named] if named else tries
        for name in tries:
            if _fits(
                path,
                name,
                wide=marked or bool(unmarked) or (named or "").lower().replace("_", "-").startswith("utf-16"),
            ):
                return name
    except OSError as fault:
        raise ListError(f"cannot read {str(path)!r}: {fault.strerror}") from None
    raise ListError(f"{path.name}: not readable as {tries[0]}", hint="name its encoding with --encoding")


def _unmarked(start: bytes) -> str:
    """UTF-16 without its mark: every other byte of plain letters is nothing."""
    for name, nothing, letters in (("utf-16-le", start[1::2], start[::2]), ("utf-16-be", start[::2], start[1::2])):
        if len(start) > 3 and nothing.count(0) > 0.8 * len(nothing) and not letters.count(0):
            return name
    return ""


def _fits(path: Path, encoding: str, *, wide: bool) -> bool:
    try:
        b"a".decode(encoding, "replace")  # refuses what is no encoding of texts
        decoder = codecs.getincrementaldecoder(encoding)()
    except LookupError:
        raise ListError(f"unknown encoding {encoding!r}") from None
    most, lines = ROWS.most, 0
    with path.open("rb") as file:
        while chunk := file.read(_CHUNK):
            if not wide and b"\0" in chunk:
                raise ListError(f"{path.name}: not a text file")
            lines += 0 if wide else chunk.count(b"\n")
            if lines > most + 1:
                raise ListError(*ROWS.over(path.name))
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
    """The delimiter that gives the most rows of one width over the first lines, wider before narrower.

    Where few lines have any, or only as decimal commas, each line is one cell.
    """
    sample = [line for line in text.splitlines()[:50] if not _RULE.fullmatch(line)]
    best, score = ONE_COLUMN, (0, 0)
    for candidate in DELIMITERS:
        widths = [len(row) for row in _sampled(sample, candidate) if row]
        if not widths or (candidate == "," and _only_decimals(sample)):
            continue
        usual = max(set(widths), key=lambda width: (widths.count(width) if width > 1 else 0, width))
        if usual > 1 and (widths.count(usual), usual) > score and 3 * widths.count(1) < 2 * len(widths):
            best, score = candidate, (widths.count(usual), usual)
    return best


def _only_decimals(sample: list[str]) -> bool:
    """Whether every comma stands between figures, and the headings have none or a tenth is written ``0,1``."""
    having = [line for line in sample if "," in line]
    return all(len(_BETWEEN_FIGURES.findall(line)) == line.count(",") for line in having) and (
        "," not in sample[0] or any(map(_TENTH.search, having))
    )


def _columns_of_blanks(sample: list[str]) -> tuple[tuple[int, int], ...]:
    """Where the pieces of the fullest of the first lines stand, if most lines have as many."""
    lines = [[found.span() for found in _GAP.finditer(line)] for line in sample if not _RULE.fullmatch(line)]
    fullest = max(lines, key=len, default=[])
    alike = sum(len(places) == len(fullest) for places in lines)
    if len(fullest) > 1 and 2 * alike >= len(lines) > 1:
        return tuple(fullest)
    return tuple(lines[0]) if _headed(sample, lines) else ()


def _headed(sample: list[str], lines: list[list[tuple[int, int]]]) -> bool:
    """Whether the first line names columns below which nearly every piece stands, though rows leave cells empty."""
    if len(lines) < 3 or len(lines[0]) < 3 or re.search(r"\d", sample[0]):
        return False
    starts = {start for start, _ in lines[0]}
    pieces = [start for places in lines[1:] for start, _ in places]
    return 10 * sum(start in starts for start in pieces) >= 9 * len(pieces) and len(pieces) > 2 * len(lines)


def _placed(line: str, places: tuple[tuple[int, int], ...]) -> tuple[str, ...]:
    """The pieces of a line, each in the column whose beginning or end is nearest."""
    pieces = [found[0] for found in _GAP.finditer(line)]
    if len(pieces) == len(places):
        return tuple(pieces)
    cells = [""] * len(places)
    for found in _GAP.finditer(line):
        start, end = found.span()
        near = min(
            range(len(places)), key=lambda index: min(abs(places[index][0] - start), abs(places[index][1] - end))
        )
        cells[near] = f"{cells[near]} {found[0]}".strip()
    return tuple(cells)


def _sampled(sample: list[str], delimiter: str) -> Iterator[list[str]]:
    """Rows of a sample, as far as it can be read: its last cell may have been cut."""
    try:
        yield from csv.reader(sample, delimiter=delimiter, skipinitialspace=True)
    except csv.Error:
        return
