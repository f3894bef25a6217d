"""What a family declares: the fields of its parts, the ways of using one, the need, the checks, the words.

A family is one file. Command line, import, tables, schema, search and page read this declaration and nothing else.
"""

from __future__ import annotations

import math
import types
import typing
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, Literal, Self, Union

import numpy as np
import numpy.typing as npt
from pydantic import BaseModel, ConfigDict, Field
from pydantic.fields import FieldInfo

from partsbin.checks import Check
from partsbin.errors import DeclarationError
from partsbin.families._joining import Join
from partsbin.needs import Need, Request
from partsbin.rules import Rules, load_rules

CONDITIONS = ("new", "unused-old", "salvaged")
EYES = "eyes"
INSTRUMENTS = (
    "meter", "500 V tester", "LCR", "low AC supply", "ring tester", "variable transformer", "isolating transformer",
    "signal generator", "valve tester",
)  # fmt: skip
"""What a test card may ask for beside a pair of eyes."""


class Facts(BaseModel):
    """What is marked on a part, validated. Its table, its columns in files and its schema follow from the fields.

    A field that is not known is None. A list of further `Facts` becomes a child table.
    """

    model_config = ConfigDict(extra="forbid", frozen=True)

    @classmethod
    def trusted(cls, values: dict[str, Any]) -> Self:
        """Make facts of values that a table with constraints held, every field among them: `model_construct` without its search
        for aliases and defaults, which takes ten times as long."""
        made = cls.__new__(cls)
        object.__setattr__(made, "__dict__", {name: values[name] for name in cls.model_fields})
        object.__setattr__(made, "__pydantic_fields_set__", set(values))
        object.__setattr__(made, "__pydantic_extra__", None)
        object.__setattr__(made, "__pydantic_private__", None)
        return made


def fact(
    description: str, *, unit: str = "", gt: float | None = None, ge: float | None = None, le: float | None = None
) -> Any:
    """Declare a field: what it is, its SI unit, its bounds. It may always be unknown."""
    return Field(default=None, description=description, gt=gt, ge=ge, le=le, json_schema_extra={"unit": unit})


def unit_of(info: FieldInfo) -> str:
    """Return the unit that a field was declared with, "" where it has none."""
    extra = info.json_schema_extra
    return str(extra.get("unit", "")) if isinstance(extra, dict) else ""


def facts_list(description: str) -> Any:
    """Declare a list of child rows."""
    return Field(default=(), description=description, max_length=64)


def child_type(annotation: Any) -> type[Facts] | None:
    """Return the row type of a field that holds a list of facts, None for a plain field."""
    if typing.get_origin(annotation) in (tuple, list):
        inner = typing.get_args(annotation)[0]
        if isinstance(inner, type) and issubclass(inner, Facts):
            return inner
    return None


def plain_type(annotation: Any) -> tuple[type, tuple[str, ...]]:
    """Return the Python type of a plain field and the words it allows (none: any)."""
    if typing.get_origin(annotation) in (Union, types.UnionType):
        inner = [arg for arg in typing.get_args(annotation) if arg is not type(None)]
        if len(inner) == 1:
            return plain_type(inner[0])
    if typing.get_origin(annotation) is Literal:
        return str, typing.get_args(annotation)
    if annotation in (float, int, bool, str):
        return annotation, ()
    raise DeclarationError(
        f"field type {annotation!r} has no column", hint="use float, int, bool, str, Literal or a list of Facts"
    )


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
class Option:
    """One way of using a part: its label and what it offers, in SI, None where not known.

    ``assumed`` lists the defaults that filled a gap, in words.
    """

    label: str
    offers: Mapping[str, float | str | None]
    assumed: tuple[str, ...] = ()


