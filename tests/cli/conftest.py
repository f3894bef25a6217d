"""Catalogues for the commands: an empty one, a small shelf, the demonstration's."""

from __future__ import annotations

import sqlite3
from contextlib import closing
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


def copied(source: Path, target: Path) -> Path:
    """Copy a catalogue as it stands, whatever still lies beside it."""
    with closing(sqlite3.connect(source)) as old, closing(sqlite3.connect(target)) as new:
        old.backup(new)
    return target


@pytest.fixture(scope="session")
def templates(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The catalogues of which the tests get copies."""
    folder = tmp_path_factory.mktemp("templates")
    open_store(folder / "empty.sqlite").dispose()
    for words in SHELF:
        ran = partsbin("shelve", *words, db=folder / "shelf.sqlite")
        assert ran.code == 0, ran.err
    return folder


@pytest.fixture
def empty(templates: Path, tmp_path: Path) -> Path:
    """A catalogue with nothing in it."""
    return copied(templates / "empty.sqlite", tmp_path / "empty.sqlite")


@pytest.fixture
def shelf(templates: Path, tmp_path: Path) -> Path:
    """A catalogue of six parts."""
    return copied(templates / "shelf.sqlite", tmp_path / "shelf.sqlite")
