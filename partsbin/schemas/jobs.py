"""The answers of jobs: fitting, what sits in a set, the portrait of a repair."""

from __future__ import annotations

from typing import Literal

from partsbin.schemas.base import Strict


class FittedSection(Strict):
    """How a can that serves several needs serves one of them: by which section, with which verdict."""

    need: str
    title: str
    verdict: Literal["fits", "care"]
    reason: str


class FittedPart(Strict):
    """The answer of ``fit``: `there` pieces serve a need that wants `wanted` of them, 0 where no need was named."""

    part: str
    job: str
    pieces: int
    verdict: Literal["fits", "care"]
    reason: str
    changes: list[str]
    counted_in: int
    make_up: list[str]
    sections: list[FittedSection]
    wanted: int
    there: int
    after: list[str]
    also: list[str]
    cautions: list[str]


class Returned(Strict):
    """The answer of ``return``."""

    part: str
    job: str
    pieces: int
    condition: str


class JobBrief(Strict):
    """A job as a list shows it, and the answer of ``job facts``."""

    job: str
    what: str
    reference: str
    set: dict[str, str]
    opened: str
    closed: str | None


class JobList(Strict):
    """The answer of ``job list``."""

    jobs: list[JobBrief]


class OpenNeed(Strict):
    """A need of a job of which pieces are still wanted."""

    number: int
    designator: str
    family: str
    text: str
    position: str
    set: dict[str, str]
    pieces: int
    why: str


class FittedInSet(Strict):
    """What sits in a set, and why it went in; `need` is the need's id, null where none was named."""

    part: str
    family: str
    title: str
    pieces: int
    price: int | None
    designator: str
    position: str
    need: int | None
    verdict: str
    check: str
    margin: float | None
    reason: str
    change: str
    at: str
    by: str
    why: str
    job: str


class JobLineAnswer(Strict):
    """A line of a job's record."""

    kind: Literal["reading", "test", "review", "kept", "note"]
    what: str
    said: str
    instrument: str
    at: str
    by: str


class SetAside(Strict):
    """Pieces of a part set aside."""

    part: str
    pieces: int


class EarlierJob(JobBrief):
    """An earlier job of the same reference."""

    fitted: list[FittedInSet]


class JobPortrait(JobBrief):
    """The answer of ``job open`` and ``job show``."""

    open_needs: list[OpenNeed]
    fitted: list[FittedInSet]
    set_aside: list[SetAside]
    lines: list[JobLineAnswer]
    earlier: list[EarlierJob]


class JobClosed(Strict):
    """The answer of ``job close``: what is still set aside for it."""

    job: str
    set_aside: list[SetAside]


class JobClaim(Strict):
    """The answer of ``job reserve`` and ``job release``: pieces set aside, less than 0 for those let go, and how many are free."""

    part: str
    job: str
    set_aside: int
    free: int


class JobNeeded(Strict):
    """The answer of ``job need``; `not_understood`: what of its text nobody could read."""

    job: str
    number: int
    designator: str
    family: str
    position: str
    pieces: int
    not_understood: list[str]
