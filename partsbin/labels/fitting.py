"""Words into the room beside a code: as large as they go, and what is too long is cut where it hurts least.

A title says the value first and is cut at its end. A place or a number tells at its end which one it is, and is cut in the middle.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from partsbin.paper import POINT, face, in_order

SIZES = tuple(half / 2 for half in range(32, 11, -1))
"""Sizes of type that are tried for a title [pt]."""

SMALLER = 0.8
"""Size of the lines below a title, as a fraction of its own [-]."""

LEADING, ASCENT = 1.17, 0.93
"""From line to line, and from the top of a line to its foot, as a fraction of the size: those of the typeface [-]."""

CUT = "…"
MOST = 400
"""Signs of a title that are looked at: more never find room on a label [-]."""


@dataclass(frozen=True)
class Row:
    """One line of type.

    Parameters
    ----------
    text : str
        Its signs in the order in which they are seen.
    style : str
        "B" for bold.
    size : float
        Of the type [pt].
    foot : float
        From the top of the room to the foot of the line [mm].
    """

    text: str
    style: str
    size: float
    foot: float


@dataclass(frozen=True)
class Fitted:
    """Words that found room, and whether something was cut."""

    rows: tuple[Row, ...]
    cut: bool


def fit(title: str, lines: Sequence[str], width: float, height: float) -> Fitted:
    """Return a title in bold and lines below it, as large as they go.

    Parameters
    ----------
    title : str
        Printable.
    lines : sequence of str
        Printable; the first ones are the last to be left out.
    width, height : float
        The room [mm].
    """
    for size in SIZES:
        wrapped = wrap(title, "B", size, width)
        if wrapped is None or any(face().width(line, _below(size)) > width for line in lines):
            continue
        if _height(len(wrapped), len(lines), size) <= height:
            return Fitted(_rows(wrapped, lines, size, height), False)
    size = SIZES[-1]
    room = max(1, math.floor(height / (size * LEADING * POINT) + 1e-9))
    kept = [middle(line, size, width) for line in lines[: room - 1]]
    rows = wrap(title, "B", size, width, breaking=True) or [""]
    if len(rows) > room - len(kept):
        rows = rows[: room - len(kept)]
        rows[-1] = ended(rows[-1], "B", size, width)
    said = ["".join(rows).replace(" ", ""), *kept]  # a word broken over two lines is not lost
    return Fitted(_rows(rows, kept, size, height), said != [title.replace(" ", ""), *lines])


def _below(size: float) -> float:
    return max(SIZES[-1], size * SMALLER)


def _height(titles: int, lines: int, size: float) -> float:
    return (titles * size + lines * _below(size)) * LEADING * POINT


def _rows(titles: Sequence[str], lines: Sequence[str], size: float, height: float) -> tuple[Row, ...]:
    """Place lines of type one below the other, the block in the middle of its room."""
    top = max(0.0, (height - _height(len(titles), len(lines), size)) / 2)
    placed = []
    for text, style, own in [*((t, "B", size) for t in titles), *((line, "", _below(size)) for line in lines)]:
        placed.append(Row(in_order(text), style, own, top + own * ASCENT * POINT))
        top += own * LEADING * POINT
    return tuple(placed)


def wrap(text: str, style: str, size: float, width: float, *, breaking: bool = False) -> list[str] | None:
    """Return a text in lines no wider than the room, None where a word is too long and may not be broken."""
    rows: list[str] = []
    row = ""
    for blank, word in _words(text[:MOST]):
        longer = f"{row}{blank}{word}" if row else word
        if face(style).width(longer, size) <= width:
            row = longer
            continue
        if row:
            rows.append(row)
        row = word
        while face(style).width(row, size) > width:
            if not breaking:
                return None
            head = _head(row, style, size, width)
            rows.append(head)
            row = row[len(head) :]
    return [*rows, row] if row or not rows else rows


def _words(text: str) -> list[tuple[str, str]]:
    """Return the words of a text, each with what stands before it: a figure in one with its unit, a compound in parts."""
    whole = re.split(r"(?<!\d) | (?![%°]|[YZEPTGMkhdcmunpµΩVAWFHs]{1,3}\b)", text)
    parts = [re.split(r"(?<=[^\W\d_]{2}-)(?=[^\W\d_]{2})", word) for word in whole]
    return [("" if at else " ", part) for word in parts for at, part in enumerate(word)]


def _head(word: str, style: str, size: float, width: float) -> str:
    """Return as much of a word as has room, one sign at least."""
    kept = 1
    while kept < len(word) and face(style).width(word[: kept + 1], size) <= width:
        kept += 1
    return word[:kept]


def ended(text: str, style: str, size: float, width: float) -> str:
    """Return a text that ends in an ellipsis within its room."""
    while text and face(style).width(text + CUT, size) > width:
        text = text[:-1]
    return text.rstrip() + CUT


def middle(text: str, size: float, width: float) -> str:
    """Return a text within its room; where it is too long, its beginning and its end."""
    if face().width(text, size) <= width:
        return text
    kept = min(len(text), MOST)
    while kept > 1:
        head, tail = text[: kept // 2].rstrip(), text[len(text) - (kept - kept // 2) :].lstrip()
        if face().width(head + CUT + tail, size) <= width:
            return head + CUT + tail
        kept -= 1
    return CUT
