"""The words of parts: written with them, following every change in the same transaction, rebuilt the same."""

from __future__ import annotations

import struct
from collections import defaultdict
from datetime import UTC, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import Connection, Engine, delete, select, text, update

from partsbin.families import load
from partsbin.stock.catalogue import BATCH, Draft, shelve
from partsbin.stock.searching.index import AT_ONCE, SPAN, complete, index_parts, rebuild
from partsbin.stock.searching.texts import is_complete
from partsbin.stock.searching.words import words_of
from partsbin.store.engine import open_store, reading, writing
from partsbin.store.tables import Donor, Part, Place, SearchPosting, SearchText, SearchWord, table_of
from tests.engines import ENGINES, shown, undone, unguard
from tests.stock.random_drafts import drafts, said_drafts

WHEN = datetime(2026, 3, 1, tzinfo=UTC)
PART, WORD, POSTING, TEXT = (table_of(model) for model in (Part, SearchWord, SearchPosting, SearchText))


def _film(**more: str) -> Draft:
    facts = load("capacitor").facts.model_validate({"capacitance": 22e-9, "voltage_dc": 400.0})
    return Draft("capacitor", facts, **more)  # type: ignore[arg-type]


def _by_text(connection: Connection) -> dict[int, set[str]]:
    """The words of each part, as its own row names them."""
    words = dict(connection.execute(select(WORD.c.id, WORD.c.word)).all())
    return {
        ident: {words[word] for word in struct.unpack(f"<{len(packed) // 4}I", packed)}
        for ident, packed in connection.execute(select(TEXT.c.part_id, TEXT.c.words))
    }


def _by_word(connection: Connection) -> dict[int, set[str]]:
    """The words of each part, as the postings of the words name it."""
    words = dict(connection.execute(select(WORD.c.id, WORD.c.word)).all())
    found: dict[int, set[str]] = defaultdict(set)
    for word, first, packed in connection.execute(select(POSTING.c.word_id, POSTING.c.first, POSTING.c.offsets)):
        for offset in struct.unpack(f"<{len(packed) // 2}H", packed):
            assert words[word] not in found[first + offset], "a part stands twice under a word"
            found[first + offset].add(words[word])
    return dict(found)


def _wanted(connection: Connection) -> dict[int, set[str]]:
    """The words that each part should have, read from its texts one by one."""
    joined = "FROM part LEFT JOIN place ON place.id = place_id LEFT JOIN donor ON donor.id = donor_id"
    texts = "title, marking, maker, part.note, condition, family, date_code, lead_style, year, place.name, donor.code, donor.name"
    return {
        ident: {word for said in row if said for word in words_of(str(said))} | {f"/{family}"}
        for ident, family, *row in connection.execute(text(f"SELECT part.id, family, {texts} {joined}"))
    }


def _agrees(connection: Connection) -> None:
    assert _by_text(connection) == _wanted(connection)
    assert _by_word(connection) == _wanted(connection)


@pytest.mark.parametrize("kind", ENGINES)
@settings(max_examples=40, deadline=None)
@given(st.lists(drafts(), min_size=1, max_size=6))
def test_every_text_of_a_part_is_held(kind: str, made: list[Draft]) -> None:
    """Title, marking, maker, place, donor, note and the rest, under the part and under each word."""
    with undone(kind) as connection:
        shelve(connection, made, at=WHEN)
        _agrees(connection)


CHANGES = st.lists(
    st.tuples(
        st.integers(1, 6),
        st.sampled_from(["title", "marking", "maker", "note"]),
        st.sampled_from(["", "waxed paper", "Waxed 22n", "22 nF 400 V", "box", "EL84 box"]),
    ),
    max_size=8,
)


@pytest.mark.parametrize("kind", ENGINES)
@settings(max_examples=60, deadline=None)
@given(st.lists(said_drafts(), min_size=6, max_size=6), CHANGES)
def test_words_follow_every_change(kind: str, made: list[Draft], changes: list[tuple[int, str, str]]) -> None:
    """Whatever is written, in whatever order: what is gone is found no more."""
    with undone(kind) as connection:
        ids = shelve(connection, made, at=WHEN)
        for which, field, said in changes:
            ident = ids[which - 1]
            connection.execute(update(PART).where(PART.c.id == ident).values({field: said}))
            index_parts(connection, [ident])
        _agrees(connection)


@pytest.mark.parametrize("kind", ENGINES)
@settings(max_examples=30, deadline=None)
@given(st.lists(said_drafts(), min_size=1, max_size=6), CHANGES)
def test_rebuilding_gives_the_same_words(kind: str, made: list[Draft], changes: list[tuple[int, str, str]]) -> None:
    """As the changes one by one had given; words that no part has any more are gone."""
    with undone(kind) as connection:
        ids = shelve(connection, made, at=WHEN)
        for which, field, said in changes:
            connection.execute(update(PART).where(PART.c.id == which).values({field: said}))
        index_parts(connection, ids)
        before = _by_text(connection), _by_word(connection)
        assert rebuild(connection) == len(ids)
        assert (_by_text(connection), _by_word(connection)) == before
        held = set(connection.execute(select(WORD.c.word)).scalars())
        assert held == {word for words in before[0].values() for word in words}


