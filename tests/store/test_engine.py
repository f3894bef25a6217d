"""Opening a catalogue: private, whole, never somebody else's file."""

from __future__ import annotations

import sqlite3
import stat
from pathlib import Path

import pytest
from sqlalchemy import Engine, create_engine, make_url, text
from sqlalchemy.exc import OperationalError

from partsbin.errors import StoreError
from partsbin.store.engine import QUEUE, SCHEMA_VERSION, default_file, open_store, reading, writing
from tests.engines import SERVER, new_store, on_server, remove, shown


def _sqlite(path: Path, *statements: str) -> Path:
    """Make a database by another program's hand."""
    with sqlite3.connect(path) as connection:
        for statement in statements:
            connection.execute(statement)
    connection.close()
    return path


@pytest.mark.sqlite
def test_a_new_catalogue_is_private_to_its_owner(store: Engine, tmp_path: Path) -> None:
    """The file and the two that SQLite lays beside it."""
    with writing(store) as connection:
        connection.execute(text("INSERT INTO place (name) VALUES ('drawer')"))
        modes = {file.name: stat.S_IMODE(file.stat().st_mode) for file in tmp_path.iterdir()}
    assert modes == dict.fromkeys(("catalogue.sqlite", "catalogue.sqlite-wal", "catalogue.sqlite-shm"), 0o600)


def test_a_new_catalogue_knows_its_schema(store: Engine) -> None:
    """So that a later program can tell."""
    with reading(store) as connection:
        found = connection.execute(text("SELECT value FROM meta WHERE name = 'schema_version'")).scalar_one()
    assert found == str(SCHEMA_VERSION)


def test_folders_on_the_way_are_made(tmp_path: Path) -> None:
    """As for the user's data folder at first use."""
    open_store(tmp_path / "workshop" / "bench" / "catalogue.sqlite").dispose()
    assert (tmp_path / "workshop" / "bench" / "catalogue.sqlite").exists()


def test_opening_again_changes_nothing(store: Engine) -> None:
    """What was shelved is still there."""
    with writing(store) as connection:
        connection.execute(text("INSERT INTO place (name) VALUES ('drawer')"))
    again = open_store(shown(store.url))
    with reading(again) as connection:
        assert connection.execute(text("SELECT name FROM place")).scalars().all() == ["drawer"]
    again.dispose()


@pytest.mark.parametrize("name", ["what?.sqlite", "100%25.sqlite", "a b.sqlite", "größe.sqlite"])
def test_a_file_may_have_any_name(tmp_path: Path, name: str) -> None:
    """Signs that mean something in a URL mean nothing here."""
    open_store(tmp_path / name).dispose()
    assert (tmp_path / name).stat().st_size > 0


def test_a_catalogue_that_is_not_there_is_not_made_for_reading(tmp_path: Path) -> None:
    """It is named, with what to do about it."""
    path = tmp_path / "absent.sqlite"
    with pytest.raises(StoreError, match=f"^no catalogue at '{path}'$") as caught:
        open_store(path, create=False)
    assert caught.value.hint.startswith("shelve or import something first")
    assert not path.exists()


def test_a_newer_catalogue_is_refused(store: Engine) -> None:
    """Its tables may mean something else by now."""
    with writing(store) as connection:
        connection.execute(text(f"UPDATE meta SET value = '{SCHEMA_VERSION + 1}' WHERE name = 'schema_version'"))
    with pytest.raises(
        StoreError, match=f"catalogue has schema {SCHEMA_VERSION + 1}, this program knows up to"
    ) as caught:
        open_store(shown(store.url))
    assert caught.value.hint == "install the newer program"


def test_a_schema_that_is_no_number_is_refused(store: Engine) -> None:
    """Quoted as it stands."""
    with writing(store) as connection:
        connection.execute(text("UPDATE meta SET value = 'new' WHERE name = 'schema_version'"))
    with pytest.raises(StoreError, match="this database has schema 'new', expected a number"):
        open_store(shown(store.url))


@pytest.mark.parametrize("create", [True, False])
def test_a_file_that_is_no_database_is_refused(tmp_path: Path, create: bool) -> None:
    """And left as it is."""
    path = tmp_path / "letter.txt"
    path.write_text("Dear Sir, I enclose a list of the condensers that I require.\n" * 20)
    before = path.read_bytes()
    with pytest.raises(StoreError, match="is not a catalogue or is damaged: file is not a database"):
        open_store(path, create=create)
    assert path.read_bytes() == before


@pytest.mark.parametrize(
    ("create", "fault"), [(True, "holds other tables .bookmarks. and no catalogue"), (False, "holds no catalogue")]
)
def test_a_database_of_another_program_is_left_alone(tmp_path: Path, create: bool, fault: str) -> None:
    """No table is added to it, nor is its journal changed."""
    path = _sqlite(tmp_path / "places.sqlite", "CREATE TABLE bookmarks (url TEXT)")
    before = path.read_bytes()
    with pytest.raises(StoreError, match=fault):
        open_store(path, create=create)
    assert path.read_bytes() == before


