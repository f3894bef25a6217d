"""Files that are no good: damaged, of a newer program, no catalogue, not to be read or written; and the clock that goes backwards."""

from __future__ import annotations

import json
import os
import random
import shutil
import sqlite3
import stat
import subprocess
import sys
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from sqlalchemy import text

from partsbin.files import new_file, second_name
from partsbin.stock.acts import Who, release, reserve
from partsbin.stock.ledger import undo
from partsbin.store.engine import open_store, reading, writing
from tests.command import Ran, partsbin
from tests.hardship.commands import DB, lay_out, state

PAGE = 4096
COMMANDS = (
    ("find", "capacitor", "22n", "-p", "coupling", "--with", "rail=200"),
    ("show", "P-1"),
    ("search", "polypropylene"),
    ("shelve", "22n 400V film"),
    ("import", "list.csv"),
    ("verify",),
    ("backup", "made.sqlite"),
    ("export", "made.csv"),
    ("report", "stock"),
    ("plan", "J-1", "--reserve"),
    ("fit", "P-2", "-j", "J-1", "--for", "C0"),
    ("copy", "--to", "carried.sqlite"),
    ("import", "dearer.csv", "--as", "offers", "--supplier", "Bridge Valves"),
    ("reorder", "--send"),
    ("order", "list"),
    ("rule", "list"),
    ("serve", "--devices"),
    ("serve", "--forget", "1"),
    ("undo",),
)


@pytest.fixture(scope="module")
def template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shelf, a list, a copy."""
    folder = tmp_path_factory.mktemp("template")
    lay_out(folder)
    return folder


@pytest.fixture
def here(template: Path, tmp_path: Path) -> Path:
    """The same, to be spoilt."""
    return shutil.copytree(template, tmp_path / "here")


def placed(words: tuple[str, ...], here: Path) -> list[str]:
    """Words with the names of files in their folder."""
    return [str(here / word) if word.endswith((".csv", ".sqlite")) else word for word in words]


def told(ran: Ran) -> None:
    """Exit code 2 comes with one fault in words, and with no answer."""
    assert ran.code == 2
    assert ran.err.startswith("partsbin: ")
    assert ran.out == ""


# ---- damaged pages


def _spoil(file: Path, kind: str, chance: random.Random) -> None:
    data = bytearray(file.read_bytes())
    pages = len(data) // PAGE
    if kind == "bytes":
        for _ in range(40):
            data[chance.randrange(len(data) // 3, len(data))] = chance.randrange(256)
    elif kind == "cut":
        del data[chance.randrange(len(data)) :]
    else:
        for page in chance.sample(range(pages), 5):
            data[page * PAGE : (page + 1) * PAGE] = bytes([0 if kind == "noughts" else 255]) * PAGE
    file.write_bytes(data)


@pytest.mark.parametrize("kind", ["bytes", "cut", "noughts", "ones"])
@pytest.mark.parametrize("seed", range(4))
def test_damage_is_told_and_a_copy_takes_its_place(kind: str, seed: int, here: Path, template: Path) -> None:
    """Whatever is typed is answered or ends with a fault in words; the way out leads to a catalogue that verifies."""
    chance = random.Random(f"{kind} {seed}")
    for words in COMMANDS:
        shutil.copy(template / DB, here / DB)
        _spoil(here / DB, kind, chance)
        ran = partsbin(*placed(words, here), db=here / DB)
        assert ran.code in (0, 1, 2)
        if ran.code == 2:
            told(ran)
        assert partsbin("restore", str(here / "copy.sqlite"), "--yes", db=here / DB).code == 0
        assert state(here / DB) == state(here / "copy.sqlite")
        for file in here.glob("*.sqlite*"):
            if file.name not in ("copy.sqlite", "old.sqlite"):
                file.unlink()
        (here / "made.csv").unlink(missing_ok=True)


def test_a_row_that_cannot_be_read_is_told_as_damage(here: Path) -> None:
    """And not as a defect of the program."""
    with closing(sqlite3.connect(here / DB)) as connection, connection:
        connection.execute("UPDATE job SET facts = '[1'")
    ran = partsbin("copy", "--to", str(here / "carried.sqlite"), db=here / DB)
    told(ran)
    assert "verify" in ran.err or "restore" in ran.err


# ---- what is no catalogue of ours


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_a_file_of_a_newer_program_is_left_alone(words: tuple[str, ...], here: Path) -> None:
    """Not a byte of it changes."""
    with closing(sqlite3.connect(here / DB)) as connection, connection:
        connection.execute("UPDATE meta SET value = '999' WHERE name = 'schema_version'")
    with closing(sqlite3.connect(here / DB)) as connection:
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    before = (here / DB).read_bytes()
    ran = partsbin(*placed(words, here), db=here / DB)
    told(ran)
    assert "has schema 999" in ran.err
    assert "install the newer program" in ran.err
    assert (here / DB).read_bytes() == before


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
@pytest.mark.parametrize("what", ["words", "another database", "folder"])
def test_what_is_no_catalogue_is_left_alone(what: str, words: tuple[str, ...], here: Path) -> None:
    """A letter, somebody's database, a folder: said so, and as it was."""
    file = here / "other.sqlite"
    if what == "words":
        file.write_text("a letter about a wireless set\n" * 400, "utf-8")
    elif what == "folder":
        file.mkdir()
    else:
        with closing(sqlite3.connect(file)) as connection, connection:
            connection.execute("CREATE TABLE song (title)")
    before = file.read_bytes() if file.is_file() else b""
    told(partsbin(*placed(words, here), db=file))
    assert (file.read_bytes() if file.is_file() else b"") == before


