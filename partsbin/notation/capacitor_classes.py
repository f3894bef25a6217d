"""x2 on a capacitor: a safety class, two pieces, or nobody can tell.

A wrong class would put a part across the mains that was never made for it, so a class has to be earned: by AC volts, or by
capitals with volts that approvals are given for. Where the text allows both, both are read, and neither is sure.
"""

from __future__ import annotations

import re
from decimal import Decimal
from typing import NamedTuple

from partsbin.notation.scan import Token, scan
from partsbin.notation.vocabulary import CAPACITOR

# fmt: off
APPROVAL_VOLTS = frozenset(map(Decimal, (125, 150, 250, 275, 300, 305, 310, 330, 400, 440, 480, 500)))
# fmt: on
"""AC volts that stand beside a safety class (common practice, no source)."""

MOST_BARE_AC = Decimal(500)
"""A bare V beside a class is AC up to here; above it is a DC or a test voltage (common practice, no source)."""

_LARGEST_CLASSED = Decimal("1E-5")  # farad: no part with a safety class is larger
_PIECES = r"(?:pcs?|pieces?|off|stk|st\xfcck|count|qty|pair)\b\.?"
_NOT_A_LENGTH = r"(?!\w|[/.,+\"~]| ?(?:mm|cm|in(?! (?:series|serie|parallel|reihe))|v|va?c|[µup]f)\b)"
_MARK = re.compile(
    rf"(?i)(?<![\w/.+])(?<![0-9] )(?P<before>(?:qty|count|quantity)\b[ :=]{{0,2}})?"
    rf"(?P<x>x)(?P<blank> ?)(?P<number>[1-9][0-9]{{0,2}}){_NOT_A_LENGTH}"
    rf"(?P<after> ?\(? ?{_PIECES} ?\)?)?"
)
_CLASS_NUMBERS = "1234"


class Meant(NamedTuple):
    """One way of taking the text: with its class, or with ``x2`` written out as pieces; "" where nothing is to be noted."""

    text: str
    doubt: str = ""


def class_or_count(text: str) -> list[Meant]:
    """Return the ways of taking a text in which a class may be a number of pieces.

    Parameters
    ----------
    text : str
        The description in plain signs.

    Returns
    -------
    list of Meant
        One, or two of which neither is sure, the likelier first. Pieces are written as ``2 off``.

    Notes
    -----
    AC volts make a class, unless a word such as ``pcs`` stands with the ``x2``: then it is either. Capitals beside bare volts of an
    approval, or beside no volts, make a class; small letters there leave it open. Other volts beside small letters make it a
    count, and beside capitals leave it open. From 10 µF up, and on electrolytics, it is always a count.

    Examples
    --------
    >>> [way.text for way in class_or_count("100n 630V film x2")]
    ['100n 630V film 2 off']
    >>> len(class_or_count("100n 275V~ X2")), len(class_or_count("100n 275V~ x2 pcs"))
    (1, 2)
    """
    found = list(_MARK.finditer(text))
    if len(found) != 1:
        return [Meant(text)]
    pieces = scan(text, CAPACITOR)
    if any(re.fullmatch(r"(?i)(x[1-4])?y[1-4]", piece.text) for piece in pieces):
        return [Meant(text)]
    mark = found[0]
    end = mark.end() if mark["before"] or mark["after"] else mark.end("number")
    counted = f"{text[: mark.start()]} {mark['number']} off {text[end:]}".strip()
    named = f"{text[: mark.start()]}X{mark['number']}{text[end:]}"
    if mark["blank"] or mark["number"] not in _CLASS_NUMBERS or _never_classed(pieces):
        return [Meant(counted)]
    says = _likelihoods(pieces, capital=mark["x"] == "X", worded=bool(mark["before"] or mark["after"]))
    why = f"'{mark[0].strip()}' may be a safety class or a number of pieces: look at the part" if len(says) > 1 else ""
    return [Meant(named if says_class else counted, why) for says_class in says]


def _likelihoods(pieces: list[Token], *, capital: bool, worded: bool) -> tuple[bool, ...]:
    """True for a class, False for pieces, the likelier first."""
    volts = [piece for piece in pieces if piece.unit == "V" and piece.kind in ("quantity", "list")]
    if any(piece.detail == "ac" or "~" in piece.text or "ac" in piece.text.lower() for piece in volts):
        return (False, True) if worded else (True,)
    if worded:
        return (False,)
    approved = any(piece.detail != "dc" and APPROVAL_VOLTS.intersection(piece.values) for piece in volts)
    if approved or not volts:
        return (True,) if capital else (False, True)
    return (True, False) if capital else (False,)


def _never_classed(pieces: list[Token]) -> bool:
    """Whether the part is too large for a class, or electrolytic."""
    wet = any(piece.meaning in (("material", "electrolytic"), ("material", "tantalum")) for piece in pieces)
    return wet or any(piece.unit == "F" and max(piece.values) >= _LARGEST_CLASSED for piece in pieces)
