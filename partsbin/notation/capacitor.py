"""A capacitor's description to its fields: one sure reading, several with the reason, or none.

`capacitor_pieces` sorts the pieces, `capacitance` says what the value may be; here each way of reading the value is put
together with what is certain. Fields that the text does not give are absent.
"""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

from partsbin.notation.bare import WET
from partsbin.notation.capacitance import Way, ways
from partsbin.notation.capacitor_classes import MOST_BARE_AC, Meant, class_or_count
from partsbin.notation.capacitor_pieces import SURGE, CapacitorPieces
from partsbin.notation.dielectric import Made, dielectric_of, name_film, spell_ceramic_class
from partsbin.notation.reading import Reading, unread
from partsbin.notation.scan import scan
from partsbin.notation.text import normalise
from partsbin.notation.vocabulary import CAPACITOR
from partsbin.notation.writing import format_quantity

if TYPE_CHECKING:
    from partsbin.notation.colour_capacitors import Colours
    from partsbin.notation.colour_dots import Painted

_LARGEST_CLASSED = Decimal("1E-5")
"""Farads that no part with a safety class has: from there up an x2 means two parts."""

_UNSAID = {
    "tubular": "tubular: paper, film or ceramic is not said",
    "block": "a block: paper, film or electrolytic is not said",
}

_DESIGNATOR = re.compile(r"V?C[0-9]{1,4}[a-z]?", re.ASCII)

_LEAST_FUSE = Decimal("0.5")
"""From here up a number beside volts may be the amperes of a fuse."""

_TOGETHER = re.compile(r"(?<![\w.,])[0-9]{1,2}[xX×][0-9]")  # 2x50, and not 2x 50

_BARE_AC = re.compile(r"(\d) ?~")  # 125~ is written for 125 V~

_LETTERS = re.compile(r"[^\W\d_]{2,}")


def read_capacitor(text: str) -> list[Reading]:
    """Read the description of a capacitor.

    Parameters
    ----------
    text : str
        Such as ``0.02uF 350V waxed paper``, ``8+8 µF/450 V``, ``2J473K``.

    Returns
    -------
    list of Reading
        Empty if nothing in the text speaks of a capacitor; several if it can be read in several ways, the likelier first.

    Notes
    -----
    A rating without AC or DC is DC, except beside a safety class, whose ratings are AC. Sections keep their values and DC
    ratings to themselves: `capacitance` and `voltage_dc` are then absent.

    Examples
    --------
    >>> read_capacitor("0.02uF 350V waxed paper")[0].fields
    {'capacitance': 2e-08, 'voltage_dc': 350.0, 'dielectric': 'paper-waxed'}
    """
    plain = normalise(text)
    painted = _colours(plain.text)
    if painted is not None:
        return _read_painted(painted, plain.notes)
    meant = class_or_count(_BARE_AC.sub(r"\1V~", spell_ceramic_class(name_film(plain.text))))
    return [reading for way in meant for reading in _read(way, plain.notes)]


def _colours(plain: str) -> Colours | None:
    """Find colours, which come three at least: most texts have fewer words, and do without the tables of colours."""
    if len(_LETTERS.findall(plain)) < 3:
        return None
    from partsbin.notation.colour_capacitors import find_colours

    return find_colours(plain)


def _read(meant: Meant, cut: tuple[str, ...]) -> list[Reading]:
    """Read one way of taking the text."""
    pieces = CapacitorPieces(scan(meant.text, CAPACITOR))
    if meant.doubt:
        pieces.doubt(meant.doubt)
    made = _made(pieces)
    found = ways(
        pieces.values,
        made.dielectric,
        can=bool({"can", "block"} & set(pieces.words("shape"))),
        together=_TOGETHER.search(meant.text) is not None and made.dielectric in ("", "electrolytic"),
        joining="".join(str(word) for word in pieces.words("joining")[:1]),
        rated=bool(pieces.dc or pieces.ac),
    )
    if not _speaks_of_capacitors(pieces, made, bool(found)):
        if not _can_only_be_one(pieces):
            return []
        pieces.doubt("nothing names a capacitor: taken for one by value and volts")
    return [_Outcome(pieces, way, made).reading(cut) for way in found or [Way()]]


