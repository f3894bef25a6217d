"""Whether a catalogue has changed: told of every change, whoever made it, and of nothing else."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from sqlalchemy import Engine, create_engine, text

from partsbin.errors import StoreError
from partsbin.store.copies import copy_to
from partsbin.store.engine import open_store, reading, writing
from partsbin.store.watching import Watch


@pytest.fixture
def engine(tmp_path: Path) -> Iterator[Engine]:
    """A new catalogue."""
    engine = open_store(tmp_path / "a b%?.sqlite")
    yield engine
    engine.dispose()


def test_a_catalogue_that_is_only_read_stays_in_its_state(engine: Engine) -> None:
    """Looking changes nothing."""
    watch = Watch(engine)
    before = watch.state()
    with reading(engine) as connection:
        connection.execute(text("SELECT count(*) FROM part")).scalar_one()
    assert watch.state() == before is not None
    watch.close()


def test_each_change_makes_another_state(engine: Engine) -> None:
    """Of one's own connections too: none of them is the one that watches."""
    watch, states = Watch(engine), []
    for number in range(5):
        states.append(watch.state())
        with writing(engine) as connection:
            connection.execute(text("INSERT INTO place (name) VALUES (:name)"), {"name": f"drawer {number}"})
    assert len({*states, watch.state()}) == 6
    watch.close()


def test_a_change_by_another_process_is_seen(engine: Engine) -> None:
    """As the command line makes it."""
    watch = Watch(engine)
    before = watch.state()
    words = [
        "-c",
        "from partsbin.cli.main import main; main()",
        "--db",
        str(engine.url.database),
        "shelve",
        "22n 630V film",
    ]
    subprocess.run([sys.executable, *words], check=True, capture_output=True)
    assert watch.state() != before
    watch.close()


def test_another_file_in_the_place_of_the_catalogue_is_another_state(engine: Engine, tmp_path: Path) -> None:
    """As when somebody lays a copy there by hand; it is read and written from then on."""
    file, watch = Path(str(engine.url.database)), Watch(engine)
    other = open_store(tmp_path / "other.sqlite")
    with writing(other) as connection:
        connection.execute(text("INSERT INTO place (name) VALUES ('of the copy')"))
    other.dispose()
    before = watch.state()
    with writing(engine) as connection:
        connection.execute(text("INSERT INTO place (name) VALUES ('of before')"))
    (tmp_path / "other.sqlite").replace(file)
    for end in ("-wal", "-shm"):
        Path(f"{file}{end}").unlink(missing_ok=True)
    after = watch.state()
    with writing(engine) as connection:
        connection.execute(text("INSERT INTO place (name) VALUES ('afterwards')"))
    assert len({before, after, watch.state()}) == 3
    watch.close()
    engine.dispose()
    with reading(open_store(file)) as connection:
        assert connection.execute(text("SELECT name FROM place ORDER BY id")).scalars().all() == [
            "of the copy",
            "afterwards",
        ]


@pytest.mark.parametrize(
    ("made_by", "said"),
    [
        ("UPDATE meta SET value = '5' WHERE name = 'schema_version'", "one of schema 5, expected"),
        ("DROP TABLE meta", "is not one or is damaged: no such table: meta"),
    ],
)
def test_another_file_that_is_no_catalogue_of_today_is_refused(
    engine: Engine, tmp_path: Path, made_by: str, said: str
) -> None:
    """Each time; the right one laid back is worked with again."""
    file, right, wrong = Path(str(engine.url.database)), tmp_path / "right.sqlite", tmp_path / "wrong.sqlite"
    copy_to(engine, right)
    copy_to(engine, wrong)
    with closing(sqlite3.connect(wrong)) as connection, connection:
        connection.execute(made_by)
    wrong.replace(file)
    for _ in range(2):
        with pytest.raises(StoreError, match=said), reading(engine):
            pass
    right.replace(file)
    with reading(engine) as connection:
        assert connection.execute(text("PRAGMA journal_mode")).scalar_one() == "wal"


def test_a_catalogue_that_is_gone_is_said_to_be_and_not_made_anew(engine: Engine) -> None:
    """Neither from a connection that was open nor from a new one."""
    file, watch = Path(str(engine.url.database)), Watch(engine)
    assert watch.state() is not None
    file.rename(file.with_name("elsewhere.sqlite"))
    for _ in range(3):
        with pytest.raises(StoreError, match="is gone"), reading(engine):
            pass
    assert (watch.state(), file.exists()) == (None, False)
    file.with_name("elsewhere.sqlite").rename(file)
    with reading(engine) as connection:
        connection.execute(text("SELECT count(*) FROM part")).scalar_one()
    assert watch.state() is not None
    watch.close()


def test_whoever_has_the_file_for_himself_keeps_nobody_who_looks_waiting(engine: Engine) -> None:
    """Nobody knows then whether it has changed."""
    watch = Watch(engine)
    watch.state()
    engine.dispose()
    watch.close()
    with closing(sqlite3.connect(str(engine.url.database), isolation_level=None)) as alone:
        alone.execute("PRAGMA locking_mode=exclusive")
        alone.execute("INSERT INTO place (name) VALUES ('mine')")
        began = time.perf_counter()
        state = watch.state()
        assert (state, time.perf_counter() - began < 1) == (None, True)
    watch.close()


def test_what_cannot_be_watched_has_no_state(tmp_path: Path) -> None:
    """A file that is gone, and a catalogue that is not a file: nobody knows whether it has changed."""
    assert Watch(create_engine(f"sqlite:///{tmp_path / 'none.sqlite'}")).state() is None
    assert Watch(create_engine("sqlite://")).state() is None
    assert not (tmp_path / "none.sqlite").exists()
