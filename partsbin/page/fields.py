"""What the fields of a form say, as the services want it."""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Callable, Sequence
from urllib.parse import urlencode

from sqlalchemy import Connection

from partsbin.errors import RefusedError, UsageError
from partsbin.page.desk import Form, last_act, refuse_stale

MOST = 1_000_000
"""Pieces that a form speaks of, at most [-]."""

HIGHEST = 999_999_999
"""Number of an act, a rule or a need that a form may name, at most [-]."""

SET = "set."
"""What begins the names of fields that are facts of the set."""


def count_of(text: str, *, least: int = 1) -> int:
    """Return a number of pieces; nothing said is the least.

    Raises
    ------
    UsageError
        If it is none.
    """
    said = text.strip()
    if not said:
        return least
    if not re.fullmatch(r"[0-9]{1,7}", said) or not least <= int(said) <= MOST:
        raise UsageError(f"{text[:40]!r} is no number of pieces: expected {least} to {MOST}")
    return int(said)


def number_said(text: str, what: str) -> int:
    """Return the number of something that an address or a form names, 0 where it names none.

    Raises
    ------
    UsageError
        If it is none.
    """
    said = text.strip()
    if not said:
        return 0
    if not re.fullmatch(r"[0-9]{1,9}", said):
        raise UsageError(f"{text[:40]!r} is no number of {what}: expected 1 to {HIGHEST}")
    return int(said)


def line_of(text: str) -> int:
    """Return how many lines of a list stand before the page that an address asks for; nothing said is none.

    Raises
    ------
    UsageError
        If it is no number.
    """
    said = text.strip()
    if not re.fullmatch(r"[0-9]{0,9}", said):
        raise UsageError(f"{text[:40]!r} is no line of a list: expected 0 to {HIGHEST}")
    return int(said or 0)


def word_for(said: object) -> str:
    """Return a word for how something stands; a form carries it as `seen`, and another word means that it has changed."""
    return hashlib.sha256(json.dumps(said, sort_keys=True).encode()).hexdigest()[:16]


def facts_of(form: Form) -> list[str]:
    """Return the facts of the set that a form says, ``KEY=VALUE``."""
    return [f"{name.removeprefix(SET)}={text}" for name, text in form.items() if name.startswith(SET) and text.strip()]


def typed_facts(text: str) -> list[str]:
    """Return facts typed in one field, a line or a semicolon between them: ``rail=248; chassis=earthed``."""
    return [said.strip() for said in re.split(r"[;\n]", text) if said.strip()]


def kept(form: Form, names: Sequence[str]) -> Form:
    """Return what of a form goes on to the next page: these fields and the facts of the set, where something was said."""
    return {name: text for name, text in form.items() if text and (name in names or name.startswith(SET))}


def address(path: str, fields: Form) -> str:
    """Return an address with its fields."""
    return f"{path}?{urlencode(fields)}" if fields else path


def parts_named(text: str) -> list[int]:
    """Return the ids of parts named in one field, a blank between them; one twice is two pieces of it."""
    from partsbin.stock.shelf import id_of  # loads the families, which the first page does without

    return [id_of(number) for number in text.split()[:20]]


def seen_of(connection: Connection, part_ids: Sequence[int]) -> str:
    """Return the last act on each of some parts, for the form that shows them."""
    return " ".join(str(last_act(connection, ident)) for ident in dict.fromkeys(part_ids))


def refuse_stale_parts(connection: Connection, part_ids: Sequence[int], seen: str) -> None:
    """Refuse a form that shows any of some parts as it was before somebody else's act."""
    shown = [*seen.split(), ""]
    for at, ident in enumerate(dict.fromkeys(part_ids)):
        refuse_stale(connection, ident, shown[min(at, len(shown) - 1)])


def refuse_other(shown: str, now: Callable[[], str], what: str) -> None:
    """Refuse a form that shows something as it no longer is.

    Raises
    ------
    RefusedError
        If it is not as the form shows it.
    """
    if shown != now():
        raise RefusedError(
            f"{what} has changed since the page was shown; nothing was written",
            hint="look at it as it is now, then say it again",
        )