@pytest.mark.sqlite  # a server numbers the words on
def test_rebuilding_twice_gives_the_same_rows(store: Engine) -> None:
    """To the byte."""
    with writing(store) as connection:
        shelve(connection, [_film(note="from the loft"), _film(place="box T2"), _film(title="waxed")], at=WHEN)
        rows = []
        for _ in range(2):
            rebuild(connection)
            rows.append([connection.execute(select(table)).all() for table in (WORD, POSTING, TEXT)])
    assert rows[0] == rows[1]


def test_a_change_that_is_undone_takes_its_words_back(store: Engine) -> None:
    """They are of the part's own transaction."""

    class FaultError(Exception):
        """Something goes wrong after the part was written."""

    def act() -> None:
        with writing(store) as connection:
            shelve(connection, [_film()], at=WHEN)
            raise FaultError

    with pytest.raises(FaultError):
        act()
    with reading(store) as connection:
        assert (_by_text(connection), _by_word(connection)) == ({}, {})


def test_a_part_that_moves_or_whose_donor_is_named_is_found_there(store: Engine) -> None:
    """The words of a place and of a donor are those of the parts."""
    with writing(store) as connection:
        ids = shelve(connection, [_film(place="box T2", donor="D-001")], at=WHEN)
        connection.execute(update(table_of(Place)).values(name="drawer E4"))
        connection.execute(update(table_of(Donor)).values(name="signal box intercom"))
        index_parts(connection, ids)
        _agrees(connection)
        assert {"drawer", "e4", "intercom"} <= _by_word(connection)[ids[0]]


def test_a_part_that_is_gone_loses_its_words(store: Engine) -> None:
    """In both directions."""
    with writing(store) as connection:
        ids = shelve(connection, [_film(title="one"), _film(title="two")], at=WHEN)
        unguard(connection)
        for child in ("movement", "family_capacitor"):
            connection.execute(text(f"DELETE FROM {child} WHERE part_id = {ids[0]}"))
        connection.execute(delete(PART).where(PART.c.id == ids[0]))
        index_parts(connection, ids)
        _agrees(connection)


def test_many_parts_share_rows(store: Engine) -> None:
    """One row a word for those written together, so that a common word stays cheap."""
    with writing(store) as connection:
        shelve(connection, [_film()] * (BATCH + 10), at=WHEN)
        rows = dict(
            connection.execute(
                select(WORD.c.word, POSTING.c.offsets).join(POSTING, POSTING.c.word_id == WORD.c.id)
            ).all()
        )
    assert {len(offsets) // 2 for offsets in rows.values()} == {BATCH + 10}
    assert AT_ONCE <= SPAN


def test_ids_far_apart_stand_in_rows_of_their_own(store: Engine) -> None:
    """An offset has 16 bits."""
    far = (1, SPAN, SPAN + 1, 5 * SPAN)
    with writing(store) as connection:
        for ident in far:
            connection.execute(PART.insert(), [{"id": ident, "family": "capacitor", "title": "waxed"}])
        index_parts(connection, far)
        _agrees(connection)
        firsts = connection.execute(
            select(POSTING.c.first).join(WORD, WORD.c.id == POSTING.c.word_id).where(WORD.c.word == "waxed")
        )
        assert sorted(firsts.scalars()) == [1, SPAN + 1, 5 * SPAN]
        connection.execute(update(PART).where(PART.c.id == SPAN).values(title="moulded"))
        index_parts(connection, [SPAN])
        _agrees(connection)


def _that_lost_its_words(store: Engine, **said: str) -> None:
    """Let a catalogue look as a version before words left it."""
    with writing(store) as connection:
        shelve(connection, [_film(**said)], at=WHEN)
        for table in (POSTING, TEXT, WORD):
            connection.execute(text(f"DROP TABLE {table.name}"))


def test_a_catalogue_of_the_version_before_gets_its_words(store: Engine) -> None:
    """Tables and words."""
    _that_lost_its_words(store, note="from the loft")
    with reading(store) as connection:
        assert not is_complete(connection)
    complete(store)
    with reading(store) as connection:
        assert is_complete(connection)
        _agrees(connection)


def test_such_a_catalogue_is_known_after_something_new_was_shelved(store: Engine) -> None:
    """The new part has words, the old ones have none yet."""
    _that_lost_its_words(store)
    again = open_store(shown(store.url))
    with writing(again) as connection:
        shelve(connection, [_film()], at=WHEN)
        assert not is_complete(connection)
    complete(again)
    with reading(again) as connection:
        _agrees(connection)
    again.dispose()


def test_a_catalogue_that_has_its_words_is_left_alone(store: Engine) -> None:
    """Completing looks, and writes nothing."""
    with writing(store) as connection:
        shelve(connection, [_film()], at=WHEN)
        connection.execute(update(WORD).where(WORD.c.word == "capacitor").values(word="as it was"))
    complete(store)
    with reading(store) as connection:
        assert connection.execute(select(WORD.c.id).where(WORD.c.word == "as it was")).all() != []
