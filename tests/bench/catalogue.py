"""Catalogues for the benchmarks: the same rows as a partsbin file, as Parquet (unsorted, sorted by value) and as CSV.

The partsbin file is written through partsbin's own functions, so it holds what a bench that had shelved these parts would hold.
Files lie in ``.work/`` by kind and size. What the program writes may change, so each carries a stamp of a small catalogue of
its kind, dumped as SQL: where the stamp differs the file is made anew.
"""

from __future__ import annotations

import argparse
import hashlib
import inspect
import json
import shutil
import sqlite3
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np

from partsbin.families import load
from partsbin.families._declare import Facts
from partsbin.stock.catalogue import Draft, shelve
from partsbin.store.engine import open_store, writing
from tests.bench import every, irons, rows
from tests.bench.rows import CONDITIONS, MATERIALS, TOLERANCES, Rows

WORK = Path(__file__).parent / ".work"
CHUNK = 25_000
SAMPLE = 1_000
ROW_GROUP = (
    122_880  # what DuckDB itself writes and reads best: one group would keep it from using both cores and from skipping
)
SHELVED_AT = datetime(1957, 4, 1, 9, 0, tzinfo=UTC)
IRONS, EVERY = "transformers", "every-family"
OTHERS = (IRONS, EVERY)


@dataclass(frozen=True)
class Files:
    """Where one catalogue lies."""

    folder: Path

    @property
    def store(self) -> Path:
        """The partsbin catalogue."""
        return self.folder / "catalogue.sqlite"

    @property
    def parquet(self) -> Path:
        """The rows in the order of their numbers."""
        return self.folder / "parts.parquet"

    @property
    def by_value(self) -> Path:
        """The rows sorted by value."""
        return self.folder / "parts_by_value.parquet"

    @property
    def csv(self) -> Path:
        """The rows as text."""
        return self.folder / "parts.csv"

    @property
    def note(self) -> Path:
        """Stamp, seconds and sizes."""
        return self.folder / "made.json"

    def made(self) -> dict[str, Any]:
        """Return the note, empty where there is none."""
        return dict(json.loads(self.note.read_text())) if self.note.exists() else {}


def files(kind: str, size: int, window: int | None = None, *, tell: Callable[[str], None] = lambda line: None) -> Files:
    """Return a catalogue's files, made if they are not there or if the program writes something else by now.

    Parameters
    ----------
    kind : str
        One of `rows.KINDS`; `IRONS`: transformers, in a partsbin file alone; `EVERY`: parts of all families, with a file a family
        for the others.
    size : int
        How many parts [-].
    window : int, optional
        How many of them in the need's value window [-].
    tell : callable
        Takes a line about what is being made.
    """
    name = f"{kind}-{size}" + ("" if window is None else f"-{window}")
    found = Files(WORK / name)
    stamp = _stamp(kind)
    if found.made().get("stamp") == stamp:
        return found
    tell(f"making {name} in {found.folder}")
    start = time.perf_counter()
    fresh = Files(Path(tempfile.mkdtemp(prefix=f"{name}.", dir=_work())))
    _make(kind, size, window, fresh)
    seconds = time.perf_counter() - start
    bulk = {path.name: path.stat().st_size for path in sorted(fresh.folder.iterdir())}
    fresh.note.write_text(json.dumps({"stamp": stamp, "seconds": round(seconds, 1), "bytes": bulk}))
    shutil.rmtree(found.folder, ignore_errors=True)
    fresh.folder.rename(found.folder)
    tell(f"made {name} in {seconds:.0f} s, catalogue {bulk[found.store.name] / 1e6:.0f} MB")
    return found


def _work() -> Path:
    WORK.mkdir(exist_ok=True)
    return WORK


def _make(kind: str, size: int, window: int | None, where: Files) -> None:
    if kind == IRONS:
        _shelve(where.store, size, irons.drafts)
        return
    if kind == EVERY:
        _shelve(where.store, size, every.drafts)
        every.export(where.store, where.folder)
        return
    table = rows.catalogue(kind, size, window)
    _shelve(where.store, size, lambda first, last: drafts(table, first, last))
    _export(table, where)


@cache
def _stamp(kind: str) -> str:
    """A fingerprint of the rows drawn and of what partsbin makes of them: tables, titles, search keys, ledger."""
    with tempfile.TemporaryDirectory() as folder:
        sample = Files(Path(folder))
        _make(kind, SAMPLE, None if kind in OTHERS else rows.MATCHES, sample)
        connection = sqlite3.connect(sample.store)
        statements = sorted(connection.iterdump())  # the indexes of a table are a set: made in another order each time
        connection.close()
    written = "\n".join((*statements, inspect.getsource(every.export if kind == EVERY else _export), str(ROW_GROUP)))
    return hashlib.sha256(written.encode()).hexdigest()[:16]


