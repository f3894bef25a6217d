"""Measuring side by side: every round runs each action, so that whatever else the machine does falls on all alike."""

from __future__ import annotations

import gc
import json
import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

CHILD = Path(__file__).with_name("child.py")
COMPILED = Path(__file__).parent / ".work" / "compiled"
WARM = 2


class CouldNotRunError(Exception):
    """A command ended with another code than 0."""


@dataclass(frozen=True)
class Runs:
    """Times of several runs, and the highest peak memory where processes were measured.

    Parameters
    ----------
    seconds : tuple of float
        One a run [s].
    peak : int
        Highest peak of resident memory, 0 where it was not measured [byte].
    """

    seconds: tuple[float, ...]
    peak: int = 0

    @property
    def median(self) -> float:
        """The middle run [s]."""
        return statistics.median(self.seconds)

    def __str__(self) -> str:
        return f"{milliseconds(self.median)} ({milliseconds(min(self.seconds))}–{milliseconds(max(self.seconds))})"


def milliseconds(seconds: float) -> str:
    """Return a time in milliseconds, three digits that matter."""
    value = seconds * 1e3
    return f"{value:.2f}" if value < 10 else f"{value:.1f}" if value < 100 else f"{value:,.0f}"


def side_by_side(actions: Mapping[str, Callable[[], object]], rounds: int) -> dict[str, Runs]:
    """Return the times of actions in this process, run in turn, after two rounds that are not counted.

    The order turns by one each round, so that none always follows the same other, and each runs once more before it is timed: the
    processor's caches are then its own, as for the second question of an evening. Garbage is collected before each action, not
    at somebody else's cost; it stays on while the action runs, as it does in use. What stood before the rounds is not walked each
    time: that would empty the processor's caches, which costs a short action more than a long one.
    """
    names = list(actions)
    seconds: dict[str, list[float]] = {name: [] for name in names}
    for turn in range(-WARM, rounds):
        if turn == 0:
            gc.collect()
            gc.freeze()
        for name in (*names[turn % len(names) :], *names[: turn % len(names)]):
            actions[name]()
            took = _timed(actions[name])
            if turn >= 0:
                seconds[name].append(took)
    gc.unfreeze()
    return {name: Runs(tuple(taken)) for name, taken in seconds.items()}


def _timed(action: Callable[[], object]) -> float:
    gc.collect()
    start = time.perf_counter()
    action()
    return time.perf_counter() - start


def once(
    command: Sequence[str], environment: Mapping[str, str] | None = None, *, may_say_no: bool = False
) -> tuple[float, int]:
    """Return wall time [s] and peak memory [B] of one process, with that environment on top of ours.

    Every process finds its modules compiled, as after an installation, whatever the shell's own habit: compiling is no part of
    starting.

    Raises
    ------
    CouldNotRunError
        If it ends with another code than 0, or than 1 if it may say no.
    """
    done = subprocess.run(
        [sys.executable, "-I", "-S", str(CHILD), *command],
        check=True,
        capture_output=True,
        text=True,
        env=compiled() | dict(environment or {}),
    )
    told = json.loads(done.stdout)
    if told["exit"] not in ((0, 1) if may_say_no else (0,)):
        last = (told["said"].strip().splitlines() or ["nothing on stderr"])[-1]
        raise CouldNotRunError(f"{' '.join(command)!r} ended with {told['exit']}: {last}")
    return told["seconds"], told["peak"]


def compiled() -> dict[str, str]:
    """Return the environment in which a process finds its modules compiled."""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    return kept | {"PYTHONPYCACHEPREFIX": str(COMPILED)}


def processes(commands: Mapping[str, Sequence[str]], rounds: int) -> dict[str, Runs]:
    """Return wall times and peak memory of whole processes, run in turn, after one round that is not counted.

    Raises
    ------
    CouldNotRunError
        If a command ends with another code than 0.
    """
    seconds: dict[str, list[float]] = {name: [] for name in commands}
    peaks = dict.fromkeys(commands, 0)
    for turn in range(-1, rounds):
        for name, command in commands.items():
            spent, peak = once(command)
            if turn >= 0:
                seconds[name].append(spent)
                peaks[name] = max(peaks[name], peak)
    return {name: Runs(tuple(taken), peaks[name]) for name, taken in seconds.items()}
