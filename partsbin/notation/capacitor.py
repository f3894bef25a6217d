"""A capacitor's description to its fields: one sure reading, several with the reason, or none.

The pieces are sorted first: what is certain whatever the value (rating, dielectric, class) stays here; what bears on the value goes
to `capacitance`, which says what it may be. Each way of reading the value becomes a reading. Fields not given are absent.
"""

from __future__ import annotations

import re
from decimal import Decimal

from partsbin.notation.bare import RATED_VOLTS, WET
from partsbin.notation.capacitance import Values, Way, ways
from partsbin.notation.codes import Limits, ceramic_code, tolerance_letter
from partsbin.notation.dielectric import Made, dielectric_of
from partsbin.notation.marks import read_mark
from partsbin.notation.reading import Reading
from partsbin.notation.scan import Token, scan
from partsbin.notation.text import normalise
from partsbin.notation.units import CENTIMETRE_OF_CAPACITANCE
from partsbin.notation.vocabulary import CAPACITOR

_CLASSES = re.compile(r"(?:[XYxy][1-4]){1,2}", re.ASCII)
_PITCH = re.compile(r"(?i:RM|LS)([0-9]{1,2}(?:\.[0-9])?)", re.ASCII)
_MILLIMETRE = Decimal("0.001")
_FARAD_LETTERS = frozenset("pnuPNU")
_CODE_LETTERS = frozenset("KkMPNGE")
_CODE_UNITS = frozenset({"J", "H", "W", "F", "°C"})
"""Where a tolerance letter looks like a multiplier or a unit: 470K, 473J, 104W."""

