"""Reading a lamp: ``6.3V 0.3A MES``, ``8 V 0.2 A E10 tubular``, ``neon 90V``, ``Skalenlampe 6,3V/0,1A BA9s``, ``6V 1.8W``."""

from __future__ import annotations

from partsbin.notation.reading import Reading, Sorter, unread
from partsbin.notation.scan import Token, scan
from partsbin.notation.vocabulary import CONDITION

BASES = ("E5", "E10", "E14", "BA7s", "BA9s", "BA15d", "wedge", "festoon", "wire")
_SAME_BASE = {
    "mes": "E10", "e10": "E10", "les": "E5", "e5": "E5", "e5.5": "E5", "ses": "E14", "e14": "E14", "mcc": "BA9s", "mbc": "BA9s",
    "ba9s": "BA9s", "ba9": "BA9s", "ba7s": "BA7s", "sbc": "BA15d", "ba15d": "BA15d",
}  # fmt: skip
"""Trade names of the bases: from memory, the tables disagree on none of them."""

WORDS = {
    **CONDITION,
    **dict.fromkeys(
        (
            "lamp",
            "bulb",
            "dial lamp",
            "pilot lamp",
            "panel lamp",
            "lampe",
            "birne",
            "skalenlampe",
            "glühlampe",
            "lämpchen",
        ),
        ("noun", "lamp"),
    ),
    **dict.fromkeys(("neon", "glow lamp", "glimmlampe"), ("kind", "neon")),
    **dict.fromkeys(("led", "leds"), ("kind", "LED")),
    **dict.fromkeys(("filament", "incandescent"), ("kind", "filament")),
    **{word: ("base", base) for word, base in _SAME_BASE.items()},
    **dict.fromkeys(("screw", "miniature screw", "miniature edison screw"), ("base", "E10")),
    **dict.fromkeys(("wedge", "wedge base"), ("base", "wedge")),
    **dict.fromkeys(("festoon", "soffitte"), ("base", "festoon")),
    **dict.fromkeys(("wire ended", "wires"), ("base", "wire")),
}


class _Pieces(Sorter):
    """The pieces of a lamp's description."""

    def __init__(self, text: str) -> None:
        super().__init__(scan(text, WORDS))
        self.found: dict[str, object] = {}
        self.sort()

    def take_code(self, piece: Token) -> bool:
        """Take a base such as ``E10``."""
        base = _SAME_BASE.get(piece.text.lower())
        if base:
            self.found["base"] = base
        return base is not None

    def take_quantity(self, piece: Token) -> bool:
        """Take volts, amperes and watts."""
        name = {"V": "voltage", "A": "current", "W": "power"}.get(piece.unit)
        if name is None or name in self.found:
            return False
        self.found[name] = float(piece.value)
        return True


def read_lamp(text: str) -> list[Reading]:
    """Read a description of a lamp.

    Parameters
    ----------
    text : str
        In trade notation.

    Returns
    -------
    list of Reading
        One reading, or none where nothing says that it is a lamp.
    """
    pieces = _Pieces(text)
    fields = pieces.found
    for name in ("kind", "base", "condition"):
        words = pieces.words(name)
        if words:
            fields.setdefault(name, words[0])
    named = pieces.words("noun") or fields.get("kind") == "neon" or ("base" in fields and "voltage" in fields)
    if not named and not {"voltage", "current"} & fields.keys():
        return []
    if "power" in fields and fields.get("voltage") and "current" not in fields:
        fields["current"] = float(str(fields["power"])) / float(str(fields["voltage"]))
        pieces.notes.append("current from watts over volts")
    fields.pop("power", None)
    rest, note = unread(pieces.rest)
    if note:
        pieces.doubt(note)
    return [Reading("lamp", fields, pieces.sure, tuple(pieces.notes), rest, bare=not named)]
