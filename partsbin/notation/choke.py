"""Reading a choke: ``10H 60mA 300 ohm``, ``Drossel 14 H/60 mA``, ``smoothing choke 5H 120mA DCR 150R``, ``10H @ 80mA``."""

from __future__ import annotations

import re

from partsbin.notation.reading import Reading, Sorter, unread
from partsbin.notation.scan import Token, scan
from partsbin.notation.vocabulary import CONDITION

WORDS = {
    **CONDITION,
    **dict.fromkeys(
        (
            "choke",
            "smoothing choke",
            "filter choke",
            "lf choke",
            "drossel",
            "netzdrossel",
            "siebdrossel",
            "glättungsdrossel",
        ),
        ("noun", "choke"),
    ),
    **dict.fromkeys(("swinging", "input choke", "swinging choke"), ("noun", "choke")),
    **dict.fromkeys(
        (
            "field coil",
            "field winding",
            "speaker field",
            "loudspeaker field",
            "feldspule",
            "erregerspule",
            "feldwicklung",
        ),
        ("field", "choke"),
    ),
    **dict.fromkeys(("dcr", "dc resistance", "rdc"), ("label", "resistance")),
    **dict.fromkeys(("test", "tested", "insulation", "isolation", "prüfspannung"), ("label", "insulation")),
}

_HENRIES = re.compile(r"(?<![\w.,])([1-9][0-9]?(?:[.,][0-9]{1,2})?) ?h(?!\w)")
"""10 h of a choke; 5000 h are the hours that an electrolytic lives."""


class _Pieces(Sorter):
    """The pieces of a choke's description."""

    def __init__(self, text: str) -> None:
        super().__init__(scan(text, WORDS))
        self.found: dict[str, object] = {}
        self.sort()

    def take_quantity(self, piece: Token) -> bool:
        """Take henries, amperes, ohms and the volts of the insulation."""
        names = {"H": "inductance", "A": "dc_current", "ohm": "resistance", "V": "insulation_voltage"}
        name = names.get(piece.unit) or ("resistance" if piece.letter == "R" else None)
        if name is None or name in self.found:
            return False
        self.found[name] = float(piece.value)
        return True

    def take_list(self, piece: Token) -> bool:
        """Take the two ends of a swinging choke: 5/20 H."""
        if piece.unit != "H" or len(piece.values) != 2 or "inductance" in self.found:
            return False
        low, high = sorted(float(value) for value in piece.values)
        self.found["inductance"] = low
        self.notes.append(f"swinging, {low:g} to {high:g} H: the lesser taken, that of its full current")
        return True


def read_choke(text: str) -> list[Reading]:
    """Read a description of a choke.

    Parameters
    ----------
    text : str
        In trade notation.

    Returns
    -------
    list of Reading
        One reading, or none where nothing says that it is a choke: the word, or henries with a standing current.
    """
    written = _HENRIES.sub(r"\1 H", text)
    pieces = _Pieces(written)
    if written != text:
        pieces.notes.append("h read as henries")
    fields = pieces.found
    field = "resistance" in fields and pieces.words("field")  # a loudspeaker's, which smooths as well
    named = pieces.words("noun") or {"inductance", "dc_current"} <= fields.keys()
    if not (named or field or "inductance" in fields):
        return []
    conditions = pieces.words("condition")
    if conditions:
        fields["condition"] = conditions[0]
    rest, note = unread(pieces.rest)
    if note:
        pieces.doubt(note)
    return [Reading("choke", fields, pieces.sure, tuple(pieces.notes), rest, bare=not named)]