@dataclass(frozen=True)
class Named:
    """What stands behind search keys where a name, and no figure, decides: in the place of the value they hold its number.

    Parameters
    ----------
    name : str
        The quantity that holds the name: all that `told` needs.
    told : callable
        ``told(name)`` gives the quantities that follow from a name, as an option of that name offers them.
    listed : callable
        ``listed(text)`` gives the names that tables know, and those that a text may hold.
    read : str
        The quantity of `Keys.kind` that is "" where none of `best` is known.
    best : mapping of str to float
        What may be read on the part itself; where any of it was, the keys take all of it at its best.
    """

    name: str
    told: Callable[[str], Mapping[str, Any]]
    listed: Callable[[str], Collection[str]]
    read: str
    best: Mapping[str, float]


@dataclass(frozen=True)
class Sections:
    """How the sections of one piece may go to several needs: their poles on one side are one.

    Parameters
    ----------
    taken : tuple of frozenset of int
        Of each way of using it, in their order, the sections that it takes.
    alone : frozenset of str
        Positions of which one piece serves only one: what they load is rated for the whole.
    """

    taken: tuple[frozenset[int], ...]
    alone: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Keys:
    """Which quantities the search keys of an option hold.

    Parameters
    ----------
    value, low, high : str
        The value looked for and its interval.
    limit : str
        The rating that must at least be there.
    kind : tuple of (str, tuple)
        Quantities with few values, packed into one integer; the first value of each is "unknown" ("" or NaN).
    named : Named, optional
        What stands behind them where a name decides: the value is the same for all parts then.
    """

    value: str
    low: str
    high: str
    limit: str
    kind: tuple[tuple[str, tuple[Any, ...]], ...] = ()
    named: Named | None = None

    @property
    def names(self) -> frozenset[str]:
        """Names of all quantities that the keys hold."""
        return frozenset((self.value, self.low, self.high, self.limit, *(name for name, _ in self.kind)))

    def pack(self, offers: Mapping[str, Any]) -> int:
        """Pack the kind quantities of one option into an integer [-]."""
        code = 0
        for name, words in self.kind:
            value = offers.get(name)
            code = code * len(words) + (0 if value is None else words.index(value))
        return code

    def unpack(self, codes: npt.NDArray[np.int64]) -> dict[str, npt.NDArray[Any]]:
        """Unpack integers into columns, "" and NaN for unknown."""
        columns: dict[str, npt.NDArray[Any]] = {}
        rest = codes
        for name, words in reversed(self.kind):
            rest, digit = np.divmod(rest, len(words))
            text = isinstance(words[-1], str)
            columns[name] = np.array(words, dtype=object if text else np.float64)[digit]
        return columns


@dataclass(frozen=True)
class Search:
    """What a need asks of the keys.

    Parameters
    ----------
    low, high : float
        Value window outside which everything is unfit.
    ideal : float
        The value wanted.
    least : float
        Limit under which everything is unfit; NaN where the limit is not asked.
    comfortable : float
        Limit beyond which more is no better.
    any_value : bool
        Whether an option whose value nobody knows may be usable: no value is asked.
    """

    low: float
    high: float
    ideal: float
    least: float = math.nan
    comfortable: float = math.nan
    any_value: bool = False


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


def columns_of(options: Sequence[Option], names: Sequence[str], words: frozenset[str]) -> dict[str, npt.NDArray[Any]]:
    """Lay options out as columns: float arrays with NaN for unknown, or, for `words`, object arrays of text with ""."""
    columns: dict[str, npt.NDArray[Any]] = {}
    for name in names:
        values = [option.offers.get(name) for option in options]
        if name in words:
            columns[name] = np.array([value or "" for value in values], dtype=object)
        else:
            columns[name] = np.array([math.nan if value is None else value for value in values], dtype=np.float64)
    return columns


def known(offers: Mapping[str, Any], name: str) -> bool:
    """Return whether an option offers a known value for `name`."""
    value = offers.get(name)
    return not (value is None or value == "" or (isinstance(value, float) and math.isnan(value)))


ConditionWord = Literal["new", "unused-old", "salvaged"]
