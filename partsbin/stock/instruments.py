"""What the bench can measure with, and how well: recorded once in the catalogue; a test card asks for nothing else."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from sqlalchemy import Connection, text

from partsbin.families._declare import INSTRUMENTS
from partsbin.notation.choices import chosen, exactly
from partsbin.store.statements import Statement

_RECORDED = Statement("SELECT value FROM meta WHERE name = 'instruments'")
_ACCURACIES = Statement("SELECT value FROM meta WHERE name = 'accuracies'")


def recorded(connection: Connection) -> frozenset[str] | None:
    """Return the instruments of the bench; None where nobody recorded any: then every card is shown."""
    rows = _RECORDED.rows(connection, {})
    return frozenset(json.loads(rows[0][0])) if rows else None


def accuracies(connection: Connection) -> dict[str, str]:
    """Return the accuracy of each instrument that has one recorded: ``{"meter": "0.8%+3d"}``."""
    rows = _ACCURACIES.rows(connection, {})
    return dict(json.loads(rows[0][0])) if rows else {}


def accuracy_with(connection: Connection, instrument: str) -> str:
    """Return the accuracy recorded for what a reading was taken with, "" for an instrument of which none is known."""
    return accuracies(connection).get(exactly(instrument, INSTRUMENTS), "")


def record(connection: Connection, words: Sequence[str]) -> list[str]:
    """Record the instruments of the bench in place of those before.

    Parameters
    ----------
    connection : Connection
        Writing.
    words : sequence of str
        Names, as of `partsbin.families._declare.INSTRUMENTS`; ``meter=0.8%+3d`` says an accuracy too, ``meter=`` forgets it.
        One that was said before stands for an instrument that stays.

    Returns
    -------
    list of str
        What is recorded now.

    Raises
    ------
    UsageError
        If a word is no instrument that a card asks for, or its accuracy cannot be read.
    """
    from partsbin.stock.readings import accuracy_of  # a search looks at what is recorded, and reads none

    known = accuracies(connection)
    said: dict[str, str] = {}
    for word in words:
        name, given, accuracy = word.partition("=")
        instrument = chosen(name, INSTRUMENTS, "instrument")
        if given:
            said[instrument] = accuracy_of(accuracy) if accuracy.strip() else ""
        else:
            said.setdefault(instrument, known.get(instrument, ""))
    have = sorted(said, key=INSTRUMENTS.index)
    _keep(connection, "instruments", have)
    _keep(connection, "accuracies", {name: said[name] for name in have if said[name]})
    return have


def _keep(connection: Connection, name: str, value: Any) -> None:
    connection.execute(text("DELETE FROM meta WHERE name = :name"), {"name": name})
    connection.execute(
        text("INSERT INTO meta (name, value) VALUES (:name, :value)"), {"name": name, "value": json.dumps(value)}
    )
