"""Words that come near: slips of the hand, beginnings and ends; two ranges of an index find every one of them."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import Connection, insert, text

from partsbin.stock.searching import near
from partsbin.stock.searching.near import likeness, near_words, suggestions
from partsbin.stock.searching.words import Asked, asked_of, is_letters
from partsbin.store.engine import open_store
from partsbin.store.statements import Statement
from partsbin.store.tables import SearchWord, table_of
from tests.expected import by_hand


@pytest.fixture(scope="module")
def connection() -> Iterator[Connection]:
    """A catalogue in memory."""
    with open_store("sqlite://").connect() as connection:
        yield connection


def _hold(connection: Connection, *words: str) -> None:
    """Let the catalogue have these words and no others."""
    connection.execute(text("DELETE FROM search_word"))
    rows = [{"id": at, "word": word, "backwards": word[::-1]} for at, word in enumerate(words, 1)]
    if rows:
        connection.execute(insert(table_of(SearchWord)), rows)


@pytest.mark.parametrize(
    ("asked", "word", "score", "how"),
    [
        ("drawer", "drawer", 100, "exact"),
        ("drwaer", "drawer", by_hand(83, "one slip in six letters: 1 - 1/6", of=likeness), "mistyped"),
        ("draer", "drawer", by_hand(83, "one letter of six is missing", of=likeness), "mistyped"),
        ("drawwer", "drawer", by_hand(86, "one letter too many in seven: 1 - 1/7", of=likeness), "mistyped"),
        ("drower", "drawer", by_hand(83, "one wrong letter in six", of=likeness), "mistyped"),
        ("rdawer", "drawer", by_hand(83, "the first two changed over: one slip in six", of=likeness), "mistyped"),
        ("trasformre", "transformer", by_hand(82, "two slips in eleven: 1 - 2/11", of=likeness), "mistyped"),
        ("drewar", "drawer", 0, ""),  # two slips, too short
        (
            "rtanfsormer",
            "transformer",
            by_hand(82, "two slips in eleven, the last three letters right", of=likeness),
            "mistyped",
        ),
        ("rtansformre", "transformer", 0, ""),  # two slips, neither end right
        ("trans", "transformer", 90, "begins"),
        ("tr", "transformer", 0, ""),  # too short for a beginning
        ("trafo", "netztrafo", 70, "ends"),
        ("afo", "netztrafo", 0, ""),  # too short for an end
        ("fuse", "fues", 0, ""),  # too short for a slip
        ("ecl", "ecl86", 90, "begins"),
        ("ecl86", "ecl82", by_hand(80, "one wrong sign in five", of=likeness), "mistyped"),
        ("choke", "chok3", 0, ""),  # letters are no code
    ],
)
def test_how_near_a_word_comes(asked: str, word: str, score: int, how: str) -> None:
    """In per cent of its letters; a beginning counts 90, an end 70."""
    assert likeness(asked, word) == (score, how)


LETTERS = st.text("abcde", min_size=1, max_size=12)
CODES = st.text("ab12", min_size=2, max_size=8).filter(lambda code: not is_letters(code) and not code.isdigit())


@settings(max_examples=200, deadline=None)
@given(words=st.lists(LETTERS | CODES, max_size=40, unique=True), asked=LETTERS | CODES, known=st.booleans())
def test_two_ranges_find_every_word_that_comes_near(
    connection: Connection, words: list[str], asked: str, known: bool
) -> None:
    """Just as if each word of the catalogue had been compared."""
    _hold(connection, *words)
    question = Asked(asked, {asked: (100, "exact")})
    wanted = {
        word: likeness(asked, word) for word in words if len(asked) >= near.LEAST_BEGUN and likeness(asked, word)[0]
    }
    if known and not is_letters(asked):
        wanted = {word: found for word, found in wanted.items() if found[1] != "mistyped"}
    found = {word.word: (word.score, word.how) for word in near_words(connection, question, known=known)}
    assert found == wanted


@settings(max_examples=200, deadline=None)
@given(st.data(), st.text("abcdefgh", min_size=5, max_size=14))
def test_a_word_is_found_with_any_one_slip_in_it(connection: Connection, data: st.DataObject, word: str) -> None:
    """Missing, too many, wrong, changed over; from five letters on."""
    wrong = data.draw(slips_of(word))
    _hold(connection, word)
    assert [found.word for found in near_words(connection, Asked(wrong, {wrong: (100, "exact")}), known=False)] == [
        word
    ]


@st.composite
def slips_of(draw: st.DrawFn, word: str) -> str:
    """Return a word with one slip of the hand."""
    at, letter = draw(st.integers(0, len(word) - 1)), draw(st.sampled_from("abcdefghxyz"))
    kind = draw(st.sampled_from(["missing", "more", "wrong", "over"]))
    head, tail = word[:at], word[at + 1 :]
    return {
        "missing": head + tail,
        "more": head + letter + word[at:],
        "wrong": head + letter + tail,
        "over": word[: at - 1] + word[at] + word[at - 1] + tail if at else word[1] + word[0] + word[2:],
    }[kind]


@pytest.mark.parametrize("statement", [near._BEGUN, near._ENDED], ids=["beginning", "end"])
def test_a_range_is_read_from_an_index_alone(connection: Connection, statement: Statement) -> None:
    """However many words there are."""
    plan = connection.execute(
        text(f"EXPLAIN QUERY PLAN {statement.query}"), {"start": "ab", "stop": "ac", "most": 9}
    ).all()
    assert [("USING COVERING INDEX" in row[-1], "SCAN" in row[-1]) for row in plan] == [(True, False)]


@pytest.mark.parametrize(
    ("asked", "near_ones"),
    [
        ("transfrmatr", ["transformer"]),
        ("ecc8", ["ecc83", "ecc82"]),
        ("wibble", []),
        ("23n", ["=2.2E-8 F", "=4.7E-8 F"]),
        ("23 V", ["=350 V"]),
        ("23 W", []),
        ("0 V", []),
        ("45:1", []),
    ],
)
def test_what_may_have_been_meant(connection: Connection, asked: str, near_ones: list[str]) -> None:
    """The likest words, the nearest values in the same unit; nothing where nothing is like it."""
    _hold(connection, "transformer", "ecc83", "ecc82", "drawer", "=2.2E-8 F", "=4.7E-8 F", "=350 V", "=45:1", "=0.1 %±")
    assert sorted(suggestions(connection, asked_of(asked)[0])) == sorted(near_ones)
