"""The answers of ``calc`` and ``instruments``."""

from __future__ import annotations

from typing import Literal

from pydantic import ConfigDict

from partsbin.schemas.base import Strict


class SetLine(Strict):
    """One line of what follows from a set: SI with the unit beside, `origin` in words, `instead` the reading that is better."""

    about: Literal["heaters", "supply", "rectifier", "output", "grids", "readings"]
    name: str
    value: float | str | None
    lo: float | None
    hi: float | None
    unit: str
    origin: str
    assumed: list[str]
    sure: Literal["given", "read", "worked", "practice", "memory"]
    instead: str
    warning: bool

    model_config = ConfigDict(extra="forbid", alias_generator=lambda name: "from" if name == "origin" else name)


class SetAnswer(Strict):
    """The answer of ``calc set``."""

    facts: dict[str, str]
    lines: list[SetLine]
    notes: list[str]
    cautions: list[str]


class CalculatedFigure(Strict):
    """An input or a result with its ends; null where there is none."""

    name: str
    value: float | None
    lo: float | None
    hi: float | None
    unit: str
    words: str
    origin: str

    model_config = ConfigDict(extra="forbid", alias_generator=lambda name: "from" if name == "origin" else name)


class CalculationAnswer(Strict):
    """The answer of ``calc``."""

    calculation: str
    title: str
    formula: str
    source: str
    inputs: list[CalculatedFigure]
    results: list[CalculatedFigure]
    caution: str


class Instruments(Strict):
    """The answer of ``instruments``; null where none were recorded."""

    instruments: list[str] | None
    accuracies: dict[str, str]
    known: list[str]
