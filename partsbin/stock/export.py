"""Giving back what is on the shelf: our own columns, exact; or rows of somebody's file in their own columns, as they came.

What is written can be taken in again and gives the same parts: values in trade notation with their unit, child rows as JSON.
"""

from __future__ import annotations

import csv
import json
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any

from sqlalchemy import Connection

from partsbin import families
from partsbin.errors import PartsbinError, UsageError
from partsbin.families import Family, load
from partsbin.families._declare import Measured, child_type, plain_type, unit_of
from partsbin.files import new_file
from partsbin.notation.quantity import read_quantity, to_float
from partsbin.notation.writing import format_quantity
from partsbin.stock.columns import PART_COLUMNS
from partsbin.stock.guard import ROW_END, PlainEnds, guarded, harmless
from partsbin.stock.readings import read_measurements
from partsbin.stock.shelf import Shelved, get
from partsbin.stock.text_lists import ListError
from partsbin.store.statements import Statement

_IDS = Statement("SELECT id, family FROM part WHERE origin = 'shelf' AND id > :after ORDER BY id LIMIT :n")
_FILES = Statement("SELECT DISTINCT file FROM file_origin ORDER BY file")
_CAME = Statement("SELECT line, cells FROM file_origin WHERE file = :file ORDER BY line, id")
CHUNK = 1000
Guard = Callable[[str], str]
MOST_FIGURES = 12
"""Figures that a number in a list may have; one with more is written with a power of ten."""


def columns() -> list[str]:
    """Return the columns of an export: the part's number, what every part has, the fields of every family."""
    fields = dict.fromkeys(name for family in families.names() for name in load(family).facts.model_fields)
    common = [name for name in PART_COLUMNS if name != "description"]
    return [*common, *(name for name in fields if name not in PART_COLUMNS)]


def rows(connection: Connection) -> Iterator[dict[str, str]]:
    """Yield every part as cells by column, in the order of their numbers."""
    after = 0
    while found := _IDS.rows(connection, {"after": after, "n": CHUNK}):
        parts = {
            ident: _cells(load(name), part)
            for name in {family for _, family in found}
            for ident, part in get(connection, load(name), [i for i, family in found if family == name]).items()
        }
        yield from (parts[ident] for ident, _ in found)
        after = found[-1][0]


def came(connection: Connection, file: str) -> tuple[list[str], list[dict[str, str]]]:
    """Return the heading and the rows of a file taken in earlier, as they stood in it.

    Raises
    ------
    UsageError
        If no row of such a file is here.
    """
    found = _CAME.rows(connection, {"file": file})
    if not found:
        known = [row[0] for row in _FILES.rows(connection, {})]
        raise UsageError(
            f"no row came from {file!r}",
            hint=f"rows came from: {', '.join(known)}" if known else "no list was taken in",
        )
    cells = [json.loads(row[1]) if isinstance(row[1], str) else row[1] for row in found]
    heading = list(dict.fromkeys(name for row in cells for name in row))
    return heading, cells


def write(path: Path, heading: Sequence[str], rows: Iterable[Mapping[str, str]], *, as_came: bool = False) -> int:
    """Write rows as CSV, XLSX or JSON, by the file's ending; return how many there were.

    Parameters
    ----------
    path : Path
        Where to.
    heading : sequence of str
        The columns.
    rows : iterable of mapping
        Cells by column.
    as_came : bool
        Whether they are somebody's own cells: nothing is changed but what would begin a formula.

    Raises
    ------
    ListError
        If the file is there, cannot be written, or its ending names no format.
    """
    writers = {".csv": _csv, ".xlsx": _xlsx, ".json": _json}
    writer = writers.get(path.suffix.lower())
    if writer is None:
        raise ListError(
            f"{path.name}: {path.suffix or 'no ending'} is no format here", hint=f"one of {', '.join(writers)}"
        )
    if path.exists():
        raise ListError(f"{str(path)!r} exists", hint="name a file that is not there")
    counted = _Counted(rows, heading)
    try:
        with new_file(path) as half:
            writer(half, heading, counted, harmless if as_came else guarded)
    except OSError as fault:
        raise ListError(f"cannot write {str(path)!r}: {fault.strerror}") from None
    return counted.count


