"""The reports over a ledger of a million movements, invented and seeded, beside the bare reading of that ledger.

A tenth as many parts, each bought first, then fitted into jobs, now and then taken out again, scrapped, counted, moved. The others
read every movement with its act and sum nothing.
"""

from __future__ import annotations

import hashlib
import inspect
import json
import shutil
import sqlite3
import sys
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
from sqlalchemy import Connection, text

from partsbin.reports.frames import REPORTS, report
from partsbin.stock.keeping.faults import claims, counts
from partsbin.store.bulk import insert_rows
from partsbin.store.engine import open_store, reading, writing
from partsbin.store.job_tables import Fitting, Job, Stripping
from partsbin.store.tables import Act, Movement, table_of
from tests.bench import measure
from tests.bench.catalogue import WORK, files
from tests.bench.lines import Plan, Row, against, tell
from tests.bench.rows import SEED

WORDS = ("bought", "fitted", "returned", "scrapped", "counted", "moved")
SHARES = (0.12, 0.60, 0.0, 0.05, 0.08, 0.15)
QUANTITIES = (5, -1, 1, -1, 1, 0)
BOUGHT, FITTED, RETURNED, MOVED = (WORDS.index(word) for word in ("bought", "fitted", "returned", "moved"))
BACK = 0.08
"""How much of what was fitted comes out again [-]."""

FIRST_BOUGHT = 100
NOW = datetime(1967, 4, 1, 9, tzinfo=UTC)
AT_ONCE = 50_000


def drawn(parts: int, size: int) -> np.ndarray:
    """Return `size` movements in the order of their time: part, word, job; every part is bought first."""
    rng = np.random.default_rng(SEED)
    later = size - parts
    word = rng.choice(len(WORDS), later, p=SHARES)
    made = np.stack(
        [rng.integers(1, parts + 1, later), word, np.where(word == FITTED, rng.integers(1, parts // 20, later), 0)]
    )
    at = np.flatnonzero((word == FITTED) & (rng.random(later) < BACK))
    behind = at[at + 1 < later] + 1  # the movement after it becomes its coming out
    behind = behind[word[behind] != FITTED]
    made[:, behind] = made[:, behind - 1]
    made[1, behind] = RETURNED
    first = np.stack([np.arange(1, parts + 1), np.full(parts, BOUGHT), np.zeros(parts, dtype=np.int64)])
    return np.concatenate([first, made], axis=1)


def ledger(size: int) -> Path:
    """Return a catalogue with so many movements, made if it is not there."""
    source = files("realistic", size // 10, tell=tell)
    stamp = hashlib.sha256(f"{source.made()['stamp']}{inspect.getsource(sys.modules[__name__])}".encode()).hexdigest()
    folder = WORK / f"ledger-{size}"
    store, note = folder / "catalogue.sqlite", folder / "made.json"
    if note.exists() and json.loads(note.read_text())["stamp"] == stamp:
        return store
    tell(f"making a ledger of {size:,} movements in {folder}")
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    shutil.copy(source.store, store)
    engine = open_store(store)
    with writing(engine) as connection:
        _write(connection, size // 10, size)
        wrong = [*counts(connection), *claims(connection)]
    if wrong:
        raise RuntimeError(f"the ledger made does not add up: {wrong[0]}")
    engine.dispose()
    note.write_text(json.dumps({"stamp": stamp}))
    return store


def _write(connection: Connection, parts: int, size: int) -> None:
    there = connection.execute(text("SELECT max(id) FROM movement")).scalar_one()
    base = max(there, connection.execute(text("SELECT max(id) FROM act")).scalar_one())
    made = drawn(parts, size - there)
    begun, step = datetime(1957, 4, 1, 9, tzinfo=UTC), timedelta(days=3640) / made.shape[1]
    jobs = [{"what": "receiver", "opened_at": begun, "reference": "", "facts": {}} for _ in range(parts // 20)]
    insert_rows(connection, table_of(Job), jobs)
    for start in range(0, made.shape[1], AT_ONCE):
        chunk = list(enumerate(made[:, start : start + AT_ONCE].T.tolist(), start))
        acts = [
            {"id": base + 1 + n, "word": WORDS[word], "at": begun + n * step, "by": "bench", "why": ""}
            for n, (_, word, _) in chunk
        ]
        insert_rows(connection, table_of(Act), acts)
        insert_rows(
            connection, table_of(Movement), [_movement(base + 1 + n, *row, first=n < parts) for n, row in chunk]
        )
        insert_rows(connection, table_of(Fitting), [_fitting(base + 1 + n) for n, row in chunk if row[1] == FITTED])
    donors = connection.execute(text("SELECT id FROM donor")).scalars().all()
    sat = [{"donor_id": donor, "at": begun, "by": "bench", "minutes": 40.0, "parts": 9} for donor in donors]
    insert_rows(connection, table_of(Stripping), sat)
    connection.execute(
        text(
            "UPDATE part SET on_hand = (SELECT sum(quantity) FROM movement WHERE part_id = part.id), price = id % 900 + 50"
        )
    )


def _movement(number: int, part: int, word: int, job: int, *, first: bool) -> dict[str, Any]:
    return {
        "id": number, "act_id": number, "part_id": part, "job_id": job or None, "word": WORDS[word],
        "quantity": FIRST_BOUGHT if first else QUANTITIES[word], "aside": 0, "price": 250,
        "changes": {"place_id": [1, 2]} if word == MOVED else None,
    }  # fmt: skip


def _fitting(number: int) -> dict[str, Any]:
    care = number % 3 == 0
    return {
        "movement_id": number, "designator": f"C{number % 40}", "position": "coupling", "verdict": "care" if care else "fits",
        "check_code": "CAP-VOLTS", "margin": number % 50 / 100, "reason": "384 V of 630 V", "change": "",
    }  # fmt: skip


def lines(plan: Plan) -> Iterator[Row]:
    """One row a report."""
    store = ledger(plan.size)
    engine = open_store(store, create=False)
    query = """SELECT act.at, act.word, act.by, movement.id, part_id, job_id, movement.word, quantity, aside, price, changes
               FROM movement JOIN act ON act.id = movement.act_id"""
    rounds = max(3, plan.rounds // 5)
    with reading(engine) as connection, closing(sqlite3.connect(store)) as bare:
        for name in REPORTS:
            runs = measure.side_by_side(
                {"ours": partial(report, connection, name, NOW), "other": lambda: bare.execute(query).fetchall()},
                rounds,
            )
            yield against(f"report {name}, {plan.size:,} movements: bare reading of all", runs["ours"], runs["other"])
    engine.dispose()
