"""Reading a rectifier that is no valve: ``1N4007``, ``B250C100``, ``selenium 250V 75mA half wave``, ``bridge 600V 2A``.

The European code of dry rectifiers, from memory: letter for the connection (E one way, M centre tap, B bridge, V doubler), volts
AC put in, C for a capacitor behind it, milliamperes put out.
"""

from __future__ import annotations

import re

from partsbin.notation.reading import Reading, Sorter, unread
from partsbin.notation.scan import Token, scan
from partsbin.notation.text import normalise
from partsbin.notation.vocabulary import CONDITION

_CODE = re.compile(r"(?<![\w.])([BEMV]) ?([0-9]{2,4}) ?C ?([0-9]{2,5})(?![\w.])", re.IGNORECASE)
_TYPE = re.compile(
    r"(?<![\w.])(?:[1I]N(?:400[1-7]|493[3-7]|539[1-9]|540[0-8]|[12][0-9]{3})[A-Z]?"
    r"|UF[0-9]{4}|BY ?[XWV]?[0-9]{2,3}|EM5[0-9]{2}|RL[0-9]{3}|RGP[0-9]{2}[A-M])(?![\w.])",
    re.IGNORECASE,
)
_CONNECTIONS = {"B": "bridge", "E": "single", "M": "centre-tap", "V": "doubler"}
DRY_MOST = 0.6  # A; the code is used for silicon bridges too, which begin about there
WORDS = {
    **CONDITION,
    **dict.fromkeys(("selenium", "selen", "selenium rectifier", "selengleichrichter", "contact cooled"), ("technology", "selenium")),
    **dict.fromkeys(("silicon", "si", "si diode", "siliziumdiode", "silizium", "silicium", "solid state"), ("technology", "silicon")),
    **dict.fromkeys(("copper oxide", "kupferoxydul", "cuprous oxide"), ("technology", "copper-oxide")),
    **dict.fromkeys(("metal rectifier", "dry rectifier", "trockengleichrichter"), ("technology", "")),
    **dict.fromkeys(("diode", "rectifier", "gleichrichter", "rectifier diode", "stack", "silicon diode"), ("noun", "rectifier")),
    **dict.fromkeys(("half wave", "halfwave", "single", "einweg", "single phase half wave", "one way"), ("connection", "single")),
    **dict.fromkeys(("bridge", "bridge rectifier", "graetz", "brücke", "brückengleichrichter"), ("connection", "bridge")),
    **dict.fromkeys(("centre tap", "center tap", "full wave", "common cathode", "zweiweg"), ("connection", "centre-tap")),
    **dict.fromkeys(("half bridge", "series pair"), ("connection", "half-bridge")),
    **dict.fromkeys(("doubler", "voltage doubler", "verdoppler"), ("connection", "doubler")),
    **dict.fromkeys(("surge", "peak", "ifsm"), ("qualifier", "surge")),
    **dict.fromkeys(("piv", "prv", "vrrm", "peak inverse"), ("qualifier", "inverse")),
    **dict.fromkeys(("drop", "forward", "vf"), ("qualifier", "drop")),
}  # fmt: skip


class _Pieces(Sorter):
    """Volts and amperes, by what the word beside them says."""

    def __init__(self, text: str) -> None:
        super().__init__(scan(text, WORDS))
        self.found: dict[str, object] = {}
        self.plain: list[float] = []
        self.sort()

    def take_quantity(self, piece: Token) -> bool:
        """Take volts and amperes; plain volts are sorted when the technology is known."""
        value, beside = float(piece.value), self._beside()
        if piece.unit == "V":
            name = "drop" if beside == "drop" else "voltage_peak_inverse" if beside == "inverse" else ""
            name = name or ("voltage_ac" if piece.detail == "ac" else "")
            if name:
                self.found[name] = value
            else:
                self.plain.append(value)
        elif piece.unit == "A":
            self.found["surge" if beside == "surge" else "dc_current"] = value
        return piece.unit in ("V", "A")

    def take_multiple(self, piece: Token) -> bool:
        """Take the 4 of 4x: how many there are is not marked on one."""
        return True

    def _beside(self) -> str:
        """The word behind a value, else the one before it that no other value claims."""
        for piece in (self.after, self.before):
            if piece.means("qualifier") and piece.meaning is not None:
                return str(piece.meaning[1])
        return ""


