"""What became of a part: how far it has drifted, and what still counts."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest
from sqlalchemy import Engine

from partsbin.stock.acts import Who, measure, move, part_of
from partsbin.stock.catalogue import shelve
from partsbin.stock.draft import draft_from_text
from partsbin.stock.history import drift_of, movements_of_part, parted_off, readings_of_part
from partsbin.stock.ledger import undo
from partsbin.stock.parts import NewReading
from partsbin.store.engine import writing

DRIFTS = [
    ("470k 1/2W 10%", ((540e3, 5.4e3),), ["resistance is 15 % above its mark"]),
    ("470k 1/2W 10%", ((520e3, 5.2e3),), []),  # 517 kΩ and what the meter may be off
    ("470k 1/2W", ((550e3, 0.0),), []),  # not marked: ±20 % is usual
    ("470k 1/2W", ((570e3, 0.0),), ["resistance is 21 % above its mark"]),
    ("470k 1/2W 10%", ((478e3, 4.8e3), (482e3, 4.8e3)), []),
    ("470k 1/2W 10%", ((478e3, 4.8e3), (500e3, 5e3)), ["resistance is 5 % above the reading of 2026-03-01"]),
    (
        "470k 1/2W 5%",
        ((478e3, 4.8e3), (400e3, 4e3)),
        ["resistance is 15 % below its mark", "resistance is 16 % below the reading of 2026-03-01"],
    ),
]


@pytest.mark.parametrize(("words", "read", "said"), DRIFTS)
def test_a_part_has_drifted_further_than_mark_and_meters_explain(
    store: Engine, noon: datetime, words: str, read: tuple[tuple[float, float], ...], said: list[str]
) -> None:
    """Against its mark, and against the first reading."""
    with writing(store) as connection:
        shelve(connection, [draft_from_text(words, family="resistor")[0]], at=noon)
        for day, (value, width) in enumerate(read):
            reading = NewReading("resistance", value, "ohm", width)
            measure(connection, 1, [reading], Who(noon + timedelta(days=day), "ann"))
        assert drift_of(part_of(connection, 1).item.facts, readings_of_part(connection, 1)) == said


def test_a_reading_that_was_taken_back_is_kept_and_counts_no_more(store: Engine, noon: datetime) -> None:
    """Neither for the search nor for the drift."""
    with writing(store) as connection:
        shelve(connection, [draft_from_text("470k 1/2W 10%", family="resistor")[0]], at=noon)
        measure(connection, 1, [NewReading("resistance", 900e3, "ohm", 0.0)], Who(noon, "ann"))
        undo(connection, at=noon, by="ann")
        (reading,) = readings_of_part(connection, 1)
        assert (reading["valid"], dict(part_of(connection, 1).item.readings)) == (False, {})
        assert drift_of(part_of(connection, 1).item.facts, [reading]) == []


def test_a_move_is_told_by_the_names_of_the_places(store: Engine, noon: datetime) -> None:
    """And a split by the numbers."""
    with writing(store) as connection:
        shelve(connection, [draft_from_text("470k 1/2W", family="resistor", count=3)[0]], at=noon)
        move(connection, 1, "box T1", Who(noon), pieces=1)
        move(connection, 1, "box T2", Who(noon))
        *_, moved = movements_of_part(connection, 1)
        assert (moved["word"], moved["changes"]) == ("moved", {"place": ["no place", "box T2"]})
        assert parted_off(connection, 1) == ["P-0002"]
