"""Searching titles with typos: ours beside rapidfuzz over every title, and beside the same total worked out without an index.

``python -m tests.bench.searches`` prints it alone. Two lists of titles, invented and seeded: ``shelf`` has the titles that parts
of the other benchmarks get, each many times; ``messy`` has words of an invented language, few of them often, values in any
notation, part numbers that occur once, slips. A question is some words of a title that is there, one of them mistyped in every
second question.

The others: rapidfuzz's `process.extract` with a scorer of its own over all titles in memory is what the time is held
against. It compares figures as letters, so its answer may differ by intent. The first ten are held against our own total,
worked out for every title from every word: no index, no stopping early; part by part, equals in the order of their numbers.
"""

from __future__ import annotations

import random
import shutil
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt
from rapidfuzz import fuzz, process
from sqlalchemy import Engine, insert

from partsbin.families import load
from partsbin.stock.searching.index import index_parts
from partsbin.stock.searching.near import LEAST_BEGUN, likeness
from partsbin.stock.searching.search import search
from partsbin.stock.searching.words import EXACT, FAMILY, NUMBER, Asked, asked_of, pieces, words_of
from partsbin.stock.shelf import number_of
from partsbin.store.engine import open_store, reading, writing
from partsbin.store.tables import Part, table_of
from tests.bench import rows
from tests.bench.catalogue import CHUNK, WORK, drafts
from tests.bench.measure import Runs

KINDS = ("shelf", "messy")
FIRST = 10
VOCABULARY, NEW_WORD, SLIPS = 20_000, 0.01, 0.02
_SYLLABLES = [
    a + b for a in ("b", "d", "f", "gr", "k", "l", "m", "n", "p", "r", "s", "st", "t", "tr", "v") for b in "aeiou"
]


@dataclass(frozen=True)
class Titles:
    """A list of titles, and a catalogue of parts that have them in this order."""

    kind: str
    titles: list[str]
    engine: Engine
    seconds: float
    """What writing the words took [s]."""
    bare: float
    """What writing the same rows with a bare `executemany` took [s]."""


def titles(kind: str, size: int) -> list[str]:
    """Return titles of one kind."""
    if kind == "shelf":
        table = rows.catalogue("realistic", size)
        return [draft.title or load(draft.family).title(draft.facts) for draft in drafts(table, 0, size)]
    return list(_messy(random.Random(f"{rows.SEED} {size}"), size))


def _messy(rng: random.Random, size: int) -> Sequence[str]:
    words = ["".join(rng.choices(_SYLLABLES, k=rng.randint(2, 5))) for _ in range(VOCABULARY)]
    weights = np.cumsum([1 / (rank + 5) for rank in range(VOCABULARY)]).tolist()
    made = []
    for _ in range(size):
        some = rng.choices(words, cum_weights=weights, k=rng.randint(2, 6))
        some = [slipped(rng, word) if rng.random() < SLIPS else word for word in some]
        if rng.random() < 0.7:
            some.insert(rng.randint(0, len(some)), _value(rng))
        if rng.random() < 0.5:
            some.append(rng.choice(("63V", "250 V", "400V", "0.4kV", "630 V DC", "1 kV")))
        if rng.random() < 0.3:
            some.append(f"{rng.choice('ABCDEFGH')}{rng.choice('KLMXYZ')}{rng.randint(1000, 99_999)}")
        if rng.random() < NEW_WORD:
            some.append("".join(rng.choices(_SYLLABLES, k=rng.randint(3, 6))))
        made.append(" ".join(word.capitalize() if rng.random() < 0.3 else word for word in some))
    return made


def _value(rng: random.Random) -> str:
    figure, decade = rng.choice((10, 15, 22, 33, 47, 68)), rng.choice((0, 1, 2))
    number = figure * 10**decade
    return rng.choice(
        (f"{number}n", f"{number / 1000:g}uF", f"{number} pF", f"{number}k", f"{number / 1000:g} µF", f"{number}R")
    )