def read_rectifier_part(text: str) -> list[Reading]:
    """Read a description of a dry or silicon rectifier.

    Parameters
    ----------
    text : str
        In trade notation.

    Returns
    -------
    list of Reading
        One reading, or none where nothing says that it is a rectifier.
    """
    plain = normalise(text).text
    code, type = _CODE.search(plain), _TYPE.search(plain)
    rest = _without(plain, code or type)
    pieces = _Pieces(rest)
    if not (code or type or pieces.words("noun") or pieces.words("technology") or pieces.words("connection")):
        return []
    if (
        not (code or type or pieces.words("noun") or pieces.words("technology"))
        and not pieces.found
        and not pieces.plain
    ):
        return []  # a bridge or a doubler alone may be anything
    if code:
        _coded(pieces, code)
    elif type:
        pieces.found |= {"rectifier_type": _type_of(type[0]), "technology": "silicon", "connection": "single"}
    for field in ("technology", "connection", "condition"):
        words = [word for word in pieces.words(field) if word]
        if words:
            pieces.found[field] = words[0]
    _presume(pieces)
    _sort_volts(pieces)
    left, note = unread(pieces.rest)
    if note:
        pieces.doubt(note)
    return [Reading("rectifier", pieces.found, pieces.sure, tuple(pieces.notes), left)]


def _type_of(text: str) -> str:
    """A type as it is printed: BY 127 is BY127, IN4007 is 1N4007."""
    name = text.replace(" ", "").upper()
    return f"1{name[1:]}" if name.startswith("IN") else name


def _without(plain: str, found: re.Match[str] | None) -> str:
    return plain if found is None else f"{plain[: found.start()]} {plain[found.end() :]}"


def _coded(pieces: _Pieces, code: re.Match[str]) -> None:
    amperes = float(code[3]) / 1000
    pieces.found |= {"connection": _CONNECTIONS[code[1].upper()], "voltage_ac": float(code[2]), "dc_current": amperes}
    pieces.found["rectifier_type"] = re.sub(r"\s", "", code[0]).upper()
    if amperes < DRY_MOST:
        pieces.found["technology"] = "selenium"
        pieces.notes.append("the code is that of selenium rectifiers, from memory: volts AC, milliamperes")
    elif not pieces.words("technology"):
        pieces.doubt("selenium plates or a silicon bridge: the code is used for both")


def _presume(pieces: _Pieces) -> None:
    """What nobody said of the material: by the current, or in doubt."""
    current = pieces.found.get("dc_current")
    if "technology" in pieces.found or "rectifier_type" in pieces.found:
        return
    if "" in pieces.words("technology"):
        pieces.doubt("a metal rectifier may be of selenium or copper oxide")
    elif isinstance(current, float) and current >= DRY_MOST:
        pieces.found["technology"] = "silicon"
        pieces.notes.append("taken as silicon: plates for so much current would fill a chassis")


def _sort_volts(pieces: _Pieces) -> None:
    """Plain volts are AC put in on selenium and copper oxide, peak inverse on silicon; the smaller of several is kept."""
    if not pieces.plain:
        return
    dry = pieces.found.get("technology") in ("selenium", "copper-oxide") or "" in pieces.words("technology")
    name = "voltage_ac" if dry else "voltage_peak_inverse"
    pieces.found.setdefault(name, min(pieces.plain))
    if dry:
        pieces.notes.append(f"{min(pieces.plain):g} V taken as the AC put in, as plates are marked")
