"""Searching the catalogue: every part is found by its words, slips and all; the best total first, as if all had been compared."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from functools import cache
from typing import Any

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from sqlalchemy import Connection, Engine, text

from partsbin.errors import UsageError
from partsbin.families import load
from partsbin.stock.catalogue import Draft, shelve
from partsbin.stock.searching.near import LEAST_BEGUN, likeness
from partsbin.stock.searching.search import search
from partsbin.stock.searching.texts import FIELDS, texts_of
from partsbin.stock.searching.words import EXACT, Asked, asked_of, is_letters, pieces, words_of
from partsbin.store.engine import open_store
from tests.expected import by_hand
from tests.stock.random_drafts import said_drafts
from tests.stock.test_search_near import slips_of

WHEN = datetime(2026, 3, 1, tzinfo=UTC)
ALL = 1000


@cache
def _in_memory() -> Engine:
    return open_store("sqlite://")


@contextmanager
def _shelf(*made: Draft) -> Iterator[Connection]:
    """A connection to a catalogue in memory that holds these parts and is empty again afterwards."""
    with _in_memory().connect() as connection:
        act = connection.begin()
        try:
            shelve(connection, made, at=WHEN)
            yield connection
        finally:
            act.rollback()


def _titled(*titles: str, **more: Any) -> list[Draft]:
    facts = load("capacitor").facts.model_validate({"capacitance": 1e-9})
    return [Draft("capacitor", facts, title=title, **more) for title in titles]


def _found(connection: Connection, question: str, **more: Any) -> list[int]:
    return [int(part["part"][2:]) for part in search(connection, question, **more)["parts"]]


SHELF = (
    *_titled("22 nF 630 V film", maker="Skarrowby", place="drawer C2"),
    *_titled("220 nF 630 V film", note="from the carriage receiver, ends rewaxed"),
    *_titled("output transformer for EL84", donor="D-007", place="box T2"),
    *_titled("Ausgangsübertrager EL84", place="box T1"),
    *_titled("0.022 mfd waxed paper", place="drawer C2"),
)


@pytest.mark.parametrize(
    ("question", "ids"),
    [
        ("22n", [1, 5]),
        ("0.022uF", [1, 5]),
        ("220n", [2]),
        ("0.63kV", [1, 2]),
        ("film 630V 22 nF", [1]),
        ("EL84", [3, 4]),
        ("el84 TRANSFORMER", [3]),
        ("ausgangsuebertrager", [4, 3]),  # as it stands, and what it means
        ("ÜBERTRAGER", [4]),
        ("transfomer", [3]),
        ("skarowby", [1]),
        ("carriage receiver", [2]),
        ("drawer c2", [1, 5]),
        ("box T2", [3]),
        ("D-007", [3]),
        ("d-7", [3]),
        ("P-0002", [2]),
        ("p-2", [2]),
        ("P-0099", []),
        ("Kondensator 22n", [1, 5]),
        ("film paper", []),
        ("23n", []),
        ("wibble", []),
    ],
)
def test_a_question_finds_its_parts(question: str, ids: list[int]) -> None:
    """Words of any text in any order, all of them wanted, numbers as numbers."""
    with _shelf(*SHELF) as connection:
        assert _found(connection, question) == ids


@settings(max_examples=100, deadline=None)
@given(st.data(), st.lists(said_drafts(), min_size=1, max_size=4))
def test_every_part_is_found_by_each_of_its_words(data: st.DataObject, made: list[Draft]) -> None:
    """Of whatever text, as it is written there."""
    with _shelf(*made) as connection:
        ident, row = data.draw(st.sampled_from(sorted(texts_of(connection, range(1, 5)).items())))
        said = [piece.shown for field in FIELDS for piece in pieces(str(row[field] or ""))]
        assert ident in _found(connection, data.draw(st.sampled_from(said)), limit=ALL)


@settings(max_examples=100, deadline=None)
@given(st.data(), st.lists(said_drafts(), min_size=1, max_size=4))
def test_every_part_is_found_by_a_word_with_one_slip(data: st.DataObject, made: list[Draft]) -> None:
    """From five letters on; beside it another word of the part, as it is."""
    with _shelf(*made) as connection:
        ident, row = data.draw(st.sampled_from(sorted(texts_of(connection, range(1, 5)).items())))
        words = {word for field in FIELDS for word in words_of(str(row[field] or ""))}
        long = sorted(word for word in words if is_letters(word) and len(word) >= 5)
        wrong = data.draw(st.sampled_from(long).flatmap(slips_of))
        assert ident in _found(connection, f"{wrong} {row['family']}", limit=ALL)


WORDS = ("trafo", "netztrafo", "transformer", "transfomer", "tranformers", "ecc83", "ecc82", "ecl86", "ecl", "box", "boxes", "22n",
         "0.022uF", "22", "250V", "250", "6V6", "R7", "16-8")  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(
    st.lists(st.lists(st.sampled_from(WORDS), min_size=1, max_size=4).map(" ".join), min_size=1, max_size=12),
    st.lists(st.sampled_from(WORDS) | st.sampled_from(WORDS).flatmap(slips_of), min_size=1, max_size=3).map(" ".join),
    st.integers(1, 12),
)
def test_the_first_parts_are_those_of_comparing_every_part(titles: list[str], question: str, limit: int) -> None:
    """In the order of their totals, equals by number: nothing is lost by looking only at some words."""
    assume(asked_of(question))
    wanted = [(_total(title, question, titles), -at) for at, title in enumerate(titles, 1)]
    with _shelf(*_titled(*titles)) as connection:
        found = search(connection, question, limit=limit)
    first = sorted((entry for entry in wanted if entry[0]), reverse=True)[:limit]
    assume(first or found["words"] == [entry.shown for entry in asked_of(question)])  # else it was asked otherwise
    assert [(part["score"], -int(part["part"][2:])) for part in found["parts"]] == first


def _total(title: str, question: str, titles: list[str]) -> float:
    """The mean over the words asked for of the best word that a title has."""
    every = {word for other in titles for word in _title_words(other)}
    scores = [
        max((_score(asked, word, every) for word in _title_words(title)), default=0) for asked in asked_of(question)
    ]
    return round(sum(scores) / (EXACT * len(scores)), 3) if all(scores) else 0.0


def _title_words(title: str) -> list[str]:
    return [*words_of(title), "capacitor", "/capacitor"]


def _score(asked: Asked, word: str, every: set[str]) -> int:
    if word in asked.readings:
        return asked.readings[word][0]
    wanted = asked.letters or asked.code or asked.figures
    if len(wanted) < LEAST_BEGUN or word[0] in "=/":
        return 0
    score, how = likeness(wanted, word)
    known_code = asked.code and every.intersection(asked.readings)
    return 0 if how == "mistyped" and (known_code or asked.figures) else score


def test_what_stands_as_asked_comes_before_what_is_near() -> None:
    """And says how each is near; equals stand in the order of their numbers."""
    with _shelf(*_titled("netztrafo", "trafos", "trafo", "trafo red", "tarfo")) as connection:
        found = search(connection, "trafo")
    assert [(part["part"], part["score"], part["matches"][0]["how"]) for part in found["parts"]] == [
        ("P-0003", 1.0, "exact"),
        ("P-0004", 1.0, "exact"),
        ("P-0002", 0.9, "begins"),
        ("P-0005", by_hand(0.8, "one slip in five letters: 1 - 1/5", of=search), "mistyped"),
        ("P-0001", 0.7, "ends"),
    ]


def test_a_match_says_which_word_of_which_text_it_was() -> None:
    """As it is written there; the plainest text stands first."""
    with _shelf(*SHELF) as connection:
        found = search(connection, "reciever 0.22uF")
    assert found["parts"][0]["matches"] == [
        {
            "asked": "reciever",
            "matched": "receiver",
            "how": "mistyped",
            "field": "note",
            "text": "from the carriage receiver, ends rewaxed",
        },
        {"asked": "0.22uF", "matched": "220 nF", "how": "exact", "field": "title", "text": "220 nF 630 V film"},
    ]


def test_a_bare_number_finds_the_quantity_and_ranks_it_below_itself() -> None:
    """The unit was not given, on one side or the other."""
    with _shelf(*_titled("630 V", "630", "630 W can", "63 V")) as connection:
        assert [(part["part"], part["score"]) for part in search(connection, "630")["parts"]] == [
            ("P-0002", 1.0),
            ("P-0001", 0.85),
            ("P-0003", 0.85),
        ]
        assert _found(connection, "630V") == [1, 2]


def test_a_code_is_not_taken_for_another_one_that_is_there() -> None:
    """An ECC83 is wanted, not an ECC82; only where no part has one may it have been a slip."""
    with _shelf(*_titled("ECC82", "ECC83", "ECC83S")) as connection:
        assert _found(connection, "ECC83") == [2, 3]
        assert _found(connection, "ECC84") == [1, 2]


def test_a_family_alone_is_searched_where_it_is_asked_for() -> None:
    """Also where another family's part has the word."""
    output = Draft(
        "transformer", load("transformer").facts.model_validate({"kind": "output"}), title="waxed, with a capacitor"
    )
    with _shelf(*_titled("waxed"), output) as connection:
        assert _found(connection, "waxed") == [1, 2]
        assert _found(connection, "waxed", family="transformer") == [2]
        assert _found(connection, "waxed", family="capacitor") == [1]
        assert _found(connection, "output", family="resistor") == []