def _shelve(path: Path, size: int, made: Callable[[int, int], Sequence[Draft]]) -> None:
    """Shelve parts 0 to size, many in one transaction. Their ids are 1 to size: the other files rely on it."""
    engine = open_store(path)
    for first in range(0, size, CHUNK):
        last = min(first + CHUNK, size)
        with writing(engine) as connection:
            ids = shelve(connection, made(first, last), at=SHELVED_AT, why="benchmark")
        if ids != list(range(first + 1, last + 1)):
            raise RuntimeError(f"ids {ids[0]} to {ids[-1]} given to parts {first + 1} to {last}")
    with engine.connect() as connection:
        connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
    engine.dispose()


@cache
def _marked(
    value: float | None, volts: float | None, dielectric: str | None, tolerance: float | None
) -> tuple[Facts, str]:
    """Facts and title, validated and worded once for each distinct marking: E6 values repeat."""
    family = load("capacitor")
    facts = family.facts.model_validate(
        {"capacitance": value, "voltage_dc": volts, "dielectric": dielectric, "tolerance": tolerance}
    )
    return facts, family.title(facts)


def _columns(table: Rows, first: int, last: int) -> Iterator[tuple[Any, ...]]:
    """Rows as plain Python values, None for unknown: value, volts, dielectric, tolerance, condition, count, place, donor."""
    part = table.take(slice(first, last))
    names = [material.name for material in MATERIALS]
    for value, volts, material, tolerance, condition, count, place, donor in zip(
        *(column.tolist() for column in vars(part).values()), strict=True
    ):
        yield (
            value if value == value else None,
            volts if volts == volts else None,
            names[material] if material >= 0 else None,
            TOLERANCES[tolerance],
            CONDITIONS[condition],
            count,
            place,
            donor,
        )


def drafts(table: Rows, first: int, last: int) -> list[Draft]:
    """Return rows as parts about to be shelved."""
    made = []
    for value, volts, dielectric, tolerance, condition, count, place, donor in _columns(table, first, last):
        facts, name = _marked(value, volts, dielectric, tolerance)
        made.append(
            Draft(
                "capacitor",
                facts,
                name,
                condition,
                count,
                place=f"drawer {place}",
                donor=f"D-{donor:03d}" if donor else "",
            )
        )
    return made


def _export(table: Rows, where: Files) -> None:
    """Write the same for the others, every column that the partsbin file holds something in: SI, empty where unknown."""
    import pyarrow as pa
    import pyarrow.compute as pc
    import pyarrow.csv
    import pyarrow.parquet as pq

    dielectric = np.array([material.name for material in MATERIALS] + [""])[table.material]
    known = [(made.title, made.place, made.donor) for made in drafts(table, 0, len(table))]
    titles, places, donors = (list(column) for column in zip(*known, strict=True))
    frame = pa.table(
        {
            "id": np.arange(1, len(table) + 1),
            "family": ["capacitor"] * len(table),
            "title": titles,
            "capacitance": pa.array(table.value, from_pandas=True),
            "voltage_dc": pa.array(table.volts, from_pandas=True),
            "dielectric": pa.array(dielectric, mask=table.material < 0),
            "tolerance": pa.array(np.array(TOLERANCES, dtype=np.float64)[table.tolerance], from_pandas=True),
            "condition": np.array(CONDITIONS)[table.condition],
            "count": table.count,
            "place": places,
            "donor": donors,
        }
    )
    pq.write_table(frame, where.parquet, row_group_size=ROW_GROUP)
    by_value = pc.sort_indices(frame, sort_keys=[("capacitance", "ascending")])
    pq.write_table(frame.take(by_value), where.by_value, row_group_size=ROW_GROUP)
    pyarrow.csv.write_csv(frame, where.csv)


def main() -> int:
    """Make one catalogue from the command line."""
    parser = argparse.ArgumentParser(
        prog="python -m tests.bench.catalogue", description="Make a benchmark catalogue, or find it made."
    )
    parser.add_argument("kind", choices=(*rows.KINDS, *OTHERS))
    parser.add_argument("size", type=int)
    parser.add_argument("--window", type=int, help="how many parts have a value in the need's window")
    asked = parser.parse_args()
    print(files(asked.kind, asked.size, asked.window, tell=lambda line: print(line, file=sys.stderr, flush=True)).store)
    return 0


if __name__ == "__main__":
    sys.exit(main())
