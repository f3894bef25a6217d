"""Sittings over donors that are going on at the page: what was said last, what it was taken for, and how the next line is read.

They are kept in memory for each visit and donor. If the program ends in between nothing that was shelved is lost: only how the
last lines were read is not shown any more, and a line such as "3 of them" is told that there is no part before it.
"""

from __future__ import annotations

import secrets
from collections import OrderedDict, deque
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from threading import Lock

from sqlalchemy import Connection, Engine

from partsbin.errors import RefusedError
from partsbin.jobs.wanted import would_serve
from partsbin.stock.acts import Who, part_of
from partsbin.stock.donors import Chassis, note_sitting, owed_on
from partsbin.stock.shelf import id_of
from partsbin.stock.sitting import LineByLine
from partsbin.store.engine import reading, writing

MOST = 200
"""Sittings that are kept; of more the one that was longest left alone is forgotten [-]."""

SHOWN = 30
"""Lines that are shown again [-]."""

NAMED = 3
"""Needs that are named for each part [-]."""

PAUSE = timedelta(minutes=15)
"""Longer than this between two lines nobody was stripping."""


@dataclass(frozen=True)
class Told:
    """A line as it is read back: the part that it became, what is still owed on it, which needs it would serve, what to beware of."""

    line: str
    kind: str
    part: str
    said: str
    doubts: Sequence[str] = ()
    owed: Sequence[str] = ()
    serves: Sequence[str] = ()
    dangers: Sequence[str] = ()


@dataclass
class Running:
    """One sitting. `turn` changes with every line: a form that was sent twice, or from another device, says an old one."""

    lines: LineByLine
    turn: str = field(default_factory=lambda: secrets.token_urlsafe(9))
    told: deque[Told] = field(default_factory=lambda: deque(maxlen=SHOWN))
    minutes: float = 0.0
    last: datetime | None = None
    lock: Lock = field(default_factory=Lock)

    def begin(self, turn: str, now: datetime) -> None:
        """Let a form begin; the caller holds the lock.

        Raises
        ------
        RefusedError
            If something was said since the form was shown.
        """
        if turn != self.turn:
            raise RefusedError(
                "a line was taken since this page was shown; nothing was written",
                hint="look at what stands below, then send it again if it is not there",
            )
        self.turn = secrets.token_urlsafe(9)
        if self.last is not None and now - self.last <= PAUSE:
            self.minutes += (now - self.last).total_seconds() / 60
        self.last = now

    def take(self, line: str, who: Who, chosen: int = 0) -> None:
        """Write what a line says, and note how it is read back."""
        taken, number = self.lines.take(line, who, chosen)
        if taken.kind == "remark":
            return
        about = _about(self.lines.engine, number) if number else ()
        self.told.appendleft(Told(taken.text, taken.kind, number, taken.said, taken.doubts, *about))

    def take_back(self, who: Who) -> str:
        """Take the last line back that wrote something; return what is said of it."""
        number = self.lines.take_back(who).number
        at = next((at for at, told in enumerate(self.told) if told.part == number), None)
        if at is not None:
            del self.told[at]
        left = self.lines.left_of(number)
        return f"{number} taken back{f', {left} left' if left else ''}"

    def end(self, connection: Connection, who: Who) -> None:
        """Write the sitting down: minutes spent, parts that it gave."""
        if self.lines.written:
            note_sitting(connection, self.lines.donor, who, self.minutes, self.lines.parts)


def _about(engine: Engine, number: str) -> tuple[list[str], list[str], list[str]]:
    """What is owed on a part that has just come in, what it would serve, and the dangers of what is owed."""
    with reading(engine) as connection:
        found = owed_on(part_of(connection, id_of(number)))
        serves = [match.said for match in would_serve(connection, [id_of(number)])]
    owed = [f"look for: {', '.join(found['look'])}"] if found["look"] else []
    owed += [f"read: {'; '.join(found['read'])}"] if found["read"] else []
    more = [f"and {len(serves) - NAMED} more needs"] if len(serves) > NAMED else []
    return owed, [*serves[:NAMED], *more], found["dangers"]


class Sittings:
    """The sittings that are going on, by visit and donor."""

    def __init__(self) -> None:
        self._all: OrderedDict[tuple[str, str], Running] = OrderedDict()
        self._lock = Lock()

    def of(self, engine: Engine, visit: str, donor: Chassis) -> Running:
        """Return the sitting of a visit over a donor, begun if there is none."""
        with self._lock:
            found = self._all.pop((visit, donor.code), None) or Running(LineByLine(engine, donor))
            self._all[visit, donor.code] = found
            while len(self._all) > MOST:
                self._all.popitem(last=False)
        return found

    def end(self, engine: Engine, visit: str, running: Running, who: Who) -> None:
        """Write a sitting down and forget it."""
        with writing(engine) as connection:
            running.end(connection, who)
        with self._lock:
            self._all.pop((visit, running.lines.donor.code), None)
