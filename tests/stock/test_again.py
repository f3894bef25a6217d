"""A list that comes in again with rows that have changed."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import pytest
from sqlalchemy import Engine, func, select

from partsbin.stock.intake import AGAIN, CHANGED, TAKEN, Account
from partsbin.stock.lists import read_cells
from partsbin.stock.taking import look_over, take_list
from partsbin.store.tables import Part, table_of

LIST = "Value;Qty;Where;Remarks\n22n 630V;3;A1;\n100k 1W;12;A2;\n100k 1W;12;A2;\nEL84;4;A3;\n"


def _take(store: Engine, folder: Path, text: str, noon: datetime) -> Account:
    file = folder / "stock.csv"
    file.write_text(text, encoding="utf-8")
    return take_list(store, read_cells(file), at=noon)[0]


def _parts(store: Engine) -> int:
    with store.connect() as connection:
        return int(connection.execute(select(func.count()).select_from(table_of(Part))).scalar_one())


@pytest.mark.parametrize(
    ("was", "now", "said"),
    [
        ("EL84;4;A3;", "EL84;3;A3;", "P-0004 is this row as it was, and is left so: Qty '4', now '3'"),
        ("22n 630V;3;A1;", "22n 630V;3;B7;", "P-0001 is this row as it was, and is left so: Where 'A1', now 'B7'"),
        ("EL84;4;A3;", "EL84;4;A3;spare", "P-0004 is this row as it was, and is left so: Remarks '', now 'spare'"),
    ],
)
def test_a_changed_row_is_not_shelved_twice(
    store: Engine, tmp_path: Path, noon: datetime, was: str, now: str, said: str
) -> None:
    """Another count, place or note is no other part; what has changed is said."""
    _take(store, tmp_path, LIST, noon)
    again = _take(store, tmp_path, LIST.replace(was, now), noon)
    assert (again.count[CHANGED], again.count[AGAIN], _parts(store)) == (1, 3, 4)
    assert [row.notes for row in again.rows if row.status == CHANGED] == [[said]]


def test_one_of_two_equal_rows_may_change(store: Engine, tmp_path: Path, noon: datetime) -> None:
    """The other is here as it was."""
    _take(store, tmp_path, LIST, noon)
    again = _take(store, tmp_path, LIST.replace("100k 1W;12;A2;", "100k 1W;5;A2;", 1), noon)
    assert (again.count[CHANGED], again.count[AGAIN], _parts(store)) == (1, 3, 4)


def test_a_new_row_of_the_same_part_is_a_new_part(store: Engine, tmp_path: Path, noon: datetime) -> None:
    """As long as the old row stands beside it."""
    _take(store, tmp_path, LIST, noon)
    again = _take(store, tmp_path, LIST + "EL84;2;B9;\n", noon)
    assert (again.count[TAKEN], again.count[CHANGED], _parts(store)) == (1, 0, 5)


def test_another_value_is_another_part(store: Engine, tmp_path: Path, noon: datetime) -> None:
    """Nobody can tell a correction from a new part."""
    _take(store, tmp_path, LIST, noon)
    assert _take(store, tmp_path, LIST.replace("22n", "33n"), noon).count[TAKEN] == 1


def test_a_dry_run_says_the_same(store: Engine, tmp_path: Path, noon: datetime) -> None:
    """And writes nothing."""
    _take(store, tmp_path, LIST, noon)
    file = tmp_path / "stock.csv"
    file.write_text(LIST.replace("EL84;4", "EL84;1"), encoding="utf-8")
    assert look_over(store, read_cells(file)).count[CHANGED] == 1
