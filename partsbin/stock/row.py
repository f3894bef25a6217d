"""What the cells of one row say: by role, in trade notation, and the family's own columns as fields."""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from functools import cache
from typing import Any, NamedTuple

from partsbin.errors import NotationError, PartsbinError, Problem
from partsbin.families import Family
from partsbin.families._declare import Facts, child_type, plain_type, unit_of
from partsbin.notation.quantity import read_quantity, read_tolerance, to_float
from partsbin.notation.reading import Reading
from partsbin.stock.columns import DESIGNATOR, RATING, UNIT, VALUE
from partsbin.stock.columns import Mapping as ColumnMap
from partsbin.stock.describe import named_family
from partsbin.stock.guard import BLANKS, GUARD, LONGEST_BLANK, unguarded
from partsbin.stock.lists import Cells

_YES, _NO = frozenset({"yes", "y", "true", "1", "ja"}), frozenset({"no", "n", "false", "0", "nein"})
_THOUSANDS = re.compile(r"(?<![\d.,])[1-9]\d{0,2}(?:\.\d{3})+(?![\d.])")
_COMMA = re.compile(r"(?<![\d.,])(\d+),(\d+)(?![\d,])")
_ONE_NUMBER = re.compile(r"(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][-+]?\d{1,3})?", re.ASCII)
_BARE = re.compile(r"[-+]?[\d.,]+(?:[eE][-+]?\d+)?")


_WITH_UNIT = frozenset({VALUE, "capacitance", "resistance", "inductance"})
"""Columns whose unit may stand in a column of its own."""
LEAST_FARADS = 1e-3
"""A bare number from here on is in another unit: nobody keeps such capacitors by the farad [F]."""


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

    __slots__ = ("cells", "label", "line", "mapping", "values", "where")

    def __init__(self, cells: Cells, mapping: ColumnMap, line: int, values: Sequence[str]) -> None:
        self.cells, self.mapping, self.line, self.values = cells, mapping, line, values
        self.where = mapping.where
        self.label = ""

    def cell(self, role: str) -> str:
        """Return the cell of a role, "" where there is none or where it says nothing; of several descriptions all."""
        index = self.where.get(role)
        if index is None or index >= len(self.values):
            return self.label if role == DESIGNATOR else ""
        if role == "description" and len(self.mapping.descriptions) > 1:
            return " ".join(filter(None, (_said(self.values[at]) for at in self.mapping.descriptions)))
        text = self.values[index]
        return _said(text) if text and (text[0] == GUARD or len(text) <= LONGEST_BLANK) else text

    def figure(self, role: str) -> str:
        """Return the cell of a role that may hold numbers: written with points, a bare one with the unit of its heading."""
        text = self.cell(role)
        if not text:
            return ""
        if self.cells.decimal_comma:
            text = _COMMA.sub(r"\1.\2", _THOUSANDS.sub(lambda found: found[0].replace(".", ""), text))
        unit = self.mapping.columns[self.where[role]].unit
        if not unit and role in _WITH_UNIT and UNIT in self.where:
            unit = self.cell(UNIT)
        return f"{text} {unit}" if unit and _BARE.fullmatch(text) else text

    def problem(self, fault: Fault) -> Problem:
        """Return a fault as a problem with the cell of its role, under the heading that the file gives it."""
        index = self.where.get(fault.role)
        column = self.mapping.columns[index].heading if index is not None else fault.role
        return Problem(fault.code, fault.message, self.cells.name, self.line, column, fault.hint)

    def named(self) -> dict[str, str]:
        """Return the raw cells by heading."""
        return {column.heading: value for column, value in zip(self.mapping.columns, self.values, strict=False)}


def _said(text: str) -> str:
    """What a cell says: nothing where lists write a sign for that."""
    return unguarded(text) if text[:1] == GUARD or text.lower() in BLANKS else text


def spoken(row: Row, elsewhere: Sequence[tuple[str, str]] = ()) -> dict[str, str]:
    """Return what the row says in trade notation, by role: value, rating, columns that are no fields of its family, description.

    Parameters
    ----------
    row : Row
        The row.
    elsewhere : sequence of (str, str)
        Field columns that the family does not have, and their unit: ``Voltage`` beside a capacitor is a rating.
    """
    order = (
        (VALUE, RATING, "description") if row.cell(VALUE) else ("description", RATING)
    )  # the rating behind what it rates
    parts = {role: row.figure(role) for role in order}
    parts |= {role: with_unit(row, role, unit) for role, unit in elsewhere}
    if not row.mapping.own and not named_family(family := row.cell("family")):
        parts["family"] = family  # a column of kinds names a family here, and there only a sort
    return {role: text for role, text in parts.items() if text}


