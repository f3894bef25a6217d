"""Cells that a spreadsheet would take for formulas, guarded and unguarded."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.stock.guard import BLANKS, guarded, unguarded

TEXT = st.text(st.characters(exclude_categories=["Cs"])) | st.sampled_from(
    ["=1", "'=1", "''", "'", "-", "n/a", "Value", "'~", "+49", "@x", "\t1"]
)


@given(TEXT)
def test_a_text_comes_back_as_it_was(text: str) -> None:
    """Whatever it begins with, and however often it goes out and comes in."""
    assert unguarded(guarded(text)) == text
    assert unguarded(unguarded(guarded(guarded(text)))) == text


@given(TEXT)
def test_no_guarded_text_begins_a_formula_or_says_nothing(text: str) -> None:
    """That is what it is for."""
    cell = guarded(text)
    assert not cell.startswith(("=", "+", "-", "@", "\t", "\r"))
    assert cell.lower() not in BLANKS


@pytest.mark.parametrize("text", ["'57 chassis", "22n", "don't"])
def test_an_apostrophe_of_somebody_elses_stays(text: str) -> None:
    """It guards nothing."""
    assert unguarded(text) == text
