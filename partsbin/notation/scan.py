"""A description cut into typed pieces, the same way for every family.

The scanner says what a piece *is* (a quantity, a ratio, a list, a known word); the reader of a family says what it *means*. A
family brings its own words: PP is polypropylene on a capacitor and push-pull on a transformer.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from typing import Literal

from partsbin.notation.numerals import PLAIN, decimal_of, match_quantity, match_signed, match_tolerance
from partsbin.notation.text import normalise
from partsbin.notation.units import LETTERS, match_unit

Kind = Literal["quantity", "number", "tolerance", "ratio", "multiple", "list", "size", "code", "word", "mark"]
Meaning = tuple[str, object]
Vocabulary = Mapping[str, Meaning]
"""Phrase to meaning. Keys as `phrase_key` makes them: lower case, single blanks, no hyphens, no stops; at most four words."""


@dataclass(frozen=True)
class Token:
    """One piece of a description.

    Parameters
    ----------
    kind : str
        ``quantity`` has a unit or a multiplier letter, ``number`` neither; ``tolerance`` holds both limits; ``ratio`` is 45:1;
        ``multiple`` is the 2 of ``2x`` or ``2 off``; ``list`` is 16-16-8 or 3/8/15; ``size`` is 18 x 35 mm; ``code`` mixes letters
        and digits; ``word`` has letters only or is in the vocabulary; ``mark`` is a single sign.
    text : str
        The piece in plain signs.
    values : tuple of Decimal
        Its numbers, in SI where there is a unit.
    unit, letter, detail : str
        Unit written; multiplier letter without a unit; what the unit's spelling adds (``ac``, ``dc``, ``va``, ``cm``). For a
        list, `detail` is the sign between its numbers.
    meaning : tuple of str and value, or None
        For a word of the vocabulary, the field and the value.
    notes : tuple of str
        What a reader should know.
    """

    kind: Kind
    text: str
    values: tuple[Decimal, ...] = ()
    unit: str = ""
    letter: str = ""
    detail: str = ""
    meaning: Meaning | None = None
    notes: tuple[str, ...] = ()

    @property
    def value(self) -> Decimal:
        """The first number."""
        return self.values[0]

    def means(self, field: str) -> bool:
        """Return whether the piece is a word of the vocabulary about that field."""
        return self.meaning is not None and self.meaning[0] == field


_Step = tuple[Token, int]

_WHOLE = r"(?:[0-9]{1,6}(?:[.,][0-9]{1,6}(?! ?:))?|[.,][0-9]{1,6})(?![0-9])"  # 30:1,45:1 are two ratios
_RATIO = re.compile(rf"({_WHOLE}) ?: ?({_WHOLE})(?![A-Za-z0-9])", re.ASCII)
_SIZE = re.compile(
    rf"({PLAIN}) ?(mm|MM|cm|CM|in)? ?[xX] ?({PLAIN})(?: ?(?:mm|MM|cm|CM|in)? ?[xX] ?({PLAIN}))?"
    r" ?(mm|MM|cm|CM|in(?=(?:ch(?:es)?)?\b)|\")(?:(?<=in)ch(?:es)?)?",
    re.ASCII,
)
_MULTIPLE = re.compile(  # "1 X2" is no multiple: X2 is a safety class; nor is "50 X7R", a ceramic of 50 V
    r"([1-9][0-9]{0,3})(?:(?:[xX]| [xX](?![1-4](?![0-9.])|[4-9][P-V](?![A-Za-z0-9])))(?= ?[0-9.]| [A-Za-z]|[A-Z]{2})"
    r"| ?(?i:off|pcs?\.?|pieces?|stk\.?|st\xfcck)(?![A-Za-z0-9]))"
)
_ITEM = r"(?:[0-9]{1,5}(?:[.,][0-9]{1,4})?|[.,][0-9]{1,4})"
_LIST = re.compile(rf"({_ITEM}) ?([-+/]) ?({_ITEM})((?: ?\2 ?{_ITEM}){{0,6}})(?![0-9]| ?%)", re.ASCII)
_ITEMS = re.compile(_ITEM, re.ASCII)
_LIST_LETTER = re.compile(r" ?([pnukKMR])(?![A-Za-z0-9])|(?![A-Za-z0-9])", re.ASCII)
_RUN = re.compile(r"[.]?[^\W_]+(?:[.](?=[0-9])[^\W_]+)*")
_COMPOUND = re.compile(r"[0-9]{1,3}-(?=[^\W\d_]{3})[^\W\d_]{3,30}")
_PART_NUMBER = re.compile(r"(?=[^\W\d_]{2})[^\W_]{5,24}(?:[-_][^\W_]{1,24}){1,6}")
_WORD = re.compile(r"(?:[^\W\d_]+\.){2,6}|[^\W\d_]+(?:[-'/&][^\W\d_]+){0,4}")
_LENGTHS = {"mm": Decimal("0.001"), "cm": Decimal("0.01"), "in": Decimal("0.0254"), '"': Decimal("0.0254")}
_LONGEST_PHRASE = 4

RECENT = 2_048
"""Pieces that are remembered: one text is read by a dozen families in turn, each with its own words [-]."""


def phrase_key(words: str) -> str:
    """Return the form in which a vocabulary holds a phrase.

    Parameters
    ----------
    words : str
        A word or a few.

    Returns
    -------
    str
        Lower case, hyphens as blanks, stops left out.

    Examples
    --------
    >>> phrase_key("Silver-Mica"), phrase_key("N.O.S.")
    ('silver mica', 'nos')
    """
    return " ".join(words.casefold().replace(".", "").replace("-", " ").replace("/", " ").split())


def scan(text: str, vocabulary: Vocabulary | None = None) -> list[Token]:
    """Cut a description into typed pieces.

    Parameters
    ----------
    text : str
        As given.
    vocabulary : mapping, optional
        The family's words; the longest phrase wins.

    Returns
    -------
    list of Token
        In the order of the text; every sign but blanks is in one of them.

    Examples
    --------
    >>> [(piece.kind, piece.text) for piece in scan("2x 8+8 µF/450 V")]
    [('multiple', '2x'), ('list', '8+8 uF'), ('mark', '/'), ('quantity', '450 V')]
    """
    plain = normalise(text).text
    words = vocabulary or {}
    pieces: list[Token] = []
    pos = 0
    while pos < len(plain):
        if plain[pos] == " ":
            pos += 1
            continue
        piece, end = _piece(plain, pos, words)
        pieces.append(piece)
        pos = max(end, pos + 1)
    return pieces


def _piece(plain: str, pos: int, words: Vocabulary) -> _Step:
    if plain[pos].isalpha() and words and (known := _phrase(plain, pos, words)) is not None:
        return known
    return _wordless(plain, pos)


@lru_cache(RECENT)
def _wordless(plain: str, pos: int) -> _Step:
    """What needs no vocabulary: the same for every family that is asked what a text says."""
    first = plain[pos]
    readers: tuple[Callable[[str, int], _Step | None], ...] = ()
    after_sign = pos == 0 or not (plain[pos - 1].isalnum() or plain[pos - 1] == ".")
    if first.isdigit() or (first in ".," and after_sign):
        readers = (_compound, _tolerance, _size, _ratio, _multiple, _list, _quantity)
    elif first == "-" and after_sign and plain[pos + 1 : pos + 2].isdigit():
        readers = (_tolerance, _quantity)
    elif first in "+-±":
        readers = (_tolerance,)  # a plus is no sign of a number here: it joins sections
    elif first.isalpha():
        readers = (_quantity,) if first in "pnuR" else ()
    for reader in readers:
        step = reader(plain, pos)
        if step is not None:
            return step
    return _run(plain, pos)


def _compound(plain: str, pos: int) -> _Step | None:
    """A number that is part of a word, as in 2-pole; not the 8 of 8-mfd."""
    found = _COMPOUND.match(plain, pos)
    if found is None or match_unit(plain, plain.index("-", pos) + 1) is not None:
        return None
    return Token("code", found[0]), found.end()


def _tolerance(plain: str, pos: int) -> _Step | None:
    spread = match_tolerance(plain, pos)
    if spread is None:
        return None
    return Token("tolerance", plain[pos : spread.end], (spread.low, spread.high), spread.unit), spread.end


def _size(plain: str, pos: int) -> _Step | None:
    found = _SIZE.match(plain, pos)
    if found is None:
        return None
    factor = _LENGTHS[found[5].lower()]
    values = tuple(decimal_of(number) * factor for number in (found[1], found[3], found[4]) if number)
    return Token("size", found[0], values, "m"), found.end()


def _ratio(plain: str, pos: int) -> _Step | None:
    found = _RATIO.match(plain, pos)
    if found is None:
        return None
    unit = match_unit(plain, found.end() + (plain[found.end() : found.end() + 1] == " "))
    if unit is not None and unit[0].unit in ("ohm", "V"):
        return None  # 5:3 ohm is no turns ratio: the reader of the family puts it together
    return Token("ratio", found[0], (decimal_of(found[1]), decimal_of(found[2]))), found.end()


def _multiple(plain: str, pos: int) -> _Step | None:
    found = _MULTIPLE.match(plain, pos)
    return None if found is None else (Token("multiple", found[0], (Decimal(found[1]),)), found.end())


def _list(plain: str, pos: int) -> _Step | None:
    """Numbers joined by the same sign, with one unit or letter for all of them."""
    found = _LIST.match(plain, pos)
    if found is None:
        return None
    numbers = [decimal_of(item[0]) for item in _ITEMS.finditer(found[0])]
    alone = match_quantity(plain, pos)
    if alone is not None and (alone.unit or alone.letter):
        return None  # 1/4 W, 1 000 pF: one number after all
    end = found.end()
    unit = match_unit(plain, end + (plain[end : end + 1] == " "))
    if unit is not None:
        spelling, stop = unit
        values = tuple(number * spelling.factor for number in numbers)
        notes = (spelling.note,) if spelling.note else ()
        return Token("list", plain[pos:stop], values, spelling.unit, detail=found[2], notes=notes), stop
    letter = _LIST_LETTER.match(plain, end)
    if letter is None:
        return None
    factor = LETTERS[letter[1]].factor if letter[1] else Decimal(1)
    values = tuple(number * factor for number in numbers)
    return Token("list", plain[pos : letter.end()], values, letter=letter[1] or "", detail=found[2]), letter.end()


def _quantity(plain: str, pos: int) -> _Step | None:
    found = match_signed(plain, pos)
    if found is None:
        return None
    kind: Kind = "quantity" if found.unit or found.letter else "number"
    text = plain[pos : found.end]
    return Token(kind, text, (found.value,), found.unit, found.letter, found.detail, notes=found.notes), found.end


def _phrase(plain: str, pos: int, words: Vocabulary) -> _Step | None:
    """The longest phrase of the vocabulary that begins here."""
    for end, key in _phrases(plain, pos):
        meaning = _meaning(key, words)
        if meaning is not None:
            return Token("word", plain[pos:end], meaning=meaning), end
    return None


@lru_cache(RECENT)
def _phrases(plain: str, pos: int) -> tuple[tuple[int, str], ...]:
    """Where each phrase that begins here ends, and its key; the longest first."""
    ends: list[int] = []
    at = pos
    for _ in range(_LONGEST_PHRASE):
        found = _WORD.match(plain, at)
        if found is None or _glued_to_digit(plain, found.end()):
            break
        ends.append(found.end())
        at = found.end() + 1
        if plain[found.end() : at] != " ":
            break
    return tuple((end, phrase_key(plain[pos:end])) for end in reversed(ends))


def _meaning(key: str, words: Vocabulary) -> Meaning | None:
    return words.get(key) or (words.get(key[:-1]) if key.endswith("s") else None)


def _glued_to_digit(plain: str, end: int) -> bool:
    return plain[end : end + 1].isdigit()


def _run(plain: str, pos: int) -> _Step:
    """Anything else: a word, a code of letters and digits, or a single sign."""
    word = _WORD.match(plain, pos)
    run = _RUN.match(plain, pos)
    if word is not None and (run is None or word.end() >= run.end()) and not _glued_to_digit(plain, word.end()):
        return Token("word", word[0]), word.end()
    if run is None:
        return Token("mark", plain[pos]), pos + 1
    if any(sign.isdigit() for sign in run[0]):
        run = _PART_NUMBER.match(plain, pos) or run  # TB009-508-05BE: its numbers are no values
    kind: Kind = "code" if any(sign.isdigit() for sign in run[0]) else "word"
    return Token(kind, run[0]), run.end()
