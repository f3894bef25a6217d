"""What the cells of a column look like, whatever its heading says: designators, values, ratings, counts, words of the trade."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from partsbin.notation.scan import phrase_key
from partsbin.notation.vocabulary import CONDITION
from partsbin.stock.describe import family_by_designator, family_by_words, named_family, readings_of, singular
from partsbin.stock.headings import DESIGNATOR, RATING, UNIT, VALUE, is_unit

RUNNING = "running number"
"""Contents that are no role: nothing is read from them."""

LOOKED_AT, READ = 200, 40
"""Cells of a column that are looked at, and how many of them are read as descriptions, which takes longer [-]."""

_NUMBER = r"\d+(?:[.,]\d+)?"
_DESIGNATORS = re.compile(r"[A-Za-z]{1,3} ?\d{1,4}[a-z]?(?:\s*[,;/ –-]\s*(?:[A-Za-z]{1,3} ?)?\d{1,4}[a-z]?)*")
_VALUE = re.compile(
    rf"(?:{_NUMBER}\s*(?:[pnuµμmkKMR]|[KM][Ee][Gg]|[Mm]ohm|[Kk]ohm|[munpµμ]?[FH]|mm?fd?|[kKM]?(?:Ω|[Oo]hms?))[A-Z]{{0,2}}"
    r"|\d+[pnuµkKMRr]\d+|R\d+)"
)
_RATING = re.compile(rf"{_NUMBER}\s*(?:k?V|m?A|m?W|watts?|volts?)(?:\s*[DA]\.?C\.?)?(?:\s*,.*)?", re.IGNORECASE)
_COUNT = re.compile(r"(?:about |ca\.? ?|~ ?)?\d{1,5}(?: ?(?:x|pcs?\.?|off|stk\.?|stück))?", re.IGNORECASE)
_MONEY = re.compile(r"[€$£¥]\s*[\d.,]+|[\d.,]+\s*(?:[€$£¥]|eur\b)", re.IGNORECASE)
_CLASS = re.compile(r"[XY][1-4]?(?: ?[/+] ?[XY][1-4]?)?", re.IGNORECASE)
_VOLTS = frozenset({
    "63", "160", "200", "250", "275", "300", "350", "385", "400", "450", "500", "525", "600", "630", "750", "800", "1000", "1500",
    "1600", "2000", "3000", "3500", "4000",
})  # fmt: skip
"""Rated volts as printed, none of which is a likely count."""
_PLACE = re.compile(r"(?i)(?:drawer|box|shelf|bin|tray|cabinet|schublade|kiste|fach|regal|karton)\s+[\w-]{1,12}")
_PART = re.compile(r"P-\d{4,}")


def shares(cells: Sequence[str]) -> dict[str, float]:
    """Return which share of the cells that say something looks like each kind [-].

    Parameters
    ----------
    cells : sequence of str
        A column, or its beginning.

    Returns
    -------
    dict
        Share by kind: roles of columns, and `RUNNING`; empty where nothing stands in the column.
    """
    said = [cell for cell in cells if cell and cell not in "~-?"][:LOOKED_AT]
    if not said:
        return {}
    found = {kind: sum(map(looks, said)) / len(said) for kind, looks in _KINDS.items()}
    found[RUNNING] = float(len(said) > 2 and all(cell.isdecimal() for cell in said) and _rises(said))
    return found


def described(cells: Sequence[str]) -> float:
    """Return which share of the first cells that say something is understood as a part [-]."""
    said = [cell for cell in cells if cell and cell not in "~-?"][:READ]
    return sum(map(_described, said)) / len(said) if said else 0.0


def worded(cells: Sequence[str]) -> float:
    """Return which share of the first cells that say something has a word of the trade, or is understood as a part [-]."""
    said = [cell for cell in cells if cell and cell not in "~-?"][:READ]
    return sum(bool(family_by_words(singular(cell))) or _described(cell) for cell in said) / len(said) if said else 0.0


def is_money(cells: Sequence[str]) -> bool:
    """Return whether most cells hold sums of money."""
    said = [cell for cell in cells if cell][:LOOKED_AT]
    return sum(bool(_MONEY.search(cell)) for cell in said) > len(said) / 2


def is_data(cell: str) -> bool:
    """Return whether a cell is plainly no heading: a designator, a value, a description of a part."""
    return bool(_VALUE.fullmatch(cell)) or _designates(cell) or (" " in cell and bool(_VALUE.match(cell)))


def is_place(cell: str) -> bool:
    """Return whether a cell names a place to keep parts in, such as ``Drawer 4``, and nothing else."""
    return bool(_PLACE.fullmatch(cell.strip(" :")))


def has_value(cell: str) -> bool:
    """Return whether a cell is a value in trade notation, or begins with one."""
    return bool(_VALUE.match(cell))


def says_part(cell: str) -> bool:
    """Return whether a cell is understood as a part, and holds a figure, as a heading hardly does."""
    return bool(re.search(r"\d", cell)) and _described(cell)


def _rises(said: Sequence[str]) -> bool:
    numbers = [int(cell[:9]) for cell in said]
    return all(later == earlier + 1 for earlier, later in pairwise(numbers))


def _designates(cell: str) -> bool:
    return bool(_DESIGNATORS.fullmatch(cell)) and bool(family_by_designator(cell))


def _described(cell: str) -> bool:
    """A description has several words, one of them of the trade, or is understood as a part."""
    if not re.search(r"[^\W\d_]", cell) or _designates(cell) or re.search(r"https?:|[a-z]_[A-Z]|_.*:", cell):
        return False
    return (" " in cell and bool(family_by_words(cell))) or any(
        not reading.bare and not reading.rest for reading in readings_of(cell)
    )


_KINDS = {
    DESIGNATOR: _designates,
    VALUE: lambda cell: bool(_VALUE.fullmatch(cell)) and not _designates(cell),
    RATING: lambda cell: bool(_RATING.fullmatch(cell)),
    "count": lambda cell: bool(_COUNT.fullmatch(cell)),
    "family": lambda cell: bool(named_family(cell)),
    "safety_class": lambda cell: bool(_CLASS.fullmatch(cell)),
    "condition": lambda cell: phrase_key(cell) in CONDITION,
    UNIT: is_unit,
    "voltage": lambda cell: cell in _VOLTS,
    "part": lambda cell: bool(_PART.fullmatch(cell)),
}