def _made(pieces: CapacitorPieces) -> Made:
    return dielectric_of(pieces.words("material"), pieces.words("treatment"), pieces.words("shape"), pieces.ceramic)


def _read_painted(colours: Colours, cut: tuple[str, ...]) -> list[Reading]:
    """Read the words around the colours, with what each scheme makes of them."""
    if not colours.ways:
        pieces = CapacitorPieces(scan(colours.rest, CAPACITOR))
        return [_Outcome(pieces, Way(notes=(colours.fault,), sure=False), _made(pieces)).reading(cut)]
    return [_painted(way, CapacitorPieces(scan(colours.rest, CAPACITOR))).reading(cut) for way in colours.ways]


def _painted(colour: Painted, pieces: CapacitorPieces) -> _Outcome:
    """One way of reading the colours, put together with the words; a value that the text gives too has to agree."""
    if colour.coefficient and not pieces.ceramic:
        pieces.ceramic, pieces.coefficient = colour.dielectric, colour.coefficient
    made = _made(pieces)
    if colour.dielectric and (not made.dielectric or not made.sure):
        made = Made(colour.dielectric)
    elif colour.dielectric and colour.dielectric.partition("-")[0] != made.dielectric.partition("-")[0]:
        pieces.doubt(f"the colours say {colour.dielectric}, the words {made.dielectric}")
    other = tuple(value.piece for value in pieces.values.found if set(value.numbers) != {colour.capacitance})
    way = Way(colour.capacitance, (), colour.limits, colour.voltage, 1, 1, colour.notes, colour.sure, other)
    return _Outcome(pieces, way, made)


def _speaks_of_capacitors(pieces: CapacitorPieces, made: Made, valued: bool) -> bool:
    """Whether the text is about a capacitor: a value with its unit says so, a bare number among strange words does not."""
    written = any(value.piece.unit == "F" or value.piece.detail == "cm" for value in pieces.values.explicit)
    if written or pieces.classes or pieces.coefficient or "capacitor" in pieces.words("noun"):
        return True
    if "other" in pieces.words("noun") or (pieces.foreign and not pieces.values.explicit):
        return False
    strange = [piece for piece in pieces.rest if piece.kind in ("word", "code")]
    if not strange:
        return valued or bool(made.dielectric or made.note)
    if strange[0] is pieces.pieces[0] and strange[0].kind == "code" and not _DESIGNATOR.fullmatch(strange[0].text):
        return False  # begins with a name, such as a valve's
    if pieces.values.explicit or made.dielectric or made.note:
        return True
    begins = pieces.pieces[0] not in pieces.rest and pieces.pieces[0].kind in ("number", "list", "quantity", "code")
    return valued and begins and pieces.volts_written


def _can_only_be_one(pieces: CapacitorPieces) -> bool:
    """A maker or a nickname, a value under one and its volts: bumblebee .047 600V."""
    strange = [piece for piece in pieces.rest if piece.kind != "word"]
    found = pieces.values.found
    small = len(found) == 1 and len(found[0].numbers) == 1 and found[0].piece.kind == "number"
    small = small and found[0].numbers[0] < _LEAST_FUSE and pieces.ripple is None
    return small and pieces.volts_written and not (strange or pieces.foreign or "other" in pieces.words("noun"))


