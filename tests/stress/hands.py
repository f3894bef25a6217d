"""What each process of the stress does: a hand shelves, sets aside, fits and takes back at random; an eye reads all the while."""

from __future__ import annotations

import random
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from multiprocessing.synchronize import Barrier
from typing import Any

from sqlalchemy import Connection, text

from partsbin.errors import PartsbinError
from partsbin.jobs.fitting import Spot, bring_back, fit
from partsbin.jobs.record import job_of
from partsbin.needs import Request
from partsbin.sets import read_facts
from partsbin.stock.acts import Who, release, reserve
from partsbin.stock.catalogue import shelve
from partsbin.stock.draft import draft_from_text
from partsbin.stock.ledger import undo
from partsbin.store.engine import open_store, reading, writing

PARTS = 6
"""Parts that all hands reach for: few pieces of each, so that most acts are about the last one."""

JOBS = 2
REOPENED = 12
"""Acts after which a hand opens the catalogue anew, as every command does."""

PATIENCE = 60.0
"""How much longer a hand that has done nothing yet goes on: on a busy machine that is no wrong, for ever it is [s]."""

TEXT = "22n 630V polypropylene"


@dataclass
class Told:
    """What one process was told, and how long it waited.

    Parameters
    ----------
    name : str
        Whose hand.
    acts : list of int
        Acts that were said to be done.
    words : Counter
        How many of each kind were done, and how many refused.
    faults : list of str
        What no user should see.
    waits : list of float
        How long each act, or each look, took [s].
    """

    name: str
    acts: list[int] = field(default_factory=list)
    words: Counter[str] = field(default_factory=Counter)
    faults: list[str] = field(default_factory=list)
    waits: list[float] = field(default_factory=list)


def _shelve(connection: Connection, who: Who, chance: random.Random) -> None:
    film = draft_from_text(TEXT, family="capacitor", count=chance.randint(1, 2), condition="new")[0]
    shelve(connection, [film], at=who.at, by=who.by)


def _reserve(connection: Connection, who: Who, chance: random.Random) -> None:
    reserve(connection, chance.randint(1, PARTS), chance.randint(1, 2), who, job_id=chance.randint(1, JOBS))


def _release(connection: Connection, who: Who, chance: random.Random) -> None:
    release(connection, chance.randint(1, PARTS), 1, who, job_id=chance.randint(1, JOBS))


def _fit(connection: Connection, who: Who, chance: random.Random) -> None:
    request = Request("capacitor", "", "coupling", {}, read_facts(["rail=240"]))
    fit(connection, Spot(job_of(connection, chance.randint(1, JOBS)), request), chance.randint(1, PARTS), who)


def _return(connection: Connection, who: Who, chance: random.Random) -> None:
    bring_back(connection, job_of(connection, chance.randint(1, JOBS)), chance.randint(1, PARTS), 1, who, unused=True)


def _undo(connection: Connection, who: Who, chance: random.Random) -> None:
    undo(connection, at=who.at, by=who.by)


ACTS: dict[str, Callable[[Connection, Who, random.Random], Any]] = {
    "shelve": _shelve,
    "reserve": _reserve,
    "release": _release,
    "fit": _fit,
    "return": _return,
    "undo": _undo,
}


_ready: list[Barrier] = []


def wait_for(all_ready: Barrier) -> None:
    """Let this process begin when all are ready."""
    _ready.append(all_ready)


def work(place: str, number: int, seconds: float) -> Told:
    """Do acts at random for some time, each as a command would; say which were done."""
    told, chance = Told(f"hand {number}"), random.Random(number)
    newest = text("SELECT max(id) FROM act WHERE by = :by")
    engine = open_store(place, create=False)
    _ready[0].wait()
    until = time.monotonic() + seconds
    while time.monotonic() < until + (0.0 if told.acts else PATIENCE):
        word = chance.choice(list(ACTS))
        start = time.monotonic()
        try:
            with writing(engine) as connection:
                ACTS[word](connection, Who(datetime.now(UTC), told.name), chance)
                act = connection.execute(newest, {"by": told.name}).scalar_one()
            told.acts.append(act)
            told.words[word] += 1
        except PartsbinError as fault:
            told.words[f"{word} refused"] += 1
            if "cannot" in fault.message and "taken back" not in fault.message:
                told.faults.append(f"{word}: {fault.message}")
        except Exception as fault:  # whatever it is, a user would see it
            told.faults.append(f"{word}: {type(fault).__name__}: {fault}")
        told.waits.append(time.monotonic() - start)
        if len(told.waits) % REOPENED == 0:
            engine.dispose()
            engine = open_store(place, create=False)
    engine.dispose()
    return told


def look(place: str, number: int, seconds: float) -> Told:
    """Read for some time: in each state stock is the sum of the ledger, however much is written meanwhile."""
    told = Told(f"eye {number}")
    stock = text("SELECT sum(on_hand), sum(reserved) FROM part")
    ledger = text("SELECT sum(quantity), sum(aside) FROM movement")
    engine = open_store(place, create=False)
    _ready[0].wait()
    until = time.monotonic() + seconds
    while time.monotonic() < until:
        start = time.monotonic()
        try:
            with reading(engine) as connection:
                here = tuple(connection.execute(stock).one())
                told.waits.append(time.monotonic() - start)
                if here != (moved := tuple(connection.execute(ledger).one())):
                    told.faults.append(f"stock {here}, ledger {moved}")
        except Exception as fault:  # as above
            told.faults.append(f"{type(fault).__name__}: {fault}")
    engine.dispose()
    return told
