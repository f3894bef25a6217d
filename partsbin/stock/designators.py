"""Designators as people write them: ``C1,C2-C5``, ``R2,3,4``, ``R11...R13``, ``C10A,B``; in a cell, or at either end of a line."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

MOST_SPAN = 100
"""Parts that a range such as C1-C50 may stand for; more is taken for two designators [-]."""

NEAR = 20
"""How far behind R2 the number of ``R2,15`` may lie in running text: further on it is a value [-]."""

_KNOWN = frozenset(
    (
        *(
            "C",
            "VC",
            "TC",
            "R",
            "RV",
            "VR",
            "POT",
            "P",
            "OPT",
            "TR",
            "T",
            "CH",
            "DR",
            "L",
            "RFC",
            "IFT",
            "V",
            "B",
            "RÖ",
        ),
        *("D", "W", "MR", "REC", "GL", "BR", "LP", "PL", "LA", "DS", "FS", "F", "SI", "LS", "SP", "SW", "S", "Q", "U"),
        *("IC", "J", "K", "X", "M", "BT", "Y", "CN", "TP", "H", "RL", "RY", "ZD"),
    )
)
"""Letters that begin a designator in running text; what else has letters and figures there is a type or a value."""

_FUSES = frozenset({"F", "FS", "SI"})
_SPEED = re.compile(r"(?:FF|F|M|TT|T)\d+A")
"""Behind the designator of a fuse: how quick it is, and its current. The ``T1A`` of ``F1 T1A`` is no transformer."""

_NAME = re.compile(r"([A-Za-zÖö]{1,3})(-| ?)(\d{1,4})([A-Za-z]?)(?![A-Za-z0-9]|\.\d)")
_BARE = re.compile(r"(\d{1,4})([A-Za-z]?)(?![A-Za-z0-9]|\.\d)")
_LETTER = re.compile(r"([A-Za-z])(?![A-Za-z0-9])")
_SPAN = re.compile(r"\s*(?:[-–—]|\.{2,}|…|(?<=\s)(?:to|bis|thru|through)(?=\s))\s*")
_JOIN = re.compile(r"\s*(?:[,;/&+]|(?<=\s)(?:and|und)(?=\s))\s*|\s+")
_AFTER = re.compile(r"\s*(?:[:=;)\]]|\.{2,}|…|[-–—](?=\s)|,(?=\s))\s*|\s+")
_COUNT = re.compile(
    r"\(?(?:(?:qty|quantity|anzahl|menge)[.:]?\s*)?(\d{1,3})\s*(?:[x×]|off|pcs?\.?|stk\.?)?\s*\)?:?\s+(?=[A-Za-z])",
    re.IGNORECASE,
)
_EQUAL = re.compile(r"(?:[A-Za-zÖö]{1,3}\d{1,4}[A-Za-z]?\s*=\s*){2,}(?=\S)")
"""R14 = R15 = 4k7: what stands behind the last sign is said of all of them."""

_BEFORE = re.compile(r"(\d{1,3})\s*(?:[x×]|off|pcs?\.?|stk\.?)?\s+(?=\S)", re.IGNORECASE)


@dataclass
class _Walk:
    """Designators read one after another from a text.

    Parameters
    ----------
    text : str
        The text.
    strict : bool
        Running text: only letters that begin a designator count, and a bare number only right behind one.
    """

    text: str
    strict: bool = False
    names: list[str] = field(default_factory=list)
    at: int = 0
    end: int = 0
    letters: str = ""
    number: int = 0

    def walk(self) -> _Walk:
        """Read as far as designators go; in a cell what is none is passed over."""
        sep = ""
        while self.at < len(self.text):
            if self.names and (found := _SPAN.match(self.text, self.at) or _JOIN.match(self.text, self.at)):
                sep, self.at = found[0], found.end()
            if self._name(sep) or (self.names and self._more(sep)):
                sep, self.end = "", self.at
            elif self.strict:
                break
            else:
                self.at += 1
        return self

    def _name(self, sep: str) -> bool:
        found = _NAME.match(self.text, self.at)
        if found is None or (self.strict and (found[1].upper() not in _KNOWN or found[2] == " ")):
            return False
        if found[1].isalpha() and self.at and self.text[self.at - 1].isalnum():
            return False
        letters, number = found[1].upper(), int(found[3])
        if self.strict and self.letters in _FUSES and _SPEED.fullmatch(found[0]):
            return False
        if _spans(sep) and letters == self.letters and not found[4] and 1 <= number - self.number <= MOST_SPAN:
            self._until(number)
        else:
            self._add(letters, number, found[4])
        self.at = found.end()
        return True

    def _more(self, sep: str) -> bool:
        """A number or a letter that goes on from the designator before: the 3 of ``R2,3``, the B of ``C10A,B``."""
        if not sep.strip() or (self.strict and sep != sep.strip() and not sep.strip().isalpha()):
            return False
        if found := _BARE.match(self.text, self.at):
            number = int(found[1])
            ahead = number - self.number
            if _spans(sep) and 1 <= ahead <= MOST_SPAN and not found[2]:
                self._until(number)
            elif _spans(sep) or (self.strict and not 1 <= ahead <= NEAR):
                return False
            else:
                self._add(self.letters, number, found[2])
        elif self.names[-1][-1].isalpha() and (found := _LETTER.match(self.text, self.at)):
            self._add(self.letters, self.number, found[1])
        else:
            return False
        self.at = found.end()
        return True

    def _until(self, number: int) -> None:
        for each in range(self.number + 1, number + 1):
            self._add(self.letters, each, "")

    def _add(self, letters: str, number: int, suffix: str) -> None:
        self.letters, self.number = letters, number
        name = f"{letters}{number}{'' if letters == 'V' else suffix.upper()}"  # V1a and V1b are halves of one valve
        if name not in self.names:
            self.names.append(name)


def _spans(sep: str) -> bool:
    return bool(sep.strip()) and _SPAN.fullmatch(f" {sep.strip()} ") is not None


def designators(text: str) -> list[str]:
    """Return the designators that a cell names, ranges written out, each once.

    Examples
    --------
    >>> designators("C1, C2, C5-C7"), designators("R4 R5/R4"), designators("none")
    (['C1', 'C2', 'C5', 'C6', 'C7'], ['R4', 'R5'], [])
    >>> designators("R2,3, 5"), designators("R11...R13"), designators("R16 to 18"), designators("C10A,B")
    (['R2', 'R3', 'R5'], ['R11', 'R12', 'R13'], ['R16', 'R17', 'R18'], ['C10A', 'C10B'])
    """
    return _Walk(text).walk().names


def designated(text: str) -> int:
    """Return how many parts designators stand for.

    Examples
    --------
    >>> designated("C1, C2, C5-C7"), designated("R4"), designated("")
    (5, 1, 0)
    """
    return len(designators(text))


def told_apart(line: str) -> tuple[str, str] | None:
    """Return the designators of a line and what it says of them; None where it begins and ends with none.

    Examples
    --------
    >>> told_apart("R4 R5 R6 4K7"), told_apart("C1,C2-C5: 0.1uF"), told_apart("R2,3 - 470k")
    (('R4 R5 R6', '4K7'), ('C1,C2-C5', '0.1uF'), ('R2,3', '470k'))
    >>> told_apart("2 x 100k 1W (R1, R2)"), told_apart("R1,470"), told_apart("EL84 2 off")
    (('R1, R2', '100k 1W'), None, None)
    >>> told_apart("R14 = R15 = 4k7"), told_apart("R19;R20;330R"), told_apart("Qty 2: C29, C30: 47n")
    (('R14 , R15', '4k7'), ('R19;R20', '330R'), ('C29, C30', '2 x 47n'))
    """
    text = line.strip()
    if equal := _EQUAL.match(text):
        text = equal[0].rstrip(" =").replace("=", ",") + " = " + text[equal.end() :]
    counted = _COUNT.match(text)
    for start in (0, counted.end()) if counted else (0,):
        head = _Walk(text[start:], strict=True).walk()
        after = _AFTER.match(text[start:], head.end) if head.names else None
        if after is not None and (rest := text[start:][after.end() :].strip()):
            return text[start:][: head.end], f"{counted[1]} x {rest}" if counted and start else rest
    for found in re.finditer(r"(?<=[\s(\[:,])(?!x\d)(?=[A-Za-zÖö]{1,3}-?\d)", text):
        tail = _Walk(text[found.start() :], strict=True).walk()
        if tail.names and not text[found.start() :][tail.end :].strip(" )]."):
            rest = text[: found.start()].rstrip(" ([:,=-–\t")
            if (said := _BEFORE.match(rest)) and int(said[1]) == len(tail.names):
                rest = rest[said.end() :]  # so many are counted by their designators
            return (text[found.start() :][: tail.end], rest) if rest else None
    return None