class _Counted:
    """Rows as cells in the order of the heading, counted as they go by."""

    def __init__(self, rows: Iterable[Mapping[str, str]], heading: Sequence[str]) -> None:
        self.rows, self.heading, self.count = rows, heading, 0

    def __iter__(self) -> Iterator[list[str]]:
        for row in self.rows:
            self.count += 1
            yield [row.get(name, "") for name in self.heading]


def _csv(path: Path, heading: Sequence[str], rows: Iterable[Sequence[str]], guard: Guard) -> None:
    with path.open("w", newline="", encoding="utf-8") as file:
        writer = csv.writer(PlainEnds(file), lineterminator=ROW_END)
        writer.writerow([guard(name) for name in heading])
        writer.writerows([guard(cell) for cell in row] for row in rows)


def _xlsx(path: Path, heading: Sequence[str], rows: Iterable[Sequence[str]], guard: Guard) -> None:
    from partsbin.stock.sheets import write_sheet

    write_sheet(path, [guard(name) for name in heading], ([guard(cell) for cell in row] for row in rows))


def _json(path: Path, heading: Sequence[str], rows: Iterable[Sequence[str]], guard: Guard) -> None:
    with path.open("w", encoding="utf-8") as file:
        before = "["
        for row in rows:
            entry = {name: cell for name, cell in zip(heading, row, strict=True) if cell}
            file.write(f"{before}\n{json.dumps(entry, ensure_ascii=False)}")
            before = ","
        file.write("\n]\n" if before == "," else "[]\n")


# ---- one part


def _cells(family: Family, part: Shelved) -> dict[str, str]:
    item, row = part.item, part.row
    cells = {
        "part": part.number, "family": family.name, "title": part.title,
        "count": f"about {part.on_hand}" if part.rough else str(part.on_hand),
        "condition": item.condition, "place": part.place, "donor": part.donor, "donor_lineup": item.donor_lineup,
        "marking": item.marking, "year": "" if item.year is None else str(item.year),
        "readings": _readings(item.readings, family),
        **{name: str(row.get(name) or "") for name in ("maker", "date_code", "lead_style", "note")},
    }  # fmt: skip
    for name, info in family.facts.model_fields.items():
        value = getattr(item.facts, name)
        if value is None or value == ():
            continue
        if child_type(info.annotation) is not None:
            entries = [{key: entry for key, entry in vars(child).items() if entry is not None} for child in value]
            cells[name] = json.dumps(entries, ensure_ascii=False)
        else:
            cells[name] = _plain(value, plain_type(info.annotation)[0], unit_of(info))
    return cells


def _plain(value: Any, kind: type, unit: str) -> str:
    if kind is bool:
        return "yes" if value else "no"
    return exact(float(value), unit) if kind is float else str(value)


def exact(value: float, unit: str) -> str:
    """Return a value with its unit in figures that give the same value back."""
    if unit in ("", "-"):
        return f"{value:.16e}" if len(repr(value)) > MOST_FIGURES else repr(value)
    said = format_quantity(value, unit)
    return said if to_float(read_quantity(said, unit)) == value else f"{value:.16e} {unit}"


def _readings(readings: Mapping[str, Measured], family: Family) -> str:
    """Return readings as a person writes them, where that gives the same figures back; else as a JSON list."""
    if not readings:
        return ""
    said = "; ".join(_reading(name, read, family) for name, read in sorted(readings.items()))
    kept = sorted((name, read.value, read.uncertainty, dict(read.conditions)) for name, read in readings.items())
    try:
        again = [(r.quantity, r.value, r.uncertainty, dict(r.conditions)) for r in read_measurements(family, said)]
    except PartsbinError:
        again = []
    if sorted(again, key=lambda entry: entry[0]) == kept:
        return said
    names = ("quantity", "value", "uncertainty", "conditions")
    return json.dumps([dict(zip(names, entry, strict=True)) for entry in kept], ensure_ascii=False)


def _reading(name: str, read: Measured, family: Family) -> str:
    quantity = name.partition("@")[0]
    unit = next((reading.unit for reading in family.readings if reading.name == quantity), "")
    spread = f"±{exact(read.uncertainty, unit)}" if read.uncertainty else ""
    at = f"@{exact(read.conditions['volts'], 'V')}" if "volts" in read.conditions else ""
    return f"{name}={exact(read.value, unit)}{spread}{at}"
