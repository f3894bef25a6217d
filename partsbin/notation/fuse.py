"""Reading a fuse: ``T2AL250V``, ``500 mA slow-blow 20 mm``, ``F1A 5x20``, ``Feinsicherung 0,63 A träge``."""

from __future__ import annotations

import re
from decimal import Decimal

from partsbin.notation.numerals import decimal_of
from partsbin.notation.reading import Reading, Sorter, unread
from partsbin.notation.scan import Token, scan
from partsbin.notation.text import normalise
from partsbin.notation.vocabulary import CONDITION

SPEEDS = ("FF", "F", "M", "T", "TT")
"""From the quickest to the slowest, IEC 60127."""

BREAKING = ("L", "E", "H")
"""What a fuse can break, the least first: 35 A or ten times its current, 150 A, 1500 A; IEC 60127."""

_CODE = re.compile(
    r"(?:(?<=[0-9]x)|(?<![A-Za-z0-9]))(FF|F|M|TT|T) ?([0-9]+(?:[.,][0-9]+)?|[.,][0-9]+) ?(mA|A) ?([LEH])?"
    r" ?(?:([0-9]{2,4}) ?V ?(DC|AC|~|=)?)?(?![A-Za-z0-9])",
    re.IGNORECASE,
)
_BEHIND = re.compile(
    r"(?<![A-Za-z0-9/'.,-])([0-9]+(?:[.,][0-9]+)?|[.,][0-9]+) ?(mA|A) ?(?:(FF|F|M|TT|T)([LEH])?|()([LEH]))(?![A-Za-z0-9])",
    re.IGNORECASE,
)
_POINT = re.compile(r"(?<![A-Za-z0-9])(FF|F|M|TT|T) ?([0-9]+)A([0-9]+)(?![A-Za-z0-9])")  # T2A5
_STROKE = re.compile(r"(?<![A-Za-z0-9])(FF|F|M|TT|T) ?([0-9]+[.,][0-9]+)/([0-9]{2,3})(?![A-Za-z0-9])")  # M 0,6/250
_NOT = re.compile(r"\b(not|no|nicht|kein)\b", re.IGNORECASE)
WORDS = {
    **CONDITION,
    **dict.fromkeys(("fuse", "sicherung", "feinsicherung", "schmelzsicherung", "schmelzeinsatz", "cartridge fuse"), ("noun", "fuse")),
    **dict.fromkeys(("slow", "slow blow", "time lag", "anti surge", "antisurge", "delay", "träge", "traege", "t"), ("speed", "T")),
    **dict.fromkeys(("time delay", "slo blo", "sloblo"), ("speed", "T")),
    **dict.fromkeys(("fast", "quick", "quick blow", "quick acting", "fast blow", "flink", "f"), ("speed", "F")),
    **dict.fromkeys(("medium", "mittelträge"), ("speed", "M")),
    **dict.fromkeys(("super fast", "very quick", "superflink"), ("speed", "FF")),
    **dict.fromkeys(("hbc", "hrc", "high breaking", "high breaking capacity"), ("breaking", "H")),
    "glass": ("breaking", "L"), "glas": ("breaking", "L"), "low breaking": ("breaking", "L"),
    "ul": ("standard", "UL"), "iec": ("standard", "IEC"),
}  # fmt: skip
_INCH_AND_A_QUARTER = re.compile(r"1[ -]?1/4 ?(?:in(?:ch)?\b|\")")
_SIZES = {
    "5x20": "5x20",
    "20": "5x20",
    "6.3x32": "6.3x32",
    "32": "6.3x32",
    "6x30": "6.3x32",
    "3ag": "6.3x32",  # 1/4 by 1 1/4 inch, from memory
    "30": "6.3x32",
    "6.3x25": "6.3x25",
    "25": "6.3x25",
}


