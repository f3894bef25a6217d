"""Lines of a list that are no parts: headings of what follows (``RESISTORS 1/2 W``), totals, the headings once more."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

from partsbin import families
from partsbin.families import load
from partsbin.families._declare import Facts, child_type, plain_type, unit_of
from partsbin.stock.contents import has_value, is_place
from partsbin.stock.counted import count_in
from partsbin.stock.describe import family_by_words, named_family, read_as, singular
from partsbin.stock.headings import meaning
from partsbin.stock.lists import Cells

_TOTAL = re.compile(
    r"(?i)(?:grand |sub-?)?total\b.*|sum(?:me)?(?:\s*:)?|(?:gesamt|zwischen)(?:summe|betrag)?\b.*"
    r"|shipping|postage|p ?& ?p|versand(?:kosten)?|mwst\b.*|vat\b.*"
)
TOTAL_LETTERS = frozenset("tsgzpvmTSGZPVM")
"""What the words for totals begin with."""

_DRAWN = " \t#*=-_:.~>+|"
_RATING = re.compile(r"(?i)\D{0,3}\d+(?:[/.,]\d+)?\s*(?:k?v|m?w|watts?|volts?)(?:\s*[ad]c)?")
_VALUED = frozenset({"F", "ohm", "H", "Hz"})
"""Units of values: what names one is a part, what names ratings only may be a heading."""

_MADE_OF = frozenset({"dielectric", "technology", "polarised"})
_MOST_LETTERS = 60


class Section(NamedTuple):
    """What the headings above a row say: the family, texts with what all its parts share, the place."""

    family: str = ""
    texts: tuple[str, ...] = ()
    place: str = ""


NONE = Section()


class Sections:
    """Tells headings among the rows of one list, and keeps what they say of the rows below.

    Parameters
    ----------
    cells : Cells
        The list.
    """

    def __init__(self, cells: Cells) -> None:
        self.header = cells.header
        sample = cells.sample()
        self.narrow = 2 * sum(_filled(row) > 1 for row in sample) < len(sample)
        self.placed = any(meaning(heading, ()).role == "place" for heading in cells.header)
        self.now = NONE
        named = {named_family(heading) for heading in cells.header if heading} - {""}
        if len(named) == 1 and not any(meaning(heading, ()).role == "family" for heading in cells.header):
            self.now = Section(named.pop())  # a column is headed by what stands in it: Potis
        for text in cells.above:
            self._heads(text, gap=True)

    def look(self, values: Sequence[str], *, gap: bool) -> bool:
        """Return whether a row is no part but a heading, a total, or the headings again; a gap may stand above it."""
        first = values[0] or next(filter(None, values), "")
        if (values.count("") < len(values) - 1 and first[:1] not in TOTAL_LETTERS and first not in self.header) or len(
            first
        ) > _MOST_LETTERS:
            return False
        if first in self.header and tuple(values[: len(self.header)]) == tuple(self.header):
            return True
        if first[:1] in TOTAL_LETTERS and _TOTAL.fullmatch(first):
            return not any(has_value(cell) for cell in values)
        return _filled(values) == 1 and self._heads(first, gap=gap)

    def _heads(self, text: str, *, gap: bool) -> bool:
        """Take a text that stands alone for a heading, if it names no value."""
        said = text.strip(_DRAWN)
        drawn = text[:1] in "#*=-" or text.rstrip().endswith(":")
        if is_place(said) and not (self.narrow and self.placed):
            self.now = self.now._replace(place=said)
            return True
        if _RATING.fullmatch(said) and (not self.narrow or drawn):
            self.now = self.now._replace(texts=(*self.now.texts[:1], said) if self.now.family else (said,))
            return True
        if self.now.family and (made := _material(said, self.now.family)):
            self.now = Section(made, (said,), "")  # Mica, below Electrolytics and their values
            return True
        family, one = family_by_words(singular(said)), singular(said)
        if not family or family not in families.names():
            if (drawn or not self.narrow) and not re.search(r"\d", said) and not _speaks(said):
                self.now = NONE  # a heading of something else: what stood above it holds no longer
                return drawn
            if not (gap and self.narrow and (family := _of_ratings(said))):
                return False
        plural = one.split() != said.lower().rstrip(":").split()
        if not (plural or drawn or gap or said.isupper()) or _values(family, said) or count_in(said)[1].many:
            return False
        self.now = Section(family, (said,), "")
        return True


def _material(text: str, above: str) -> str:
    """The family of parts that a text names by what they are made of and by nothing else; "" if none."""
    if re.search(r"\d", text) or len(text.split()) > 2:
        return ""
    for name in dict.fromkeys((above, "capacitor", "resistor")):
        found = read_as(load(name), text)
        if len(found) == 1 and not found[0].rest and found[0].fields and {*found[0].fields} <= _MADE_OF:
            return name
    return ""


def _filled(values: Sequence[str]) -> int:
    return sum(map(bool, values))


@lru_cache(256)
def shared(section: Section, family: str) -> dict[str, object]:
    """Return what the headings say of every part below them, as fields of its family."""
    fields: dict[str, object] = {}
    for text in section.texts if section.family in ("", family) else ():
        for said in (text, singular(text), f"{family} {text}"):
            if found := read_as(load(family), said):
                fields |= found[0].fields
                break
    return fields


def _speaks(text: str) -> bool:
    return any(read_as(load(name), text) for name in families.names())


def _of_ratings(text: str) -> str:
    """The one family that understands all of a text that names no value: ``1W metal film``."""
    having = [
        name
        for name in families.names()
        if any(reading.sure and not reading.rest for reading in read_as(load(name), text)) and not _values(name, text)
    ]
    return having[0] if len(having) == 1 else ""


def _values(family: str, text: str) -> bool:
    """Whether a text says which part it is, not only of what sort."""
    facts: type[Facts] = load(family).facts
    for reading in read_as(load(family), text):
        for name in reading.fields:
            info = facts.model_fields.get(name)
            if info is None:
                continue
            if child_type(info.annotation) or unit_of(info) in _VALUED or plain_type(info.annotation) == (str, ()):
                return True
    return False
