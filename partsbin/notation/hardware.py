"""Reading hardware: ``knob 1/4 in``, ``valve holder B9A``, ``grommet 6 mm``, ``screw M3 x 10 mm``, ``tag strip 5 way``."""

from __future__ import annotations

import re

from partsbin.notation.reading import Reading, Sorter, unread
from partsbin.notation.scan import Token, scan
from partsbin.notation.vocabulary import CONDITION

KINDS = (
    "knob", "valveholder", "grommet", "tag strip", "screw", "nut", "washer", "spindle coupler", "sleeving", "fuseholder",
    "lampholder", "terminal", "plug", "socket", "spring", "dial cord", "clip", "stand-off", "feet", "cable",
)  # fmt: skip
_ALSO = {
    "knopf": "knob", "drehknopf": "knob", "valve holder": "valveholder", "valve base": "valveholder", "rubber foot": "feet",
    "valve socket": "valveholder", "fassung": "socket", "sockel": "socket", "gummitülle": "grommet",
    "kabeldurchführung": "grommet", "unterlegscheibe": "washer", "spacer": "stand-off", "abstandsbolzen": "stand-off",
    "solder tag": "terminal", "lötöse": "terminal", "pillar": "stand-off", "röhrenhalter": "valveholder",
    "röhrenfassung": "valveholder",
    "tube socket": "valveholder", "röhrensockel": "valveholder", "tülle": "grommet", "tagstrip": "tag strip", "lötleiste": "tag strip",
    "schraube": "screw", "mutter": "nut", "scheibe": "washer", "coupler": "spindle coupler", "sleeve": "sleeving",
    "fuse holder": "fuseholder", "sicherungshalter": "fuseholder", "lamp holder": "lampholder", "lampenfassung": "lampholder",
    "klemme": "terminal", "stecker": "plug", "buchse": "socket", "feder": "spring", "skalenseil": "dial cord", "standoff": "stand-off",
    "rubber feet": "feet", "kabel": "cable", "flex": "cable", "mains lead": "cable",
}  # fmt: skip
BASES = {"oktal": "octal", "noval": "B9A", "rimlock": "B8A", "loctal": "B8B"}
"""Trade names of valve bases, from memory."""
VALVE_BASES = ("B7G", "B8A", "B8B", "B9A", "B9D", "OCTAL", "UX4", "UX5", "UX6", "UX7", "B4", "B5", "B7")
_THREAD = re.compile(
    r"(M[1-9][0-9]?(?:[.,]5)?|[0-9]{1,2} ?BA|B[0-9][A-Z]|UX[0-9]|o[ck]tal|loctal|noval|rimlock)(?:x([0-9]{1,3}))?",
    re.IGNORECASE,
)
WORDS = {
    **CONDITION,
    **{kind: ("kind", kind) for kind in KINDS},
    **{word: ("kind", kind) for word, kind in _ALSO.items()},
}


class _Pieces(Sorter):
    """The pieces of a description of hardware."""

    def __init__(self, text: str) -> None:
        super().__init__(scan(text, WORDS))
        self.found: dict[str, object] = {}
        self.sort()

    def take_word(self, piece: Token) -> bool:
        """Take known words, and a base such as ``octal``."""
        return piece.meaning is not None or self.take_code(piece)

    def take_code(self, piece: Token) -> bool:
        """Take a thread or a base: ``M3``, ``B9A``."""
        thread = _THREAD.fullmatch(piece.text)
        if thread and thread[2]:  # M4x10
            self.found["size"] = float(thread[2]) / 1000
        if thread:
            self.found["thread"] = BASES.get(thread[1].lower(), thread[1])
        return thread is not None

    def take_quantity(self, piece: Token) -> bool:
        """Take a length."""
        if piece.unit != "m" or "size" in self.found:
            return False
        self.found["size"] = float(piece.value)
        return True

    def take_size(self, piece: Token) -> bool:
        """Take the first of several lengths."""
        self.found.setdefault("size", float(piece.value))
        return True


def read_hardware(text: str) -> list[Reading]:
    """Read a description of hardware.

    Parameters
    ----------
    text : str
        In trade notation.

    Returns
    -------
    list of Reading
        One reading, or none where no kind of it is named.
    """
    pieces = _Pieces(text)
    fields = pieces.found
    for name in ("kind", "condition"):
        words = pieces.words(name)
        if words:
            fields[name] = words[0]
    if fields.get("kind") == "socket" and str(fields.get("thread", "")).upper() in VALVE_BASES:
        fields["kind"] = "valveholder"
    if "kind" not in fields:
        return []
    rest, _ = unread(pieces.rest)
    return [Reading("hardware", fields, True, tuple(pieces.notes), rest)]
