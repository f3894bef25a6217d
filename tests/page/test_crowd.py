"""Browsers at once over a real server: nothing is set aside twice, nothing that was said to be done is lost."""

from __future__ import annotations

from pathlib import Path

import pytest
from sqlalchemy import text

from partsbin.stock.keeping.verify import verify
from partsbin.store.engine import open_store, reading
from tests.page.crowd import crowd
from tests.page.served import served
from tests.page.shelf import shelve
from tests.page.test_finding import NOON

PIECES = 3


@pytest.fixture
def catalogue(tmp_path: Path) -> Path:
    """Few pieces for many hands: three of each of two parts."""
    file = tmp_path / "page.sqlite"
    engine = open_store(file)
    for said in ("22n 630V polypropylene", "100n 630V polypropylene"):
        shelve(engine, said, NOON)
    engine.dispose()
    return file


def test_a_crowd_oversells_nothing_and_loses_nothing(catalogue: Path) -> None:
    """Ten browsers want what there is six of: the ledger holds what the page said was done."""
    with served(catalogue) as server:
        told = crowd(server.port, 10, 3, lambda chance: 0.0)
    engine = open_store(catalogue)
    with reading(engine) as connection:
        aside, lines, most = connection.execute(
            text("SELECT sum(reserved), (SELECT sum(aside) FROM movement), max(reserved) FROM part")
        ).one()
        assert verify(connection) == []
    engine.dispose()
    assert [fault for each in told for fault in each.faults] == []
    assert (sum(each.aside for each in told), lines) == (aside, aside)
    assert 0 < most <= PIECES
