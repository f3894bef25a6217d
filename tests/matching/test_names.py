"""Valves are found by their type: what the names alone refuse is what judging every valve refuses, in the tables and beside them."""

from __future__ import annotations

import random
from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from partsbin.checks import Verdict
from partsbin.families import load
from partsbin.families._declare import columns_of
from partsbin.matching import retrieve
from partsbin.matching.judge import judge
from partsbin.matching.keyrows import key_rows
from partsbin.matching.names import names_of
from partsbin.matching.offered import Serving
from partsbin.matching.search import MEASURE_SHOWN, brute, run
from partsbin.needs import Request
from partsbin.reference.equivalents import equivalents
from partsbin.reference.valves import valves
from partsbin.rules import load_rules
from partsbin.sets import read_facts
from partsbin.stock.catalogue import Draft, NewReading, get, place_offers, shelve
from partsbin.stock.key_rows import KeyMaker
from partsbin.store.engine import reading, writing
from tests.engines import ENGINES, new_store, remove
from tests.families.random_parts import facts_of_set

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)
VALVE = load("valve")
LISTED = sorted({row.type for row in valves()} | {name for row in equivalents() for name in (row.type_a, row.type_b)})
BASES = (None, None, None, "B9A", "IO", "B7G", "B8A")
READ = {"emission": (0.2, 0.5, 0.65, 0.9), "gm": (0.4, 0.8), "anode_current": (0.01, 0.05), "gas": (5e-7, 3e-5),
        "insulation": (2e5, 3e6, 5e7), "grid": (1.0,)}  # fmt: skip


def made_up(source: random.Random) -> str | None:
    """Return a designation: of the tables, written in another way, doubled with another, of no table, or none."""
    name = source.choice(LISTED)
    return source.choice((
        name, name, name, name.lower(), f"{name[:2]}-{name[2:]}", f"{name}/{source.choice(LISTED)}", f"{name}X",
        f"Q{source.randrange(900)}", f"{name}\tIO", " ", None,
    ))  # fmt: skip


def near(source: random.Random, socket: str) -> str | None:
    """Return a designation that a table ties to a socket, or any."""
    tied = [name for row in equivalents() for name in (row.type_a, row.type_b) if socket in (row.type_a, row.type_b)]
    return source.choice(tied) if tied and source.random() < 0.6 else made_up(source)


def drafts(source: random.Random, sockets: list[str], number: int) -> list[Draft]:
    """Return valves: some that have to do with the sockets asked about, some that do not; tested or not."""
    made = []
    for _ in range(number):
        marked = {"valve_type": near(source, source.choice(sockets)), "base": source.choice(BASES)}
        read = [
            NewReading(name, source.choice(values), "-", source.choice((0.0, 0.1)) * values[0])
            for name, values in READ.items()
            if source.random() < 0.1 and any(name == each.name for each in VALVE.readings)
        ]
        condition = source.choice(("new", "unused-old", "salvaged", "salvaged", ""))
        made.append(
            Draft("valve", VALVE.facts(**marked), "valve", condition, source.choice((1, 2, 9)), readings=tuple(read))
        )
    return made


def asked(source: random.Random, sockets: list[str]) -> Request:
    """Return a need: a dead valve of the tables, of none, or nobody knows which; any position, any set."""
    text = source.choice((*sockets, *sockets, source.choice(LISTED), "valve QX999", ""))
    return Request(
        "valve", text, source.choice(load_rules("valve").positions), {}, read_facts(facts_of_set(source, "valve"))
    )


