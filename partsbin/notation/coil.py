"""Reading coils and variable capacitors: ``IFT 465 kHz``, ``2 gang 500pF``, ``trimmer 3-30pF``, ``oscillator coil MW``, ``100uH``."""

from __future__ import annotations

import re

from partsbin.notation.reading import Reading, Sorter, unread
from partsbin.notation.scan import Token, scan
from partsbin.notation.vocabulary import CONDITION

_GANG = re.compile(r"([1-6])-?gang", re.IGNORECASE)
_SECTIONS = {
    word: count
    for count, words in ((1, "single one"), (2, "twin two dual double"), (3, "triple three"), (4, "four"))
    for word in words.split()
}
_GANG_WORD = re.compile(rf"\b({'|'.join(_SECTIONS)})[ -]?gang(?:ed)?\b", re.IGNORECASE)
WORDS = {
    **CONDITION,
    **dict.fromkeys(("if", "ift", "if transformer", "if can", "zf", "zf filter", "bandfilter", "zf übertrager"), ("kind", "IF")),
    **dict.fromkeys(("rf", "aerial coil", "antenna coil", "vorkreis", "rf coil", "rfc", "rf choke"), ("kind", "RF")),
    **dict.fromkeys(("ant coil", "loop antenna", "loop aerial", "rahmenantenne"), ("kind", "RF")),
    **dict.fromkeys(("oscillator", "oscillator coil", "osc", "osc coil", "oszillator", "oszillatorspule"), ("kind", "oscillator")),
    **dict.fromkeys(("gang", "tuning gang", "tuning condenser", "tuning capacitor"), ("kind", "tuning-gang")),
    **dict.fromkeys(("variable capacitor", "variable condenser", "drehko", "drehkondensator"), ("kind", "tuning-gang")),
    **dict.fromkeys(("air spaced variable", "air variable", "variable"), ("kind", "tuning-gang")),
    **dict.fromkeys(("trimmer", "trimmer capacitor", "trimmer condenser", "trimmkondensator"), ("kind", "trimmer")),
    **dict.fromkeys(("beehive trimmer", "compression trimmer", "padder trimmer"), ("kind", "trimmer")),
    **dict.fromkeys(("coil", "spule", "inductor", "induktivität"), ("noun", "coil")),
    **dict.fromkeys(("ferrite", "ferrit", "dust core", "iron dust"), ("former", "dust core")),
    **dict.fromkeys(("air", "air cored", "paxolin", "pertinax"), ("former", "air")),
}  # fmt: skip


class _Pieces(Sorter):
    """The pieces of a coil's description."""

    def __init__(self, text: str) -> None:
        super().__init__(scan(text, WORDS))
        self.found: dict[str, object] = {}
        self.sort()

    def take_code(self, piece: Token) -> bool:
        """Take ``2-gang``."""
        gang = _GANG.fullmatch(piece.text)
        if gang:
            self.found |= {"sections": int(gang[1]), "kind": "tuning-gang"}
        return gang is not None

    def take_multiple(self, piece: Token) -> bool:
        """Take the 2 of ``2x 500pF``."""
        self.found["sections"] = int(piece.value)
        return True

    def take_number(self, piece: Token) -> bool:
        """Take the 2 of ``2 gang``, and kilohertz where the word says IF."""
        value = float(piece.value)
        if value in (1, 2, 3, 4, 5, 6) and self.after.meaning == ("kind", "tuning-gang"):
            self.found["sections"] = int(value)
            return True
        if "IF" in self.words("kind") and 50 <= value <= 12_000 and "frequency" not in self.found:
            self.found["frequency"] = 1e3 * value
            self.doubt(f"{piece.text} is taken as kilohertz")
            return True
        return False

    def take_quantity(self, piece: Token) -> bool:
        """Take hertz, henries and farads."""
        name = {"Hz": "frequency", "H": "inductance", "F": "capacitance_high"}.get(piece.unit)
        if name is None or name in self.found:
            return False
        self.found[name] = float(piece.value)
        return True

    def take_list(self, piece: Token) -> bool:
        """Take the two ends of 3-30 pF, and the sections of 500+500 pF."""
        if piece.unit == "F" and piece.detail == "+":
            self.found |= {"sections": len(piece.values), "capacitance_high": float(max(piece.values))}
            return True
        if not (piece.unit == "F" or piece.letter == "p") or len(piece.values) != 2 or piece.detail == "+":
            return False
        low, high = sorted(float(value) for value in piece.values)
        self.found |= {"capacitance_low": low, "capacitance_high": high}
        return True


_LEAST_CHOKE = 0.1
"""Henries under which an inductance alone is a coil's and no choke's; common practice, no source [H]."""


def read_coil(text: str) -> list[Reading]:
    """Read a description of a coil, a tuning gang or a trimmer.

    Parameters
    ----------
    text : str
        In trade notation.

    Returns
    -------
    list of Reading
        One reading, or none where nothing says that it is one.
    """
    pieces = _Pieces(_GANG_WORD.sub(lambda said: f"{_SECTIONS[said[1].lower()]} gang", text))
    fields = pieces.found
    for name in ("kind", "former", "condition"):
        words = pieces.words(name)
        if words:
            fields.setdefault(name, words[0])
    named = "kind" in fields or (pieces.words("noun") and "inductance" in fields)
    if not named and not {"frequency", "inductance"} & fields.keys():
        return []
    named = named or float(str(fields.get("inductance", 1.0))) < _LEAST_CHOKE
    if fields.get("kind") in ("IF", "RF", "oscillator"):
        fields.pop("capacitance_high", None)
        fields.pop("capacitance_low", None)
    rest, note = unread(pieces.rest)
    if note:
        pieces.doubt(note)
    return [Reading("coil", fields, pieces.sure, tuple(pieces.notes), rest, bare=not named)]
