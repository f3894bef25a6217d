"""A catalogue looked over: each thing that can be wrong is named with its part, and what follows from the rest is made anew."""

from __future__ import annotations

from datetime import datetime

import pytest
from sqlalchemy import Engine, create_engine, text

from partsbin.stock.acts import Who, measure, move, reserve, scrap
from partsbin.stock.catalogue import shelve
from partsbin.stock.counting import count
from partsbin.stock.draft import draft_from_text
from partsbin.stock.keeping.faults import Fault
from partsbin.stock.keeping.verify import repair, verify
from partsbin.stock.ledger import undo
from partsbin.stock.marking import mark
from partsbin.stock.parts import NewReading
from partsbin.store.engine import reading, writing
from tests.engines import unguard


@pytest.fixture
def shelf(store: Engine, noon: datetime) -> Engine:
    """Three parts to which a good deal was done."""
    who = Who(noon, "ann")
    texts = (("22n 400V film", "capacitor"), ("470k 1/2W", "resistor"), ("16+16uF 450V can", "capacitor"))
    with writing(store) as connection:
        drafts = [draft_from_text(t, family=f, count=5, place="box 1", donor="D-001")[0] for t, f in texts]
        shelve(connection, drafts, at=noon, by="ann")
        measure(connection, 1, [NewReading("capacitance", 21e-9, "F", 1e-10)], who)
        move(connection, 2, "drawer 2", who, pieces=2)
        reserve(connection, 3, 2, who)
        scrap(connection, 3, 1, who)
        mark(connection, 1, "polyester", who)
        count(connection, {2: (9, True)}, who)
        undo(connection, at=noon, by="ann")
    return store


def _faults(engine: Engine) -> list[Fault]:
    with reading(engine) as connection:
        return verify(connection)


def _spoil(engine: Engine, statement: str) -> None:
    """With another program's hand: no trigger and no reference holds it back."""
    careless = create_engine(engine.url)  # in a file of SQLite without our settings references are not looked at
    with careless.begin() as connection:
        unguard(connection)
        connection.execute(text(statement))
    careless.dispose()


def test_a_catalogue_in_use_is_clean(shelf: Engine) -> None:
    """Whatever was done to it by its own acts."""
    assert _faults(shelf) == []


def test_parts_are_counted_as_they_are_looked_at(shelf: Engine) -> None:
    """From none to all of them."""
    told: list[tuple[int, int]] = []
    with reading(shelf) as connection:
        verify(connection, lambda parts, of: told.append((parts, of)))
        parts = connection.execute(text("SELECT count(*) FROM part")).scalar_one()
    assert (told[0], told[-1]) == ((0, parts), (parts, parts))


@pytest.mark.parametrize(
    ("statement", "code", "part"),
    [
        ("UPDATE part SET on_hand = 7 WHERE id = 1", "COUNT", "P-0001"),
        ("UPDATE part SET reserved = 0 WHERE id = 3", "COUNT", "P-0003"),
        ("UPDATE movement SET job_id = 1 WHERE word = 'reserved'", "REFERENCE", ""),
        ("UPDATE part SET place_id = 99 WHERE id = 2", "REFERENCE", ""),
        ("DELETE FROM family_resistor WHERE part_id = 2", "FACTS", "P-0002"),
        ("DELETE FROM option_keys WHERE id / 256 = 2", "KEYS", "P-0002"),
        ("UPDATE option_keys SET value = value * 2 WHERE id / 256 = 1", "KEYS", "P-0001"),
        ("UPDATE option_keys SET promise = promise + 1 WHERE id / 256 = 3", "KEYS", "P-0003"),
        ("DELETE FROM search_text WHERE part_id = 1", "WORDS", "P-0001"),
        ("UPDATE part SET title = 'the good one' WHERE id = 1", "WORDS", "P-0001"),
        ("UPDATE movement SET quantity = 1 WHERE act_id = (SELECT max(id) FROM act)", "UNDO", ""),
    ],
)
def test_what_is_wrong_is_named(shelf: Engine, statement: str, code: str, part: str) -> None:
    """By kind and by part."""
    _spoil(shelf, statement)
    assert (code, part) in {(fault.code, fault.part) for fault in _faults(shelf)}


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE part SET on_hand = 7 WHERE id = 1",
        "UPDATE part SET reserved = 0 WHERE id = 3",
        "DELETE FROM option_keys",
        "UPDATE option_keys SET value = value * 2",
        "UPDATE part SET title = 'the good one' WHERE id = 1",
        "UPDATE search_text SET words = (SELECT words FROM search_text WHERE part_id = 2)",
    ],
)
def test_what_follows_from_the_rest_is_made_anew(shelf: Engine, statement: str) -> None:
    """Afterwards nothing is wrong."""
    _spoil(shelf, statement)
    with writing(shelf) as connection:
        assert repair(connection, verify(connection))
    assert _faults(shelf) == []


def test_what_nobody_can_know_is_not_repaired(shelf: Engine) -> None:
    """Facts that are gone stay gone, and are told."""
    _spoil(shelf, "DELETE FROM family_resistor WHERE part_id = 2")
    with writing(shelf) as connection:
        repair(connection, verify(connection))
    assert ("FACTS", "P-0002") in {(fault.code, fault.part) for fault in _faults(shelf)}
