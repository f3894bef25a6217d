"""The pieces of a resistor's description, sorted: values, watts, volts, sections of a tapped one, colours, sizes."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from itertools import pairwise

from partsbin.notation.bare import RATED_VOLTS
from partsbin.notation.reading import Sorter
from partsbin.notation.resistance import TOLERANCE_LETTERS, Way, bare, coded, either_way
from partsbin.notation.resistor_denials import meanings
from partsbin.notation.resistor_doubles import OLD_AMERICAN, lettered, tens, thousands, with_unit
from partsbin.notation.scan import Token

_LETTERS = frozenset("rREkKMGm")
_DESIGNATOR = re.compile(r"R[0-9]{1,4}", re.ASCII)
_KILO_OR_MEGA = re.compile(r".*[0-9] ?([kK]) ?[wW]", re.ASCII)
_MEGA_WATT = re.compile(r"([0-9]{1,3}(?:[.,][0-9]{1,3})?)MW", re.ASCII)
_WATTS_POINT = re.compile(r"([0-9]{1,2})W([0-9])", re.ASCII)
_MEGA_OR_MICRO = re.compile(r"([0-9]{1,2}(?:\.[0-9]{1,2})?) ?MF", re.ASCII)
_LETTER_AS_UNIT = re.compile(r"([1-9][0-9]{2,3})([FGJ])", re.ASCII)  # 1001F is no thousand farads
_MOST_WATTS = Decimal(1000)
_MOST_CURRENT = Decimal(10)
_FIGURES = ("quantity", "number", "list")
_RANGES = ("-", "to", "bis", "..", "...")
_TIMES = re.compile(r"[xX]([1-9][0-9]?)", re.ASCII)
_POINT_WATTS = re.compile(r"\.([0-9]{1,2})W", re.ASCII)  # 100k.5W: the scanner takes the value and leaves the rest
_FRACTION = re.compile(r"([0-9]{1,2})/([0-9]{1,2}) ?[kM](?:ohm)?", re.ASCII)
_TO_A_TAP = frozenset({"at", "@", "bei", "and", "und", "&", ",", "+", ":"})
"""What may stand between the word tapped and the ohms of a tap."""

_NAMES_OF_LENGTHS = ("length", "diameter")


class ResistorPieces(Sorter):
    """What a resistor's description says, piece by piece.

    Parameters
    ----------
    pieces : list of Token
        The description, scanned with the words for resistors.
    signed : bool
        Whether the ohm was written as its sign: who does that writes m for milli.
    """

    def __init__(self, pieces: list[Token], *, signed: bool = False) -> None:
        super().__init__(pieces)
        self.signed = signed
        self.meanings = meanings(pieces)
        self.values: list[tuple[Token, list[Way]]] = []  # each with its unit or letter, and what it may mean
        self.bare: list[Token] = []
        self.sections: list[Decimal] = []
        self.powers: list[Decimal] = []
        self.odd_watts: list[Decimal] = []  # watts in kW and MW, which no resistor has
        self.volts: list[Decimal] = []
        self.tested: list[Decimal] = []
        self.currents: list[Decimal] = []
        self.tap_points: list[Token] = []
        self.tolerances: list[tuple[Decimal, Decimal]] = []
        self.lengths: dict[str, Decimal] = {}
        self.hottest: Decimal | None = None
        self.count = 1
        self.foreign = False
        self.ranged = self.link = False
        self._test_spent = False
        self.sort(self._designators())
        self._gather_sections()

    def _designators(self) -> set[int]:
        """The R12 that begins a description, or follows another one, where a value comes after it."""
        used: set[int] = set()
        for at, piece in enumerate(self.pieces):
            if not _DESIGNATOR.fullmatch(piece.text):
                if piece.kind != "mark":
                    break
                continue
            used.add(at)
        valued = any(
            piece.kind in ("quantity", "number", "list", "code")
            for at, piece in enumerate(self.pieces)
            if at not in used and piece.unit not in ("W", "V")
        )
        return used if valued else set()

    def _gather_sections(self) -> None:
        """1k5+1k5 are sections; a range from one value to another is none."""
        joined: list[Token] = []
        places = [at for at, piece in enumerate(self.pieces) if piece.kind == "quantity" and self._is_ohms(piece)]
        for first, second in pairwise(places):
            between = "".join(piece.text for piece in self.pieces[first + 1 : second])
            if between == "+":
                joined += [self.pieces[second]] if joined else [self.pieces[first], self.pieces[second]]
            self.ranged = self.ranged or between in _RANGES
        if joined and not self.sections:
            self.sections = [piece.value for piece in joined]
            self.values = [(piece, ways) for piece, ways in self.values if not any(piece is one for one in joined)]

    @staticmethod
    def _is_ohms(piece: Token) -> bool:
        return piece.unit == "ohm" or (not piece.unit and piece.letter in _LETTERS)

    @property
    def has_ratio(self) -> bool:
        """Whether two figures stand in a ratio, 5k:3 among them: that is a transformer's."""
        triples = zip(self.pieces, self.pieces[1:], self.pieces[2:], strict=False)
        return any(piece.kind == "ratio" for piece in self.rest) or any(
            mid.text == ":" and first.kind in _FIGURES and last.kind in _FIGURES for first, mid, last in triples
        )

    @property
    def colours(self) -> bool:
        """Whether at least two colours are named."""
        return sum(piece.means("colour") for piece in self.pieces) > 1

    @property
    def powers_alone(self) -> bool:
        """Whether there are watts and nothing else that could be a value: more than one, or more than any resistor has."""
        return bool(self.odd_watts) or len(set(self.powers)) > 1

    @property
    def leaded(self) -> bool:
        """Whether something says that it is no small chip."""
        return bool(self.powers or self.words("technology") or self.words("mounting") or self.lengths)

    def take_word(self, piece: Token) -> bool:
        """Take a word of the vocabulary, or a tolerance letter that stands behind the value."""
        if piece.meaning is not None:
            return True
        if (
            piece.text in TOLERANCE_LETTERS
            and self.before.kind in ("quantity", "number")
            and (self.values or self.bare)
        ):
            share = TOLERANCE_LETTERS[piece.text]
            self.tolerances.append((-share, share))
            return True
        return False

    def take_code(self, piece: Token) -> bool:
        """Take 4K7J, 5W10RJ, 1W5."""
        watts = _WATTS_POINT.fullmatch(piece.text)
        if watts is not None:
            self.powers.append(Decimal(f"{watts[1]}.{watts[2]}"))
            return True
        point = _POINT_WATTS.fullmatch(piece.text)
        if point is not None and self.before.kind == "quantity" and self._is_ohms(self.before):
            self.powers.append(Decimal(f"0.{point[1]}"))
            if self.before.text[-1] in "123456789":
                self.doubt(f"'{self.before.text}{piece.text}' read as {self.before.text} and 0.{point[1]} W")
            return True
        ways = tens(piece.text)
        if ways:
            self.values.append((piece, ways))
            return True
        mega = _MEGA_WATT.fullmatch(piece.text)
        if mega is not None:
            self.odd_watts.append(Decimal(mega[1].replace(",", ".")).scaleb(6))
            return True
        times = _TIMES.fullmatch(piece.text)
        if times is not None:
            self.count = int(times[1])
            return True
        ways = coded(piece.text)
        if ways:
            self.values.append((piece, [replace(way, power=None) for way in ways]))
            self.powers += [ways[0].power] if ways[0].power is not None else []
        return bool(ways)

    def take_quantity(self, piece: Token) -> bool:
        """Take ohms, watts, volts, amperes, a temperature or a length."""
        if _LETTER_AS_UNIT.fullmatch(piece.text):
            self.values.append((piece, coded(piece.text) or [Way()]))
            return True
        if piece.value < 0:
            return False
        mega = _MEGA_OR_MICRO.fullmatch(piece.text)
        if mega is not None and any(one.unit == "W" for one in self.pieces):
            self.doubt(
                f"'{piece.text}' read as {mega[1]} MΩ ±1 %, for its watts; else it is {mega[1]} µF, as old markings mean it"
            )
            self.values.append((piece, [Way(Decimal(mega[1]).scaleb(6), either_way(Decimal("0.01")))]))
            return True
        if self._is_ohms(piece):
            return self._at_a_tap(piece) or self._ohms(piece)
        if piece.unit == "W" and piece.detail != "va" and piece.value > 0:
            wrong = _KILO_OR_MEGA.fullmatch(piece.text) is not None or piece.value > _MOST_WATTS
            (self.odd_watts if wrong else self.powers).append(piece.value)
            return True
        if piece.unit == "V" and piece.value > 0:
            return self._volts(piece.value)
        if piece.unit == "A" and 0 < piece.value <= _MOST_CURRENT and (self.values or self.sections):
            self.currents.append(piece.value)
            return True
        if piece.unit == "°C" and piece.value > 0:
            self.hottest = max(piece.value, self.hottest or piece.value)
            return True
        if piece.unit == "m":
            return self._length(piece)
        self.foreign = self.foreign or piece.unit not in ("°C", "K", "-")
        return False

    def _ohms(self, piece: Token) -> bool:
        if piece.value == 0:
            self.link = True
            self.doubt(f"'{piece.text}' is a link, no resistor")
            return True
        ways = lettered(piece.text, piece.value, piece.letter) if not piece.unit else with_unit(piece.text, piece.value)
        if (
            self.signed
            and piece.unit
            and len(ways) > 1
            and ways[0].resistance == piece.value
            and not 1 <= piece.value < OLD_AMERICAN
        ):
            ways = [Way(piece.value)]
        self.values.append((piece, ways))
        return True

    def _at_a_tap(self, piece: Token) -> bool:
        """5k tapped at 2k and 3k: ohms behind the value and the word say where the taps are."""
        if not self.values or piece.value <= 0:
            return False
        ahead = self.pieces[: next(at for at, one in enumerate(self.pieces) if one is piece)]
        passed = {id(one) for one in self.tap_points}
        behind = next((one for one in ahead[::-1] if one.text.lower() not in _TO_A_TAP and id(one) not in passed), None)
        if behind is None or not behind.means("tapped"):
            return False
        self.tap_points.append(piece)
        return True

    def _volts(self, volts: Decimal) -> bool:
        """The limiting voltage, unless a word beside it says that it is a test or an overload."""
        test = ("qualifier", "test")
        before = self.before.meaning == test and not self._test_spent
        self._test_spent = self.after.meaning == test
        (self.tested if before or self._test_spent else self.volts).append(volts)
        return True

    def _length(self, piece: Token) -> bool:
        for neighbour in (self.before, self.after):
            if neighbour.meaning is not None and neighbour.meaning[1] in _NAMES_OF_LENGTHS and piece.value > 0:
                self.lengths.setdefault(str(neighbour.meaning[1]), piece.value)
                return True
        return False

    def take_number(self, piece: Token) -> bool:
        """Take a value without a unit: the first number."""
        if self.values and self._at_a_tap(piece):
            return True
        if piece.value < 0 or self.bare:
            return False
        rated = piece.value in RATED_VOLTS and piece.value >= 100
        if self.values and rated and not (self.volts or self.behind_a_name()):
            self.doubt(f"'{piece.text}' behind the value read as volts")
            return self._volts(piece.value)
        if self.values:
            return False
        self.bare.append(piece)
        return True

    def ways_of_number(self, piece: Token) -> list[Way]:
        """What a number without a unit may mean, once everything else is known."""
        if piece.value == 0:
            return [Way().doubted(f"'{piece.text}' ohm is a link, no resistor")]
        return thousands(piece.text, piece.value) or bare(piece.text, piece.value, leaded=self.leaded)

    def take_list(self, piece: Token) -> bool:
        """Take sections of a tapped one, or watts written as a fraction."""
        if piece.detail == "/" and len(piece.values) == 2 and piece.unit in ("W", "") and not piece.letter:
            above, below = piece.values
            if 0 < above < below <= 16 and below == int(below) and (piece.unit or self.values or self.bare):
                self.powers.append(above / below)
                if not piece.unit:
                    self.notes.append(f"'{piece.text}' read as watts")
                return True
            return False
        if not self._is_ohms(piece) or not all(value > 0 for value in piece.values) or self.sections:
            return False
        part = _FRACTION.fullmatch(piece.text)
        if part is not None and piece.detail == "/" and int(part[1]) < int(part[2]):
            value = piece.values[1] / int(part[2]) * int(part[1]) / int(part[2])
            self.values.append((piece, [Way(value).doubted(f"'{piece.text}' read as a fraction, not as two sections")]))
            return True
        if piece.detail != "+":
            self.doubt(f"'{piece.text}' read as the sections of a tapped one")
        self.sections = list(piece.values)
        return True

    def take_tolerance(self, piece: Token) -> bool:
        """Take a tolerance in per cent."""
        if piece.unit != "-":
            return False
        self.tolerances.append((piece.values[0], piece.values[1]))
        return True

    def take_multiple(self, piece: Token) -> bool:
        """Take how many there are."""
        self.count = int(piece.value)
        return self.count > 0

    def take_size(self, piece: Token) -> bool:
        """Take diameter and length."""
        if len(piece.values) != 2 or not all(piece.values):
            return False
        self.lengths.update(diameter=min(piece.values), length=max(piece.values))
        return True
