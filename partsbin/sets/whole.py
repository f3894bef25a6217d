"""All that follows from the facts of a set, line by line."""

from __future__ import annotations

from partsbin.errors import UsageError
from partsbin.sets.driving import grid_lines, output_lines
from partsbin.sets.facts import SetFacts
from partsbin.sets.feeding import supply_lines
from partsbin.sets.heating import heater_lines
from partsbin.sets.lines import Line
from partsbin.sets.proving import reading_lines

ENOUGH = ("lineup", "secondary", "rail", "chassis", "rectifier")


def account(facts: SetFacts) -> list[Line]:
    """Return what follows from the facts.

    Raises
    ------
    UsageError
        If nothing is known from which anything follows.
    """
    if not any(facts.knows(name) for name in ENOUGH):
        raise UsageError(
            "nothing follows from these facts: expected a line-up, an HT winding or a rail",
            hint='--lineup "ECH81 EBF89 EABC80 EL84 EZ80" --secondary 250-0-250 --speaker 3',
        )
    lines = heater_lines(facts) if facts.knows("lineup") else []
    return [*lines, *supply_lines(facts), *output_lines(facts), *grid_lines(facts), *reading_lines(facts)]
