"""A catalogue carried over: every row there and back, refused where something is in the way, and worked on afterwards."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import Engine, insert, select, text, update

from partsbin.errors import StoreError
from partsbin.jobs.record import open_job
from partsbin.stock.acts import Who, measure, move, reserve, scrap
from partsbin.stock.catalogue import shelve
from partsbin.stock.draft import draft_from_text
from partsbin.stock.keeping.verify import verify
from partsbin.stock.ledger import undo
from partsbin.stock.parts import NewReading
from partsbin.store.engine import SCHEMA_VERSION, open_store, reading, writing
from partsbin.store.moving import carry, carry_to, strangers
from partsbin.store.page_tables import PairedDevice, Photograph
from partsbin.store.tables import Part, Place, table_of
from tests.command import partsbin
from tests.engines import ENGINES, SHAPE, new_store, on_server, remove, shown

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)


@pytest.fixture(params=ENGINES)
def target(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Engine]:
    """An empty catalogue of either kind."""
    folder = tmp_path / "target"
    folder.mkdir()
    engine = new_store(request.param, folder)
    yield engine
    remove(engine)


def _fill(engine: Engine) -> None:
    who = Who(NOON, "ann", 'why "ß" \\ Ω\n2')
    texts = (("22n 400V film", "capacitor"), ("470k 1/2W", "resistor"), ("16+16uF 450V can", "capacitor"))
    with writing(engine) as connection:
        drafts = [draft_from_text(t, family=f, count=5, place="box 1", donor="D-001")[0] for t, f in texts]
        shelve(connection, drafts, at=NOON, by="ann")
        measure(
            connection, 1, [NewReading("capacitance", 0.1 + 0.2, "F", 1e-300, {"volts": 350.0, "at": "20 °C"})], who
        )
        move(connection, 2, "drawer 2", who, pieces=2)
        reserve(connection, 3, 2, who)
        scrap(connection, 3, 1, who)
        undo(connection, at=NOON, by="ann")
        open_job(connection, who, what="amplifier")
        device = {"name": "tablet", "token_hash": "5e" * 32, "paired_at": NOON}
        connection.execute(insert(table_of(PairedDevice)), [device])
        picture = {"part_id": 1, "at": NOON, "width": 4, "height": 3, "small": b"\xff\xd8"}
        connection.execute(
            insert(table_of(Photograph)), [{**picture, "jpeg": bytes(range(256)) * n} for n in range(50)]
        )


def test_every_row_is_there_and_back_again(store: Engine, target: Engine, tmp_path: Path) -> None:
    """From each kind to each, and on into a new file: the digests of all tables are those of the first."""
    _fill(store)
    there = carry(store, target)
    again = open_store(tmp_path / "again.sqlite")
    assert carry(target, again) == there
    assert {each.table for each in there if each.rows} >= {
        "part",
        "movement",
        "act",
        "reading",
        "search_posting",
        "job",
        "paired_device",
        "photograph",
    }
    for engine in (target, again):
        with reading(engine) as connection:
            assert verify(connection) == []
    again.dispose()


def test_rows_are_counted_as_they_are_copied_and_as_they_are_compared(store: Engine, target: Engine) -> None:
    """Each from none to all of them."""
    _fill(store)
    told: list[tuple[str, int, int]] = []
    of = sum(each.rows for each in carry(store, target, lambda *said: told.append(said)))
    assert list(dict.fromkeys(what for what, _, _ in told)) == ["copied", "compared"]
    for part in ("copied", "compared"):
        rows = [rows for what, rows, _ in told if what == part]
        assert (rows[0], rows[-1], rows) == (0, of, sorted(rows))
    assert {whole for _, _, whole in told} == {of}


def test_work_goes_on_with_the_next_numbers(store: Engine, target: Engine) -> None:
    """What is shelved next gets the number that it had got before."""
    _fill(store)
    carry(store, target)
    with writing(store) as here, writing(target) as there:
        made = [
            shelve(connection, [draft_from_text("1uF 250V film", family="capacitor", count=1)[0]], at=NOON)
            for connection in (here, there)
        ]
    assert made[0] == made[1]
    with reading(target) as connection:
        assert verify(connection) == []


def test_a_target_that_is_used_is_refused(store: Engine, target: Engine) -> None:
    """Nothing is mixed, and nothing of it is lost."""
    _fill(store)
    with writing(target) as connection:
        connection.execute(insert(table_of(Place)), [{"name": "drawer"}])
    with pytest.raises(StoreError, match=r"^the target is not empty: a row in place$"):
        carry(store, target)
    with reading(target) as connection:
        assert connection.execute(select(table_of(Place).c.name)).scalars().all() == ["drawer"]


@pytest.mark.sqlite
def test_what_a_later_program_added_is_not_left_behind_in_silence(store: Engine, target: Engine) -> None:
    """A column that is not known stops the copy; a table of the owner's own is named."""
    with writing(store) as connection:
        connection.execute(text("CREATE TABLE my_notes (said TEXT)"))
    assert strangers(store) == ["my_notes"]
    with writing(store) as connection:
        connection.execute(text("ALTER TABLE part ADD COLUMN colour TEXT"))
    with pytest.raises(StoreError, match="part has 'colour', which this program does not know"):
        carry(store, target)


