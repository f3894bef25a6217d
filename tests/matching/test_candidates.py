"""Parts judged for many needs at once."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from partsbin import families
from partsbin.checks import Verdict
from partsbin.families import load
from partsbin.matching.candidates import brute, fitting
from partsbin.stock.catalogue import get
from partsbin.store.engine import reading
from tests.engines import remove
from tests.families.random_parts import MAKERS, request
from tests.matching.test_search import catalogue


@pytest.mark.parametrize("name", families.names())
def test_for_each_need_those_fit_that_fit_when_judged_for_it_alone(name: str, tmp_path: Path) -> None:
    """Random parts and needs: of what a need asks of nothing is lost, and nothing else comes in."""
    source, family = random.Random(name), load(name)
    engine, ids = catalogue(tmp_path, [MAKERS[name](source) for _ in range(120)])
    needs = [family.need(request(source, name)) for _ in range(15)]
    asked = [(need, set(source.sample(ids, source.choice((0, 1, 60, 120))))) for need in needs]
    with reading(engine) as connection:
        parts = list(get(connection, family, ids).values())
    remove(engine)
    for (need, wanted), found in zip(asked, fitting(family, parts, asked), strict=True):
        every = {c.part.id for c in brute(family, need, parts) if c.verdict is Verdict.FITS}
        assert found == every & wanted, need.request
