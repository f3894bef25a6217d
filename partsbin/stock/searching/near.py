"""Words of the catalogue that come near a word asked for: it begins or ends them, or is mistyped.

A slip of the hand leaves one end of a word as it should be. So the words that begin or end as the word asked for does are read, two
ranges of an index, and compared letter by letter; how many others there are does not matter.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterator
from typing import NamedTuple

from sqlalchemy import Connection

from partsbin.stock.searching.words import BEGINS, EXACT, NUMBER, Asked, is_code, is_letters, number_of_word
from partsbin.store.statements import Statement

ENDS = 70
"""Per cent of a word that another one ends with, as Netztrafo does with trafo."""

LEAST_BEGUN, LEAST_ENDED = 3, 4
"""Letters of a beginning or an end that is looked for."""

LEAST_MISTYPED, LONG = 5, 9
"""Letters from which one slip is forgiven, and from which two are; the longer of the two words counts."""

RIGHT = 3
"""Letters at one of the ends that have to be right where there are two slips."""

LIKE = 0.6
"""Share of a word that has to be right for it to be suggested."""

MOST = 20_000
"""Words of one beginning or end that are looked at."""

_BEGUN = Statement("SELECT word, id FROM search_word WHERE word >= :start AND word < :stop ORDER BY word LIMIT :most")
_ENDED = Statement(
    "SELECT backwards, id FROM search_word WHERE backwards >= :start AND backwards < :stop ORDER BY backwards LIMIT :most"
)


class Near(NamedTuple):
    """A word of the catalogue beside the one asked for: per cent, and how it is near."""

    word: str
    id: int
    score: int
    how: str


def slips(first: str, second: str) -> int:
    """Return how many slips of the hand are forgiven between two words [-]."""
    longest = max(len(first), len(second))
    if longest < LEAST_MISTYPED:
        return 0
    if longest < LONG or is_code(first):
        return 1
    return 2 if first[:RIGHT] == second[:RIGHT] or first[-RIGHT:] == second[-RIGHT:] else 1


def likeness(asked: str, word: str) -> tuple[int, str]:
    """Return per cent and how a word answers the one asked for; 0 where it does not.

    Notes
    -----
    A slip is a letter missing, too many, wrong, or two changed over (optimal string alignment); it costs its share of the
    longer word. Letters are not taken for a code nor a code for letters, beginnings apart.

    Examples
    --------
    >>> likeness("trasformer", "transformer"), likeness("trafo", "netztrafo"), likeness("fuse", "fuses")
    ((91, 'mistyped'), (70, 'ends'), (90, 'begins'))
    """
    from rapidfuzz.distance import OSA

    return _judged(asked, word, OSA.distance(asked, word))


def _judged(asked: str, word: str, distance: int) -> tuple[int, str]:
    if asked == word:
        return EXACT, "exact"
    begun = BEGINS if len(asked) >= LEAST_BEGUN and word.startswith(asked) else 0
    mistyped = 0
    if distance <= slips(asked, word) and is_letters(asked) == is_letters(word):
        mistyped = round(EXACT * (1 - distance / max(len(asked), len(word))))
    if begun or mistyped:
        return (mistyped, "mistyped") if mistyped > begun else (begun, "begins")
    return (ENDS, "ends") if len(asked) >= LEAST_ENDED and word.endswith(asked) else (0, "")


def near_words(connection: Connection, asked: Asked, *, known: bool) -> Iterator[Near]:
    """Yield the words of the catalogue that come near a word asked for.

    Parameters
    ----------
    connection : Connection
        To a catalogue.
    asked : Asked
        A word of a question.
    known : bool
        Whether a part has the word as it was asked for: then a code is not taken for another one.
    """
    text = asked.letters or asked.code or asked.figures
    listed = sorted(_ends(connection, text)) if len(text) >= LEAST_BEGUN else []
    if not listed:
        return
    from rapidfuzz.distance import OSA
    from rapidfuzz.process import cdist

    distances = cdist([text], [word for word, _ in listed], scorer=OSA.distance, score_cutoff=2)[0].tolist()
    for (word, ident), distance in zip(listed, distances, strict=True):
        if distance <= 2 or word.startswith(text) or word.endswith(text):
            score, how = _judged(text, word, distance)
            if score and not (how == "mistyped" and (asked.figures or (known and asked.code))):
                yield Near(word, ident, score, how)


def _ends(connection: Connection, text: str) -> set[tuple[str, int]]:
    """The words that begin or end as a text does, as far as one slip, two letters changed over included, may leave it."""
    if len(text) < LEAST_MISTYPED - 1:
        return set(_begun(connection, text))
    sure = min(RIGHT, max(2, (len(text) - 1) // 2))
    return {*_begun(connection, text[:sure]), *_ended(connection, text[-sure:])}


def _begun(connection: Connection, start: str) -> list[tuple[str, int]]:
    return [(word, ident) for word, ident in _BEGUN.rows(connection, _range(start))]


def _ended(connection: Connection, end: str) -> list[tuple[str, int]]:
    return [(word[::-1], ident) for word, ident in _ENDED.rows(connection, _range(end[::-1]))]


def _range(start: str) -> dict[str, str | int]:
    return {"start": start, "stop": f"{start}\U0010ffff", "most": MOST}


def suggestions(connection: Connection, asked: Asked, most: int = 3) -> list[str]:
    """Return words of the catalogue that may have been meant, the nearest first; numbers as words of the index."""
    first = next(iter(asked.readings))
    if first[0] == NUMBER:
        return _near_numbers(connection, first, most)
    from rapidfuzz import process
    from rapidfuzz.distance import OSA

    listed = sorted({word for word, _ in (*_begun(connection, first[0]), *_ended(connection, first[-2:]))})
    close = process.extract(first, listed, scorer=OSA.normalized_similarity, limit=most, score_cutoff=LIKE)
    return [word for word, _, _ in close]


def _near_numbers(connection: Connection, asked: str, most: int) -> list[str]:
    if not _plain(asked):
        return []
    value, unit = number_of_word(asked)
    others = [(word, number_of_word(word)) for word, _ in _begun(connection, NUMBER) if _plain(word)]
    same = [(word, number) for word, (number, its) in others if its == unit]
    return [word for word, _ in heapq.nsmallest(most, same, key=lambda entry: abs(math.log(entry[1] / value)))]


def _plain(word: str) -> bool:
    """Whether the word of a number is a value above zero, neither ratio nor tolerance."""
    return ":" not in word and "±" not in word and number_of_word(word)[0] > 0