class _Outcome:
    """One way of reading the value, put together with what is certain."""

    def __init__(self, pieces: CapacitorPieces, way: Way, made: Made) -> None:
        self.pieces, self.way, self.made = pieces, way, made
        self.fields: dict[str, object] = {}
        self.notes = [*pieces.notes, *way.notes]
        self.sure = pieces.sure and way.sure
        self.dc, self.ac = list(dict.fromkeys(pieces.dc)), list(dict.fromkeys(pieces.ac))
        small = (way.capacitance or Decimal(0)) < _LARGEST_CLASSED
        self._classed = bool(pieces.classes) and made.dielectric not in WET and small
        self._approvals = self._classed and bool(self.dc) and not self.ac and pieces.plain_volts
        if self._approvals:
            self._take_as_ac()
        self._set_tests_apart()
        self._set_surges_apart()

    def reading(self, cut: tuple[str, ...]) -> Reading:
        """Fill in the fields, in the order in which a label is read."""
        self._value()
        self._tolerance()
        self._ratings()
        self._body()
        self._the_rest()
        rest, note = unread((*self.pieces.rest, *self.way.unread))
        if note:
            self._doubt(note)
        return Reading("capacitor", self.fields, self.sure, tuple(dict.fromkeys((*cut, *self.notes))), rest)

    def _doubt(self, note: str) -> None:
        self.sure = False
        self.notes.append(note)

    def _take_as_ac(self) -> None:
        """Bare volts beside a safety class, as far as they can be AC."""
        self.ac, self.dc = [v for v in self.dc if v <= MOST_BARE_AC], [v for v in self.dc if v > MOST_BARE_AC]
        if self.ac:
            self.notes.append("the rating beside a safety class is AC")
        if self.dc:
            self.notes.append(f"{_in_volts(self.dc[:1])} is no AC rating of a safety class: taken as DC or test volts")

    def _set_tests_apart(self) -> None:
        """A test voltage is no rating; the lower of the two never is the test."""
        tested = self.pieces.tested
        if tested and self.dc and min(tested) < min(self.dc):
            self._doubt(
                f"a test at {_in_volts(tested)} cannot be under the rating {_in_volts(self.dc)}: the lower is taken"
            )
            self.dc = [min(tested)]
        elif tested:
            self.notes.append(f"{_in_volts(tested)} is a test voltage, not the rating")

    def _set_surges_apart(self) -> None:
        """Surge volts with no others beside them are no rating: they are borne for seconds, and what it works at is lower.

        Of 450V surge 500V the one word stands for one figure, the higher.
        """
        surges = sum(piece.meaning == SURGE for piece in self.pieces.pieces)
        alone = len(set(self.dc)) == 1 or len(self.pieces.surged) <= surges
        if self.dc and alone and set(self.dc) <= set(self.pieces.surged):
            self.notes.append(f"{_in_volts(self.dc)} is a surge voltage, not the rating")
            self.dc = []
            self.way = replace(
                self.way, sections=tuple(replace(section, voltage=None) for section in self.way.sections)
            )

    def _value(self) -> None:
        if self.way.capacitance is not None:
            self.fields["capacitance"] = float(self.way.capacitance)
        if self.way.sections:
            self.fields["sections"] = rows = []
            for section, rating in zip(self.way.sections, self._section_ratings(), strict=True):
                row = {"capacitance": section.capacitance, "capacitance_low": section.low, "voltage_dc": rating}
                if self._approvals:
                    row["voltage_dc"] = None
                rows.append({name: float(value) for name, value in row.items() if value is not None})
        if self.way.count > 1:
            self.fields["count"] = self.way.count

    def _section_ratings(self) -> list[Decimal | None]:
        """One rating to each section where they pair off, as they stood; where they do not, the lowest to all."""
        lowest_test = min(self.pieces.tested, default=None)
        own = [
            min(section.voltage, lowest_test) if section.voltage and lowest_test else section.voltage
            for section in self.way.sections
        ]
        stated = self.pieces.dc
        if len(set(self.dc)) == 1 and not any(own):  # 350V 50+50uF: said before them, of all of them
            return [self.dc[0]] * len(own)
        if len(set(stated)) < 2 or len(set(own)) > 1:
            return own
        if len(stated) == len(own) and "surge" not in self.pieces.words("qualifier"):
            return list(stated)
        said = f"{len(stated)} ratings for {len(own)} sections: the lowest, {_in_volts([min(stated)])}, taken for all"
        self.notes.append(said)
        self.sure = self.sure and "surge" in self.pieces.words("qualifier")
        return [min(stated)] * len(own)

    def _tolerance(self) -> None:
        limits = self.way.tolerance
        for piece in self.pieces.tolerances:
            low, high = piece.values
            if piece.unit == "F" and self.way.capacitance is None:
                self._doubt(f"'{piece.text}' is a tolerance of a value that is not given")
                continue
            scale = self.way.capacitance if piece.unit == "F" and self.way.capacitance else Decimal(1)
            if limits not in (None, (low / scale, high / scale)):
                self._doubt(f"'{piece.text}' and the tolerance letter differ")
            limits = (low / scale, high / scale)
        if limits is not None and -limits[0] == limits[1]:
            self.fields["tolerance"] = float(limits[1])
        elif limits is not None:
            self.fields.update(tolerance_low=float(limits[0]), tolerance_high=float(limits[1]))

    def _ratings(self) -> None:
        coded = self.way.voltage
        if coded is not None and self.dc and coded not in self.dc:
            self._doubt(f"the code says {_in_volts([coded])}, the text {_in_volts(self.dc)}")
        dc = self.dc or ([coded] if coded is not None else [])
        if len(dc) > 1 and not self.way.sections:
            self.notes.append(_lowest("DC", dc))
            self.sure = self.sure and "surge" in self.pieces.words("qualifier")
        if len(self.ac) > 1:
            self.notes.append(_lowest("AC", self.ac))
        if dc and not self.way.sections:
            self.fields["voltage_dc"] = float(min(dc) * self.way.series)
        if self.ac:
            self.fields["voltage_ac"] = float(min(self.ac) * self.way.series)
        if self.way.series > 1:
            self.fields["series"] = self.way.series

    def _body(self) -> None:
        """Dielectric, poles and class."""
        said = self.pieces.words("polarised")
        dielectric = self.made.dielectric or self._implied(False in said)
        if self.made.note:
            self.notes.append(self.made.note)
            self.sure = self.sure and self.made.sure
        if dielectric:
            self.fields["dielectric"] = dielectric
        self._safety(sorted(set(self.pieces.classes)))
        if len(said) > 1:
            self._doubt("the words disagree on whether it is polarised")
        elif said or dielectric in WET:
            self.fields["polarised"] = said[0] if said else True

    def _implied(self, non_polarised: bool) -> str:
        """The electrolytic that is not named, from the words that only make sense of one."""
        if self.made.note:
            return ""
        if non_polarised:
            self.notes.append("said to be non-polarised: taken to be electrolytic, since others need no such word")
            return "electrolytic"
        self.notes += [
            note for shape, note in _UNSAID.items() if shape in self.pieces.words("shape") and not self.made.dielectric
        ]
        if self.way.sections and "can" in self.pieces.words("shape"):
            self.notes.append("a can with sections is taken to be electrolytic")
            return "electrolytic"
        return ""

    def _safety(self, classes: list[str]) -> None:
        if classes and not self._classed:
            self._doubt(f"'{classes[0]}' is no safety class on such a capacitor; it may mean several parts")
        elif len({name[0] for name in classes}) < len(classes):
            self._doubt(f"several safety classes of a kind: {', '.join(classes)}")
        elif classes:
            self.fields["safety_class"] = "/".join(classes)

    def _the_rest(self) -> None:
        """Temperature, ripple, lengths, mounting, condition."""
        pieces = self.pieces
        if pieces.coefficient:
            self.fields["temperature_coefficient"] = pieces.coefficient
        if pieces.hottest is not None:
            self.fields["temperature_max"] = float(pieces.hottest)
        if pieces.ripple is not None:
            self.fields["ripple_current"] = float(pieces.ripple)
        self.fields.update({name: float(value) for name, value in pieces.lengths.items() if value > 0})
        for field in ("mounting", "condition"):
            said = pieces.words(field)
            if len(said) > 1:
                self._doubt(f"the words disagree on {field}: {', '.join(str(word) for word in said)}")
            elif said:
                self.fields[field] = said[0]
        if "variable" in pieces.words("noun"):
            self._doubt("a variable capacitor: its highest value may be meant")


def _lowest(kind: str, ratings: list[Decimal]) -> str:
    return f"several {kind} ratings, the lowest taken: {_in_volts(ratings)}"


def _in_volts(ratings: list[Decimal]) -> str:
    return ", ".join(format_quantity(volts, "V") for volts in ratings)
