"""What a donor is worth: which of the parts that such a set usually holds serve an open need, or a stock rule that is short."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Connection

from partsbin.checks import Verdict
from partsbin.families import load
from partsbin.families._declare import Item
from partsbin.jobs.fitted import open_needs
from partsbin.jobs.record import jobs
from partsbin.jobs.stock_rules import levels
from partsbin.matching.answer import build_each
from partsbin.matching.candidates import judge_parts
from partsbin.needs import Request
from partsbin.notation.valve import read_valve
from partsbin.reference.valves import Lineup, lineup
from partsbin.stock.describe import facts_from, part_fields, read_as
from partsbin.stock.donors import Chassis
from partsbin.stock.shelf import Shelved

LEAVE = (
    "waxed and moulded paper capacitors, never used again",
    "old electrolytics: only re-formed and measured, never for new sets of customers",
    "carbon resistors: drifted, new ones cost less than measuring them",
)
"""What is left in a chassis; common practice, no source."""


@dataclass(frozen=True)
class Pull:
    """A part that such a set usually holds.

    Parameters
    ----------
    family, what : str
        The part, in trade notation.
    why : str
        What says that it is there.
    serves : tuple of str
        Open needs and stock rules that are short, in words: pull it if there are any.
    """

    family: str
    what: str
    why: str
    serves: tuple[str, ...]


def worth(connection: Connection, donor: Chassis, now: datetime) -> list[Pull]:
    """Return what a donor usually holds, what serves something first.

    Parameters
    ----------
    connection : Connection
        Reading one state of the catalogue.
    donor : Chassis
        The donor; without valves known little is told.
    now : datetime
        The present, for the points of stock rules.
    """
    wants = _wants(connection, now)
    found = [
        Pull(family, what, why, tuple(_serves(family, what, donor.lineup, wants)))
        for family, what, why in holds(lineup(donor.lineup))
    ]
    return sorted(found, key=lambda pull: not pull.serves)


def holds(valves: Lineup) -> Iterator[tuple[str, str, str]]:
    """Yield what a set with these valves usually holds: family, part, what says so.

    Examples
    --------
    >>> [what for _, what, _ in holds(lineup("EL84 EZ80"))]
    ['EL84', 'EZ80', 'output transformer', 'mains transformer', '1M log', 'loudspeaker 3 ohm', 'smoothing choke']
    """
    for each in valves.valves:
        yield "valve", each.valve.type, f"{each.count} in the line-up" if each.count > 1 else "in the line-up"
    for name in valves.unknown:
        if read_valve(name):
            yield "valve", name.upper(), "in the line-up; no table here has it"
    if (output := valves.output) is not None:
        kind = "push-pull" if output.count > 1 else "single-ended"
        yield "transformer", "output transformer", f"{output.valve.type} {kind}: it carried its current"
    if (rectifier := valves.rectifier) is not None and (rectifier.valve.heater_volts or 99.0) <= 6.5:
        yield (
            "transformer",
            "mains transformer",
            f"{rectifier.valve.type}: heaters in parallel, a transformer feeds them",
        )
    if valves.output is not None:
        yield "potentiometer", "1M log", "volume control, often with its switch"
        yield "loudspeaker", "loudspeaker 3 ohm", "of a set with an output stage"
    if valves.rectifier is not None:
        yield "choke", "smoothing choke", "where no resistor smooths"


def _wants(connection: Connection, now: datetime) -> list[tuple[str, Request]]:
    """Everything that is wanted: open needs, and rules under their point."""
    wants = [
        (f"{wanted.designator or f'{wanted.position} {wanted.family}'} of {job.code}", wanted.request(job))
        for job in jobs(connection, open_only=True)
        for wanted, _ in open_needs(connection, job)
        if wanted.position
    ]
    return wants + [(level.name, level.rule.request()) for level in levels(connection, now) if level.order]


def _serves(family: str, what: str, valves: str, wants: list[tuple[str, Request]]) -> Iterator[str]:
    own = load(family)
    found = read_as(own, what)
    facts, _ = facts_from(own, dict(part_fields(dict(found[0].fields), own)[0])) if found else (None, [])
    item = Item(facts or own.facts(), "salvaged", {}, valves, "", None)
    part = Shelved(-1, family, what, item, 1, 0, False, "", "", "shelf", {})
    for name, request in wants:
        for other, need in build_each(request):
            if other.name == family:
                (judged,) = judge_parts(other, need, other.search(need), [part])
                if judged.verdict is not Verdict.UNFIT:
                    yield f"{name}{', once measured' if judged.verdict is Verdict.MEASURE else f' ({judged.verdict.word})'}"
