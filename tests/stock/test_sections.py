"""Lines of a list that are no parts, and what they say of the parts below them."""

from __future__ import annotations

from pathlib import Path

import pytest

from partsbin.stock.intake import HEADING, NOT_OURS, RowAccount, take_in
from partsbin.stock.lists import read_cells


def _rows(folder: Path, text: str, name: str = "list.csv") -> dict[int, RowAccount]:
    file = folder / name
    file.write_text(text, encoding="utf-8")
    return {row.line: row for row in take_in(read_cells(file)).rows}


DRAWERS = """Value,Qty,Place

CAPACITORS,,
22n 630V,3,A1

RESISTORS 1/2W,,
10k,20,B1
2k2 2W,5,B1

POTS LOG,,
500k,2,C1
ECC83,1,C2
"""


def test_a_heading_among_the_rows_is_no_part(tmp_path: Path) -> None:
    """It is accounted for as what it is."""
    rows = _rows(tmp_path, DRAWERS)
    assert [line for line, row in rows.items() if row.status == HEADING] == [3, 6, 10]


def test_a_heading_gives_its_family_and_rating_to_the_rows_below(tmp_path: Path) -> None:
    """And the account says from where they are."""
    rows = _rows(tmp_path, DRAWERS)
    assert (rows[7].title, rows[7].notes) == ("10 kΩ 0.5 W", ("under 'RESISTORS 1/2W'",))
    assert rows[11].title == "500 kΩ log potentiometer"


def test_a_row_that_says_otherwise_stands_against_its_heading(tmp_path: Path) -> None:
    """With a rating of its own, or as a part of another family."""
    rows = _rows(tmp_path, DRAWERS)
    assert (rows[8].title, rows[12].title) == ("2.2 kΩ 2 W", "ECC83")


def test_headings_above_the_column_names_count_too(tmp_path: Path) -> None:
    """A family in one line, its rating in the next; each new rating replaces the one before."""
    text = "Resistors;;\n1/4 Watt;;\nWert;Anzahl;Fach\n4k7;15;2\n1 Watt;;\n10k;4;4\n22k;4;4\n"
    rows = _rows(tmp_path, text)
    assert [rows[line].title for line in (4, 6, 7)] == ["4.7 kΩ 0.25 W", "10 kΩ 1 W", "22 kΩ 1 W"]


NOTES = """0.5W carbon film resistors
100R x 10
47k x 5

1W metal film
220R x 4

Electrolytics 450V
8uF x 2
"""


def test_headings_are_told_in_plain_notes(tmp_path: Path) -> None:
    """A plural, or a line of ratings behind a gap."""
    rows = _rows(tmp_path, NOTES, "notes.txt")
    assert [line for line, row in rows.items() if row.status == HEADING] == [1, 5, 8]
    assert [rows[line].title for line in (2, 6, 9)] == [
        "100 Ω 0.5 W carbon-film",
        "220 Ω 1 W metal-film",
        "8 µF 450 V electrolytic",
    ]


def test_a_place_as_a_heading_is_where_the_parts_below_lie(tmp_path: Path) -> None:
    """Unless the row names its own."""
    rows = _rows(tmp_path, "Value,Qty,Location\n22n 630V,1,A1\nShelf 2,,\nECC83,2,\nEL84,1,A3\n")
    assert [rows[line].place for line in (2, 4, 5)] == ["A1", "Shelf 2", "A3"]


def test_a_heading_of_something_else_ends_what_stood_above(tmp_path: Path) -> None:
    """Parts below ``Sundries`` are no capacitors of 450 V."""
    rows = _rows(tmp_path, "Value,Qty\nELECTROLYTICS 450V,\n8uF,2\nSundries,\n100n,1\n")
    assert (rows[3].title, rows[5].title) == ("8 µF 450 V electrolytic", "0.1 µF")


@pytest.mark.parametrize("total", ["Total,105", "Summe,105", "Gesamt:,105", "subtotal,105", "Versand,4"])
def test_a_total_is_no_part(tmp_path: Path, total: str) -> None:
    """Not even in a list of one family, where what is not understood may be one more of it."""
    rows = _rows(tmp_path, f"Value,Qty\n10k 1W,5\n22k 1W,100\n{total}\n")
    assert rows[4].status == HEADING


def test_the_headings_once_more_are_no_part(tmp_path: Path) -> None:
    """Printed lists repeat them on every page."""
    rows = _rows(tmp_path, "Ref,Value,Qty\nC1,22n,3\nRef,Value,Qty\nR1,10k,5\n")
    assert [row.status for row in rows.values()] == ["taken", HEADING, "taken"]


def test_another_table_in_the_file_has_headings_of_its_own(tmp_path: Path) -> None:
    """What stood under Voltage above stands under Power here."""
    text = "Value,Voltage,Qty\n22n,630,3\n\nResistors\nValue,Power,Qty\n10k,1,5\n"
    rows = _rows(tmp_path, text)
    assert (rows[5].status, rows[6].title) == (HEADING, "10 kΩ 1 W")
    assert rows[5].notes == ("other headings from here on: Value → value; Power → power; Qty → count",)


@pytest.mark.parametrize("row", ["22n 630V,", "Speaker 3 ohm,", "EL84,"])
def test_a_part_without_a_count_is_no_heading(tmp_path: Path, row: str) -> None:
    """It says which one it is."""
    rows = _rows(tmp_path, f"Value,Qty\n10k 1W,5\n{row}\n100k 1W,2\n")
    assert rows[3].status not in (HEADING, NOT_OURS)


def test_places_head_the_lines_of_plain_notes(tmp_path: Path) -> None:
    """The first line too."""
    rows = _rows(tmp_path, "Shelf A\n22n 630V x3\nShelf B\nEL84 x4\n", "notes.txt")
    assert [(row.count, row.place) for row in rows.values() if row.title] == [(3, "Shelf A"), (4, "Shelf B")]


def test_a_row_that_is_too_wide_is_no_gap(tmp_path: Path) -> None:
    """What stands below a gap may head a list; what stands below a row with a cell too many is a part as before."""
    rows = _rows(tmp_path, "Value,Qty\n10k,2\n4k7,1,,more\nlamp,\n\nlamp,\n")
    assert [rows[line].status for line in (3, 4, 6)] == ["refused", rows[4].status, HEADING]
    assert rows[4].status != HEADING
