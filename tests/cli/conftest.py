"""Catalogues for the commands: an empty one, a small shelf, the demonstration's."""

from __future__ import annotations

from pathlib import Path

import pytest

from partsbin.store.engine import open_store
from tests.command import partsbin

SHELF = (
    ("22n 630V polypropylene", "--count", "12", "--condition", "new", "--place", "drawer C2"),
    ("47n 400V polyester", "--count", "3", "--rough", "--condition", "new"),
    ("0.02uF 350V waxed paper", "--condition", "salvaged", "--donor", "D-007", "--donor-lineup", "ECH81 EBF89 EL84"),
    ("20n tubular", "--condition", "salvaged", "--place", "box T1"),
    ("100n 275V~ X2", "--count", "5", "--condition", "new", "--place", "drawer X"),
    ("32+32uF 350V can", "--condition", "salvaged", "--reading", "capacitance@1=30uF±1%"),
)
"""Text and options of what lies on the small shelf, P-0001 to P-0006."""


@pytest.fixture
def empty(tmp_path: Path) -> Path:
    """A catalogue with nothing in it."""
    file = tmp_path / "empty.sqlite"
    open_store(file).dispose()
    return file


@pytest.fixture
def shelf(tmp_path: Path) -> Path:
    """A catalogue of six parts."""
    file = tmp_path / "shelf.sqlite"
    for words in SHELF:
        ran = partsbin("shelve", *words, db=file)
        assert ran.code == 0, ran.err
    return file
