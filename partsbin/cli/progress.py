"""What is said on a terminal while long work goes on."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, nullcontext

from partsbin.cli.common import say


@contextmanager
def progress(
    name: str, of: int = 0, *, unit: str = "rows", warning: str = "", lost: str = "nothing was written"
) -> Iterator[Callable[..., None]]:
    """Give what says on a terminal how many rows are done, of about how many; into a pipe or a file nothing is said.

    Until it is called, what goes on is said alone, and how many rows there are, where that is known.
    It is called with the rows done and those refused among them; at the first of these a warning is said, once. Work of several
    steps names each, and of how many rows. Who interrupts what goes on in it is told what became of it.
    """
    try:
        with (
            _on_terminal(name, of, unit, warning)
            if sys.stderr.isatty()
            else nullcontext(lambda *rows, **step: None) as told
        ):
            yield told
    except KeyboardInterrupt:
        say(f"partsbin: interrupted: {lost}")
        raise


@contextmanager
def _on_terminal(name: str, of: int, unit: str, warning: str) -> Iterator[Callable[..., None]]:
    began, warned = {name: time.monotonic()}, not warning

    def told(rows: int, refused: int = 0, name: str = name, of: int = of) -> None:
        nonlocal warned
        took = time.monotonic() - began.setdefault(name, time.monotonic())
        if refused and not warned:
            warned = True
            sys.stderr.write(f"\r\x1b[K{warning}\n")
        many = f"{rows:,} of {max(of, rows):,}" if of else f"{rows:,}"
        bad = f", {refused:,} refused" if refused else ""
        said = f"{name}: {many} {unit}{bad}{left(took, rows, of)}" if rows or of else f"{name} …"
        sys.stderr.write(f"\r\x1b[K{said}")
        sys.stderr.flush()

    try:
        told(0)
        yield told
    finally:
        sys.stderr.write("\r\x1b[K")
        sys.stderr.flush()


def left(took: float, rows: int, of: int) -> str:
    """Return how long it takes yet, where that can be said: not by the first few rows; short times are not worth a word."""
    seconds = took / rows * (of - rows) if rows * 200 >= of > 0 else 0
    if seconds < 10:
        return ""
    return f", {seconds / 60:.0f} min left" if seconds > 90 else f", {seconds:.0f} s left"
