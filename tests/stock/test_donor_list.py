"""Donors as a list and the sums of one; on both engines."""

from __future__ import annotations

from datetime import datetime

import pytest
from sqlalchemy import Engine

from partsbin.jobs.record import open_job
from partsbin.stock.acts import Who, scrap
from partsbin.stock.donor_list import donors_with_sums, given, how_many, went, yield_of
from partsbin.stock.donors import add_donor, donor_of
from partsbin.stock.ledger import Line, act, undo
from partsbin.stock.sitting import strip_lines
from partsbin.store.engine import reading, writing


@pytest.fixture
def shelf(store: Engine, noon: datetime) -> Engine:
    """Two donors: of the first one piece was fitted, one thrown away, one part read."""
    who = Who(noon, "test")
    with writing(store) as connection:
        add_donor(connection, name="table radio")
        add_donor(connection, name="chassis")
        lines = ["5x 47n 400V polyester ; read capacitance=46nF", "250k log pot"]
        strip_lines(connection, donor_of(connection, "1"), lines, who)
        job = open_job(connection, who)
        act(connection, "fitted", [Line(1, "fitted", -1, job_id=job.id)], **who.said())
        scrap(connection, 1, 1, who)
    return store


def test_the_newest_donor_stands_first_with_what_nobody_has_read(shelf: Engine) -> None:
    """One that gave nothing too."""
    with reading(shelf) as connection:
        found = donors_with_sums(connection, limit=10)
        assert how_many(connection) == 2
    assert [(each["donor"], each["parts"], each["left"], each["unread"]) for each in found] == [
        ("D-002", 0, 0, 0),
        ("D-001", 2, 4, 1),
    ]


def test_what_a_donor_gave_is_summed(shelf: Engine) -> None:
    """Left, tested, used, bad, and by family."""
    with reading(shelf) as connection:
        sums = yield_of(connection, donor_of(connection, "1"))
    assert {name: sums[name] for name in ("parts", "left", "tested", "used", "bad")} == {
        "parts": 2, "left": 4, "tested": 3, "used": 1, "bad": 1,
    }  # fmt: skip
    assert sums["families"]["capacitor"] == {"parts": 1, "left": 3}


def test_a_donor_that_gave_nothing_has_sums_of_nothing(shelf: Engine) -> None:
    """Not unknown ones."""
    with reading(shelf) as connection:
        sums = yield_of(connection, donor_of(connection, "2"))
    assert (sums["parts"], sums["left"], sums["used"], sums["families"]) == (0, 0, 0, {})


def test_a_reading_that_was_taken_back_leaves_the_part_unread(shelf: Engine, noon: datetime) -> None:
    """The whole line is taken back, and with it what it gave."""
    with writing(shelf) as connection:
        undo(connection, at=noon, by="test")
        undo(connection, at=noon, by="test")
        undo(connection, at=noon, by="test")
        assert yield_of(connection, donor_of(connection, "1"))["tested"] == 0


def test_what_it_gave_comes_a_page_at_a_time(shelf: Engine) -> None:
    """By number."""
    with reading(shelf) as connection:
        donor = donor_of(connection, "1")
        assert [each["part"] for each in given(connection, donor, limit=1, start=1)] == ["P-0002"]
        assert list(went(connection, donor, limit=10)) == [1]
