"""Places as a list, and what lies in one; on both engines."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

import pytest
from sqlalchemy import Engine

from partsbin.stock.acts import Who, scrap
from partsbin.stock.catalogue import shelve
from partsbin.stock.draft import draft_from_text
from partsbin.stock.places import how_much, lying_in, places
from partsbin.store.engine import reading, writing


@pytest.fixture
def shelf(store: Engine, noon: datetime) -> Engine:
    """Five parts in four places, one of them used up."""
    one = draft_from_text("22n 630V", family="capacitor", count=3)[0]
    with writing(store) as connection:
        drafts = [
            replace(one, place=place) for place in ("Drawer 1", "Drawer 1", "box 50%", "drawer 2", "Über dem Tisch")
        ]
        shelve(connection, drafts, at=noon, by="test")
        scrap(connection, 4, 3, Who(noon))
    return store


def test_places_stand_by_name_with_what_lies_there(shelf: Engine) -> None:
    """One that is empty too."""
    with reading(shelf) as connection:
        found, count = places(connection, limit=10)
    assert {each["place"]: (each["parts"], each["pieces"]) for each in found} == {
        "Drawer 1": (2, 6), "box 50%": (1, 3), "drawer 2": (0, 0), "Über dem Tisch": (1, 3),
    }  # fmt: skip
    assert count == 4


@pytest.mark.parametrize(
    ("words", "found"),
    [("DRAWER", {"Drawer 1", "drawer 2"}), ("%", {"box 50%"}), ("Ü", {"Über dem Tisch"}), ("_", set()), ("\\", set())],
)
def test_places_are_looked_for_by_what_their_names_have(shelf: Engine, words: str, found: set[str]) -> None:
    """Sign by sign, large or small; no sign stands for another."""
    with reading(shelf) as connection:
        names, count = places(connection, limit=10, words=words)
    assert ({each["place"] for each in names}, count) == (found, len(found))


def test_a_page_of_places_is_what_stands_there(shelf: Engine) -> None:
    """Of four the second and the third."""
    with reading(shelf) as connection:
        every, _ = places(connection, limit=10)
        found, count = places(connection, limit=2, start=1)
    assert (found, count) == (every[1:3], 4)


def test_what_lies_in_a_place_is_what_is_on_hand(shelf: Engine) -> None:
    """By number, a page at a time."""
    with reading(shelf) as connection:
        assert [each["part"] for each in lying_in(connection, "Drawer 1", limit=1, start=1)] == ["P-0002"]
        assert (how_much(connection, "Drawer 1"), how_much(connection, "drawer 2")) == ((2, 6), (0, 0))
