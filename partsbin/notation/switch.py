"""Reading a switch: poles and ways (``DPDT``, ``2-pole 6-way``), action, and the rating in which volts are AC or DC."""

from __future__ import annotations

import re
from decimal import Decimal

from partsbin.notation.ratings import TESTS, listed_amperes, listed_volts, proofs, rated, unglued
from partsbin.notation.reading import Reading, Sorter, unread
from partsbin.notation.scan import Token, scan
from partsbin.notation.vocabulary import CONDITION

POLES = {"SP": 1, "DP": 2, "TP": 3, "3P": 3, "4P": 4, "QP": 4}
_CONTACTS = re.compile(r"(SP|DP|TP|3P|4P|QP)(ST|DT|CO)?", re.IGNORECASE)
_COUNTED = re.compile(r"([1-9][0-9]?)-?(polig|pole|poles|pol|p|way|ways|w|stufig|stellungen)", re.IGNORECASE)
_BOTH = re.compile(r"([1-9][0-9]?)P([1-9][0-9]?)(?:[WT]|ways?)", re.IGNORECASE)
_CLIPS = re.compile(r"(?i)\b([1-9][0-9]?)[ -]?p(?:oles?)?[ ,]+([1-9][0-9]?)[ -]?w(?:ays?)?\b")
_POLES = ("polig", "pole", "poles", "pol", "p")

WORDS = {
    **CONDITION,
    **TESTS,
    **dict.fromkeys(("switch", "schalter", "netzschalter", "umschalter", "ausschalter"), ("noun", "switch")),
    **dict.fromkeys(("mains", "netz"), ("mains", "yes")),
    **dict.fromkeys(("double pole", "two pole", "zweipolig", "dp"), ("poles", 2)),
    **dict.fromkeys(("single pole", "one pole", "einpolig", "sp"), ("poles", 1)),
    **dict.fromkeys(("changeover", "double throw", "umschalter", "two way"), ("ways", 2)),
    "toggle": ("action", "toggle"), "kippschalter": ("action", "toggle"), "rotary": ("action", "rotary"),
    "drehschalter": ("action", "rotary"), "wafer": ("action", "rotary"), "push": ("action", "push"),
    "push button": ("action", "push"), "druckschalter": ("action", "push"), "rocker": ("action", "rocker"),
    "wippschalter": ("action", "rocker"), "slide": ("action", "slide"), "schiebeschalter": ("action", "slide"),
    **dict.fromkeys(
        (
            *("momentary", "spring return", "spring loaded", "biased", "non latching", "push to make", "push to break", "taster"),
            *("tastschalter", "drucktaster", "tastend", "nicht rastend", "bell push", "mom"),
        ),
        ("momentary", "yes"),
    ),
    "key": ("action", "key"), "pull": ("action", "pull"), "zugschalter": ("action", "pull"),
}  # fmt: skip


