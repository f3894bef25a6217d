"""The command line as a whole: help, version, exit codes of what is not a command's own affair."""

from __future__ import annotations

import os
import re
import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from sqlalchemy.exc import IntegrityError, NoSuchColumnError, OperationalError
from typer.testing import CliRunner

from partsbin import __version__
from partsbin.cli.main import _database_fault, app
from tests.command import partsbin

COMMANDS = ("find", "try", "read", "demo", "shelve", "show", "import")


def process(*words: str, **environment: str) -> subprocess.CompletedProcess[bytes]:
    """Run a command in a process of its own, with that environment on top of ours."""
    return subprocess.run(
        [sys.executable, "-m", "partsbin.cli.main", *words],
        env={**os.environ, **environment},
        capture_output=True,
        check=False,
    )


def test_version_is_printed() -> None:
    """On stdout, nothing else."""
    assert partsbin("--version") == (0, f"partsbin {__version__}\n", "")


def test_help_lists_every_command() -> None:
    """Each with a line of its own that is not cut short."""
    ran = partsbin("--help")
    assert (ran.code, ran.err) == (0, "")
    listed = ran.out.split("Commands:")[1]
    assert [
        line.split()[0] for line in listed.splitlines() if line.startswith("  ") and line.split()[0] in COMMANDS
    ] == list(COMMANDS)
    assert "..." not in listed


@pytest.mark.parametrize("command", COMMANDS)
def test_each_command_has_help(command: str) -> None:
    """Asking for it is no error."""
    ran = partsbin(command, "--help")
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.startswith(f"Usage: partsbin {command} ")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "Usage: partsbin"),
        (("fnid",), "No such command 'fnid'"),
        (("find",), "Missing argument"),
        (("find", "capacitor", "--positon", "coupling"), "--positon"),
        (("show",), "Missing argument"),
        (("demo", "again"), "unexpected extra argument"),
    ],
)
def test_a_wrong_use_is_said_on_stderr(words: tuple[str, ...], said: str) -> None:
    """Exit code 2 and an empty stdout."""
    ran = partsbin(*words)
    assert (ran.code, ran.out) == (2, "")
    assert said in ran.err


def test_a_terminal_without_our_signs_is_no_reason_to_stop() -> None:
    """Text shows a question mark for Ω; JSON loses nothing, for it escapes."""
    asked = ("read", "output transformer 5k2:3 ohm")
    text = process(*asked, PYTHONIOENCODING="ascii")
    assert (text.returncode, text.stderr) == (0, b"")
    assert b"primary impedance 5.2 k?" in text.stdout
    document = process("read", "22n ±5 % Ω", "--json", PYTHONIOENCODING="ascii")
    assert (document.returncode, document.stderr) == (0, b"")
    assert b"\\u03a9" in document.stdout.lower() or b"\xce\xa9" not in document.stdout


def test_bytes_that_are_no_text_are_refused() -> None:
    """Neither stored nor printed."""
    ran = partsbin("read", "22n \udcff")
    assert ran == (2, "", "partsbin: '22n ?' holds bytes that are not utf-8 text\n")


@pytest.mark.parametrize(("command", "reader"), [("demo", "head -1"), ("read 22n", "true"), ("--help", "true")])
def test_a_reader_that_goes_away_is_no_fault(command: str, reader: str) -> None:
    """As ``partsbin demo | head -1`` does: exit code 0, nothing on stderr."""
    program = f"{sys.executable} -m partsbin.cli.main {command} | {reader}; exit ${{PIPESTATUS[0]}}"
    ran = subprocess.run(["bash", "-c", program], capture_output=True, text=True, check=False)
    assert (ran.returncode, ran.stderr) == (0, "")


def test_a_fault_of_the_database_is_said_not_traced(empty: Path) -> None:
    """Such as a catalogue that somebody changed by hand, or one that another program holds locked."""
    with sqlite3.connect(empty) as changed:
        changed.execute("ALTER TABLE part RENAME COLUMN title TO name")
    changed.close()
    ran = partsbin("shelve", "22n 630V film", db=empty)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err == (
        "partsbin: the catalogue cannot be worked with: table part has no column named title\n"
        "    hint: made or changed by another program, or another version? name another with --db, or restore a backup\n"
    )


