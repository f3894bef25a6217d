"""The pieces of a capacitor's description, sorted: what is certain whatever the value, and what bears on the value."""

from __future__ import annotations

import re
from decimal import Decimal

from partsbin.notation.bare import RATED_VOLTS
from partsbin.notation.capacitance import Values
from partsbin.notation.capacitor_classes import APPROVAL_VOLTS
from partsbin.notation.codes import ceramic_code, tolerance_letter
from partsbin.notation.marks import read_mark
from partsbin.notation.reading import NOTHING, Sorter
from partsbin.notation.scan import Token
from partsbin.notation.units import CENTIMETRE_OF_CAPACITANCE

_CLASSES = re.compile(r"(?:[XYxy][1-4]){1,2}", re.ASCII)
_PITCH = re.compile(r"(?i:RM|LS)([0-9]{1,2}(?:\.[0-9])?)", re.ASCII)
_ALTERNATING = re.compile(r"(?i)~|a\.? ?c")
_JARS = Decimal("9E8")
"""Jars to a farad: 1 µF is 900 of them, from memory."""
_MILLIMETRE = Decimal("0.001")
_FARAD_LETTERS = frozenset("pnuPNU")
_CODE_LETTERS = frozenset("KkMPNGE")
_CODE_UNITS = frozenset({"J", "H", "W", "F", "°C"})
"""Where a tolerance letter looks like a multiplier or a unit: 470K, 473J, 104W."""

_MOST_TEST = 3
"""How many times the working volts an old label gives as its test or surge: 6/8 V, 1500/4500 V [-]."""
_MICROHENRIES = re.compile(r"[0-9.,]+ ?[um]H")
_CAPITALS = frozenset("PNU")
_LARGEST_RIPPLE = 100
_NAMES_OF_LENGTHS = frozenset({"pitch", "diameter", "length"})
_WORKING = re.compile(r"(?i)w")
"""How a unit says working volts: 450 WV, 450 V wkg."""
_TEST, SURGE = ("qualifier", "test"), ("qualifier", "surge")
_LEFT_TO_READ = (("noun", "other"), ("noun", "variable"))


_BETWEEN = frozenset({":", "=", "at", "to", "with", "bei", "mit", "auf"})
"""What may stand between the word test and its volts; a comma ends the thought."""


def _volts_beside(pieces: list[Token], bracket: str) -> Token | None:
    """The volts that come next, over small words and a bracket that turns towards them."""
    near = next((piece for piece in pieces if piece.text.lower() not in _BETWEEN | {bracket}), NOTHING)
    return near if near.kind == "quantity" and near.unit == "V" and near.value else None


