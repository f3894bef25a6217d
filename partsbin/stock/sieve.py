"""What a line of a price list can be at most, told by its figures and words without reading it: which families, between which values.

Reading a line in full takes half a millisecond, a supplier's list has some hundred thousand, and a need wants a few of them. The
sieve holds back only what no reading could turn into what is sought: where it cannot tell, it lets through. Lines that differ in
their figures alone are told apart once.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from partsbin import families
from partsbin.families._declare import unit_of
from partsbin.notation.text import LIMIT
from partsbin.stock.columns import DESIGNATOR, UNIT, VALUE
from partsbin.stock.columns import Mapping as ColumnMap
from partsbin.stock.describe import TRADE_FAMILIES, family_by_words, named_family
from partsbin.stock.lying import LYING
from partsbin.stock.price_reader import picking
from partsbin.stock.sections import Section

ANY = (1 << len(TRADE_FAMILIES)) - 1
SEVERAL = 1 << len(TRADE_FAMILIES)
"""Beside the families: the price may be that of several pieces."""

WIDEST = 1e300
_SLACK = 1.02  # values are rounded when they are written and read


class Sieved(NamedTuple):
    """Families as bits, `SEVERAL` among them; the least and the greatest value that a capacitor [F] or a resistance [ohm] has, and
    the most that it bears: a capacitor [V], a resistance [W].
    """

    bits: int
    low: float
    high: float
    most: float


def bit(family: str) -> int:
    """Return the bit of a family [-]."""
    return 1 << TRADE_FAMILIES.index(family)


_new = tuple.__new__
"""Makes a named tuple in a third of the time."""

OPEN = Sieved(ANY | SEVERAL, 0.0, WIDEST, WIDEST)
_RESISTANCES = bit("resistor") | bit("potentiometer")
_FARADS = bit("capacitor")
VALUED = _FARADS | _RESISTANCES
"""Families of which the value says whether they may serve."""

_NUMBER = re.compile(r"[0-9]+(?:[.,][0-9]+)*|\.(?<![^\s(/]\.)[0-9]+", re.ASCII)
_SPLIT = re.compile(f"({_NUMBER.pattern})", re.ASCII)
_SPELLING = str.maketrans({"μ": "µ", "ω": "Ω", "Ω": "Ω"})
_SCALE = {"p": 1e-12, "n": 1e-9, "u": 1e-6, "µ": 1e-6, "k": 1e3, "m": 1e6, "r": 1.0}
_OHMS = r"(?:ohms?|Ω)"
_VALUE = re.compile(
    rf"0(?:(?P<pico>pf|mmfd?|uuf|µµf|p)|(?P<nano>nf|n)|(?P<micro>[uµ]f|mfd|u|µ)|(?P<milli>mf)"
    rf"|(?P<kilo>k{_OHMS}?)|(?P<mega>m(?:eg)?{_OHMS}|meg|m)|(?P<ohm>r|{_OHMS}))"
)
"""A figure with its unit, and nothing beside."""

_INFIX = re.compile(r"0([pnuµkmr])0[fj]?")
_PREFIX = re.compile(r"([pnuµkmr])0[fj]?")
_BESIDE = re.compile(
    r"[±+-]?0%|0k?v(?:dc|ac|=|~|w|dcw|olts?)?|0/0w|0m?w(?:atts?)?|0m?a|0µ?m?h|0mm|0k?hz|0°c|0ppm|0pcs"
    r"|[lqstyz]0|[a-z]{2,}-?0(?!(?:[pnuµm]f?|[kr])\Z)[a-z]{0,2}|[^0]*"
)
"""What says no value: ratings, dimensions, types, words."""

_VOLTS = re.compile(r"0(?P<kilo>k?)v(?:dc|ac|~|=|w|dcw|olts?)?")
_POWER = re.compile(r"(?P<share>0/)?0(?P<milli>m?)w(?:atts?)?")
_TURNING = 4.0
"""Volts DC that one of so many volts AC is taken to bear, at most: its peak, and what makers allow beyond it [-]."""

_ALTERNATING = re.compile(r"(?<![a-z0])(?:x0)?[xy]0(?![a-z0])|class|klasse|a\. ?c\b|ac\b|~|rms|eff|wechsel")
"""Volts beside a safety class are AC, whether they say so or not; the word may stand apart from them."""

_PULLED = re.compile(
    rf"0[ ](?=(?:pf|mmfd?|uuf|µµf|nf|[uµ]f|mfd|mf|k{_OHMS}|k|m(?:eg)?{_OHMS}|meg|{_OHMS}|k?v|vdc|vac|volts?|m?w|watts?|%|m?a|mm|k?hz"
    r"|µ?m?h|pcs)(?![^\s,;()/]))"
)
_WORD = re.compile(r"[^\s,;()]+")
_LABEL = re.compile(r"[a-z]{1,3}0[^:=]{0,40}[:=]\s")
_COLOURS = re.compile(
    r"\b(?:bla?c?k|bro?w?n?|re?d|ora?n?g?e?|ye?l?l?o?w?|gre?e?n|blu?e?|vio?l?e?t?|purple|gr[ae]?y|wh?i?t?e?|silver|gold|gd|gr|og|sw|br|rt|ge|gn|bl|vi|ws"
    r"|schwarz|braun|rot|gelb|grün|blau|violett|grau|weiß)\b"
)
_ODD = re.compile(r"0\s?m(?:[oO]hm|[ΩΩω]|\b)|(?:\A|\s),0|[a-zA-Z]-?0\s?[/-]\s?0|0\s?[kK]\s[pP][fF]")
"""Milliohms, a comma before a figure, ``1k1/2W``, ``QZ-22/4,7 Ω``: written rarely, and not told from what looks like it."""

_TOGETHER = re.compile(
    r"pair|paar|quad|set\b|satz|pcs|pieces|pack|bag|box|lot\b|stück|stk|off\b|dozen|dutzend|duo|gross|\b0\s?x\b|\bx\s?0\b|0er\b|\b0x0\s?[pnuµ]"
)


_Term = tuple[int, bool, float]
_Rating = tuple[int, bool, float]
"""Which figure, whether it is a share of it and the next, its scale."""


class _Shape(NamedTuple):
    """What all lines have in common that differ in their figures alone; values as (which figure, whether two make it, scale)."""

    figures: int
    worded: str
    bits: int
    farads: tuple[_Term, ...] = ()
    ohms: tuple[_Term, ...] = ()
    codes: tuple[int, ...] = ()
    volts: tuple[_Rating, ...] = ()
    watts: tuple[_Rating, ...] = ()


class Sieve:
    """Sieves the lines of one table.

    Parameters
    ----------
    mapping : Mapping
        What its columns are.
    usual : str
        The family that the list is one of; "" if of none.
    """

    def __init__(self, mapping: ColumnMap, usual: str = "") -> None:
        self.usual = usual
        self.where, self.columns = mapping.where, mapping.columns
        self.told = DESIGNATOR in mapping.where or mapping.own
        self.places = [at for at, column in enumerate(mapping.columns) if column.role and column.role not in LYING]
        units = _units()
        self.bare = [
            (at, unit)
            for at in self.places
            if (unit := mapping.columns[at].unit or units.get(mapping.columns[at].role, "")) not in ("", "-", "F")
        ]
        self.united = bool(self.bare) or UNIT in mapping.where
        wording = {*mapping.descriptions, *(self.where.get(role, -1) for role in (VALUE, "family"))}
        self.wording = [at for at in self.places if at in wording]
        self.telling = [at for at in self.places if mapping.columns[at].role in units]
        self.whole = len(self.wording) == len(self.places)  # no column says anything but words and values
        self.ways: dict[tuple[str, str, int], _Way] = {}
        self.plain: dict[int, dict[str, _Way]] = {}
        self.named: dict[str, str] = {}
        self.words: dict[str, str] = {}
        self.above: dict[Section, int] = {}

    def look(self, values: Sequence[str], section: Section) -> Sieved:
        """Return what a line can be at most; it is as wide as the headings."""
        if self.told:
            return OPEN
        text = self._with_units(values) if self.united else " ".join([values[at] for at in self.places])
        if len(text) > LIMIT or _numeric(text):
            return OPEN
        shape = _NUMBER.sub("0", text)
        family = self._named(values) or ("" if self.whole else self._worded(values))
        asked = (shape, family, self._above(values, section))
        if (way := self.ways.get(asked)) is None:
            way = self.ways[asked] = _way(_shape(shape), *asked[1:])
        return way.of(_NUMBER.findall(text), 0) if way.terms or way.codes else way.open

    def look_all(self, rows: Sequence[tuple[str, ...]], sections: Sequence[Section]) -> list[Sieved]:
        """Return the same of many lines and of what stands above each; at once, where their words are all that counts."""
        texts = list(map(" ".join, map(picking(self.places), rows)))
        blob = "\n".join(texts)
        plain = self.whole and not (self.told or self.united or self.telling or "family" in self.where)
        if (
            not plain
            or blob.count("\n") >= max(len(texts), 1)
            or max(map(len, texts), default=0) > LIMIT
            or _numeric(blob)
        ):
            return [self.look(values, section) for values, section in zip(rows, sections, strict=True)]
        pieces = _SPLIT.split(blob)  # words and figures in turn
        numbers, shapes, at, found = pieces[1::2], "0".join(pieces[::2]).split("\n"), 0, []
        last: Section | None = None
        for shape, section in zip(shapes if texts else (), sections, strict=True):
            if section is not last:
                last, above = section, self._above((), section)
                ways = self.plain.setdefault(above, {})
            if (way := ways.get(shape)) is None:
                way = ways[shape] = _way(_shape(shape), "", above)
            found.append(way.of(numbers, at) if way.terms or way.codes else way.open)
            at += way.count
        return found

    def _with_units(self, values: Sequence[str]) -> str:
        """Return the line with the units of bare figures beside them, as their columns have them."""
        cells = list(values)
        for at, unit in self.bare:
            if _NUMBER.fullmatch(cells[at]):
                cells[at] = f"{cells[at]} {unit}"
        if UNIT in self.where and VALUE in self.where and _NUMBER.fullmatch(cells[self.where[VALUE]]):
            cells[self.where[VALUE]] += f" {values[self.where[UNIT]]}"
        return " ".join([cells[at] for at in self.places])

    def _named(self, values: Sequence[str]) -> str:
        at = self.where.get("family")
        if at is None or not (cell := values[at]):
            return ""
        if cell not in self.named:
            self.named[cell] = named_family(cell)
        return self.named[cell]

    def _worded(self, values: Sequence[str]) -> str:
        said = _NUMBER.sub("0", " ".join([values[at] for at in self.wording]))
        if said not in self.words:
            self.words[said] = family_by_words(said)
        return self.words[said]

    def _above(self, values: Sequence[str], section: Section) -> int:
        """Families that the line may be of because of what stands elsewhere."""
        if self.telling and any(values[at] for at in self.telling):
            return ANY
        if section not in self.above:
            self.above[section] = sum({bit(name) for name in (section.family, self.usual) if name})
        return self.above[section]


def _numeric(text: str) -> bool:
    """Whether there are figures that nobody can tell here: ½, or those of another script."""
    return not text.isascii() and any(letter.isnumeric() and not letter.isascii() for letter in text)


class _Way:
    """How lines of a shape are told: which families, and which figures are the value."""

    def __init__(
        self, shape: _Shape, bits: int, terms: Sequence[_Term], codes: Sequence[int], ratings: Sequence[_Rating]
    ) -> None:
        self.count, self.bits, self.terms, self.codes, self.ratings = shape.figures, bits, terms, codes, ratings
        self.open = Sieved(bits, 0.0, WIDEST, WIDEST)
        self.either = Sieved(bits | _FARADS, 0.0, WIDEST, WIDEST)
        self.single = terms[0] if len(terms) == 1 and not terms[0][1] else None
        self.rated = ratings[0][0] if len(ratings) == 1 and not ratings[0][1] else -1
        self.mosts: dict[str, float] = {}

    def of(self, numbers: Sequence[str], first: int) -> Sieved:
        """Return what a line can be whose figures begin at the first."""
        for at in self.codes:
            if not numbers[first + at].isdecimal() or len(numbers[first + at]) == 3:
                return self.either  # 473K on a disc: a code, and its tolerance
        if not self.terms:
            return self.open
        if self.single:
            low, high = _span(numbers[first + self.single[0]], self.single[2])
        else:
            found = [value for at, split, scale in self.terms for value in _values(numbers, first + at, split, scale)]
            low, high = min(found), max(found)
        if (most := self.mosts.get(numbers[first + self.rated]) if self.rated >= 0 else None) is None:
            most = self._most(numbers, first)
        return _new(Sieved, (self.bits, low / _SLACK, high * _SLACK, most))

    def _most(self, numbers: Sequence[str], first: int) -> float:
        """Return the most that a line can bear: the greatest rating of those that it names."""
        most = 0.0
        for at, share, scale in self.ratings:
            if share and not numbers[first + at + 1].strip("0,."):
                return WIDEST
            under = max(_values(numbers, first + at + 1, False, 1.0)) if share else 1.0
            most = max(most, max(_values(numbers, first + at, False, scale)) / under)
        most = most * _SLACK if self.ratings else WIDEST
        if self.rated >= 0:
            self.mosts[numbers[first + self.rated]] = most
        return most


def _way(shape: _Shape, family: str, above: int) -> _Way:
    bits, codes, family = shape.bits, shape.codes, family or shape.worded
    if family:
        bits, codes = (bit(family) if family in TRADE_FAMILIES else 0) | bits & SEVERAL, ()
    else:
        bits |= above
    farads, ohms = bool(bits & _FARADS), bool(bits & _RESISTANCES)
    terms = shape.farads if farads else shape.ohms
    if farads == ohms or (farads and any(at != terms[0][0] for at, _, _ in terms)):
        terms = ()
    return _Way(shape, bits, terms, codes, shape.volts if farads else shape.watts)


def _shape(text: str) -> _Shape:
    """Say what lines of a shape can be: narrow bounds only where each figure in them is one of those that are known."""
    odd, count = _ODD.search(text), text.count("0")
    text = text.lower().translate(_SPELLING)
    worded = family_by_words(text)
    several = SEVERAL if _TOGETHER.search(text.replace("_", " ")) else 0
    opened = _Shape(count, "" if _LABEL.match(text) else worded, ANY | several)
    if odd or _LABEL.match(text) or len(_COLOURS.findall(text)) > 1 or len(_WATTS.findall(text)) > 1:
        return opened
    farads: list[_Term] = []
    ohms: list[_Term] = []
    codes: list[int] = []
    typed, loose, at = False, False, 0
    volts: list[_Rating] = []
    watts: list[_Rating] = []
    swing = _TURNING if _ALTERNATING.search(text) else 1.0
    for word in _WORD.findall(_PULLED.sub("0", text)):
        for piece in [word] if _BESIDE.fullmatch(word) else word.split("/"):
            if match := _VALUE.fullmatch(piece):
                kind = match.lastgroup or ""
                loose |= kind == "milli"
                own = farads if kind in _OF_FARADS else ohms
                own += [(at, False, scale) for scale in _SCALES[kind]]
                codes += [at] if piece[1:] in ("k", "m") else []
            elif match := _INFIX.fullmatch(piece) or _PREFIX.fullmatch(piece):
                own = farads if match[1] in "pnuµ" else ohms
                own.append((at, True, _SCALE[match[1]] * (1 if piece[0] == "0" else -1)))
                codes += [at] if match[1] in "km" else []
            elif not _BESIDE.fullmatch(piece):
                return opened
            if match := _VOLTS.fullmatch(piece):
                volts.append((at, False, (1000.0 if match["kilo"] else 1.0) * swing))
            elif match := _POWER.fullmatch(piece):
                watts.append((at, bool(match["share"]), 1e-3 if match["milli"] else 1.0))
            typed |= "0" in piece and piece[0] not in "0±+-"
            at += piece.count("0")
    if loose and watts:  # 1MF 1/2W: megohms, too
        return opened
    if len(farads) > len({*farads}) or sum(not split for _, split, _ in farads) > 2:
        return opened  # sections, which may be joined
    ratings = ((*volts,), (*watts,))
    if worded:
        return _Shape(
            count,
            worded,
            (bit(worded) if worded in TRADE_FAMILIES else 0) | several,
            (*farads,),
            (*ohms,),
            (),
            *ratings,
        )
    if not farads and not ohms:
        return _Shape(count, "", (ANY & ~VALUED if typed and not _RATED.search(text) else ANY) | several)
    bits = (ANY & ~_RESISTANCES if farads else 0) | (ANY & ~_FARADS if ohms else 0)
    return _Shape(count, "", bits | several, (*farads,), (*ohms,), () if _WATTS.search(text) else (*codes,), *ratings)


_WATTS = re.compile(r"0\s?m?w\b")
_RATED = re.compile(rf"0\s?(?:m?w\b|watts?\b|%|[km]?{_OHMS}|[pnuµ]f)")
"""Beside these the figure of a type may be the value of a part: ``RES QZ-22 5% 0.25W``."""

_SCALES = {
    "pico": (1e-12,), "nano": (1e-9,), "micro": (1e-6,), "milli": (1e-3, 1e-6), "kilo": (1e3,), "mega": (1e6,), "ohm": (1.0,),
}  # fmt: skip
_OF_FARADS = frozenset({"pico", "nano", "micro", "milli"})


def _values(numbers: Sequence[str], at: int, split: bool, scale: float) -> tuple[float, ...]:
    """Return what a figure can mean: three figures behind a sign may be decimals, or thousands."""
    figure = numbers[at]
    if split:
        behind = figure if scale < 0 else numbers[at + 1]
        if not behind.isdecimal() or len(behind) > 2 or (scale > 0 and len(figure) > 2):
            return 0.0, WIDEST  # 473K63: a code, its tolerance, volts
        return (float(f"0.{figure}" if scale < 0 else f"{figure}.{behind}") * abs(scale),)
    if figure.isdecimal():
        return (float(figure) * scale,)
    head, _, behind = figure.replace(",", ".").partition(".")
    if "." in behind:
        return 0.0, WIDEST
    value = float(f"{head or '0'}.{behind}") * scale
    return (value, value * 1000) if len(behind) == 3 and head.strip("0") else (value,)


def _span(figure: str, scale: float) -> tuple[float, float]:
    """Return the least and the greatest of what a figure can mean."""
    if "," in figure or figure.count(".") > 1:
        found = _values((figure,), 0, False, scale)
        return min(found), max(found)
    value = float(figure) * scale
    return value, value * 1000 if figure[-4:-3] == "." and figure[:-4].strip("0") else value


def _units() -> dict[str, str]:
    return {
        name: unit_of(info)
        for each in families.names()
        for name, info in families.load(each).facts.model_fields.items()
    }
