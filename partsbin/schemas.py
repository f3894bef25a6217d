"""The answers as JSON, described: `schemas/` is written from these models, and a test compares the two.

``python -m partsbin.schemas DIR`` writes the files.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict

Figure = float | str | bool | dict[Literal["lo", "hi"], float] | None
VerdictWord = Literal["fits", "care", "measure", "unfit"]


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid")


class Field(_Strict):
    """A figure of a need, in SI, with where it came from."""

    value: Figure
    unit: str
    origin: str

    model_config = ConfigDict(extra="forbid", alias_generator=lambda name: "from" if name == "origin" else name)


class Asked(_Strict):
    """A question worth asking."""

    fact: str
    text: str


class NeedAnswer(_Strict):
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


class CheckAnswer(_Strict):
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


class CardAnswer(_Strict):
    """A test card."""

    reading: str
    title: str
    connect: str
    passes: str
    correction: str
    danger: str
    instrument: str


class CandidateAnswer(_Strict):
    """One way of using one part."""

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
    make_up: list[str]
    checks: list[CheckAnswer]
    tests: list[CardAnswer]
    beyond: list[str]
    changes: list[str]
    assumed: list[str]
    hazards: list[str]


class Count(_Strict):
    """How many more there are at best; capped where nobody counted further."""

    n: int
    capped: bool


class BesideAnswer(_Strict):
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


class Answer(_Strict):
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


class ReadingAnswer(_Strict):
    """One way of understanding a description."""

    family: str
    fields: dict[str, Any]
    sure: bool
    notes: list[str]


class Readings(_Strict):
    """The answer of ``read``."""

    readings: list[ReadingAnswer]


class ImportRow(_Strict):
    """What became of one row of a list."""

    line: int
    text: str
    status: Literal[
        "taken", "unsure", "not ours", "not understood", "refused", "already here", "changed since", "heading"
    ]
    family: str
    fields: dict[str, Any]
    title: str
    count: str
    notes: list[str]
    problems: list[str]


class Import(_Strict):
    """The account of ``import``."""

    file: str
    columns: dict[str, str]
    why: dict[str, str]
    notes: list[str]
    totals: dict[str, int]
    written: int | None
    rows: list[ImportRow]


class Shelving(_Strict):
    """The answer of ``shelve``."""

    part: str
    family: str
    title: str
    notes: list[str]


class Portrait(_Strict):
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
    ledger: list[dict[str, Any]]
    parted_from: str
    parted_off: list[str]
    file: dict[str, Any] | None
    hazards: list[str]


class WordMatch(_Strict):
    """Which word of a part answers a word asked for, how, and where it stands."""

    asked: str
    matched: str
    how: Literal["exact", "mistyped", "begins", "ends", "unit not given", "means"]
    field: str
    text: str


class PartFound(_Strict):
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


class WordMissing(_Strict):
    """A word of a question without an answer: how many parts have it, and what may have been meant."""

    word: str
    parts: int
    near: list[str]


class SearchAnswer(_Strict):
    """The answer of ``search``. Without `near_too`, `found` counts the parts that have every word as it stands."""

    words: list[str]
    family: str
    found: int
    near_too: bool
    parts: list[PartFound]
    missing: list[WordMissing]


class LabelPlaced(_Strict):
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


class Labels(_Strict):
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


class SetLine(_Strict):
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


class SetAnswer(_Strict):
    """The answer of ``calc set``."""

    facts: dict[str, str]
    lines: list[SetLine]
    notes: list[str]
    cautions: list[str]


class CalculatedFigure(_Strict):
    """An input or a result with its ends; null where there is none."""

    name: str
    value: float | None
    lo: float | None
    hi: float | None
    unit: str
    words: str
    origin: str

    model_config = ConfigDict(extra="forbid", alias_generator=lambda name: "from" if name == "origin" else name)


class CalculationAnswer(_Strict):
    """The answer of ``calc``."""

    calculation: str
    title: str
    formula: str
    source: str
    inputs: list[CalculatedFigure]
    results: list[CalculatedFigure]
    caution: str


class ReadingTaken(_Strict):
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


class Measured(_Strict):
    """The answer of ``measure``."""

    part: str
    parted_from: str
    readings: list[ReadingTaken]
    drift: list[str]


class Marked(_Strict):
    """The answer of ``mark``."""

    part: str
    title: str
    notes: list[str]


class Moved(_Strict):
    """The answer of ``move``."""

    part: str
    parted_from: str
    place: str
    on_hand: int


class ToCount(_Strict):
    """A part that should lie in a place."""

    part: str
    title: str
    on_hand: int
    reserved: int
    rough: bool


class PlaceListed(_Strict):
    """The answer of ``count`` without counts."""

    place: str
    parts: list[ToCount]


class PartCounted(_Strict):
    """A part counted; `let_go` says how many pieces set aside were not there, by job."""

    part: str
    before: int
    now: int
    difference: int
    rough: bool
    let_go: dict[str, int]


class CountedPlace(_Strict):
    """The answer of ``count`` with counts."""

    counted: list[PartCounted]
    not_counted: list[str]


class Scrapped(_Strict):
    """The answer of ``scrap``."""

    part: str
    scrapped: int
    on_hand: int


class UndoneAct(_Strict):
    """The answer of ``undo``."""

    undone: str
    why: str
    parts: list[str]


class FittedPart(_Strict):
    """The answer of ``fit``: `there` pieces serve a need that wants `wanted` of them, 0 where no need was named."""

    part: str
    job: str
    pieces: int
    verdict: Literal["fits", "care"]
    reason: str
    changes: list[str]
    counted_in: int
    wanted: int
    there: int
    after: list[str]
    also: list[str]
    cautions: list[str]


class Returned(_Strict):
    """The answer of ``return``."""

    part: str
    job: str
    pieces: int
    condition: str


class JobBrief(_Strict):
    """A job as a list shows it, and the answer of ``job facts``."""

    job: str
    what: str
    reference: str
    set: dict[str, str]
    opened: str
    closed: str | None


class JobList(_Strict):
    """The answer of ``job list``."""

    jobs: list[JobBrief]


class OpenNeed(_Strict):
    """A need of a job of which pieces are still wanted."""

    number: int
    designator: str
    family: str
    text: str
    position: str
    set: dict[str, str]
    pieces: int


class FittedInSet(_Strict):
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


class JobLineAnswer(_Strict):
    """A line of a job's record."""

    kind: Literal["reading", "test", "kept", "note"]
    what: str
    said: str
    instrument: str
    at: str
    by: str