def slipped(rng: random.Random, word: str) -> str:
    """Return a word with one slip of the hand: a letter missing, doubled, wrong, or two changed over."""
    at = rng.randrange(len(word) - 1)
    return rng.choice(
        (
            word[:at] + word[at + 1 :],
            word[:at] + word[at] + word[at:],
            word[:at] + rng.choice("abdeilnorstu") + word[at + 1 :],
            word[:at] + word[at + 1] + word[at] + word[at + 2 :],
        )
    )


def made(kind: str, size: int) -> Titles:
    """Return titles with their catalogue, new each time: making it is measured too."""
    listed = titles(kind, size)
    WORK.mkdir(exist_ok=True)
    folder = Path(tempfile.mkdtemp(prefix=f"search-{kind}.", dir=WORK))
    engine = open_store(folder / "catalogue.sqlite")
    part = table_of(Part)
    seconds = 0.0
    for start in range(0, size, CHUNK):
        some = listed[start : start + CHUNK]
        fields = [{"id": start + at + 1, "family": "capacitor", "title": title} for at, title in enumerate(some)]
        with writing(engine) as connection:
            connection.execute(insert(part), fields)
            began = time.perf_counter()
            index_parts(connection, range(start + 1, start + len(some) + 1))
            seconds += time.perf_counter() - began
    return Titles(kind, listed, engine, seconds, _bare(engine, folder / "bare.sqlite"))


def _bare(engine: Engine, copy: Path) -> float:
    """Write the rows of the three tables of words once more, as a driver would that had them ready."""
    names = ("search_word", "search_posting", "search_text")
    other = open_store(copy)
    with reading(engine) as connection:
        ready = {name: [tuple(row) for row in connection.exec_driver_sql(f"SELECT * FROM {name}")] for name in names}
    began = time.perf_counter()
    with writing(other) as connection:
        for name, listed in ready.items():
            marks = ", ".join("?" * len(listed[0]))
            connection.exec_driver_sql(f"INSERT INTO {name} VALUES ({marks})", listed)
    took = time.perf_counter() - began
    other.dispose()
    return took


def dropped(found: Titles) -> None:
    """Remove a catalogue's files."""
    path = found.engine.url.database
    found.engine.dispose()
    if path:
        shutil.rmtree(Path(path).parent)


def questions(found: Titles, n: int) -> list[str]:
    """Return questions: two to four words of a title that is there, in any order, in every second one a slip."""
    rng = random.Random(f"{rows.SEED} {found.kind}")
    asked: list[str] = []
    while len(asked) < n:
        words = [piece.shown for piece in pieces(rng.choice(found.titles)) if len(piece.shown) > 1]
        long = [word for word in words if len(word) >= 5 and word.isalpha()]
        if len(words) < 2 or not long:
            continue
        some = rng.sample(words, min(len(words), rng.randint(2, 4)))
        if len(asked) % 2:
            wrong = rng.choice(long)
            some = [slipped(rng, wrong), *(word for word in some if word != wrong)]
        asked.append(" ".join(some))
    return asked


def by_rapidfuzz(found: Titles, scorer: Callable[..., float]) -> Callable[[str], object]:
    """Return the question put to rapidfuzz: every title, lower case made beforehand at nobody's cost."""
    lowered = [title.lower() for title in found.titles]
    return lambda question: process.extract(question.lower(), lowered, scorer=scorer, limit=FIRST)


SAME_TOTAL = "the same total"
SCORERS = {"token_set_ratio": fuzz.token_set_ratio, "WRatio": fuzz.WRatio}


@dataclass(frozen=True)
class Compared:
    """What one list of titles showed.

    Parameters
    ----------
    ours : Runs
        One question a run.
    theirs : mapping of str to Runs
        The same by rapidfuzz over all titles, by the name of its scorer; `SAME_TOTAL` is ours, without an index.
    same, asked : int
        Questions whose first ten were the same, of how many [-].
    distinct : int
        Different titles [-].
    seconds, bare : float
        What writing the words took, and what a bare `executemany` of the same rows took [s].
    """

    ours: Runs
    theirs: dict[str, Runs]
    same: int
    asked: int
    distinct: int
    seconds: float
    bare: float


