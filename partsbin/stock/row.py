"""What the cells of one row say: the family's own columns as fields, the columns of every part as they lie."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from typing import Any

from partsbin.errors import NotationError, PartsbinError, Problem
from partsbin.families import Family
from partsbin.families._declare import CONDITIONS, child_type, plain_type, unit_of
from partsbin.notation.quantity import read_quantity, read_tolerance, to_float
from partsbin.stock.columns import RATING, VALUE, Mapping, told_apart
from partsbin.stock.draft import condition_named
from partsbin.stock.lists import Cells
from partsbin.stock.parts import NewReading
from partsbin.stock.readings import read_measurements

_BLANKS = frozenset({"value", "~", "-", "n/a", "?"})
"""What lists write into a cell that says nothing."""

_YES, _NO = frozenset({"yes", "y", "true", "1", "ja"}), frozenset({"no", "n", "false", "0", "nein"})
_ROUGH = re.compile(r"(?i)(?:about|circa|ca|etwa|~)[.\s]*")
_MOST_COUNTED = 10_000_000


class Row:
    """One row being read: cells by role, and the problems met."""

    def __init__(self, cells: Cells, mapping: Mapping, line: int, values: Sequence[str]) -> None:
        self.file, self.header, self.mapping, self.line, self.values = cells.name, cells.header, mapping, line, values
        self.problems: list[Problem] = []

    def cell(self, role: str) -> str:
        """Return the cell of a role, "" where there is none or where it says nothing."""
        index = self.mapping.index(role)
        text = self.values[index] if index is not None and index < len(self.values) else ""
        return "" if text.lower() in _BLANKS else text

    @property
    def text(self) -> str:
        """What the row says in trade notation: value, rating and description, one after the other."""
        return " ".join(filter(None, (self.cell(role) for role in (VALUE, RATING, "description"))))

    def refuse(self, code: str, message: str, role: str, hint: str = "") -> None:
        """Note a problem with the cell of a role, under the heading that the file gives it."""
        index = self.mapping.index(role)
        column = self.header[index] if index is not None else role
        self.problems.append(Problem(code, message, self.file, self.line, column, hint))

    def named(self) -> dict[str, str]:
        """Return the raw cells by heading."""
        return dict(zip(told_apart(self.header), self.values, strict=False))


def fields_of(row: Row, family: Family) -> dict[str, Any]:
    """Read the family's own columns; a cell that cannot be read is a problem, never a blank."""
    read: dict[str, Any] = {}
    for name, info in family.facts.model_fields.items():
        cell = row.cell(name)
        if not cell:
            continue
        try:
            read |= _field(family, name, info, cell)
        except PartsbinError as fault:
            row.refuse("CSV-VALUE", f"{cell!r}: {fault.message}", name, fault.hint)
    return read


def _field(family: Family, name: str, info: Any, cell: str) -> dict[str, Any]:
    if child_type(info.annotation) is not None:
        if cell.startswith("["):
            return {name: _rows_of(cell, info)}
        for reading in family.read(cell):
            if name in reading.fields:
                return {name: reading.fields[name]}
        raise NotationError(f"expected {info.description}")
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
    return {name: to_float(read_quantity(cell, unit_of(info) or "-"))}


def _rows_of(cell: str, info: Any) -> list[Any]:
    """Child rows as an export writes them: a JSON list of objects."""
    try:
        rows = json.loads(cell)
    except ValueError:
        raise NotationError(f"expected {info.description}, as text or as a JSON list") from None
    if not isinstance(rows, list):
        raise NotationError(f"expected {info.description}, as text or as a JSON list")
    return rows


def _word(cell: str, words: Sequence[str]) -> str:
    for word in words:
        if word.lower() == cell.lower():
            return word
    raise NotationError(f"expected one of {', '.join(words)}")


def common_of(row: Row, family: Family | None, lying: dict[str, Any]) -> dict[str, Any]:
    """Read what every part has: condition, count, place, readings and the rest, as fields of a draft.

    Parameters
    ----------
    row : Row
        The row; each cell that cannot be is noted as a problem.
    family : Family, optional
        Whose quantities may have been measured; without it readings are left alone.
    lying : dict
        What the description said of the part as it lies; a column of its own stands before it.
    """
    count, rough = _count(row, lying)
    return {
        "title": row.cell("title"),
        "condition": _condition(row, lying),
        "count": count,
        "rough": rough,
        "marking": row.cell("marking") or row.text,
        "place": row.cell("place") or str(lying.get("place", "")),
        "donor": row.cell("donor") or str(lying.get("donor", "")),
        "donor_lineup": row.cell("donor_lineup"),
        "maker": row.cell("maker"),
        "date_code": row.cell("date_code"),
        "year": _year(row),
        "lead_style": row.cell("lead_style"),
        "note": row.cell("note"),
        "readings": () if family is None else _readings(row, family),
    }


def _condition(row: Row, lying: dict[str, Any]) -> str:
    text = row.cell("condition")
    if not text:
        return str(lying.get("condition", ""))
    try:
        return condition_named(text)
    except PartsbinError:
        row.refuse("CSV-CONDITION", f"{text!r} is not a condition", "condition", f"one of {', '.join(CONDITIONS)}")
        return ""


def _count(row: Row, lying: dict[str, Any]) -> tuple[int, bool]:
    text = row.cell("count")
    if not text:
        return int(lying.get("count", 1)), False
    rough = _ROUGH.match(text)
    count = _whole(text[rough.end() :] if rough else text)
    if count is None or count > _MOST_COUNTED:
        row.refuse("CSV-COUNT", f"{text!r} is no count", "count", "a whole number, or about 50")
    return count or 0, rough is not None


def _year(row: Row) -> int | None:
    text = row.cell("year")
    year = _whole(text)
    if text and (year is None or not 1900 <= year <= 2100):
        row.refuse("CSV-YEAR", f"{text!r} is no year", "year", "four figures from 1900 to 2100")
    return year


def _whole(text: str) -> int | None:
    """A whole number in plain figures; more than nine of them count nothing on a shelf."""
    return int(text) if text.isascii() and text.isdecimal() and len(text) <= 9 else None


def _readings(row: Row, family: Family) -> tuple[NewReading, ...]:
    text = row.cell("readings")
    if not text:
        return ()
    try:
        return _measured(text, family) if text.startswith("[") else tuple(read_measurements(family, text))
    except PartsbinError as fault:
        row.refuse("CSV-READING", fault.message, "readings", fault.hint)
        return ()


def _measured(text: str, family: Family) -> tuple[NewReading, ...]:
    """Readings as an export writes those that have more figures than a person would."""
    units = {reading.name: reading.unit for reading in family.readings}
    try:
        return tuple(
            NewReading(
                str(entry["quantity"]),
                float(entry["value"]),
                units[str(entry["quantity"]).partition("@")[0]],
                float(entry.get("uncertainty", 0.0)),
                {str(name): float(value) for name, value in entry.get("conditions", {}).items()},
            )
            for entry in json.loads(text)
        )
    except (ValueError, TypeError, KeyError, AttributeError) as fault:
        raise NotationError(
            f"{text!r} is no list of readings", hint="as an export writes them, or leakage=2uA@250V"
        ) from fault
