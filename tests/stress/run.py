"""Eight hands and one eye at one catalogue: nothing is sold twice, nothing that was said to be done is lost, nobody is turned away.

``python -m tests.stress.run --seconds 60`` does it on a new file of SQLite, ``--url URL`` on an empty database of a server.
"""

from __future__ import annotations

import argparse
import json
import multiprocessing
import sys
import tempfile
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, text

from partsbin.jobs.record import open_job
from partsbin.stock.acts import Who
from partsbin.stock.catalogue import shelve
from partsbin.stock.draft import draft_from_text
from partsbin.stock.keeping.verify import verify
from partsbin.store.engine import open_store, reading, writing
from tests.stress.hands import JOBS, PARTS, TEXT, Told, look, wait_for, work

HANDS = 8


@dataclass(frozen=True)
class Outcome:
    """What came of it: what the hands and the eye were told, and what is wrong afterwards."""

    hands: tuple[Told, ...]
    eye: Told
    wrong: tuple[str, ...]

    @property
    def figures(self) -> dict[str, Any]:
        """Numbers to print; times in milliseconds."""
        acts = sorted(wait for hand in self.hands for wait in hand.waits)
        words: dict[str, int] = {}
        for hand in self.hands:
            for word, number in sorted(hand.words.items()):
                words[word] = words.get(word, 0) + number
        return {
            "acts done": sum(len(hand.acts) for hand in self.hands),
            "fewest of a hand": min(len(hand.acts) for hand in self.hands),
            **dict(sorted(words.items())),
            "act, median ms": _ms(acts, 0.5),
            "act, longest ms": _ms(acts, 1.0),
            "looks": len(self.eye.waits),
            "look, median ms": _ms(sorted(self.eye.waits), 0.5),
            "look, longest ms": _ms(sorted(self.eye.waits), 1.0),
            "wrong": list(self.wrong),
        }


def _ms(waits: list[float], part: float) -> float:
    return round(1000 * waits[min(int(part * len(waits)), len(waits) - 1)], 1) if waits else 0.0


def run(place: str, seconds: float, hands: int = HANDS) -> Outcome:
    """Let processes work on an empty catalogue for some seconds, then look it over.

    Parameters
    ----------
    place : str
        A file that is not there, or the URL of an empty database.
    seconds : float
        How long [s].
    hands : int
        How many processes write; one more reads [-].
    """
    engine = open_store(place)
    now = datetime.now(UTC)
    with writing(engine) as connection:
        film = draft_from_text(TEXT, family="capacitor", count=3, condition="new")[0]
        shelve(connection, [film] * PARTS, at=now, by="before")
        for _ in range(JOBS):
            open_job(connection, Who(now, "before"))
    context = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(hands + 1, context, wait_for, (context.Barrier(hands + 1),)) as pool:
        eye = pool.submit(look, place, 0, seconds)
        working = [pool.submit(work, place, number, seconds) for number in range(1, hands + 1)]
        told = tuple(each.result() for each in working)
        seen = eye.result()
    with reading(engine) as connection:
        wrong = (*_wrong(connection, (*told, seen)), *(fault.said for fault in verify(connection)))
    engine.dispose()
    return Outcome(told, seen, wrong)


def _wrong(connection: Connection, told: tuple[Told, ...]) -> list[str]:
    """Every act that a hand was told of is in the ledger as its own, and no other one is."""
    wrong = [f"{each.name}: {fault}" for each in told for fault in each.faults]
    written = text("SELECT id FROM act WHERE by = :by")
    for each in told:
        held = set(connection.execute(written, {"by": each.name}).scalars())
        for said, acts in (("lost", set(each.acts) - held), ("never told", held - set(each.acts))):
            wrong += [f"{each.name}: act {act} {said}" for act in sorted(acts)]
    return wrong


def main() -> int:
    """Run it and print the figures."""
    words = argparse.ArgumentParser(prog="python -m tests.stress.run")
    words.add_argument("--seconds", type=float, default=60)
    words.add_argument("--hands", type=int, default=HANDS)
    words.add_argument("--url", default="", help="an empty database; without it a file that is removed afterwards")
    given = words.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        outcome = run(given.url or str(Path(folder) / "catalogue.sqlite"), given.seconds, given.hands)
    print(json.dumps(outcome.figures, indent=1))
    return 1 if outcome.wrong else 0


if __name__ == "__main__":
    sys.exit(main())
