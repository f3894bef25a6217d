"""What the cells of one row say: the family's own columns as fields, the columns of every part as they lie."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from functools import cache, lru_cache
from typing import Any, NamedTuple

from partsbin.errors import NotationError, PartsbinError, Problem, RefusedError
from partsbin.families import Family
from partsbin.families._declare import CONDITIONS, Facts, child_type, plain_type, unit_of
from partsbin.notation.quantity import read_quantity, read_tolerance, to_float
from partsbin.stock.columns import RATING, VALUE
from partsbin.stock.columns import Mapping as ColumnMap
from partsbin.stock.draft import condition_named
from partsbin.stock.guard import BLANKS, GUARD, LONGEST_BLANK, unguarded
from partsbin.stock.lists import Cells
from partsbin.stock.parts import NewReading
from partsbin.stock.readings import read_measurements

_YES, _NO = frozenset({"yes", "y", "true", "1", "ja"}), frozenset({"no", "n", "false", "0", "nein"})
_ROUGH = re.compile(r"(?i)(?:about|circa|ca|etwa|~)[.\s]*")
_PIECES = re.compile(r"(?i)\s*(?:x|pcs\.?|pieces|off|stk\.?|stück)$")
_MOST_COUNTED = 10_000_000

_THOUSANDS = re.compile(r"(?<![\d.,])[1-9]\d{0,2}(?:\.\d{3})+(?![\d.])")
_COMMA = re.compile(r"(?<![\d.,])(\d+),(\d+)(?![\d,])")
_BARE = re.compile(r"[-+]?[\d.,]+(?:[eE][-+]?\d+)?")


LYING = frozenset({
    "part", "title", "count", "condition", "place", "donor", "donor_lineup", "marking", "maker", "date_code", "year", "lead_style",
    "note", "readings",
})  # fmt: skip
"""Columns that speak of the part as it lies, not of what it is."""


class Fault(NamedTuple):
    """What is wrong with a cell: the code of the problem, the column's role, the message, the hint."""

    code: str
    role: str
    message: str
    hint: str = ""


class Row:
    """One row being read: cells by role.

    Parameters
    ----------
    cells : Cells
        The list.
    mapping : Mapping
        What its columns are.
    line : int
        Where the row stands.
    values : sequence of str
        Its cells.
    """

    __slots__ = ("cells", "line", "mapping", "values", "where")

    def __init__(self, cells: Cells, mapping: ColumnMap, line: int, values: Sequence[str]) -> None:
        self.cells, self.mapping, self.line, self.values = cells, mapping, line, values
        self.where = mapping.where

    def cell(self, role: str) -> str:
        """Return the cell of a role, "" where there is none or where it says nothing."""
        index = self.where.get(role)
        if index is None or index >= len(self.values):
            return ""
        text = self.values[index]
        return (
            unguarded(text)
            if text and (text[0] == GUARD or (len(text) <= LONGEST_BLANK and text.lower() in BLANKS))
            else text
        )

    def figure(self, role: str) -> str:
        """Return the cell of a role that may hold numbers: written with points, a bare one with the unit of its heading."""
        text = self.cell(role)
        if not text:
            return ""
        if self.cells.decimal_comma:
            text = _COMMA.sub(r"\1.\2", _THOUSANDS.sub(lambda found: found[0].replace(".", ""), text))
        unit = self.mapping.columns[self.where[role]].unit
        return f"{text} {unit}" if unit and _BARE.fullmatch(text) else text

    def problem(self, fault: Fault) -> Problem:
        """Return a fault as a problem with the cell of its role, under the heading that the file gives it."""
        index = self.where.get(fault.role)
        column = self.mapping.columns[index].heading if index is not None else fault.role
        return Problem(fault.code, fault.message, self.cells.name, self.line, column, fault.hint)

    def named(self) -> dict[str, str]:
        """Return the raw cells by heading."""
        return {column.heading: value for column, value in zip(self.mapping.columns, self.values, strict=False)}


def spoken(row: Row, elsewhere: Sequence[tuple[str, str]] = ()) -> dict[str, str]:
    """Return what the row says in trade notation, by role: value, rating, columns that are no fields of its family, description.

    Parameters
    ----------
    row : Row
        The row.
    elsewhere : sequence of (str, str)
        Field columns that the family does not have, and their unit: ``Voltage`` beside a capacitor is a rating.
    """
    parts = {role: row.figure(role) for role in (VALUE, RATING)}
    parts |= {role: with_unit(row, role, unit) for role, unit in elsewhere}
    parts["description"] = row.figure("description")
    return {role: text for role, text in parts.items() if text}


def with_unit(row: Row, role: str, unit: str) -> str:
    """Return what a column of numbers says, a bare one with the unit of its field."""
    text = row.figure(role)
    return f"{text} {unit}" if text and unit not in ("", "-") and _BARE.fullmatch(text) else text


