"""Two hundred everyday parts over every family and position, none refused or measured without cause; and what must never be fitted."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest

from partsbin.families import load
from partsbin.matching.hand import try_text
from partsbin.needs import Request
from partsbin.sets import read_facts
from partsbin.stock.describe import TRADE_FAMILIES

DATA = Path(__file__).parent.parent / "data"


@dataclass(frozen=True)
class Line:
    """One line of the table."""

    family: str
    position: str
    dead: str
    facts: tuple[str, ...]
    part: str
    condition: str
    readings: tuple[str, ...]
    expected: str
    why: str

    def __str__(self) -> str:
        return f"{self.family} {self.position}: {self.part} for {self.dead or 'what the set says'}"


def lines(table: str) -> list[Line]:
    """Return a table's lines: a comma inside a fact stands for a space."""
    made, family = [], ""
    for row in (DATA / table).read_text(encoding="utf-8").splitlines():
        if row.startswith("["):
            family = row.strip("[]")
        elif row and not row.startswith("#"):
            position, dead, facts, hand, expected, why = (cell.strip() for cell in row.split(";"))
            part, condition, readings = ([*(cell.strip() for cell in hand.split("|")), "", ""])[:3]
            given = tuple(fact.replace(",", " ") for fact in facts.split())
            made.append(Line(family, position, dead, given, part, condition, tuple(readings.split()), expected, why))
    return made


LINES, UNSAFE = lines("everyday_parts.txt"), lines("unsafe_parts.txt")


def said(line: Line) -> tuple[str, list[str]]:
    """Return the best verdict on the part in the hand, and the reasons that are not a pass."""
    request = Request(line.family, line.dead, line.position, {}, read_facts(line.facts))
    answer = try_text(request, line.part, line.condition or "new", list(line.readings))
    best = (answer["candidates"] + answer["near_misses"])[0]
    return best["verdict"], [check["reason"] for check in best["checks"] if check["verdict"] != "pass"]


@pytest.mark.parametrize("line", LINES, ids=str)
def test_an_everyday_part_is_judged_as_a_repairer_would(line: Line) -> None:
    """What fits is said to fit, what asks a change or a word of warning is care; a few that must not be fitted stand beside them."""
    verdict, reasons = said(line)
    assert verdict == line.expected, reasons


@pytest.mark.parametrize("line", UNSAFE, ids=str)
def test_what_must_never_be_fitted_is_refused_from_its_words(line: Line) -> None:
    """Or measured first, where only a reading can tell."""
    assert line.expected in ("unfit", "measure")
    assert said(line)[0] == line.expected, line.why


def test_there_are_two_hundred_good_ones_and_every_position_has_one() -> None:
    """Over all families."""
    good = [line for line in LINES if line.expected in ("fits", "care")]
    assert len(good) >= 200
    assert len(set(LINES)) == len(LINES)
    tried = {(line.family, line.position) for line in good}
    every = {(name, position) for name in TRADE_FAMILIES for position in load(name).rules().positions}
    assert every == tried
