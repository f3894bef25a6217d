"""``partsbin backup``, ``restore``, ``verify``: a copy in time, and the way back."""

from __future__ import annotations

import shutil
import sqlite3
import threading
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from partsbin.stock.acts import Who, release, reserve
from partsbin.store.engine import open_store, writing
from tests.command import partsbin


def _titles(file: Path) -> list[str]:
    with closing(sqlite3.connect(file)) as connection:
        return [row[0] for row in connection.execute("SELECT title FROM part ORDER BY id")]


def _spoil(file: Path) -> None:
    """Write over the middle of a file."""
    with closing(sqlite3.connect(file)) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    size = file.stat().st_size
    with file.open("rb+") as pages:
        for at in range(8192, size, 8192):
            pages.seek(at)
            pages.write(b"\xff" * 4096)


def test_a_copy_is_the_catalogue_as_it_stands(shelf: Path, tmp_path: Path) -> None:
    """Whole, and private."""
    copy = tmp_path / "copy.sqlite"
    assert partsbin("backup", str(copy), db=shelf).code == 0
    assert _titles(copy) == _titles(shelf)
    assert copy.stat().st_mode & 0o077 == 0
    assert partsbin("verify", db=copy) == (0, "nothing is wrong\n", "")


def test_a_folder_gets_a_copy_named_by_the_date(shelf: Path, tmp_path: Path) -> None:
    """One after the other."""
    assert partsbin("backup", f"{tmp_path}/copies/", db=shelf).code == 0
    assert [file.name.partition("-")[0] for file in (tmp_path / "copies").iterdir()] == ["shelf"]


def test_a_copy_is_never_written_over(shelf: Path, tmp_path: Path) -> None:
    """It may be the last good one."""
    copy = tmp_path / "copy.sqlite"
    copy.write_text("precious")
    assert partsbin("backup", str(copy), db=shelf).code == 2
    assert copy.read_text() == "precious"


def test_a_copy_made_while_others_write_passes_verify(shelf: Path, tmp_path: Path) -> None:
    """It holds whole acts alone."""
    who, stop = Who(datetime(2026, 3, 1, tzinfo=UTC), "bob"), threading.Event()

    def work() -> None:
        engine = open_store(shelf)
        while not stop.is_set():
            with writing(engine) as connection:
                reserve(connection, 1, 5, who)
            with writing(engine) as connection:
                release(connection, 1, 5, who)
        engine.dispose()

    thread = threading.Thread(target=work)
    thread.start()
    try:
        for number in range(5):
            assert partsbin("backup", str(tmp_path / f"copy{number}.sqlite"), db=shelf).code == 0
    finally:
        stop.set()
        thread.join()
    for number in range(5):
        assert partsbin("verify", db=tmp_path / f"copy{number}.sqlite").code == 0


def test_restoring_keeps_what_was_there(shelf: Path, tmp_path: Path) -> None:
    """Beside it, under the date."""
    copy = tmp_path / "copy.sqlite"
    partsbin("backup", str(copy), db=shelf)
    partsbin("shelve", "100n 630V film", "--condition", "new", db=shelf)
    later = _titles(shelf)
    ran = partsbin("restore", str(copy), "--yes", db=shelf)
    assert ran.code == 0
    assert _titles(shelf) == _titles(copy)
    (kept,) = shelf.parent.glob("shelf.sqlite.before-*")
    assert _titles(kept) == later


def test_without_a_yes_nothing_is_restored(shelf: Path, tmp_path: Path) -> None:
    """A pipe says neither."""
    copy = tmp_path / "copy.sqlite"
    partsbin("backup", str(copy), db=shelf)
    assert partsbin("restore", str(copy), db=shelf).code == 2
    assert list(shelf.parent.glob("shelf.sqlite.before-*")) == []


@pytest.mark.parametrize(
    ("name", "said"),
    [("none.sqlite", "no file"), ("words.sqlite", "is not a catalogue"), ("newer.sqlite", "has schema 999")],
)
def test_what_is_no_good_copy_is_refused(shelf: Path, tmp_path: Path, name: str, said: str) -> None:
    """The catalogue is as it was."""
    (tmp_path / "words.sqlite").write_text("not a database, but long enough to look like one" * 100)
    shutil.copy(shelf, tmp_path / "newer.sqlite")
    with closing(sqlite3.connect(tmp_path / "newer.sqlite")) as newer, newer:
        newer.execute("UPDATE meta SET value = '999' WHERE name = 'schema_version'")
    before = _titles(shelf)
    ran = partsbin("restore", str(tmp_path / name), "--yes", db=shelf)
    assert ran.code == 2
    assert said in ran.err
    assert _titles(shelf) == before


def test_a_damaged_catalogue_says_so_and_names_the_way_out(shelf: Path, tmp_path: Path) -> None:
    """A clear error; a good copy takes its place, and the damaged file is kept."""
    copy = tmp_path / "copy.sqlite"
    partsbin("backup", str(copy), db=shelf)
    _spoil(shelf)
    ran = partsbin("verify", db=shelf)
    assert ran.code in (1, 2)
    assert "damaged" in ran.out + ran.err
    assert "restore" in ran.err
    assert partsbin("restore", str(copy), "--yes", db=shelf).code == 0
    assert partsbin("verify", db=shelf).code == 0
    assert len(list(shelf.parent.glob("shelf.sqlite.before-*"))) >= 1


def test_a_copy_of_an_older_schema_is_led_to_todays(shelf: Path, tmp_path: Path) -> None:
    """And verified."""
    old = tmp_path / "old.sqlite"
    script = Path(__file__).parents[1] / "store" / "data" / "schema_2.sql"
    with closing(sqlite3.connect(old)) as connection:
        connection.executescript(script.read_text("utf-8"))
    assert partsbin("restore", str(old), "--yes", db=shelf).code == 0
    assert partsbin("verify", "--repair", db=shelf).code == 0


def test_json_names_each_fault(shelf: Path) -> None:
    """With its part and whether it can be repaired."""
    with closing(sqlite3.connect(shelf)) as connection, connection:
        connection.execute("UPDATE part SET on_hand = 99 WHERE id = 1")
    found = partsbin("verify", "--json", db=shelf).json()
    assert [(fault["code"], fault["part"], fault["derived"]) for fault in found["faults"]] == [
        ("COUNT", "P-0001", True),
        ("KEYS", "P-0001", True),
    ]
