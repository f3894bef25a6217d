"""A hundred and seventy make-ups worked by hand: what is refused, what takes care, what must be read first, what simply fits."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import pytest

from partsbin.checks import Verdict
from partsbin.families import load
from partsbin.families._declare import Item, Measured, columns_of
from partsbin.matching.make_ups.judge import judge_together
from partsbin.needs import Request
from partsbin.sets import read_facts
from partsbin.stock.draft import draft_from_text
from partsbin.stock.readings import read_measurement
from tests.families.test_everyday_parts import DATA


@dataclass(frozen=True)
class Line:
    """One line of the table."""

    family: str
    position: str
    dead: str
    facts: tuple[str, ...]
    how: str
    parts: tuple[str, ...]
    expected: str
    why: str

    def __str__(self) -> str:
        return f"{self.position}: {' + '.join(self.parts)} {self.how} for {self.dead}"


def lines() -> list[Line]:
    """Return the table's lines: a comma inside a fact stands for a space, ``2 ×`` for the part twice."""
    made, family = [], ""
    for row in (DATA / "made_up_parts.txt").read_text(encoding="utf-8").splitlines():
        if row.startswith("["):
            family = row.strip("[]")
        elif row and not row.startswith("#"):
            position, dead, facts, joined, expected, why = (cell.strip() for cell in row.split(";"))
            how, _, named = joined.partition(": ")
            parts: list[str] = []
            for part in named.split(" + "):
                times, _, text = part.rpartition(" × ")
                parts += [text] * int(times or 1)
            given = tuple(fact.replace(",", " ") for fact in facts.split())
            made.append(Line(family, position, dead, given, how, tuple(parts), expected, why))
    return made


def _item(family: str, part: str) -> Item:
    """Return a part from its cell."""
    text, condition, readings, more = [*(cell.strip() for cell in part.split("|")), "", "", ""][:4]
    condition = condition or "new"
    known = dict(one.split("=") for one in more.split())
    facts = draft_from_text(text, family=family, condition=condition)[0].facts
    facts = load(family).facts.model_validate({**facts.model_dump(), **known})
    read = [read_measurement(load(family), entry) for entry in readings.split()]
    return Item(facts, condition, {one.quantity: Measured(one.value, one.uncertainty, one.conditions) for one in read})


def said(line: Line) -> str:
    """Return the best verdict over the ways of using the parts, "refused" where nothing is joined so."""
    family = load(line.family)
    need = family.need(Request(line.family, line.dead, line.position, {}, read_facts(line.facts)))
    joins = [join for join in family.joins(need) if join.how == f"in {line.how}"]
    if not joins:
        return "refused"
    found = []
    for options in product(*(family.options(_item(line.family, part)) for part in line.parts)):
        members = [columns_of([one], family.quantities, family.words) for one in options]
        found.append(judge_together(family, need, family.search(need), joins[0], members).verdict[0])
    return Verdict(min(found)).word


LINES = lines()


@pytest.mark.parametrize("line", LINES, ids=str)
def test_a_make_up_gets_the_verdict_worked_by_hand(line: Line) -> None:
    """As its line says, with the arithmetic beside it."""
    assert said(line) == line.expected, line.why


def test_every_outcome_is_asked_for() -> None:
    """A table of one answer would say little; neither family stands alone."""
    for family in ("capacitor", "resistor"):
        expected = {line.expected for line in LINES if line.family == family}
        assert expected == {"fits", "care", "measure", "unfit", "refused"}
