"""The search gives what judging every part would give."""

from __future__ import annotations

import random
from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import Engine

from partsbin import families
from partsbin.checks import Verdict
from partsbin.families import load
from partsbin.matching import retrieve
from partsbin.matching.search import MEASURE_SHOWN, Candidate, brute, run
from partsbin.stock.catalogue import Draft, get, shelve
from partsbin.store.engine import reading, writing
from tests.engines import new_store, on_server, remove
from tests.families.random_parts import MAKERS, request

CATALOGUES = [
    *((n, seed, "sqlite") for n in families.names() for seed in range(12 if n in ("capacitor", "transformer") else 3)),
    *(pytest.param(name, 0, "postgresql", marks=on_server) for name in families.names()),
]
NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)


def catalogue(folder: Path, drafts: Sequence[Draft], kind: str = "sqlite") -> tuple[Engine, list[int]]:
    """Return a catalogue holding the drafts."""
    engine = new_store(kind, folder)
    with writing(engine) as connection:
        return engine, shelve(connection, drafts, at=NOON)


def first(candidates: list[Candidate], wanted: set[Verdict], k: int) -> list[tuple[int, str, Verdict]]:
    """Return the first k of the wanted verdicts, as a reader of the answer tells them apart."""
    chosen = sorted((c for c in candidates if c.verdict in wanted), key=lambda c: c.rank)[:k]
    return [(c.part.id, c.option.label, c.verdict) for c in chosen]


@pytest.mark.parametrize(("family_name", "seed", "kind"), CATALOGUES)
@pytest.mark.parametrize(("many", "few"), [(retrieve.MANY, retrieve.FEW), (4, 1)], ids=["as set", "small steps"])
def test_the_first_k_of_each_verdict_equal_judging_every_part(
    family_name: str, seed: int, kind: str, many: int, few: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Random catalogues and needs: rings, classes of rating, bounds and early stops lose nothing and keep the order."""
    monkeypatch.setattr(retrieve, "MANY", many)
    monkeypatch.setattr(retrieve, "FEW", few)
    source = random.Random(f"{family_name}{seed}")
    family = load(family_name)
    drafts = [MAKERS[family_name](source) for _ in range(source.choice((40, 250, 700)))]
    engine, ids = catalogue(tmp_path, drafts, kind)
    with reading(engine) as connection:
        parts = list(get(connection, family, ids).values())
        for _ in range(25):
            need = family.need(request(source, family_name))
            limit = source.choice((1, 3, 10))
            found = run(connection, family, need, limit)
            every = brute(family, need, parts)
            usable = [(c.part.id, c.option.label, c.verdict) for c in found.usable]
            measure = [(c.part.id, c.option.label, c.verdict) for c in found.measure]
            assert usable == first(every, {Verdict.FITS, Verdict.CARE}, limit), need.request
            assert measure == first(every, {Verdict.MEASURE}, MEASURE_SHOWN), need.request
    remove(engine)


@pytest.mark.parametrize("family_name", families.names())
def test_near_misses_are_unfit_and_ordered_by_how_narrowly_they_miss(family_name: str, tmp_path: Path) -> None:
    """What is shown as a near miss fails a check, and the narrower miss comes first."""
    source = random.Random(family_name)
    family = load(family_name)
    engine, _ = catalogue(tmp_path, [MAKERS[family_name](source) for _ in range(300)])
    shown = 0
    with reading(engine) as connection:
        for _ in range(20):
            found = run(connection, family, family.need(request(source, family_name)), 5)
            assert all(c.verdict is Verdict.UNFIT for c in found.near)
            assert [c.rank for c in found.near] == sorted(c.rank for c in found.near)
            shown += len(found.near)
    assert shown > 20


def test_a_part_with_none_available_is_not_offered(tmp_path: Path) -> None:
    """A count of zero has no search keys."""
    source = random.Random(1)
    drafts = [MAKERS["capacitor"](source) for _ in range(50)]
    empty = [Draft(d.family, d.facts, condition=d.condition, count=0, readings=d.readings) for d in drafts]
    engine, _ = catalogue(tmp_path, empty)
    family = load("capacitor")
    with reading(engine) as connection:
        found = run(connection, family, family.need(request(source, "capacitor")), 5)
    assert (found.usable, found.measure, found.near) == ([], [], [])
