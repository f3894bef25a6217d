"""A part from one line of trade notation."""

from __future__ import annotations

from partsbin.errors import RefusedError, UsageError
from partsbin.families import load, named
from partsbin.families._declare import CONDITIONS
from partsbin.notation.choices import folded
from partsbin.notation.condition import state_of
from partsbin.notation.scan import phrase_key
from partsbin.notation.vocabulary import CONDITION
from partsbin.stock.describe import broken, facts_from, part_fields, readings_of, refuse_broken
from partsbin.stock.parts import Draft
from partsbin.stock.readings import read_measurement


def condition_named(text: str) -> str:
    """Return the condition that a person means by a word, "" where nothing was said.

    Raises
    ------
    UsageError
        If it is none: a part that is neither new nor plainly used is not taken for either.
    RefusedError
        If it says that the part is broken.

    Examples
    --------
    >>> condition_named("NOS"), condition_named("ex equipment"), condition_named("Unused Old")
    ('unused-old', 'salvaged', 'unused-old')
    """
    word = folded(text)
    if not word or word in CONDITIONS:
        return word
    known = CONDITION.get(phrase_key(word), ("", ""))
    if known[0] == "origin":
        return "salvaged"
    if known[0] == "damage":
        raise RefusedError(f"{text!r}: {broken(word)}", hint=f"a part that is whole is one of {', '.join(CONDITIONS)}")
    if known[0] != "condition":
        raise UsageError(
            f"{text!r} is not a condition", hint=f"one of {', '.join(CONDITIONS)}; NOS and used are understood too"
        )
    return str(known[1])


def draft_from_text(
    text: str,
    *,
    family: str = "",
    count: int = 1,
    rough: bool = False,
    condition: str = "",
    place: str = "",
    donor: str = "",
    donor_lineup: str = "",
    title: str = "",
    note: str = "",
    readings: list[str] | None = None,
) -> tuple[Draft, list[str]]:
    """Read one line into a part.

    Parameters
    ----------
    text : str
        The part, in trade notation.
    family, condition, place, donor, donor_lineup, title, note : str
        What was said beside it.
    count : int
        How many; a count in the text stands where this is 1.
    rough : bool
        Whether the count is only about right.
    readings : list of str
        Measurements.

    Returns
    -------
    (Draft, list of str)
        The part, and what was assumed in reading it.

    Raises
    ------
    RefusedError
        If the text has several readings or none, or calls the part broken.
    UsageError
        If it says something impossible.
    """
    condition = condition_named(condition)
    found = readings_of(text, named(family) if family else "")
    if not found:
        raise RefusedError(f"{text!r} was not understood", hint="name its --family, or write it as partsbin read shows")
    refuse_broken(text, found)
    if len(found) > 1:
        raise RefusedError(
            f"{text!r} has {len(found)} readings", hint=f"write it plainly; partsbin read {text!r} shows them"
        )
    reading = found[0]
    if damage := ", ".join(state_of(note, reading.family).damage):
        raise RefusedError(f"{note!r}: {broken(damage)}", hint="leave the word out of the note if the part is whole")
    kind = load(reading.family)
    own, lying = part_fields(dict(reading.fields), kind)
    facts, faults = facts_from(kind, own)
    if facts is None:
        raise UsageError(f"{text!r}: {'; '.join(faults)}")
    said = "salvaged" if reading.wear else condition or str(lying.get("condition", ""))
    doubts = reading.told()
    if not said:
        doubts.append("condition not given: judged like a used part")
    measured = tuple(read_measurement(kind, entry) for entry in readings or [])
    pieces = count if count != 1 else int(lying.get("count", 1))
    return Draft(
        kind.name,
        facts,
        title or kind.title(facts),
        said,
        pieces,
        rough,
        marking=text,
        place=place or str(lying.get("place", "")),
        donor=donor or str(lying.get("donor", "")),
        note=note,
        readings=measured,
        donor_lineup=donor_lineup,
    ), doubts
