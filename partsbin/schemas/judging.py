"""The answers of ``find``, ``try`` and ``read``."""

from __future__ import annotations

from typing import Any, Literal

from pydantic import ConfigDict

from partsbin.schemas.base import Figure, Strict, VerdictWord


class Field(Strict):
    """A figure of a need, in SI, with where it came from."""

    value: Figure
    unit: str
    origin: str

    model_config = ConfigDict(extra="forbid", alias_generator=lambda name: "from" if name == "origin" else name)


class Asked(Strict):
    """A question worth asking."""

    fact: str
    text: str


class NeedAnswer(Strict):
    """The need as it was understood."""

    family: str
    position: str
    text: str
    fields: dict[str, Field]
    set: dict[str, str]
    unused: list[str]
    assumptions: list[str]
    questions: list[Asked]
    rules: list[str]
    headline: list[str]


class CheckAnswer(Strict):
    """One check's word on one option: numbers in SI with the unit beside, words for people in `reason`."""

    check: str
    title: str
    verdict: Literal["pass", "thin", "unknown", "fail"]
    offered: Figure
    needed: Figure
    unit: str
    margin: float | None
    wall: bool
    reason: str
    source: str
    reading: str


class CardAnswer(Strict):
    """A test card."""

    reading: str
    title: str
    connect: str
    passes: str
    correction: str
    danger: str
    instrument: str


class MadeOfAnswer(Strict):
    """One part of a make-up: which way of using it, how many pieces it takes, how many there are and where."""

    part: str
    option: str
    title: str
    pieces: int
    count: int
    rough: bool
    place: str
    origin: str
    condition: str


class CandidateAnswer(Strict):
    """One way of using one part, or several joined: then `part` is "", `option` says how, `make_up` names the parts."""

    part: str
    family: str
    option: str
    title: str
    verdict: VerdictWord
    rank: int
    score: float
    terms: dict[str, float]
    count: int
    rough: bool
    place: str
    origin: str
    condition: str
    make_up: list[MadeOfAnswer]
    checks: list[CheckAnswer]
    tests: list[CardAnswer]
    beyond: list[str]
    changes: list[str]
    assumed: list[str]
    hazards: list[str]


class Count(Strict):
    """How many more there are at best; capped where nobody counted further."""

    n: int
    capped: bool


class BesideAnswer(Strict):
    """What has to go with a part that needs a change, or does instead of one: the best part of the shelf, `part` "" if none."""

    how: Literal["with", "instead"]
    what: str
    family: str
    position: str
    part: str
    title: str
    verdict: Literal["", "fits", "care", "measure"]
    place: str
    count: int


class Answer(Strict):
    """The answer of ``find`` and ``try``."""

    need: NeedAnswer
    candidates: list[CandidateAnswer]
    near_misses: list[CandidateAnswer]
    more: dict[VerdictWord, Count]
    read_first: list[str]
    beside: list[BesideAnswer]
    buy: str
    also: list[str]
    after: list[str]
    cautions: list[str]


class ReadingAnswer(Strict):
    """One way of understanding a description."""

    family: str
    fields: dict[str, Any]
    sure: bool
    notes: list[str]


class Readings(Strict):
    """The answer of ``read``."""

    readings: list[ReadingAnswer]
