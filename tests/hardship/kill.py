"""Killing a command at random moments of its work, and looking at what it leaves."""

from __future__ import annotations

import multiprocessing
import random
import shutil
import sqlite3
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from partsbin.stock.keeping.verify import verify
from partsbin.store.engine import open_store, reading
from tests.command import partsbin
from tests.hardship import warm
from tests.hardship.commands import COMMANDS, DB, Command, State, state

DEADLINE = 60.0
"""No command takes longer here [s]."""

MEASURED = 3
"""Undisturbed runs of which the middle one is the command's length [-]."""

BEYOND = 1.25
"""Delays reach beyond the measured length, which differs from run to run: the last step is met as well [-]."""


@dataclass
class Tally:
    """What came of the kills of one command."""

    name: str
    length: float
    killed: int = 0
    ended: int = 0
    absent: int = 0
    whole: int = 0
    left: int = 0
    wrong: list[str] = field(default_factory=list)

    @property
    def figures(self) -> dict[str, object]:
        """Numbers to print."""
        return {
            "command": self.name,
            "length ms": round(1000 * self.length),
            "killed at work": self.killed,
            "had ended": self.ended,
            "act absent": self.absent,
            "act whole": self.whole,
            "files left beside": self.left,
            "wrong": self.wrong,
        }


class Ground:
    """A folder for each kill, made like the one before it, and the two states that it may be left in."""

    def __init__(self, name: str, template: Path, folder: Path) -> None:
        self.name, self.command, self.template, self.folder = name, COMMANDS[name], template, folder
        with self._fresh() as here:
            self.before = _said(here)
            self._run(here, DEADLINE)  # the first one meets cold files
            self.after = _said(here)
        lengths = []
        for _ in range(MEASURED):
            with self._fresh() as here:
                lengths.append(self._run(here, DEADLINE)[1])
        self.length = sorted(lengths)[MEASURED // 2]

    @contextmanager
    def _fresh(self) -> Iterator[Path]:
        here = self.folder / self.name
        shutil.copytree(self.template, here)
        self.command.prepare(here)
        try:
            yield here
        finally:
            shutil.rmtree(here)

    def _run(self, here: Path, delay: float) -> tuple[bool, float]:
        """Run the command and kill it after a while; return whether it was at work still, and how long it took [s]."""
        context = multiprocessing.get_context("forkserver")
        context.set_forkserver_preload([warm.__name__])
        said, saying = context.Pipe(duplex=False)
        process = context.Process(target=warm.run, args=(_placed(self.command, here), str(here / DB), saying))
        process.start()
        saying.close()
        said.recv_bytes()
        start = time.perf_counter()
        process.join(delay)
        took, at_work = time.perf_counter() - start, process.is_alive()
        process.kill()
        process.join()
        if delay == DEADLINE and process.exitcode != 0:
            raise RuntimeError(f"{self.name}: ended with {process.exitcode} undisturbed")
        process.close()
        said.close()
        return at_work, took

    def kill(self, tally: Tally, chance: random.Random) -> None:
        """Kill it once at a random moment and look at what is left."""
        delay = chance.uniform(0, BEYOND * self.length)
        with self._fresh() as here:
            at_work, _ = self._run(here, delay)
            tally.killed += at_work
            tally.ended += not at_work
            tally.wrong += [f"{1000 * delay:.1f} ms: {wrong}" for wrong in self._look(here, tally)]

    def _look(self, here: Path, tally: Tally) -> Iterator[str]:
        beside = {file.name for file in here.iterdir()}
        tally.left += len(beside - {file.name for file in self.template.iterdir()} - {self.command.makes}) > 0
        found, made = _said(here), self.command.makes and (here / self.command.makes).exists()
        whole = bool(made) if self.command.makes else found == self.after
        tally.whole += whole
        tally.absent += found == self.before and not whole
        if found not in (self.before, self.after):
            yield f"neither whole nor absent: {_difference(found, self.before)}"
        yield from _copies(here)
        yield from _open_to_others(here)
        if not whole:
            again = partsbin(*_placed(self.command, here), db=here / DB)
            if again.code != 0:
                yield f"does not work again: {again.err}"
            elif _said(here) != self.after:
                yield f"is not whole when done again: {_difference(_said(here), self.after)}"
        yield from _verified(here / DB)


def _placed(command: Command, here: Path) -> tuple[str, ...]:
    return tuple(str(here / word) if word.endswith((".csv", ".txt", ".sqlite")) else word for word in command.words)


def _said(here: Path) -> State | str:
    """The state of the catalogue; in words where it is damaged, which it may be only where it was so before."""
    if not (here / DB).exists():
        return "not there"
    try:
        with closing(sqlite3.connect(here / DB)) as connection:
            damage = connection.execute("PRAGMA integrity_check(1)").fetchone()[0]
        return state(here / DB) if damage == "ok" else "damaged"
    except sqlite3.DatabaseError:
        return "damaged"


def _difference(found: State | str, wanted: State | str) -> str:
    if isinstance(found, str) or isinstance(wanted, str):
        return f"{found}" if isinstance(found, str) else "readable"
    return ", ".join(name for name in {*found, *wanted} if found.get(name) != wanted.get(name))


def _copies(here: Path) -> Iterator[str]:
    """What bears the name of a copy is a whole one: half a copy that looks like one is worse than none."""
    names = [file for mark in ("made.sqlite", f"{DB}.before-*", f"{DB}.schema-*") for file in here.glob(mark)]
    for file in names:
        if file.name.endswith(("-wal", "-shm", "-journal", ".partial")):
            continue
        with closing(sqlite3.connect(file)) as connection:
            try:
                whole = connection.execute("SELECT count(*) FROM part").fetchone()[0] > 0
            except sqlite3.DatabaseError:
                whole = (here / DB).exists() and "before" in file.name and file.stat().st_size > 65_536
        if not whole:
            yield f"{file.name} is no whole copy"


def _open_to_others(here: Path) -> Iterator[str]:
    for file in here.glob("*.sqlite*"):
        if file.name not in ("old.sqlite", DB) and file.stat().st_mode & 0o077:
            yield f"{file.name} is open to others: {file.stat().st_mode & 0o777:o}"


def _verified(file: Path) -> Iterator[str]:
    engine = open_store(file)
    with reading(engine) as connection:
        yield from (f"verify: {fault.said}" for fault in verify(connection))
    engine.dispose()


def kill(name: str, times: int, template: Path, folder: Path, seed: int = 7) -> Tally:
    """Kill one command at random moments.

    Parameters
    ----------
    name : str
        One of `COMMANDS`.
    times : int
        How often [-].
    template, folder : Path
        What `lay_out` made; where there is room for copies of it.
    seed : int
        What the moments are drawn with.
    """
    ground, chance = Ground(name, template, folder), random.Random(f"{name} {seed}")
    tally = Tally(name, ground.length)
    for _ in range(times):
        ground.kill(tally, chance)
    return tally