class _Pieces(Sorter):
    """What is left of a fuse's description beside its code."""

    def __init__(self, text: str) -> None:
        super().__init__(scan(text, WORDS))
        self.found: dict[str, object] = {}
        self.sort()

    def take_quantity(self, piece: Token) -> bool:
        """Take volts, and a length that names the size."""
        if piece.unit == "A" and "current" not in self.found:
            self.found["current"] = float(piece.value)
            return True
        if piece.unit == "V":
            name = "voltage_dc" if piece.detail == "dc" else "voltage_ac"
            self.found[name] = float(piece.value)
            return True
        if piece.unit == "m":
            return self._size([piece.value])
        return False

    def take_size(self, piece: Token) -> bool:
        """Take 5 x 20 mm."""
        return self._size(list(piece.values))

    def take_word(self, piece: Token) -> bool:
        """Take words of the vocabulary, and the letter of the breaking class that stands alone."""
        if piece.text in BREAKING:
            self.found["breaking"] = piece.text
            return True
        return piece.meaning is not None

    def take_code(self, piece: Token) -> bool:
        """Take 5x20 without a unit."""
        size = _SIZES.get(piece.text.lower().replace(",", "."))
        if size:
            self.found["size"] = size
        return size is not None

    def take_multiple(self, piece: Token) -> bool:
        """Take the 5 of 5x20, whose other half is a number."""
        size = _SIZES.get(f"{piece.text.rstrip('xX ').strip()}x{self.after.text}".replace(" ", ""))
        if size:
            self.found["size"] = size
        return size is not None

    def take_number(self, piece: Token) -> bool:
        """Take the 20 of 5x20."""
        return "size" in self.found and str(self.found["size"]).endswith(f"x{piece.text}")

    def _size(self, lengths: list[Decimal]) -> bool:
        millimetres = [f"{float(length) * 1000:g}" for length in lengths]
        size = _SIZES.get("x".join(millimetres)) or _SIZES.get(millimetres[-1])
        if size:
            self.found["size"] = size
        return size is not None


def read_fuse(text: str) -> list[Reading]:
    """Read a description of a fuse.

    Parameters
    ----------
    text : str
        In trade notation.

    Returns
    -------
    list of Reading
        One reading, or none where nothing says that it is a fuse.
    """
    plain = _STROKE.sub(r"\1\2A \3V", _POINT.sub(r"\1\2.\3A", normalise(text).text))
    plain = _INCH_AND_A_QUARTER.sub("6.3x32 mm", plain)
    found, rest = _coded(plain)
    pieces = _Pieces(rest)
    coded = bool(found)
    found = {**pieces.found, **found}
    named = coded or bool(pieces.words("noun")) or (bool(pieces.words("speed")) and "current" in found)
    if not named and "current" not in found:
        return []
    _worded(pieces, found, plain)
    left, note = unread(pieces.rest)
    if note:
        pieces.doubt(note)
    return [Reading("fuse", found, pieces.sure, tuple(pieces.notes), left, bare=not named)]


def _coded(plain: str) -> tuple[dict[str, object], str]:
    """Fields of a code such as ``T2AL250V`` or ``0,8AT``, and the text without it."""
    code, behind = _CODE.search(plain), _BEHIND.search(plain)
    if code:
        found: dict[str, object] = {"speed": code[1].upper(), "current": _amperes(code[2], code[3])}
        found |= {"breaking": code[4].upper()} if code[4] else {}
        if code[5]:
            found["voltage_dc" if (code[6] or "").upper() in ("DC", "=") else "voltage_ac"] = float(code[5])
        return found, f"{plain[: code.start()]} {plain[code.end() :]}"
    if behind:
        found = {"current": _amperes(behind[1], behind[2])}
        found |= {"speed": behind[3].upper()} if behind[3] else {}
        letter = behind[4] or behind[6]
        found |= {"breaking": letter.upper()} if letter else {}
        return found, f"{plain[: behind.start()]} {plain[behind.end() :]}"
    return {}, plain


def _worded(pieces: _Pieces, found: dict[str, object], plain: str) -> None:
    """Put words down; those that contradict each other or stand behind a ``not`` say nothing."""
    for field in ("speed", "breaking", "standard", "condition"):
        words = pieces.words(field)
        if field in found:
            words = list(dict.fromkeys([found[field], *words]))
        if len(words) > 1 or (field == "speed" and words and _NOT.search(plain)):
            found.pop(field, None)
            pieces.doubt(f"{field}: the words contradict each other or say what it is not")
        elif words:
            found[field] = words[0]


def _amperes(number: str, unit: str) -> float:
    return float(decimal_of(number) * (Decimal("0.001") if unit == "mA" else 1))