class _Pieces(Sorter):
    """The pieces of a switch's description."""

    def __init__(self, text: str) -> None:
        text = _CLIPS.sub(r"\1P\2W", text)  # 2p 6w: watts and picofarads to whoever does not think of switches
        super().__init__([piece for piece in scan(unglued(text), WORDS) if piece.kind != "mark"])
        self.proofs = {id(self.pieces[at]) for at in proofs(self.pieces)}
        self.found: dict[str, object] = {}
        self.volts: list[tuple[float, str]] = []
        self.amperes: list[float] = []
        self.lettered = False  # DPDT says switch, eight poles may be a socket's
        self.sort()

    def take_word(self, piece: Token) -> bool:
        """Take words of the vocabulary; poles written as letters are codes or words alike."""
        return piece.meaning is not None or self.take_code(piece)

    def take_code(self, piece: Token) -> bool:
        """Take ``DPDT``, ``4P3W``, ``2-pole``, ``6-way``."""
        both = _BOTH.fullmatch(piece.text)
        if both:
            self.found |= {"poles": int(both[1]), "ways": int(both[2])}
            self.lettered = True
            return True
        letters = _CONTACTS.fullmatch(piece.text)
        if letters:
            self.lettered = self.lettered or bool(letters[2])
            self.found["poles"] = POLES[letters[1].upper()]
            if letters[2]:
                self.found["ways"] = 1 if letters[2].upper() == "ST" else 2
            return True
        counted = _COUNTED.fullmatch(piece.text)
        if counted:
            self.found["poles" if counted[2].lower() in _POLES else "ways"] = int(counted[1])
            return True
        return False

    def take_quantity(self, piece: Token) -> bool:
        """Take volts and amperes; volts of a test are named and left out."""
        if piece.unit == "V":
            return self.take_volts(piece, [(piece.value, piece.detail)])
        if piece.unit == "A":
            self.amperes.append(float(piece.value))
            return True
        return False

    def take_volts(self, piece: Token, volts: list[tuple[Decimal, str]]) -> bool:
        """Take volts, unless they are said of a test."""
        if id(piece) in self.proofs:
            self.notes.append(f"{piece.text} is said of a test: it rates nothing")
        else:
            self.volts += [(float(value), kind) for value, kind in volts]
        return True

    def take_list(self, piece: Token) -> bool:
        """Take the two currents of one contact, ``4/2A``, and several volts, ``125/250V``."""
        if piece.unit == "V":
            return self.take_volts(piece, listed_volts(piece))
        if piece.unit != "A":
            return False
        self.amperes.append(listed_amperes([float(value) for value in piece.values], self.notes))
        return True

    def take_number(self, piece: Token) -> bool:
        """Take the 2 of ``2 pole``: the word behind it says what it counts."""
        word = self.after.text.lower()
        if piece.value == int(piece.value) and 0 < piece.value <= 48 and word in (*_POLES, "way", "ways"):
            self.found["poles" if word in _POLES else "ways"] = int(piece.value)
            return True
        return False


def read_switch(text: str) -> list[Reading]:
    """Read a description such as ``DPST toggle 3 A 250 V~``.

    Parameters
    ----------
    text : str
        In trade notation.

    Returns
    -------
    list of Reading
        One; several where one current stands beside several volts, the least first; none where nothing says that it is a
        switch. Poles with a rating alone make a reading that is marked as bare.
    """
    pieces = _Pieces(text)
    for field in ("poles", "ways", "action", "condition"):
        words = pieces.words(field)
        if words and field not in pieces.found:
            pieces.found[field] = words[0]
    if pieces.words("momentary") or re.search(r"\((?:on|off)\)", text, re.IGNORECASE):
        pieces.found["action"] = "momentary"
    bare = not (pieces.words("noun") or "action" in pieces.found or pieces.lettered)
    if bare and not ("poles" in pieces.found and pieces.volts and pieces.amperes):
        return []  # 8-polig alone may be a socket or a plug
    others = _rate(pieces)
    rest = [piece for piece in pieces.rest if piece.text.lower() not in (*_POLES, "way", "ways")]
    if bare and rest:
        return []  # 2 pole 250 V 3 A plug
    left, note = unread(rest)
    if note:
        pieces.doubt(note)
    ways = [pieces.found, *({**pieces.found, "voltage_ac": volts} for volts in others)]
    return [Reading("switch", fields, pieces.sure, tuple(pieces.notes), left, bare) for fields in ways]


def _rate(pieces: _Pieces) -> list[float]:
    """Put volts down as AC or DC; a rating of which the text does not say stays the weaker thing it may be; return further AC volts."""
    found = rated(pieces.volts, pieces.amperes)
    for name, value in (
        ("voltage_ac", found.ac),
        ("voltage_dc", found.dc),
        ("current", found.current),
        ("current_dc", found.current_dc),
    ):
        if value is not None:
            pieces.found[name] = value
    pieces.notes += found.notes
    for doubt in found.doubts:
        pieces.doubt(doubt)
    return found.others
