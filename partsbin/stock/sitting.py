"""A sitting over a donor, written into the catalogue: all its lines at once, or line by line with the last one taken back."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from typing import Any

from sqlalchemy import Connection

from partsbin.stock.acts import Who, part_of
from partsbin.stock.catalogue import shelve
from partsbin.stock.donors import Chassis, note_sitting
from partsbin.stock.ledger import Line, act
from partsbin.stock.parts import Draft
from partsbin.stock.shelf import number_of
from partsbin.stock.stripping import Sitting, Taken


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
    sitting, taken = Sitting(donor.code, place), []
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
