"""A sitting over a donor, written into the catalogue: all its lines at once, or line by line with the last one taken back."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Any

from sqlalchemy import Connection, Engine, func, select

from partsbin.errors import RefusedError
from partsbin.stock.acts import Who, part_of
from partsbin.stock.catalogue import shelve
from partsbin.stock.donors import Chassis, note_sitting
from partsbin.stock.instruments import accuracies
from partsbin.stock.ledger import Line, act, undo
from partsbin.stock.parts import Draft
from partsbin.stock.shelf import id_of, number_of
from partsbin.stock.stripping import Sitting, Taken
from partsbin.store.engine import reading, writing
from partsbin.store.tables import Movement, table_of


@dataclass
class Yielded:
    """What a sitting gave: each line with the part that it became, if any."""

    lines: list[tuple[int, Taken, str]] = field(default_factory=list)

    @property
    def parts(self) -> int:
        """Rows of the catalogue [-]."""
        return len({number for _, _, number in self.lines if number})

    @property
    def pieces(self) -> int:
        """Pieces shelved [-]."""
        last: dict[str, int] = {n: t.draft.count for _, t, n in self.lines if n and t.draft is not None}
        return sum(last.values())

    @property
    def doubtful(self) -> list[tuple[int, Taken, str]]:
        """Lines that were refused, are unsure, or say something that was not understood."""
        return [entry for entry in self.lines if entry[1].doubts or entry[1].kind in ("unsure", "refused")]


def strip_lines(
    connection: Connection, donor: Chassis, lines: Iterable[str], who: Who, *, place: str = "", minutes: float = 0.0
) -> Yielded:
    """Shelve what the lines of a file or a pipe say, as one act.

    Parameters
    ----------
    connection : Connection
        Inside a writing transaction.
    donor : Chassis
        Where the parts come from.
    lines : iterable of str
        A part each, see `partsbin.stock.stripping`.
    who : Who
        When, by whom, why.
    place : str
        Where they go, until a line says otherwise.
    minutes : float
        Time spent [min].

    Returns
    -------
    Yielded
        Every line with what it was taken for.
    """
    sitting, taken = Sitting(donor.code, place, accuracies(connection)), []
    drafts: list[Draft] = []
    for number, line in enumerate(lines, 1):
        found = sitting.take(line)
        at = -1
        if found.kind == "more" and found.draft is not None:
            at = len(drafts) - 1
            drafts[at] = found.draft
        elif found.draft is not None:
            at = len(drafts)
            drafts.append(found.draft)
        taken.append((number, found, at))
    ids = shelve(connection, drafts, at=who.at, by=who.by, why=who.why or f"stripped from {donor.code}")
    if drafts:
        note_sitting(connection, donor, who, minutes, len(ids))
    return Yielded([(number, found, number_of(ids[at]) if at >= 0 else "") for number, found, at in taken])


def shelve_one(connection: Connection, taken: Taken, donor: Chassis, who: Who) -> str:
    """Shelve the part of one line, an act of its own; return its number."""
    assert taken.draft is not None  # the caller asks for parts alone
    ids = shelve(connection, [taken.draft], at=who.at, by=who.by, why=who.why or f"stripped from {donor.code}")
    return number_of(ids[0])


def more_of(connection: Connection, part_id: int, draft: Draft, who: Who) -> None:
    """Bring a part that was just shelved to what a further line says of it: count, condition, note."""
    part = part_of(connection, part_id)
    now = {"rough": part.rough, "condition": part.item.condition, "note": part.row["note"]}
    then = {"rough": draft.rough, "condition": draft.condition, "note": draft.note}
    changes: dict[str, tuple[Any, Any]] = {name: (now[name], then[name]) for name in now if now[name] != then[name]}
    line = Line(part_id, "shelved", draft.count - part.on_hand, changes=changes)
    act(connection, "shelved", [line], **replace(who, why=who.why or "more of them").said())


@dataclass(frozen=True)
class Written:
    """A line that became a part, or said more of the one before.

    Parameters
    ----------
    number : str
        The part's.
    act_id : int
        The act, by which it is taken back.
    draft : Draft
        The part as the line left it.
    """

    number: str
    act_id: int
    draft: Draft


class LineByLine:
    """A sitting at the bench: each line is written as soon as it is said, an act of its own, and the last one can be taken back.

    Parameters
    ----------
    engine : Engine
        The catalogue.
    donor : Chassis
        Where the parts come from.
    place : str
        Where they go, until a line says otherwise.
    """

    def __init__(self, engine: Engine, donor: Chassis, place: str = "") -> None:
        self.engine, self.donor, self.sitting = engine, donor, Sitting(donor.code, place)
        self.written: list[Written] = []

    @property
    def parts(self) -> int:
        """Parts that the sitting gave [-]."""
        return len({entry.number for entry in self.written})

    @property
    def pieces(self) -> int:
        """Their pieces [-]."""
        return sum({entry.number: entry.draft.count for entry in self.written}.values())

    def look(self, line: str, chosen: int = 0) -> Taken:
        """Understand a line without taking it: nothing is written, the next line is read as if this one had not been."""
        return self._next().take(line, chosen=chosen)

    def _next(self) -> Sitting:
        """The sitting as the next line finds it, with the instruments as they are recorded now."""
        with reading(self.engine) as connection:
            return replace(self.sitting, accuracies=accuracies(connection))

    def take(self, line: str, who: Who, chosen: int = 0) -> tuple[Taken, str]:
        """Understand a line and write what it says; return what it was taken for, and the part's number if there is one."""
        after = self._next()
        taken, entry = after.take(line, chosen=chosen), None
        if taken.draft is not None:
            with writing(self.engine) as connection:
                if taken.kind == "more":
                    number = self.written[-1].number
                    more_of(connection, id_of(number), taken.draft, who)
                else:
                    number = shelve_one(connection, taken, self.donor, who)
                entry = Written(number, _newest_act(connection, id_of(number)), taken.draft)
        self.sitting = after  # only once it is written: a fault leaves the sitting where it was
        self.written += [entry] if entry else []
        return taken, entry.number if entry else ""

    def take_back(self, who: Who) -> Written:
        """Take the last line back that wrote something; return it.

        Raises
        ------
        RefusedError
            If nothing of this sitting is left, or what has happened since stands in the way.
        """
        if not self.written:
            raise RefusedError("nothing of this sitting is left to take back")
        last = self.written[-1]
        with writing(self.engine) as connection:
            undo(connection, at=who.at, by=who.by, act_id=last.act_id)
        self.written.pop()
        before = self.written[-1] if self.written else None
        self.sitting.last = before.draft if before and before.number == last.number else None
        return last

    def left_of(self, number: str) -> int:
        """Return the pieces of a part that the lines still standing speak of [-]."""
        return next((entry.draft.count for entry in reversed(self.written) if entry.number == number), 0)


def _newest_act(connection: Connection, part_id: int) -> int:
    table = table_of(Movement)
    return int(connection.execute(select(func.max(table.c.act_id)).where(table.c.part_id == part_id)).scalar_one())
