"""The rule that nothing is skipped in CI holds, there and only there."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ONE = 'import pytest\n\n@pytest.mark.skipif(True, reason="no list")\ndef test_it(): ...\n'
ALL = 'import pytest\n\npytest.skip("no list", allow_module_level=True)\n'
XFAIL = 'import pytest\n\n@pytest.mark.xfail(reason="known", strict=True)\ndef test_it():\n    raise ValueError\n'


def run(folder: Path, text: str, ci: str) -> subprocess.CompletedProcess[str]:
    """Run pytest on a file with that text, with the plugin loaded."""
    (folder / "test_sample.py").write_text(text, encoding="utf-8")
    return subprocess.run(
        [
            sys.executable,
            "-m",
            "pytest",
            "-p",
            "tests.no_skips",
            "-c",
            os.devnull,
            "--rootdir",
            str(folder),
            str(folder),
        ],
        cwd=Path(__file__).parents[1],
        env={**os.environ, "CI": ci},
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.mark.parametrize("text", [ONE, ALL], ids=["one test", "a whole file"])
def test_a_skip_fails_in_ci(tmp_path: Path, text: str) -> None:
    """With the reason of the skip in the report."""
    ran = run(tmp_path, text, "true")
    assert ran.returncode in (1, 2)
    assert "no list, and CI is set: nothing may be skipped" in ran.stdout


@pytest.mark.parametrize("text", [ONE, ALL], ids=["one test", "a whole file"])
def test_a_skip_is_a_skip_elsewhere(tmp_path: Path, text: str) -> None:
    """On a machine without the shared lists the rest can still be run."""
    assert "1 skipped" in run(tmp_path, text, "").stdout


def test_an_expected_failure_is_no_skip(tmp_path: Path) -> None:
    """A strict xfail runs the test."""
    assert "1 xfailed" in run(tmp_path, XFAIL, "true").stdout