def with_unit(row: Row, role: str, unit: str) -> str:
    """Return what a column of numbers says, a bare one with the unit of its field."""
    text = row.figure(role)
    if unit == "F" and not row.mapping.own:
        return text
    return f"{text} {unit}" if text and unit not in ("", "-") and _BARE.fullmatch(text) else text


def fields_of(row: Row, family: Family, text: str = "") -> tuple[dict[str, Any], list[str], list[Fault]]:
    """Read the family's own columns, with what is doubtful; a cell that cannot be read is a fault, never a blank."""
    read: dict[str, Any] = {}
    notes: list[str] = []
    faults = []
    for name, info, literal in _columns(family.facts):
        if name not in row.where:
            continue
        cell = row.cell(name) if literal else row.figure(name)
        if not cell:
            continue
        if unit_of(info) == "m" and not row.mapping.own and _ONE_NUMBER.fullmatch(cell) and _number(cell) >= 0.2:
            cell += " mm"  # nobody sells parts by the metre
        least = LEAST_FARADS if row.mapping.own or "e" in cell.lower() else 0.0
        if unit_of(info) == "F" and _BARE.fullmatch(cell) and (guess := _in_farads(family, name, cell, least)):
            read[name], note = guess
            notes.append(note)
            continue
        try:
            read |= _field(family, name, info, cell)
        except PartsbinError as fault:
            beside = [] if row.mapping.own else _behind(family, name, (row.figure(VALUE), text), cell)
            alone = [] if row.mapping.own or beside else _alone(family, info, cell)
            if beside:
                read[name] = beside[0]
            elif alone:
                read |= alone[0].fields  # 16-16 in a column of capacitances is a can with sections
                notes += [
                    *alone[0].notes,
                    *([] if alone[0].sure else [f"{cell!r} in a column of {name}: look at the part"]),
                ]
            elif unit_of(info) == "m" and not row.mapping.own:
                notes.append(f"{cell!r} in a column of {name}: not understood")  # 10x4: it may or may not go in
            else:
                faults.append(Fault("CSV-VALUE", name, f"{cell!r}: {fault.message}", fault.hint))
    return read, notes, faults


def _alone(family: Family, info: Any, cell: str) -> list[Reading]:
    """What a cell says by itself that is no number of its column; a column of lengths or volts says no value of a part."""
    found = []
    for reading in family.read(cell):
        units = {
            unit_of(family.facts.model_fields[name]) for name in reading.fields if name in family.facts.model_fields
        }
        if reading.fields and not reading.rest and (unit_of(info) in ("", *units) or not units & {"F", "ohm", "H"}):
            found.append(reading)
    return found


def _behind(family: Family, name: str, texts: Sequence[str], cell: str) -> list[Any]:
    """What a cell says behind the value that it belongs to: the J of ``470R J`` is a tolerance."""
    found = [reading for text in texts if text for reading in family.read(f"{text} {cell}")]
    return [reading.fields[name] for reading in found if name in reading.fields and not reading.rest]


def _in_farads(family: Family, name: str, cell: str, least: float) -> tuple[float, str] | None:
    """A bare number that no list means in farads, as the family reads it in a description, and the doubt in words."""
    if not _ONE_NUMBER.fullmatch(cell) or _number(cell) < least:
        return None
    found = [reading for reading in family.read(cell) if name in reading.fields]
    return (found[0].fields[name], f"{cell!r} has no unit: say it in the heading") if found else None


def _number(cell: str) -> float:
    return float(cell.replace(",", "."))


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
        rows = json_list(cell)
        if rows is None:
            raise NotationError(f"expected {info.description}, as text or as a JSON list")
        return rows
    for reading in family.read(cell):
        if name in reading.fields:
            return reading.fields[name]
    raise NotationError(f"expected {info.description}")


def json_list(text: str) -> list[Any] | None:
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