def compared(kind: str, size: int, asked: int = 100, timed: int = 11) -> Compared:
    """Return how long questions take and whether their first ten are those of comparing every title.

    The first `timed` questions are put to rapidfuzz as well: it takes a second for each, whatever is asked.
    """
    found = made(kind, size)
    put = questions(found, asked)
    try:
        with reading(found.engine) as connection:
            search(connection, put[0], limit=FIRST)  # opens files and fills caches, at nobody's cost
            ours, first = _timed(lambda question: search(connection, question, limit=FIRST), put)
        theirs = {name: _timed(by_rapidfuzz(found, scorer), put[:timed])[0] for name, scorer in SCORERS.items()}
        hand = ByHand(found)
        theirs[SAME_TOTAL], totals = _timed(hand.first, put)
        same = sum(_parts(answer) == total for answer, total in zip(first, totals, strict=True))
    finally:
        dropped(found)
    return Compared(ours, theirs, same, asked, len(set(found.titles)), found.seconds, found.bare)


def _parts(answer: dict[str, Any]) -> list[tuple[str, float]]:
    return [(part["part"], part["score"]) for part in answer["parts"]]


def _timed(ask: Callable[[str], Any], put: Sequence[str]) -> tuple[Runs, list[Any]]:
    seconds, answers = [], []
    for question in put:
        began = time.perf_counter()
        answers.append(ask(question))
        seconds.append(time.perf_counter() - began)
    return Runs(tuple(seconds)), answers


class ByHand:
    """Our own total for every title: each distinct word compared, nothing skipped."""

    def __init__(self, found: Titles) -> None:
        numbers: dict[str, int] = {}
        flat: list[int] = []
        starts: list[int] = []
        for title in found.titles:
            starts.append(len(flat))
            flat += [numbers.setdefault(word, len(numbers)) for word in (*words_of(title), "capacitor")]
        self.words, self.flat, self.starts = list(numbers), np.array(flat), np.array(starts)

    def first(self, question: str) -> list[tuple[str, float]]:
        """Return the ten parts with the best totals, of those that answer every word."""
        each = [np.maximum.reduceat(self._scores(asked)[self.flat], self.starts) for asked in asked_of(question)]
        total = np.sum(each, axis=0) * np.all(each, axis=0)
        order = np.argsort(-total, kind="stable")[:FIRST].tolist()
        return [(number_of(at + 1), round(float(total[at]) / (EXACT * len(each)), 3)) for at in order if total[at]]

    def _scores(self, asked: Asked) -> npt.NDArray[np.int64]:
        known = any(word in asked.readings for word in self.words)
        return np.array([_score(asked, word, known) for word in self.words])


def _score(asked: Asked, word: str, known: bool) -> int:
    if word in asked.readings:
        return asked.readings[word][0]
    text = asked.letters or asked.code
    if len(text) < LEAST_BEGUN or word[0] in (NUMBER, FAMILY):
        return 0
    score, how = likeness(text, word)
    return 0 if known and asked.code and how == "mistyped" else score


def lines(kind: str, size: int, asked: int = 100) -> list[str]:
    """Return the comparison as lines."""
    found = compared(kind, size, asked)
    return [
        f"search, {size:,} {kind} titles, {found.distinct:,} distinct: {found.ours}",
        *(
            f"    over all titles, {name}: {runs}, {runs.median / found.ours.median:.0f} × ours"
            for name, runs in found.theirs.items()
        ),
        f"    first {FIRST} the same as by comparing all: {found.same} of {found.asked}",
        f"    writing the words {found.seconds:.1f} s, a bare executemany of the rows {found.bare:.1f} s",
    ]


if __name__ == "__main__":
    for kind in KINDS:
        print("\n".join(lines(kind, int(sys.argv[1]) if len(sys.argv) > 1 else 1_000_000)), flush=True)
