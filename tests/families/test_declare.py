"""What every family declares: facts that come from a table, and facts that somebody typed."""

from __future__ import annotations

import random

import pytest
from pydantic import ValidationError

from partsbin import families
from partsbin.families import load
from tests.families.random_parts import MAKERS


@pytest.mark.parametrize("family_name", families.names())
def test_facts_of_a_table_are_those_that_were_validated(family_name: str) -> None:
    """Facts put together without validation equal the validated ones, field by field and as JSON."""
    source = random.Random(family_name)
    model = load(family_name).facts
    for _ in range(20):
        validated = MAKERS[family_name](source).facts
        trusted = model.trusted({name: getattr(validated, name) for name in reversed(model.model_fields)})
        assert trusted == validated
        assert trusted.model_dump_json() == validated.model_dump_json()


def test_facts_of_a_table_are_as_unchangeable_as_any() -> None:
    """What is marked on a part is not changed in passing."""
    model = load("capacitor").facts
    trusted = model.trusted(dict.fromkeys(model.model_fields))
    with pytest.raises(ValidationError, match="frozen"):
        trusted.capacitance = 1e-6  # type: ignore[attr-defined]
