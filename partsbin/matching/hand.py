"""A part in the hand: judged from its description, without shelving it."""

from __future__ import annotations

from typing import Any

from partsbin.errors import UsageError
from partsbin.families import load
from partsbin.families._declare import CONDITIONS, Item, Measured
from partsbin.matching.answer import try_part
from partsbin.needs import Request
from partsbin.stock.describe import facts_from, part_fields, read_as
from partsbin.stock.readings import read_measurement


def try_text(request: Request, text: str, condition: str, readings: list[str]) -> dict[str, Any]:
    """Judge a part given in words.

    Parameters
    ----------
    request : Request
        The need.
    text : str
        The part, in trade notation.
    condition : str
        One of `CONDITIONS`; "" where nobody said: the words decide, else it is taken as new and said so.
    readings : list of str
        Measurements made on it.

    Raises
    ------
    UsageError
        If the text cannot be read, or says something impossible.
    """
    family = load(request.family)
    found = read_as(family, text)
    if not found:
        raise UsageError(
            f"{text!r} was not understood as a {family.name}",
            hint=f"partsbin read {text!r} shows how a description is read",
        )
    own, lying = part_fields(dict(found[0].fields), family)
    facts, faults = facts_from(family, own)
    if facts is None:
        raise UsageError(f"{text!r}: {'; '.join(faults)}")
    said = condition or str(lying.get("condition", ""))
    if said and said not in CONDITIONS:
        raise UsageError(f"{said!r} is not a condition", hint=f"one of {', '.join(CONDITIONS)}")
    measured = [read_measurement(family, entry) for entry in readings]
    item = Item(facts, said or "new", {r.quantity: Measured(r.value, r.uncertainty, r.conditions) for r in measured})
    answer = try_part(request, item, text.strip())
    notes = [] if said else ["the part in the hand is taken as new: --condition salvaged if it is not"]
    notes += [f"the part in the hand: {note}" for note in found[0].notes]
    if len(found) > 1:
        notes.append(f"the part in the hand: {text!r} has {len(found)} readings, the first is judged")
    answer["need"]["assumptions"] += notes
    return answer
