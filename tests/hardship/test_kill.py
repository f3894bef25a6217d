"""A command that is killed leaves its act whole or absent; `python -m tests.hardship.run` kills each two hundred times.

How long a process lives before it is killed is drawn at random: that instant is what is tried here, and nothing else waits.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from partsbin.store.restoring import restore
from tests.command import partsbin
from tests.hardship.commands import COMMANDS, DB, lay_out, state
from tests.hardship.kill import kill

KILLS = 3
"""Of each command, in the short form [-]."""


@pytest.fixture(scope="module")
def template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """What lies in the folder before a command."""
    folder = tmp_path_factory.mktemp("template")
    lay_out(folder)
    return folder


@pytest.mark.parametrize("name", COMMANDS)
def test_a_killed_command_leaves_its_act_whole_or_absent(name: str, template: Path, tmp_path: Path) -> None:
    """The catalogue verifies, is as before or as afterwards, holds no half copy, and the command works when it is run again."""
    tally = kill(name, KILLS, template, tmp_path)
    assert tally.wrong == []
    assert tally.killed == KILLS
    assert tally.whole + tally.absent == tally.killed + tally.ended


def test_what_is_compared_sees_one_row_missing(template: Path, tmp_path: Path) -> None:
    """Else half an act would pass for a whole one."""
    half = tmp_path / DB
    with closing(sqlite3.connect(template / DB)) as old, closing(sqlite3.connect(half)) as new:
        old.backup(new)
    assert state(half) == state(template / DB)
    with closing(sqlite3.connect(half)) as connection, connection:
        connection.execute("DELETE FROM job_need WHERE id = (SELECT max(id) FROM job_need)")
    differing = {name for name, said in state(half).items() if said != state(template / DB)[name]}
    assert differing == {"job_need"}


def test_the_log_of_a_catalogue_that_is_gone_is_not_folded_into_the_copy(template: Path, tmp_path: Path) -> None:
    """Somebody removed the file and left its log: that goes aside, and what is restored is the copy."""
    gone = tmp_path / DB
    with closing(sqlite3.connect(template / DB)) as old, closing(sqlite3.connect(gone)) as new:
        old.backup(new)
    with closing(sqlite3.connect(gone)) as connection:
        connection.execute("UPDATE part SET title = 'of the log' WHERE id = 1")
        connection.commit()
        log = Path(f"{gone}-wal").read_bytes()
    gone.unlink()
    Path(f"{gone}-wal").write_bytes(log)
    restore(template / "copy.sqlite", gone, datetime(2026, 3, 1, tzinfo=UTC))
    assert state(gone) == state(template / "copy.sqlite")
    assert partsbin("verify", db=gone).code == 0
