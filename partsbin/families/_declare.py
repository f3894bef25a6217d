"""What a family declares: the fields of its parts, the ways of using one, the need, the checks, the words.

A family is one file. Command line, import, tables, schema, search and page read this declaration and nothing else. All that the
author of a family needs comes from here, its fields (`_facts.py`) and search keys (`_keys.py`) too.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Literal

from partsbin.checks import Check
from partsbin.families._facts import Facts, child_type, fact, facts_list, plain_type, unit_of
from partsbin.families._joining import Join
from partsbin.families._keys import Keys, Named, Option, Search, Sections, columns_of, known
from partsbin.needs import Need, Request
from partsbin.rules import Rules, load_rules

__all__ = [
    "CONDITIONS", "EYES", "INSTRUMENTS", "Beside", "Card", "ConditionWord", "Example", "Facts", "Family", "Item", "Keys",
    "Laid", "Look", "Measured", "Named", "Option", "Reading", "Search", "Sections", "child_type", "columns_of", "fact",
    "facts_list", "known", "plain_type", "unit_of",
]  # fmt: skip

CONDITIONS = ("new", "unused-old", "salvaged")
EYES = "eyes"
INSTRUMENTS = (
    "meter", "500 V tester", "LCR", "low AC supply", "ring tester", "variable transformer", "isolating transformer",
    "signal generator", "valve tester",
)  # fmt: skip
"""What a test card may ask for beside a pair of eyes."""


@dataclass(frozen=True)
class Measured:
    """The newest valid reading of one quantity.

    Parameters
    ----------
    value, uncertainty : float
        In SI; the uncertainty is a half-width.
    conditions : mapping
        Such as ``{"volts": 350.0}``.
    """

    value: float
    uncertainty: float = 0.0
    conditions: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class Item:
    """A part as its family sees it.

    Parameters
    ----------
    facts : Facts
        What is marked.
    condition : str
        One of `CONDITIONS`, "" where not known.
    readings : mapping
        Newest valid reading by quantity; ``quantity@subject`` for a section or a winding.
    donor_lineup : str
        Valves of the chassis it came from, "" where not known.
    marking : str
        What is printed on it.
    year : int or None
        When it was made.
    """

    facts: Any
    condition: str = ""
    readings: Mapping[str, Measured] = field(default_factory=dict)
    donor_lineup: str = ""
    marking: str = ""
    year: int | None = None


@dataclass(frozen=True)
class Card:
    """One thing to measure or to look at before soldering; `instrument` is "eyes" or one of `INSTRUMENTS`."""

    reading: str
    title: str
    connect: str
    passes: str
    correction: str = ""
    danger: str = ""
    instrument: str = "meter"

    def as_json(self) -> dict[str, str]:
        """Return the card as an object of the answer."""
        return {
            "reading": self.reading,
            "title": self.title,
            "connect": self.connect,
            "passes": self.passes,
            "correction": self.correction,
            "danger": self.danger,
            "instrument": self.instrument,
        }


@dataclass(frozen=True)
class Example:
    """A part, a need and what the checks must say: the contract test runs it."""

    title: str
    facts: Mapping[str, Any]
    need: Mapping[str, Any]
    expect: Mapping[str, str]
    condition: str = "new"
    readings: Mapping[str, Measured] = field(default_factory=dict)
    label: str | None = None
    donor_lineup: str = ""


@dataclass(frozen=True)
class Reading:
    """A quantity that can be measured on a part of the family; `danger` is what its test cards warn of, whatever the need."""

    name: str
    unit: str
    help: str
    danger: str = ""


@dataclass(frozen=True)
class Laid:
    """The best part of the shelf for something that goes with a change: what it offers, and its verdict there."""

    part: str
    family: str
    title: str
    verdict: str
    place: str
    count: int
    offers: Mapping[str, Any]

    def number(self, name: str) -> float:
        """Return what it offers, NaN where that is not known."""
        value = self.offers.get(name)
        return float(value) if isinstance(value, (int, float)) else math.nan


Look = Callable[[Request], Laid | None]
"""Looks on the shelf for the best part for a request; None where nothing does, measured or not."""


@dataclass(frozen=True)
class Beside:
    """What has to go with a part that needs a change: in words, and the part of the shelf for it, None where there is none.

    `instead` marks a way of its own, which takes a change of the set and is never better than care.
    """

    what: str
    request: Request
    found: Laid | None
    instead: bool = False

    def as_json(self) -> dict[str, Any]:
        """Return it as an object of the answer."""
        laid = self.found or Laid("", self.request.family, "", "", "", 0, {})
        return {
            "how": "instead" if self.instead else "with",
            "what": self.what,
            "family": self.request.family,
            "position": self.request.position,
            "part": laid.part,
            "title": laid.title,
            "verdict": "care" if self.instead and laid.verdict == "fits" else laid.verdict,
            "place": laid.place,
            "count": laid.count,
        }


@dataclass(frozen=True)
class Family:
    """The declaration of a family. See DEVELOPERS.md, "Add a family".

    Parameters
    ----------
    name : str
        The word on the command line.
    facts : type
        What is marked; the tables follow from it.
    keys : Keys
        Which quantities the search keys hold.
    options : callable
        ``options(item)`` gives every way of using a part.
    need : callable
        ``need(request)`` builds the need.
    search : callable
        ``search(need)`` says what is asked of the keys.
    checks : tuple of Check
        Codes unique and never reused.
    title : callable
        A part's title from its facts, in trade notation.
    read : callable
        ``read(text)`` gives the readings of a description.
    words : frozenset of str
        Which option quantities are texts.
    owes : callable
        ``owes(offers)`` is False only if no check can send the option to be measured for a datum outside the keys.
    beside : callable
        ``beside(need, look)`` names what goes with a part that needs a change, looked for on the shelf with ``look(request)``.
    instead : callable
        ``instead(need, look)`` names other ways of doing its work, with a change of the set; asked where the shelf has nothing that
        fits, with or without care.
    joins : callable
        ``joins(need)`` gives the ways in which several parts may be joined to serve a need.
    takes : callable
        ``takes(need, option)`` says how many of a part make one of what is wanted: two diodes a rectifier valve.
    sections : callable
        ``sections(item)`` says how one piece may serve several needs; None where it does not.
    own_rules : str
        The rules as TOML text, "" where they stand in ``rules/NAME.toml``.
    """

    name: str
    facts: type[Facts]
    keys: Keys
    options: Callable[[Item], Sequence[Option]]
    need: Callable[[Request], Need]
    search: Callable[[Need], Search]
    checks: tuple[Check, ...]
    title: Callable[[Any], str]
    read: Callable[[str], Sequence[Any]]
    readings: tuple[Reading, ...] = ()
    cards: Callable[[str, Need, Mapping[str, Any]], Card | None] = lambda reading, need, row: None
    buy: Callable[[Need], str] = lambda need: ""
    hazards: Callable[[Item], tuple[str, ...]] = lambda item: ()
    cautions: Callable[[Need], tuple[str, ...]] = lambda need: ()
    after: Callable[[Need], tuple[str, ...]] = lambda need: ()
    examples: tuple[Example, ...] = ()
    words: frozenset[str] = frozenset()
    owes: Callable[[Mapping[str, Any]], bool] = lambda offers: True
    beside: Callable[[Need, Look], Sequence[Beside]] = lambda need, look: ()
    instead: Callable[[Need, Look], Sequence[Beside]] = lambda need, look: ()
    joins: Callable[[Need], Sequence[Join]] = lambda need: ()
    takes: Callable[[Need, Option], int] = lambda need, option: 1
    sections: Callable[[Item], Sections | None] = lambda item: None
    own_rules: str = ""

    def rules(self) -> Rules:
        """Return the family's rules, the workshop's overrides in force."""
        return load_rules(self.name, own=self.own_rules)

    @cached_property
    def quantities(self) -> tuple[str, ...]:
        """Names of all option quantities that keys and checks use, in a stable order."""
        names = dict.fromkeys(sorted(self.keys.names))
        for check in self.checks:
            names.update(dict.fromkeys(check.uses))
        return tuple(names)


ConditionWord = Literal["new", "unused-old", "salvaged"]
