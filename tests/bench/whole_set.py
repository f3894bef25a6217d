"""A whole set at once: the plan of a hundred needs over ten thousand parts; a price list of 200,000 lines for forty shortages."""

from __future__ import annotations

import csv
import tempfile
import time
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
from sqlalchemy import Connection

from partsbin.jobs.needs import add_need
from partsbin.jobs.offers import take_offers
from partsbin.jobs.plan import plan
from partsbin.jobs.record import Opened, open_job
from partsbin.jobs.reorder import look_up, propose
from partsbin.matching.make_ups.search import MakeUp
from partsbin.stock.acts import Who
from partsbin.stock.catalogue import shelve
from partsbin.stock.columns import all_fields
from partsbin.stock.draft import draft_from_text
from partsbin.stock.lists import read_cells
from partsbin.store.engine import open_store, reading, writing

WHO = Who(datetime(1957, 4, 1, 9, tzinfo=UTC), "bench")
E12 = (1.0, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2)
SEED = 1957


@dataclass(frozen=True)
class Planned:
    """How long the plan took [s], how many pieces it serves and how many of them with parts joined [-]."""

    seconds: float
    served: int
    joined: int


@dataclass(frozen=True)
class Ordered:
    """How long taking in the price list took, and the order [s]; lines of the order, different descriptions in the list."""

    taken: float
    ordered: float
    lines: int
    different: int


def _films(rng: np.random.Generator, n: int) -> list[str]:
    value, volts = rng.choice(E12, n) * 10.0 ** rng.integers(0, 3, n), rng.choice([100, 250, 400, 630, 1000], n)
    return [f"{v:.6g}nF {u}V polypropylene" for v, u in zip(value, volts, strict=True)]


def _ohms(rng: np.random.Generator, n: int) -> list[str]:
    value, watts = rng.choice(E12, n) * 10.0 ** rng.integers(0, 6, n), rng.choice([0.25, 0.5, 1, 2], n)
    return [f"{v:.6g} ohm {w:g}W metal film" for v, w in zip(value, watts, strict=True)]


def planned(needs: int = 100, parts: int = 10_000, joined: int = 20) -> Planned:
    """Plan a job whose needs compete for single pieces; some ask more watts than any part of the shelf has."""
    rng = np.random.default_rng(SEED)
    with tempfile.TemporaryDirectory() as folder:
        engine = open_store(Path(folder) / "plan.sqlite")
        texts = [(text, "capacitor") for text in _films(rng, parts // 2)] + [
            (text, "resistor") for text in _ohms(rng, parts - parts // 2)
        ]
        with writing(engine) as connection:
            drafts = [draft_from_text(text, family=family, count=1, condition="new")[0] for text, family in texts]
            shelve(connection, drafts, at=WHO.at, by=WHO.by)
            job = open_job(connection, WHO, facts=["rail=250", "chassis=earthed"])
            _want(connection, job, rng, needs - joined)
            for number in range(joined):
                text = f"{rng.choice(E12) * 10:.6g}k 3W"
                add_need(connection, job, "resistor", text, "anode-load", designator=f"M{number}")
        with reading(engine) as connection:
            start = time.perf_counter()
            made = plan(connection, [job])
            seconds = time.perf_counter() - start
        engine.dispose()
    several = sum(n for served in made for each, n in served.parts if isinstance(each, MakeUp))
    return Planned(seconds, sum(served.pieces for served in made), several)


def _want(connection: Connection, job: Opened, rng: np.random.Generator, needs: int) -> None:
    for number in range(needs):
        text, family, position = (
            (_films(rng, 1)[0].replace("polypropylene", ""), "capacitor", "coupling")
            if number % 2
            else (f"{rng.choice(E12) * 10:.6g}k 0.5W", "resistor", "anode-load")
        )
        add_need(connection, job, family, text, position, designator=f"N{number}")


def _described(rng: np.random.Generator, n: int) -> list[str]:
    """What a supplier's list says: hardly a line like another; a fifth of it is no capacitor and no resistor."""
    fifth, figures = n // 5, np.exp(rng.uniform(0.0, np.log(999.0), n))
    volts, watts = rng.choice([100, 250, 400, 630, 1000], n), rng.choice([0.25, 0.5, 1, 2], n)
    films = [f"{v:.5g}nF {u}V polypropylene" for v, u in zip(figures, volts, strict=True)][: 2 * fifth]
    ohms = [f"{v:.5g} kohm {w:g}W metal film" for v, w in zip(figures, watts, strict=True)][2 * fifth : 4 * fifth]
    rest = [
        f"{word}{number} {tail}"
        for number in range(n - 4 * fifth)
        for word, tail in [(("TB", "terminal block"), ("QX", "timer"), ("KN", "knob 6mm"), ("EF", "valve"))[number % 4]]
    ]
    return [*films, *ohms, *rest]


def ordered(offers: int = 200_000, shortages: int = 40) -> Ordered:
    """Take in a price list and cover shortages from it; of what is read of it as much as they take."""
    rng = np.random.default_rng(SEED)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "prices.csv"
        texts = _described(rng, offers)
        prices, packs, there = (
            rng.integers(5, 400, offers),
            rng.choice([1, 1, 5, 10], offers),
            rng.integers(0, 5000, offers),
        )
        with file.open("w", encoding="utf-8", newline="") as out:
            table = csv.writer(out)
            table.writerow(["Order code", "Description", "Price", "Price from 10", "Pack", "In stock"])
            for number, (text, price, pack, stock) in enumerate(zip(texts, prices, packs, there, strict=True)):
                table.writerow([f"A{number}", text, f"{price / 100:.2f}", f"{price / 125:.2f}", pack, stock])
        engine = open_store(Path(folder) / "offers.sqlite")
        start = time.perf_counter()
        take_offers(engine, read_cells(file, fields=all_fields()), "Bridge Valves", at=WHO.at, condition="new", most=20)
        taken = time.perf_counter() - start
        with writing(engine) as connection:
            job = open_job(connection, WHO, facts=["rail=250", "chassis=earthed"])
            _want(connection, job, rng, shortages)
        start = time.perf_counter()
        look_up(engine, lambda connection: [job], WHO)
        with reading(engine) as connection:
            made = propose(connection, [job], WHO)
            seconds = time.perf_counter() - start
        engine.dispose()
    return Ordered(taken, seconds, len(made.lines), len(set(texts)))
