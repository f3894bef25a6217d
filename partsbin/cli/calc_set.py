"""All that follows from a set, printed."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from partsbin.cli.common import plain, print_json, tell, width

if TYPE_CHECKING:
    from partsbin.sets import SetFacts
    from partsbin.sets.lines import Line

_TITLES = {
    "heaters": "HEATERS", "supply": "SUPPLY", "rectifier": "RECTIFIER", "output": "OUTPUT STAGE", "grids": "GRID LEAKS",
    "readings": "READINGS TO EXPECT",
}  # fmt: skip
_DOUBT = {"memory": "from memory", "practice": "common practice"}


def calc_set(pairs: Sequence[str], *, as_json: bool) -> None:
    """Print what follows from the facts given as ``KEY=VALUE``."""
    from partsbin.sets import read_facts
    from partsbin.sets.bench_parts import HV
    from partsbin.sets.whole import account

    facts = read_facts(pairs)
    lines = account(facts)
    if as_json:
        print_json(plain(_document(facts, lines, HV)))
        return
    tell("SET  " + ", ".join(f"{name} {text}" for name, text in facts.texts.items()))
    told: set[str] = set()
    for about, title in _TITLES.items():
        own = [line for line in lines if line.about == about]
        if own:
            tell(title)
        for line in own:
            _tell(line, told)
    for note in facts.notes:
        _wrapped("NOTE  ", note)
    _wrapped("CAUTION  ", HV)


def _tell(line: Line, told: set[str]) -> None:
    """One line, its assumptions the first time that they come, and the reading that is better."""
    mark = "!" if line.warning else " "
    figure = _figure(line)
    doubt = f" ({_DOUBT[line.sure]})" if line.sure in _DOUBT and _DOUBT[line.sure] not in line.how else ""
    _wrapped(f"{mark} {line.name:<30}", f"{figure}{': ' if figure and line.how else ''}{line.how}{doubt}")
    for note in line.assumed:
        if note not in told:
            told.add(note)
            _wrapped(f"{'':<34}assumed ", note)
    if line.instead:
        _wrapped(f"{'':<34}better  ", line.instead)


def _figure(line: Line) -> str:
    from partsbin.words import say, span

    if isinstance(line.value, str):
        return line.value
    unit = "" if line.unit == "-" else line.unit
    value = f"{line.value:.3g}" if not unit else say(line.value, unit)
    if math.isnan(line.low) or math.isclose(line.low, line.high):
        return value
    ends = f"{line.low:.3g} to {line.high:.3g}" if not unit else span(line.low, line.high, unit)
    return f"{value} ({ends})"


def _wrapped(head: str, text: str) -> None:
    tell(textwrap.fill(text, width(), initial_indent=head, subsequent_indent=" " * len(head)))


def _document(facts: SetFacts, lines: Sequence[Line], caution: str) -> dict[str, Any]:
    return {
        "facts": dict(facts.texts),
        "lines": [_line(line) for line in lines],
        "notes": list(facts.notes),
        "cautions": [caution],
    }


def _line(line: Line) -> dict[str, Any]:
    known = not math.isnan(line.low)
    figure = line.value if isinstance(line.value, str) or not math.isnan(line.value) else None
    return {
        "about": line.about, "name": line.name, "value": figure, "lo": line.low if known else None,
        "hi": line.high if known else None, "unit": line.unit, "from": line.how, "assumed": list(line.assumed),
        "sure": line.sure, "instead": line.instead, "warning": line.warning,
    }  # fmt: skip
