"""The pieces of a transformer's description, sorted: kind, pairs of windings, copper, gap, volts, valves served."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from itertools import pairwise

from partsbin.notation.pairs import Pair, Side, find_joined, pairs_of
from partsbin.notation.reading import NOTHING, Sorter
from partsbin.notation.scan import Token
from partsbin.notation.windings import Windings, is_split
from partsbin.notation.writing import format_quantity

VALVE = re.compile(
    r"(?!EI|UI|CT|AC|DC|HT|PP|UL[0-9]$|VA|EE)[ACDEGHKPUV][A-Z]{1,3}[1-9][0-9]{0,2}"  # EI66 is a core
    r"|(?:117|[0-9]{1,2})[A-Z]{1,2}[0-9]{1,2}(?:GT[ABY]?|G[BY]?|WGT[AB]?|WA|[ABCW])?|[0-9]{3}[AB]",
    re.ASCII,
)
_LOOK_LIKE_VOLTS = frozenset({"6V6", "12V6"})
"""Valves whose names look like volts with the letter in the place of the point."""

_VALVE_OR_OHMS = "6K6"
_POWERED = frozenset({"mains", "heater", "isolating", "auto"})
_NARROWER = frozenset({"isolating", "heater", "auto"})
_LINE = (("quality", "line"), ("kind", "line"))
_INSULATION = ("quality", "insulation")
_BETWEEN_ANODES = ("between_anodes", True)
_LINE_VOLTS = frozenset({Decimal(25), Decimal(50), Decimal(70), Decimal("70.7"), Decimal(100), Decimal(140)})
"""Volts of loudspeaker lines (common practice); another figure beside the word line needs the word right after it."""

_LEAST_MAINS = Decimal(100)
"""Volts from which a winding can be on the mains."""

_SIDES = (("winding", "primary"), ("winding", "secondary"))
_LEAST_LOAD = 100
"""Ohms from which a load is a valve's and not a loudspeaker's [ohm]."""
_COPPER_ENDS = {"primary": Decimal(2000), "secondary": Decimal(2)}
"""Ohms from which a winding's figure is a load and not its copper (primaries measure 100 to 1000 ohms)."""


