"""What a text is cut into for searching: folded words, codes, and numbers as numbers.

A word of the index is a plain string. ``transformer`` has letters only; ``ecc83`` is a code; ``=1E-7 F`` is a number, in SI, so that
``0.1uF``, ``100n`` and ``.1mfd`` are one word; ``/capacitor`` is a family. Texts and questions are cut by the same function:
whatever it makes of a piece of a text, it makes of the same piece in a question.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

from partsbin.notation.scan import Token, scan
from partsbin.notation.text import LIMIT
from partsbin.notation.units import LETTERS
from partsbin.stock.searching.meanings import FAMILY, meanings

NUMBER = "="
EXACT, BEGINS, UNITLESS = 100, 90, 85
"""Per cent of a word asked for: as it stands; its beginning; the same figure where one side gives no unit."""

LONGEST = 60
"""Letters of a word that are looked at."""

UNIT_WORDS = 4
"""Words from a figure on that may belong to it, the figure included: 350 V d.c. wkg."""

_UMLAUTS = str.maketrans({"ä": "ae", "ö": "oe", "ü": "ue", "æ": "ae", "ø": "oe", "œ": "oe"})
_NUMBERED = re.compile(r"(?<![^\W_])([PDJ])-0{0,12}([0-9]{1,16})(?![^\W_])", re.IGNORECASE)
_FUSE = re.compile(r"(?:FF|F|M|TT|T)([0-9]{1,4}(?:[.,][0-9]{1,3})?)(m)?A[LEH]?", re.ASCII)
_FIGURES = re.compile(r"[0-9]{4,9}", re.ASCII)
_MILLI = Decimal("0.001")
_DOTTED = re.compile(r"(?<![^\W\d_])(?:[^\W\d_]\.){2,6}")
_RUN = re.compile(r"[^\W_]+")
_BARE = re.compile(r"(?!ohm)[a-z,;.()'/&-]+", re.IGNORECASE | re.ASCII)  # a sign such as Ω is made plain by the scanner
_SMALL = frozenset(
    (
        *("a", "an", "and", "for", "from", "in", "of", "or", "the", "to", "with"),
        *("aus", "das", "der", "die", "fuer", "im", "mit", "oder", "und", "von", "zu"),
        *("uf", "nf", "pf", "mfd", "v", "volt", "volts", "w", "watt", "watts", "ohm", "ohms", "ma", "hz", "mm"),
    )
)
"""Words that say nothing alone: small ones, and units without their figure."""

_SCALED = (("F", "pnu"), ("ohm", "kM"), ("H", "um"), ("A", "um"), ("Hz", "kM"))
_WHOLE_UNITS = ("V", "A", "W", "ohm", "H", "Hz", "m", "°C")


def fold(text: str) -> str:
    """Return a text without case, accents and umlauts: what is compared letter by letter.

    Examples
    --------
    >>> fold("Größe"), fold("GROESSE"), fold("Café")
    ('groesse', 'groesse', 'cafe')
    """
    if text.isascii():
        return text.lower()
    plain = unicodedata.normalize("NFKC", text).casefold().translate(_UMLAUTS)
    return "".join(sign for sign in unicodedata.normalize("NFKD", plain) if not unicodedata.combining(sign))


def number_word(value: Decimal, unit: str = "") -> str:
    """Return the word of a number, the same for every way of writing it.

    Examples
    --------
    >>> number_word(Decimal("0.10E-6"), "F"), number_word(Decimal(250), "V"), number_word(Decimal("3.0"))
    ('=1E-7 F', '=2.5E+2 V', '=3')
    """
    return f"{NUMBER}{value.normalize()}{unit and ' '}{unit}"


def number_of_word(word: str) -> tuple[float, str]:
    """Return value and unit of the word of a number."""
    value, _, unit = word.removeprefix(NUMBER).partition(" ")
    return float(value), unit


def is_number(word: str) -> bool:
    """Return whether a word of the index is a number."""
    return word.startswith(NUMBER)


def is_letters(word: str) -> bool:
    """Return whether a word of the index has letters only."""
    return not any(sign.isnumeric() or sign in "=/-" for sign in word)


def is_code(word: str) -> bool:
    """Return whether a word of the index is a code: letters with figures, but not the number of a part or a donor."""
    return not is_letters(word) and word[0] not in (NUMBER, FAMILY) and "-" not in word


@dataclass(frozen=True)
class Piece:
    """One piece of a text.

    Parameters
    ----------
    shown : str
        As it is written.
    words : tuple of str
        What it is in the index; the first is the plainest.
    """

    shown: str
    words: tuple[str, ...]


def pieces(text: str) -> Iterator[Piece]:
    """Yield the pieces of a text that can be searched for, in order."""
    for some in _short(text):
        at = 0
        for found in _NUMBERED.finditer(some):
            yield from _scanned(some[at : found.start()])
            yield Piece(found[0], (f"{found[1].lower()}-{found[2]}",))
            at = found.end()
        yield from _scanned(some[at:])


@lru_cache(maxsize=16_384)  # shelves repeat themselves
def words_of(text: str) -> tuple[str, ...]:
    """Return the words of a text for the index.

    Examples
    --------
    >>> words_of("0.02 mfd 350V waxed-paper, D-007")
    ('=2E-8 F', '=3.5E+2 V', 'waxed', 'paper', 'd-7')
    """
    return tuple(dict.fromkeys(word for piece in pieces(text) for word in piece.words))


def _short(text: str) -> Iterator[str]:
    """The text in stretches that the scanner reads whole."""
    while len(text) > LIMIT // 2:
        end = text.rfind(" ", 1, LIMIT // 2)
        end = LIMIT // 2 if end < 0 else end
        yield text[:end]
        text = text[end:]
    yield text


def _scanned(text: str) -> Iterator[Piece]:
    """The pieces of a text; only what a figure may belong to needs the scanner, which takes ten times as long."""
    chunks = _DOTTED.sub(lambda found: found[0].replace(".", ""), text).split()
    figures = [at for at, chunk in enumerate(chunks) if not _BARE.fullmatch(chunk)]
    if not figures:
        yield from _letters(" ".join(chunks))
        return
    start, stop = figures[0], figures[-1] + UNIT_WORDS
    yield from _letters(" ".join(chunks[:start]))
    for token in scan(" ".join(chunks[start:stop])):
        numbers = _numbers(token)
        if numbers:  # 16-16-8: each of them, and each asked for
            yield from (Piece(token.text, (number, *_also_a_code(token))) for number in numbers)
        elif token.kind == "code":
            yield Piece(token.text, (_code(token.text), *_amperes(token.text)))
        elif token.kind == "word":
            yield from _letters(token.text)
    yield from _letters(" ".join(chunks[stop:]))


def _letters(text: str) -> Iterator[Piece]:
    return (Piece(run, (fold(run)[:LONGEST],)) for run in _RUN.findall(text))


def _code(text: str) -> str:
    return "".join(_RUN.findall(fold(text)))[:LONGEST]


def _amperes(code: str) -> tuple[str, ...]:
    """The current in the mark of a fuse: T500mAL."""
    fuse = _FUSE.fullmatch(code)
    return (number_word(Decimal(fuse[1].replace(",", ".")) * (_MILLI if fuse[2] else 1), "A"),) if fuse else ()


def _also_a_code(token: Token) -> tuple[str, ...]:
    """6V6 is a valve before it is 6.6 V, R7 a drawer before it is 0.7 ohm."""
    return (_code(token.text),) if token.letter == "V" or token.text[0].isalpha() else ()


def _numbers(token: Token) -> tuple[str, ...]:
    """The numbers of a piece, () for one that is none or only says how many."""
    match token.kind:
        case "quantity" | "list" | "number" | "size":
            unit = token.unit or (LETTERS[token.letter].unit if token.letter else "")
            return tuple(dict.fromkeys(number_word(value, unit) for value in token.values))
        case "tolerance":
            unit = "%" if token.unit == "-" else token.unit
            return (f"{number_word(max(abs(value) for value in token.values), unit)}±",)
        case "ratio":
            first, second = token.values
            return (f"{number_word(first)}:{second.normalize()}",)
    return ()


@dataclass(frozen=True)
class Asked:
    """One word of a question.

    Parameters
    ----------
    shown : str
        As typed.
    readings : mapping of str to (int, str)
        Words of the index that answer it as they stand: per cent and how.
    part : int
        The part whose number it is, 0 if it is none.
    """

    shown: str
    readings: dict[str, tuple[int, str]]
    part: int = 0

    @property
    def letters(self) -> str:
        """The word where it has letters only, else ""."""
        first = next(iter(self.readings))
        return first if is_letters(first) else ""

    @property
    def code(self) -> str:
        """The code that the word may be, else ""."""
        return next((word for word in self.readings if is_code(word)), "")

    @property
    def figures(self) -> str:
        """The word where it is a number of four figures and more, which may be the end of a code: 4007; else ""."""
        return self.shown if _FIGURES.fullmatch(self.shown) else ""


def asked_of(question: str) -> list[Asked]:
    """Return the words of a question; small words such as "for" only where there are no others.

    Examples
    --------
    >>> [asked.shown for asked in asked_of("transformer for EL84, .1mfd")]
    ['transformer', 'EL84', '.1mfd']
    """
    found = {piece.words: piece for piece in pieces(question)}
    wanted = [piece for piece in found.values() if piece.words[0] not in _SMALL] or list(found.values())
    return [_asked(piece) for piece in wanted]


def _asked(piece: Piece) -> Asked:
    first = piece.words[0]
    readings = dict.fromkeys(piece.words, (EXACT, "exact"))
    if is_number(first):
        readings |= dict.fromkeys(_other_units(first), (UNITLESS, "unit not given"))
    else:
        readings = {
            word: readings[word] for word in readings if not is_number(word)
        }  # T500mA asked for is no other 500 mA
        readings |= {word: (BEGINS, "means") for word in meanings().get(first, ()) if word not in readings}
    part = int(first[2:]) if re.fullmatch(r"p-[0-9]{1,9}", first) else 0
    return Asked(piece.shown, readings, part)


def _other_units(word: str) -> list[str]:
    """The same figure with a unit where the word has none, without one where it has."""
    figure, _, unit = word.removeprefix(NUMBER).partition(" ")
    if ":" in figure or "±" in word:
        return []
    value = Decimal(figure)
    if unit:
        return [number_word(value)]
    whole = [number_word(value, unit) for unit in _WHOLE_UNITS]
    return whole + [
        number_word(value * LETTERS[letter].factor, unit) for unit, letters in _SCALED for letter in letters
    ]
