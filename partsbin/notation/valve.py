"""Reading a valve: ``EL84``, ``6V6GT``, ``ECC83/12AX7``, ``valve 80``, ``CV1377 octal``. Which types there are is not known here.

A designation is told by its make-up: letters that no value is written with. ``6K8`` may be 6.8 kΩ and ``80`` a count, so that
such a one is a valve only beside a word that says so, or with the letters of its bulb (``6K8G``).
"""

from __future__ import annotations

import re

from partsbin.notation.reading import Reading, Sorter, unread
from partsbin.notation.scan import Token, scan
from partsbin.notation.text import normalise
from partsbin.notation.vocabulary import CONDITION

BASES = (
    "IO", "B7G", "B8A", "B8G", "B9A", "P8A", "Y8A", "UX4", "UX5", "UX6", "UX7", "Mazda octal", "wire-ended subminiature",
)  # fmt: skip
"""Sockets as the table of valves names them."""

_EUROPEAN = (
    r"(?:[ABCDEGHKPUV][ABCDEFHKLMNQYZ]{1,3}(?:1[1-9]N?|[1-9][0-9]?N?|[1-9][0-9]{2})S?"
    r"|[EP][1-9][0-9]{1,2}(?:CC|AA|[CFLZ])|KTW?[1-9][0-9]|D[HL][1-9][0-9]{1,2}|W[DX]1[0-9]{2})"
)
_AMERICAN = r"(?:[0-9]{1,2}(?:[A-Z]{2,3}|[ABCDEGIJLQSTWXYZFU])[0-9]{1,2})"
_BULB = r"(?:GT/?[AB]?|G[ABCT]?|WA|WB|WGTA|W|[AB])"
_SURE = re.compile(
    rf"(?<![\w.])(?:{_EUROPEAN}|{_AMERICAN}{_BULB}?|[0-9]{{1,2}}[A-Z]{{1,2}}[0-9]{{1,2}}G(?:T[AB]?|[ABC])?"
    rf"|(?:6V6|5V4|6V4|3V4|7V7|6H6|6N8){_BULB}?|CV[0-9]{{2,5}}|VR(?:75|90|105|150)(?:/30)?|VT-?[0-9]{{2,3}}[A-Z]?|[0-9]{{1,2}}[CNPS][0-9]{{1,2}}[PS])(?![\w.])"
)
_LOOSE = re.compile(
    rf"(?<![\w.])(?:{_EUROPEAN}|[0-9]{{1,3}}[A-Z]{{1,3}}[0-9]{{0,2}}{_BULB}?|[A-Z]{{1,3}}[0-9]{{1,4}}[A-Z]{{0,3}}|[0-9]{{2,4}}[A-Z]{{0,2}}|[A-Z][0-9][A-Z][0-9]{{2}})(?![\w.])",
    re.IGNORECASE,
)
_LOWER = re.compile(rf"(?<![\w.])(?:{_EUROPEAN})(?![\w.])", re.IGNORECASE)
_TORN = re.compile(r"(?<![\w.])([A-Z]{2,4})[ -]([1-9][0-9]{1,2})(?![\w.])", re.IGNORECASE)
_EITHER_BULB = re.compile(r"(?<=[0-9]GT)/G(?![\w])", re.IGNORECASE)  # 6V6GT/G took the place of both
_HYPHENED = re.compile(rf"(?<![\w.])([0-9]{{1,2}}[A-Z]{{1,2}}[0-9]{{1,2}})-({_BULB})(?![\w.-])")  # 6V6-GT
_NOT = re.compile(  # values, transistors, diodes and plain words of the bench that have the make-up of a valve
    r"(?:[0-9]{1,3}(?:[UNPM]F|KV|M[AHM]|UH|[KM]HZ|OHM)|[ABC][CDFLUY][1-9][0-9]{2}|B[CDFUY][A-Z]?[0-9]{2,3}|EM5[0-9]{2}|[AD]C[0-9]{0,3})",
    re.IGNORECASE,
)
WORDS = {
    **CONDITION,
    **dict.fromkeys(
        ("valve", "tube", "röhre", "roehre", "radio valve", "rectifier valve", "gleichrichterröhre", "output valve", "endröhre",
         "vacuum tube", "elektronenröhre", "radioröhre", "magic eye", "tuning indicator", "frequency changer"),
        ("noun", "valve"),
    ),
    **dict.fromkeys(("octal", "io", "international octal"), ("base", "IO")),
    **dict.fromkeys(("noval", "b9a"), ("base", "B9A")),
    **dict.fromkeys(("rimlock", "b8a"), ("base", "B8A")),
    **dict.fromkeys(("loctal", "b8g", "b8b"), ("base", "B8G")),
    **dict.fromkeys(("b7g", "miniature"), ("base", "B7G")),
    **dict.fromkeys(("side contact", "p8a"), ("base", "P8A")),
    **dict.fromkeys(("pentode", "triode", "double triode", "tetrode", "beam tetrode", "rectifier", "gleichrichter", "boxed",
                     "tested", "geprüft", "matched", "pair", "pieces"), ("beside", "yes")),
}  # fmt: skip