# ---- what may not be read or written

BOUND = ("setpriv", "--bounding-set=-dac_override,-dac_read_search") if os.geteuid() == 0 else ()
"""Permissions do not hold root back: the commands run without the capabilities that make it so."""

RUN = """
import json, sys
from pathlib import Path
from tests.command import partsbin
print(json.dumps([partsbin(*words, db=Path(sys.argv[1])) for words in json.loads(sys.argv[2])]))
"""


def held_back(here: Path, *commands: list[str]) -> list[Ran]:
    """Run commands as somebody whom permissions hold back."""
    place = Path(__file__).parents[2]
    words = [*BOUND, sys.executable, "-c", RUN, str(here / DB), json.dumps(commands)]
    ran = subprocess.run(words, cwd=place, capture_output=True, text=True, timeout=120)
    assert ran.returncode == 0, ran.stderr
    return [Ran(*each) for each in json.loads(ran.stdout)]


@pytest.mark.parametrize(("what", "mode"), [("file", 0o400), ("folder", 0o500)])
def test_a_catalogue_that_may_only_be_read_is_read(what: str, mode: int, here: Path) -> None:
    """Writing is refused with what to look at."""
    for beside in here.glob(f"{DB}-*"):
        beside.unlink()
    with closing(sqlite3.connect(here / DB)) as connection:
        connection.execute("PRAGMA journal_mode=delete")
    before = state(here / DB)
    spot = here / DB if what == "file" else here
    spot.chmod(mode)
    try:
        *reads, write, take = held_back(
            here, ["show", "P-1"], ["search", "polypropylene"], ["verify"],
            ["shelve", "22n 400V film"], ["import", str(here / "list.csv")],
        )  # fmt: skip
    finally:
        spot.chmod(0o700)
    assert [ran.code for ran in reads] == [0, 0, 0]
    for ran in (write, take):
        told(ran)
        assert "may you" in ran.err
    assert state(here / DB) == before


@pytest.mark.parametrize(("what", "mode"), [("file", 0), ("folder", 0)])
def test_without_permission_nothing_is_done(what: str, mode: int, here: Path) -> None:
    """Each command says that it may not."""
    before = state(here / DB)
    spot = here / DB if what == "file" else here
    spot.chmod(mode)
    try:
        ran = held_back(here, *(placed(words, here) for words in COMMANDS))
    finally:
        spot.chmod(0o700)
    for each in ran:
        told(each)
    assert state(here / DB) == before


