"""Workbooks as cells and back."""

from __future__ import annotations

import datetime
import sys
import zipfile
from pathlib import Path
from typing import Any

import openpyxl
import pytest

from partsbin.stock.intake import take_in
from partsbin.stock.lists import ListError, read_cells
from partsbin.stock.sheets import sheet_rows, write_sheet


def book(path: Path, sheets: dict[str, list[list[Any]]]) -> Path:
    """Write a workbook."""
    made = openpyxl.Workbook()
    made.remove(made.active)
    for name, rows in sheets.items():
        page = made.create_sheet(name)
        for row in rows:
            page.append(row)
    made.save(path)
    return path


def test_a_sheet_is_read_as_a_person_would_type_it(tmp_path: Path) -> None:
    """Whole numbers without a point, dates as they are sorted, yes and no, the row's own number."""
    day = datetime.date(2026, 3, 1)
    path = book(
        tmp_path / "a.xlsx", {"Caps": [["Title"], [], ["Wert", "Anzahl"], ["22n", 3.0], [True, 0.5], [day, None]]}
    )
    cells = read_cells(path)
    assert (cells.header, cells.notes) == (("Wert", "Anzahl"), ("sheet 'Caps'", "above the headings: 'Title'"))
    assert tuple(cells.rows) == ((4, ("22n", "3")), (5, ("yes", "0.5")), (6, ("2026-03-01", "")))


def test_the_first_sheet_with_rows_is_read_and_the_others_are_named(tmp_path: Path) -> None:
    """Until one is named."""
    path = book(tmp_path / "a.xlsx", {"Cover": [], "Caps": [["Wert"], ["22n"]], "Valves": [["Type"], ["EL84"]]})
    assert read_cells(path).notes == ("sheet 'Caps'; also there, not read: Valves (--sheet)",)
    assert read_cells(path, sheet="Valves").header == ("Type",)
    with pytest.raises(ListError, match="no sheet 'Lamps'") as refused:
        read_cells(path, sheet="Lamps")
    assert refused.value.hint == "there are Cover, Caps, Valves"


def test_a_file_that_is_no_workbook_is_refused(tmp_path: Path) -> None:
    """Text under the name of one, and an archive of something else."""
    path = tmp_path / "a.xlsx"
    path.write_text("a,b")
    with pytest.raises(ListError, match=r"^a\.xlsx: not a workbook$"):
        read_cells(path)
    with zipfile.ZipFile(path, "w") as packed:
        packed.writestr("a.txt", "x")
    with pytest.raises(ListError, match=r"^a\.xlsx: not a workbook$"):
        read_cells(path)


def test_a_workbook_that_is_not_there_is_named(tmp_path: Path) -> None:
    """With what the system says."""
    with pytest.raises(ListError, match=r"^cannot read '.*absent\.xlsx': No such file or directory$"):
        read_cells(tmp_path / "absent.xlsx")


def test_without_the_library_it_is_said_what_to_install(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is an extra."""
    monkeypatch.setitem(sys.modules, "openpyxl", None)
    with pytest.raises(ListError, match=r"^workbooks need openpyxl$") as refused:
        sheet_rows(tmp_path / "a.xlsx")
    assert refused.value.hint == "pip install 'partsbin[xlsx]', or save the list as CSV"


@pytest.mark.parametrize("text", ["a\x01b", "_x0001_", "two\nlines", "'=1+1", "Ω µ", "1e5", "007"])
def test_a_text_is_a_text_in_a_workbook(text: str, tmp_path: Path) -> None:
    """No number, no formula, no escape of the format's own."""
    write_sheet(tmp_path / "a.xlsx", ["note"], [[text]])
    rows, _ = sheet_rows(tmp_path / "a.xlsx")
    assert tuple(rows) == ((1, ("note",)), (2, (text,)))


def test_the_sheet_with_the_headings_is_read(tmp_path: Path) -> None:
    """Not the page of words before it; that one is named."""
    sheets = {"About": [["Stock of the bench"], ["see the next"]], "Caps": [["Value", "Qty"], ["22n", 3]]}
    cells = read_cells(book(tmp_path / "a.xlsx", sheets))
    assert cells.notes == ("sheet 'Caps'; also there, not read: About (--sheet)",)


def test_a_formula_without_a_result_is_never_an_empty_cell(tmp_path: Path) -> None:
    """A count that nobody worked out is no count, and not one."""
    path = book(tmp_path / "a.xlsx", {"S": [["Value", "Qty"], ["22n 630V", "=1+2"], ["10k 1W", 5]]})
    account = take_in(read_cells(path))
    assert "formulas not worked out stand as they are" in account.notes[0]
    assert [problem.text() for problem in account.problems] == [
        "a.xlsx:2: Qty: '=1+2' is no count\n    hint: a whole number, or about 50"
    ]
