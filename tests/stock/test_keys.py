"""Search keys: what the retrieval knows of an option, and the classes it is sorted into."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.families import load
from partsbin.families._declare import CONDITIONS, Item, known
from partsbin.stock.catalogue import Draft
from partsbin.stock.keys import (
    LIMIT_STEP,
    LIMIT_UNKNOWN,
    MISSING_LIMIT,
    MISSING_OTHER,
    MISSING_VALUE,
    OPTIONS_A_PART,
    SPREADS,
    keys_of,
    limit_class,
    promise,
    spread_class,
)
from tests.stock.random_drafts import drafts, item_of

CAPACITOR = load("capacitor")
RATINGS = st.floats(1e-3, 1e6)


@given(RATINGS, RATINGS)
def test_a_higher_rating_is_never_in_a_lower_class(one: float, other: float) -> None:
    """So that a search may leave out every class below its own."""
    low, high = sorted((one, other))
    assert limit_class(low) <= limit_class(high)


@given(RATINGS)
def test_a_class_of_ratings_is_fifteen_per_cent_wide(rating: float) -> None:
    """A rating and another 15 % above it are one class apart."""
    assert limit_class(rating * math.exp(LIMIT_STEP)) - limit_class(rating) == 1


@pytest.mark.parametrize("step", [-31, -4, 0, 13, 17, 45, 60])
def test_a_rating_on_a_rung_is_in_the_class_that_begins_there(step: int) -> None:
    """Whatever the binary logarithm makes of it."""
    assert limit_class(1.02**step) == step


@given(st.floats(1e-12, 1e6), st.floats(0, 0.9999), st.floats(0, 100))
def test_an_interval_reaches_no_further_than_its_class(value: float, below: float, above: float) -> None:
    """The bound of the class, times the value and through it, encloses the interval; the class below would not."""
    low, high = value * (1 - below), value * (1 + above)
    number = spread_class(value, low, high)
    reach = max(high / value, value / low)
    assert reach <= SPREADS[number]
    assert number == 0 or reach > SPREADS[number - 1]


@pytest.mark.parametrize(("low", "high"), [(0.0, 2.0), (-1.0, 3.0), (1e-9, 1.0), (1.0, 1e9)])
def test_an_interval_without_bounds_is_in_the_last_class(low: float, high: float) -> None:
    """As of a reading whose uncertainty is as large as itself."""
    assert spread_class(1.0, low, high) == len(SPREADS) - 1


def test_the_promise_puts_the_shelf_before_offers_condition_before_count() -> None:
    """New, unused old, salvaged, unknown; then the larger count; every offer after everything on the shelf."""
    ordered = [
        promise(condition, count, origin)
        for origin in ("shelf", "offered")
        for condition in (*CONDITIONS, "")
        for count in (1000, 10, 1)
    ]
    assert ordered == sorted(ordered)
    assert len(set(ordered)) == len(ordered)


@given(st.sampled_from([*CONDITIONS, ""]), st.integers(0, 10**9), st.integers(0, 10**9))
def test_more_of_a_kind_never_promise_less(condition: str, one: int, other: int) -> None:
    """Counts beyond a million are all alike."""
    few, many = sorted((one, other))
    assert promise(condition, many) <= promise(condition, few)


@given(drafts())
def test_the_value_of_an_option_lies_in_its_interval(draft: Draft) -> None:
    """Or the search would look for it in the wrong place."""
    family = load(draft.family)
    for row in keys_of(family, 1, family.options(item_of(draft, "")), 0):
        if row["value"] is not None:
            assert row["low"] <= row["value"] <= row["high"]


@given(drafts())
def test_keys_say_what_is_missing(draft: Draft) -> None:
    """A value, a limit, or something else that a check may want; what is missing is empty, what is not is there."""
    family = load(draft.family)
    options = family.options(item_of(draft, ""))
    for option, row in zip(options, keys_of(family, 1, options, 0), strict=False):
        assert bool(row["missing"] & MISSING_VALUE) == (row["value"] is None)
        assert bool(row["missing"] & MISSING_LIMIT) == (row["limit_high"] is None)
        assert (row["limit_class"] == LIMIT_UNKNOWN) == (row["limit_high"] is None or family.keys.named is not None)
        assert bool(row["missing"] & MISSING_OTHER) == family.owes(option.offers)


@given(drafts(), st.integers(1, 10**6))
def test_every_option_has_a_key_of_its_own(draft: Draft, part: int) -> None:
    """Numbered within the part's own range, one after the other."""
    family = load(draft.family)
    options = family.options(item_of(draft, ""))
    rows = keys_of(family, part, options, 0)
    assert [row["id"] for row in rows] == [part * OPTIONS_A_PART + number for number in range(len(options))]


@given(drafts())
def test_packed_words_come_out_as_they_went_in(draft: Draft) -> None:
    """The quantities with few values, "" or NaN where unknown."""
    family = load(draft.family)
    options = family.options(item_of(draft, ""))
    for option, row in zip(options, keys_of(family, 1, options, 0), strict=True):
        columns = family.keys.unpack(np.array([row["kind"]], dtype=np.int64))
        for name, _ in family.keys.kind:
            found = columns[name][0]
            wanted = option.offers.get(name)
            assert (found == wanted) if known(option.offers, name) else (found == "" or math.isnan(found))


def test_a_can_of_three_sections_has_its_seven_ways_of_use() -> None:
    """Three alone, three pairs, all in parallel."""
    facts = CAPACITOR.facts.model_validate({"sections": [{"capacitance": 16e-6, "voltage_dc": 450.0}] * 3})
    rows = keys_of(CAPACITOR, 7, CAPACITOR.options(Item(facts, "new")), 0)
    assert [row["value"] for row in rows] == pytest.approx([16e-6] * 3 + [32e-6] * 3 + [48e-6])
