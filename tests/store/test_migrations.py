"""An older catalogue becomes one of today: nothing is lost, a copy is kept, all of it or nothing."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Connection, Engine, create_engine, inspect, text
from sqlalchemy.exc import IntegrityError

import partsbin.store.migrations as migrations
from partsbin.families import load
from partsbin.jobs.offers import take_offers
from partsbin.stock.acts import Who, measure
from partsbin.stock.catalogue import shelve
from partsbin.stock.columns import all_fields
from partsbin.stock.keeping.verify import verify
from partsbin.stock.ledger import open_act, undo
from partsbin.stock.lists import read_cells
from partsbin.stock.parts import Draft, NewReading
from partsbin.stock.shelf import get
from partsbin.store.engine import SCHEMA_VERSION, open_store, reading, schema_version, writing
from tests.engines import ENGINES, drop_database, lay_as, new_database, new_store, on_server, remove, shown

OLD = Path(__file__).parent / "data" / "schema_2.sql"
"""A catalogue as version 2 wrote it: three parts, two acts, one reading, a donor."""


@pytest.fixture
def old(tmp_path: Path) -> Path:
    """A file of version 2."""
    file = tmp_path / "old.sqlite"
    with sqlite3.connect(file) as connection:
        connection.executescript(OLD.read_text("utf-8"))
    connection.close()
    return file


@pytest.fixture(params=ENGINES)
def old_place(request: pytest.FixtureRequest, old: Path) -> Iterator[str]:
    """A catalogue of version 2 on either engine: a file, or a URL."""
    if request.param == "sqlite":
        yield str(old)
        return
    url = new_database()
    lay_as(url, old)
    yield shown(url)
    drop_database(url)


def _columns(engine: Engine) -> dict[str, list[tuple[str, str, bool]]]:
    found = inspect(engine)
    return {
        table: sorted((c["name"], str(c["type"]), bool(c["nullable"])) for c in found.get_columns(table))
        for table in found.get_table_names()
    }


def _zoned(engine: Engine, table: str) -> list[tuple[str, bool]]:
    """Return which columns keep a time with its zone: a name of a type does not say it."""
    return [(c["name"], getattr(c["type"], "timezone", False)) for c in inspect(engine).get_columns(table)]


def _rows(engine: Engine, query: str) -> list[tuple[Any, ...]]:
    with reading(engine) as connection:
        return [tuple(row) for row in connection.execute(text(query))]


def test_the_ledger_keeps_its_lines_and_gathers_them_into_acts(old_place: str) -> None:
    """Two acts of three lines; who, when and why move to the act."""
    engine = open_store(old_place, create=False)
    assert _rows(engine, "SELECT id, word, by, why FROM act ORDER BY id") == [
        (1, "shelved", "ann", "from the drawer"),
        (2, "shelved", "ann", ""),
    ]
    assert _rows(engine, "SELECT part_id, act_id, word, quantity FROM movement ORDER BY id") == [
        (1, 1, "shelved", 12),
        (2, 1, "shelved", 1),
        (3, 2, "shelved", 50),
    ]
    engine.dispose()


def test_parts_and_readings_are_as_they_were(old_place: str) -> None:
    """Facts, readings, place and donor."""
    engine = open_store(old_place, create=False)
    with reading(engine) as connection:
        parts = get(connection, load("capacitor"), [1, 2])
    engine.dispose()
    assert (parts[1].on_hand, parts[1].place, parts[2].donor) == (12, "drawer C2", "D-007")
    assert parts[2].item.readings["capacitance@1"].value == pytest.approx(15.2e-6)


@pytest.mark.sqlite
def test_its_tables_are_those_of_a_new_catalogue(old: Path, store: Engine) -> None:
    """Same tables, same columns, same types, the same may be unknown."""
    engine = open_store(old)
    assert _columns(engine) == _columns(store)
    engine.dispose()


def test_ledger_and_acts_are_append_only_afterwards(old: Path) -> None:
    """As in a new catalogue."""
    engine = open_store(old)
    triggers = {name for (name,) in _rows(engine, "SELECT name FROM sqlite_master WHERE type = 'trigger'")}
    engine.dispose()
    assert {
        f"{table}_no_{verb}" for table in ("act", "movement", "reading") for verb in ("update", "delete")
    } <= triggers


def test_a_copy_of_the_old_file_is_kept(old: Path) -> None:
    """As it was, private, beside it."""
    open_store(old, create=False).dispose()
    copy = old.with_name("old.sqlite.schema-2")
    with sqlite3.connect(copy) as connection:
        assert connection.execute("SELECT value FROM meta WHERE name = 'schema_version'").fetchone() == ("2",)
        assert connection.execute("SELECT count(*), sum(quantity) FROM movement").fetchone() == (3, 63)
    connection.close()
    assert copy.stat().st_mode & 0o077 == 0


def test_a_step_that_fails_leaves_the_old_catalogue(old: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whole, with its old number."""

    def half(connection: Any) -> None:
        migrations._to_3(connection)
        raise OSError("the power went")

    monkeypatch.setattr(migrations, "STEPS", {3: half})
    with pytest.raises(OSError, match="the power went"):
        open_store(old)
    with sqlite3.connect(old) as connection:
        assert connection.execute("SELECT count(*), sum(quantity) FROM movement").fetchone() == (3, 63)
        assert connection.execute("SELECT value FROM meta WHERE name = 'schema_version'").fetchone() == ("2",)
    connection.close()