def fields_of(row: Row, family: Family) -> tuple[dict[str, Any], list[Fault]]:
    """Read the family's own columns; a cell that cannot be read is a fault, never a blank."""
    read: dict[str, Any] = {}
    faults = []
    for name, info, literal in _columns(family.facts):
        if name not in row.where:
            continue
        cell = row.cell(name) if literal else row.figure(name)
        if not cell:
            continue
        try:
            read |= _field(family, name, info, cell)
        except PartsbinError as fault:
            faults.append(Fault("CSV-VALUE", name, f"{cell!r}: {fault.message}", fault.hint))
    return read, faults


@cache
def _columns(model: type[Facts]) -> tuple[tuple[str, Any, bool], ...]:
    """The fields of a family, and whether a cell of one is taken letter by letter."""
    kinds = {
        name: (str, ()) if child_type(info.annotation) else plain_type(info.annotation)
        for name, info in model.model_fields.items()
    }
    return tuple((name, info, kinds[name] == (str, ())) for name, info in model.model_fields.items())


def _field(family: Family, name: str, info: Any, cell: str) -> dict[str, Any]:
    if child_type(info.annotation) is not None:
        return {name: _children(family, name, info, cell)}
    kind, words = plain_type(info.annotation)
    if words:
        return {name: _word(cell, words)}
    if kind is bool:
        if cell.lower() not in _YES | _NO:
            raise NotationError("expected yes or no")
        return {name: cell.lower() in _YES}
    if kind is str:
        return {name: cell}
    if name == "tolerance" and "tolerance_low" in family.facts.model_fields and "%" in cell:
        low, high = (to_float(end) for end in read_tolerance(cell))
        return {name: high} if low == -high else {"tolerance_low": low, "tolerance_high": high}
    if cell.endswith("%"):
        return {name: to_float(read_quantity(cell.lstrip("±+").rstrip("% "), "-")) / 100}
    number = to_float(read_quantity(cell, unit_of(info) or "-"))
    return {name: int(number) if kind is int and number.is_integer() else number}


def _children(family: Family, name: str, info: Any, cell: str) -> Any:
    """Rows below a part: in trade notation, or as our own exports write them."""
    if cell.startswith("["):
        rows = _json_list(cell)
        if rows is None:
            raise NotationError(f"expected {info.description}, as text or as a JSON list")
        return rows
    for reading in family.read(cell):
        if name in reading.fields:
            return reading.fields[name]
    raise NotationError(f"expected {info.description}")


def _json_list(text: str) -> list[Any] | None:
    try:
        rows = json.loads(text)
    except ValueError:
        return None
    return rows if isinstance(rows, list) else None


def _word(cell: str, words: Sequence[str]) -> str:
    for word in words:
        if word.lower() == cell.lower():
            return word
    raise NotationError(f"expected one of {', '.join(words)}")


def common_of(
    row: Row, family: Family | None, lying: Mapping[str, Any], text: str
) -> tuple[dict[str, Any], list[Fault]]:
    """Read what every part has: condition, count, place, readings and the rest, as fields of a draft.

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
    count, rough, faults = _count(row.figure("count"), lying)
    condition, year = cell("condition"), cell("year")
    if condition:
        condition, unknown = _condition(condition)
        faults += unknown
        condition = "salvaged" if lying.get("worn") else condition
    if year and not (_whole(year) and 1900 <= int(year) <= 2100):
        faults.append(Fault("CSV-YEAR", "year", f"{year!r} is no year", "four figures from 1900 to 2100"))
    readings, wrong = _readings(cell("readings"), family)
    return {
        "title": cell("title"),
        "condition": condition or str(lying.get("condition", "")),
        "count": count,
        "rough": rough,
        "marking": cell("marking") or text,
        "place": cell("place") or str(lying.get("place", "")),
        "donor": cell("donor") or str(lying.get("donor", "")),
        "donor_lineup": cell("donor_lineup"),
        "maker": cell("maker"),
        "date_code": cell("date_code"),
        "year": _whole(year) if year else None,
        "lead_style": cell("lead_style"),
        "note": cell("note"),
        "readings": readings,
    }, [*faults, *wrong]


@lru_cache(1024)
def _condition(text: str) -> tuple[str, tuple[Fault, ...]]:
    try:
        return condition_named(text), ()
    except RefusedError as fault:
        return "", (Fault("CSV-BROKEN", "condition", fault.message, fault.hint),)
    except PartsbinError:
        hint = f"one of {', '.join(CONDITIONS)}"
        return "", (Fault("CSV-CONDITION", "condition", f"{text!r} is not a condition", hint),)


@lru_cache(1024)
def _counted(text: str) -> tuple[int | None, bool]:
    rough = _ROUGH.match(text)
    return _whole(_PIECES.sub("", text[rough.end() :] if rough else text)), rough is not None


def _count(text: str, lying: Mapping[str, Any]) -> tuple[int, bool, list[Fault]]:
    if not text:
        return int(lying.get("count", 1)), False, []
    count, rough = _counted(text)
    if count is None or count > _MOST_COUNTED:
        return 0, rough, [Fault("CSV-COUNT", "count", f"{text!r} is no count", "a whole number, or about 50")]
    return count, rough, []


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
        for entry in _json_list(text) or ():
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
