"""Parts that come in against what jobs still want."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import Engine

from partsbin.jobs.record import add_need, close_job, open_job
from partsbin.jobs.wanted import would_serve
from partsbin.stock.acts import Who
from partsbin.stock.catalogue import shelve
from partsbin.stock.draft import draft_from_text
from partsbin.store.engine import writing
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
