"""Photographs in the catalogue: kept, counted, taken back, carried along; on both engines."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path

import pytest
from sqlalchemy import Engine

from partsbin.errors import RefusedError, UsageError
from partsbin.stock.acts import Who, move
from partsbin.stock.catalogue import shelve
from partsbin.stock.draft import draft_from_text
from partsbin.stock.parts import Draft
from partsbin.stock.photographs import LONGEST, how_many, keep, photographs_of, picture_of, take_back
from partsbin.stock.pictures import Picture
from partsbin.stock.portrait import portrait, portrait_text
from partsbin.store.copies import copy_to
from partsbin.store.engine import open_store, reading, writing

PICTURE = Picture(b"large", b"small", 40, 20)


@pytest.fixture
def who(noon: datetime) -> Who:
    """Somebody at the bench."""
    return Who(noon, "bench")


def draft() -> Draft:
    """A capacitor."""
    return draft_from_text("22n 630V", family="capacitor")[0]


@pytest.fixture
def shelf(store: Engine, noon: datetime) -> Engine:
    """A catalogue with two parts."""
    with writing(store) as connection:
        shelve(connection, [draft(), draft()], at=noon, by="test")
    return store


def test_a_photograph_comes_back_as_it_was_kept(shelf: Engine, who: Who) -> None:
    """In both sizes, for its own part alone."""
    with writing(shelf) as connection:
        number = keep(connection, 1, PICTURE, who, caption=" the band ")
        assert photographs_of(connection, 1)[0]["caption"] == "the band"
        found = [picture_of(connection, 1, number), picture_of(connection, 1, number, small=True)]
        assert (found, picture_of(connection, 2, number)) == ([b"large", b"small"], None)


def test_one_that_was_taken_back_says_by_whom_and_counts_no_more(shelf: Engine, who: Who) -> None:
    """It is still listed."""
    with writing(shelf) as connection:
        number = keep(connection, 1, PICTURE, who)
        take_back(connection, 1, number, replace(who, by="other"))
        (entry,) = photographs_of(connection, 1)
        assert (entry["valid"], entry["taken_back_by"], how_many(connection, 1)) == (False, "other", 0)


def test_a_photograph_is_taken_back_once_and_of_its_own_part(shelf: Engine, who: Who) -> None:
    """Anything else is refused."""
    with writing(shelf) as connection:
        number = keep(connection, 1, PICTURE, who)
        with pytest.raises(RefusedError, match="P-0002 has no photograph"):
            take_back(connection, 2, number, who)
        take_back(connection, 1, number, who)
        with pytest.raises(RefusedError, match="P-0001 has no photograph"):
            take_back(connection, 1, number, who)


def test_more_than_is_kept_is_not_said_of_one(shelf: Engine, who: Who) -> None:
    """The limit is told."""
    with writing(shelf) as connection, pytest.raises(UsageError, match=f"at most {LONGEST}"):
        keep(connection, 1, PICTURE, who, caption="x" * (LONGEST + 1))


def test_what_a_supplier_offers_has_no_photographs_and_is_not_moved(store: Engine, who: Who) -> None:
    """None of it lies here, and the supplier's next list replaces it."""
    with writing(store) as connection:
        (ident,) = shelve(connection, [replace(draft(), origin="offered", count=0)], at=who.at, by="test")
        with pytest.raises(RefusedError, match="what a supplier offers"):
            keep(connection, ident, PICTURE, who)
        with pytest.raises(RefusedError, match="what a supplier offers"):
            move(connection, ident, "drawer C3", who)


def test_a_parts_portrait_says_how_many_there_are(shelf: Engine, who: Who) -> None:
    """Where they can be seen."""
    with writing(shelf) as connection:
        keep(connection, 1, PICTURE, who)
        found = portrait(connection, "P-0001")
    assert "    1 photograph, on the bench page" in portrait_text(found).split("\n")


@pytest.mark.sqlite
def test_a_backup_carries_them(shelf: Engine, who: Who, tmp_path: Path) -> None:
    """Picture and all."""
    with writing(shelf) as connection:
        keep(connection, 1, PICTURE, who)
    copy_to(shelf, tmp_path / "copy.sqlite")
    opened = open_store(tmp_path / "copy.sqlite", create=False)
    with reading(opened) as connection:
        assert picture_of(connection, 1, 1) == b"large"
    opened.dispose()
