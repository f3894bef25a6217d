"""A transformer's description to its fields: kind, ratios or impedances, copper, gap, line volts, windings, valves served."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from itertools import pairwise

from partsbin.notation.pairs import Pair, find_joined, pairs_of
from partsbin.notation.reading import Reading
from partsbin.notation.scan import Token, scan
from partsbin.notation.text import normalise
from partsbin.notation.vocabulary import TRANSFORMER
from partsbin.notation.windings import Windings, is_split
from partsbin.notation.writing import format_quantity

_VALVE = re.compile(
    r"(?!EI|UI|CT|AC|DC|HT|PP|UL[0-9]$|VA|EE)[ACDEGHKPUV][A-Z]{1,3}[1-9][0-9]{0,2}"  # EI66 is a core
    r"|(?:117|[0-9]{1,2})[A-Z]{1,2}[0-9]{1,2}(?:GT[ABY]?|G[BY]?|WGT[AB]?|WA|[ABCW])?|[0-9]{3}[AB]",
    re.ASCII,
)
_SIX_V_SIX = frozenset({"6V6", "12V6"})
"""Valves whose names look like volts with the letter in the place of the point."""

_POWERED = frozenset({"mains", "heater", "isolating", "auto"})
_NARROWER = {"isolating", "heater", "auto"}
_COPPER_ENDS = 2000
_SPEAKER_BEGINS = 2
_NOTHING = Token("mark", "")
_LINE = (("quality", "line"), ("kind", "line"))
_SPLIT = re.compile(r"([0-9]{1,4}(?:\.[0-9])?) ?[vV] ?- ?0 ?[vV]? ?- ?(?=[0-9])", re.ASCII)
"""250V-0-250V, to be read as 250-0-250V."""

_VALVE_OR_OHMS = "6K6"


def read_transformer(text: str) -> list[Reading]:
    """Read the description of a transformer.

    Parameters
    ----------
    text : str
        Such as ``OPT 45:1 Rp 380``, ``output transformer EL84 5k2:3Ω``, ``100V line 10/5/2.5W to 15 ohm``,
        ``mains transformer 250-0-250 80mA 6.3V 3A``.

    Returns
    -------
    list of Reading
        One, or none if nothing in the text speaks of a transformer.

    Notes
    -----
    Ratio of impedances: N = √(Zp/Zs). A tap of W watts on a line of V volts has a primary of V²/W. Ohms under 2 kΩ beside the
    word primary are copper, above it an impedance, and the reading says so.

    Examples
    --------
    >>> read_transformer("OPT 45:1 Rp 380")[0].fields["primary_resistance"]
    380.0
    """
    plain = normalise(text)
    pieces = _Pieces(scan(_SPLIT.sub(r"\1-0-", plain.text), TRANSFORMER))
    if not pieces.speaks_of_transformers():
        return []
    notes = dict.fromkeys((*plain.notes, *pieces.notes))
    fields = pieces.fields()
    unread = [piece.text for piece in pieces.rest if piece.kind not in ("word", "code")]
    if unread:
        notes["not understood: " + ", ".join(f"'{item}'" for item in unread)] = None
    rest = " ".join(piece.text for piece in pieces.rest)
    return [Reading("transformer", fields, pieces.sure and not unread, tuple(notes), rest)]


class _Pieces:
    """The pieces of a description, sorted by what they say. What is not understood goes to `rest`."""

    def __init__(self, pieces: list[Token]) -> None:
        self.meanings: list[tuple[str, object]] = []
        self.values: dict[str, Decimal] = {}
        self.pairs: list[Pair] = []
        self.windings = Windings()
        self.served: list[str] = []
        self.impedances: dict[str, Decimal] = {}
        self.watts: list[Decimal] = []
        self.count = 1
        self.rest: list[Token] = []
        self.notes: list[str] = []
        self.sure = True
        self._side = self._quality = ""  # what the words before a number said of it
        self._times = 1
        self._before = self._after = _NOTHING
        self.meanings = [piece.meaning for piece in pieces if piece.meaning is not None]
        self.kind = self._kind(any(is_split(piece) for piece in pieces))
        self._line_volts(pieces)
        used = self._join(pieces)
        self._paired = bool(self.pairs)
        self._sort(pieces, used)
        self._finish()

    def words(self, field: str) -> list[object]:
        """Every word of the vocabulary about that field."""
        return [value for name, value in self.meanings if name == field]

    def speaks_of_transformers(self) -> bool:
        """Whether there is anything that only a transformer has."""
        if self.kind or "transformer" in self.words("noun"):
            return True
        return "other" not in self.words("noun") and (self._paired or "line_voltage" in self.values)

    # ---- what has to be known first

    def _kind(self, split: bool) -> str:
        kinds = list(dict.fromkeys(str(kind) for kind in self.words("kind")))
        if not kinds and split:
            self._doubt("a winding such as 250-0-250: taken to be a mains transformer")
            return "mains"
        narrower = [kind for kind in kinds if kind in _NARROWER]
        if len(kinds) > 1 and "mains" in kinds and narrower:
            return narrower[0]
        if len(kinds) > 1 and set(kinds) != {"output", "line"}:
            self._doubt(f"several kinds named, the first taken: {', '.join(kinds)}")
        return kinds[0] if kinds else ""

    def _line_volts(self, pieces: list[Token]) -> None:
        for piece, after in pairwise(pieces):
            if piece.unit == "V" and piece.kind == "quantity" and piece.value > 0 and after.meaning in _LINE:
                self.values.setdefault("line_voltage", piece.value)

    def _join(self, pieces: list[Token]) -> set[int]:
        """Find the pairs of windings; the pieces that they use up are not read again."""
        used: set[int] = set()
        found = find_joined(pieces)
        several = sum(len(joined.used) == 1 for joined in found) > 1
        for joined in found:
            pairs, doubt = pairs_of(joined, self.values.get("line_voltage"))
            if doubt:
                self._doubt(doubt)
            if not pairs:
                continue
            named = several and len(joined.used) == 1  # 30:1, 45:1, 60:1: each is a tap
            self.pairs += [replace(pair, secondary=joined.text) for pair in pairs] if named else pairs
            used.update(joined.used)
            if joined.left.kind == "W":
                self.watts += joined.left.values
            if joined.left.kind == "V" and self.kind in _POWERED:
                self.windings.volts(pieces[joined.used[0]], primary=True, times=1)
                self.windings.volts(pieces[joined.used[-1]], primary=False, times=1)
        return used

    # ---- one piece after the other

    def _sort(self, pieces: list[Token], used: set[int]) -> None:
        takers = {"word": self._word, "code": self._code, "quantity": self._quantity, "number": self._number, "list": self._list,
                  "multiple": self._multiple}
        for at, piece in enumerate(pieces):
            self._before = pieces[at - 1] if at else _NOTHING
            self._after = pieces[at + 1] if at + 1 < len(pieces) else _NOTHING
            if piece.kind == "mark" or at in used:
                continue
            if piece.text in _SIX_V_SIX:
                self._code(piece)
            elif piece.kind in takers and takers[piece.kind](piece):
                self.notes += piece.notes
            else:
                self.rest.append(piece)

    def _word(self, piece: Token) -> bool:
        if piece.meaning is None:
            return False
        field, value = piece.meaning
        if field in ("winding", "copper"):
            self._side = str(value)
            self._quality = "resistance" if field == "copper" else self._quality
        elif field == "quality" and not (self._before.unit == "V" and value == "insulation"):
            self._quality = str(value)
        return piece.meaning != ("noun", "other")

    def _code(self, piece: Token) -> bool:
        if not _VALVE.fullmatch(piece.text):
            return False
        if self._times > 1:
            self.notes.append(f"{self._times} {piece.text} served")
        self._times = 1
        if piece.text not in self.served:
            self.served.append(piece.text)
        return True

    def _multiple(self, piece: Token) -> bool:
        self._times = max(1, int(piece.value))
        if self._after.kind not in ("code", "quantity", "list"):
            self.count, self._times = self._times, 1
        return True

    def _quantity(self, piece: Token) -> bool:
        if piece.value <= 0:
            return False
        if piece.text == _VALVE_OR_OHMS:
            self._doubt("'6K6' read as 6.6 kΩ; it may be the valve of that name")
        if piece.unit == "ohm" or (piece.letter and piece.letter in "RrEkKM"):
            return self._ohms(piece.value)
        if piece.unit == "V" or piece.letter == "V":
            return self._volts(piece)
        if piece.unit == "A":
            return self.windings.amperes(piece.value) if self.kind in _POWERED else self._once("dc_current", piece.value)
        if piece.unit == "W":
            self.watts.append(piece.value)
            return True
        name = {"H": "primary_inductance", "Hz": "frequency", "m²": "core_area"}.get(piece.unit)
        return name is not None and self._once(name, piece.value)

    def _number(self, piece: Token) -> bool:
        """A bare number after Rp or DCR is in ohms."""
        return self._quality == "resistance" and piece.value > 0 and self._ohms(piece.value)

    def _list(self, piece: Token) -> bool:
        if not all(value >= 0 for value in piece.values):
            return False
        if self._quality == "resistance" and piece.unit in ("", "ohm") and len(piece.values) == 2 and not piece.letter:
            first, second = piece.values
            return self._once("primary_resistance", first) and self._once("secondary_resistance", second)
        if piece.unit == "W" and all(piece.values):
            self.watts += piece.values
            return True
        if self.kind in _POWERED and piece.unit in ("", "V") and not piece.letter and (is_split(piece) or piece.unit == "V" or self._side):
            return self._winding(piece)
        return False

    def _ohms(self, value: Decimal) -> bool:
        """Copper or impedance, by the words before it and else by size."""
        side, quality, self._side, self._quality = self._side, self._quality, "", ""
        if side == "mains":
            side = "primary"
        if quality == "resistance":
            return self._once(f"{side or 'primary'}_resistance", value)
        if not side:
            side = "primary" if value >= 100 else "secondary"
            self._doubt(f"'{format_quantity(value, 'ohm')}' taken as {side} {'impedance' if side == 'secondary' or value >= _COPPER_ENDS else 'copper'}")
        copper = value < (_COPPER_ENDS if side == "primary" else _SPEAKER_BEGINS)
        if quality == "impedance" or not copper:
            self.impedances.setdefault(side, value)
            return True
        self.notes.append(f"{format_quantity(value, 'ohm')} {side} taken as copper resistance, not as a load")
        return self._once(f"{side}_resistance", value)

    def _volts(self, piece: Token) -> bool:
        insulation = ("quality", "insulation")
        if self._quality == "insulation" or self._after.meaning == insulation:
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

    # ---- the outcome

    def _finish(self) -> None:
        """Draw what follows from the pieces together: line taps, a pair from two impedances, the power."""
        line = self.values.get("line_voltage")
        if line is not None and self.watts and not any(pair.primary_impedance for pair in self.pairs):
            taps = sorted(set(self.watts), reverse=True)
            names = [format_quantity(watts, "W") if len(taps) > 1 else "primary" for watts in taps]
            load = self.impedances.pop("secondary", None)
            self.pairs += [Pair(name, "secondary", (line**2 / watts / load).sqrt() if load else None, line**2 / watts, load)
                           for watts, name in zip(taps, names, strict=True)]
        if self.impedances:
            high, low = self.impedances.get("primary"), self.impedances.get("secondary")
            self.pairs.append(Pair("primary", "secondary", (high / low).sqrt() if high and low else None, high, low))
        if self.watts:
            self.values["power"] = max(self.watts)
            if len(set(self.watts)) > 1 and line is None:
                self._doubt("several powers, the highest taken")
        if not self.kind and line is not None:
            self.kind = "line"
        self.notes += self.windings.notes

    def fields(self) -> dict[str, object]:
        """The fields, in the order in which a part is described."""
        fields: dict[str, object] = {"kind": self.kind} if self.kind else {}
        if self.words("between_anodes") and not self.words("topology"):
            self.notes.append("a load between anodes: push-pull")
            fields["topology"] = "push-pull"
        for name in ("topology", "centre_tapped", "gapped", "condition"):
            said = list(dict.fromkeys(self.words(name)))
            if len(said) > 1:
                self._doubt(f"the words disagree on {name.replace('_', ' ')}")
            elif said:
                fields[name] = said[0]
        if self.pairs:
            fields["pairs"] = [pair.fields() for pair in self.pairs]
        if self.windings.rows:
            fields["windings"] = [row.fields() for row in self.windings.rows]
        fields.update({name: float(value) for name, value in self.values.items()})
        if self.served:
            fields["served"] = list(self.served)
        if self.count > 1:
            fields["count"] = self.count
        return fields

    def _doubt(self, note: str) -> None:
        self.sure = False
        self.notes.append(note)
