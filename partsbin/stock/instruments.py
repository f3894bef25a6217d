"""What the bench can measure with: recorded once in the catalogue, so that a test card asks for nothing that is not there."""

from __future__ import annotations

import json
from collections.abc import Sequence

from sqlalchemy import Connection, text

from partsbin.families._declare import INSTRUMENTS
from partsbin.notation.choices import chosen
from partsbin.store.statements import Statement

_RECORDED = Statement("SELECT value FROM meta WHERE name = 'instruments'")


def recorded(connection: Connection) -> frozenset[str] | None:
    """Return the instruments of the bench; None where nobody recorded any: then every card is shown."""
    rows = _RECORDED.rows(connection, {})
    return frozenset(json.loads(rows[0][0])) if rows else None


def record(connection: Connection, words: Sequence[str]) -> list[str]:
    """Record the instruments of the bench in place of those before.

    Parameters
    ----------
    connection : Connection
        Writing.
    words : sequence of str
        Names, as of `partsbin.families._declare.INSTRUMENTS`.

    Returns
    -------
    list of str
        What is recorded now.

    Raises
    ------
    UsageError
        If a word is no instrument that a card asks for.
    """
    have = sorted({chosen(word, INSTRUMENTS, "instrument") for word in words}, key=INSTRUMENTS.index)
    connection.execute(text("DELETE FROM meta WHERE name = 'instruments'"))
    connection.execute(
        text("INSERT INTO meta (name, value) VALUES ('instruments', :value)"), {"value": json.dumps(have)}
    )
    return have
