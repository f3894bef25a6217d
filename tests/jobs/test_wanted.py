"""Parts that come in against what jobs still want."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import Engine

from partsbin.jobs.needs import add_need
from partsbin.jobs.record import close_job, open_job
from partsbin.jobs.wanted import just_come, would_serve
from partsbin.stock.acts import Who
from partsbin.stock.catalogue import shelve
from partsbin.stock.draft import draft_from_text
from partsbin.stock.ledger import undo
from partsbin.store.engine import reading, writing
from tests.command import partsbin

WHO = Who(datetime(2026, 4, 1, 12, tzinfo=UTC), "ann")


def _said(store: Engine, *, closed: bool = False) -> dict[str, list[str]]:
    """What a new film, a waxed paper capacitor and a diode would serve of a job, by title."""
    texts = [("22n 630V polyester", "capacitor"), ("0.02uF 350V waxed paper", "capacitor"), ("1N4007", "rectifier")]
    with writing(store) as connection:
        job = open_job(connection, WHO, facts=["rail=250", "chassis=earthed"])
        add_need(connection, job, "capacitor", "0.02uF 350V", "coupling", designator="C31")
        add_need(connection, job, "valve", "EZ80", "rectifier", designator="V5")
        add_need(connection, job, "capacitor", "0.01uF", "", designator="C9", why="to be said")
        if closed:
            close_job(connection, job, WHO)
        drafts = [draft_from_text(text, family=family, count=1, condition="new")[0] for text, family in texts]
        ids = shelve(connection, drafts, at=WHO.at, by=WHO.by)
        found = would_serve(connection, ids)
    return {texts[ids.index(match.part_id)][0]: [match.name] for match in found}


def test_each_part_is_matched_with_what_it_would_serve(store: Engine) -> None:
    """Across families as well; waxed paper serves nothing, and a need without a position is not asked."""
    assert _said(store) == {"22n 630V polyester": ["C31"], "1N4007": ["V5"]}


def test_a_closed_job_wants_nothing(store: Engine) -> None:
    """Whatever was left open in it."""
    assert _said(store, closed=True) == {}


def test_it_is_said_while_stripping(tmp_path: Path) -> None:
    """Below the line that was read."""
    db, lines = tmp_path / "shelf.sqlite", tmp_path / "lines.txt"
    lines.write_text("22n 630V polypropylene\n470K\n", "utf-8")
    partsbin("job", "open", "intercom", "--with", "rail=250", db=db)
    partsbin("job", "need", "1", "capacitor", "0.02uF 350V", "-p", "coupling", "-d", "C31", db=db)
    assert "P-0001 would serve C31 of J-0001, once measured" in partsbin("strip", "7", str(lines), db=db).out


def test_needs_that_are_alike_are_each_named(store: Engine) -> None:
    """They are judged once."""
    with writing(store) as connection:
        job = open_job(connection, WHO, facts=["rail=250", "chassis=earthed"])
        for number in range(3):
            add_need(connection, job, "capacitor", "0.02uF 350V", "coupling", designator=f"C{number}")
        draft = draft_from_text("22n 630V polyester", family="capacitor", count=1, condition="new")[0]
        found = would_serve(connection, shelve(connection, [draft], at=WHO.at, by=WHO.by))
    assert [match.name for match in found] == ["C0", "C1", "C2"]


def test_under_a_guessed_position_nothing_weaker_than_the_label_is_named(store: Engine) -> None:
    """As in the plan: a 2 W resistor may sit where the guess does not think it."""
    with writing(store) as connection:
        job = open_job(connection, WHO, facts=["rail=250", "chassis=earthed"])
        add_need(connection, job, "resistor", "220k 2W", "anode-load", designator="R7", why="usual")
        add_need(connection, job, "resistor", "220k 0.5W", "anode-load", designator="R8", why="usual")
        draft = draft_from_text("220k 0.6W metal film", family="resistor", count=1, condition="new")[0]
        found = would_serve(connection, shelve(connection, [draft], at=WHO.at, by=WHO.by))
    assert [match.name for match in found] == ["R8"]


def test_it_is_said_below_a_list_that_was_taken_in(tmp_path: Path) -> None:
    """Of the parts of this list, not of those that were here."""
    db, rows = tmp_path / "shelf.sqlite", tmp_path / "rows.csv"
    rows.write_text("value,count\n22n 630V polypropylene,3\n470k 1W resistor,5\n", "utf-8")
    partsbin("shelve", "22n 630V polypropylene", db=db)
    partsbin("job", "open", "intercom", "--with", "rail=250", db=db)
    partsbin("job", "need", "1", "capacitor", "0.02uF 350V", "-p", "coupling", "-d", "C31", db=db)
    said = partsbin("import", str(rows), db=db).out
    assert ("P-0002 would serve C31 of J-0001" in said, "P-0001" in said) == (True, False)


def test_a_need_whose_position_is_open_says_how_to_give_it(tmp_path: Path) -> None:
    """Nothing is fitted for it before."""
    db, rows = tmp_path / "shelf.sqlite", tmp_path / "list.txt"
    rows.write_text("C14 0.01\n", "utf-8")
    partsbin("shelve", "10n 630V polypropylene", db=db)
    partsbin("job", "open", "intercom", db=db)
    partsbin("job", "need", "1", "--file", str(rows), db=db)
    ran = partsbin("fit", "P-0001", "--job", "1", "--for", "C14", db=db)
    assert (ran.code, "partsbin job position J-0001 C14" in ran.err) == (2, True)


def test_what_has_just_come_in_is_newest_first_without_what_was_taken_back(store: Engine) -> None:
    """Of three parts the last was a slip."""
    with writing(store) as connection:
        for text in ("22n 630V", "47n 630V", "10n 630V"):
            draft, _ = draft_from_text(text, family="capacitor", count=1, condition="new")
            shelve(connection, [draft], at=WHO.at, by="ann")
        undo(connection, at=WHO.at, by="ann")
    with reading(store) as connection:
        assert just_come(connection, 9) == [2, 1]
