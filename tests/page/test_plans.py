"""Query plans of all that the bench asks: no table that grows with the catalogue is read from end to end, but where it is stated."""

from __future__ import annotations

import random
import re
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import Engine, event
from starlette.testclient import TestClient

from partsbin.families import names
from partsbin.jobs.offers import take_offers
from partsbin.jobs.plan import plan
from partsbin.jobs.record import job_named
from partsbin.jobs.reorder import propose
from partsbin.matching.answer import find
from partsbin.page.app import create
from partsbin.reports.frames import REPORTS, report
from partsbin.stock.acts import Who
from partsbin.stock.catalogue import shelve
from partsbin.stock.columns import all_fields
from partsbin.stock.lists import read_cells
from partsbin.stock.searching.search import search
from partsbin.store.engine import reading, writing
from tests.families.random_parts import MAKERS, request
from tests.page.hostile import KNOWN, NOON, address, filled, templates

GROWS = re.compile(
    r"part|option_keys|movement|act|reading|file_origin|offer|offered_kind|photograph|search_(word|posting|text)|family_\w+"
)
"""Tables whose rows become many; the others have a row a place, a donor, a supplier, a job, a class of rating."""

WHOLE: dict[str, tuple[str, ...]] = {
    "donor_id IS NOT NULL ORDER BY part.id DESC LIMIT": ("part",),  # the newest first, no further than a page of them
    "FROM movement ORDER BY id DESC LIMIT": ("movement",),  # so are these
    "FROM act ORDER BY id DESC LIMIT": ("act",),  # and of these the last one
    "FROM file_origin WHERE file_origin.id IS NULL": (
        "file_origin",
    ),  # of a number: seen to be false before a row is read
    "SELECT key, part_id FROM offered_kind": ("offered_kind",),  # a price list is held against all that was on sale
    "FROM offer WHERE supplier_id": ("offer",),  # and against all that this supplier had
    "FROM offer WHERE part_id IS NULL AND sieve > ? LIMIT": (
        "offer",
    ),  # the first that waits: some hundred were read before it
    "FROM offered_kind WHERE NOT EXISTS": ("offered_kind",),
    "part.price FROM part LEFT JOIN place": ("part",),  # what the whole shelf is worth
    "max(act.at) AS last": ("part",),  # what has not moved
    "min(option_keys.missing)": ("option_keys",),  # what nobody knows the value of
    "-movement.quantity AS pieces, movement.price": ("movement",),  # what was used, month by month
}
"""What is reckoned over everything, by words of the statement: the tables that it may read from end to end."""


@contextmanager
def listening(engine: Engine, said: list[str]) -> Iterator[None]:
    """Note every statement that goes to the database, its values filled in."""

    def trace(raw: sqlite3.Connection, record: object) -> None:
        raw.set_trace_callback(said.append)

    engine.dispose()
    event.listen(engine, "connect", trace)
    yield
    event.remove(engine, "connect", trace)
    engine.dispose()


def plans(engine: Engine, said: list[str]) -> dict[str, list[str]]:
    """Return the plan of each statement that reads, those alike but for their values once."""
    found: dict[str, list[str]] = {}
    with sqlite3.connect(str(engine.url.database)) as connection:
        for statement in said:
            alike = re.sub(r"'(?:[^']|'')*'|\b\d[\d.e+-]*\b", "?", " ".join(statement.split()))
            if re.match(r"\s*(SELECT|WITH)\b", statement, re.IGNORECASE) and alike not in found:
                found[alike] = [row[3] for row in connection.execute(f"EXPLAIN QUERY PLAN {statement}")]
    connection.close()
    return found


def scanned(statement: str, plan: list[str]) -> set[str]:
    """Return the growing tables that a plan reads from end to end."""
    other = {short: name for name, short in re.findall(r"\b(\w+) (?:AS )?(\w+)\b", statement)}
    read = {line.split()[1] for line in plan if line.startswith("SCAN ") or "AUTOMATIC" in line}
    return {name for short in read for name in (other.get(short, short), short) if GROWS.fullmatch(name)}


@pytest.fixture(scope="module")
def engine(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Engine]:
    """One catalogue for all that is asked."""
    engine = _stocked(tmp_path_factory.mktemp("plans"))
    yield engine
    engine.dispose()


def _stocked(folder: Path) -> Engine:
    """Parts of every family, a job, two price lists."""
    engine, source = filled(folder / "page.sqlite"), random.Random(5)
    with writing(engine) as connection:
        shelve(connection, [make(source) for make in MAKERS.values() for _ in range(5)], at=NOON)
    _priced(engine)
    return engine


def _priced(engine: Engine) -> None:
    prices = Path(str(engine.url.database)).with_name("prices.csv")
    prices.write_text("Order code,Description,Price\nK1,22n 630V polypropylene,0.5\nK2,valve EL84,9\n", "utf-8")
    for supplier in ("Bridge", "Quay"):
        take_offers(engine, read_cells(prices, fields=all_fields()), supplier, at=NOON, condition="new")


def _found(engine: Engine) -> None:
    source = random.Random(1)
    with reading(engine) as connection:
        for name in names():
            for _ in range(4):
                find(connection, request(source, name))
        for words in ("polyproplyene 22n", "EL84", "box 1"):
            search(connection, words, limit=10)


def _planned(engine: Engine) -> None:
    with writing(engine) as connection:
        job = job_named(connection, "J-0001")
        plan(connection, [job])
        propose(connection, [job], Who(NOON, "ann", ""))


def _shown(engine: Engine) -> None:
    values = {name: known[0] for name, known in KNOWN.items()}
    with TestClient(create(engine, clock=lambda: NOON), base_url="http://127.0.0.1") as client:
        for template, methods in templates(client.app):
            if "GET" in methods:
                client.get(address(template, values))
        client.get("/find?text=32uF+350V&family=capacitor&position=reservoir&set.rail=312")


def _reported(engine: Engine) -> None:
    with reading(engine) as connection:
        for name in REPORTS:
            report(connection, name, datetime(2026, 11, 25, tzinfo=UTC))


ASKING = {"find": _found, "price lists": _priced, "plan": _planned, "pages": _shown, "reports": _reported}


@pytest.mark.parametrize("what", ASKING)
def test_nothing_that_grows_is_read_from_end_to_end(what: str, engine: Engine) -> None:
    """A statement that reads a whole table is stated in `WHOLE`, with the table."""
    assert _unstated(engine, what) == []


@pytest.mark.parametrize(("index", "what"), [("ix_movement_part_id", "pages"), ("ix_reading_part_id", "find")])
def test_an_index_that_is_missing_is_found_out(index: str, what: str, tmp_path: Path) -> None:
    """Without it a table is read from end to end."""
    engine = _stocked(tmp_path)
    with engine.begin() as connection:
        connection.exec_driver_sql(f"DROP INDEX {index}")
    assert _unstated(engine, what) != []
    engine.dispose()


def _unstated(engine: Engine, what: str) -> list[tuple[str, set[str]]]:
    """Return the statements that read tables from end to end which `WHOLE` does not give them."""
    said: list[str] = []
    with listening(engine, said):
        ASKING[what](engine)
    found = plans(engine, said)
    assert len(found) > 2
    read = [(statement, scanned(statement, made)) for statement, made in found.items()]
    return [
        (statement, tables)
        for statement, tables in read
        if not tables <= {table for words, given in WHOLE.items() if words in statement for table in given}
    ]
