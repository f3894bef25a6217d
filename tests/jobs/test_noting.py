"""A list's entries as needs: each designator once, each piece counted once, and no need shown another's part."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import Connection, Engine

from partsbin.jobs.listing import Entry, read_needs
from partsbin.jobs.needs import needs_of
from partsbin.jobs.noting import Sums, note, weigh
from partsbin.jobs.record import Opened, open_job
from partsbin.jobs.typed import cells_of
from partsbin.stock.acts import Who
from partsbin.stock.catalogue import shelve
from partsbin.stock.draft import draft_from_text
from partsbin.store.engine import writing

WHO = Who(datetime(2026, 4, 1, 12, tzinfo=UTC), "ann")
FACTS = ("rail=250", "chassis=earthed")


def noted(connection: Connection, tmp_path: Path, job: Opened, text: str) -> list[Entry]:
    """Note a typed list."""
    file = tmp_path / "list.txt"
    file.write_text(text, encoding="utf-8")
    return note(connection, job, read_needs(cells_of(file), job)[0])


def test_needs_without_designators_are_counted_each_with_its_own_part(tmp_path: Path, store: Engine) -> None:
    """One valve on the shelf serves one of the two valves, and nothing else on the list."""
    with writing(store) as connection:
        shelve(connection, [draft_from_text("EL84", family="valve", count=1, condition="new")[0]], at=WHO.at, by=WHO.by)
        job = open_job(connection, WHO, facts=FACTS)
        sums, made = weigh(
            connection, job, told := noted(connection, tmp_path, job, "R9 470k\n10 off 0.1uF 400V\n2 pcs EL84\n")
        )
    assert sums == Sums(served=1, short=12, not_ours=0, unread=0)
    (valves,) = [entry for entry in told if entry.family == "valve"]
    assert [served.pieces for served in made if served.wanted.id == valves.need] == [1]


def test_needs_without_designators_are_noted_once(tmp_path: Path, store: Engine) -> None:
    """The same list once more adds none."""
    text = "R9 470k\n10 off 0.1uF 400V\n2 pcs EL84\n"
    with writing(store) as connection:
        job = open_job(connection, WHO, facts=FACTS)
        noted(connection, tmp_path, job, text)
        before = needs_of(connection, job)
        noted(connection, tmp_path, job, text)
        assert needs_of(connection, job) == before


def test_a_row_of_which_one_designator_is_there_keeps_the_others(tmp_path: Path, store: Engine) -> None:
    """C1 was noted; C2 and C3 of the same row are new."""
    with writing(store) as connection:
        job = open_job(connection, WHO, facts=FACTS)
        noted(connection, tmp_path, job, "C1 22nF 400V\n")
        told = noted(connection, tmp_path, job, "C1-C3 22nF 400V\n")
        assert [(entry.name, entry.fate) for entry in told] == [("C1", "noted before"), ("C2,C3", "wanted")]
        assert [wanted.designator for wanted in needs_of(connection, job)] == ["C1", "C2,C3"]


def test_what_was_noted_before_is_short_while_nothing_serves_it(tmp_path: Path, store: Engine) -> None:
    """However its designators are grouped the second time."""
    with writing(store) as connection:
        job = open_job(connection, WHO, facts=FACTS)
        noted(connection, tmp_path, job, "C1,C2 22nF 400V\n")
        sums, _ = weigh(connection, job, noted(connection, tmp_path, job, "C1 22nF 400V\nC2 22nF 400V\n"))
    assert sums == Sums(served=0, short=2, not_ours=0, unread=0)


def test_a_designator_of_two_different_parts_is_not_passed_over(tmp_path: Path, store: Engine) -> None:
    """The second row may be the one that holds: it is told, with the line of the first."""
    with writing(store) as connection:
        job = open_job(connection, WHO, facts=FACTS)
        told = noted(connection, tmp_path, job, "C1 0.1uF 400V\nC1 0.1uF 250V AC X2\n")
    assert told[1].fate == "not understood"
    assert told[1].notes[-1] == "C1 is 0.1 µF 400 V in line 1 of this list: which holds has to be said"


def test_a_part_that_differs_from_what_the_job_has_is_told(tmp_path: Path, store: Engine) -> None:
    """The job's own is left as it is."""
    with writing(store) as connection:
        job = open_job(connection, WHO, facts=FACTS)
        noted(connection, tmp_path, job, "C1 22nF 400V\n")
        (entry,) = noted(connection, tmp_path, job, "C1 47nF 400V\n")
    assert (entry.fate, entry.notes) == ("noted before", ("the job has 22 nF 400 V",))
