"""What a row says of the part as it lies: condition, how many, where, from what, what was measured on it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import lru_cache
from typing import Any

from partsbin.errors import NotationError, PartsbinError, RefusedError
from partsbin.families import Family
from partsbin.families._declare import CONDITIONS
from partsbin.notation.condition import state_of
from partsbin.stock.counted import read_count
from partsbin.stock.describe import broken
from partsbin.stock.draft import condition_named
from partsbin.stock.parts import NewReading
from partsbin.stock.readings import read_measurements
from partsbin.stock.row import Fault, Row, json_list

LYING = frozenset({
    "part", "title", "count", "condition", "place", "donor", "donor_lineup", "marking", "maker", "date_code", "year", "lead_style",
    "note", "readings",
})  # fmt: skip
"""Columns that speak of the part as it lies, not of what it is."""


_FOUR = re.compile(r"(?<!\d)(?:19|20)\d\d(?!\d|s)")
_SOUND = frozenset(
    {
        "ok",
        "o.k",
        "okay",
        "good",
        "fine",
        "working",
        "works",
        "tested",
        "tested ok",
        "gut",
        "geprüft",
        "in ordnung",
        "i.o",
    }
)
"""Words that call a part whole, and say nothing of where it comes from."""


def common_of(
    row: Row, family: Family | None, lying: Mapping[str, Any], text: str
) -> tuple[dict[str, Any], list[str], list[Fault]]:
    """Read what every part has, condition, count, place and the rest: fields of a draft, what is doubtful in them, faults.

    Parameters
    ----------
    row : Row
        The row.
    family : Family, optional
        Whose quantities may have been measured; without it readings are left alone.
    lying : dict
        What the description said of the part as it lies; a column of its own stands before it, but for a part that is called worn.
    text : str
        What the row says, for a part of which no marking is written.
    """
    cell = row.cell
    count, rough, notes, faults = _count(row.figure("count"), lying)
    if row.cell("count") and int(lying.get("count", 1)) > 1:
        notes.append(f"{text!r} holds a count, and so does its column, which is taken: look whether it means sections")
    condition, year, note = cell("condition"), cell("year"), cell("note")
    if condition:
        said = "" if condition.lower().strip(" .!") in _SOUND else condition
        condition = said
        condition, unknown = _condition(condition)
        if unknown and unknown[0].code == "CSV-CONDITION" and not row.mapping.own:
            notes.append(f"{said!r} is not a condition: kept as a note, judged like a used part")
            note, unknown = "; ".join(filter(None, (note, said))), ()
        faults += unknown
    worn = bool(lying.get("worn"))
    dated = cell("date_code")
    if year and not row.mapping.own and not _whole(year) and re.search("[0-9]", year):
        dated, year = dated or year, next(iter(_FOUR.findall(year)), "")
    if year and not (_whole(year) and 1900 <= int(year) <= 2100):
        faults.append(Fault("CSV-YEAR", "year", f"{year!r} is no year", "four figures from 1900 to 2100"))
    readings, wrong = _readings(cell("readings"), family)
    return (
        {
            "title": cell("title"),
            "condition": "salvaged" if worn and condition else condition or str(lying.get("condition", "")),
            "count": count,
            "rough": rough,
            "marking": cell("marking") or text,
            "place": cell("place") or str(lying.get("place", "")),
            "donor": cell("donor") or str(lying.get("donor", "")),
            "donor_lineup": cell("donor_lineup"),
            "maker": cell("maker"),
            "date_code": dated,
            "year": _whole(year) if year else None,
            "lead_style": cell("lead_style"),
            "note": note,
            "readings": readings,
        },
        notes,
        [*faults, *wrong],
    )


@lru_cache(1024)
def _condition(text: str) -> tuple[str, tuple[Fault, ...]]:
    try:
        return condition_named(text), ()
    except RefusedError as fault:
        return "", (Fault("CSV-BROKEN", "condition", fault.message, fault.hint),)
    except PartsbinError:
        if damage := ", ".join(state_of(text).damage):
            return "", (Fault("CSV-BROKEN", "condition", f"{text!r}: {broken(damage)}"),)
        hint = f"one of {', '.join(CONDITIONS)}"
        return "", (Fault("CSV-CONDITION", "condition", f"{text!r} is not a condition", hint),)


def _count(text: str, lying: Mapping[str, Any]) -> tuple[int, bool, list[str], list[Fault]]:
    if not text:
        return int(lying.get("count", 1)), False, [], []
    found = read_count(text)
    if found.many is None:
        return 0, found.rough, [], [Fault("CSV-COUNT", "count", f"{text!r} is no count", "a whole number, or about 50")]
    return found.many, found.rough, [found.note] if found.note else [], []


def _whole(text: str) -> int | None:
    """A whole number in plain figures; more than nine of them count nothing on a shelf."""
    return int(text) if text.isascii() and text.isdecimal() and len(text) <= 9 else None


def _readings(text: str, family: Family | None) -> tuple[tuple[NewReading, ...], list[Fault]]:
    if not text or family is None:
        return (), []
    try:
        return tuple(_measured(text, family) if text.startswith("[") else read_measurements(family, text)), []
    except PartsbinError as fault:
        return (), [Fault("CSV-READING", "readings", fault.message, fault.hint)]


def _measured(text: str, family: Family) -> Iterator[NewReading]:
    """Readings as an export writes those that have more figures than a person would."""
    units = {reading.name: reading.unit for reading in family.readings}
    try:
        for entry in json_list(text) or ():
            yield NewReading(
                str(entry["quantity"]),
                float(entry["value"]),
                units[str(entry["quantity"]).partition("@")[0]],
                float(entry.get("uncertainty", 0.0)),
                {str(name): float(value) for name, value in entry.get("conditions", {}).items()},
            )
    except (ValueError, TypeError, KeyError, AttributeError) as fault:
        raise NotationError(
            f"{text!r} is no list of readings", hint="as an export writes them, or leakage=2uA@250V"
        ) from fault