@on_server
@pytest.mark.sqlite
def test_what_a_server_cannot_hold_leaves_it_empty(store: Engine, tmp_path: Path) -> None:
    """A file takes a nought character in a text, a server does not: the table is named, nothing stays there."""
    _fill(store)
    with writing(store) as connection:
        connection.execute(update(table_of(Part)).where(table_of(Part).c.id == 3).values(note="a\0b"))
    target = new_store("postgresql", tmp_path)
    with pytest.raises(StoreError, match=r"part: a row cannot be written there: .*NUL"):
        carry(store, target)
    with reading(target) as connection:
        assert connection.execute(text("SELECT count(*) FROM place")).scalar_one() == 0
        assert connection.execute(text("SELECT value FROM meta")).scalars().all() == [str(SCHEMA_VERSION)]
    remove(target)


@on_server
@pytest.mark.sqlite
def test_a_server_has_its_indexes_and_references_afterwards(store: Engine, tmp_path: Path) -> None:
    """They are made over all rows at once, the same ones as before."""
    _fill(store)
    target = new_store("postgresql", tmp_path)
    shape = text(SHAPE)
    with reading(target) as connection:
        before = connection.execute(shape).scalar_one()
    carry(store, target)
    with reading(target) as connection:
        assert connection.execute(shape).scalar_one() == before
    remove(target)


@on_server
@pytest.mark.sqlite
def test_a_row_that_refers_to_nothing_is_refused(store: Engine, tmp_path: Path) -> None:
    """A damaged file is found out by the server at the end: nothing stays there."""
    _fill(store)
    with sqlite3.connect(str(store.url.database)) as damaged:
        damaged.execute("UPDATE part SET place_id = 99 WHERE id = 2")
    damaged.close()
    target = new_store("postgresql", tmp_path)
    with pytest.raises(StoreError, match=r"the rows do not go together there: .*part_place_id_fkey"):
        carry(store, target)
    with reading(target) as connection:
        assert connection.execute(text("SELECT count(*) FROM part")).scalar_one() == 0
    remove(target)


@pytest.mark.sqlite
def test_the_command_tells_what_it_carried(store: Engine, target: Engine, tmp_path: Path) -> None:
    """Table by table, and says no the second time."""
    _fill(store)
    source = tmp_path / "catalogue.sqlite"
    ran = partsbin("copy", "--to", shown(target.url), db=source)
    assert (ran.code, "        1  reading\n" in ran.out, "rows, each compared, now in" in ran.out) == (0, True, True)
    again = partsbin("copy", "--to", shown(target.url), "--json", db=source)
    assert (again.code, "the target is not empty" in again.err) == (2, True)


def test_a_new_file_gets_its_name_when_all_is_in_it(tmp_path: Path) -> None:
    """What a copy that was killed left behind is no catalogue by that name, and does not hinder the next."""
    source, there = tmp_path / "from.sqlite", tmp_path / "to.sqlite"
    assert partsbin("shelve", "22n 400V film", db=source).code == 0
    assert partsbin("copy", "--to", str(tmp_path / "to.partial.sqlite"), db=source).code == 0
    ran = partsbin("copy", "--to", str(there), db=source)
    assert ran.code == 0, ran.err
    assert sorted(file.name for file in tmp_path.glob("to*")) == ["to.sqlite"]
    assert partsbin("show", "P-1", db=there).code == 0


@pytest.mark.sqlite
def test_of_a_copy_that_is_interrupted_nothing_stays(store: Engine, tmp_path: Path) -> None:
    """Neither the file nor what the database keeps beside it, even in the midst of a table: whoever fails still holds its rows."""
    _fill(store)
    folder = tmp_path / "there"
    folder.mkdir()

    def interrupts(what: str, rows: int, of: int) -> None:
        if what == "compared" and of - 40 < rows < of:  # of fifty photographs
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt) as held:
        carry_to(store, str(folder / "to.sqlite"), interrupts)
    assert ([*folder.iterdir()], held.type) == ([], KeyboardInterrupt)
