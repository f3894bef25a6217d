"""The answers of what is done to parts on the shelf."""

from __future__ import annotations

from typing import Any

from partsbin.schemas.base import Strict


class ReadingTaken(Strict):
    """One reading of a part; `valid` is false for one that was taken back."""

    quantity: str
    value: float
    uncertainty: float
    unit: str
    conditions: dict[str, Any]
    instrument: str
    at: str
    by: str
    act: int | None
    valid: bool


class Measured(Strict):
    """The answer of ``measure``."""

    part: str
    parted_from: str
    readings: list[ReadingTaken]
    drift: list[str]


class Marked(Strict):
    """The answer of ``mark``."""

    part: str
    title: str
    notes: list[str]


class Moved(Strict):
    """The answer of ``move``."""

    part: str
    parted_from: str
    place: str
    on_hand: int


class ToCount(Strict):
    """A part that should lie in a place."""

    part: str
    title: str
    on_hand: int
    reserved: int
    rough: bool


class PlaceListed(Strict):
    """The answer of ``count`` without counts."""

    place: str
    parts: list[ToCount]


class PartCounted(Strict):
    """A part counted; `let_go` says how many pieces set aside were not there, by job."""

    part: str
    before: int
    now: int
    difference: int
    rough: bool
    let_go: dict[str, int]


class CountedPlace(Strict):
    """The answer of ``count`` with counts."""

    counted: list[PartCounted]
    not_counted: list[str]


class Scrapped(Strict):
    """The answer of ``scrap``."""

    part: str
    scrapped: int
    on_hand: int


class UndoneAct(Strict):
    """The answer of ``undo``."""

    undone: str
    why: str
    parts: list[str]
