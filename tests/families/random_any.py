"""Random parts and needs of any family, from its declaration alone: a new family is tried without a line written for it."""

from __future__ import annotations

import math
import random
from typing import Any

from annotated_types import Ge, Gt, Le
from pydantic.fields import FieldInfo

from partsbin.families import Family, load
from partsbin.families._declare import Facts, child_type, plain_type
from partsbin.stock.catalogue import Draft, NewReading

CONDITIONS = ("new", "new", "unused-old", "salvaged", "salvaged", "")
TEXTS = ("", "", "x", "a", "abc 12")
E6 = (1.0, 1.5, 2.2, 3.3, 4.7, 6.8)


def draft(source: random.Random, name: str) -> Draft:
    """Return a random part: every field known or not, numbers spread over the decades that its examples use."""
    family = load(name)
    fields = _fields(source, family.facts, _known_numbers(family))
    readings = [
        NewReading(reading.name, _number(source, 1e-9, 1e6), reading.unit, 0.0, {"volts": 500.0})
        for reading in family.readings
        if source.random() < 0.3
    ]
    return Draft(
        name,
        family.facts.model_validate(fields),
        condition=source.choice(CONDITIONS),
        count=source.choice((1, 1, 2, 10)),
        readings=tuple(readings),
    )


def text(source: random.Random, name: str) -> str:
    """Return a dead part's marking: the title of one of the family's examples, or nothing."""
    family = load(name)
    example = source.choice(family.examples)
    return source.choice(("", family.title(family.facts.model_validate(example.facts))))


def _known_numbers(family: Family) -> dict[str, list[float]]:
    """Numbers that the family's examples use, by field: what its parts are like."""
    found: dict[str, list[float]] = {}
    for example in family.examples:
        for rows in (
            example.facts,
            *(row for value in example.facts.values() if isinstance(value, list) for row in value),
        ):
            for name, value in dict(rows).items():
                if isinstance(value, (int, float)) and not isinstance(value, bool) and value:
                    found.setdefault(name, []).append(float(value))
    return found


def _fields(source: random.Random, model: type[Facts], numbers: dict[str, list[float]]) -> dict[str, Any]:
    made: dict[str, Any] = {}
    for name, info in model.model_fields.items():
        inner = child_type(info.annotation)
        if inner is not None:
            made[name] = [_fields(source, inner, numbers) for _ in range(source.choice((0, 0, 1, 2)))]
        elif source.random() < 0.7:
            made[name] = _value(source, name, info, numbers)
    return made


def _value(source: random.Random, name: str, info: FieldInfo, numbers: dict[str, list[float]]) -> Any:
    kind, words = plain_type(info.annotation)
    if words:
        return source.choice(words)
    if kind is bool:
        return source.random() < 0.5
    if kind is str:
        return source.choice(TEXTS[2:])
    low, high = _bounds(info)
    near = source.choice(numbers.get(name, [1.0])) * source.choice((1.0, 1.0, *E6, *(1 / x for x in E6)))
    value = min(max(near, low), high)
    return round(value) if kind is int else value


def _bounds(info: FieldInfo) -> tuple[float, float]:
    low, high = -math.inf, math.inf
    for bound in info.metadata:
        if isinstance(bound, Gt):
            low = float(str(bound.gt)) + 1e-12
        elif isinstance(bound, Ge):
            low = float(str(bound.ge))
        elif isinstance(bound, Le):
            high = float(str(bound.le))
    return low, high


def _number(source: random.Random, low: float, high: float) -> float:
    return float(10 ** source.uniform(math.log10(low), math.log10(high)))
