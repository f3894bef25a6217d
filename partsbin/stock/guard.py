"""Texts that a spreadsheet would take for a formula, or a list for nothing: an apostrophe before them, and none when they come back."""

from __future__ import annotations

from typing import Protocol

GUARD = "'"
BLANKS = frozenset({"value", "~", "-", "n/a", "?"})
"""What lists write into a cell that says nothing."""

LONGEST_BLANK = max(map(len, BLANKS))
"""Letters of the longest of them [-]."""

_FORMULA = ("=", "+", "-", "@", "\t", "\r", GUARD)


def guarded(text: str) -> str:
    """Return a text as it is written into a cell: an apostrophe stands before what would begin a formula, or say nothing.

    Examples
    --------
    >>> guarded("=1+1"), guarded("-20 %"), guarded("22 nF"), guarded("'57 chassis"), guarded("-")
    ("'=1+1", "'-20 %", '22 nF', "''57 chassis", "'-")
    """
    return GUARD + text if text.startswith(_FORMULA) or text.lower() in BLANKS else text


def harmless(text: str) -> str:
    """Return somebody's own cell as it came, but for an apostrophe where it would begin a formula.

    Examples
    --------
    >>> harmless("=1+1"), harmless("'=1+1"), harmless("-"), harmless("22 nF")
    ("'=1+1", "'=1+1", '-', '22 nF')
    """
    return GUARD + text if text.startswith(_FORMULA[:-1]) and text.lower() not in BLANKS else text


def unguarded(text: str) -> str:
    """Return what a cell says, without the apostrophe that `guarded` puts there; "" where lists mean nothing by it.

    Examples
    --------
    >>> unguarded("'=1+1"), unguarded("''57 chassis"), unguarded("'57 chassis"), unguarded("-"), unguarded("'-")
    ('=1+1', "'57 chassis", "'57 chassis", '', '-')
    """
    if text.startswith(GUARD):
        rest = text[1:]
        return rest if guarded(rest) == text else text
    return "" if text.lower() in BLANKS else text


class _Writes(Protocol):
    def write(self, text: str, /) -> object: ...


class PlainEnds:
    """A file for rows of CSV that are written with ``\\r\\n`` behind them: it ends them with ``\\n``.

    A cell is put in quotes if it holds a sign that ends rows. Written with ``\\n`` alone, one with ``\\r`` in it would stand bare,
    and what follows would be a row of its own, whose first cell may be a formula.
    """

    def __init__(self, file: _Writes) -> None:
        self.file = file

    def write(self, row: str) -> None:
        """Write one row."""
        self.file.write(f"{row.removesuffix(ROW_END)}\n")


ROW_END = "\r\n"
"""What rows for `PlainEnds` are written with."""
