"""Which valve does in the socket of another: identical, drop-in, near with what changes, or never; and limits of rectifiers.

The path from one type to another runs over names of the same valve on both sides and over one row that says who may replace
whom. Rows hold in the direction in which they are written.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, lru_cache
from operator import itemgetter
from pathlib import Path
from typing import Literal, cast

from partsbin.reference.equivalents import Equivalent, Known, equivalents, type_key
from partsbin.reference.valves import valve, valves

_HERE = Path(__file__).parent
HEATER_IS_CATHODE = (4.0, 5.0)
"""Heater volts of rectifiers whose heater is the cathode or is joined to it: they want a winding of their own, from memory."""

Relation = Literal["same", "drop-in", "near", "never", ""]


@dataclass(frozen=True)
class Substitute:
    """How one valve stands to another.

    Parameters
    ----------
    relation : {"same", "drop-in", "near", "never", ""}
        Same valve; fits as it is; fits after the change in `note`; refused for the reason in `note`; nothing known.
    note : str
        What differs.
    standing : {"read", "memory"}
        How far the whole path is known.
    """

    relation: Relation
    note: str = ""
    standing: Known = "read"


@dataclass(frozen=True)
class RectifierLimits:
    """Limits that a rectifier's row of ratings does not hold.

    Parameters
    ----------
    heater_cathode_volts : float or None
        Highest volts between heater and cathode; 0 where they are one [V].
    heater_cathode_standing, series_standing : {"read", "memory"}
        How far they are known.
    series_ohm_at : tuple of (float, float)
        Volts an anode, RMS, and the least ohms in each anode at them [V], [ohm].
    """

    heater_cathode_volts: float | None
    heater_cathode_standing: Known
    series_ohm_at: tuple[tuple[float, float], ...]
    series_standing: Known

    def series_ohm(self, volts: float) -> float | None:
        """Return the least resistance in each anode at that many volts [ohm], None where nobody knows.

        Notes
        -----
        On the straight line between two rating points; below the first, its ohms; above the last, not known.
        """
        before: tuple[float, float] | None = None
        for at, ohms in self.series_ohm_at:
            if volts <= at:
                if before is None:
                    return ohms
                return before[1] + (ohms - before[1]) * (volts - before[0]) / (at - before[0])
            before = (at, ohms)
        return None


@cache
def substitute(socket: str, offered: str) -> Substitute:
    """Return how the offered valve stands to the one that the socket was made for.

    Parameters
    ----------
    socket, offered : str
        Designations, whatever their case, spaces and hyphens.

    Examples
    --------
    >>> substitute("EL84", "6bq5").relation, substitute("6L6GC", "6L6G").relation
    ('same', 'never')
    >>> substitute("5Y3GT", "GZ34").note
    'HT rises a lot: check electrolytics and output valve bias'
    """
    wanted, given = _same_as(_socket(socket)), _same_as(_name(offered))
    meet = wanted.keys() & given.keys()
    if meet:
        standing = "read" if any(wanted[key] == given[key] == "read" for key in meet) else "memory"
        note = "" if type_key(socket) == type_key(offered) else f"another name of {socket.upper()}"
        return Substitute("same", note, cast(Known, standing))
    why = _never(frozenset(wanted), frozenset(given), "any")
    if why:
        return why
    return min(_rows_between(wanted, given), key=_order, default=Substitute(""))


def never_in_chain(socket: str, offered: str) -> str:
    """Return why the offered valve, good beside others in parallel, is refused in a series chain; "" where nothing is known."""
    found = _never(frozenset(_same_as(_name(socket))), frozenset(_same_as(_name(offered))), "chain")
    return found.note if found else ""


@lru_cache(4096)
def rectifier_limits(type: str) -> RectifierLimits | None:
    """Return what is known beside the ratings of a rectifier valve, None where that is nothing."""
    for key in sorted(_same_as(_name(type))):
        if key in _limits():
            return _limits()[key]
    row = valve(type)
    if row is not None and row.is_rectifier and row.heater_volts in HEATER_IS_CATHODE:
        return RectifierLimits(0.0, "memory", (), "memory")
    return None


def is_listed(type: str) -> bool:
    """Return whether the tables hold a designation under this very name."""
    return type_key(type) in _listed()


def listed_types() -> frozenset[str]:
    """Return every designation that the tables hold, as `type_key` writes it."""
    return _listed()


def _order(found: Substitute) -> tuple[bool, bool]:
    return found.relation != "drop-in", found.standing != "read"


def _rows_between(wanted: dict[str, Known], given: dict[str, Known]) -> Iterator[Substitute]:
    rows = (row for key in wanted for row in _instead_of().get(key, ()))
    for _, a, b, row in sorted(rows, key=itemgetter(0)):
        if b in given:
            sure = wanted[a] == given[b] == row.standing == "read"
            yield Substitute(cast(Relation, row.relation), row.note, "read" if sure else "memory")


@cache
def _instead_of() -> dict[str, list[tuple[int, str, str, Equivalent]]]:
    """What may replace a valve, by its key: place in the table, both keys, the row."""
    found: dict[str, list[tuple[int, str, str, Equivalent]]] = {}
    for place, row in enumerate(equivalents()):
        if row.relation != "identical":
            key = type_key(row.type_a)
            found.setdefault(key, []).append((place, key, type_key(row.type_b), row))
    return found


def _name(text: str) -> tuple[str, Known]:
    """The key under which a designation stands in the tables, and how far that is known."""
    first = next((key for key in map(type_key, text.split("/")) if key in _listed()), "")
    if first:
        return first, "read"
    row = valve(text)
    return (type_key(row.type), "memory") if row else (type_key(text.split("/")[0]), "read")


def _socket(text: str) -> tuple[str, Known]:
    """As `_name`; one that only replaces another, as the metal 6V6 does, stands for that other when a set names it."""
    key, standing = _name(text)
    if key not in _replaceable() and (row := valve(text)) is not None:
        return type_key(row.type), "memory"
    return key, standing


@cache
def _replaceable() -> frozenset[str]:
    rows = {type_key(row.type) for row in valves()} | {type_key(row.type_a) for row in equivalents()}
    return frozenset(rows | set(_identical()))


@cache
def _listed() -> frozenset[str]:
    rows = (type_key(row.type) for row in valves())
    return frozenset(rows) | {type_key(name) for row in equivalents() for name in (row.type_a, row.type_b)}


@cache
def _identical() -> dict[str, list[tuple[str, Known]]]:
    links: dict[str, list[tuple[str, Known]]] = {}
    for row in equivalents():
        if row.relation == "identical":
            a, b = type_key(row.type_a), type_key(row.type_b)
            links.setdefault(a, []).append((b, row.standing))
            links.setdefault(b, []).append((a, row.standing))
    return links


def _same_as(start: tuple[str, Known]) -> dict[str, Known]:
    """Every name of one valve, each with how far it is known; what was read is followed first."""
    found: dict[str, Known] = {start[0]: start[1]}
    waiting = [start[0]]
    while waiting:
        here = waiting.pop(0)
        for name, standing in sorted(_identical().get(here, ()), key=lambda link: link[1] != "read"):
            if name not in found:
                found[name] = "read" if found[here] == standing == "read" else "memory"
                waiting.append(name)
    return found


def _never(wanted: frozenset[str], given: frozenset[str], where: str) -> Substitute | None:
    for a, b, row in _refused():
        if row["where"] == where and a in wanted and b in given:
            return Substitute("never", row["why"], cast(Known, row["standing"]))
    return None


@cache
def _refused() -> tuple[tuple[str, str, dict[str, str]], ...]:
    with (_HERE / "never_offer.csv").open(encoding="utf-8", newline="") as file:
        return tuple((type_key(row["type_a"]), type_key(row["type_b"]), row) for row in csv.DictReader(file))


@cache
def _limits() -> dict[str, RectifierLimits]:
    found = {}
    with (_HERE / "rectifier_limits.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            points = [pair.split(":") for pair in row["series_ohm_at"].split()]
            own = (valve(row["type"]) or valves()[0]).heater_volts in HEATER_IS_CATHODE
            volts = float(row["heater_cathode_volts"]) if row["heater_cathode_volts"] else 0.0 if own else None
            found[type_key(row["type"])] = RectifierLimits(
                volts,
                cast(Known, row["heater_cathode_standing"] or "memory"),
                tuple((float(at), float(ohms)) for at, ohms in points),
                cast(Known, row["series_standing"]),
            )
    return found
