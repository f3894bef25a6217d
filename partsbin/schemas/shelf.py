"""The answers of lists, of search, of labels and of looking at a part."""

from __future__ import annotations

from typing import Any, Literal

from partsbin.schemas.base import Strict, VerdictWord


class ImportRow(Strict):
    """What became of one row of a list."""

    line: int
    text: str
    status: Literal[
        "taken",
        "unsure",
        "not ours",
        "not understood",
        "refused",
        "already here",
        "changed since",
        "heading",
        "kept unread",
    ]
    family: str
    fields: dict[str, Any]
    title: str
    count: str
    notes: list[str]
    problems: list[str]


class WouldServe(Strict):
    """An open need of a job that a part which has just come in would serve."""

    part: str
    job: str
    need: str
    verdict: VerdictWord
    said: str


class Import(Strict):
    """The account of ``import``."""

    file: str
    columns: dict[str, str]
    why: dict[str, str]
    notes: list[str]
    totals: dict[str, int]
    written: int | None
    serves: list[WouldServe]
    rows: list[ImportRow]


class WorthPulling(Strict):
    """A part that a donor usually holds, and what it would serve."""

    family: str
    part: str
    why: str
    serves: list[str]


class DonorWorth(Strict):
    """The answer of ``donor worth``."""

    donor: str
    parts: list[WorthPulling]
    leave: list[str]


class Shelving(Strict):
    """The answer of ``shelve``."""

    part: str
    family: str
    title: str
    notes: list[str]
    serves: list[WouldServe]


class Portrait(Strict):
    """The answer of ``show``: everything known of a part."""

    part: str
    family: str
    title: str
    condition: str
    marking: str
    on_hand: int
    reserved: int
    rough: bool
    place: str
    donor: str
    donor_lineup: str
    maker: str
    date_code: str
    year: int | None
    note: str
    fields: dict[str, Any]
    readings: list[dict[str, Any]]
    drift: list[str]
    options: list[dict[str, Any]]
    photographs: int
    ledger: list[dict[str, Any]]
    parted_from: str
    parted_off: list[str]
    file: dict[str, Any] | None
    hazards: list[str]


class WordMatch(Strict):
    """Which word of a part answers a word asked for, how, and where it stands."""

    asked: str
    matched: str
    how: Literal["exact", "mistyped", "begins", "ends", "unit not given", "means"]
    field: str
    text: str


class PartFound(Strict):
    """A part that has every word; the score is 1 where each stands as it was asked for."""

    part: str
    family: str
    title: str
    condition: str
    count: int
    rough: bool
    place: str
    donor: str
    score: float
    matches: list[WordMatch]


class WordMissing(Strict):
    """A word of a question without an answer: how many parts have it, and what may have been meant."""

    word: str
    parts: int
    near: list[str]


class SearchAnswer(Strict):
    """The answer of ``search``. Without `near_too`, `found` counts the parts that have every word as it stands."""

    words: list[str]
    family: str
    found: int
    near_too: bool
    parts: list[PartFound]
    missing: list[WordMissing]


class LabelPlaced(Strict):
    """One label: what it says, and where it lies on its page, which counts from 1 as rows and columns do."""

    code: str
    title: str
    lines: list[str]
    page: int
    row: int
    column: int
    left: float
    top: float
    module: float
    level: Literal["H", "Q", "M", "L"]
    notes: list[str]


class Labels(Strict):
    """The answer of ``label``. Lengths in mm; `file` is null where there was nothing to label."""

    file: str | None
    layout: str
    width: float
    height: float
    page_width: float
    page_height: float
    pages: int
    labels: list[LabelPlaced]
    notes: list[str]
