"""In CI a skipped test is a failed one: what it needs (the shared lists, a database) is there, or the run proves less than it says."""

from __future__ import annotations

import os
from collections.abc import Generator
from typing import TypeVar

import pytest

AnyReport = TypeVar("AnyReport", pytest.TestReport, pytest.CollectReport)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport() -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Fail a test that skips itself."""
    return _no_skip((yield))


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report() -> Generator[None, pytest.CollectReport, pytest.CollectReport]:
    """Fail a file that skips itself as a whole."""
    return _no_skip((yield))


def _no_skip(report: AnyReport) -> AnyReport:
    if os.environ.get("CI") and report.skipped and not hasattr(report, "wasxfail"):
        why = report.longrepr[2] if isinstance(report.longrepr, tuple) else report.longrepr
        report.outcome = "failed"
        report.longrepr = f"{why}, and CI is set: nothing may be skipped"
    return report
