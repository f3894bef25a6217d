"""On a terminal: colour unless nobody wants it, a pager for what is longer than the screen; elsewhere plain text."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest

from partsbin.cli.screen import coloured

QUESTION = (
    "try",
    "22n 630V film",
    "capacitor",
    "--position",
    "coupling",
    "--with",
    "rail=240",
    "--with",
    "original=0.02uF 350V",
)


def on_a_terminal(lines: int, **more: str) -> str:
    """Return what the question shows on a terminal of so many lines."""
    ours, theirs = pty.openpty()
    environment = {
        **os.environ,
        "PYTHONIOENCODING": "utf-8",
        "COLUMNS": "100",
        "LINES": str(lines),
        "TERM": "xterm",
        "PAGER": "cat",
    }
    environment.pop("NO_COLOR", None)
    with subprocess.Popen(
        [sys.executable, "-m", "partsbin.cli.main", *QUESTION],
        stdout=theirs,
        env=environment | more,
        cwd=Path(__file__).parents[2],
    ) as process:
        os.close(theirs)
        shown = b""
        while True:
            try:
                piece = os.read(ours, 65536)
            except OSError:  # the other end is closed: that is how a terminal says so
                break
            if not piece:
                break
            shown += piece
        process.wait()
    os.close(ours)
    return shown.decode("utf-8").replace("\r\n", "\n")


def test_the_verdict_is_in_colour_on_a_terminal() -> None:
    """Green, and the word says it too."""
    assert "\x1b[32mFITS\x1b[0m" in on_a_terminal(200)


@pytest.mark.parametrize("plain", [{"NO_COLOR": "1"}, {"TERM": "dumb"}])
def test_nobody_gets_colour_who_asked_for_none(plain: dict[str, str]) -> None:
    """NO_COLOR and a dumb terminal."""
    shown = on_a_terminal(200, **plain)
    assert "\x1b" not in shown
    assert "\nFITS " in shown


def test_a_long_answer_goes_through_the_pager_and_a_short_one_does_not() -> None:
    """Longer than the screen: what PAGER names is given the text."""
    assert "\nFITS " not in on_a_terminal(5, PAGER="tr A-Z a-z", NO_COLOR="1")
    assert "\nFITS " in on_a_terminal(200, PAGER="tr A-Z a-z", NO_COLOR="1")


def test_a_pager_that_is_not_there_loses_nothing() -> None:
    """The text is printed."""
    assert "\nFITS " in on_a_terminal(5, PAGER="no-such-pager", NO_COLOR="1")


def test_only_the_word_at_the_head_of_a_line_is_coloured() -> None:
    """A part called FITS in its title keeps its own look."""
    assert coloured("CARE  it FITS\nit FITS") == "\x1b[33mCARE\x1b[0m  it FITS\nit FITS"
