"""The value of a capacitor: what the numbers of its description may mean together.

The pieces that bear on the value are collected in the order of the text; `ways` then weighs them. A value with its unit goes before
a printed code, a code before a list without a unit, and that before a bare number.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from decimal import Decimal

from partsbin.notation.bare import Section, Sections, bare_value, section_lists
from partsbin.notation.codes import Limits
from partsbin.notation.marks import Mark
from partsbin.notation.scan import Token

_POINT_OR_THOUSANDS = re.compile(r"[1-9][0-9]{0,2}\.[0-9]{3} ?(?i:p|mm|uu)")
_MOST_SECTIONS = 12
_FEW = 4
_MICROFARAD = Decimal("1E-6")
_LEAST_TWIN, _MOST_TWIN = Decimal("4E-6"), 4
"""Farads of a section from which 2x50 µF, written together, may be one can; and how many alike it may have. Common practice."""


@dataclass
class Value:
    """One piece that bears on the value: its numbers (farads where `unit`), its own rating, and what joins it to the one before."""

    piece: Token
    numbers: tuple[Decimal, ...]
    unit: bool
    joined: bool
    volts: list[Decimal] = field(default_factory=list)


@dataclass(frozen=True)
class Way:
    """One way of reading the value.

    Parameters
    ----------
    capacitance : Decimal or None
        Farads; None for sections, and where no value is given.
    sections : tuple of Section
        Of a can with several.
    tolerance, voltage : limits, Decimal or None
        What a printed code adds.
    count, series : int
        Parts alike; parts in series, whose ratings add.
    notes : tuple of str
        What was assumed.
    sure : bool
        False where another reading is usual too.
    unread : tuple of Token
        Pieces that this way leaves without a meaning.
    """

    capacitance: Decimal | None = None
    sections: tuple[Section, ...] = ()
    tolerance: Limits | None = None
    voltage: Decimal | None = None
    count: int = 1
    series: int = 1
    notes: tuple[str, ...] = ()
    sure: bool = True
    unread: tuple[Token, ...] = ()

    def noted(self, note: str, *, sure: bool = False) -> Way:
        """The same way with one more note."""
        return replace(self, notes=(*self.notes, note) if note else self.notes, sure=self.sure and sure)


class Values:
    """The pieces of a description that bear on the value, in its order."""

    def __init__(self) -> None:
        self.found: list[Value] = []
        self.marked: list[tuple[Token, list[Mark]]] = []
        self.times = 1
        self.pending = 1

    @property
    def given(self) -> bool:
        """Whether a value, a code or a bare number has come already."""
        return bool(self.found or self.marked)

    @property
    def explicit(self) -> list[Value]:
        """The values with a unit."""
        return [value for value in self.found if value.unit]

    def single(self) -> Decimal | None:
        """The farads of the one value with a unit, None if there is none or more."""
        only = self.explicit[0].numbers if len(self.explicit) == 1 else ()
        return only[0] if len(only) == 1 and only[0] > 0 else None

    def add(self, piece: Token, *, plus: bool = False, farads: Decimal | None = None) -> bool:
        """Take a quantity, a list or a bare number; nothing that no capacitor can have."""
        numbers = (farads,) if farads is not None else piece.values
        if not all(number > 0 for number in numbers):
            return False
        repeated = self.pending if self.found else 1
        if not self.found:
            self.times = self.pending
        self.pending = 1
        unit = farads is not None or bool(piece.unit or piece.letter)
        self.found.append(Value(piece, (numbers * repeated)[:_MOST_SECTIONS], unit, plus or repeated > 1))
        return True

    def add_marks(self, piece: Token, marks: list[Mark]) -> bool:
        """Take what a printed code may mean."""
        if marks:
            self.marked.append((piece, marks))
        return bool(marks)

    def multiply(self, times: int) -> bool:
        """Take the 2 of ``2x``, for the value that follows."""
        self.pending = times
        return times > 0

    def rate(self, volts: Decimal) -> None:
        """Give a rating to the value that it follows."""
        if self.found and not self.found[-1].volts:
            self.found[-1].volts = [volts]

    def rate_each(self, volts: tuple[Decimal, ...]) -> bool:
        """Give a list of ratings to a list of sections, one each; two rising ones are working volts and surge instead."""
        last = self.found[-1] if self.found else None
        if (
            last is None
            or len(last.numbers) != len(volts)
            or len(volts) < 2
            or (len(volts) == 2 and volts[0] < volts[1])
        ):
            return False
        last.volts = list(volts)
        return True


def ways(values: Values, dielectric: str, *, can: bool, together: bool, joining: str, rated: bool) -> list[Way]:
    """Return what the value may be, the likelier way first.

    Parameters
    ----------
    values : Values
        The pieces that bear on it.
    dielectric : str
        As far as it is known, "" if not.
    can : bool
        Whether a word says that there are several sections.
    together : bool
        Whether how many and the value are written together: 2x50, 32x32.
    joining : str
        ``series``, ``parallel`` or "".
    rated : bool
        Whether a rating stands in the text.

    Returns
    -------
    list of Way
        Empty if no value is given.
    """
    found = _of_units(values, dielectric, can) or _of_marks(values) or _of_bare(values, dielectric, can, rated)
    times = values.times if values.times > 1 else values.pending  # "2x" before the value, "2 off" after it
    rating = values.found[0].volts[-1] if values.found and values.found[0].volts else None
    return [
        counted
        for way in found
        for counted in _counted(
            way,
            times,
            joining,
            Section(Decimal(0), voltage=rating) if can or (together and _twin(way, times)) else None,
        )
    ]


def _twin(way: Way, times: int) -> bool:
    """Whether a value written 2x50 or 32x32 may be a can with that many sections."""
    farads = way.capacitance or Decimal(0)
    return farads >= _LEAST_TWIN and (times <= _MOST_TWIN or _squared(way, times))


def _squared(way: Way, times: int) -> bool:
    """32x32 µF: the same figure twice."""
    return way.capacitance == times * _MICROFARAD


def _of_units(values: Values, dielectric: str, can: bool) -> list[Way]:
    """The values with a unit: one, sections, or several that contradict each other."""
    explicit = values.explicit
    if not explicit:
        return []
    bare = tuple(value.piece for value in values.found if not value.unit)
    first = explicit[0]
    if sum(len(value.numbers) for value in explicit) == 1:
        return [replace(way, unread=way.unread + bare) for way in _one(first, values.marked)]
    unread = (*bare, *(piece for piece, _ in values.marked))
    lists = [value for value in explicit if len(value.numbers) > 1]
    if len(explicit) == len(lists) and len({value.piece.detail for value in lists}) == 1:
        read = section_lists([value.numbers for value in lists], first.piece.detail, True, dielectric, can)
        return [_sections(way, explicit, unread) for way in read]
    if lists or any(value.joined for value in explicit[1:]) or all(value.volts for value in explicit):
        flat = Sections(tuple(Section(number) for value in explicit for number in value.numbers))
        return [_sections(flat, explicit, unread)]
    distinct = list(dict.fromkeys(value.numbers[0] for value in explicit))
    if len(distinct) == 1:
        return [Way(distinct[0], unread=unread)]
    texts = " and ".join(f"'{value.piece.text}'" for value in explicit)
    return [Way(number, unread=unread).noted(f"{texts} both give a value") for number in distinct]


def _one(value: Value, marked: list[tuple[Token, list[Mark]]]) -> list[Way]:
    """One value with its unit, with what a code beside it says of the same value."""
    farads = value.numbers[0]
    if _POINT_OR_THOUSANDS.match(value.piece.text):
        why = f"the point in '{value.piece.text}' may be a decimal point, or set thousands apart as on the Continent"
        return [Way(farads).noted(why), Way(farads * 1000).noted(why)]
    same = [mark for _, marks in marked for mark in marks if mark.capacitance == farads]
    unread = tuple(piece for piece, marks in marked if not any(mark.capacitance == farads for mark in marks))
    if same:
        return [Way(farads, tolerance=same[0].tolerance, voltage=same[0].voltage, unread=unread)]
    return [Way(farads, unread=unread)]


def _of_marks(values: Values) -> list[Way]:
    """A printed code."""
    if not values.marked:
        return []
    (_, marks), *more = values.marked
    unread = (*(piece for piece, _ in more), *(value.piece for value in values.found))
    return [
        Way(
            mark.capacitance,
            tolerance=mark.tolerance,
            voltage=mark.voltage,
            notes=(mark.note,),
            sure=mark.sure,
            unread=unread,
        )
        for mark in marks
    ]


def _of_bare(values: Values, dielectric: str, can: bool, rated: bool) -> list[Way]:
    """Numbers without a unit: lists are sections, else the first number is the value."""
    lists = [value for value in values.found if len(value.numbers) > 1]
    if lists and len({value.piece.detail for value in lists}) == 1:
        parts = [value for value in values.found if value in lists or (value.joined and value.volts)]  # 32+32/450 25/25
        unread = tuple(value.piece for value in values.found if value not in parts)
        read = section_lists([value.numbers for value in parts], lists[0].piece.detail, False, dielectric, can)
        return [_sections(way, parts, unread) for way in read]
    joined = len(values.found) > 1 and all(value.joined for value in values.found[1:])
    if joined and not lists:
        numbers = tuple(value.numbers[0] for value in values.found)
        return [_sections(way, values.found, ()) for way in section_lists([numbers], "+", False, dielectric, can)]
    if not values.found:
        return []
    first, *more = values.found
    unread = tuple(value.piece for value in more)
    return [
        Way(mark.capacitance, notes=(mark.note,), sure=mark.sure, unread=unread)
        for mark in bare_value(first.piece.text, first.numbers[0], dielectric, rated)
    ]


def _sections(read: Sections, values: list[Value], unread: tuple[Token, ...]) -> Way:
    """Sections with their ratings: each its own, or the one that follows, which then holds for all before it."""
    ranged = len(read.sections) == len(values)  # one section for each piece, single values and ranges
    rated: list[Decimal | None] = []
    for value in values:
        count = 1 if ranged else len(value.numbers)
        own: list[Decimal | None] = [*value.volts] or [None]
        rated += own if len(own) == count else own[:1] * count
    following: Decimal | None = next((volts for volts in reversed(rated) if volts is not None), None)
    for index in reversed(range(len(rated))):
        following = following if rated[index] is None else rated[index]
        rated[index] = following
    sections = tuple(replace(section, voltage=volts) for section, volts in zip(read.sections, rated, strict=True))
    return Way(sections=sections, notes=(read.note,) if read.note else (), sure=read.sure, unread=unread)


def _counted(way: Way, times: int, joining: str, can: Section | None) -> list[Way]:
    """Several alike: in series, in parallel, that many parts, or perhaps that many sections like `can` of one can."""
    if joining and times < 2:
        return [way.noted(f"in {joining}: how many is not said")]
    if times < 2:
        return [way]
    if joining and way.capacitance is not None:
        if joining == "series":
            note = f"{times} in series: value divided by {times}, rating times {times} if the voltage is shared evenly"
            return [replace(way, capacitance=way.capacitance / times, series=times).noted(note, sure=True)]
        return [
            replace(way, capacitance=way.capacitance * times).noted(f"{times} in parallel: values added", sure=True)
        ]
    if can is not None and times >= _FEW and _squared(way, times):
        pair = (replace(can, capacitance=times * _MICROFARAD),) * 2
        squared = replace(way, capacitance=None, sections=pair).noted(
            f"'{times}x{times}' read as two sections of one can", sure=True
        )
        return (
            [squared]
            if times > _MOST_SECTIONS
            else [replace(squared, sure=False), replace(way, count=times, sure=False)]
        )
    if can is not None and way.capacitance is not None and times <= _MOST_SECTIONS:
        twin = replace(way, capacitance=None, sections=(replace(can, capacitance=way.capacitance),) * times)
        return [
            twin.noted(f"'{times}x' read as sections of one can"),
            replace(way, count=times).noted(f"'{times}x' read as {times} parts"),
        ]
    return [replace(way, count=times)]
