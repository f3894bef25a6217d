"""What the code on a label holds, and the code itself: as large and as well protected against damage as its room allows.

A part's label holds its number, ``P-0042``; a place's holds ``PLACE:`` and its name, ``PLACE:drawer C2``. Both are short, both are
plain words to any scanner, and neither can be taken for the other. A telephone opens one that has the bench page before it.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple
from urllib.parse import quote, unquote

from partsbin.errors import UsageError
from partsbin.stock.shelf import id_of, number_of

PLACE = "PLACE:"
"""What the code of a place begins with."""

LEVELS = "HQML"
"""Levels of error correction, the strongest first: about 30, 25, 15 and 7 % of a code may be lost."""

QUIET = 4
"""Clear margin around a code that a reader wants [modules]."""

LEAST, MOST = 0.33, 0.8
"""Side of one module: below the first a cheap printer smears it, beyond the second it only takes room [mm]."""

_PART = re.compile(r"P-[0-9]{4,16}")
_PAGE = re.compile(r"https?://(?:[A-Za-z0-9.-]{1,253}|\[[0-9A-Fa-f:.]{2,45}\])(?::[0-9]{1,5})?/?")
_SCAN = "/scan?code="


@dataclass(frozen=True)
class Scanned:
    """What a scanned code means: a part, or a place; the other one is empty.

    Parameters
    ----------
    part : str
        A part's number, ``P-0042``.
    place : str
        A place's name.
    """

    part: str = ""
    place: str = ""


def code_of_part(number: str) -> str:
    """Return what the code of a part holds."""
    return number_of(id_of(number))


def code_of_place(name: str) -> str:
    """Return what the code of a place holds."""
    return f"{PLACE}{name}"


def code_on_page(page: str, code: str) -> str:
    """Return a code that a telephone's camera opens: the address of the bench page, and the code as it is without.

    Raises
    ------
    UsageError
        If the address is none.

    Examples
    --------
    >>> code_on_page("http://192.0.2.7:8071/", "PLACE:drawer C2")
    'http://192.0.2.7:8071/scan?code=PLACE%3Adrawer%20C2'
    """
    if _PAGE.fullmatch(page.strip()) is None:
        raise UsageError(
            f"{page[:60]!r} is no address of the bench page", hint="as serve says it: http://192.0.2.7:8071"
        )
    return f"{page.strip().rstrip('/')}{_SCAN}{quote(code, safe='')}"


def read_code(text: str) -> Scanned:
    """Return what a scanned text means, with the address of a bench page before it or without.

    Raises
    ------
    UsageError
        If it is not from one of our labels.
    """
    page, scan, code = text.partition(_SCAN)
    if scan and _PAGE.fullmatch(page):
        text = unquote(code)
    if text.startswith(PLACE) and text != PLACE:
        return Scanned(place=text.removeprefix(PLACE))
    if _PART.fullmatch(text):
        return Scanned(part=number_of(id_of(text)))
    raise UsageError(f"{text[:60]!r} is not from a label of ours", hint=f"such as P-0042 or {PLACE}drawer C2")


@dataclass(frozen=True)
class Symbol:
    """A code that fits its room.

    Parameters
    ----------
    rows : tuple of bytes
        Modules from the top: 1 dark, 0 light.
    module : float
        Side of one module [mm].
    level : str
        Of error correction: H, Q, M or L.
    """

    rows: tuple[bytes, ...]
    module: float
    level: str

    @property
    def side(self) -> float:
        """Side of the code without its clear margin [mm]."""
        return len(self.rows) * self.module

    @property
    def quiet(self) -> float:
        """Its clear margin [mm]."""
        return QUIET * self.module

    def bars(self) -> Iterator[tuple[float, float, float]]:
        """Yield runs of dark modules: left, top and length, from the code's upper left corner [mm]."""
        for down, row in enumerate(self.rows):
            for run in re.finditer(rb"\x01+", row):
                yield run.start() * self.module, down * self.module, (run.end() - run.start()) * self.module


class Room(NamedTuple):
    """What a code may take in one direction, its clear margin included.

    Parameters
    ----------
    length : float
        Up to the edge of the label, or to the words [mm].
    before, after : float
        What stays unprinted of it at either end; the clear margin may lie there [mm].
    """

    length: float
    before: float = 0.0
    after: float = 0.0

    def module(self, count: int) -> float:
        """Return the largest module of a code that is so many modules wide [mm]."""
        length, before, after = self
        return min(
            length / (count + 2 * QUIET),
            (length - before) / (count + QUIET),
            (length - after) / (count + QUIET),
            (length - before - after) / count,
        )


def symbol(text: str, across: Room, down: Room, *, dot: float = 0.0, pattern: int | None = None) -> Symbol:
    """Return the code of a text for a room: the strongest level that fits, then the largest modules.

    Parameters
    ----------
    text : str
        What it is to hold.
    across, down : Room
        The room.
    dot : float
        One dot of the printer: a module is a whole number of these; 0 where it is not known [mm].
    pattern : int, optional
        Which of the eight patterns is laid over it; without it the one that a scratched print is read best with, which is looked for.

    Returns
    -------
    Symbol
        The code; a dot of the room is left over to move it onto the printer's dots.

    Raises
    ------
    UsageError
        If it does not fit with modules of `LEAST`.
    """
    rooms = [room._replace(length=room.length - dot) for room in (across, down)]
    counts = []
    for level in LEVELS:
        if rows := _modules(text, level, pattern):
            module = _whole(min(MOST, *(room.module(len(rows)) for room in rooms)), dot)
            if module >= LEAST:
                return Symbol(rows, module, level)
            counts.append(len(rows))
    said = text if len(text) <= 60 else f"{text[:40]}… ({len(text)} signs)"
    if not counts:
        raise UsageError(f"{said!r} is more than a code can hold", hint="a shorter name")
    needed = (min(counts) + 2 * QUIET) * _whole(LEAST, dot, up=True) + dot
    raise UsageError(
        f"the code of {said!r} needs {needed:.1f} mm with its clear margin: "
        f"the label has {across.length:.1f} × {down.length:.1f} mm for it",
        hint="a larger label, or a shorter name",
    )


def _modules(text: str, level: str, pattern: int | None) -> tuple[bytes, ...] | None:
    import segno

    plain = text.isascii()
    try:
        made = segno.make_qr(
            text, error=level, mask=pattern, boost_error=False, encoding=None if plain else "utf-8", eci=not plain
        )
    except segno.DataOverflowError:
        return None
    return tuple(bytes(row) for row in made.matrix)


def _whole(length: float, dot: float, *, up: bool = False) -> float:
    if not dot:
        return length
    return (math.ceil(length / dot - 1e-9) if up else math.floor(length / dot + 1e-9)) * dot
