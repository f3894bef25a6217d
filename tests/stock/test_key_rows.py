"""Search keys of many drafts: worked out once for those that differ in nothing that matters."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st

from partsbin.families import load
from partsbin.stock.key_rows import KeyMaker
from partsbin.stock.keys import keys_of, promise
from partsbin.stock.parts import Draft
from tests.stock.random_drafts import drafts, item_of

LINEUPS = {"D-001": "ECH81 EL84 EZ80", "D-002": ""}


@given(drafts(), st.integers(1, 9), st.sampled_from(["", "new", "salvaged"]), st.sampled_from(["", "D-001", "D-002"]))
def test_remembered_keys_are_those_worked_out_anew(draft: Draft, count: int, condition: str, donor: str) -> None:
    """Whatever differs between drafts of the same facts: condition, count, donor."""
    maker = KeyMaker()
    alike = [
        draft,
        replace(draft, count=count),
        replace(draft, condition=condition),
        replace(draft, donor=donor),
        draft,
    ]
    for part_id, one in enumerate(alike, 1):
        family = load(one.family)
        order = promise(one.condition, one.count, one.origin)
        options = family.options(item_of(one, LINEUPS.get(one.donor, "")))
        anew = keys_of(family, part_id, options, order) if one.count else []
        assert maker.of_draft(part_id, one, LINEUPS) == anew


def test_equal_markings_are_worked_out_once() -> None:
    """That is what makes a long list quick."""
    maker = KeyMaker()
    draft = Draft("capacitor", load("capacitor").facts.model_validate({"capacitance": 1e-9}), condition="new")
    maker.of_draft(1, draft, {})
    maker.of_draft(2, replace(draft, count=7, place="box"), {})
    assert len(maker.made) == 1
