"""How many there are, as people write it: ``3x``, ``2 off``, ``ca. 50``, ``a pair``; in a cell of its own or in a description."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

MOST_COUNTED = 10_000_000

_ROUGH = re.compile(
    r"(?i)(?:about|around|circa|ca|approx|etwa|ungefähr|mindestens|mind|over|über|at least|[~>≥≈])[.\s]*"
)
_ROUGH_AFTER = re.compile(r"(?i)\s*(?:\+|\?|\(?\s*(?:approx|about|ca|or so|or more|plus)\.?\s*\)?)$")
_PIECES = re.compile(r"(?i)\s*(?:x|×|pcs?\.?|pieces?|off|ea\.?|each|units?|stk\.?|stück|st\.?|nos?\.)$")
_TIMES = re.compile(r"(?i)(?:x|×)\s*(?=\d)")
_THOUSANDS = re.compile(r"[1-9]\d{0,2}(?:[ ,'’]\d{3})+")
_RANGE = re.compile(r"(\d{1,6})\s*(?:-|–|to|bis)\s*(\d{1,6})")
_SETS = {"pair": 2, "pairs": 2, "paar": 2, "paare": 2, "quad": 4, "quads": 4, "dozen": 12, "dutzend": 12}
_SET = re.compile(rf"(?i)(?:matched )?(\d{{1,4}}|[a-z]+)?\s*(?:matched )?({'|'.join(_SETS)})\b")
_WORDS = {
    **dict.fromkeys(("none", "nil", "zero", "no", "out", "empty", "out of stock", "kein", "keine", "keiner", "null", "leer"), 0),
    **dict.fromkeys(("a", "one", "ein", "eine", "einer", "single"), 1),
    **dict.fromkeys(("two", "zwei", "both"), 2),
    "three": 3, "drei": 3, "four": 4, "vier": 4, "five": 5, "fünf": 5, "six": 6, "sechs": 6, "seven": 7, "sieben": 7,
    "eight": 8, "acht": 8, "nine": 9, "neun": 9, "ten": 10, "zehn": 10, "eleven": 11, "elf": 11, "twelve": 12, "zwölf": 12,
}  # fmt: skip
_VAGUE = frozenset(
    {
        "a few",
        "few",
        "some",
        "several",
        "many",
        "lots",
        "plenty",
        "various",
        "einige",
        "mehrere",
        "viele",
        "div",
        "diverse",
    }
)


class Counted(NamedTuple):
    """How many: `many` is None where the text is no count; whether it is only about right; what is to be said of it."""

    many: int | None
    rough: bool = False
    note: str = ""


@lru_cache(1024)
def read_count(text: str) -> Counted:
    """Return how many a cell says there are.

    Examples
    --------
    >>> read_count("ca. 50"), read_count("1,200"), read_count("2 off").many, read_count("two pairs").many
    (Counted(many=50, rough=True, note=''), Counted(many=1200, rough=False, note=''), 2, 4)
    >>> read_count("10-12"), read_count("-3").many
    (Counted(many=10, rough=True, note="10 taken of '10-12'"), None)
    """
    low = text.strip().lower().rstrip(".!")
    if low in _VAGUE:
        return Counted(1, True, f"{text!r}: one is taken, how many there are is not said")
    if span := _RANGE.fullmatch(low):
        return (
            Counted(int(span[1]), True, f"{span[1]} taken of {text!r}")
            if int(span[1]) < int(span[2])
            else Counted(None)
        )
    rough = _ROUGH.match(text)
    bare = text[rough.end() :] if rough else text
    loose = _ROUGH_AFTER.search(bare)
    bare = _TIMES.sub("", _PIECES.sub("", bare[: loose.start()] if loose else bare), count=1).strip()
    number = _number(bare)
    return Counted(None if number is None or number > MOST_COUNTED else number, rough is not None or loose is not None)


def _number(text: str) -> int | None:
    """A whole number in figures or words, or sets of them; more than nine figures count nothing on a shelf."""
    if found := _SET.fullmatch(text):
        many = 1 if not found[1] else _number(found[1])
        return None if many is None else many * _SETS[found[2].lower()]
    if text.lower() in _WORDS:
        return _WORDS[text.lower()]
    if _THOUSANDS.fullmatch(text):
        text = re.sub(r"\D", "", text)
    text = re.sub(r"[.,]0+$", "", text)
    return int(text) if text.isascii() and text.isdecimal() and len(text) <= 9 else None


_NO_SIZE = r"(?!\s*(?:mm|cm|in|\"|[x×]|\d))"
_NO_UNIT = r"(?!\s+(?:[pnuµmkr]|[kmg]?Ω|[a-z]*(?:ohm|farad)s?|meg|[pnuµmk]?[fhvaw]|mfd|mmfd|v[da]c|volts?|watts?|amps?|mm|cm)(?!\w))"
_SAID = (
    re.compile(rf"(?<![\w.,])[x×]\s?(\d{{1,4}})(?![\w.]){_NO_SIZE}", re.IGNORECASE),
    re.compile(r"[\[(]\s*(?:[x×]\s?)?(\d{1,2})\s*[\])]", re.IGNORECASE),  # (6922) is the name of a valve
    re.compile(r"[\[(]\s*(\d{1,4})\s?(?:[x×]|off|pcs?\.?|pieces|stk\.?|stück)\s*[\])]", re.IGNORECASE),
    re.compile(rf"(?<![\w.,])(\d{{1,4}})\s?(?:[x×]|off|pcs?\.?|pieces|stk\.?|stück)(?![\w.]){_NO_SIZE}", re.IGNORECASE),
    re.compile(rf"(?<=\w)\s+[-–]\s+(\d{{1,2}})(?=\s+[a-z]|\s*$){_NO_UNIT}", re.IGNORECASE),
    re.compile(r"(?<=\w)(?:\s*\.{2,}\s*|\s*:\s+)(\d{1,3})\s*$"),
    re.compile(
        r"^(\d{1,4})\s?(?:[x×]|off|pcs?\.?|pieces|stk\.?|stück)\s+(?=\w)(?!\d+(?:[.,]\d+)?\s?(?:[x×]\s?\d+(?:[.,]\d+)?\s?)?(?:mm|cm))",
        re.IGNORECASE,
    ),
)
_PAIR = re.compile(r"(?i)(?<![\w-])(?:matched )?(pair|paar|quad)(?![\w-])")


def count_in(text: str) -> tuple[str, Counted]:
    """Return a description without the count that it holds, and that count; None if it holds none, or more than one.

    Examples
    --------
    >>> count_in("ECC83 x4 NOS")
    ('ECC83 NOS', Counted(many=4, rough=False, note=''))
    >>> count_in("22n 630V x12, 47n x4")[1].note
    'several counts in one line: one line, one part'
    """
    found: dict[tuple[int, int], re.Match[str]] = {}
    for match in (match for pattern in _SAID for match in pattern.finditer(text)):
        found.setdefault(match.span(1), match)
    if len(found) > 1:
        return text, Counted(None, False, "several counts in one line: one line, one part")
    for match in found.values():
        return _without(text, match), Counted(int(match[1]))
    if pair := _PAIR.search(text):
        return _without(text, pair), Counted(
            _SETS[pair[1].lower()], False, f"{pair[0]!r} counted as {_SETS[pair[1].lower()]}"
        )
    return text, Counted(None)


def _without(text: str, match: re.Match[str]) -> str:
    return " ".join(f"{text[: match.start()]} {text[match.end() :]}".split()).strip(" ,;-–")
