"""A whole list into the catalogue: a stream, one transaction, all or nothing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

import pytest
from sqlalchemy import Engine, text

from partsbin.stock.intake import AGAIN, CHUNK, REFUSED, TAKEN
from partsbin.stock.lists import Cells
from partsbin.stock.taking import look_over, take_list
from partsbin.store.engine import reading

HEADER = ("family", "description", "count")
GOOD, BAD = ("capacitor", "22n 400V film", "3"), ("capacitor", "47n film", "x")


def cells(*rows: tuple[str, ...], header: tuple[str, ...] = HEADER, name: str = "shelf.csv") -> Cells:
    """Return a list."""
    return Cells(name, header, tuple(enumerate(rows, 2)), ())


def parts(engine: Engine) -> int:
    """Return how many parts there are."""
    with reading(engine) as connection:
        return int(connection.execute(text("SELECT count(*) FROM part")).scalar_one())


@pytest.mark.parametrize("at", [0, CHUNK + 5])
def test_one_bad_row_keeps_all_of_them_out(at: int, store: Engine, noon: datetime) -> None:
    """Also where thousands before it had been written; the account covers every row."""
    rows = [GOOD] * (CHUNK + 10)
    rows[at] = BAD
    account, written = take_list(store, cells(*rows), at=noon)
    assert written is None
    assert account.totals() | {TAKEN: CHUNK + 9, REFUSED: 1} == account.totals()
    assert [problem.line for problem in account.problems] == [at + 2]
    assert parts(store) == 0


def test_the_good_rows_may_be_kept(store: Engine, noon: datetime) -> None:
    """If that is said."""
    account, written = take_list(store, cells(GOOD, BAD, GOOD), at=noon, keep_good=True)
    assert (written, account.refused, parts(store)) == (2, 1, 2)


def test_a_list_taken_twice_adds_nothing(store: Engine, noon: datetime) -> None:
    """Equal rows are told apart by their number, over chunks too."""
    rows = [GOOD] * (CHUNK + 3)
    assert take_list(store, cells(*rows), at=noon)[1] == CHUNK + 3
    again, written = take_list(store, cells(*rows, GOOD), at=noon)
    assert (written, again.totals()[AGAIN], again.totals()[TAKEN]) == (1, CHUNK + 3, 1)


def test_looking_over_a_list_writes_nothing_and_says_the_same(store: Engine, noon: datetime) -> None:
    """With a catalogue and without."""
    take_list(store, cells(GOOD), at=noon)
    assert (
        look_over(store, cells(GOOD, GOOD, BAD)).totals() | {AGAIN: 1, TAKEN: 1, REFUSED: 1}
        == look_over(store, cells(GOOD, GOOD, BAD)).totals()
    )
    assert look_over(None, cells(GOOD)).totals()[TAKEN] == 1
    assert parts(store) == 1


def test_what_a_person_said_of_columns_holds_for_the_next_list_of_the_shape(store: Engine, noon: datetime) -> None:
    """Another file with the same headings; one with others is asked anew."""
    header, row = ("Stück", "Was", "Zeug"), ("3", "x", "22n 400V film")
    told, _ = take_list(store, cells(row, header=header), at=noon, given={"Zeug": "description", "Was": ""})
    assert (told.columns["Zeug"], told.why["Zeug"]) == ("description", "as told")
    later, written = take_list(store, cells(row, header=header, name="other.csv"), at=noon)
    assert written == 1
    assert (later.columns["Zeug"], later.why["Zeug"]) == ("description", "as told of an earlier file")
    assert later.columns["Was"] == "kept, not read"


def test_an_import_that_is_refused_remembers_nothing(store: Engine, noon: datetime) -> None:
    """All or nothing holds for that too."""
    header = ("Stück", "Zeug")
    take_list(store, cells(("x", "22n film"), header=header), at=noon, given={"Zeug": "description"})
    assert look_over(store, cells(("1", "22n film"), header=header)).why["Zeug"] != "as told of an earlier file"


@dataclass
class Watched:
    """Rows that count how far they have been read."""

    n: int
    read: int = 0

    def __iter__(self) -> Iterator[tuple[int, tuple[str, ...]]]:
        self.read = 0
        for line in range(2, self.n + 2):
            self.read += 1
            yield line, GOOD


def test_a_list_is_read_as_a_stream(store: Engine, noon: datetime) -> None:
    """No further ahead than a chunk, and the account keeps as many rows of each fate as it is told."""
    rows, seen = Watched(2 * CHUNK + 1), []
    account, written = take_list(
        store,
        Cells("shelf.csv", HEADER, rows, ()),
        at=noon,
        most=5,
        tell=lambda done, refused: seen.append((done, rows.read)),
    )
    assert seen == [(CHUNK, CHUNK), (2 * CHUNK, 2 * CHUNK), (2 * CHUNK + 1, 2 * CHUNK + 1)]
    assert (written, len(account.rows), account.totals()[TAKEN]) == (2 * CHUNK + 1, 5, 2 * CHUNK + 1)
