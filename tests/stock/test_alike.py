"""Rows that say the same of the part: understood once, and never taken for what they are not."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from partsbin.stock.alike import Alike
from partsbin.stock.columns import all_fields
from partsbin.stock.intake import Intake
from partsbin.stock.lists import Cells, read_cells

LIST = """Code,Description,Volts,Price
A1,22n polypropylene,630,0.40
A2,22n polypropylene,630,0.50
A3,22n polypropylene,400,0.30
CAPACITORS 1000 V,,,
A4,22n polypropylene,,0.30
A5,22n polypropylene,630,0.40
A6,BC107 transistor,,0.10
A7,BC107 transistor,,0.20
A8,22n -5,630,0.20
Total,,,9.00
Description,Code,Volts,Price
22n polypropylene,A9,630,0.40
22n polypropylene,B1,630,0.41
"""


def listed(folder: Path) -> Cells:
    """The list as cells."""
    file = folder / "prices.csv"
    file.write_text(LIST, "utf-8")
    return read_cells(file, fields=all_fields())


def test_every_row_is_what_it_is_alone(tmp_path: Path) -> None:
    """Headings that hold for what stands below, a second table with its columns elsewhere: by hand, row by row, the same."""
    cells, roles = listed(tmp_path), {"Code": "ignored", "Price": "ignored"}
    alike, alone = Alike(Intake(cells, given=roles)), Intake(cells, given=roles)
    for line, values in cells.rows:
        filled = alone.filled(values)
        wanted = alone.no_part(line, filled) or alone.part(line, filled)
        found = alike.row(line, values)
        if wanted.draft is not None:
            wanted.draft = replace(wanted.draft, file=None)
            assert found.draft is not None
            assert replace(found.draft, file=None) == wanted.draft
            found = replace(found, draft=wanted.draft)
        assert found.at(line) == wanted


def test_only_what_says_the_same_is_taken_for_the_same(tmp_path: Path) -> None:
    """By hand: A1 and A2 are alike; A3 has other volts, A5 stands under a heading, A9 in another table."""
    cells = listed(tmp_path)
    alike = Alike(Intake(cells, given={"Code": "ignored", "Price": "ignored"}))
    rows = {}
    for line, values in cells.rows:
        row = alike.row(line, values)
        rows |= dict.fromkeys(values, row)
    assert rows["A1"] is rows["A2"]
    assert rows["A6"] is rows["A7"]
    assert len({id(rows[name]) for name in ("A1", "A3", "A4", "A5", "A9")}) == 5
