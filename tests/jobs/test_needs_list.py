"""A list of needs taken whole: noted, only looked at, or kept as far as it is good."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import Engine

from partsbin.jobs.needs import needs_of
from partsbin.jobs.needs_list import open_list, take_needs
from partsbin.jobs.record import open_job
from partsbin.stock.acts import Who
from partsbin.store.engine import writing

WHO = Who(datetime(2026, 3, 1, 12, tzinfo=UTC), "bench")


@pytest.mark.parametrize(("dry", "noted"), [(False, 2), (True, 0)])
def test_a_list_is_noted_or_only_looked_at(store: Engine, tmp_path: Path, dry: bool, noted: int) -> None:
    """The sums are the same."""
    path = tmp_path / "list.txt"
    path.write_text("C1 22n 630V\nR1 220k 1W\n", encoding="utf-8")
    with writing(store) as connection:
        job = open_job(connection, WHO)
        taken = take_needs(connection, job, open_list(path), dry_run=dry)
        assert (taken.sums.all, taken.sums.short, taken.written, len(needs_of(connection, job))) == (
            2,
            2,
            not dry,
            noted,
        )


@pytest.mark.parametrize(("keep", "noted"), [(False, 0), (True, 1)])
def test_a_broken_line_holds_up_the_others_unless_they_are_kept(
    store: Engine, tmp_path: Path, keep: bool, noted: int
) -> None:
    """All or nothing is the rule."""
    path = tmp_path / "list.csv"
    path.write_text("designator,family,text,position,pieces\nC1,capacitor,22n,tone,1\nC2,capacitor,22n,tone,x\n")
    with writing(store) as connection:
        job = open_job(connection, WHO)
        taken = take_needs(connection, job, open_list(path), keep_good=keep)
        assert (len(taken.problems), len(needs_of(connection, job))) == (1, noted)