def test_an_empty_file_becomes_a_catalogue_for_writing_only(tmp_path: Path) -> None:
    """As of a first start that was cut short."""
    path = tmp_path / "empty.sqlite"
    path.touch()
    with pytest.raises(StoreError, match="holds no catalogue"):
        open_store(path, create=False)
    open_store(path).dispose()
    open_store(path, create=False).dispose()


def test_tables_of_a_family_that_came_later_are_added(store: Engine) -> None:
    """When the catalogue is next opened for writing."""
    with writing(store) as connection:
        connection.execute(text("DROP TABLE family_transformer"))
    again = open_store(shown(store.url))
    with reading(again) as connection:
        assert connection.execute(text("SELECT count(*) FROM family_transformer")).scalar_one() == 0
    again.dispose()


@pytest.mark.parametrize(
    ("where", "fault"),
    [
        ("foo://somewhere", "Can't load plugin: sqlalchemy.dialects:foo"),
        ("://", "Could not parse SQLAlchemy URL"),
        ("\0", "embedded null byte"),
        ("x" * 5000, "File name too long"),
    ],
)
def test_a_name_that_cannot_be_opened_is_refused_in_words(where: str, fault: str) -> None:
    """Whatever is wrong with it."""
    with pytest.raises(StoreError, match=fault):
        open_store(where)


def test_a_folder_is_no_catalogue(tmp_path: Path) -> None:
    """The system's own words say why."""
    with pytest.raises(StoreError, match=r"cannot open the catalogue .*: unable to open database file"):
        open_store(tmp_path)


def test_a_url_of_a_file_opens_it_like_the_file(tmp_path: Path) -> None:
    """Private, with foreign keys in force, and not made for reading."""
    path = tmp_path / "by_url.sqlite"
    with pytest.raises(StoreError, match="no catalogue at"):
        open_store(f"sqlite:///{path}", create=False)
    engine = open_store(f"sqlite:///{path}")
    with reading(engine) as connection:
        assert connection.execute(text("PRAGMA foreign_keys")).scalar_one() == 1
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    engine.dispose()


def test_readers_see_one_state_while_someone_writes(store: Engine) -> None:
    """What was written in between shows to the next reader."""
    count = text("SELECT count(*) FROM place")
    with reading(store) as reader:
        assert reader.execute(count).scalar_one() == 0
        with writing(store) as writer:
            writer.execute(text("INSERT INTO place (name) VALUES ('drawer')"))
        assert reader.execute(count).scalar_one() == 0
    with reading(store) as reader:
        assert reader.execute(count).scalar_one() == 1


@pytest.mark.sqlite
def test_a_writer_holds_the_lock_from_the_start(store: Engine, tmp_path: Path) -> None:
    """Two acts at the same time queue up instead of failing half way."""
    other = sqlite3.connect(tmp_path / "catalogue.sqlite", timeout=0, isolation_level=None)
    with writing(store), pytest.raises(sqlite3.OperationalError, match="database is locked"):
        other.execute("BEGIN IMMEDIATE")
    other.close()


def test_the_catalogue_that_the_environment_names_is_used(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where none was named on the command line."""
    monkeypatch.setenv("PARTSBIN_DB", str(tmp_path / "named.sqlite"))
    open_store().dispose()
    assert default_file() == tmp_path / "named.sqlite"
    assert (tmp_path / "named.sqlite").exists()


def test_without_a_name_the_catalogue_lies_in_the_users_data_folder(monkeypatch: pytest.MonkeyPatch) -> None:
    """One file, under the program's own name."""
    monkeypatch.delenv("PARTSBIN_DB", raising=False)
    assert default_file().parts[-2:] == ("partsbin", "catalogue.sqlite")


@on_server
def test_a_password_is_not_told_where_a_server_refuses(tmp_path: Path) -> None:
    """The rest of the name is."""
    url = make_url(SERVER).set(database="nowhere_to_be_found", password="rosebud")
    with pytest.raises(StoreError, match=r"cannot open the catalogue .*nowhere_to_be_found") as caught:
        open_store(shown(url))
    assert "rosebud" not in caught.value.message


@on_server
def test_writers_on_a_server_queue_up_and_readers_do_not_wait(tmp_path: Path) -> None:
    """While one writes another cannot begin; a reader goes on with the state before."""
    engine = new_store("postgresql", tmp_path)
    count, impatient = text("SELECT count(*) FROM place"), text("SET LOCAL statement_timeout = 300")
    with writing(engine) as first:
        first.execute(text("INSERT INTO place (name) VALUES ('drawer')"))
        with reading(engine) as reader:
            reader.execute(impatient)
            assert reader.execute(count).scalar_one() == 0
        second = create_engine(engine.url, connect_args={"options": "-c lock_timeout=200"})
        with second.connect() as other, pytest.raises(OperationalError, match="lock timeout"):
            other.execute(text(QUEUE))
        second.dispose()
    with writing(engine) as after:
        assert after.execute(count).scalar_one() == 1
    remove(engine)