def test_it_knows_its_new_schema(old: Path) -> None:
    """Opening it again does nothing more."""
    open_store(old).dispose()
    engine = open_store(old)
    with reading(engine) as connection:
        assert schema_version(connection) == SCHEMA_VERSION
    engine.dispose()
    assert len(list(old.parent.glob("old.sqlite.schema-*"))) == 1


def test_search_keys_are_laid_in_the_classes_of_today(old_place: str) -> None:
    """What is derived from the facts anew is what the steps made of the old keys; every class that occurs is known."""
    engine = open_store(old_place)
    with reading(engine) as connection:
        assert [fault for fault in verify(connection) if fault.code == "KEYS"] == []
    held = _rows(engine, "SELECT DISTINCT family, missing, limit_class, spread FROM option_keys ORDER BY 1, 2, 3, 4")
    assert _rows(engine, "SELECT family, missing, limit_class, spread FROM rung ORDER BY 1, 2, 3, 4") == held
    engine.dispose()


@pytest.mark.sqlite
@pytest.mark.parametrize("table", ["paired_device", "photograph"])
def test_tables_that_a_step_makes_are_held_to_the_same(old: Path, store: Engine, table: str) -> None:
    """Keys, indexes and checks included, as SQLite has written them down."""
    engine = open_store(old)
    asked = f"SELECT sql FROM sqlite_master WHERE tbl_name = '{table}' AND sql IS NOT NULL ORDER BY name"
    assert _rows(engine, asked) == _rows(store, asked)
    engine.dispose()


def _as_of_5(file: Path) -> None:
    """Make today's catalogue one of version 5: its offers were parts of their own, without numbers."""
    with sqlite3.connect(file) as connection:
        connection.executescript("""
            DROP TABLE arrival; DROP TABLE purchase_line; DROP TABLE purchase; DROP TABLE offer; DROP TABLE offered_kind;
            ALTER TABLE supplier DROP COLUMN listed_at; DROP TABLE key_name; DROP TABLE price_list;
            CREATE TABLE offer (part_id INTEGER NOT NULL PRIMARY KEY REFERENCES part (id), supplier_id INTEGER NOT NULL
              REFERENCES supplier (id), key VARCHAR NOT NULL, article VARCHAR NOT NULL, breaks JSON NOT NULL, pack INTEGER NOT NULL,
              minimum INTEGER NOT NULL, supply INTEGER, here_id INTEGER REFERENCES part (id), at DATETIME NOT NULL);
            CREATE INDEX ix_offer_here_id ON offer (here_id);
            INSERT INTO offer SELECT part.id, 1, 'k' || part.id, 'K' || part.id, '[[1, 500], [10, 420]]', 5, 1, 40, NULL,
              '1957-04-01 09:00:00.000000' FROM part WHERE origin = 'offered';
            UPDATE meta SET value = '5' WHERE name = 'schema_version';
        """)
    connection.close()


