"""The queries walk the covering indexes: a search that reads every row would be found out only at a million parts."""

from __future__ import annotations

import random
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import text

from partsbin.matching import retrieve
from partsbin.stock.catalogue import shelve
from partsbin.store.engine import open_store, reading, writing
from tests.families.random_parts import capacitor

NUMBERS = {
    "family": "capacitor", "low": 1e-8, "high": 4e-8, "least": 350.0, "rung": 41, "start": 2e-8, "stop": 3e-8, "missing": 1,
    "promise": 0, "id": 0, "n": 64, "top": 99, "also": -9999,
}  # fmt: skip


@pytest.mark.parametrize(
    ("query", "index", "bound"),
    [
        (retrieve.RING, "option_by_value", "value>"), (retrieve.BELOW, "option_by_value", "value>"),
        (retrieve.ABOVE, "option_by_value", "value>"), (retrieve.UNDER_RATED, "option_by_value", "value>"),
        (retrieve.BY_PROMISE, "option_by_promise", "missing=?"), (retrieve.COUNT_UNKNOWN, "option_by_promise", "missing=?"),
    ],
    ids=["ring", "below", "above", "under-rated", "by promise", "count"],
)  # fmt: skip
def test_a_query_is_one_range_of_a_covering_index(query: str, index: str, bound: str, tmp_path: Path) -> None:
    """No option is read outside its range, and none from the table itself."""
    engine = open_store(tmp_path / "c.sqlite")
    with writing(engine) as connection:
        shelve(
            connection, [capacitor(random.Random(seed)) for seed in range(300)], at=datetime(2026, 11, 25, tzinfo=UTC)
        )
    with reading(engine) as connection:
        plan = [row.detail for row in connection.execute(text(f"EXPLAIN QUERY PLAN {query}"), NUMBERS)]
    options = [line for line in plan if "option_by" in line or "option_keys" in line]
    assert len(options) == 1, plan
    assert f"COVERING INDEX {index}" in options[0]
    assert bound in options[0]
    assert not any("SCAN" in line and "option" in line for line in plan)


def test_unknown_values_come_in_their_order_without_sorting(tmp_path: Path) -> None:
    """The order of the promise is the order of the index, so a limit reads no more than it gives."""
    engine = open_store(tmp_path / "c.sqlite")
    with reading(engine) as connection:
        plan = [row.detail for row in connection.execute(text(f"EXPLAIN QUERY PLAN {retrieve.BY_PROMISE}"), NUMBERS)]
    assert not any("TEMP B-TREE" in line for line in plan), plan
