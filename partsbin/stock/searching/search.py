"""Answering a question in words: every word is wanted, the best total stands first, equals in the order of their numbers.

Each word asked for becomes a row of per cents over all parts, from the postings of the words that answer it; the rows are added
up. Words that only come near are looked for where too few parts have all of them as they stand: no part could come before those.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
from sqlalchemy import Connection

from partsbin.errors import UsageError
from partsbin.stock.searching.meanings import FAMILY
from partsbin.stock.searching.near import Near, near_words, suggestions
from partsbin.stock.searching.otherwise import otherwise
from partsbin.stock.searching.texts import FIELDS, ids_of, texts_of, word_ids
from partsbin.stock.searching.words import EXACT, Asked, asked_of, is_number, number_of_word, pieces
from partsbin.stock.shelf import number_of
from partsbin.store.statements import Statement
from partsbin.words import say

MOST_WORDS = 20
"""Words of a question that are looked for."""

Scores = npt.NDArray[np.uint8]

_LAST = Statement("SELECT coalesce(max(part_id), 0) FROM search_text")
_POSTINGS = Statement("SELECT word_id, first, offsets FROM search_posting WHERE word_id IN :ids")


@dataclass(frozen=True)
class _Sought:
    """A word asked for, and the words of the catalogue that answer it, by id."""

    asked: Asked
    answers: Mapping[int, Near]


def search(connection: Connection, question: str, *, family: str = "", limit: int = 20) -> dict[str, Any]:
    """Return the parts that a question in words means.

    Parameters
    ----------
    connection : Connection
        To a catalogue that has its words.
    question : str
        Words in any order: what a part is or is marked, maker, donor, place, note; numbers in any notation; ``P-0042``.
    family : str
        Only parts of this one.
    limit : int
        How many parts at most [-].

    Returns
    -------
    dict
        The object of schemas/search.json.

    Raises
    ------
    UsageError
        If there is no word in the question.
    """
    asked = asked_of(question)[:MOST_WORDS]
    if not asked:
        raise UsageError(f"{question!r} holds no word to search for", hint='such as "EL84", "100n 400V" or "box T2"')
    answer = _answer(connection, asked, family, limit)
    if not answer["found"]:
        again = otherwise(connection, asked)[:MOST_WORDS]
        if again != asked:
            second = _answer(connection, again, family, limit)
            return second if second["found"] else answer
    return answer


def _answer(connection: Connection, asked: Sequence[Asked], family: str, limit: int) -> dict[str, Any]:
    last = _LAST.rows(connection, {})[0][0]
    only = _only(connection, family, last)
    sought = _as_they_stand(connection, asked)
    rows = [_scores(connection, word, last, only) for word in sought]
    chosen, total = _best(rows, limit)
    near_too = len(chosen) < limit or total[chosen[-1]] < EXACT * len(rows)
    if near_too:
        sought = _with_near(connection, sought, rows)
        rows = [_scores(connection, word, last, only) for word in sought]
        chosen, total = _best(rows, limit)
    found = int(np.count_nonzero(total))
    return {
        "words": [entry.shown for entry in asked],
        "family": family,
        "found": found,
        "near_too": near_too,
        "parts": _shown(connection, sought, [(int(ident), int(total[ident])) for ident in chosen]),
        "missing": [] if found else _missing(connection, sought, rows),
    }


def _only(connection: Connection, family: str, last: int) -> npt.NDArray[np.bool_] | None:
    """The parts of a family, None where all are asked for."""
    if not family:
        return None
    ids = ids_of(connection, [FAMILY + family])
    row = np.zeros(last + 1, np.bool_)
    for part_ids in _postings(connection, list(ids.values())).values():
        row[part_ids] = True
    return row


def _as_they_stand(connection: Connection, asked: Sequence[Asked]) -> list[_Sought]:
    ids = ids_of(connection, sorted({word for entry in asked for word in entry.readings}))
    return [
        _Sought(
            entry, {ids[word]: Near(word, ids[word], *grade) for word, grade in entry.readings.items() if word in ids}
        )
        for entry in asked
    ]


def _with_near(connection: Connection, sought: Sequence[_Sought], rows: Sequence[Scores]) -> list[_Sought]:
    return [
        _Sought(
            word.asked,
            {near.id: near for near in near_words(connection, word.asked, known=bool(row.any()))} | dict(word.answers),
        )
        for word, row in zip(sought, rows, strict=True)
    ]


def _scores(connection: Connection, sought: _Sought, last: int, only: npt.NDArray[np.bool_] | None) -> Scores:
    """Per cents of every part for one word asked for: of its words that answer it the best counts."""
    row: Scores = np.zeros(last + 1, np.uint8)
    for word, part_ids in sorted(
        _postings(connection, list(sought.answers)).items(), key=lambda entry: sought.answers[entry[0]].score
    ):
        row[part_ids] = sought.answers[word].score
    if sought.asked.part and sought.asked.part <= last and texts_of(connection, [sought.asked.part]):
        row[sought.asked.part] = EXACT
    if only is not None:
        row[~only] = 0
    return row


def _postings(connection: Connection, words: Sequence[int]) -> dict[int, npt.NDArray[np.int64]]:
    """The parts that have each of some words."""
    held: dict[int, tuple[list[int], list[bytes]]] = {}
    for row in _POSTINGS.of_ids(connection, words):
        firsts, offsets = held.setdefault(row["word_id"], ([], []))
        firsts.append(row["first"])
        offsets.append(row["offsets"])
    return {
        word: np.repeat(np.array(firsts, np.int64), [len(packed) // 2 for packed in offsets])
        + np.frombuffer(b"".join(offsets), "<u2")
        for word, (firsts, offsets) in held.items()
    }


def _best(rows: Sequence[Scores], limit: int) -> tuple[npt.NDArray[np.int64], npt.NDArray[np.uint16]]:
    """The first parts in order, and the total of each part, 0 where a word is missing."""
    total: npt.NDArray[np.uint16] = np.zeros(len(rows[0]), np.uint16)
    for row in rows:
        total += row
    for row in rows:
        total[row == 0] = 0
    above = np.cumsum(np.bincount(total, minlength=2)[::-1])[::-1]  # how many have at least that total
    least = max(1, int(np.flatnonzero(above >= limit)[-1])) if above[0] >= limit else 1
    better, equal = np.flatnonzero(total > least), np.flatnonzero(total == least)[:limit]
    order = np.argsort(-total[better].astype(np.int64), kind="stable")
    return np.concatenate([better[order], equal])[:limit], total


def _shown(
    connection: Connection, sought: Sequence[_Sought], chosen: Sequence[tuple[int, int]]
) -> list[dict[str, Any]]:
    ids = [ident for ident, _ in chosen]
    rows, words = texts_of(connection, ids), word_ids(connection, ids)
    return [
        {
            "part": number_of(ident),
            "family": rows[ident]["family"],
            "title": rows[ident]["title"],
            "condition": rows[ident]["condition"],
            "count": rows[ident]["on_hand"],
            "rough": bool(rows[ident]["rough"]),
            "place": rows[ident]["place"] or "",
            "donor": rows[ident]["donor"] or "",
            "score": round(total / (EXACT * len(sought)), 3),
            "matches": [_match(word, rows[ident], words[ident]) for word in sought],
        }
        for ident, total in chosen
    ]


def _match(sought: _Sought, row: Mapping[str, Any], words: Sequence[int]) -> dict[str, str]:
    """Which word of a part answers a word asked for, and where it stands."""
    if sought.asked.part == row["id"]:
        return {
            "asked": sought.asked.shown,
            "matched": number_of(row["id"]),
            "how": "exact",
            "field": "part",
            "text": "",
        }
    answers = [sought.answers[word] for word in words if word in sought.answers]
    best = max(answers, key=lambda near: near.score)
    field, shown = _where(row, best.word)
    text = str(row[field] or "")
    return {"asked": sought.asked.shown, "matched": shown, "how": best.how, "field": field, "text": text}


def _where(row: Mapping[str, Any], word: str) -> tuple[str, str]:
    """The first field of a part that has a word, and the word as it is written there."""
    for field in FIELDS:
        for piece in pieces(str(row[field] or "")):
            if word in piece.words:
                return field, piece.shown
    return "family", row["family"]


def _missing(connection: Connection, sought: Sequence[_Sought], rows: Sequence[Scores]) -> list[dict[str, Any]]:
    """Why nothing was found: for each word how many parts have it, and what may have been meant where none has."""
    told = []
    for word, row in zip(sought, rows, strict=True):
        parts = int(np.count_nonzero(row))
        near = [] if parts else [_said(other) for other in suggestions(connection, word.asked)]
        told.append({"word": word.asked.shown, "parts": parts, "near": near})
    return told


def _said(word: str) -> str:
    """A word of the index for people."""
    if not is_number(word):
        return word
    value, unit = number_of_word(word)
    return say(value, unit or "-")
