"""What tests of several layers share, and the rule that nothing is skipped in CI."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import Engine

from partsbin.store.engine import open_store
from tests.no_skips import pytest_make_collect_report, pytest_runtest_makereport

__all__ = ["pytest_make_collect_report", "pytest_runtest_makereport"]


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Engine]:
    """An empty catalogue in a file of its own."""
    engine = open_store(tmp_path / "catalogue.sqlite")
    yield engine
    engine.dispose()


@pytest.fixture
def noon() -> datetime:
    """A moment that does not pass."""
    return datetime(2026, 3, 1, 12, tzinfo=UTC)
