"""Options that are alike in every key are read as one row, and lose neither their place nor their number."""

from __future__ import annotations

import random
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import Connection

from partsbin.checks import Verdict
from partsbin.families import Family, load
from partsbin.matching import keyrows, retrieve
from partsbin.matching.search import MEASURE_SHOWN, brute, run
from partsbin.needs import Need
from partsbin.stock.catalogue import Draft, get, shelve
from partsbin.store.engine import open_store, reading, writing
from tests.families.random_parts import capacitor, request

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)


def common(source: random.Random) -> Draft:
    """Return one of the few capacitors that every shelf has many of."""
    fields = {
        "capacitance": source.choice((2.2e-8, 4.7e-8, 3.2e-5)),
        "voltage_dc": source.choice((None, 250.0, 400.0, 630.0)),
        "dielectric": source.choice((None, "film-polyester", "paper-waxed", "electrolytic")),
    }
    facts = load("capacitor").facts.model_validate(fields)
    return Draft("capacitor", facts, condition=source.choice(("new", "salvaged")), count=source.choice((1, 2, 3)))


@pytest.mark.parametrize("seed", range(4))
def test_parts_alike_stand_in_the_order_of_judging_every_part(
    seed: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Dozens behind one row of keys: the first k of each verdict, and no fewer counted than there are."""
    monkeypatch.setattr(retrieve, "MANY", 8)
    monkeypatch.setattr(keyrows, "FIRST", 2)
    source = random.Random(seed)
    family = load("capacitor")
    engine = open_store(tmp_path / "c.sqlite")
    with writing(engine) as connection:
        ids = shelve(
            connection, [common(source) if source.random() < 0.8 else capacitor(source) for _ in range(1000)], at=NOON
        )
    together = 0
    with reading(engine) as connection:
        parts = list(get(connection, family, ids).values())
        for _ in range(12):
            need, limit = family.need(request(source, "capacitor")), source.choice((1, 3, 40))
            together += _largest(connection, family, need)
            found, every = run(connection, family, need, limit), brute(family, need, parts)
            usable = sorted((c for c in every if c.verdict <= Verdict.CARE), key=lambda c: c.rank)
            measure = sorted((c for c in every if c.verdict is Verdict.MEASURE), key=lambda c: c.rank)
            assert [c.part.id for c in found.usable] == [c.part.id for c in usable[:limit]], need.request
            assert [c.part.id for c in found.measure] == [c.part.id for c in measure[:MEASURE_SHOWN]], need.request
            counted, capped = zip(*(found.more.get(word, (0, False)) for word in ("fits", "care")), strict=True)
            assert any(capped) or len(found.usable) + sum(counted) >= len(usable)
    assert together > 20, "no row stood for many: nothing was tried"


def _largest(connection: Connection, family: Family, need: Need) -> int:
    """Return how many the largest row of a search stands for."""
    search = family.search(need)
    classes = retrieve.rungs(connection, family).classes
    read = retrieve.by_score(connection, family, need, search, classes)
    return max((alike.number for rows, _ in read for alike in rows.alike.values()), default=0)
