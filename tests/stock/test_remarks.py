"""Notes beside a part in a list: damage is never silent because it stands in a column of its own."""

from __future__ import annotations

from pathlib import Path

import pytest

from partsbin.errors import RefusedError
from partsbin.stock.draft import draft_from_text
from partsbin.stock.intake import REFUSED, TAKEN, Intake, RowAccount
from partsbin.stock.lists import read_cells
from partsbin.stock.remarks import remark_on


def row_of(folder: Path, row: str) -> RowAccount:
    """Return what becomes of one row."""
    file = folder / "list.csv"
    file.write_text(f"family,description,condition,note\n{row}\n", encoding="utf-8")
    (rows,) = Intake(read_cells(file)).chunks(lambda keys: (), lambda numbers: ())
    return rows[0]


def test_a_part_whose_note_calls_it_broken_is_refused(tmp_path: Path) -> None:
    """The column, the note and the word are named."""
    row = row_of(tmp_path, "fuse,T500mA L 250V 5x20,new,one blown")
    assert row.status == REFUSED
    assert row.problems[0].text().startswith("list.csv:2: note: 'one blown': its note says it is broken: 'blown'")


def test_a_condition_column_that_calls_it_broken_says_so(tmp_path: Path) -> None:
    """Not merely an unknown condition."""
    row = row_of(tmp_path, "resistor,100k 1/2W,cracked,")
    assert "'cracked': the words say it is broken" in row.problems[0].text()


@pytest.mark.parametrize("row", ["potentiometer,1M log,new,noisy", "potentiometer,1M log scratchy,new,"])
def test_a_worn_part_is_never_taken_as_new(row: str, tmp_path: Path) -> None:
    """Whatever the column of its condition says; the word is in the account."""
    taken = row_of(tmp_path, row)
    assert taken.draft is not None
    assert taken.draft.condition == "salvaged"
    assert "salvaged" in " ".join(taken.notes)


def test_a_good_part_in_a_torn_box_is_taken(tmp_path: Path) -> None:
    """Said, and nothing else."""
    row = row_of(tmp_path, "fuse,T500mA L 250V 5x20,new,box torn")
    assert row.draft is not None
    assert (row.status, row.draft.condition, row.notes) == (
        TAKEN,
        "new",
        ("its note says 'torn', of what is round it",),
    )


def test_a_note_without_such_words_says_nothing() -> None:
    """Nor does none."""
    assert remark_on("", "fuse") == remark_on("from the clear-out, not blown", "fuse")


def test_shelving_reads_the_note_too() -> None:
    """The same words, one part at a time."""
    with pytest.raises(RefusedError, match="'one end cracked': the words say it is broken: 'cracked'"):
        draft_from_text("100k 1/2W", family="resistor", note="one end cracked")
