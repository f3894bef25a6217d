"""Parts of every family in one catalogue, seeded, and the same as one Parquet file a family for the others.

A part is one that a repairer fits every week (`tests/data/everyday_parts.txt`), its figures moved along the E6 row, 5 % of them
not known. The others get the search keys finished, a row for each way of using a part: what of it is worked out from marks,
taps, windings and condition they are spared.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path
from typing import Any

import duckdb
from sqlalchemy import Connection

from partsbin.errors import PartsbinError
from partsbin.families import Family, load, names
from partsbin.families._declare import Facts
from partsbin.families._declare import Search as Asked
from partsbin.matching.answer import build
from partsbin.matching.names import names_of
from partsbin.needs import Request
from partsbin.sets import read_facts
from partsbin.stock.draft import draft_from_text
from partsbin.stock.keys import OPTIONS_A_PART
from partsbin.stock.parts import Draft
from partsbin.store.engine import open_store, reading
from tests.bench.rivals import LIMIT, UNKNOWN_LIMIT
from tests.bench.rows import CONDITION_SHARES, CONDITIONS, PLACES, SEED, UNKNOWN
from tests.families.test_everyday_parts import LINES

MARKINGS = 4_000
"""Different markings of a family: E values repeat [-]."""

STEPS = (1.0, 1.0, 1.0, 1.5, 2.2, 3.3, 4.7, 6.8, 1 / 1.5, 1 / 2.2, 1 / 3.3, 1 / 4.7, 1 / 6.8)


@lru_cache
def request(family: str) -> Request:
    """Return a usual need of a family: the first of the everyday parts."""
    line = next(line for line in LINES if line.family == family)
    return Request(family, line.dead, line.position, {}, read_facts(line.facts))


def drafts(first: int, last: int) -> list[Draft]:
    """Return parts number `first` to `last`, about to be shelved: families in turn."""
    return [_draft(random.Random(f"{SEED} {number}"), number) for number in range(first, last)]


def _draft(source: random.Random, number: int) -> Draft:
    family = names()[number % len(names())]
    facts, title = _marking(family, source.randrange(MARKINGS))
    condition = source.choices(CONDITIONS, CONDITION_SHARES)[0]
    return Draft(family, facts, title, condition, source.randint(1, 50), place=f"drawer {source.randrange(PLACES)}")


@lru_cache(None)
def _marking(name: str, number: int) -> tuple[Facts, str]:
    source, family = random.Random(f"{SEED} {name} {number}"), load(name)
    facts = source.choice(_everyday(name))
    for _ in range(9):
        changed = {field: _moved(source, value) for field, value in facts.model_dump().items()}
        try:
            made = family.facts.model_validate(changed)
        except ValueError:  # beyond what there is
            continue
        return made, family.title(made)
    return facts, family.title(facts)


@lru_cache
def _everyday(name: str) -> list[Facts]:
    found = []
    for line in LINES:
        if line.family == name:
            try:
                found.append(draft_from_text(line.part, family=name, count=1)[0].facts)
            except PartsbinError:  # understood only beside what it replaces
                continue
    return found


def _moved(source: random.Random, value: Any) -> Any:
    if value is not None and source.random() < UNKNOWN:
        return () if isinstance(value, tuple) else None
    if isinstance(value, float) and value > 0:
        return value * source.choice(STEPS)
    if isinstance(value, tuple):
        return [{field: _moved(source, each) for field, each in row.items()} for row in value]
    return value


def parquet(folder: Path, family: str) -> Path:
    """Return where a family's rows lie for the others."""
    return folder / f"{family}.parquet"


def export(store: Path, folder: Path) -> None:
    """Write each family's ways of use with what is known of the part, in the order of their numbers."""
    import pandas as pd

    engine = open_store(store, create=False)
    with reading(engine) as connection:
        for family in names():
            query = f"""
                SELECT k.id, k.value, k.low, k.high, k.limit_high, k.missing, k.promise, p.title, p.condition, p.on_hand AS count,
                       place.name AS place
                FROM option_keys k JOIN part p ON p.id = k.id / {OPTIONS_A_PART} LEFT JOIN place ON place.id = p.place_id
                WHERE k.family = '{family}' ORDER BY k.id"""
            pd.read_sql_query(query, connection).to_parquet(parquet(folder, family), index=False)
    engine.dispose()


class Duck:
    """DuckDB in this process, all cores, over one family's file: window and rating, the nearest first; then those of unknown value."""

    def __init__(self, folder: Path, family: Family, ours: Connection) -> None:
        _, need = build(request(family.name))
        self.asked = family.search(need)
        names = names_of(ours, family)  # as ours: which of them are refused is worked out before a row is read
        self.filter = hard_filter(self.asked) if names is None else called(names.judged(family, need, self.asked)[0])
        distance = f"abs(ln(value / {self.asked.ideal!r}))" if names is None else "0"
        self.connection = duckdb.connect()
        self.connection.execute("SET parquet_metadata_cache = true")
        self.connection.execute(f"CREATE VIEW way AS SELECT * FROM read_parquet('{parquet(folder, family.name)}')")
        self._query = f"""
            WITH hit AS MATERIALIZED (
                SELECT *, {distance} AS distance FROM way WHERE {self.filter})
            (SELECT * FROM hit WHERE value IS NOT NULL ORDER BY distance, promise, id LIMIT {LIMIT})
            UNION ALL (SELECT * FROM hit WHERE value IS NULL ORDER BY promise, id LIMIT {UNKNOWN_LIMIT})"""

    def rows(self) -> list[Any]:
        """Return the first rows that match, then the first of unknown value: what is timed."""
        return self.connection.execute(self._query).fetchall()

    def parts(self) -> set[int]:
        """Return the numbers of all parts that pass the filter with one way of use at least."""
        found = self.connection.execute(f"SELECT DISTINCT id // {OPTIONS_A_PART} FROM way WHERE {self.filter}")
        return {number for (number,) in found.fetchall()}


def hard_filter(asked: Asked) -> str:
    """Return the condition in SQL: neither value nor rating rules the way of use out."""
    window = f"(low <= {asked.high!r} AND high >= {asked.low!r} OR value IS NULL)"
    return (
        window if asked.least != asked.least else f"{window} AND (limit_high >= {asked.least!r} OR limit_high IS NULL)"
    )


def called(numbers: Sequence[float]) -> str:
    """Return the same where a name decides: it is one of these."""
    return f"value IN ({', '.join(map(repr, numbers)) or 'NULL'})"


def counted(connection: Connection, condition: str, family: str) -> int:
    """Count the same parts in partsbin's own keys."""
    query = f"SELECT count(DISTINCT id / {OPTIONS_A_PART}) FROM option_keys WHERE family = '{family}' AND {condition}"
    return int(connection.exec_driver_sql(query).scalar_one())
