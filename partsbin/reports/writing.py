"""Reports written out: as lines of a terminal, CSV, a workbook, JSON, or a page with its plot and its table."""

from __future__ import annotations

import io
import math
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from partsbin.errors import UsageError
from partsbin.files import new_file
from partsbin.notation.money import say_money
from partsbin.reports.frames import MONEY, TITLES
from partsbin.reports.pages import page, section, table
from partsbin.reports.plots import bars, margins
from partsbin.stock.guard import ROW_END, PlainEnds, guarded
from partsbin.stock.sheets import sheet_text

if TYPE_CHECKING:
    import pandas as pd

MOST_BARS = 30
"""Bars of one plot; the table has all rows [-]."""


def plain_rows(frame: pd.DataFrame) -> list[dict[str, Any]]:
    """Return a report as plain values, None where there is none."""
    return [{str(name): _plain(value) for name, value in row.items()} for row in frame.to_dict("records")]


def _plain(value: Any) -> Any:
    if hasattr(value, "item"):
        value = value.item()
    if isinstance(value, float):
        return None if math.isnan(value) else round(value, 6)
    return value


def said(name: str, value: Any) -> str:
    """Return one cell in words: money as it is written, a margin in per cent."""
    if value is None:
        return "—"
    if name in MONEY:
        return say_money(round(value))
    if name == "margin":
        return f"{value * 100:.1f} %"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, float) else str(value)


def lines(rows: Sequence[Mapping[str, Any]], columns: Sequence[str]) -> list[str]:
    """Return a report as lines in columns, each as wide as it must be, at most 44 signs."""
    cells = [[said(name, row[name])[:44] for name in columns] for row in rows]
    heads = [name.replace("_", " ") for name in columns]
    widths = [max([len(head), *(len(row[at]) for row in cells)]) for at, head in enumerate(heads)]
    right = [all(isinstance(row[name], (int, float)) or row[name] is None for row in rows) for name in columns]
    return [_line(heads, widths, right), *(_line(row, widths, right) for row in cells)]


def _line(cells: Sequence[str], widths: Sequence[int], right: Sequence[bool]) -> str:
    laid = [c.rjust(w) if r else c.ljust(w) for c, w, r in zip(cells, widths, right, strict=True)]
    return "  ".join(laid).rstrip()


def write(frame: pd.DataFrame, file: str) -> None:
    """Write a report as CSV or as a workbook, by the name's end; texts that a spreadsheet would run are guarded.

    Raises
    ------
    UsageError
        If the file is there already, cannot be written, or its name ends otherwise.
    """
    path = Path(file)
    if path.suffix.lower() not in (".csv", ".xlsx"):
        raise UsageError(f"{file!r}: expected a name that ends in .csv or .xlsx")
    packed, safe = path.suffix.lower() == ".xlsx", frame.copy()
    sign = (lambda value: sheet_text(guarded(value))) if packed else guarded
    for name in safe.columns:
        if safe[name].dtype == object or str(safe[name].dtype) in ("str", "string"):
            safe[name] = [sign(value) if isinstance(value, str) else value for value in safe[name]]
    try:
        with new_file(path) as half:
            if packed:
                half.write_bytes(_packed(safe))
            else:
                with half.open("w", encoding="utf-8", newline="") as lines:
                    safe.to_csv(PlainEnds(lines), index=False, lineterminator=ROW_END)
    except FileExistsError:
        raise UsageError(f"{file!r} is there already", hint="name a file that is not") from None
    except ImportError:
        raise UsageError("workbooks need an extra", hint="pip install 'partsbin[xlsx]'") from None
    except OSError as fault:
        raise UsageError(f"cannot write {file!r}: {fault.strerror}") from None


def _packed(frame: pd.DataFrame) -> bytes:
    made = io.BytesIO()  # a packed file that cannot be ended complains behind our back
    frame.to_excel(made, index=False)
    return made.getvalue()


def report_page(name: str, frame: pd.DataFrame, day: str) -> str:
    """Return a report as a page that needs nothing beside it: the plot, what it says, the table."""
    rows, columns = plain_rows(frame), [str(column) for column in frame.columns]
    numbers = [at for at, column in enumerate(columns) if rows and isinstance(rows[0][column], (int, float))]
    heads = [column.replace("_", " ") for column in columns]
    body = [f'<p class="small">{day}, {len(rows)} rows</p>']
    plot = plot_of(name, rows)
    if plot:
        body.append(section("at a glance", [plot]))
    cells = [[said(column, row[column]) for column in columns] for row in rows]
    body.append(section("in figures", [table(heads, cells, caption=TITLES[name], numbers=numbers)]))
    return page(TITLES[name], body)


def plot_of(name: str, rows: Sequence[Mapping[str, Any]]) -> str:
    """Return the plot of a report, "" where it has none or there is nothing to show."""
    some = rows[:MOST_BARS]
    if not some:
        return ""
    if name == "donors":
        return bars(
            "pieces that each donor gave, left and used",
            [r["donor"] for r in some],
            [r["left"] + r["used"] for r in some],
            unit="",
        )
    if name == "slow":
        return bars(
            "days without a movement",
            [f"{r['part']} {r['title']}" for r in some],
            [r["days"] for r in some],
            unit="days",
        )
    if name == "stock":
        by_family: dict[str, float] = {}
        for row in rows:
            by_family[row["family"]] = by_family.get(row["family"], 0.0) + row["pieces"]
        return bars("pieces by family", list(by_family), list(by_family.values()), unit="")
    if name == "usage":
        return bars(
            "pieces used", [f"{r['month']} {r['family']}" for r in some], [max(0, r["pieces"]) for r in some], unit=""
        )
    if name in ("thin", "fitted"):
        known = [row for row in rows if row["margin"] is not None and row["family"] == "capacitor"][:MOST_BARS]
        labels = [f"{row['job']} {row['designator']} {row['part']}" for row in known]
        return margins("margins of fitted capacitors", labels, [row["margin"] for row in known]) if known else ""
    return ""
