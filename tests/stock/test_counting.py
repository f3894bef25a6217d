"""Stock-taking: differences with their sign, and claims on what is not there."""

from __future__ import annotations

from datetime import datetime

import pytest
from sqlalchemy import Engine

from partsbin.errors import UsageError
from partsbin.jobs.record import open_job
from partsbin.stock.acts import Who, part_of, reserve
from partsbin.stock.catalogue import shelve
from partsbin.stock.counting import count, expected_in
from partsbin.stock.draft import draft_from_text
from partsbin.stock.ledger import claims_on, undo
from partsbin.store.engine import writing


@pytest.fixture
def drawer(store: Engine, noon: datetime) -> tuple[Engine, Who]:
    """Twelve of one part and about fifty of another; the first set aside for no job, then for two jobs."""
    who = Who(noon, "ann")
    with writing(store) as connection:
        drafts = [
            draft_from_text("22n 400V film", family="capacitor", count=12, place="drawer C2")[0],
            draft_from_text("470k 1/2W", family="resistor", count=50, rough=True, place="drawer C2")[0],
        ]
        shelve(connection, drafts, at=noon, by="ann")
        for pieces in (3, 4, 2):
            job = open_job(connection, who)
            reserve(connection, 1, pieces, who, job_id=job.id if pieces != 3 else None)
    return store, who


def test_a_place_knows_what_should_lie_in_it(drawer: tuple[Engine, Who]) -> None:
    """By number, with what is set aside and how sure the count is."""
    store, _ = drawer
    with store.connect() as connection:
        listed = expected_in(connection, " drawer C2 ")
    assert [(e.number, e.on_hand, e.reserved, e.rough) for e in listed] == [
        ("P-0001", 12, 9, False),
        ("P-0002", 50, 0, True),
    ]


@pytest.mark.parametrize(
    ("pieces", "let_go", "left"),
    [
        (9, {}, {3: 2, 2: 4, 0: 3}),
        (8, {3: 1}, {3: 1, 2: 4, 0: 3}),
        (5, {3: 2, 2: 2}, {2: 2, 0: 3}),
        (0, {3: 2, 2: 4, 0: 3}, {}),
    ],
)
def test_the_newest_claims_on_what_is_not_there_are_let_go(
    drawer: tuple[Engine, Who], pieces: int, let_go: dict[int, int], left: dict[int, int]
) -> None:
    """As many as are missing, and undo brings them back."""
    store, who = drawer
    with writing(store) as connection:
        before = claims_on(connection, 1)
        (done,), _ = count(connection, {1: (pieces, False)}, who)
        assert (done.difference, done.let_go) == (pieces - 12, let_go)
        assert claims_on(connection, 1) == left
        undo(connection, at=who.at, by="ann")
        assert claims_on(connection, 1) == before


def test_a_rough_count_becomes_sure_when_it_was_counted(drawer: tuple[Engine, Who]) -> None:
    """And rough again when that is taken back."""
    store, who = drawer
    with writing(store) as connection:
        count(connection, {2: (47, False)}, who)
        assert (part_of(connection, 2).on_hand, part_of(connection, 2).rough) == (47, False)
        undo(connection, at=who.at, by="ann")
        assert (part_of(connection, 2).on_hand, part_of(connection, 2).rough) == (50, True)


def test_less_than_nothing_is_not_counted(drawer: tuple[Engine, Who]) -> None:
    """The figure is quoted."""
    store, who = drawer
    with writing(store) as connection, pytest.raises(UsageError, match="P-0001: -1 counted, expected 0 to 10000000"):
        count(connection, {1: (-1, False)}, who)
