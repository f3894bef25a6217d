"""The tab key: families, positions, facts."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest


def offered(line: str) -> list[str]:
    """Return what a shell is offered at the end of the line."""
    asked = {"_PARTSBIN_COMPLETE": "complete_bash", "COMP_WORDS": line, "COMP_CWORD": str(line.count(" "))}
    ran = subprocess.run(
        [sys.executable, "-m", "partsbin.cli.main"],
        env={**os.environ, **asked},
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    return ran.stdout.split()


@pytest.mark.parametrize(
    ("line", "first"),
    [
        ("partsbin find cap", ["capacitor"]),
        ("partsbin find capacitor --position cou", ["coupling"]),
        ("partsbin try 22n capacitor --position cath", ["cathode-bypass"]),
        ("partsbin find fuse --position pr", ["primary"]),
        ("partsbin find capacitor --with cha", ["chassis="]),
    ],
)
def test_the_shell_is_offered_what_fits(line: str, first: list[str]) -> None:
    """Only what begins so, and only positions of the family."""
    assert offered(line) == first


def test_behind_the_sign_stand_the_words_of_the_fact() -> None:
    """As far as it takes words."""
    assert "chassis=live" in offered("partsbin find capacitor --with chassis=l")
