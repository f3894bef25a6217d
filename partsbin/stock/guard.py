"""Texts that a spreadsheet would take for a formula, or a list for nothing: an apostrophe before them, and none when they come back."""

from __future__ import annotations

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
