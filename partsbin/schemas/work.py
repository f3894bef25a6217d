"""The answers of plans, sheets, reports, donors, the life of a part, and of keeping a catalogue."""

from __future__ import annotations

from typing import Any, Literal

from partsbin.schemas.base import Strict, VerdictWord
from partsbin.schemas.shelf import WouldServe


class PlannedPart(Strict):
    """A part that a plan gives to a need: `pieces` of it, which serve the need `serves` times; of several joined, `how`.

    A section of a can that another need has already takes no piece.
    """

    part: str
    title: str
    place: str
    verdict: VerdictWord
    pieces: int
    serves: int
    how: str
    read_first: list[str]
    changes: list[str]


class PlannedNeed(Strict):
    """A need of a job with what it gets; nothing, and what to buy, where it is short. `shares`: the needs that one can serves."""

    job: str
    designator: str
    family: str
    position: str
    wanted: int
    parts: list[PlannedPart]
    shares: list[str]
    why: str
    buy: str


class PlanAnswer(Strict):
    """The answer of ``plan``."""

    needs: list[PlannedNeed]
    moved: int


class ListedNeed(Strict):
    """A row of a list of needs: what became of it, its position and what says so; "" where that has to be said."""

    line: int
    designators: list[str]
    pieces: int
    fate: Literal["wanted", "noted before", "not ours", "not understood", "no part"]
    family: str
    text: str
    position: str
    why: str
    notes: list[str]


class ListSums(Strict):
    """Pieces by what became of them: the four add up to the list."""

    served: int
    short: int
    not_ours: int
    not_understood: int
    all: int


class NeedsListed(Strict):
    """The answer of ``job need --file`` and ``import --as needs``."""

    job: str
    file: str
    written: bool
    needs: list[ListedNeed]
    problems: list[str]
    sums: ListSums


class SheetPart(Strict):
    """A part on the customer's sheet; the price is a piece's, in thousandths of the currency's unit."""

    where: str
    what: str
    origin: str
    tested: list[str]
    change: str
    verdict: str
    price: int | None
    pieces: int


class TestToMake(Strict):
    """A test that a competent person still makes."""

    test: str
    how: str


class SheetAnswer(Strict):
    """The answer of ``job sheet``."""

    job: str
    what: str
    reference: str
    opened: str
    set: dict[str, str]
    fitted: list[SheetPart]
    cost: int | None
    readings: list[str]
    tests_made: list[str]
    margins_reviewed: list[str]
    tests_to_make: list[TestToMake]
    kept: list[str]
    notes: list[str]
    cautions: list[str]


class ReportAnswer(Strict):
    """The answer of ``report``: rows by column name."""

    report: Literal["stock", "slow", "unknown", "fitted", "thin", "usage", "donors"]
    rows: list[dict[str, Any]]


class InASet(Strict):
    """A set in which a part sits now."""

    job: str
    reference: str
    what: str
    pieces: int


class Came(Strict):
    """Where a part came from."""

    donor: str
    donor_name: str
    file: str
    split_off: str


class TraceAnswer(Strict):
    """The answer of ``trace``: a part's life, and that of each part split off it."""

    part: str
    title: str
    condition: str
    came: Came
    on_hand: int
    place: str
    sets: list[InASet]
    movements: list[dict[str, Any]]
    split_off: list[TraceAnswer]


class Sibling(Strict):
    """A part of the same origin as a bad one."""

    part: str
    family: str
    title: str
    condition: str
    on_hand: int
    free: int
    place: str
    sets: list[InASet]


class RecallAnswer(Strict):
    """The answer of ``recall``."""

    siblings: list[Sibling]
    set_aside: int


class StrippedLine(Strict):
    """A line of stripping, and what it was taken for."""

    line: int
    text: str
    taken: Literal["part", "unsure", "more", "place", "remark", "refused"]
    part: str
    said: str
    doubts: list[str]


class StripAnswer(Strict):
    """The answer of ``strip`` for lines of a file."""

    donor: str
    parts: int
    pieces: int
    lines: list[StrippedLine]
    serves: list[WouldServe]


class FaultAnswer(Strict):
    """Something wrong with a catalogue."""

    code: str
    part: str
    said: str
    derived: bool


class VerifyAnswer(Strict):
    """The answer of ``verify``."""

    faults: list[FaultAnswer]
    repaired: list[FaultAnswer]