class SetAside(_Strict):
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


class JobClosed(_Strict):
    """The answer of ``job close``: what is still set aside for it."""

    job: str
    set_aside: list[SetAside]


class JobClaim(_Strict):
    """The answer of ``job reserve`` and ``job release``: pieces set aside, less than 0 for those let go, and how many are free."""

    part: str
    job: str
    set_aside: int
    free: int


class JobNeeded(_Strict):
    """The answer of ``job need``."""

    job: str
    number: int
    designator: str
    family: str
    position: str
    pieces: int


class Instruments(_Strict):
    """The answer of ``instruments``; null where none were recorded."""

    instruments: list[str] | None
    accuracies: dict[str, str]
    known: list[str]


MODELS: dict[str, type[BaseModel]] = {
    "answer": Answer,
    "readings": Readings,
    "import": Import,
    "shelving": Shelving,
    "portrait": Portrait,
    "search": SearchAnswer,
    "labels": Labels,
    "set": SetAnswer,
    "calculation": CalculationAnswer,
    "measured": Measured,
    "marked": Marked,
    "moved": Moved,
    "place": PlaceListed,
    "counted": CountedPlace,
    "scrapped": Scrapped,
    "undone": UndoneAct,
    "fitted": FittedPart,
    "returned": Returned,
    "job": JobPortrait,
    "job-brief": JobBrief,
    "jobs": JobList,
    "job-closed": JobClosed,
    "job-claim": JobClaim,
    "job-need": JobNeeded,
    "instruments": Instruments,
}


def documents() -> dict[str, str]:
    """Return the text of every schema file by name."""
    made = {}
    for name, model in MODELS.items():
        schema = model.model_json_schema(mode="serialization", by_alias=True)
        schema = {"$schema": "https://json-schema.org/draft/2020-12/schema", "$id": f"partsbin/{name}.json", **schema}
        made[f"{name}.json"] = json.dumps(schema, indent=2, ensure_ascii=False, sort_keys=True) + "\n"
    return made


def write(folder: Path) -> None:
    """Write the schema files into a folder."""
    for name, text in documents().items():
        (folder / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    write(Path(sys.argv[1]))
