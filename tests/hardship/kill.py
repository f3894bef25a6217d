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
from multiprocessing.connection import Connection
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

CLOSE = 0.003
"""Every second kill falls so soon after a step: what is written is written there, and that takes no longer [s]."""

TRIES = 5
"""Kills for each that is wanted, at most: one that comes too late is looked at as well, and does not count [-]."""


@dataclass(frozen=True)
class Moment:
    """When a command is killed: after so many steps, from the first catalogue that it opens, and so long [s]."""

    steps: int = 1
    delay: float = DEADLINE


@dataclass(frozen=True)
class Ran:
    """How far a command came: steps until it ended or was killed, how long they took [s], whether it was done."""

    steps: int
    took: float
    done: bool


@dataclass
class Tally:
    """What came of the kills of one command."""

    name: str
    length: float
    steps: int = 0
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
            "steps": self.steps,
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
            self._run(here, Moment())  # the first one meets cold files
            self.after = _said(here)
        ran = []
        for _ in range(MEASURED):
            with self._fresh() as here:
                ran.append(self._run(here, Moment()))
        self.length, self.steps = sorted(each.took for each in ran)[MEASURED // 2], min(each.steps for each in ran)

    @contextmanager
    def _fresh(self) -> Iterator[Path]:
        here = self.folder / self.name
        shutil.copytree(self.template, here)
        self.command.prepare(here)
        try:
            yield here
        finally:
            shutil.rmtree(here)

    def _run(self, here: Path, moment: Moment) -> Ran:
        """Run the command and kill it at a moment; if that never comes it is left to end."""
        context = multiprocessing.get_context("forkserver")
        context.set_forkserver_preload([warm.__name__])
        told, telling = context.Pipe(duplex=False)
        process = context.Process(target=warm.run, args=(_placed(self.command, here), str(here / DB), telling))
        process.start()
        telling.close()
        ran = _until(told, moment)
        if ran.done:
            process.join(DEADLINE)
        process.kill()
        process.join()
        if ran.done and process.exitcode != 0:
            raise RuntimeError(f"{self.name}: ended with {process.exitcode} undisturbed")
        process.close()
        told.close()
        return ran

    def kill(self, tally: Tally, chance: random.Random) -> None:
        """Kill it once and look at what is left: by turns at any time of the work, and close upon one of its steps."""
        if (tally.killed + tally.ended) % 2:
            moment = Moment(chance.randint(1, self.steps), chance.uniform(0, CLOSE))
        else:
            moment = Moment(1, chance.uniform(0, self.length))
        with self._fresh() as here:
            done = self._run(here, moment).done
            tally.killed += not done
            tally.ended += done
            when = f"{1000 * moment.delay:.1f} ms after step {moment.steps}"
            tally.wrong += [f"{when}: {wrong}" for wrong in self._look(here, tally)]

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


def _until(told: Connection, moment: Moment) -> Ran:
    """Wait for a moment, or for the end if that comes first."""
    told.recv_bytes()
    steps, start = 1, time.perf_counter()
    kill_at = start + moment.delay if moment.steps == 1 else None
    while (now := time.perf_counter()) < (kill_at or start + DEADLINE):
        if not told.poll((kill_at or start + DEADLINE) - now):
            continue
        if told.recv_bytes() == warm.DONE:
            return Ran(steps, time.perf_counter() - start, True)
        steps += 1
        if steps == moment.steps:
            kill_at = time.perf_counter() + moment.delay
    return Ran(steps, time.perf_counter() - start, False)


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
        How often while it is at work [-].
    template, folder : Path
        What `lay_out` made; where there is room for copies of it.
    seed : int
        What the moments are drawn with.
    """
    ground, chance = Ground(name, template, folder), random.Random(f"{name} {seed}")
    tally = Tally(name, ground.length, ground.steps)
    while tally.killed < times and tally.killed + tally.ended < TRIES * times:
        ground.kill(tally, chance)
    return tally
