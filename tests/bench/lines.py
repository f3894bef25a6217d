"""The lines of the table: ours, the others, their ratio, what is to be reached and whether it is."""

from __future__ import annotations

import sys
from contextlib import ExitStack
from dataclasses import dataclass

from sqlalchemy import Connection

from partsbin.store.engine import open_store, reading
from tests.bench.catalogue import Files, files
from tests.bench.measure import Runs

MEGABYTE = 1e6


@dataclass(frozen=True)
class Row:
    """One line of the table. `met` is None where there is no target."""

    what: str
    ours: str
    other: str
    ratio: str
    reach: str = ""
    met: bool | None = None


@dataclass(frozen=True)
class Plan:
    """What to run."""

    size: int
    rounds: int
    process_rounds: int

    def store(self, stack: ExitStack, kind: str, size: int, window: int | None = None) -> tuple[Files, Connection]:
        """Return a catalogue's files and an open connection to it."""
        found = files(kind, size, window, tell=tell)
        engine = open_store(found.store, create=False)
        stack.callback(engine.dispose)
        return found, stack.enter_context(reading(engine))


def tell(line: str) -> None:
    """Say what is going on, on stderr: the table alone is on stdout."""
    print(line, file=sys.stderr, flush=True)


def against(what: str, mine: Runs, other: Runs, *, most: float | None = None, under: float | None = None) -> Row:
    """Return a line that divides our median by theirs, or that of many parts by that of few, and its target if there is one."""
    ratio = mine.median / other.median
    reach, met = ("", None) if most is None else (f"≤ {most:g}", ratio <= most)
    if under is not None:
        reach, met = f"< {under:g}", ratio < under
    return Row(what, f"{mine}", f"{other}", f"{ratio:.2f}", reach, met)


def table(lines: list[Row]) -> str:
    """Return the table as text; times in milliseconds."""
    head = ("what: median (least–most) in ms", "ours, or many parts", "other, or few parts", "ratio", "reach", "")
    words = {True: "met", False: "MISSED", None: ""}
    cells = [head, *((row.what, row.ours, row.other, row.ratio, row.reach, words[row.met]) for row in lines)]
    widths = [max(len(line[column]) for line in cells) for column in range(len(head))]
    text = ["  ".join(f"{cell:<{width}}" for cell, width in zip(line, widths, strict=True)).rstrip() for line in cells]
    return "\n".join((text[0], "-" * len(max(text, key=len)), *text[1:]))
