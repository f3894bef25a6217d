"""A need: what the failed part has to do, each figure with where it came from. A record that can be stored.

A need names what must be done, not which part does it: several families, offers and make-ups may serve one need.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from partsbin.rules import Rules
from partsbin.sets import SetFacts

Interval = tuple[float, float]


@dataclass(frozen=True)
class Given:
    """One figure of a need.

    Parameters
    ----------
    value : float, str, bool or (float, float)
        The figure, in SI.
    unit : str
        Its unit.
    origin : str
        Where it came from: the marking, a fact of the set, a rule.
    """

    value: float | str | bool | Interval
    unit: str
    origin: str

    def as_json(self) -> dict[str, Any]:
        """Return ``{"value", "unit", "from"}``."""
        value: Any = {"lo": self.value[0], "hi": self.value[1]} if isinstance(self.value, tuple) else self.value
        return {"value": value, "unit": self.unit, "from": self.origin}


@dataclass(frozen=True)
class Question:
    """Something worth asking: the fact, the words, and answers whose effect on the verdicts is tried out."""

    fact: str
    text: str
    answers: tuple[str, ...]


@dataclass(frozen=True)
class Request:
    """What the repairer said: a text, a position, fields and facts of the set."""

    family: str
    text: str = ""
    position: str = ""
    fields: Mapping[str, Any] = field(default_factory=dict)
    facts: SetFacts = field(default_factory=SetFacts)


@dataclass(frozen=True)
class Need:
    """What a part has to do in its position.

    Parameters
    ----------
    family, position : str
        Where it was asked.
    fields : mapping
        Windows, stresses and wishes by name.
    request : Request
        What it was built from, so that it can be built again with another answer.
    rules : Rules
        The rules it was built under.
    assumptions : tuple of str
        One line each.
    questions : tuple of Question
        Candidates; the answer keeps at most two, by their effect.
    headline : tuple of str
        The need in the words of the bench, a line each.
    """

    family: str
    position: str
    fields: Mapping[str, Given]
    request: Request
    rules: Rules
    assumptions: tuple[str, ...] = ()
    questions: tuple[Question, ...] = ()
    headline: tuple[str, ...] = ()

    @property
    def facts(self) -> SetFacts:
        """The set."""
        return self.request.facts

    def number(self, name: str) -> float:
        """Return a figure, NaN where the need does not have it."""
        given = self.fields.get(name)
        return float(given.value) if given is not None and isinstance(given.value, (int, float)) else math.nan

    def window(self, name: str) -> Interval:
        """Return a window (low, high), NaN where the need does not have it."""
        given = self.fields.get(name)
        return given.value if given is not None and isinstance(given.value, tuple) else (math.nan, math.nan)

    def has(self, name: str) -> bool:
        """Return whether the need has that figure."""
        return name in self.fields

    def word(self, name: str) -> str:
        """Return a word of the need, "" where it has none."""
        given = self.fields.get(name)
        return given.value if given is not None and isinstance(given.value, str) else ""

    def as_json(self) -> dict[str, Any]:
        """Return the need as the answer's ``need`` object; questions and unused facts are known once it was judged."""
        return {
            "family": self.family,
            "position": self.position,
            "text": self.request.text,
            "fields": {name: given.as_json() for name, given in self.fields.items()},
            "set": dict(self.facts.texts),
            "unused": [],
            "assumptions": list(self.assumptions),
            "questions": [],
            "rules": list(self.rules.overridden),
        }