class TransformerPieces(Sorter):
    """What a transformer's description says, piece by piece.

    Parameters
    ----------
    pieces : list of Token
        The description, scanned with the words for transformers.
    """

    def __init__(self, pieces: list[Token]) -> None:
        super().__init__(pieces)
        self.values: dict[str, Decimal] = {}
        self.pairs: list[Pair] = []
        self.windings = Windings()
        self.served: dict[str, int] = {}
        self.impedances: dict[str, Decimal] = {}
        self.watts: list[Decimal] = []
        self.count = 1
        self.bare = False  # nothing in the text speaks of transformers
        self._side = self._quality = ""  # what the words before a number said of it
        self._times = 1
        self.kind = self._kind()
        self._behind = self._words_behind()
        self._line_volts()
        self.sort(self._join())

    # ---- what has to be known before the pieces are sorted

    def _kind(self) -> str:
        kinds = [str(kind) for kind in self.words("kind")]
        if not kinds and any(is_split(piece) for piece in self.pieces):
            self.doubt("a winding such as 250-0-250: taken to be a mains transformer")
            return "mains"
        if not kinds and self._only_volts_and_amperes():
            self.doubt("volts and amperes, no kind named: taken to be a mains transformer")
            self.bare = "transformer" not in self.words("noun")
            return "mains"
        narrower = [kind for kind in kinds if kind in _NARROWER]
        if len(kinds) > 1 and "mains" in kinds and narrower:
            return narrower[0]
        if len(kinds) > 1 and set(kinds) != {"output", "line"}:
            self.doubt(f"several kinds named, the first taken: {', '.join(kinds)}")
        return kinds[0] if kinds else ""

    def _only_volts_and_amperes(self) -> bool:
        """6.3V 1A, or 115V/6.3V 1.2A: no ohms, no ratio, no other part named."""
        units = {piece.unit for piece in self.pieces if piece.kind in ("quantity", "list", "ratio", "number")}
        return units == {"V", "A"} and ("noun", "other") not in self.meanings

    def _words_behind(self) -> set[int]:
        """The words primary and secondary that stand behind their ohms, where the first of them does: 420R primary 0.4R secondary."""
        sides = [at for at, piece in enumerate(self.pieces) if piece.meaning in _SIDES]
        behind = {at for at in sides if at and _in_ohms(self.pieces[at - 1])}
        return {id(self.pieces[at]) for at in behind} if sides and sides[0] in behind else set()

    def _line_volts(self) -> None:
        volts = [
            (piece, after)
            for piece, after in pairwise((*self.pieces, NOTHING))
            if piece.kind == "quantity" and piece.unit == "V"
        ]
        named = [piece.value for piece, after in volts if piece.value > 0 and after.meaning in _LINE]
        if not named:
            named = [
                piece.value
                for before, piece in pairwise(self.pieces)
                if piece.unit == "V"
                and piece.kind == "quantity"
                and piece.value in _LINE_VOLTS
                and before.meaning in _LINE
            ]
        usual = [piece.value for piece, _ in volts if piece.value in _LINE_VOLTS] if self.kind == "line" else []
        if named or usual:
            self.values["line_voltage"] = (named or usual)[0]

    def _join(self) -> set[int]:
        """Find the pairs of windings; the pieces that they use up are not read again."""
        used: set[int] = set()
        found = find_joined(self.pieces)
        several = sum(len(joined.used) == 1 for joined in found) > 1
        for joined in found:
            if (
                self.kind in _POWERED
                and joined.left.kind == joined.right.kind == ""
                and max(joined.left.values) >= _LEAST_MAINS
            ):
                joined = replace(joined, left=Side(joined.left.values, "V"), right=Side(joined.right.values, "V"))
            pairs, doubt = pairs_of(joined, self.values.get("line_voltage"))
            if doubt:
                self.doubt(doubt)
            if not pairs:
                continue
            named = several and len(joined.used) == 1  # 30:1, 45:1, 60:1: each is a tap
            self.pairs += [replace(pair, secondary=joined.text) for pair in pairs] if named else pairs
            used.update(joined.used)
            if joined.left.kind == "W":
                self.watts += joined.left.values
            if joined.left.kind == "V" and self.kind in _POWERED:
                self.windings.volts(_volts(joined.left), primary=True, times=1)
                self.windings.volts(_volts(joined.right), primary=False, times=1)
        return used

    # ---- one piece after the other

    def take_word(self, piece: Token) -> bool:
        """Take a word; what it says of a winding or a quantity holds for the number that follows."""
        if piece.meaning is None:
            return False
        field, value = piece.meaning
        if field == "pair":
            return self._pair()
        if id(piece) in self._behind:
            return True
        if field in ("winding", "copper"):
            self._side = str(value)
            self._quality = "resistance" if field == "copper" else self._quality
        elif field == "quality" and not (self.before.unit == "V" and value == "insulation"):
            self._quality = str(value)
        return piece.meaning != ("noun", "other")

    def _pair(self) -> bool:
        """Two of the valve that follows, or of the one before."""
        if self.after.kind == "code":
            self._times = 2
        elif self.before.kind == "code" and len(self.served) == 1:
            self.served = dict.fromkeys(self.served, 2)
        else:
            return False
        return True

    def take_code(self, piece: Token) -> bool:
        """Take a valve type: the transformer serves it."""
        valve = piece.text.removesuffix("s")
        if not VALVE.fullmatch(valve):
            return False
        self.served[valve] = self.served.get(valve, 0) + self._times
        self._times = 1
        return True

    def take_multiple(self, piece: Token) -> bool:
        """Take how many: valves or windings where one follows, else parts."""
        self._times = max(1, int(piece.value))
        if self.before.kind == "code" and self.after.kind != "code" and len(self.served) == 1:
            only = next(iter(self.served))  # EL84 2 off
            self.served[only], self._times = self._times, 1
            return True
        if self.after.kind not in ("code", "quantity", "list"):
            self.count, self._times = self._times, 1
        return True

    def take_quantity(self, piece: Token) -> bool:
        """Take ohms, volts, amperes, watts, henries, hertz or an area."""
        if piece.text in _LOOK_LIKE_VOLTS:
            return self.take_code(piece)
        if piece.value <= 0:
            return False
        if piece.text == _VALVE_OR_OHMS:
            self.doubt("'6K6' read as 6.6 kΩ; it may be the valve of that name")
        if _in_ohms(piece):
            if id(self.after) in self._behind and self.after.meaning is not None:
                self._side = str(self.after.meaning[1])
            return self._ohms(piece.value)
        if piece.unit == "V" or piece.letter == "V":
            return self._volts(piece)
        if piece.unit == "A":
            powered = self.kind in _POWERED
            return self.windings.amperes(piece.value) if powered else self._once("dc_current", piece.value)
        if piece.unit == "W":
            self.watts.append(piece.value)
            return True
        name = {"H": "primary_inductance", "Hz": "frequency", "m²": "core_area"}.get(piece.unit)
        return name is not None and self._once(name, piece.value)

    def take_number(self, piece: Token) -> bool:
        """Take the ohms after Rp or DCR."""
        return self._quality == "resistance" and piece.value > 0 and self._ohms(piece.value)

    def take_list(self, piece: Token) -> bool:
        """Take the copper of both windings, taps in watts, or the volts of a winding."""
        if not all(value >= 0 for value in piece.values) or piece.letter:
            return False
        if self._quality == "resistance" and piece.unit in ("", "ohm") and len(piece.values) == 2:
            first, second = piece.values
            return self._once("primary_resistance", first) and self._once("secondary_resistance", second)
        if piece.unit == "W" and all(piece.values):
            self.watts += piece.values
            return True
        if self.after.meaning == ("winding", "primary"):  # 0-220-240 prim
            self._side = "primary"
        volts = piece.unit == "V" or (
            not piece.unit and (is_split(piece) or bool(self._side) or self._is_primary(piece))
        )
        return self.kind in _POWERED and volts and self._winding(piece)

    def _is_primary(self, piece: Token) -> bool:
        """0-110-220-240 before any winding."""
        zero, *taps = piece.values
        return (
            zero == 0 and not self.windings.rows and len(taps) > 1 and taps == sorted(taps) and taps[-1] >= _LEAST_MAINS
        )

    def _ohms(self, value: Decimal) -> bool:
        """Copper or a load, by the words before it and else by size."""
        between = _BETWEEN_ANODES in (self.before.meaning, self.after.meaning)
        if (
            between and "primary" not in self.impedances and value >= _LEAST_LOAD
        ):  # 8k a-a 15 ohm: the second is the speaker's
            self._side, self._quality = "primary", "impedance"
        side, quality = self._side.replace("mains", "primary"), self._quality
        self._side = self._quality = ""
        text = format_quantity(value, "ohm")
        if quality == "resistance":
            return self._once(f"{side or 'primary'}_resistance", value)
        if not side:
            side = "primary" if value >= 100 else "secondary"
            load = side == "secondary" or value >= _COPPER_ENDS[side]
            self.doubt(f"{text} taken as {side} {'load' if load else 'copper'}: the text does not say")
            quality = "impedance" if load else ""
        if quality == "impedance" or value >= _COPPER_ENDS[side]:
            return self.impedances.setdefault(side, value) == value
        self.notes.append(f"{text} {side} taken as copper, not as a load")
        return self._once(f"{side}_resistance", value)

    def _volts(self, piece: Token) -> bool:
        if self._quality == "insulation" or self.after.meaning == _INSULATION:
            self._quality = ""
            return self._once("insulation_voltage", piece.value)
        if piece.value == self.values.get("line_voltage"):
            return True
        return self.kind in _POWERED and self._winding(piece)

    def _winding(self, piece: Token) -> bool:
        primary, times = self._side in ("primary", "mains"), self._times
        self._side, self._times = "", 1
        return self.windings.volts(piece, primary=primary, times=times)

    def _once(self, name: str, value: Decimal) -> bool:
        if name in self.values or value <= 0:
            return False
        self.values[name] = value
        return True


def _in_ohms(piece: Token) -> bool:
    return piece.kind == "quantity" and (piece.unit == "ohm" or (bool(piece.letter) and piece.letter in "RrEkKM"))


def _volts(side: Side) -> Token:
    return Token("list" if len(side.values) > 1 else "quantity", "/".join(map(str, side.values)), side.values, "V")
