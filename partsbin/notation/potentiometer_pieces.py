"""The pieces of a potentiometer's description, sorted: ohms, taps, gangs, watts, spindle and bush, what stands on its switch."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from decimal import Decimal

from partsbin.notation.potentiometer_words import POTENTIOMETER
from partsbin.notation.ratings import listed_amperes, listed_volts, proofs, unglued
from partsbin.notation.reading import Sorter
from partsbin.notation.scan import Token, scan

_THICKEST = Decimal("0.0128")  # m, up to which a length of a spindle is its diameter: half an inch
_SPINDLES = Decimal(
    "0.0081"
)  # m, up to which a length that nobody explains is a spindle's diameter; bodies begin at 9 mm
_COUNTED = re.compile(r"([1-9])-?(polig|poles?|pol|p|gangs?|fach)", re.IGNORECASE)
_METRIC = re.compile(r"M([1-9][0-9]?)(?:x[0-9.]+)?", re.IGNORECASE)
_POLE_WORDS = ("polig", "pole", "poles", "pol", "p")
_GANG_WORDS = ("gang", "gangs", "fach")
_NOT = frozenset(
    [
        "no",
        "not",
        "without",
        "never",
        "less",
        "minus",
        "lacks",
        "lacking",
        "missing",
        "isn't",
        "hasn't",
        "non",
        "un",
        "cannot",
        "ohne",
        "kein",
        "keine",
        "nicht",
        "nie",
    ]
)
_GONE = frozenset(
    ["missing", "removed", "absent", "gone", "open", "broken", "off", "lost", "fehlt", "none", "no", "not"]
)
_BESIDE = 3  # pieces between a negation and the word that it turns round: "not wired as a rheostat"


@dataclass
class Volts:
    """A figure in volts: its kind as written, whether amperes stand beside it, and whether the words give it to the track.

    The words do where they say track or limit, where watts stand beside it, and where the switch is named only behind it.
    """

    value: Decimal
    kind: str
    beside_amperes: bool
    track: bool


@dataclass
class Found:
    """What was found, before it is drawn together."""

    ohms: list[Decimal] = field(default_factory=list)
    taps: list[Decimal] = field(default_factory=list)  # ohms from one end
    tap_ratios: list[Decimal] = field(default_factory=list)
    watts: list[Decimal] = field(default_factory=list)
    volts: list[Volts] = field(default_factory=list)
    amperes: list[Decimal] = field(default_factory=list)
    fields: dict[str, object] = field(default_factory=dict)
    count: int = 1


class PotentiometerPieces(Sorter):
    """What a potentiometer's description says, piece by piece.

    Parameters
    ----------
    text : str
        The description in plain signs, taper letters taken off.
    """

    def __init__(self, text: str) -> None:
        super().__init__([piece for piece in scan(unglued(text), POTENTIOMETER) if piece.kind != "mark"])
        self.proofs = {id(self.pieces[at]) for at in proofs(self.pieces)}
        self.places = {id(piece): at for at, piece in enumerate(self.pieces)}
        self.found = Found()
        self.foreign = False
        self._tap_pieces: list[Token] = []
        roles = [piece for piece in self.pieces if piece.unit == "m" or self._role(piece) in ("shaft", "bush")]
        self._role_first = bool(roles) and roles[0].unit != "m"
        self.sort()

    @staticmethod
    def _role(piece: Token) -> object:
        if piece.means("insulated") or piece.means("style"):
            return "shaft"
        return piece.meaning[1] if piece.meaning is not None and piece.means("role") else ""

    def take_quantity(self, piece: Token) -> bool:
        """Take ohms, watts, volts, amperes and lengths; farads and henries speak of another part."""
        if piece.unit == "ohm" or (not piece.unit and piece.letter in "RrEkKMG"):
            self._take_ohms(piece)
        elif piece.unit == "W":
            self.found.watts.append(piece.value)
        elif piece.unit == "V":
            self._take_volts(piece, [(piece.value, piece.detail)])
        elif piece.unit == "A":
            self.found.amperes.append(piece.value)
        elif piece.unit == "m":
            return self._take_length(piece.value)
        else:
            self.foreign = self.foreign or piece.unit in ("F", "H") or piece.letter in "pnu"
            return False
        return True

    def _take_volts(self, piece: Token, volts: list[tuple[Decimal, str]]) -> None:
        """Volts of a test rate nothing; the others are the track's or the switch's."""
        if id(piece) in self.proofs:
            self.notes.append(f"{piece.text} is said of a test: it rates nothing")
            return
        follows = self.before.unit == "V" and bool(self.found.volts) and self.found.volts[-1].beside_amperes
        beside = follows or "A" in (self.before.unit, self.after.unit)
        watts = self.before.unit == "W" or (self.after.unit == "W" and self.before.unit != "A")
        said = "limit" in (self._role(self.before), self._role(self.after))
        track = watts or said or self._before_its_switch(piece)
        self.found.volts += [Volts(value, kind, beside, track) for value, kind in volts]

    def _before_its_switch(self, piece: Token) -> bool:
        """Whether no word of a switch and no amperes stand before the volts, nor amperes right behind them."""
        if self.after.unit == "A":
            return False
        ahead = self.pieces[: self.places[id(piece)]]
        return not any(one.unit == "A" or self._of_switch(one) for one in ahead)

    @staticmethod
    def _of_switch(piece: Token) -> bool:
        return any(piece.means(field) for field in ("switch", "action", "poles")) or (
            _COUNTED.fullmatch(piece.text) is not None
            and piece.text.lower().rstrip("s").endswith(("pol", "pole", "polig", "p"))
        )

    def _take_ohms(self, piece: Token) -> None:
        """The first figure is the track; a later one beside the word tap is a tap."""
        tapped = bool(self.found.ohms) and (
            "tap" in (self._role(self.after), self._role(self.before)) or self._one_more(piece)
        )
        self._tap_pieces += [piece] * tapped
        (self.found.taps if tapped else self.found.ohms).append(piece.value)

    def _one_more(self, piece: Token) -> bool:
        """Whether a tap goes on from the one before: tapped at 100k and 250k."""
        ahead = [one for one in self.pieces[: self.places[id(piece)]] if one.text.lower() not in ("and", "und")]
        return bool(self._tap_pieces) and ahead[-1] is self._tap_pieces[-1]

    def _roles_beside(self) -> list[object]:
        """What the words on both sides say of a length, the side first on which this text has its words."""
        near = (self.before, self.after) if self._role_first else (self.after, self.before)
        return [self._role(piece) for piece in near]

    def _take_length(self, value: Decimal) -> bool:
        roles = self._roles_beside()
        said = next((role for role in roles if role in ("shaft", "bush")), "")
        long = "length" in roles
        name = str(said or "shaft")
        if not said and not long and value > _SPINDLES:
            return False
        if not said and not long:
            self.notes.append("a length that is not explained is taken as the spindle's diameter")
        thick = value <= (_SPINDLES if long else _THICKEST) and f"{name}_diameter" not in self.found.fields
        measure = "diameter" if thick else "length"  # spindle 6 mm, long 20 mm
        self.found.fields.setdefault(f"{name}_{measure}", float(value))
        return True

    def take_size(self, piece: Token) -> bool:
        """Take the spindle's diameter by its length."""
        if len(piece.values) != 2 or min(piece.values) > _THICKEST:
            return False
        role = next((role for role in self._roles_beside() if role in ("shaft", "bush")), "shaft")
        self.found.fields |= {
            f"{role}_diameter": float(min(piece.values)),
            f"{role}_length": float(max(piece.values)),
        }
        return True

    def take_list(self, piece: Token) -> bool:
        """Take the ohms of gangs, ``500+500k``, the two currents of one contact, ``4/2A``, and its volts, ``125/250V``."""
        if piece.unit == "A":
            self.found.amperes.append(
                Decimal(str(listed_amperes([float(value) for value in piece.values], self.notes)))
            )
            return True
        if piece.unit == "V":
            alone = self._before_its_switch(piece)
            self._take_volts(piece, [(value, "") for value in piece.values] if alone else listed_volts(piece))
            return True
        if piece.unit not in ("", "ohm") or (not piece.unit and (not piece.letter or piece.letter in "pnu")):
            return False
        self.found.ohms += piece.values
        return True

    def take_tolerance(self, piece: Token) -> bool:
        """Take a tolerance, or per cent beside the word tap."""
        if piece.unit != "-":
            return False
        if "tap" in (self._role(self.before), self._role(self.after)) and "±" not in piece.text:
            self.found.tap_ratios.append(piece.values[1])
            return True
        if piece.values[0] != -piece.values[1]:
            return False
        self.found.fields["tolerance"] = float(piece.values[1])
        return True

    def take_number(self, piece: Token) -> bool:
        """Take the 2 of ``2 pole`` and ``2 gang``: the word behind it says what it counts."""
        return piece.value == int(piece.value) and self._count(int(piece.value), self.after.text.lower())

    def take_code(self, piece: Token) -> bool:
        """Take ``2pol``, ``2-gang``, and the ``M10`` of a bush."""
        counted = _COUNTED.fullmatch(piece.text)
        if counted:
            return self._count(int(counted[1]), counted[2].lower())
        metric = _METRIC.fullmatch(piece.text)
        if metric and "bush" in (self._role(self.before), self._role(self.after)):
            self.found.fields["bush_diameter"] = int(metric[1]) / 1000
            return True
        return False

    def _count(self, number: int, word: str) -> bool:
        if word in _POLE_WORDS and number <= 2:
            self.found.fields["switch_poles"] = number
        elif word in _GANG_WORDS and number <= 8:
            self.found.fields["gangs"] = number
        else:
            return False
        return True

    def take_multiple(self, piece: Token) -> bool:
        """Take the 2 of ``2x``."""
        self.found.count = int(piece.value)
        return True

    def wiring(self) -> list[str]:
        """Return how the text says that a preset is wired, negations heeded: without its end resistor it is a divider."""
        said: list[str] = []
        for at, piece in enumerate(self.pieces):
            if piece.meaning is None or not piece.means("wired"):
                continue
            word = str(piece.meaning[1])
            before = {one.text.lower() for one in self.pieces[max(at - _BESIDE, 0) : at]}
            after = {one.text.lower() for one in self.pieces[at + 1 : at + 2]}
            if before & _NOT or after & _GONE:
                word = "" if word == "divider" else "divider"
            said.append(word)
        return list(dict.fromkeys(word for word in said if word))

    def has_noun(self, word: str) -> bool:
        """Return whether a noun of the vocabulary stands in the text."""
        return word in self.words("noun")

    @property
    def switched(self) -> bool:
        """Whether the text speaks of a switch."""
        poles = self.found.fields.get("switch_poles", next(iter(self.words("poles")), None))
        return bool(self.words("switch") or self.words("action") or (poles is not None and int(str(poles)) > 0))