def test_the_first_ones_are_shown_and_all_are_counted() -> None:
    """Near ones too where those that stand as asked are too few to fill the list."""
    with _shelf(*_titled(*["drawer"] * 5, *["drawers"] * 3)) as connection:
        few, many = (search(connection, "drawer", limit=limit) for limit in (2, 7))
    assert (_ids(few), few["found"], few["near_too"]) == ([1, 2], 5, False)
    assert (_ids(many), many["found"], many["near_too"]) == ([1, 2, 3, 4, 5, 6, 7], 8, True)


def _ids(found: dict[str, Any]) -> list[int]:
    return [int(part["part"][2:]) for part in found["parts"]]


def test_nothing_found_says_why() -> None:
    """How many parts have each word, and what may have been meant by one that stands nowhere."""
    with _shelf(*SHELF) as connection:
        assert search(connection, "drawer filn wibble")["missing"] == [
            {"word": "drawer", "parts": 2, "near": []},
            {"word": "filn", "parts": 0, "near": ["film"]},
            {"word": "wibble", "parts": 0, "near": []},
        ]
        assert search(connection, "21n")["missing"] == [{"word": "21n", "parts": 0, "near": ["22 nF", "0.22 µF"]}]


@pytest.mark.parametrize("question", ["", "  ", "?!", "2 off"])
def test_a_question_without_a_word_is_refused(question: str) -> None:
    """Quoted, with an example."""
    with _shelf() as connection, pytest.raises(UsageError, match="holds no word to search for"):
        search(connection, question)


