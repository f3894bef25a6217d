"""Keys of the rows of files."""

from __future__ import annotations

from collections import Counter

from hypothesis import given
from hypothesis import strategies as st

from partsbin.stock.row_keys import RowKeys

ROWS = st.lists(st.tuples(st.sampled_from("abc"), st.sampled_from(["", "1", "2"])), max_size=60)


def _keys(rows: list[tuple[str, str]], chunk: int, file: str = "a.csv") -> list[str]:
    keys = RowKeys()
    return [key for start in range(0, len(rows), chunk) for key in keys.keys(file, rows[start : start + chunk])]


@given(ROWS, st.integers(1, 20))
def test_every_row_has_a_key_of_its_own_however_it_is_cut(rows: list[tuple[str, str]], chunk: int) -> None:
    """Chunks change nothing."""
    keys = _keys(rows, chunk)
    assert len(set(keys)) == len(rows)
    assert keys == _keys(rows, 1000)


@given(ROWS)
def test_a_list_in_another_order_has_the_same_keys(rows: list[tuple[str, str]]) -> None:
    """A row that moved is still the same row; one more of its like has the next number."""
    moved = sorted(rows)
    assert Counter(_keys(rows, 7)) == Counter(_keys(moved, 7))
    assert set(_keys(rows, 7)) < set(_keys([*rows, ("c", "2")], 7))


def test_a_key_belongs_to_its_file() -> None:
    """The same row of another list is another row."""
    assert _keys([("a", "1")], 1) != _keys([("a", "1")], 1, "b.csv")