def test_a_copy_is_restored_from_where_nothing_can_be_written(here: Path, tmp_path: Path) -> None:
    """A disk that is read only: nothing is laid beside the copy."""
    disk = tmp_path / "disk"
    disk.mkdir()
    shutil.copy(here / "copy.sqlite", disk / "copy.sqlite")
    disk.chmod(0o500)
    try:
        (ran,) = held_back(here, ["restore", str(disk / "copy.sqlite"), "--yes"])
    finally:
        disk.chmod(0o700)
    assert ran.code == 0, ran.err
    assert state(here / DB) == state(here / "copy.sqlite")


def test_files_that_hold_the_catalogue_are_private(here: Path) -> None:
    """Whatever the user's own habit is; those beside it, copies and what was there before among them."""
    (here / DB).unlink()
    habit = os.umask(0)
    try:
        assert partsbin("import", str(here / "list.csv"), db=here / DB).code == 0
        assert partsbin("backup", str(here / "made.sqlite"), db=here / DB).code == 0
        assert partsbin("copy", "--to", str(here / "carried.sqlite"), db=here / DB).code == 0
        assert partsbin("restore", str(here / "made.sqlite"), "--yes", db=here / DB).code == 0
        engine = open_store(here / DB)
        with writing(engine) as connection:
            connection.execute(text("UPDATE part SET place_id = place_id"))
            files = [file for file in here.glob("*.sqlite*") if file.name not in ("copy.sqlite", "old.sqlite")]
            modes = {file.name: f"{stat.S_IMODE(file.stat().st_mode):o}" for file in files}
        engine.dispose()
    finally:
        os.umask(habit)
    assert len(modes) == 6, modes  # the catalogue with two beside it, two copies, what was there before
    assert set(modes.values()) == {"600"}, modes


@pytest.mark.parametrize("make", [second_name, None], ids=["name", "file"])
def test_a_disk_that_knows_one_name_a_file_takes_copies(
    make: object, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As memory sticks do, which refuse a second name; what is there is not written over."""

    def refused(*names: Path) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", refused)
    made = tmp_path / "made"
    if make is second_name:
        (tmp_path / "half").write_text("whole")
        second_name(tmp_path / "half", made)
    else:
        with new_file(made) as half:
            half.write_text("whole")
    assert [(file.name, file.read_text()) for file in tmp_path.iterdir()] == [("made", "whole")]
    (tmp_path / "other").write_text("other")
    with pytest.raises(FileExistsError):
        second_name(tmp_path / "other", made)


# ---- the clock


def test_a_clock_that_goes_backwards_changes_no_order(here: Path) -> None:
    """Acts stand in the order in which they were done; the last one is the last one, whatever the clock said."""
    engine, noon = open_store(here / DB), datetime(2031, 3, 1, 12, tzinfo=UTC)
    clocks = [noon, noon - timedelta(days=400), noon - timedelta(days=4000)]
    with writing(engine) as connection:
        reserve(connection, 2, 1, Who(clocks[0], "ann"))
    with writing(engine) as connection:
        release(connection, 2, 1, Who(clocks[1], "ann"))
    with writing(engine) as connection:
        back = undo(connection, at=clocks[2], by="ann")
    newest = text("SELECT word, reverses_id FROM act ORDER BY id DESC LIMIT 3")
    with reading(engine) as connection:
        words = [tuple(row) for row in connection.execute(newest)]
        aside = connection.execute(text("SELECT reserved FROM part WHERE id = 2")).scalar_one()
    engine.dispose()
    assert back is not None
    assert [word for word, _ in words] == ["undone", "released", "reserved"]
    assert aside == 1
    shown = [
        line.split()[1] for line in partsbin("show", "P-2", db=here / DB).out.splitlines() if line.startswith("    20")
    ]
    assert shown == ["shelved", "reserved", "released", "released"]  # the last of them takes the third back
    assert partsbin("verify", db=here / DB).code == 0