@pytest.mark.parametrize("kind", ENGINES)
@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("many", [retrieve.MANY, 2], ids=["as set", "all in one go"])
def test_what_is_found_by_names_is_what_judging_every_valve_finds(
    seed: int, many: int, kind: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The first of each verdict, in the same order, and none fewer counted than there are."""
    monkeypatch.setattr(retrieve, "MANY", many)
    source = random.Random(f"names {seed}")
    sockets = [*source.sample(LISTED, 6), "EL84", "EZ80", "6V6GT", "UL84"]
    engine = new_store(kind, tmp_path)
    with writing(engine) as connection:
        ids = shelve(connection, drafts(source, sockets, 500), at=NOON)
    seen: set[Verdict] = set()
    with reading(engine) as connection:
        parts = list(get(connection, VALVE, ids).values())
        for _ in range(30):
            need, limit = VALVE.need(asked(source, sockets)), source.choice((1, 5, 20))
            found, every = run(connection, VALVE, need, limit), brute(VALVE, need, parts)
            usable = sorted((c for c in every if c.verdict <= Verdict.CARE), key=lambda c: c.rank)
            measure = sorted((c for c in every if c.verdict is Verdict.MEASURE), key=lambda c: c.rank)
            assert [c.part.id for c in found.usable] == [c.part.id for c in usable[:limit]], need.request
            assert [c.part.id for c in found.measure] == [c.part.id for c in measure[:MEASURE_SHOWN]], need.request
            more = sum(number for number, _ in found.more.values())
            assert more >= len(usable) + len(measure) - len(found.usable) - len(found.measure), need.request
            assert len(found.near) == 5 or not need.has("socket"), need.request
            seen |= {c.verdict for c in (*usable, *measure)}
    assert seen == {Verdict.FITS, Verdict.CARE, Verdict.MEASURE}
    remove(engine)


@pytest.mark.parametrize("seed", range(4))
def test_keys_never_promise_less_than_the_valve_gives(seed: int, tmp_path: Path) -> None:
    """Neither verdict nor readings owed are worse by the keys; of one that nobody has tested they are the same."""
    source = random.Random(f"promise {seed}")
    sockets = source.sample(LISTED, 8)
    engine = new_store("sqlite", tmp_path)
    with writing(engine) as connection:
        ids = shelve(connection, drafts(source, sockets, 300), at=NOON)
    with reading(engine) as connection:
        names = names_of(connection, VALVE)
        rows = connection.exec_driver_sql(
            "SELECT id, value, low, high, limit_high, kind, promise, missing, 1, 0, 0 FROM option_keys ORDER BY id"
        ).all()
        keys = key_rows(connection, VALVE, [tuple(row) for row in rows], names)
        options = [VALVE.options(part.item)[0] for _, part in sorted(get(connection, VALVE, ids).items())]
    untested = np.array([not VALVE.owes(option.offers) for option in options])
    whole = columns_of(options, VALVE.quantities, VALVE.words)
    for _ in range(40):
        need = VALVE.need(asked(source, sockets))
        search = VALVE.search(need)
        full, bound = judge(VALVE, need, search, whole), judge(VALVE, need, search, keys.columns)
        assert (bound.verdict <= full.verdict).all()
        assert (bound.owed <= full.owed).all()
        assert (bound.score <= full.score + 1e-12).all()
        assert (bound.verdict == full.verdict)[untested].all()
        assert (bound.owed == full.owed)[untested].all()
    remove(engine)


def test_no_offer_that_fits_is_lost(tmp_path: Path) -> None:
    """What suppliers have is found by the same names, under their own."""
    source = random.Random("offers")
    sockets = ["EL84", "EZ80", "ECC83", "6V6GT"]
    offers = [
        Draft("valve", draft.facts, "valve", draft.condition, 0, origin="offered")
        for draft in drafts(source, sockets, 300)
    ]
    engine = new_store("sqlite", tmp_path)
    with writing(engine) as connection:
        ids = place_offers(connection, offers, KeyMaker())
    fitting = 0
    with reading(engine) as connection:
        parts = list(get(connection, VALVE, ids).values())
        for _ in range(20):
            request = asked(source, sockets)
            usable = {c.part.id for c in brute(VALVE, VALVE.need(request), parts) if c.verdict <= Verdict.CARE}
            serving = Serving(connection, request)
            assert set(serving.usable(ids)) == usable
            fitting += len(usable)
    assert fitting
    remove(engine)