class _Pieces(Sorter):
    """What stands beside the designation."""

    def __init__(self, text: str) -> None:
        super().__init__(scan(text, WORDS))
        self.base = ""
        self.sort()

    def take_code(self, piece: Token) -> bool:
        """Take the code of a base."""
        code = piece.text.upper()
        if code in BASES:
            self.base = code
        return code in BASES


def read_valve(text: str) -> list[Reading]:
    """Read a description of a valve.

    Parameters
    ----------
    text : str
        In trade notation.

    Returns
    -------
    list of Reading
        One reading, or none where nothing says that it is a valve.
    """
    plain = normalise(text).text
    plain = re.sub(
        r"(?<![\w.])[1-9][0-9]?(?: ?x (?=\w{2})|x(?=[A-Z]{2,4}[1-9]))", "", plain
    )  # how many is not marked on it
    said = any(piece.means("noun") for piece in scan(plain, WORDS))
    found, rest = _type(plain, said)
    pieces = _Pieces(rest)
    if not found and not pieces.words("noun"):
        return []
    if not said and any(piece.kind in ("quantity", "list", "ratio", "size") for piece in pieces.pieces):
        return []  # a valve bears no value: the text is about another part
    fields: dict[str, object] = {"valve_type": found} if found else {}
    base = next(iter(pieces.words("base")), pieces.base)
    if base:
        fields["base"] = base
    for word in pieces.words("condition")[:1]:
        fields["condition"] = word
    left, note = unread(pieces.rest)
    if note:
        pieces.doubt(note)
    return [Reading("valve", fields, pieces.sure, tuple(pieces.notes), left)]


def _names(name: str, said: bool) -> bool:
    """Whether a run is a designation; beside a word that says valve the looser make-up will do."""
    loose = said and _LOOSE.fullmatch(name) and not _NOT.fullmatch(name) and name.upper() not in BASES
    return bool(loose) or _sure(name)


def _type(plain: str, named: bool) -> tuple[str, str]:
    """The designation, with its other names behind a stroke, and the text without it."""
    plain = _EITHER_BULB.sub("", _HYPHENED.sub(r"\1\2", plain))
    joined = _TORN.sub(lambda torn: torn[1] + torn[2] if _sure(torn[1] + torn[2]) else torn[0], plain)
    runs = re.finditer(r"(?<![\w.])[A-Za-z0-9-]+(?:/[A-Za-z0-9-]+)*(?![\w.])", joined)
    for run in runs:
        names = [run[0]] if _SURE.fullmatch(run[0]) else run[0].split("/")  # VR150/30 is one
        if all(_names(name, named) for name in names):
            return "/".join(name.upper() for name in names), joined[: run.start()] + " " + joined[run.end() :]
    return "", joined


def _sure(name: str) -> bool:
    known = _SURE.fullmatch(name) or _LOWER.fullmatch(name)
    return known is not None and _NOT.fullmatch(name) is None
