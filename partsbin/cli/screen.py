"""A long answer on a terminal: the verdict's word in colour, a pager where it is longer than the screen. Plain text elsewhere."""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
import sys

from partsbin.cli.common import tell, visible

_COLOURS = {
    "FITS": "32",
    "CARE": "33",
    "MEASURE": "36",
    "UNFIT": "31",
    "NOTHING": "31",
    "CAUTION": "1",
    "ASK": "1",
    "NEED": "1",
}
_WORD = re.compile(rf"^({'|'.join(_COLOURS)})\b", re.MULTILINE)


def show(text: str) -> None:
    """Print an answer of many lines on stdout.

    Notes
    -----
    On a terminal alone: ``NO_COLOR`` and a dumb terminal keep it plain, ``PAGER`` names the pager (``cat`` for none). The words
    say everything that the colours do.
    """
    if not sys.stdout.isatty():
        tell(text)
        return
    text = visible(text)
    shown = coloured(text) if wants_colour() else text
    if text.count("\n") + 1 < shutil.get_terminal_size().lines or not _paged(shown):
        print(shown)


def wants_colour() -> bool:
    """Return whether the terminal takes colour and nobody asked for none."""
    return not os.environ.get("NO_COLOR") and os.environ.get("TERM", "dumb") != "dumb"


def coloured(text: str) -> str:
    """Return the text with the word at the head of a line in its colour."""
    return _WORD.sub(lambda found: f"\x1b[{_COLOURS[found[1]]}m{found[1]}\x1b[0m", text)


def _paged(text: str) -> bool:
    """Hand the text to the pager; return False where there is none to take it."""
    command = shlex.split(os.environ.get("PAGER") or "less")
    if not command or shutil.which(command[0]) is None:
        return False
    environment = {"LESS": "FRX", **os.environ}  # colours pass, and a short rest does not stay on another screen
    subprocess.run(command, input=text + "\n", text=True, encoding="utf-8", env=environment, check=False)
    return True
