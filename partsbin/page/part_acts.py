"""What is done to a part from its page: each returns the part that the page goes on with, and what is said of it."""

from __future__ import annotations

import re

from sqlalchemy import Connection

from partsbin.errors import RefusedError, UsageError
from partsbin.page.desk import Form
from partsbin.page.fields import count_of
from partsbin.stock.acts import Who, move, part_of, scrap
from partsbin.stock.counting import MOST, count
from partsbin.stock.history import job_code, last_standing
from partsbin.stock.ledger import undo
from partsbin.stock.marking import mark
from partsbin.stock.measuring import past_day, write_down
from partsbin.stock.portrait import said_reading
from partsbin.stock.shelf import id_of, number_of

_COUNTED = re.compile(r"(about|ca\.?|~)?\s*(\d{1,9})", re.IGNORECASE)


def counted(text: str) -> tuple[int, bool]:
    """Return what was counted, and whether it is only about right.

    Raises
    ------
    UsageError
        If it is no count.

    Examples
    --------
    >>> counted("12"), counted("about 50")
    ((12, False), (50, True))
    """
    match = _COUNTED.fullmatch(text.strip())
    if match is None or int(match[2]) > MOST:
        raise UsageError(f"{text[:40]!r} is no count: expected 0 to {MOST}", hint="12, or about 50")
    return int(match[2]), bool(match[1])


def reading_said(form: Form) -> str:
    """Return a reading as it is written: the figure alone, or behind the number of a section, ``@2=255k``."""
    name, value = form.get("reading", ""), form.get("value", "").strip()
    return f"{name}{value}" if re.match(r"@\d+\s*=", value) else f"{name}={value}"


def _read(connection: Connection, number: str, form: Form, who: Who) -> tuple[str, str]:
    said = reading_said(form)
    at = past_day(form.get("on", ""), who.at.date())
    every, pieces = form.get("stands") == "every", count_of(form.get("pieces", ""), least=0)
    done = write_down(
        connection, number, [said], who, pieces=pieces, every=every, instrument=form.get("instrument", ""), at=at
    )
    split = f", split off {done.parted_from}" if done.parted_from else ""
    return done.part, "; ".join([f"{done.part}{split}", *map(said_reading, done.readings), *done.drift])


def _move(connection: Connection, number: str, form: Form, who: Who) -> tuple[str, str]:
    place = form.get("place", "").strip()
    if not place:
        raise UsageError("no place was said", hint="such as drawer C3")
    ident, _ = move(connection, id_of(number), place, who, pieces=count_of(form.get("pieces", ""), least=0))
    part = part_of(connection, ident)
    split = f", split off {number_of(id_of(number))}" if ident != id_of(number) else ""
    return part.number, f"{part.number}: {part.on_hand} in {part.place}{split}"


def _mark(connection: Connection, number: str, form: Form, who: Who) -> tuple[str, str]:
    _, notes = mark(connection, id_of(number), form.get("text", ""), who, correct=form.get("correct") == "yes")
    part = part_of(connection, id_of(number))
    return part.number, "; ".join([f"{part.number} is marked: {part.title}", *notes])


def _count(connection: Connection, number: str, form: Form, who: Who) -> tuple[str, str]:
    ((done,), _) = count(connection, {id_of(number): counted(form.get("count", ""))}, who.because("counted"))
    off = f"{done.difference:+d}" if done.difference else "as the ledger says"
    gone = [
        f"{n} set aside for {job_code(job) if job else 'no job'} let go: not there" for job, n in done.let_go.items()
    ]
    return number, "; ".join([f"{number_of(done.part_id)}: {'about ' if done.rough else ''}{done.now}, {off}", *gone])


def _scrap(connection: Connection, number: str, form: Form, who: Who) -> tuple[str, str]:
    pieces = count_of(form.get("pieces", ""))
    scrap(connection, id_of(number), pieces, who)
    part = part_of(connection, id_of(number))
    return part.number, f"{part.number}: {pieces} scrapped, {part.on_hand} left"


def _back(connection: Connection, number: str, form: Form, who: Who) -> tuple[str, str]:
    last = last_standing(connection, id_of(number))
    if last is None or form.get("undo", "") != str(last["act"]):
        raise RefusedError(f"that act is not the last one on {number_of(id_of(number))} that can be taken back here")
    done = undo(connection, at=who.at, by=who.by, act_id=last["act"])
    left = part_of(connection, id_of(number))
    goes = left.row["parted_from_id"] if not left.on_hand and left.row["parted_from_id"] in done.parts else left.id
    return number_of(goes), f"taken back: {done.word} {', '.join(map(number_of, done.parts))}"


ACTS = {"read": _read, "move": _move, "mark": _mark, "count": _count, "scrap": _scrap, "back": _back}
"""By the last word of the form's address."""
