"""More of what is printed on a part, written down later: by a line of trade notation, as an act that can be taken back."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Connection

from partsbin.errors import RefusedError, UsageError
from partsbin.families import Family, load
from partsbin.families._declare import Facts
from partsbin.notation.reading import Reading
from partsbin.stock.acts import Who, part_of
from partsbin.stock.describe import facts_from, part_fields, read_as, refuse_broken
from partsbin.stock.ledger import FACTS, Done, Line, act
from partsbin.stock.shelf import Shelved
from partsbin.words import listed


def mark(connection: Connection, part_id: int, text: str, who: Who, *, correct: bool = False) -> tuple[Done, list[str]]:
    """Write down what else is printed on a part.

    Parameters
    ----------
    connection : Connection
        Inside a writing transaction.
    part_id : int
        The part.
    text : str
        What it says, in trade notation.
    who : Who
        When, by whom, why.
    correct : bool
        Whether what is known already may be written over.

    Returns
    -------
    (Done, list of str)
        The act, and what was assumed in reading the text.

    Raises
    ------
    UsageError
        If the text cannot be read, or says something impossible.
    RefusedError
        If it has several readings, says nothing new, calls the part broken, or contradicts what is known.
    """
    part = part_of(connection, part_id)
    family, found = load(part.family), read_mark(part, text)
    alone, faults = facts_from(family, part_fields(dict(found.fields), family)[0])
    if alone is None:
        raise UsageError(f"{text!r}: {'; '.join(faults)}")
    before = _plain(part.item.facts)
    said = {name: value if correct else _joined(before.get(name), value) for name, value in _plain(alone).items()}
    fresh = {name: value for name, value in said.items() if not _same(before.get(name), value)}
    against = [name for name, value in fresh.items() if before.get(name) and not _says_more(before[name], value)]
    if not fresh:
        raise RefusedError(f"{part.number}: {text!r} says nothing that is not known")
    if against and not correct:
        named, verb = listed([name.replace("_", " ") for name in against], "and"), "are" if len(against) > 1 else "is"
        raise RefusedError(
            f"{part.number}: {text!r} contradicts the {named} that {verb} known",
            hint="--correct writes over it",
        )
    facts, faults = facts_from(family, {**before, **fresh})
    if facts is None:
        raise UsageError(f"{text!r}: {'; '.join(faults)}")
    changes: dict[str, tuple[Any, Any]] = {FACTS: (before, _plain(facts))}
    if part.title == family.title(part.item.facts):  # a title of the owner's own stands
        changes["title"] = (part.title, family.title(facts))
    done = act(connection, "marked", [Line(part_id, "marked", changes=changes)], **who.said())
    rest = [f"not understood: {found.rest!r}"] if found.rest else []
    return done, [*found.notes, *rest]


def read_mark(part: Shelved, text: str) -> Reading:
    """Return how what is printed on a part is read; a rating alone is read behind the value that the part is known by.

    Raises
    ------
    UsageError
        If it cannot be read.
    RefusedError
        If it has several readings, or calls the part broken.
    """
    family = load(part.family)
    found = read_as(family, text)
    if not found and (value := _value_alone(family, part.item.facts)):
        found = [reading for reading in read_as(family, f"{value} {text}") if not reading.rest]
    if not found:
        raise UsageError(
            f"{text!r} was not understood as a {family.name}", hint=f"partsbin read {text!r} shows how it is read"
        )
    refuse_broken(text, found)
    if len(found) > 1:
        raise RefusedError(
            f"{text!r} has {len(found)} readings", hint=f"write it plainly; partsbin read {text!r} shows them"
        )
    return found[0]


def _value_alone(family: Family, facts: Facts) -> str:
    """What the part is known by, its first fact, in words: a rating alone says nothing until a value stands before it."""
    name, value = next(iter(_plain(facts).items()), ("", None))
    return family.title(family.facts.model_validate({name: value})) if isinstance(value, float | str) else ""


def _joined(known: Any, said: Any) -> Any:
    """Rows of a list that was known, and those that are said beside them: a primary beside the windings of before."""
    if not _are_rows(known) or not _are_rows(said):
        return said
    rows = {row.get("name", str(at)): row for at, row in enumerate(known)}
    for at, row in enumerate(said):
        name = row.get("name", str(at))
        rows[name] = {**rows.get(name, {}), **row}
    return list(rows.values())


def _are_rows(value: Any) -> bool:
    return isinstance(value, list) and all(isinstance(row, dict) for row in value)


def _says_more(known: Any, said: Any) -> bool:
    """Whether the same is said more exactly: polyester where film was known; further rows, or figures that a row lacked."""
    if _are_rows(known) and _are_rows(said):
        return all(
            any(all(_same(value, row.get(name)) for name, value in old.items()) for row in said) for old in known
        )
    return isinstance(known, str) and isinstance(said, str) and said.startswith(f"{known}-")


def _plain(facts: Facts) -> dict[str, Any]:
    """Facts as JSON holds them, the unknown ones left out."""
    return {name: value for name, value in facts.model_dump(exclude_none=True, mode="json").items() if value != []}


def _same(known: Any, said: Any) -> bool:
    if isinstance(known, float) and isinstance(said, (int, float)):
        return abs(known - said) <= 1e-9 * abs(known)
    return bool(known == said)
