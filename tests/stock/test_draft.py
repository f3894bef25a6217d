"""A part from one line of trade notation, and the words said beside it."""

from __future__ import annotations

import pytest

from partsbin.errors import UsageError
from partsbin.stock.draft import condition_named, draft_from_text

CONDITIONS = [
    *(
        (word, "salvaged")
        for word in ("used", "Used", "ex equipment", "ex-equipment", "pulled", "salvaged", "gebraucht")
    ),
    *((word, "unused-old") for word in ("NOS", "nos", "N.O.S.", "unused old", "unused_old", "new old stock")),
    *((word, "new") for word in ("NEW", "new", "brand new", "neu")),
    ("", ""),
    ("  ", ""),
]


@pytest.mark.parametrize(("text", "condition"), CONDITIONS)
def test_a_condition_is_known_by_its_usual_words(text: str, condition: str) -> None:
    """New old stock is unused and old, not new."""
    assert condition_named(text) == condition


@pytest.mark.parametrize("text", ["good", "as new", "like new", "new?", "shiny", "tested", "not new", "refurbished"])
def test_a_word_that_is_no_condition_is_refused_with_the_list(text: str) -> None:
    """A part that may be used is not taken for new."""
    with pytest.raises(UsageError, match="is not a condition") as caught:
        condition_named(text)
    assert caught.value.hint.startswith("one of new, unused-old, salvaged")


def test_what_is_said_beside_a_line_goes_into_the_part() -> None:
    """In the program's own words; what the person typed as the part stays its marking."""
    draft, doubts = draft_from_text("22n 630V film", family="Capacitors", condition="NOS", place="E1", count=3)
    assert (draft.family, draft.condition, draft.place, draft.count) == ("capacitor", "unused-old", "E1", 3)
    assert (draft.marking, doubts) == ("22n 630V film", [])


def test_a_condition_beside_the_line_goes_before_one_in_it() -> None:
    """The option was said on purpose."""
    assert draft_from_text("22n 630V film NOS", condition="used")[0].condition == "salvaged"
    assert draft_from_text("22n 630V film NOS")[0].condition == "unused-old"


def test_insulation_is_kept_as_leakage() -> None:
    """A capacitor is reckoned with by its leakage."""
    (reading,) = draft_from_text("22n 630V film", readings=["insulation=20M±0%@250V"])[0].readings
    assert reading.quantity == "leakage"
    assert reading.value == pytest.approx(12.5e-6)
