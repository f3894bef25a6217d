"""Readings as they are said at the bench: which piece, with what, when; written down, with the drift that they show."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from typing import Any

from sqlalchemy import Connection

from partsbin.errors import RefusedError, UsageError
from partsbin.families import load
from partsbin.families._declare import INSTRUMENTS
from partsbin.notation.choices import exactly
from partsbin.stock.acts import Who, measure, part_of
from partsbin.stock.history import drift_of, readings_of_part
from partsbin.stock.instruments import accuracy_with
from partsbin.stock.readings import read_taken
from partsbin.stock.shelf import id_of, number_of


@dataclass(frozen=True)
class WrittenDown:
    """Readings that were written down.

    Parameters
    ----------
    part, title : str
        The part that has them now.
    parted_from : str
        The part that its piece was split off for them, "" if none was.
    readings : list of dict
        As of `partsbin.stock.history.readings_of_part`.
    drift : list of str
        What has moved away further than mark and meters explain.
    act_id : int
        The act.
    """

    part: str
    title: str
    parted_from: str
    readings: list[dict[str, Any]]
    drift: list[str]
    act_id: int


def write_down(
    connection: Connection,
    number: str,
    texts: Sequence[str],
    who: Who,
    *,
    pieces: int = 0,
    every: bool = False,
    instrument: str = "",
    at: datetime | None = None,
) -> WrittenDown:
    """Write down what was read on a part.

    Parameters
    ----------
    connection : Connection
        Inside a writing transaction.
    number : str
        The part.
    texts : sequence of str
        What was read: ``capacitance=21.6nF±1%``.
    who : Who
        When it is written down, by whom, why.
    pieces : int
        How many pieces it stands for; 0: one, where several lie together [-].
    every : bool
        Whether it stands for all of them.
    instrument : str
        What it was read with; its recorded accuracy is taken.
    at : datetime, optional
        When it was read, if not now.

    Raises
    ------
    RefusedError
        If there is no piece, or not as many are free.
    UsageError
        If there is no such part, or a reading cannot be read.
    """
    part = part_of(connection, id_of(number))
    if not part.on_hand:
        raise RefusedError(
            f"{part.number}: none on hand to be measured", hint="count it again if the shelf says otherwise"
        )
    instrument = exactly(instrument, INSTRUMENTS) or instrument.strip()
    accuracy = accuracy_with(connection, instrument)
    taken = read_taken(load(part.family), texts, instrument=instrument, accuracy=accuracy, at=at)
    ident, act = measure(connection, part.id, taken, who, pieces=part.on_hand if every else pieces)
    history = readings_of_part(connection, ident)
    return WrittenDown(
        number_of(ident),
        part.title,
        part.number if ident != part.id else "",
        [reading for reading in history if reading["act"] == act],
        drift_of(part.item.facts, history),
        act,
    )


def past_day(text: str, today: date) -> datetime | None:
    """Return noon of a day that is past, None for today or where none is said.

    Raises
    ------
    UsageError
        If it is no date, or still to come.

    Examples
    --------
    >>> past_day("2026-03-01", date(2026, 3, 2)), past_day("", date(2026, 3, 2))
    (datetime.datetime(2026, 3, 1, 12, 0, tzinfo=datetime.timezone.utc), None)
    """
    if not text.strip():
        return None
    try:
        day = date.fromisoformat(text.strip())
    except ValueError:
        raise UsageError(f"{text!r} is no date", hint="year, month, day: 2026-03-01") from None
    if day > today:
        raise UsageError(f"{text.strip()} is still to come: expected a day up to {today}")
    return None if day == today else datetime.combine(day, time(12), UTC)
