"""Whether a catalogue has changed: told of every change, whoever made it, and of nothing else."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import Engine, create_engine, text

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


def test_what_cannot_be_watched_has_no_state(tmp_path: Path) -> None:
    """A file that is gone, and a catalogue that is not a file: nobody knows whether it has changed."""
    assert Watch(create_engine(f"sqlite:///{tmp_path / 'none.sqlite'}")).state() is None
    assert Watch(create_engine("sqlite://")).state() is None
    assert not (tmp_path / "none.sqlite").exists()
