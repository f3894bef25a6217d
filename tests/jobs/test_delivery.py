"""What came, read from a table that a person filled in."""

from __future__ import annotations

from pathlib import Path

import pytest

from partsbin.errors import UsageError
from partsbin.jobs.delivery import Came, read_delivery


def written(tmp_path: Path, text: str) -> Path:
    """A delivery as a file."""
    file = tmp_path / "order.csv"
    file.write_text(text, encoding="utf-8")
    return file


def test_a_table_that_a_program_parted_with_semicolons_is_read(tmp_path: Path) -> None:
    """Spreadsheets of countries with decimal commas write so; 0,45 is 450 thousandths, by hand."""
    assert read_delivery(written(tmp_path, "part;pieces;price\nP-0007;3;0,45\n")) == [Came(7, 3, 450)]


def test_what_did_not_come_is_left_out(tmp_path: Path) -> None:
    """0 pieces."""
    assert read_delivery(written(tmp_path, "part,pieces\nP-0007,0\n")) == []


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("P-0007,3,0,45", r"order\.csv:2: 1 cells more than headings: '45'"),
        ("P-0007,3,-1", r"order\.csv:2: '-1' is not an amount of money"),
        (",3,1", r"order\.csv:2: '' is not a part number"),
        ("P-0007,-3,1", r"order\.csv:2: pieces: '-3' is no number of pieces"),
    ],
)
def test_a_cell_that_cannot_be_read_is_named_with_its_line(tmp_path: Path, row: str, said: str) -> None:
    """A decimal comma outside quotation marks is no price of 0."""
    with pytest.raises(UsageError, match=said):
        read_delivery(written(tmp_path, f"part,pieces,price\n{row}\n"))
