"""Reading a lamp: ``6.3V 0.3A MES``, ``8 V 0.2 A E10 tubular``, ``neon 90V``, ``Skalenlampe 6,3V/0,1A BA9s``, ``6V 1.8W``."""

from __future__ import annotations

import re

from partsbin.notation.reading import Reading, Sorter, unread
from partsbin.notation.scan import Token, scan
from partsbin.notation.vocabulary import CONDITION

BASES = ("E5", "E10", "E14", "BA7s", "BA9s", "BA15d", "wedge", "festoon", "wire")
_SAME_BASE = {
    "mes": "E10", "e10": "E10", "les": "E5", "e5": "E5", "e5.5": "E5", "ses": "E14", "e14": "E14", "mcc": "BA9s", "mbc": "BA9s",
    "ba9s": "BA9s", "ba9": "BA9s", "ba7s": "BA7s", "sbc": "BA15d", "ba15d": "BA15d",
}  # fmt: skip
"""Trade names of the bases: from memory, the tables disagree on none of them."""

_NUMBERED = {
    "40": (6.3, 0.15, "E10"), "41": (2.5, 0.5, "E10"), "43": (2.5, 0.5, "BA9s"), "44": (6.3, 0.25, "BA9s"),
    "46": (6.3, 0.25, "E10"), "47": (6.3, 0.15, "BA9s"), "49": (2.0, 0.06, "BA9s"),
}  # fmt: skip
"""American numbers of dial lamps, from memory: volts, amperes, base."""

_NUMBER = re.compile(r"(?:#|\b(?:no\.?|type) ?)(4[0-9])\b", re.IGNORECASE)
_SPLIT = re.compile(r"([0-9]{0,2})A([0-9]{1,2})")  # 0A3 beside volts: 0.3 A
_HEATER_VOLTS = 6.3  # V; what lamps for 6 to 8 V burn on

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
            *("skalenlampe", "glühlampe", "lämpchen", "skalenlämpchen", "glühlämpchen", "glühbirne", "birnchen"),
            *("dial bulb", "pilot bulb", "panel bulb"),
        ),
        ("noun", "lamp"),
    ),
    **dict.fromkeys(("neon", "glow lamp", "glimmlampe"), ("kind", "neon")),
    **dict.fromkeys(("led", "leds"), ("kind", "LED")),
    **dict.fromkeys(("filament", "incandescent"), ("kind", "filament")),
    **{word: ("base", base) for word, base in _SAME_BASE.items()},
    **dict.fromkeys(
        ("screw", "miniature screw", "miniature edison screw", "screw base", "schraubsockel"), ("base", "E10")
    ),
    **dict.fromkeys(("bayonet", "miniature bayonet", "bajonett"), ("base", "BA9s")),
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
        """Take a base such as ``E10``, and amperes with their letter in the place of the point."""
        base, amperes = _SAME_BASE.get(piece.text.lower()), _SPLIT.fullmatch(piece.text)
        if base:
            self.found["base"] = base
        elif amperes and "voltage" in self.found:
            self.found["current"] = float(f"{amperes[1] or 0}.{amperes[2]}")
            return True
        return base is not None

    def take_quantity(self, piece: Token) -> bool:
        """Take volts, amperes and watts."""
        name = {"V": "voltage", "A": "current", "W": "power"}.get(piece.unit or piece.letter)
        if name is None or name in self.found:
            return False
        self.found[name] = float(piece.value)
        return True

    def take_list(self, piece: Token) -> bool:
        """Take 6-8 V, as American dial lamps are marked."""
        low, high = min(piece.values), max(piece.values)
        if piece.unit != "V" or not low <= _HEATER_VOLTS <= high <= 2 * low or "voltage" in self.found:
            return False
        self.found["voltage"] = _HEATER_VOLTS
        self.notes.append(f"'{piece.text}' is a range: {_HEATER_VOLTS:g} V taken, the heater volts in it")
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
    number = _NUMBER.search(text)
    pieces = _Pieces(text.replace(number[0], " ") if number else text)
    fields = pieces.found
    for name in ("kind", "base", "condition"):
        words = pieces.words(name)
        if words:
            fields.setdefault(name, words[0])
    numbered = number is not None and number[0][0] == "#" and not ({"voltage", "current", "base"} & fields.keys())
    if number and (pieces.words("noun") or numbered):
        _of_number(pieces, number)
    based = "base" in fields and "voltage" in fields and not numbered  # #44 alone may be a drill
    named = pieces.words("noun") or fields.get("kind") == "neon" or based
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


def _of_number(pieces: _Pieces, number: re.Match[str]) -> None:
    """Fill in what a type number says, where the text does not say it itself."""
    known = _NUMBERED.get(number[1])
    if known is None:
        pieces.doubt(f"not understood: '{number[0]}'")
        return
    volts, amperes, base = known
    for name, value in (("voltage", volts), ("current", amperes), ("base", base)):
        given = pieces.found.setdefault(name, value)
        if isinstance(value, float) and isinstance(given, float) and abs(given - value) > 0.1 * value:
            pieces.doubt(
                f"'{number[0]}' is a lamp for {volts:g} V {amperes:g} A (from memory), the text says otherwise"
            )
    pieces.notes.append(f"'{number[0]}' known as {volts:g} V {amperes:g} A {base} (from memory)")
