"""The search for make-ups gives what judging all pairs would give."""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import Engine

from partsbin.checks import Verdict
from partsbin.families import Family, load
from partsbin.families._joining import Join
from partsbin.matching.make_ups.pairs import LEAST_SHARE, SLACK
from partsbin.matching.make_ups.search import MakeUp, Member, make_ups, together
from partsbin.needs import Need, Request
from partsbin.sets import read_facts
from partsbin.stock.catalogue import Draft, get, shelve
from partsbin.stock.draft import draft_from_text
from partsbin.stock.keys import promise
from partsbin.stock.shelf import Shelved
from partsbin.store.engine import reading, writing
from tests.engines import new_store, on_server
from tests.families.random_parts import MAKERS, facts_of_set

NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)
NEEDS = {
    "capacitor": (
        ("32uF 350V", "smoothing"), ("16uF 450V", "reservoir"), ("8uF 350V", "decoupling"), ("0.1uF 400V", "coupling"),
        ("25uF 25V", "cathode-bypass"), ("300pF", "tuned"), ("4.7nF 1000V", "output-tone"), ("0.05uF", "agc"),
    ),
    "resistor": (
        ("100k 1W", "anode-load"), ("1k 2W", "decoupling"), ("150R 1W", "cathode-bias"), ("1M", "grid-leak"),
        ("470k", "x-discharge"), ("10k 5W", "bleeder"), ("2.2M", "isolation-bridging"),
    ),
}  # fmt: skip


def _places(family: Family, parts: list[Shelved]) -> list[Member]:
    return [Member(part, option, number) for part in parts for number, option in enumerate(family.options(part.item))]


def _every(family: Family, members: list[Member]) -> Iterator[tuple[Member, ...]]:
    """All pairs of different parts, and two or three of one where there are as many."""
    for one in members:
        for number in (2, 3):
            if one.part.available >= number:
                yield (one,) * number
    yield from ((a, b) for a, b in itertools.combinations(members, 2) if a.part.id != b.part.id)


def _in_window(family: Family, need: Need, join: Join, made: tuple[Member, ...]) -> bool:
    """What the search looks for at all: values known, their sum in the window, none that brings next to nothing."""
    values = [one.option.offers[family.keys.value] for one in made]
    if not all(isinstance(value, float) for value in values):
        return False
    x = sorted(float(value) if join.adds else 1 / float(value) for value in values if value is not None)
    asked = family.search(need)
    ends = (asked.low, asked.high) if len(made) == 2 else need.window("fits")
    low, high = ends if join.adds else (1 / ends[1], 1 / ends[0])
    share = x[-1] <= x[0] * (1 - LEAST_SHARE) / LEAST_SHARE * (1 + SLACK) or len(x) == 3
    return low * (1 - SLACK) <= sum(x) <= high * (1 + SLACK) and share


def brute(family: Family, need: Need, parts: list[Shelved]) -> list[MakeUp]:
    """Judge all pairs in full."""
    made = []
    for join in family.joins(need):
        some = [each for each in _every(family, _places(family, parts)) if _in_window(family, need, join, each)]
        for number in (2, 3):
            group = [each for each in some if len(each) == number]
            orders = [sum(promise(one.part.item.condition, one.part.available) for one in each) for each in group]
            made += together(family, need, join, group, orders) if group else []
    return made


def ranks(made: list[MakeUp], k: int) -> list[tuple[float, ...]]:
    """Return the first k places: those that fit, or where there is none those to be measured; equals are equals."""
    usable = [one for one in made if one.verdict < Verdict.MEASURE]
    chosen = usable or [one for one in made if one.verdict is Verdict.MEASURE]
    return sorted(
        (verdict, places, round(score, 9), *rest) for verdict, places, score, *rest in (one.rank for one in chosen)
    )[:k]


def asked(source: random.Random, family: str) -> Need:
    """Return a random need whose value is known."""
    text, position = source.choice(NEEDS[family])
    return load(family).need(Request(family, text, position, {}, read_facts(facts_of_set(source, family))))


def catalogue(folder: Path, drafts: list[Draft], kind: str) -> tuple[Engine, list[int]]:
    """Return a catalogue holding the drafts."""
    engine = new_store(kind, folder)
    with writing(engine) as connection:
        return engine, shelve(connection, drafts, at=NOON)


KINDS = [(family, seed, "sqlite") for family in NEEDS for seed in range(6)]


@pytest.mark.parametrize(
    ("family_name", "seed", "kind"), [*KINDS, *(pytest.param(name, 0, "postgresql", marks=on_server) for name in NEEDS)]
)
def test_the_first_k_equal_judging_all_pairs(family_name: str, seed: int, kind: str, tmp_path: Path) -> None:
    """Random shelves and needs: kinds, windows, rings, bounds and early stops lose nothing and keep the order."""
    source = random.Random(f"{family_name}{seed}")
    family = load(family_name)
    drafts = [MAKERS[family_name](source) for _ in range(source.choice((20, 45)))]
    engine, ids = catalogue(tmp_path, drafts, kind)
    some = 0
    with reading(engine) as connection:
        parts = list(get(connection, family, ids).values())
        for _ in range(12):
            need, k = asked(source, family_name), source.choice((1, 3, 8))
            expected = ranks(brute(family, need, parts), k)
            found = make_ups(connection, family, need, k)
            some += len(expected)
            assert ranks(found, k) == expected
    engine.dispose()
    assert some, "no need of this shelf could be made up: the test says nothing"


def test_a_crowded_shelf_is_paired_kind_by_kind(tmp_path: Path) -> None:
    """Of hundreds alike the first pairs are found, each of two different pieces."""
    texts = ["47nF 630V polypropylene", "68nF 630V polypropylene", "33nF 400V polyester"] * 100
    drafts = [draft_from_text(text, family="capacitor", count=1, condition="new")[0] for text in texts]
    engine, _ = catalogue(tmp_path, drafts, "sqlite")
    need = load("capacitor").need(Request("capacitor", "0.1uF 400V", "coupling", {}, read_facts(["rail=200"])))
    with reading(engine) as connection:
        found = make_ups(connection, load("capacitor"), need, 30)
    engine.dispose()
    assert {one.title for one in found} == {"0.101 µF 400 V"}
    assert len({tuple(part.id for part, _ in one.parts) for one in found}) == 30


def test_one_piece_is_not_used_twice(tmp_path: Path) -> None:
    """Of a part with one piece no pair is made."""
    drafts = [draft_from_text("50nF 630V polypropylene", family="capacitor", count=1, condition="new")[0]]
    engine, _ = catalogue(tmp_path, drafts, "sqlite")
    need = load("capacitor").need(Request("capacitor", "0.1uF 400V", "coupling", {}, read_facts(["rail=200"])))
    with reading(engine) as connection:
        assert make_ups(connection, load("capacitor"), need, 3) == []
    engine.dispose()


def test_where_the_value_is_not_known_nothing_is_made_up(tmp_path: Path) -> None:
    """There is no value to reach."""
    drafts = [draft_from_text("10nF 630V polypropylene", family="capacitor", count=5, condition="new")[0]]
    engine, _ = catalogue(tmp_path, drafts, "sqlite")
    need = load("capacitor").need(Request("capacitor", "", "coupling", {}, read_facts(["rail=200"])))
    with reading(engine) as connection:
        assert make_ups(connection, load("capacitor"), need, 3) == []
    engine.dispose()