OTHERWISE = (
    *_titled("ECC83, boxed"),
    *_titled("0.1 µF 630 V film-polypropylene", place="drawer E1"),
    *_titled("47 µF 450 V electrolytic", donor="D-007"),
    *_titled("fuse T500mAL 250 V AC 5x20 mm"),
    *_titled("IF transformer 465 kHz"),
    *_titled("1N4007"),
)


@pytest.mark.parametrize(
    ("question", "ids"),
    [
        ("ECC 83", [1]),
        ("ecc-83", [1]),
        ("12AX7", [1]),
        ("filmpolypropylene 100n", [2]),
        ("PP .1", [2]),
        ("P2", [2]),
        ("Elko 450V", [3]),
        ("elektrolit 450V", [3]),
        ("D007", [3]),
        ("D 7", [3]),
        ("condensor 47u", [3]),
        ("500mA", [4]),
        ("T500mA", [4]),
        ("465", [5]),
        ("4007", [6]),
        ("ECC 82", []),
        ("D008", []),
        ("P9", []),
    ],
)
def test_words_torn_apart_run_together_or_of_another_name_are_found(question: str, ids: list[int]) -> None:
    """As people type them; what stands nowhere either way stays unfound."""
    with _shelf(*OTHERWISE) as connection:
        assert _found(connection, question) == ids


def test_what_stands_there_as_typed_is_not_taken_otherwise() -> None:
    """A shelf that holds both words of ECC 83 apart answers with them."""
    with _shelf(*_titled("ECC 83 box", "ECC83")) as connection:
        assert _found(connection, "box 83 ECC") == [1]


def test_a_valve_under_its_other_name_is_said_to_be_meant() -> None:
    """So that nobody wonders why ECC83 answers 12AX7."""
    with _shelf(*OTHERWISE) as connection:
        (match,) = search(connection, "12AX7")["parts"][0]["matches"]
    assert (match["asked"], match["matched"], match["how"]) == ("12AX7", "ECC83", "means")


def test_an_empty_catalogue_has_nothing() -> None:
    """And no fault."""
    with _shelf() as connection:
        assert search(connection, "EL84 P-0001")["missing"] == [
            {"word": "EL84", "parts": 0, "near": []},
            {"word": "P-0001", "parts": 0, "near": []},
        ]


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=200))
def test_any_question_is_answered_or_refused_in_words(question: str) -> None:
    """Whatever is pasted."""
    with _shelf(*SHELF) as connection:
        if asked_of(question):
            assert search(connection, question)["found"] >= 0
        else:
            with pytest.raises(UsageError, match="holds no word"):
                search(connection, question)


def test_postings_are_read_from_their_table_by_key() -> None:
    """However many there are."""
    with _shelf() as connection:
        plan = connection.execute(
            text("EXPLAIN QUERY PLAN SELECT word_id, first, offsets FROM search_posting WHERE word_id IN (1, 2)")
        ).all()
    assert ["USING PRIMARY KEY" in row[-1] for row in plan] == [True]
