"""Which labels are wanted: of parts by number, place, donor or day, and of places by name."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import ColumnElement, Connection, exists, func, select

from partsbin.errors import UsageError
from partsbin.labels.codes import code_of_part, code_of_place
from partsbin.labels.sheets import Label
from partsbin.stock.shelf import id_of, number_of
from partsbin.store.statements import MOST_IDS
from partsbin.store.tables import Act, Donor, Movement, Part, Place, table_of

ARRIVED = ("shelved", "bought", "parted")
"""Movements that bring pieces under a number: from outside, or split off another part."""

_PART, _PLACE, _DONOR, _ACT, _MOVEMENT = (table_of(model) for model in (Part, Place, Donor, Act, Movement))
_HERE = (_PART.c.origin == "shelf") & (_PART.c.on_hand > 0)


def by_number(connection: Connection, numbers: Sequence[str]) -> list[Label]:
    """Return labels of parts, in the order of their numbers as given, a number twice for two labels.

    Raises
    ------
    UsageError
        If a text is no number, or there is no such part.
    """
    ids = [id_of(number) for number in numbers]
    found: dict[int, Label] = {}
    for start in range(0, len(ids), MOST_IDS):
        found |= _parts(connection, _PART.c.id.in_(ids[start : start + MOST_IDS]))
    lacking = [number_of(ident) for ident in dict.fromkeys(ids) if ident not in found]
    if lacking:
        raise UsageError(
            f"no part {', '.join(lacking[:10])}{'' if len(lacking) <= 10 else f' and {len(lacking) - 10} more'}"
        )
    return [found[ident] for ident in ids]


def lying_in(connection: Connection, place: str) -> list[Label]:
    """Return labels of the parts on hand in a place.

    Raises
    ------
    UsageError
        If there is no such place.
    """
    name = _known(place, "place", _names(connection, _PLACE.c.name))
    return [*_parts(connection, _HERE & (_PLACE.c.name == name)).values()]


def from_donor(connection: Connection, code: str) -> list[Label]:
    """Return labels of the parts on hand that came from a donor.

    Raises
    ------
    UsageError
        If there is no such donor.
    """
    name = _known(code, "donor", _names(connection, _DONOR.c.code))
    return [*_parts(connection, _HERE & (_DONOR.c.code == name)).values()]


def arrived(connection: Connection, since: datetime, until: datetime) -> list[Label]:
    """Return labels of the parts on hand that got their number, or more pieces, in a span of time.

    Parameters
    ----------
    connection : Connection
        To the catalogue.
    since, until : datetime
        With their zone; the second is not of the span.
    """
    came = (
        select(_MOVEMENT.c.part_id)
        .join(_ACT, _ACT.c.id == _MOVEMENT.c.act_id)
        .where(_MOVEMENT.c.word.in_(ARRIVED), _MOVEMENT.c.quantity > 0, _ACT.c.reverses_id.is_(None))
        .where(
            _ACT.c.at >= since.astimezone(UTC), _ACT.c.at < until.astimezone(UTC)
        )  # some versions of the toolkit drop the zone
    )
    return [*_parts(connection, _HERE & _PART.c.id.in_(came)).values()]


def of_places(connection: Connection, names: Sequence[str]) -> tuple[list[Label], list[str]]:
    """Return labels of places by name, and notes on those where no part lies: a new drawer is labelled before it is filled.

    Raises
    ------
    UsageError
        If a name says nothing.
    """
    known, labels, notes = _names(connection, _PLACE.c.name), [], []
    for name in names:
        if not name.strip():
            raise UsageError(f"{name!r} names no place", hint='such as "drawer C2"')
        meant = _meant(name, known)
        if not meant:
            near = _near(name, known)
            notes.append(f"no part lies in {name!r}{f': is {near!r} meant?' if near else ''}")
        labels.append(_of_place(meant or name))
    return labels, notes


def every_place(connection: Connection) -> list[Label]:
    """Return labels of all places where something lies, by name."""
    filled = exists().where(_PART.c.place_id == _PLACE.c.id, _HERE)
    return [_of_place(name) for name in connection.scalars(select(_PLACE.c.name).where(filled).order_by(_PLACE.c.name))]


def _of_place(name: str) -> Label:
    return Label(code_of_place(name), name)


def _parts(connection: Connection, which: ColumnElement[bool]) -> dict[int, Label]:
    """Return labels by id, in the order of ids."""
    query: Any = (
        select(_PART.c.id, _PART.c.title, func.coalesce(_PLACE.c.name, ""))
        .select_from(_PART)
        .join(_PLACE, _PLACE.c.id == _PART.c.place_id, isouter=True)
        .join(_DONOR, _DONOR.c.id == _PART.c.donor_id, isouter=True)
        .where(which)
        .order_by(_PART.c.id)
    )
    return {ident: _of_part(number_of(ident), title, place) for ident, title, place in connection.execute(query)}


def _of_part(number: str, title: str, place: str) -> Label:
    return Label(code_of_part(number), title, (number, place) if place else (number,))


def _names(connection: Connection, column: ColumnElement[str]) -> list[str]:
    return list(connection.scalars(select(column).order_by(column)))


def _known(name: str, what: str, known: Sequence[str]) -> str:
    """Return the name as it is kept, however its letters were typed."""
    if meant := _meant(name, known):
        return meant
    near = _near(name, known)
    raise UsageError(f"no {what} {name!r}", hint=f"did you mean {near!r}?" if near else "")


def _meant(name: str, known: Sequence[str]) -> str:
    """Return the name that is kept: as typed, else the only one that differs in blanks and capitals."""
    if name in known:
        return name
    alike = [word for word in known if _folded(word) == _folded(name)]
    return alike[0] if len(alike) == 1 else ""


def _folded(name: str) -> str:
    return " ".join(name.casefold().split())


def _near(name: str, known: Iterable[str]) -> str:
    from rapidfuzz import process

    found = process.extractOne(name[:100].casefold(), {word: word.casefold() for word in known}, score_cutoff=70)
    return str(found[2]) if found else ""