def test_a_catalogue_of_another_program_is_said_not_traced(empty: Path) -> None:
    """A file that bears our schema's number and lacks our tables, whatever command meets it."""
    with sqlite3.connect(empty) as changed:
        changed.execute("ALTER TABLE option_keys RENAME TO elsewhere")
        changed.execute("ALTER TABLE part RENAME COLUMN marking TO says")
    changed.close()
    for words in (("find", "capacitor", "-p", "coupling"), ("show", "P-1"), ("shelve", "22n 630V film")):
        ran = partsbin(*words, db=empty)
        assert (ran.code, ran.out) == (2, ""), words
        assert ran.err.startswith("partsbin: ")
        assert "Traceback" not in ran.err


FAULTS = [
    (NoSuchColumnError("no column 'title'"), "the catalogue cannot be worked with: no column 'title'"),
    (OperationalError("SELECT 1", {}, sqlite3.OperationalError("database is locked")), "in use by another program"),
    (IntegrityError("INSERT", {}, sqlite3.IntegrityError("NOT NULL: part.owner")), "worked with: NOT NULL: part.owner"),
]


@pytest.mark.parametrize(("fault", "said"), FAULTS)
def test_every_fault_of_the_database_has_words(fault: Exception, said: str) -> None:
    """Not only what its driver reports."""
    known = _database_fault(fault)
    assert known is not None
    assert said in known.message


def test_a_fault_of_our_own_is_not_laid_on_the_database() -> None:
    """It is a defect, and it shows."""
    assert _database_fault(KeyError("of our own")) is None


@pytest.mark.parametrize(
    "words", [("show", "P-1"), ("show", "P-99"), ("donor", "todo", "D-99"), ("shelve", "EL84", "--count", "2")]
)
def test_a_command_closes_its_catalogue(words: tuple[str, ...], shelf: Path) -> None:
    """Done, refused or asked wrongly: the log is folded in, and whoever runs many commands runs out of no descriptors."""
    partsbin(*words, db=shelf)
    assert [file.name for file in shelf.parent.iterdir()] == [shelf.name]


def test_an_interrupted_command_leaves_no_traceback() -> None:
    """As a shell reports an interrupt: 130, whether it comes inside a command or beside it."""
    program = (
        "import os, signal, sys, partsbin.cli.main as line\n"
        "def interrupted(words): os.kill(os.getpid(), signal.SIGINT)\n"
        "line._refuse_broken_text = interrupted\n"
        "line.main()\n"
    )
    ran = subprocess.run([sys.executable, "-c", program, "read", "22n"], capture_output=True, text=True, check=False)
    assert (ran.returncode, ran.stdout, ran.stderr) == (130, "", "")


def test_a_fault_that_nobody_hears_is_no_second_fault() -> None:
    """As ``partsbin show P-99 2>&1 | true`` does."""
    program = f"{sys.executable} -m partsbin.cli.main show nothing 2>&1 | (sleep 0; true); exit ${{PIPESTATUS[0]}}"
    ran = subprocess.run(["bash", "-c", program], capture_output=True, text=True, check=False)
    assert (ran.returncode in (0, 2), ran.stderr) == (True, "")


@pytest.mark.parametrize("name", ["what?.sqlite", "50%.sqlite", "drawer #2.sqlite", "Röhren.sqlite", "a b.sqlite"])
def test_any_name_of_a_file_is_a_name_of_a_catalogue(tmp_path: Path, name: str) -> None:
    """The file itself is used, not one whose name a database URL would make of it."""
    assert partsbin("shelve", "22n 630V film", db=tmp_path / name).code == 0
    assert {file.name.split("-")[0] for file in tmp_path.iterdir()} == {name}
    assert partsbin("show", "P-0001", db=tmp_path / name).code == 0


def _all() -> list[str]:
    return sorted(each.name or "" for each in [*app.registered_commands, *app.registered_groups])


def _whole(*words: str) -> str:
    return CliRunner().invoke(app, words, prog_name="partsbin", env={"COLUMNS": "80"}).output


def test_the_list_of_commands_is_that_of_the_whole() -> None:
    """It is printed without making the commands; lines may be broken elsewhere."""
    listed, whole = (text.split("Commands:")[1] for text in (partsbin("--help", columns=80).out, _whole("--help")))
    assert "".join(listed.split()) == "".join(whole.split())
    assert all(f"\n  {name} " in listed for name in _all())


@pytest.mark.parametrize("name", _all())
def test_every_command_tells_its_options(name: str) -> None:
    """Each is made when it is called, as in the whole; lines may be broken elsewhere."""
    told, whole = partsbin(name, "--help", columns=80).out, _whole(name, "--help")
    assert re.findall(r"--[a-z-]+", told) == re.findall(r"--[a-z-]+", whole)
    assert told.split()[:3] == ["Usage:", "partsbin", name]
