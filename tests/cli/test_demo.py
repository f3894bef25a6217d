"""``partsbin demo``: a catalogue of its own, and three repairs played on it."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from tests.command import Ran, partsbin


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the demonstration is built."""
    return tmp_path_factory.mktemp("demo") / "demo.sqlite"


@pytest.fixture(scope="module")
def ran(file: Path) -> Ran:
    """The demonstration, played once."""
    return partsbin("demo", "--db", str(file))


def test_it_plays_to_the_end(ran: Ran) -> None:
    """Exit code 0 although the inventory has rows with problems, which are shown."""
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.startswith("DEMONSTRATION  ")
    assert "\nREFUSED: A PROBLEM  11\n" in ran.out


def test_the_totals_cover_every_row(ran: Ran) -> None:
    """What was refused is in them, beside what was taken."""
    line = next(line for line in ran.out.splitlines() if re.match(r"[0-9]+ rows: ", line))
    rows, *fates = (int(number) for number in re.findall(r"[0-9]+", line))
    assert (sum(fates), fates[-1]) == (rows, 11)


def test_every_repair_finds_something(ran: Ran) -> None:
    """Each repair has a part that fits or needs care, one to measure and one refused."""
    repairs = re.split(r"\nREPAIR [0-9]  ", ran.out)[1:]
    assert len(repairs) == 3
    for repair in repairs:
        heads = {line.split()[0] for line in repair.splitlines() if line.strip()}
        assert {"NEED", "MEASURE", "UNFIT", "BUY", "ALSO", "AFTER", "CAUTION"} <= heads
        assert heads & {"FITS", "CARE"}


def test_the_commands_it_shows_give_what_it_shows(ran: Ran, file: Path) -> None:
    """Typed by hand on the same catalogue, they print the same answer."""
    commands = [line.removeprefix("$ ") for line in ran.out.splitlines() if line.startswith("$ ")]
    assert len(commands) == 3
    for command in commands:
        again = partsbin(*shlex.split(command)[1:])
        assert again.code == 0
        assert again.out in ran.out


def test_a_file_that_is_there_is_never_touched(file: Path, ran: Ran) -> None:
    """The demonstration builds a file of its own."""
    assert partsbin("demo", "--db", str(file)) == (
        2,
        "",
        f"partsbin: '{file}' exists\n    hint: the demonstration builds a file of its own: name one that is not there\n",
    )


def test_the_users_catalogue_is_left_alone(shelf: Path) -> None:
    """PARTSBIN_DB does not say where the demonstration goes."""
    before = shelf.read_bytes()
    assert partsbin("demo", db=shelf).code == 0
    assert shelf.read_bytes() == before