class CapacitorPieces(Sorter):
    """What a capacitor's description says, piece by piece.

    Parameters
    ----------
    pieces : list of Token
        The description, scanned with the words for capacitors.
    """

    def __init__(self, pieces: list[Token]) -> None:
        super().__init__(pieces)
        self.values = Values()
        self.dc: list[Decimal] = []
        self.tested: list[Decimal] = []
        self.ac: list[Decimal] = []
        self.plain_volts = True  # no rating says that it is DC
        self.volts_written = False
        self.classes: list[str] = []
        self.tolerances: list[Token] = []
        self.lengths: dict[str, Decimal] = {}
        self.ceramic = self.coefficient = ""
        self.ripple: Decimal | None = None
        self.hottest: Decimal | None = None
        self.foreign = False  # ohms, watts: another family's
        self._tests = self._test_volts()
        self._surges = self._surge_volts()
        self.surged: list[Decimal] = []
        self.sort()

    def _test_volts(self) -> set[int]:
        """Which pieces are test volts: those beside the word; of two, the higher, and then nothing is sure."""
        found: set[int] = set()
        for at, piece in enumerate(self.pieces):
            if piece.meaning != _TEST:
                continue
            beside = [_volts_beside(self.pieces[:at][::-1], ")"), _volts_beside(self.pieces[at + 1 :], "(")]
            volts = [near for near in beside if near is not None]
            if len(volts) == 2:
                texts = " and ".join(f"'{near.text}'" for near in volts)
                self.doubt(f"{texts} both stand beside '{piece.text}': the lower is taken as the rating")
            if volts:
                found.add(id(max(volts, key=lambda near: abs(near.value))))
        return found

    def _surge_volts(self) -> set[int]:
        """Which pieces stand beside the word surge or peak, and not beside working too, as in ``350V peak wkg``."""
        found: set[int] = set()
        if "working" in {
            piece.meaning[1] for piece in self.pieces if piece.meaning and piece.meaning[0] == "qualifier"
        }:
            return found
        for at, piece in enumerate(self.pieces):
            if piece.meaning == SURGE:
                beside = (_volts_beside(self.pieces[:at][::-1], ")"), _volts_beside(self.pieces[at + 1 :], "("))
                found |= {id(near) for near in beside if near is not None}
        return found

    def take_word(self, piece: Token) -> bool:
        """Take a word of the vocabulary, or a tolerance letter after a value with its unit."""
        if piece.meaning is not None:
            return piece.meaning not in _LEFT_TO_READ
        value = self.values.single()
        if value is None or not re.fullmatch(r"[FGJKMZ]", piece.text, re.ASCII):
            return False
        self.tolerances.append(Token("tolerance", piece.text, tolerance_letter(piece.text, value)[0][0], "-"))
        return True

    def take_code(self, piece: Token) -> bool:
        """Take a safety class, a ceramic code, a pitch or a printed value."""
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

    def take_quantity(self, piece: Token) -> bool:
        """Take a value, a rating, a current, a temperature or a length; a code that looks like one goes first."""
        looks_coded = piece.letter in _CODE_LETTERS or piece.unit in _CODE_UNITS
        if _MICROHENRIES.fullmatch(piece.text) and not any(one.unit == "V" for one in self.pieces):
            looks_coded = False  # of a coil: as a tolerance H is rare, and stands beside volts
        if looks_coded and self.values.add_marks(piece, read_mark(piece.text.replace(" ", ""))):
            return True
        if piece.unit == "F" or piece.letter in _FARAD_LETTERS:
            if piece.letter in _CAPITALS and piece.text[-1].isdigit():
                self.doubt(f"'{piece.text}' read with {piece.letter} as multiplier; valves have such names too")
            return self.values.add(piece, plus=self.before.text == "+")
        if piece.unit == "V" or piece.letter == "V":
            self.volts_written = self.volts_written or bool(piece.unit)
            if id(piece) in self._tests:
                self.tested.append(abs(piece.value))
                return True
            if id(piece) in self._surges and not _WORKING.search(piece.text):
                self.surged.append(abs(piece.value))
            return self._volts(piece.value, piece.detail)
        if piece.unit == "A" and 0 < piece.value <= _LARGEST_RIPPLE and self.ripple is None:
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
        """A rating; a minus before it is only a dash."""
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
        for neighbour in (self.before, self.after):
            if neighbour.meaning is not None and neighbour.meaning[1] in _NAMES_OF_LENGTHS:
                self.lengths.setdefault(str(neighbour.meaning[1]), piece.value)
                return True
        if piece.detail != "cm" or self.values.given or piece.value < Decimal("0.05"):
            return False
        self.doubt(f"'{piece.text}' read as the old unit of capacitance, 1 cm = 1.11 pF (from memory)")
        return self.values.add(piece, farads=piece.value * 100 * CENTIMETRE_OF_CAPACITANCE)

    def take_number(self, piece: Token) -> bool:
        """Take a value without a unit, the rating after a value, or the cold end of a range of temperature."""
        if self.before.meaning == ("qualifier", "pitch"):
            self.lengths["pitch"] = piece.value * _MILLIMETRE
            return True
        if piece.value < 0:
            return self.after.kind == "mark"
        if self.after.text.lower() in ("jar", "jars") and not self.values.given:
            self.doubt(f"'{piece.text} {self.after.text}' read as the Admiralty's unit, 900 jars to a µF (from memory)")
            return self.values.add(piece, farads=piece.value / _JARS)
        if piece.value in APPROVAL_VOLTS and _CLASSES.fullmatch(self.before.text) and (self.values.given or self.ac):
            self.doubt(f"'{piece.text}' behind the class {self.before.text} read as AC volts")
            return self._volts(piece.value, "ac")
        rated = bool(self.dc or self.ac) or self.before.text == "+"
        if self.values.given and self.behind_a_name():
            return False
        if self.values.given and piece.value in RATED_VOLTS and not rated:
            self.sure = self.sure and self.before.text in ("/", "-")
            self.notes.append(f"'{piece.text}' after the value read as volts")
            self.surged += [piece.value] * (SURGE in (self.before.meaning, self.after.meaning))
            return self._volts(piece.value, "")
        return self.values.add(piece, plus=self.before.text == "+")

    def take_list(self, piece: Token) -> bool:
        """Take sections, a value with its rating, or ratings."""
        slashed = piece.detail == "/" and not piece.unit and not piece.letter
        if slashed and (self._one_more_section(piece) or self._with_surge(piece)):
            return True
        if piece.unit == "V" or (slashed and (self.values.given or self._ends_in_a_rating(piece))):
            return self._rated_list(piece)
        if piece.unit == "F" or piece.letter in _FARAD_LETTERS or not (piece.unit or piece.letter):
            return self.values.add(piece, plus=self.before.text == "+")
        return False

    def _one_more_section(self, piece: Token) -> bool:
        """Take 25/25 behind 32+32/450: a further value with its own rating, and no working volts with a surge above them."""
        if len(piece.values) != 2 or not self.dc or not self.values.found or self.values.explicit:
            return False
        value, volts = piece.values
        if volts not in RATED_VOLTS or value < volts <= _MOST_TEST * value or not 1 <= value <= 1000:
            return False
        self.doubt(f"'{piece.text}' read as one more section, {value} µF {volts} V")
        return self.values.add(Token("number", str(value), (value,)), plus=True) and self._volts(volts, "")

    def _with_surge(self, piece: Token) -> bool:
        """Take 8/450/500: a value, its working volts and their surge."""
        if len(piece.values) != 3 or self.values.given:
            return False
        value, working, surge = piece.values
        if not (working in RATED_VOLTS and working >= 100 and working < surge <= working * 3 / 2):
            return False
        self.doubt(f"'{piece.text}' read as a value, {working} V and their surge")
        return self.values.add(Token("number", str(value), (value,))) and self._volts(working, "")

    def _ends_in_a_rating(self, piece: Token) -> bool:
        """Whether the last number after a stroke can only be the rating: 0.1/400, and not the 8 of 16/8."""
        return (
            piece.values[-1] in RATED_VOLTS
            and piece.values[-1] >= 10
            and self.after.unit != "V"
            and not self._rated_behind(piece)
        )

    def _rated_behind(self, piece: Token) -> bool:
        """Whether as many numbers follow, which then are the ratings: 80/40/20 @ 350/350/25."""
        behind = self.pieces[next(at for at, some in enumerate(self.pieces) if some is piece) + 1 :]
        return any(some.kind == "list" and len(some.values) == len(piece.values) > 2 for some in behind)

    def _valued_behind(self, piece: Token) -> bool:
        """Whether a value with its unit follows, so that 450/500V before it are both volts."""
        behind = self.pieces[next(at for at, some in enumerate(self.pieces) if some is piece) + 1 :]
        return any(some.unit == "F" or some.letter in _FARAD_LETTERS for some in behind)

    def _rated_list(self, piece: Token) -> bool:
        """0.1/400 V is a value and its rating; after a value, 450/500 V are working and surge, or one for each section."""
        if not all(volts > 0 for volts in piece.values):
            return False
        self.volts_written = self.volts_written or piece.unit == "V"
        alternating = "ac" if _ALTERNATING.search(piece.text) else ""
        *first, last = piece.values
        ahead = piece.unit == "V" and last > first[0] and first[0] in RATED_VOLTS and self._valued_behind(piece)
        if not self.values.given and not ahead:
            if piece.detail != "/":
                return False
            text = piece.text.rpartition("/")[0]
            taken = self.values.add(Token("list" if len(first) > 1 else "number", text, tuple(first), detail="/"))
            return taken and self._volts(last, alternating)
        if self.values.rate_each(piece.values):
            self.dc += piece.values
            return True
        low, high = min(piece.values), max(piece.values)
        surge = piece.unit == "V" and len(piece.values) == 2 and low in RATED_VOLTS and high <= _MOST_TEST * low
        if not surge and not all(volts in RATED_VOLTS for volts in piece.values):
            return False
        if alternating and self.classes:
            self.ac += piece.values
            return True
        self.notes.append(f"'{piece.text}': {low} V taken as the working volts, {high} V as surge or test")
        return self._volts(low, alternating)

    def take_tolerance(self, piece: Token) -> bool:
        """Take the first tolerance, in per cent or farads."""
        if piece.unit not in ("-", "F") or self.tolerances:
            return False
        self.tolerances.append(piece)
        return True

    def take_multiple(self, piece: Token) -> bool:
        """Take how many there are."""
        return self.values.multiply(int(piece.value))

    def take_size(self, piece: Token) -> bool:
        """Take diameter and length; three lengths are a box, which has neither."""
        if len(piece.values) != 2 or not all(piece.values):
            return False
        self.lengths.update(diameter=piece.values[0], length=piece.values[1])
        return True
