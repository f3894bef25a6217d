"""A resistor's description to its fields: one sure reading, several with the reason, or none.

`resistor_pieces` sorts the pieces, `resistance` and `colour` say what the value may be; here each way of reading the value is put
together with what is certain. Fields that the text does not give are absent.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from itertools import pairwise

from partsbin.notation.bare import RATED_VOLTS
from partsbin.notation.colour import NO_BAND, TOLERANCES
from partsbin.notation.colour_words import read_colours, set_apart
from partsbin.notation.reading import Reading, unread
from partsbin.notation.resistance import Way, chip, either_way
from partsbin.notation.resistor_denials import MAY_BE, fusible
from partsbin.notation.resistor_doubles import unglued
from partsbin.notation.resistor_pieces import ResistorPieces
from partsbin.notation.resistor_words import RESISTOR
from partsbin.notation.scan import scan
from partsbin.notation.text import normalise
from partsbin.notation.writing import format_quantity

_CHIP = re.compile(r"0[0-9][ABCDFHSXYZ]|[1-9][0-9][BDSXYZ]", re.ASCII)  # 47E is ohms, 10A, 10C, 10F, 10H have units
_SIGN = re.compile("[Ω\N{OHM SIGN}]")
_WOUND = re.compile(r"\b[wW](?:/[wW]\b|\.[wW]\b\.?)")  # 10k w/w is not 10 kW
_HOT = Decimal(50)  # watts from which a figure alone may be ohms whose sign was lost
_CEMENT_FILMS = Decimal(1000)  # ohms from which a cemented body may hold a film
_SAME_NAME = ("fusible", "non_inductive", "pulse_rated", "bridging", "mounting", "condition")


def read_resistor(text: str) -> list[Reading]:
    """Read the description of a resistor.

    Parameters
    ----------
    text : str
        Such as ``470k 1/2W carbon comp``, ``5W4R7J``, ``brown black orange gold``, ``body red tip violet dot yellow``.

    Returns
    -------
    list of Reading
        Empty if nothing in the text speaks of a resistor; several if it can be read in several ways, the likelier first.

    Notes
    -----
    Volts are the limiting voltage. Of several wattages or voltages the lowest is taken. A word that says less than the field, such
    as carbon alone, leaves the field out.

    Examples
    --------
    >>> read_resistor("4k7 ±10% 1/2W carbon comp")[0].fields
    {'resistance': 4700.0, 'tolerance': 0.1, 'power': 0.5, 'technology': 'carbon-composition'}
    """
    plain = normalise(text)
    if _CHIP.fullmatch(plain.text):
        return [
            Reading("resistor", {"resistance": float(way.resistance or 0), "tolerance": 0.01}, False, way.notes)
            for way in chip(plain.text)
        ]
    apart, glued = unglued(_WOUND.sub("wirewound", plain.text))
    pieces = ResistorPieces(scan(set_apart(apart), RESISTOR), signed=_SIGN.search(text) is not None)
    if glued:
        pieces.doubt(glued)
    speaks = _speaks_of_resistors(pieces)
    if not speaks and not _fusible_alone(pieces):
        return []
    ways_of_fuse, doubt = fusible(pieces.words("fusible"))
    if doubt:
        pieces.doubt(doubt)
    return [
        replace(_Outcome(pieces, way, marks).reading(plain.notes), bare=not speaks)
        for marks in ways_of_fuse
        for way in _ways(pieces)
    ]


def _fusible_alone(pieces: ResistorPieces) -> bool:
    """Whether there is nothing but a word such as FR, which a resistor may bear; a fuse has figures beside it."""
    left = pieces.rest or pieces.bare or pieces.foreign or pieces.words("noun")
    return MAY_BE in pieces.words("fusible") and not left


def _speaks_of_resistors(pieces: ResistorPieces) -> bool:
    """Whether the text is about a fixed resistor: a name or a foreign unit says no, a value or the word says yes."""
    nouns = pieces.words("noun")
    if "variable" in nouns:
        return False
    if "resistor" in nouns:
        return True
    if MAY_BE in pieces.words("fusible") and not (pieces.values or pieces.sections or pieces.colours):
        return False
    if "other" in nouns or pieces.foreign or pieces.has_ratio:
        return False
    strange = [piece for piece in pieces.rest if piece.kind in ("word", "code")]
    if strange and strange[0] is pieces.pieces[0] and strange[0].kind == "code":
        return False  # begins with a name, such as a valve's
    if "ceramic" in pieces.words("made") and not pieces.powers:
        return False
    if pieces.values or pieces.sections or pieces.powers_alone or pieces.link or pieces.words("technology"):
        return True
    if pieces.colours:
        return not strange or bool(pieces.words("part")) or len(pieces.words("colour")) > 2
    return bool(pieces.bare) and not any(piece.kind != "mark" for piece in pieces.rest)


def _ways(pieces: ResistorPieces) -> list[Way]:
    """Every way of reading the value: as written, in colours, as a bare number, or as watts that were ohms."""
    if pieces.ranged:
        return [Way().doubted("from one value to another: an assortment, not one part")]
    if pieces.colours:
        coded, fault = read_colours(pieces.pieces)
        shown = [Way(way.value, either_way(way.tolerance), notes=way.notes, sure=way.sure) for way in coded]
        shown = shown or [Way().doubted(fault)]
        return shown if not pieces.values else _compared(pieces, shown)
    if pieces.values:
        return _written(pieces)
    if pieces.bare:
        ways = pieces.ways_of_number(pieces.bare[0])
        rated = pieces.volts and not (pieces.leaded or pieces.words("noun"))
        return [way.doubted("a number with volts alone may be a capacitor's") for way in ways] if rated else ways
    if pieces.sections:
        return [Way(sum(pieces.sections, Decimal(0)))]
    return _lost_ohms(pieces)


def _written(pieces: ResistorPieces) -> list[Way]:
    """Values with a unit or a letter: one, or as many readings as there are."""
    ways = list(dict.fromkeys(way for _, one in pieces.values for way in one))
    if len({way.resistance for way in ways}) > 1 and len(pieces.values) > 1:
        ways = [way.doubted("several values, and nothing says which") for way in ways]
    elif len(ways) > 1 and len({way.resistance for way in ways}) == 1:  # 1k 1kJ: said twice, once with its tolerance
        ways = [way for way in ways if way.tolerance] or ways[:1]
        ways = [way.doubted("one value with several tolerances") for way in ways] if len(ways) > 1 else ways
    total = sum(pieces.sections, Decimal(0))
    if pieces.sections and ways[0].resistance != total:
        ways = [way.doubted(f"the sections add up to {total} ohm") for way in ways]
    return ways


def _compared(pieces: ResistorPieces, shown: list[Way]) -> list[Way]:
    """Colours beside a written value: the writing counts, and a difference is said."""
    ways = _written(pieces)
    agreeing = [way for way in shown if way.resistance == ways[0].resistance]
    if agreeing:
        return agreeing[:1] if len(ways) == 1 and agreeing[0].sure else [replace(agreeing[0], sure=True)]
    return [way.doubted("the colours say something else") for way in ways] + [
        way.doubted("the writing says something else") for way in shown if way.resistance is not None
    ]


def _lost_ohms(pieces: ResistorPieces) -> list[Way]:
    """No value, but watts that may be ohms: many a list prints W where Ω stood."""
    why = "many lists print W where Ω stood"
    if pieces.odd_watts:
        return [Way(value).doubted(f"{value:f} W is no wattage: read as ohms, {why}") for value in pieces.odd_watts[:1]]
    if not pieces.powers:
        return [Way()]
    least, most = min(pieces.powers), max(pieces.powers)
    if least == most:
        if most < _HOT:
            return [Way(power=most)]
        return [
            Way(power=most).doubted(f"{most} W, or {most} ohm: {why}"),
            Way(most, power=Decimal(0)).doubted(f"{most} ohm, or {most} W: {why}"),
        ]
    ohms = Way(most, power=least).doubted(f"{least} W, and {most} W read as ohms: {why}")
    if most in RATED_VOLTS:
        return [ohms, Way(power=least, voltage=most).doubted(f"{least} W, and {most} W read as volts mistyped")]
    return [ohms]


class _Outcome:
    """One way of reading the value, put together with what is certain."""

    def __init__(self, pieces: ResistorPieces, way: Way, fusible: Sequence[object]) -> None:
        self.pieces, self.way, self.fusible = pieces, way, fusible
        self.fields: dict[str, object] = {}
        self.notes = [*pieces.notes, *way.notes]
        self.sure = pieces.sure and way.sure

    def reading(self, cut: tuple[str, ...]) -> Reading:
        """Fill in the fields, in the order in which a label is read."""
        if self.way.resistance is not None:
            self.fields["resistance"] = float(self.way.resistance)
        self._tolerance()
        self._ratings()
        self._body()
        self._sections()
        if self.pieces.count > 1:
            self.fields["count"] = self.pieces.count
        given = self.pieces.values or self.pieces.colours
        rest, note = unread((*self.pieces.rest, *(self.pieces.bare if given else ())))
        if note:
            self._doubt(note)
        return Reading("resistor", self.fields, self.sure, tuple(dict.fromkeys((*cut, *self.notes))), rest)

    def _doubt(self, note: str) -> None:
        self.sure = False
        self.notes.append(note)

    def _tolerance(self) -> None:
        """Per cent as written; else what a letter or a band says. Of several the widest."""
        written = list(dict.fromkeys(self.pieces.tolerances))
        if len(written) > 1:
            self._doubt("several tolerances: the widest is taken")
        coded = self.way.tolerance or self._band_alone()
        limits = max(written, key=lambda pair: pair[1] - pair[0]) if written else coded
        unbanded = self.pieces.colours and coded == either_way(NO_BAND)
        if written and coded not in (None, limits) and not unbanded:
            self._doubt("the tolerance written differs from that of the letter or the band")
        if limits is not None and -limits[0] == limits[1]:
            self.fields["tolerance"] = float(limits[1])
        elif limits is not None:
            self.fields.update(tolerance_low=float(limits[0]), tolerance_high=float(limits[1]))

    def _band_alone(self) -> tuple[Decimal, Decimal] | None:
        """A value and one colour, which is the last band: 47R gold."""
        named = self.pieces.words("colour")
        band = next((band for band in ("gold", "silver") if named == [(band,)]), "")
        if not band:
            return None
        self.notes.append(f"{band}: taken for the band of the tolerance")
        return either_way(TOLERANCES[band][0])

    def _ratings(self) -> None:
        """Watts and volts: the lowest of several, and the reading unsure."""
        power = self._power()
        if power > 0:
            self.fields["power"] = float(power)
        if self.pieces.odd_watts and self.way.resistance not in self.pieces.odd_watts:
            self._doubt(f"{self.pieces.odd_watts[0]:f} W is no wattage of a resistor")
        self._sort_tests()
        volts = sorted(set(self.pieces.volts) | ({self.way.voltage} if self.way.voltage is not None else set()))
        if len(volts) > 1:
            self._doubt(f"{' V and '.join(str(one) for one in volts)} V: the lowest is taken")
        if volts:
            self.fields["voltage_limit"] = float(volts[0])

    def _power(self) -> Decimal:
        if self.way.power is not None:
            return self.way.power
        powers = sorted(set(self.pieces.powers))
        if len(powers) > 1:
            self._doubt(f"{' W and '.join(str(power) for power in powers)} W: the lower is taken")
        return powers[0] if powers else Decimal(0)

    def _sort_tests(self) -> None:
        """A limit cannot be above a test: 350V overload 700V, whichever figure the word was taken for."""
        tested, volts = self.pieces.tested, self.pieces.volts
        if tested and volts and min(tested) < min(volts):
            self.pieces.volts, self.pieces.tested = [min(tested)], volts
        self.notes += [f"{one} V is a test or an overload, not the limit" for one in self.pieces.tested]

    def _body(self) -> None:
        """What it is made of and how it is held."""
        technology = self._technology()
        if technology:
            self.fields["technology"] = technology
        for field in _SAME_NAME:
            said = self.fusible if field == "fusible" else self.pieces.words(field)
            if len(said) > 1:
                self._doubt(f"the words on {field.replace('_', ' ')} disagree")
            elif said:
                self.fields[field] = said[0]
        if True in self.pieces.words("flameproof") and "fusible" not in self.fields:
            self.notes.append("flameproof alone does not say that it opens like a fuse")
        if self.pieces.hottest is not None:
            self.fields["temperature_max"] = float(self.pieces.hottest)
        self.fields.update({name: float(value) for name, value in self.pieces.lengths.items()})

    def _technology(self) -> str:
        """The technology that the words name; nothing where they name less, or two."""
        named = self.pieces.words("technology")
        if len(named) > 1:
            self._doubt(f"{' and '.join(str(one) for one in named)}: only one can be")
            return ""
        if named:
            return str(named[0])
        made = self.pieces.words("made")
        if "carbon" in made and "film" in made:
            return "carbon-film"
        if "carbon" in made:
            self.notes.append("carbon: film or composition is not said")
        elif "film" in made:
            self.notes.append("film: carbon, metal or oxide is not said")
        elif "metal" in made:
            self.notes.append("metal: film, oxide or glaze is not said")
        elif "cement" in made or "ceramic" in made:
            if self.way.resistance is not None and self.way.resistance <= _CEMENT_FILMS:
                return "wirewound"
            self.notes.append("a cemented body of high value may hold a film (from memory)")
        return ""

    def _sections(self) -> None:
        """Sections of a tapped one, each with the current that is written."""
        sections, currents = self.pieces.sections or self._between_taps(), self.pieces.currents
        if sections:
            each = currents if len(currents) == len(sections) else [min(currents)] * len(sections) if currents else []
            rows = [{"resistance": float(ohms)} for ohms in sections]
            for row, current in zip(rows, each, strict=False):
                row["current"] = float(current)
            self.fields["taps"] = rows
        elif currents:
            self.notes.append(f"{currents[0]} A is not kept: only the watts count, and sections have currents")
        elif self.pieces.words("tapped"):
            self.notes.append("tapped: what lies between the taps is not said")

    def _between_taps(self) -> list[Decimal]:
        """The sections that taps leave, counted from one end: 5k tapped at 2k is 2k and 3k."""
        whole, points = self.way.resistance, sorted({piece.value for piece in self.pieces.tap_points})
        if not points or whole is None:
            return []
        if points[-1] >= whole:
            self._doubt(f"a tap at {format_quantity(points[-1], 'ohm')} is not inside {format_quantity(whole, 'ohm')}")
            return []
        ends = [Decimal(0), *points, whole]
        sections = [high - low for low, high in pairwise(ends)]
        said = ", ".join(format_quantity(ohms, "ohm") for ohms in sections)
        self._doubt(f"taps counted from one end: read as {said}")
        return sections
