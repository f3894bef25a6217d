"""Taking in a list against the bare insert of the same rows: as a whole process, and `executemany` into tables with the same indexes.

The other side is given the finished rows of every table, derived ones included, and neither reads, validates nor accounts.
"""

from __future__ import annotations

import csv
import random
import sqlite3
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.bench.measure import once

PLACES = 400
_FIRST = ("meta", "place", "donor", "file_origin", "part")
"""Tables that others refer to."""


@dataclass(frozen=True)
class Taken:
    """What one import cost, and the bare insert of what it wrote."""

    ours: float
    peak: int
    bare: float
    rows: int


def listed(path: Path, size: int) -> Path:
    """Write a list as a workshop keeps one: a description, a count, a place."""
    source = random.Random(size)
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(file)
        writer.writerow(["family", "description", "count", "condition", "place"])
        for _ in range(size):
            value = f"{source.choice((10, 15, 22, 33, 47, 68))}{source.choice('pnu')}"
            kind = source.choice(("film", "polyester", "mica", "ceramic", "electrolytic"))
            volts = source.choice((63, 100, 250, 400, 630, 1000))
            condition = source.choice(("new", "unused-old", "salvaged", ""))
            writer.writerow(
                [
                    "capacitor",
                    f"{value} {volts}V {kind}",
                    source.randint(1, 50),
                    condition,
                    f"drawer {source.randrange(PLACES)}",
                ]
            )
    return path


def take(size: int) -> Taken:
    """Import a list of that size in a process of its own [ms], then insert the same rows bare."""
    partsbin = str(Path(sys.executable).with_name("partsbin"))
    with TemporaryDirectory() as folder:
        here = Path(folder)
        listing, store = listed(here / "list.csv", size), here / "c.sqlite"
        seconds, peak = once([partsbin, "import", str(listing), "--db", str(store)])
        bare, rows = _bare(store, here / "bare.sqlite")
    return Taken(seconds * 1e3, peak, bare, rows)


def _bare(store: Path, other: Path) -> tuple[float, int]:
    source = sqlite3.connect(store)
    tables = [
        name
        for (name,) in source.execute(
            "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite_%'"
        )
    ]
    made = source.execute(
        "SELECT sql FROM sqlite_master WHERE sql > '' AND name NOT LIKE 'sqlite_%' ORDER BY type <> 'table'"
    )
    bare = sqlite3.connect(other, isolation_level=None)
    for (sql,) in made:
        bare.execute(sql)
    for pragma in ("journal_mode=wal", "synchronous=normal", "foreign_keys=on"):
        bare.execute(f"PRAGMA {pragma}")
    spent, count = 0.0, 0
    bare.execute("BEGIN")
    for name in sorted(tables, key=lambda name: (_FIRST.index(name) if name in _FIRST else len(_FIRST), name)):
        rows = source.execute(f'SELECT * FROM "{name}"').fetchall()
        if rows:
            start = time.perf_counter()
            bare.executemany(f'INSERT INTO "{name}" VALUES ({",".join("?" * len(rows[0]))})', rows)
            spent += time.perf_counter() - start
            count += len(rows)
    start = time.perf_counter()
    bare.execute("COMMIT")
    spent += time.perf_counter() - start
    for connection in (source, bare):
        connection.close()
    return spent * 1e3, count


def lines(size: int) -> Iterator[tuple[str, Taken]]:
    """Yield the row of the table, and a tenth of the list beside it for the memory."""
    for few in (size // 10, size):
        yield f"import, process, {few:,} rows of a list: bare executemany", take(few)
