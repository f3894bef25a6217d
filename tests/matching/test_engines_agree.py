"""A file and a server give the same answers: parts by words with slips, and what may serve a need."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime

import pytest
from sqlalchemy import Engine

from partsbin import families
from partsbin.matching.answer import find
from partsbin.stock.catalogue import shelve
from partsbin.stock.draft import draft_from_text
from partsbin.stock.searching.search import search
from partsbin.store.engine import reading, writing
from tests.engines import new_store, on_server, remove
from tests.families.random_parts import MAKERS, request

pytestmark = on_server
NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)
WORDS = (
    "Waxed",
    "waxed paper",
    "Größe",
    "zeta",
    "Zeta",
    "output trafo",
    "EL84 box",
    "carriage set",
    "_odd%",
    "22n",
    "aa-bb",
    "aa bb",
)
QUESTIONS = (
    "waxd",
    "grosse",
    "zeta",
    "ZETA",
    "trafo EL84",
    "cariage",
    "22 nF",
    "odd%",
    "aa bb",
    "film 400V",
    "drawer 3",
)


@pytest.fixture(scope="module")
def both(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Engine, Engine]]:
    """The same parts, shelved in both."""
    source = random.Random(7)
    drafts = [make(source) for make in MAKERS.values() for _ in range(60)]
    film = draft_from_text("22n 400V film", family="capacitor", count=1)[0]
    drafts += [replace(film, title=words, place=f"drawer {source.randrange(5)}") for words in WORDS]
    pair = tuple(new_store(kind, tmp_path_factory.mktemp(kind)) for kind in ("sqlite", "postgresql"))
    for engine in pair:
        with writing(engine) as connection:
            shelve(connection, drafts, at=NOON)
    yield pair
    for engine in pair:
        remove(engine)


@pytest.mark.parametrize("question", QUESTIONS)
def test_a_question_in_words_has_one_answer(both: tuple[Engine, Engine], question: str) -> None:
    """The same parts in the same order with the same totals, whatever order the server keeps letters in."""
    answers = []
    for engine in both:
        with reading(engine) as connection:
            answers.append(search(connection, question, limit=10))
    assert answers[0] == answers[1]
    assert answers[0]["parts"]


@pytest.mark.parametrize("family", families.names())
def test_a_need_has_one_answer(both: tuple[Engine, Engine], family: str) -> None:
    """To the last figure."""
    for number in range(8):
        answers = []
        for engine in both:
            with reading(engine) as connection:
                answers.append(find(connection, request(random.Random(f"{family}{number}"), family)))
        assert answers[0] == answers[1]
