"""What tests of several layers share, and the rule that nothing is skipped in CI."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import settings
from sqlalchemy import Engine

from tests.engines import ENGINES, new_store, remove
from tests.no_skips import pytest_make_collect_report, pytest_runtest_makereport

__all__ = ["pytest_make_collect_report", "pytest_runtest_makereport"]

settings.register_profile("partsbin", deadline=None)  # how fast it is belongs to tests/bench
settings.load_profile("partsbin")

ON_BOTH = ("store", "stock", "matching", "jobs", "reports")
"""Folders whose tests with a `store` run on both engines, where they are not marked as of SQLite alone."""


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Run the tests of the store and of what stands on it on both engines."""
    folder = metafunc.module.__name__.split(".")[1]
    if "store" in metafunc.fixturenames and folder in ON_BOTH:
        alone = metafunc.definition.get_closest_marker("sqlite") is not None
        metafunc.parametrize("store", ENGINES[:1] if alone else ENGINES, indirect=True)


@pytest.fixture
def store(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Engine]:
    """An empty catalogue of its own, in a file of SQLite where nothing else is said."""
    engine = new_store(getattr(request, "param", "sqlite"), tmp_path)
    yield engine
    remove(engine)


@pytest.fixture
def noon() -> datetime:
    """A moment that does not pass."""
    return datetime(2026, 3, 1, 12, tzinfo=UTC)