@pytest.fixture(params=ENGINES)
def place_of_5(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """A catalogue of version 5 with two offers, on either engine."""
    file, prices = tmp_path / "of_5.sqlite", tmp_path / "of_5.csv"
    prices.write_text("Order code,Description,Price\nK1,47n 630V polyester,0.5\nK2,22n 630V polyester,0.5\n", "utf-8")
    engine = open_store(file)
    at = datetime(1957, 4, 1, 9, tzinfo=UTC)
    take_offers(engine, read_cells(prices, fields=all_fields()), "Bridge", at=at, condition="new")
    engine.dispose()
    _as_of_5(file)
    if request.param == "sqlite":
        yield str(file)
        return
    url = new_database()
    lay_as(url, file)
    yield shown(url)
    drop_database(url)


def test_offers_of_before_are_ordered_and_replaced_like_those_of_today(place_of_5: str, tmp_path: Path) -> None:
    """Two articles that were two parts: their numbers and prices stay; the next list makes one part of them."""
    prices, at = tmp_path / "prices.csv", datetime(1957, 4, 1, 9, tzinfo=UTC)
    engine = open_store(place_of_5)
    assert _rows(engine, "SELECT id, part_id, article, least, pack, supply FROM offer ORDER BY id") == [
        (1, 1, "K1", 420, 5, 40),
        (2, 2, "K2", 420, 5, 40),
    ]
    prices.write_text("Order code,Description,Price\nK1,47n 630V polyester,0.6\nK9,47n 630V polyester,0.7\n", "utf-8")
    take_offers(engine, read_cells(prices, fields=all_fields()), "Bridge", at=at, condition="new")
    assert _rows(engine, "SELECT id, part_id, article, least FROM offer ORDER BY id") == [
        (3, 3, "K1", 600),
        (4, 3, "K9", 700),
    ]
    assert _rows(engine, "SELECT id FROM part") == [(3,)]
    with reading(engine) as connection:
        assert verify(connection) == []
    engine.dispose()


@pytest.mark.sqlite
@pytest.mark.parametrize("place_of_5", ["sqlite"], indirect=True)
def test_tables_of_offers_are_held_to_the_same(place_of_5: str, store: Engine) -> None:
    """Those of an older catalogue to what a new one is."""
    engine = open_store(place_of_5)
    asked = "SELECT name, sql FROM sqlite_master WHERE tbl_name IN ('offer', 'offered_kind') AND name NOT LIKE 'sqlite%' ORDER BY 1"
    assert _rows(engine, asked) == _rows(store, asked)
    assert _columns(engine)["supplier"] == _columns(store)["supplier"]
    engine.dispose()


@pytest.mark.parametrize("kind", ENGINES)
def test_lines_that_wait_go_out_of_the_index_of_parts(kind: str, tmp_path: Path) -> None:
    """A catalogue of version 8 gets the index of a new one; the lines stay, and what is sold of a part is found."""
    engine, new = new_store(kind, tmp_path), new_store(kind, tmp_path / "new")
    prices, at = tmp_path / "prices.csv", datetime(1957, 4, 1, 9, tzinfo=UTC)
    prices.write_text("Order code,Description,Price\nK1,47n 630V polyester,0.5\nK2,22n 630V polyester,0.6\n", "utf-8")
    take_offers(engine, read_cells(prices, fields=all_fields()), "Bridge", at=at, condition="new", at_once=1)
    whole = "SELECT id, part_id, article, said FROM offer ORDER BY id"
    before = _rows(engine, whole)
    with writing(engine) as connection:
        connection.execute(text("DROP INDEX ix_offer_part_id"))
        connection.execute(text("CREATE INDEX ix_offer_part_id ON offer (part_id)"))
        migrations.migrate(connection, 8, 9)
    assert [part for _, part, _, _ in before] == [1, None]
    assert _rows(engine, whole) == before
    assert _rows(engine, "SELECT article FROM offer WHERE part_id IN (1, 2)") == [("K1",)]
    asked = "SELECT indexdef FROM pg_indexes WHERE schemaname = current_schema() AND tablename = 'offer' ORDER BY 1"
    if kind == "sqlite":
        asked = "SELECT sql FROM sqlite_master WHERE type = 'index' AND tbl_name = 'offer' ORDER BY 1"
    assert _rows(engine, asked) == _rows(new, asked)
    for each in (engine, new):
        remove(each)


VALVES = (
    ("EL84", None),
    ("ECC83/12AX7", None),
    ("6V6GT", "IO"),
    ("EL84", "B9A"),
    ("none of any table", None),
    (None, "IO"),
    (None, None),
)


def _make_6(connection: Connection) -> None:
    """Make the keys of today's catalogue those of version 6: a valve's said nothing of its type."""
    wide = connection.dialect.name != "sqlite"
    statements = (
        "DROP TABLE key_name",
        """UPDATE option_keys SET value = 1, low = 1, high = 1, limit_class = 7, missing = (missing & 2) + 4, kind = kind / 2
           WHERE family LIKE 'valve%'""",
        "DELETE FROM rung WHERE family LIKE 'valve%'",
        "INSERT INTO rung (family, missing, limit_class, spread, ratio) VALUES ('valve', 4, 7, 0, 1.0125)",
        *(["ALTER TABLE option_keys ALTER COLUMN id TYPE INTEGER"] if wide else []),
        "UPDATE meta SET value = '6' WHERE name = 'schema_version'",
    )
    for statement in statements:
        connection.execute(text(statement))


@pytest.mark.parametrize("kind", ENGINES)
def test_the_keys_of_valves_get_the_number_of_their_type(kind: str, tmp_path: Path) -> None:
    """Whatever is marked, tested or not, on the shelf or on sale: what the step makes is what follows from the facts today."""
    engine, at = new_store(kind, tmp_path), datetime(1957, 4, 1, 9, tzinfo=UTC)
    valve = load("valve").facts
    drafts = [Draft("valve", valve(valve_type=type, base=base), "valve", "salvaged", 3) for type, base in VALVES]
    prices = tmp_path / "prices.csv"
    prices.write_text("Order code,Description,Price\nK1,valve EL84,5\nK2,valve ECC88,7\n", "utf-8")
    with writing(engine) as connection:
        shelve(connection, [*drafts, *drafts], at=at)
        measure(connection, 1, [NewReading("emission", 0.9, "-")], Who(at, "ann"))
        measure(connection, 2, [NewReading("emission", 0.9, "-")], Who(at, "ann"))
        undo(connection, at=at, by="ann")
    take_offers(engine, read_cells(prices, fields=all_fields()), "Bridge", at=at, condition="new")
    asked = [f"SELECT * FROM {table} ORDER BY 1, 2" for table in ("option_keys", "key_name", "rung")]
    today = [_rows(engine, query) for query in asked]
    with engine.begin() as connection:
        _make_6(connection)
    with writing(engine) as connection:
        migrations.migrate(connection, 6, 7)
    assert [_rows(engine, query) for query in asked] == today
    remove(engine)


@on_server
def test_the_tables_on_a_server_are_those_of_a_new_catalogue_there(old: Path) -> None:
    """Columns, types and what may be unknown; the numbers go on where they were."""
    url = new_database()
    lay_as(url, old)
    engine, new = open_store(shown(url)), new_store("postgresql", old.parent)
    assert _columns(engine) == _columns(new)
    assert _zoned(engine, "photograph") == _zoned(new, "photograph")
    with writing(engine) as connection:
        assert open_act(connection, "shelved", at=datetime(2026, 11, 25, tzinfo=UTC)) == 3
        with pytest.raises(IntegrityError, match="movement is append-only"):
            connection.execute(text("DELETE FROM movement"))
    for each in (engine, new):
        remove(each)


@pytest.mark.parametrize("between", range(3, SCHEMA_VERSION))
def test_a_catalogue_of_a_version_between_is_led_on_as_well(old_place: str, between: int) -> None:
    """From each, as from 2."""
    engine = create_engine(old_place if "://" in old_place else f"sqlite:///{old_place}")
    with engine.begin() as connection:
        migrations.migrate(connection, 2, between)
        connection.execute(text(f"UPDATE meta SET value = '{between}' WHERE name = 'schema_version'"))
    engine.dispose()
    led = open_store(old_place)
    assert _rows(led, "SELECT part_id, act_id, word, quantity FROM movement ORDER BY id")[0] == (1, 1, "shelved", 12)
    with reading(led) as connection:
        assert schema_version(connection) == SCHEMA_VERSION
        assert [fault for fault in verify(connection) if fault.code == "KEYS"] == []
    led.dispose()
