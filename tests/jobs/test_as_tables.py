"""Needs and plans as tables: what goes out comes in again as it was, whatever stands in it."""

from __future__ import annotations

import tempfile
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import Connection

from partsbin.jobs.as_tables import NEEDS, PLAN, needs_rows, own_cells, plan_rows, read_own
from partsbin.jobs.listing import WANTED
from partsbin.jobs.needs import add_need, needs_of
from partsbin.jobs.noting import note
from partsbin.jobs.plan import plan
from partsbin.jobs.record import Opened, open_job
from partsbin.stock.acts import Who
from partsbin.stock.catalogue import shelve
from partsbin.stock.draft import draft_from_text
from partsbin.stock.export import write
from partsbin.store.engine import open_store, writing

WHO = Who(datetime(1957, 4, 1, 9, tzinfo=UTC), "bench")
ENDINGS = ("csv", "xlsx", "json")

_WORDS = st.text(st.characters(codec="utf-8", exclude_categories=("C", "Z"), include_characters=" "), max_size=12).map(
    lambda text: " ".join(text.split())
)
_ODD = _WORDS | st.sampled_from(("=1+1", "-", "'C1", "n/a", "@x", "+5 V", "a;b", 'say "22n"', "~"))


def _all(connection: Connection, job: Opened) -> list[tuple[object, ...]]:
    return [
        (w.designator, w.family, w.text, w.position, dict(w.texts), w.quantity, w.why)
        for w in needs_of(connection, job)
    ]


@pytest.mark.parametrize("ending", ENDINGS)
@settings(max_examples=12, deadline=None)
@given(
    st.lists(st.tuples(_ODD, _ODD, st.integers(1, 99)), min_size=1, max_size=5, unique_by=lambda row: row[0].lower())
)
def test_needs_that_went_out_come_in_as_they_were(ending: str, rows: list[tuple[str, str, int]]) -> None:
    """Formulas, blanks, quotes and semicolons in texts; positions, facts and open positions."""
    with tempfile.TemporaryDirectory() as folder:
        engine, file = open_store(Path(folder) / "jobs.sqlite"), Path(folder) / f"needs.{ending}"
        with writing(engine) as connection:
            job, other = open_job(connection, WHO), open_job(connection, WHO)
            for name, text, pieces in rows:
                add_need(
                    connection, job, "capacitor", text or "22n", "", designator=name, quantity=pieces, why="to be said"
                )
            add_need(
                connection, job, "capacitor", "47nF 400V", "coupling", designator="C98,C99", quantity=2,
                facts=["rail=250", "lineup=ECC83 EL84"],
            )  # fmt: skip
            write(file, NEEDS, needs_rows(connection, [job]))
            cells = own_cells(file)
            assert cells is not None
            entries, problems = read_own(cells)
            assert problems == []
            assert {entry.fate for entry in note(connection, other, entries)} == {WANTED}
            assert _all(connection, other) == _all(connection, job)
        engine.dispose()


@pytest.mark.parametrize("pieces", ["0", "-1", "many", "", "²"])
def test_no_number_of_pieces_is_a_problem_of_its_row(tmp_path: Path, pieces: str) -> None:
    """The row is named, the others are read."""
    file = tmp_path / "needs.csv"
    file.write_text(f"designator,family,text,pieces\nC1,capacitor,22n,{pieces}\nC2,capacitor,47n,1\n", encoding="utf-8")
    cells = own_cells(file)
    assert cells is not None
    entries, problems = read_own(cells)
    assert ([entry.name for entry in entries], [problem.line for problem in problems]) == (["C2"], [2])


def test_somebody_elses_list_is_none_of_ours(tmp_path: Path) -> None:
    """Other columns are read as people write them."""
    file = tmp_path / "list.csv"
    file.write_text("Ref,Value,Qty\nC1,22n,1\n", encoding="utf-8")
    assert own_cells(file) is None


def test_a_plan_has_a_line_for_what_is_served_and_one_for_what_is_short(tmp_path: Path) -> None:
    """By hand: three wanted, two on the shelf."""
    engine = open_store(tmp_path / "plan.sqlite")
    with writing(engine) as connection:
        draft, _ = draft_from_text("47nF 630V polypropylene", family="capacitor", count=2, condition="new", place="E1")
        shelve(connection, [draft], at=WHO.at, by=WHO.by)
        job = open_job(connection, WHO, facts=["rail=250"])
        add_need(connection, job, "capacitor", "47nF 400V", "coupling", designator="C1", quantity=3)
        rows = list(plan_rows(plan(connection, [job])))
    assert [(row["verdict"], row["pieces"], row.get("part", "")) for row in rows] == [
        ("fits", "2", "P-0001"),
        ("short", "1", ""),
    ]
    assert set().union(*rows) <= set(PLAN)


def test_a_plan_has_a_line_for_each_part_that_is_joined_with_others(tmp_path: Path) -> None:
    """By hand: 47 + 47 = 94 nF in parallel is one piece of 100 nF, and takes two."""
    engine = open_store(tmp_path / "plan.sqlite")
    with writing(engine) as connection:
        draft, _ = draft_from_text("47nF 630V polypropylene", family="capacitor", count=2, condition="new", place="E1")
        shelve(connection, [draft], at=WHO.at, by=WHO.by)
        job = open_job(connection, WHO, facts=["rail=250"])
        add_need(connection, job, "capacitor", "100nF 400V", "coupling", designator="C1")
        rows = list(plan_rows(plan(connection, [job])))
    assert [(row["part"], row["pieces"], row["how"]) for row in rows] == [("P-0001", "2", "in parallel")]
