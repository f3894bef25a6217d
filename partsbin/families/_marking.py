"""The dead part's marking, read for a need: nothing in it is guessed without a line among the assumptions."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache
from typing import Any

from partsbin.families._stress import Draft
from partsbin.needs import Request
from partsbin.notation.reading import NOT_UNDERSTOOD, Reading


@lru_cache(maxsize=256)  # a question that is weighed builds the need again, with the same marking
def _readings(read: Callable[[str], Sequence[Reading]], text: str) -> tuple[Reading, ...]:
    return tuple(read(text))


def marking(
    request: Request, draft: Draft, read: Callable[[str], Sequence[Reading]], say: Callable[[dict[str, Any]], str]
) -> dict[str, Any]:
    """Return the fields of the dead part: from the text, else the fact `original`, then fields given by name.

    Parameters
    ----------
    request : Request
        What the repairer said.
    draft : Draft
        Takes the assumptions.
    read : callable
        The family's reader.
    say : callable
        Words for the fields of one reading, to name the others.
    """
    text = request.text or request.facts.text("original")
    readings = _readings(read, text) if text.strip() else ()
    if text.strip() and not any(reading.fields for reading in readings):
        draft.assume(f"the dead part: {NOT_UNDERSTOOD}{text!r}")
        return dict(request.fields)
    fields = dict(readings[0].fields) if readings else {}
    if len(readings) > 1:
        others = " or ".join(say(dict(reading.fields)) for reading in readings[1:])
        draft.assume(f"the dead part's {text!r} read as {say(fields)}; it may also mean {others}", *unknown(readings))
    elif readings:
        draft.assume(*(f"the dead part: {note}" for note in readings[0].told()))
    return {**fields, **request.fields}


def unknown(readings: Sequence[Reading]) -> list[str]:
    """Return what of the dead part's marking no reading understood, as a line among the assumptions; nothing where all was."""
    if not readings or any(not reading.rest for reading in readings):
        return []
    return [f"the dead part: {NOT_UNDERSTOOD}{readings[0].rest!r}"]


def dead_part(request: Request) -> str:
    """Return the dead part's marking as it stands in a headline, "" where nobody gave one."""
    text = request.text or request.facts.text("original")
    return f" (dead part: {text.strip()})" if text.strip() else ""
