"""Pieces that must be alike: served from what is known of them, or named to be measured."""

from __future__ import annotations

import itertools
import random
from datetime import datetime
from typing import Any

import pytest
from sqlalchemy import Connection, Engine

from partsbin.checks import Verdict
from partsbin.families import load
from partsbin.jobs.needs import add_need
from partsbin.jobs.plan import plan
from partsbin.jobs.plan_alike import alike
from partsbin.jobs.record import Opened, open_job
from partsbin.matching.candidates import brute
from partsbin.needs import Request
from partsbin.sets import read_facts
from partsbin.stock.acts import Who
from partsbin.stock.catalogue import get, shelve
from partsbin.stock.draft import draft_from_text
from partsbin.store.engine import writing


def _shelf(connection: Connection, noon: datetime, *parts: tuple[str, int, float]) -> list[int]:
    """Shelve resistors: words, pieces, and what was read of them (0: nothing), good to half a per cent."""
    drafts = []
    for words, count, read in parts:
        readings = [f"resistance={read / 1e3:.6g}k±0.5%"] if read else []
        draft = draft_from_text(words, family="resistor", count=count, condition="new", readings=readings)[0]
        drafts.append(draft)
    return shelve(connection, drafts, at=noon, by="ann")


def _job(connection: Connection, noon: datetime, within: str, pieces: int = 2) -> Opened:
    job = open_job(connection, Who(noon, "ann"))
    facts = [f"alike={within}", "rail=250"]
    add_need(connection, job, "resistor", "470k 1/2W", "grid-leak", designator="R1", facts=facts, quantity=pieces)
    return job


def _taken(made: list[Any]) -> list[int]:
    return sorted(ident for served in made for ident, n in served.taken().items() for _ in range(n))


def test_two_that_were_read_alike_are_taken_before_two_that_were_not(store: Engine, noon: datetime) -> None:
    """The one nearest the marked value has no partner."""
    with writing(store) as connection:
        words = "470k 0.6W metal film"
        _shelf(connection, noon, (words, 1, 470e3), (words, 1, 452e3), (words, 1, 455e3), (words, 1, 490e3))
        (served,) = plan(connection, [_job(connection, noon, "2%")])
    assert _taken([served]) == [2, 3]
    assert served.why == "alike within 1.7 %, 2 % wanted"


def test_a_narrow_tolerance_is_knowledge_too(store: Engine, noon: datetime) -> None:
    """±1 % are within 2.02 % of each other: three per cent are kept, two are not known to be."""
    with writing(store) as connection:
        _shelf(connection, noon, ("470k 1% 0.6W metal film", 6, 0.0))
        kept, not_known = (plan(connection, [_job(connection, noon, within)])[0] for within in ("3%", "2%"))
    assert (_taken([kept]), kept.why) == ([1, 1], "alike within 2 %, 3 % wanted")
    assert not_known.why == "read 2 × P-0001 piece by piece, closely: 2 % wanted between them"


def test_where_none_can_be_alike_it_is_short(store: Engine, noon: datetime) -> None:
    """Both were read."""
    with writing(store) as connection:
        _shelf(connection, noon, ("470k 0.6W metal film", 1, 440e3), ("470k 0.6W metal film", 1, 500e3))
        (served,) = plan(connection, [_job(connection, noon, "2%")])
    assert (served.parts, served.why) == ((), "no 2 of them are known to be within 2 %, nor may be")


def test_two_needs_do_not_share_a_matched_pair(store: Engine, noon: datetime) -> None:
    """One pair, two jobs."""
    with writing(store) as connection:
        words = "470k 0.6W metal film"
        _shelf(connection, noon, (words, 1, 470e3), (words, 1, 471e3))
        jobs = [_job(connection, noon, "2%") for _ in range(2)]
        assert sorted(served.pieces for served in plan(connection, jobs)) == [0, 2]


@pytest.mark.parametrize("seed", range(20))
def test_a_set_is_found_where_trying_all_finds_one(seed: int, store: Engine, noon: datetime) -> None:
    """Every choice of pieces is tried; what is found holds, to the ends of what is known."""
    draw = random.Random(seed)
    family, pieces = load("resistor"), draw.choice((2, 3, 4))
    within = draw.choice((0.012, 0.02, 0.04))
    with writing(store) as connection:
        shelf = [("470k 0.6W metal film", draw.choice((1, 1, 2)), draw.uniform(440e3, 500e3)) for _ in range(9)]
        ids = _shelf(connection, noon, *shelf)
        parts = list(get(connection, family, ids).values())
    need = family.need(Request("resistor", "470k 1/2W", "grid-leak", {}, read_facts(["rail=250"])))
    judged = [c for c in brute(family, need, parts) if c.verdict < Verdict.UNFIT]
    there = {c.part.id: c.part.available for c in judged}
    found = [one for one in alike(judged, there, pieces, within) if "alike within" in one.why]
    every = [c for c in judged for _ in range(there[c.part.id])]

    def _apart(chosen: Any) -> float:
        low = min(float(c.option.offers["resistance_low"]) for c in chosen)
        return max(float(c.option.offers["resistance_high"]) for c in chosen) / low - 1

    exists = any(_apart(chosen) <= within * (1 + 1e-9) for chosen in itertools.combinations(every, pieces))
    assert bool(found) == exists
    for one in found:
        assert sum(number for _, number in one.taken) == pieces
        assert all(number <= there[c.part.id] for c, number in one.taken)
        assert _apart([c for c, _ in one.taken]) <= within * (1 + 1e-6)
