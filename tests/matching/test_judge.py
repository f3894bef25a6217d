"""Judging: arrays and single rows agree, and search keys bound what the whole part gives."""

from __future__ import annotations

import random

import numpy as np
import pytest

from partsbin.checks import Verdict
from partsbin.families import load
from partsbin.families._declare import columns_of
from partsbin.matching.judge import judge
from tests.families.random_parts import MAKERS, item, request

FAMILIES = ["capacitor", "transformer"]


@pytest.mark.parametrize("family_name", FAMILIES)
@pytest.mark.parametrize("seed", range(5))
def test_many_rows_are_judged_like_each_row_alone(family_name: str, seed: int) -> None:
    """One check, two uses: the same function over arrays and over the row being explained."""
    source = random.Random(seed)
    family = load(family_name)
    options = [option for _ in range(60) for option in family.options(item(MAKERS[family_name](source)))]
    for _ in range(10):
        need = family.need(request(source, family_name))
        search = family.search(need)
        together = judge(family, need, search, columns_of(options, family.quantities, family.words))
        for index, option in enumerate(options):
            alone = judge(family, need, search, columns_of([option], family.quantities, family.words))
            assert alone.verdict[0] == together.verdict[index]
            assert alone.owed[0] == together.owed[index]
            assert alone.score[0] == pytest.approx(together.score[index])


@pytest.mark.parametrize("family_name", FAMILIES)
@pytest.mark.parametrize("seed", range(5))
def test_search_keys_never_promise_less_than_the_part_gives(family_name: str, seed: int) -> None:
    """With only the keys at hand the verdict is no worse, and no reading more is owed, than with the whole part."""
    source = random.Random(seed)
    family = load(family_name)
    options = [option for _ in range(60) for option in family.options(item(MAKERS[family_name](source)))]
    whole = columns_of(options, family.quantities, family.words)
    keys = {name: values for name, values in whole.items() if name in family.keys.names}
    packed = family.keys.unpack(np.array([family.keys.pack(option.offers) for option in options], dtype=np.int64))
    keys |= packed
    for _ in range(10):
        need = family.need(request(source, family_name))
        search = family.search(need)
        full, bound = judge(family, need, search, whole), judge(family, need, search, keys)
        assert (bound.verdict <= full.verdict).all()
        assert (bound.owed <= full.owed).all()
        assert (bound.score <= full.score + 1e-12).all()


@pytest.mark.parametrize("family_name", ["capacitor", "resistor"])
@pytest.mark.parametrize("seed", range(10))
def test_a_complete_option_is_not_sent_to_be_measured_for_what_its_keys_do_not_hold(
    family_name: str, seed: int
) -> None:
    """`owes` is what lets the search skip: where it says no, an unknown shows in the keys already."""
    source = random.Random(seed)
    family = load(family_name)
    options = [
        o for _ in range(120) for o in family.options(item(MAKERS[family_name](source))) if not family.owes(o.offers)
    ]
    assert options
    whole = columns_of(options, family.quantities, family.words)
    keys = {name: values for name, values in whole.items() if name in family.keys.names}
    for _ in range(20):
        need = family.need(request(source, family_name))
        search = family.search(need)
        full, bound = judge(family, need, search, whole), judge(family, need, search, keys)
        sent = (full.verdict == Verdict.MEASURE) & (bound.verdict < Verdict.MEASURE)
        assert not sent.any(), [options[i] for i in np.flatnonzero(sent)][:2]
