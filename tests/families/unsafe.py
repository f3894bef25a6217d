"""A thousand unsafe parts for a wall: from fields and in words, against sets and overrides drawn at random.

A row of the tables (``unsafe_*.py``) names the wall, the check that must hold it, an everyday part that the check lets through, and
what makes any part unsafe. Parts of which a need asks a certain figure are spoilt by that need's own figures.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import Any

import numpy as np
import numpy.typing as npt

from partsbin.checks import Outcome, Verdict
from partsbin.families import Family, load
from partsbin.families._declare import Item, Measured, Option, columns_of
from partsbin.matching.judge import judge
from partsbin.needs import Need, Request
from partsbin.rules.overrides import classes_of
from partsbin.sets import read_facts
from partsbin.stock.describe import facts_from, part_fields, read_as
from tests.families.random_parts import MAKERS, facts_of_set, item

N = 1000  # unsafe parts a wall
SETS = 20  # different needs among them
WORDS = 10  # of each need's parts, those given in words
POOL = 300  # random parts of a family, made once

Spoilt = dict[str, Any]


@dataclass(frozen=True)
class Draw:
    """What a row of the table may draw from: the need, and chance."""

    need: Need
    rng: np.random.Generator
    n: int

    def between(self, low: float, high: float) -> npt.NDArray[np.float64]:
        """Return a number for each part."""
        return self.rng.uniform(low, high, self.n)

    def one(self, low: float, high: float) -> float:
        """Return one number, for a part in words."""
        return float(self.rng.uniform(low, high))

    def of(self, *choices: Any) -> Any:
        """Return one of the choices."""
        return choices[int(self.rng.integers(len(choices)))]

    def interval(self, name: str, low: float, high: float) -> Spoilt:
        """Return a value with its interval, for each part."""
        value = self.between(low, high)
        return {name: value, f"{name}_low": value * 0.999, f"{name}_high": value * 1.001}


@dataclass(frozen=True)
class Wall:
    """A wall, and what runs against it.

    Parameters
    ----------
    design : str
        The wall of the design that it belongs to, "" for one of the family's own.
    why : str
        What is unsafe, in a few words: the test's name.
    family, check : str
        The check that must refuse; of several at least one.
    at : tuple of str
        Positions, drawn at random.
    dead : tuple of str
        Markings of the dead part, drawn at random.
    facts : tuple of str
        Facts of the set that make it unsafe; the others are drawn at random.
    good : str
        An everyday part in words that the check lets through at these facts.
    spoil : callable
        ``spoil(draw)``: the quantities that make any part unsafe. None: all parts come in words.
    words : callable
        ``words(draw)``: an unsafe part in words. None: words cannot say it.
    condition : str
        Of the parts in words.
    readings, more : mapping
        Readings on the good part, and what else it offers.
    safe_dead, safe_facts : str, tuple of str
        The marking and the facts at which the good part passes, where it is the need that makes it unsafe.
    without : tuple of str
        Facts that are not drawn, since they would make the part safe.
    outcome : Outcome
        What the check must say at least: FAIL, UNKNOWN where only a reading may decide, THIN where nothing is better than care.
    """

    design: str
    why: str
    family: str
    check: str
    at: tuple[str, ...]
    good: str
    spoil: Callable[[Draw], Spoilt] | None = None
    words: Callable[[Draw], str] | None = None
    dead: tuple[str, ...] = ("",)
    facts: tuple[str, ...] = ()
    condition: str = "new"
    readings: Mapping[str, Measured] = field(default_factory=dict)
    more: Mapping[str, Any] = field(default_factory=dict)
    safe_dead: str | None = None
    safe_facts: tuple[str, ...] | None = None
    without: tuple[str, ...] = ()
    outcome: Outcome = Outcome.FAIL

    @property
    def verdicts(self) -> set[int]:
        """The verdicts that an unsafe part may get."""
        return {int(verdict) for verdict in Verdict if verdict >= self.outcome}


@lru_cache(maxsize=4000)
def in_words(family: str, text: str, condition: str) -> tuple[Option, ...]:
    """Return every way of using a part that was described."""
    return described(family, text, condition, {})


def described(family: str, text: str, condition: str, readings: Mapping[str, Measured]) -> tuple[Option, ...]:
    """Return every way of using a part by every reading of its words: none may slip through by one of them."""
    declared = load(family)
    options: list[Option] = []
    for reading in read_as(declared, text) or read_as(declared, f"{family} {text}"):
        own, lying = part_fields(dict(reading.fields), declared)
        facts, faults = facts_from(declared, own)
        assert facts is not None, faults
        options += declared.options(Item(facts, str(lying.get("condition", condition)), readings, marking=text))
    assert options, f"{text!r} was not understood as a {family}"
    return tuple(options)


@lru_cache(maxsize=16)
def pool(family: str) -> dict[str, npt.NDArray[Any]]:
    """Return the options of random parts of a family, laid out as columns."""
    source, declared = random.Random(41), load(family)
    options = [option for _ in range(POOL) for option in declared.options(item(MAKERS[family](source)))]
    return columns_of(options, declared.quantities, declared.words)


def needs(wall: Wall, source: random.Random, family: Family) -> Need:
    """Return a need of the wall with whatever else a set may be."""
    keys = {fact.partition("=")[0] for fact in wall.facts} | set(wall.without)
    other = [fact for fact in facts_of_set(source, wall.family) if fact.partition("=")[0] not in keys]
    position, dead = source.choice(wall.at), source.choice(wall.dead)
    return family.need(Request(wall.family, dead, position, {}, read_facts([*other, *wall.facts])))


def spoil(
    family: Family, columns: Mapping[str, npt.NDArray[Any]], spoilt: Mapping[str, Any]
) -> dict[str, npt.NDArray[Any]]:
    """Return the columns with what makes the parts unsafe."""
    n, made = len(next(iter(columns.values()))), dict(columns)
    for name, value in spoilt.items():
        kind, unknown = (object, "") if name in family.words else (np.float64, np.nan)
        made[name] = np.array(np.broadcast_to(np.array(unknown if value is None else value, dtype=kind), n))
    return made


def judged(
    family: Family, need: Need, columns: Mapping[str, npt.NDArray[Any]], check: str
) -> tuple[set[int], npt.NDArray[np.int8]]:
    """Return the verdicts, and what the check alone says of each part: PASS where it does not concern the need."""
    result = judge(family, need, family.search(need), columns)
    own = [ruling.outcome for ruled, ruling in result.rulings if ruled.code in check.split()]
    return {int(v) for v in result.verdict}, np.max([np.zeros(len(result.verdict), np.int8), *own], axis=0)


def slips(wall: Wall) -> list[str]:
    """Try the thousand parts: what slipped through the wall's check or came out better than it may, in words."""
    family, source = load(wall.family), random.Random(wall.why)
    found, stock = [], pool(wall.family)
    size = len(next(iter(stock.values())))
    for _ in range(SETS):
        need = needs(wall, source, family)
        in_text = N // SETS if wall.spoil is None else WORDS if wall.words else 0
        batches = []
        if wall.words:
            draw = Draw(need, np.random.default_rng(source.getrandbits(32)), 1)
            texts = [wall.words(draw) for _ in range(in_text)]
            options = [option for text in texts for option in in_words(wall.family, text, wall.condition)]
            batches.append((texts, columns_of(options, family.quantities, family.words)))
        if wall.spoil:
            draw = Draw(need, np.random.default_rng(source.getrandbits(32)), N // SETS - in_text)
            rows = draw.rng.integers(size, size=draw.n)
            batches.append(([], spoil(family, {k: v[rows] for k, v in stock.items()}, wall.spoil(draw))))
        for texts, columns in batches:
            verdicts, outcome = judged(family, need, columns, wall.check)
            if not verdicts <= wall.verdicts or (outcome < wall.outcome).any():
                at = np.flatnonzero(outcome < wall.outcome)[:1]
                part = {k: v[at[0]] for k, v in columns.items()} if len(at) else verdicts
                found.append(f"{need.position} {need.facts.texts} {need.request.text!r} {texts[:3]} {part}")
    return found


def good_and_spoilt(wall: Wall) -> tuple[set[int], set[int]]:
    """Return what the check says of the everyday part, and of the same made unsafe, with no other fact and the plain rules."""
    family = load(wall.family)

    def asked(dead: str, facts: tuple[str, ...]) -> Need:
        return family.need(Request(wall.family, dead, wall.at[0], {}, read_facts(list(facts))))

    def said(need: Need, columns: Mapping[str, npt.NDArray[Any]]) -> set[int]:
        return {int(outcome) for outcome in judged(family, need, columns, wall.check)[1]}

    dead, need = wall.dead[0], asked(wall.dead[0], wall.facts)
    safe = asked(
        dead if wall.safe_dead is None else wall.safe_dead, wall.facts if wall.safe_facts is None else wall.safe_facts
    )
    good = columns_of(described(wall.family, wall.good, "new", wall.readings), family.quantities, family.words)
    good = spoil(family, good, wall.more)
    draw = Draw(need, np.random.default_rng(1), len(good[family.keys.value]))
    if wall.spoil:
        bad = spoil(family, good, wall.spoil(draw))
    else:
        assert wall.words is not None
        bad = columns_of(in_words(wall.family, wall.words(draw), wall.condition), family.quantities, family.words)
    return said(safe, good), said(need, bad)


def overrides(family: str, folder: Path, seed: int) -> Path:
    """Write a file of overrides as a workshop may: windows wider, and what holds a wall tighter."""
    source, file = random.Random(seed), folder / f"{family}{seed}.toml"
    tighter = source.uniform(0.7, 1.0)
    window = (source.uniform(0.6, 1.0), source.uniform(1.0, 2.0))
    lines = []
    for section, entries in load(family).rules().sections.items():
        lines.append(f"[{family}.{section}]")
        for name, line in entries.items():
            if name in ("fits", "care"):
                lines.append(f"{name} = {[end * by for end, by in zip(line.value, window, strict=True)]}")
            elif isinstance(line.value, float) and math.isfinite(line.value) and source.random() < 0.5:
                factor = {("lower",): tighter, ("higher",): 1 / tighter}.get(classes_of(section, name))
                lines += [] if factor is None else [f"{name} = {line.value * factor!r}"]
    file.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return file
