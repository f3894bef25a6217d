"""A question asked otherwise, where no part answers it as it was typed: ``ECC 83`` for ECC83, ``metalfilm`` for metal film,
``D007`` for D-007, ``12AX7`` for a valve that lies there under its other name, ``condensor`` for a word of the trade.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from sqlalchemy import Connection

from partsbin.stock.searching.meanings import meanings
from partsbin.stock.searching.texts import ids_of
from partsbin.stock.searching.words import BEGINS, EXACT, Asked, fold

LEAST_HALF = 3
"""Letters of each of the two words that a run-together one is cut into."""

LEAST_MEANT = 6
"""Letters of a word of the trade in which one slip is forgiven."""

_PLAIN = re.compile(r"[^\W_]{1,12}")
_NUMBERED = re.compile(r"([pdj])0*([0-9]{1,9})")


@dataclass(frozen=True)
class _Way:
    """One way of asking for one or two words: what must stand in the catalogue for it, and what is asked then."""

    at: int
    of: int
    needs: tuple[str, ...]
    asked: tuple[Asked, ...]


def otherwise(connection: Connection, asked: Sequence[Asked]) -> list[Asked]:
    """Return the words of a question, taken otherwise where the catalogue has what that gives.

    Parameters
    ----------
    connection : Connection
        To a catalogue.
    asked : sequence of Asked
        The question as it was typed.

    Returns
    -------
    list of Asked
        The same words where there is nothing else to be made of them.
    """
    own = {word for entry in asked for word in entry.readings}
    tried = list(_ways(asked))
    known = ids_of(connection, sorted({*own, *(word for way in tried for word in way.needs)}))
    fitting = [way for way in tried if all(word in known for word in way.needs) and _missing(asked, way, known)]
    return list(_replaced(asked, fitting))


def _missing(asked: Sequence[Asked], way: _Way, known: Mapping[str, int]) -> bool:
    """Whether one of the words that a way replaces stands nowhere: else it was meant as typed."""
    return any(known.keys().isdisjoint(entry.readings) for entry in asked[way.at : way.at + way.of])


def _replaced(asked: Sequence[Asked], ways: Sequence[_Way]) -> Iterator[Asked]:
    """The words with the first way of each place put in; two words joined go before one taken otherwise."""
    at = 0
    while at < len(asked):
        way = next((way for way in sorted(ways, key=lambda way: -way.of) if way.at == at), None)
        yield from way.asked if way else (asked[at],)
        at += way.of if way else 1


def _ways(asked: Sequence[Asked]) -> Iterator[_Way]:
    for at, (first, second) in enumerate(pairwise(asked)):
        if _PLAIN.fullmatch(first.shown) and _PLAIN.fullmatch(second.shown):
            shown, word = f"{first.shown} {second.shown}", fold(first.shown + second.shown)
            yield _Way(at, 2, (word,), (Asked(shown, {word: (EXACT, "exact")}),))
            yield from _numbered(at, 2, shown, word)
    for at, entry in enumerate(asked):
        word = entry.letters or entry.code
        if word:
            yield from _numbered(at, 1, entry.shown, word)
            yield from _cut(at, entry.shown, entry.letters)
            yield from _named_alike(at, entry)
            yield from _meant(at, entry)


def _numbered(at: int, of: int, shown: str, word: str) -> Iterator[_Way]:
    """D007 and D 7 are a donor, P42 a part."""
    found = _NUMBERED.fullmatch(word)
    if found:
        part = int(found[2]) if found[1] == "p" else 0
        number = f"{found[1]}-{found[2]}"
        needs = () if part else (number,)
        yield _Way(at, of, needs, (Asked(shown, {number: (EXACT, "exact")}, part),))


def _cut(at: int, shown: str, letters: str) -> Iterator[_Way]:
    for end in range(LEAST_HALF, len(letters) - LEAST_HALF + 1):
        halves = letters[:end], letters[end:]
        yield _Way(at, 1, halves, tuple(Asked(half, {half: (EXACT, "exact")}) for half in halves))


def _named_alike(at: int, entry: Asked) -> Iterator[_Way]:
    for name in sorted(_other_names().get(entry.code, ())):
        yield _Way(at, 1, (name,), (Asked(entry.shown, {name: (BEGINS, "means")}),))


def _meant(at: int, entry: Asked) -> Iterator[_Way]:
    """A word of the trade with one slip in it."""
    from rapidfuzz import process
    from rapidfuzz.distance import OSA

    if len(entry.letters) < LEAST_MEANT:
        return
    for near, distance, _ in process.extract(entry.letters, list(meanings()), scorer=OSA.distance, score_cutoff=1):
        if distance == 1 and len(near) >= LEAST_MEANT:
            for word in meanings()[near]:
                yield _Way(at, 1, (word,), (Asked(entry.shown, {word: (BEGINS, "means")}),))


@cache
def _other_names() -> dict[str, set[str]]:
    """Names of one and the same valve, folded: 12AX7 and ECC83."""
    from partsbin.reference.equivalents import equivalents

    alike: dict[str, set[str]] = {}
    for row in equivalents():
        if row.relation == "identical":
            first, second = fold(row.type_a), fold(row.type_b)
            alike.setdefault(first, set()).add(second)
            alike.setdefault(second, set()).add(first)
    return alike