_NOTHING = Token("mark", "")
_TEST = ("qualifier", "test")
_LARGEST_CLASSED = Decimal("1E-5")
"""Farads that no part with a safety class has: beyond, an x2 means two parts."""


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
    A rating without AC or DC is DC, except beside a safety class, whose ratings are AC. Sections keep their values and DC ratings
    to themselves: `capacitance` and `voltage_dc` are then absent.

    Examples
    --------
    >>> read_capacitor("0.02uF 350V waxed paper")[0].fields
    {'capacitance': 2e-08, 'voltage_dc': 350.0, 'dielectric': 'paper-waxed'}
    """
    plain = normalise(text)
    sorted_out = _Pieces(scan(plain.text, CAPACITOR))
    made = dielectric_of(sorted_out.words("material"), sorted_out.words("treatment"), sorted_out.words("shape"), sorted_out.ceramic)
    found = ways(sorted_out.values, made.dielectric, can="can" in sorted_out.words("shape"),
                 joining=sorted_out.word("joining"), rated=bool(sorted_out.dc or sorted_out.ac))
    if not sorted_out.speaks_of_capacitors(made, bool(found)):
        return []
    return [_Outcome(sorted_out, way, made).reading(plain.notes) for way in found or [Way()]]


class _Pieces:
    """The pieces of a description, sorted by what they say. What is not understood goes to `rest`."""

    def __init__(self, pieces: list[Token]) -> None:
        self.values = Values()
        self.dc: list[Decimal] = []
        self.ac: list[Decimal] = []
        self.plain_volts = True  # no rating says that it is DC
        self.meanings: list[tuple[str, object]] = []
        self.classes: list[str] = []
        self.tolerances: list[Token] = []
        self.lengths: dict[str, Decimal] = {}
        self.ceramic = self.coefficient = ""
        self.ripple: Decimal | None = None
        self.hottest: Decimal | None = None
        self.foreign = False
        self.rest: list[Token] = []
        self.notes: list[str] = []
        self.sure = True
        self._before = self._after = _NOTHING
        self._test_spent = False  # the word test belongs to the volts before it
        takers = {"word": self._word, "code": self._code, "quantity": self._quantity, "number": self._number, "list": self._list,
                  "tolerance": self._tolerance, "multiple": self._multiple, "size": self._size}
        for self._before, piece, self._after in zip([_NOTHING, *pieces], pieces, [*pieces[1:], _NOTHING], strict=False):
            if piece.kind == "mark":
                continue
            if piece.kind in takers and takers[piece.kind](piece):
                self.notes += piece.notes
            else:
                self.rest.append(piece)

    def words(self, field: str) -> list[str]:
        """Every word of the vocabulary about that field."""
        return [str(value) for name, value in self.meanings if name == field]

    def word(self, field: str) -> str:
        """The last word about that field, "" if there is none."""
        return next(iter(reversed(self.words(field))), "")

    def speaks_of_capacitors(self, made: Made, valued: bool) -> bool:
        """Whether there is anything that only a capacitor has; a code or a bare number is not enough beside ohms or watts."""
        own = self.values.explicit or made.dielectric or made.note or self.classes or self.coefficient
        return bool(own) or "capacitor" in self.words("noun") or (valued and not self.foreign and "other" not in self.words("noun"))

    # ---- one taker for each kind of piece; False leaves the piece to `rest`

    def _word(self, piece: Token) -> bool:
        if piece.meaning is None:
            return self._tolerance_letter(piece.text)
        self.meanings.append(piece.meaning)
        return piece.meaning not in (("shape", "tubular"), ("noun", "other"), ("noun", "variable"))

    def _tolerance_letter(self, text: str) -> bool:
        """A tolerance letter that stands alone, after a value with its unit."""
        value = self.values.single()
        if value is None or not re.fullmatch(r"[FGJKMZ]", text, re.ASCII):
            return False
        self.tolerances.append(Token("tolerance", text, tolerance_letter(text, value)[0][0], "-"))
        return True

    def _code(self, piece: Token) -> bool:
        ceramic, pitch = ceramic_code(piece.text), _PITCH.fullmatch(piece.text)
        if _CLASSES.fullmatch(piece.text):
            self.classes += re.findall(r"[XY][1-4]", piece.text.upper())
        elif ceramic is not None:
            self.ceramic, self.coefficient = ceramic.dielectric, ceramic.code
        elif pitch is not None:
            self.lengths["pitch"] = Decimal(pitch[1]) * _MILLIMETRE
        else:
            return self.values.add_marks(piece, read_mark(piece.text))
        return True

    def _quantity(self, piece: Token) -> bool:
        if (piece.letter in _CODE_LETTERS or piece.unit in _CODE_UNITS) and self.values.add_marks(piece, read_mark(piece.text.replace(" ", ""))):
            return True
        if piece.unit == "F" or piece.letter in _FARAD_LETTERS:
            return self.values.add(piece, plus=self._before.text == "+")
        if piece.unit == "V" or piece.letter == "V":
            return self._volts(piece.value, piece.detail)
        if piece.unit == "A" and piece.value > 0 and self.ripple is None:
            self.ripple = piece.value
            return True
        if piece.unit == "°C" and piece.value > 0:
            self.hottest = max(piece.value, self.hottest or piece.value)
            return True
        if piece.unit == "m":
            return self._length(piece)
        self.foreign = self.foreign or piece.unit != "°C"
        return False

    def _volts(self, volts: Decimal, detail: str) -> bool:
        """A rating, unless a word beside it says that it is a test voltage; a minus before it is only a dash."""
        test_before = self._before.meaning == _TEST and not self._test_spent
        self._test_spent = self._after.meaning == _TEST
        if test_before or self._test_spent:
            self.notes.append(f"{abs(volts)} V is a test voltage, not the rating")
            return True
        if volts == 0:
            return False
        if detail == "ac":
            self.ac.append(abs(volts))
            return True
        self.dc.append(abs(volts))
        self.plain_volts = self.plain_volts and not detail
        self.values.rate(abs(volts))
        return True

    def _length(self, piece: Token) -> bool:
        for neighbour in (self._before, self._after):
            if neighbour.meaning in (("qualifier", "pitch"), ("qualifier", "diameter"), ("qualifier", "length")):
                self.lengths.setdefault(str(neighbour.meaning[1]), piece.value)
                return True
        if piece.detail != "cm" or self.values.given or piece.value < Decimal("0.05"):
            return False
        self.sure = False  # cm is a length too
        self.notes.append(f"'{piece.text}' read as the old unit of capacitance, 1 cm = 1.11 pF (from memory)")
        return self.values.add(piece, farads=piece.value * 100 * CENTIMETRE_OF_CAPACITANCE)

    def _number(self, piece: Token) -> bool:
        if self._before.meaning == ("qualifier", "pitch"):
            self.lengths["pitch"] = piece.value * _MILLIMETRE
            return True
        if piece.value < 0:
            return self._after.kind == "mark"  # the cold end of a range of temperature
        if self.values.given and piece.value in RATED_VOLTS and self._before.text != "+" and not (self.dc or self.ac):
            self.sure = self.sure and self._before.text in ("/", "-")
            self.notes.append(f"'{piece.text}' after the value read as volts")
            return self._volts(piece.value, "")
        return self.values.add(piece, plus=self._before.text == "+")

    def _list(self, piece: Token) -> bool:
        slashed = piece.detail == "/" and not piece.unit and not piece.letter
        if piece.unit == "V" or (slashed and (self.values.given or self._ends_in_a_rating(piece))):
            return self._rated_list(piece)
        if piece.unit == "F" or piece.letter in _FARAD_LETTERS or not (piece.unit or piece.letter):
            return self.values.add(piece, plus=self._before.text == "+")
        return False

    def _ends_in_a_rating(self, piece: Token) -> bool:
        """Whether the last number after a stroke can only be the rating: 0.1/400, and not the 8 of 16/8."""
        return piece.values[-1] in RATED_VOLTS and piece.values[-1] >= 10 and self._after.unit != "V"

    def _rated_list(self, piece: Token) -> bool:
        """0.1/400 V is a value and its rating; after a value, 450/500 V are working volts and surge, or one for each section."""
        alternating = "ac" if re.search(r"(?i)~|a\.? ?c", piece.text) else ""
        *first, last = piece.values
        if not self.values.given:
            if piece.detail != "/":
                return False
            text = piece.text.rpartition("/")[0]
            self.values.add(Token("list" if len(first) > 1 else "number", text, tuple(first), detail="/"))
            return self._volts(last, alternating)
        if self.values.rate_each(piece.values):
            self.dc += piece.values
            return True
        if not all(volts in RATED_VOLTS for volts in piece.values):
            return False
        low, high = min(piece.values), max(piece.values)
        self.notes.append(f"'{piece.text}': {low} V taken as the working volts, {high} V as surge or test")
        return self._volts(low, alternating)

    def _tolerance(self, piece: Token) -> bool:
        if piece.unit not in ("-", "F") or self.tolerances:
            return False
        self.tolerances.append(piece)
        return True

    def _multiple(self, piece: Token) -> bool:
        return self.values.multiply(int(piece.value))

    def _size(self, piece: Token) -> bool:
        if len(piece.values) != 2 or not all(piece.values):
            return False
        self.lengths.update(diameter=piece.values[0], length=piece.values[1])
        return True


class _Outcome:
    """One way of reading the value, put together with what is certain."""

    def __init__(self, pieces: _Pieces, way: Way, made: Made) -> None:
        self.pieces, self.way, self.made = pieces, way, made
        self.fields: dict[str, object] = {}
        self.notes = [*pieces.notes, *way.notes]
        self.sure = pieces.sure and way.sure
        self._classed = bool(pieces.classes) and made.dielectric not in WET and (way.capacitance or 0) < _LARGEST_CLASSED

    def reading(self, cut: tuple[str, ...]) -> Reading:
        """Fill in the fields, in the order in which a label is read."""
        self._value()
        self._tolerance()
        self._ratings()
        self._body()
        self._the_rest()
        left = (*self.pieces.rest, *self.way.unread)
        numbers = [piece.text for piece in left if piece.kind not in ("word", "code")]
        if numbers:
            self._doubt("not understood: " + ", ".join(f"'{text}'" for text in numbers))
        rest = " ".join(piece.text for piece in left)
        return Reading("capacitor", self.fields, self.sure, tuple(dict.fromkeys((*cut, *self.notes))), rest)

    def _doubt(self, note: str) -> None:
        self.sure = False
        self.notes.append(note)

    def _value(self) -> None:
        if self.way.capacitance is not None:
            self.fields["capacitance"] = float(self.way.capacitance)
        if self.way.sections:
            self.fields["sections"] = [
                {"capacitance": float(section.capacitance)}
                | ({"capacitance_low": float(section.low)} if section.low is not None else {})
                | ({"voltage_dc": float(section.voltage)} if section.voltage is not None else {})
                for section in self.way.sections
            ]
        if self.way.count > 1:
            self.fields["count"] = self.way.count

    def _tolerance(self) -> None:
        limits: Limits | None = self.way.tolerance
        for piece in self.pieces.tolerances:
            low, high = piece.values
            if piece.unit == "F" and self.way.capacitance is None:
                return self._doubt(f"'{piece.text}' is a tolerance of a value that is not given")
            scale = self.way.capacitance if piece.unit == "F" and self.way.capacitance else Decimal(1)
            written = (low / scale, high / scale)
            if limits is not None and limits != written:
                self._doubt(f"'{piece.text}' and the tolerance letter differ")
            limits = written
        if limits is not None and -limits[0] == limits[1]:
            self.fields["tolerance"] = float(limits[1])
        elif limits is not None:
            self.fields.update(tolerance_low=float(limits[0]), tolerance_high=float(limits[1]))
        return None

    def _ratings(self) -> None:
        dc, ac = list(dict.fromkeys(self.pieces.dc)), list(dict.fromkeys(self.pieces.ac))
        if self._classed and dc and not ac and self.pieces.plain_volts and not self.way.sections:
            self.notes.append("the rating beside a safety class is AC")
            dc, ac = [], dc
        if self.way.voltage is not None:
            if dc and self.way.voltage not in dc:
                self._doubt(f"the code says {self.way.voltage} V, the text {dc[0]} V")
            dc = dc or [self.way.voltage]
        if len(dc) > 1 and not self.way.sections:
            text = f"several DC ratings, the lowest taken: {', '.join(f'{volts} V' for volts in dc)}"
            if "surge" in self.pieces.words("qualifier"):
                self.notes.append(text)
            else:
                self._doubt(text)
        if len(ac) > 1:
            self.notes.append(f"several AC ratings, the lowest taken: {', '.join(f'{volts} V' for volts in ac)}")
        if dc and not self.way.sections:
            self.fields["voltage_dc"] = float(min(dc) * self.way.series)
        if ac:
            self.fields["voltage_ac"] = float(min(ac) * self.way.series)

    def _body(self) -> None:
        """Dielectric, poles and class."""
        dielectric, np = self.made.dielectric, self.pieces.word("polarised")
        if self.made.note:
            self.notes.append(self.made.note)
            self.sure = self.sure and self.made.sure
        if not dielectric and not self.made.note and np == "False":
            dielectric = "electrolytic"
            self.notes.append("said to be non-polarised: taken to be electrolytic, since others need no such word")
        if not dielectric and not self.made.note and self.way.sections and "can" in self.pieces.words("shape"):
            dielectric = "electrolytic"
            self.notes.append("a can with sections is taken to be electrolytic")
        if dielectric:
            self.fields["dielectric"] = dielectric
        classes = sorted(set(self.pieces.classes))
        if classes and not self._classed:
            self._doubt(f"'{classes[0]}' is no safety class on such a capacitor; it may mean several parts")
        elif len({name[0] for name in classes}) < len(classes):
            self._doubt(f"several safety classes of a kind: {', '.join(classes)}")
        elif classes:
            self.fields["safety_class"] = "/".join(classes)
        if np or dielectric in WET:
            self.fields["polarised"] = np != "False"

    def _the_rest(self) -> None:
        """Temperature, ripple, mounting, lengths, condition."""
        pieces = self.pieces
        if pieces.coefficient:
            self.fields["temperature_coefficient"] = pieces.coefficient
        if pieces.hottest is not None:
            self.fields["temperature_max"] = float(pieces.hottest)
        if pieces.ripple is not None:
            self.fields["ripple_current"] = float(pieces.ripple)
        self.fields.update({name: float(value) for name, value in pieces.lengths.items() if value > 0})
        for field in ("mounting", "condition"):
            if pieces.word(field):
                self.fields[field] = pieces.word(field)
        if "variable" in pieces.words("noun"):
            self._doubt("a variable capacitor: its highest value may be meant")
