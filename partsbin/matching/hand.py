"""A part in the hand: judged from its description, without shelving it."""

from __future__ import annotations

from typing import Any

from partsbin.errors import UsageError
from partsbin.families import Family, load
from partsbin.families._declare import Item, Measured
from partsbin.matching.answer import try_parts
from partsbin.needs import Request
from partsbin.notation.reading import Reading
from partsbin.stock.describe import facts_from, part_fields, read_as, refuse_broken
from partsbin.stock.draft import condition_named
from partsbin.stock.readings import read_measurement

UNREAD = "not understood"
"""Begins the line on words that nothing took; a reading's own note on the numbers among them begins alike."""


def try_text(request: Request, text: str, condition: str, readings: list[str]) -> dict[str, Any]:
    """Judge a part given in words.

    Parameters
    ----------
    request : Request
        The need.
    text : str
        The part, in trade notation.
    condition : str
        As a person says it; "" where nobody said: the words decide, else it is taken as new and said so.
    readings : list of str
        Measurements made on it.

    Raises
    ------
    UsageError
        If the text cannot be read, or says something impossible.
    RefusedError
        If the words say that the part is broken.
    """
    family, condition = load(request.family), condition_named(condition)
    found = read_as(family, text) or read_as(family, f"{family.name} {text}")  # "80" is a valve where one is asked for
    if not found:
        raise UsageError(
            f"{text!r} was not understood as a {family.name}",
            hint=f"partsbin read {text!r} shows how a description is read",
        )
    refuse_broken(text, found)
    measured = [read_measurement(family, entry) for entry in readings]
    taken = {r.quantity: Measured(r.value, r.uncertainty, r.conditions) for r in measured}
    parts = [_part(family, text.strip(), reading, condition, taken, len(found) > 1) for reading in found]
    answer = try_parts(request, parts)
    answer["need"]["assumptions"] += _assumed(text, condition, found)
    return answer


def _part(
    family: Family, text: str, reading: Reading, condition: str, readings: dict[str, Measured], several: bool
) -> tuple[Item, str]:
    own, lying = part_fields(dict(reading.fields), family)
    facts, faults = facts_from(family, own)
    if facts is None:
        raise UsageError(f"{text!r}: {'; '.join(faults)}")
    said = "salvaged" if reading.wear else condition or str(lying.get("condition", ""))
    title = f"{text}, read as {family.title(facts)}" if several else text
    return Item(facts, said or "new", readings, marking=text), title


def _assumed(text: str, condition: str, found: list[Reading]) -> list[str]:
    unsaid = not condition and not any(reading.fields.get("condition") for reading in found)
    notes = ["the part in the hand is taken as new: --condition salvaged if it is not"] if unsaid else []
    said = [note for reading in found for note in reading.notes if not note.startswith(UNREAD)]
    notes += [f"the part in the hand: {note}" for note in said]
    notes += [f"{UNREAD}: {reading.rest!r}" for reading in found if reading.rest]
    if len(found) > 1:
        notes.append(f"{text!r} has {len(found)} readings: each is judged, look at the part to know which holds")
    return list(dict.fromkeys(notes))
