"""Lists go out as they can come in again: nothing is lost, nothing is doubled, no cell is a formula."""

from __future__ import annotations

import random
from datetime import datetime
from pathlib import Path

import pytest
from sqlalchemy import Engine

from partsbin import families
from partsbin.errors import UsageError
from partsbin.families import load
from partsbin.stock.catalogue import shelve
from partsbin.stock.export import came, columns, exact, rows, write
from partsbin.stock.guard import guarded, unguarded
from partsbin.stock.intake import AGAIN, REFUSED, parts_here, take_in
from partsbin.stock.lists import Cells, ListError, read_cells
from partsbin.stock.parts import Draft
from partsbin.store.engine import open_store, reading, writing
from tests.families.random_parts import MAKERS

ENDINGS = (".csv", ".xlsx", ".json")
NASTY = ("-", "n/a", "=1+1", "+49", "-3", "@home", "'quoted", "'=1", 'a, "b"; c', "Ω µ ü", " padded ", "two\nlines")


def random_drafts(seed: int, n: int) -> list[Draft]:
    """Return parts of every family, some with words that a spreadsheet takes for formulas."""
    source = random.Random(seed)
    drafts = []
    for _ in range(n):
        draft = MAKERS[source.choice(families.names())](source)
        drafts.append(
            Draft(
                draft.family, draft.facts, title=load(draft.family).title(draft.facts) or "part", condition=draft.condition,
                count=draft.count, rough=source.random() < 0.2,
                marking=source.choice(NASTY).strip(),
                place=source.choice(("", "box 1", "=A1")),
                note=source.choice(NASTY).strip().replace("\n", " "), readings=draft.readings,
            )
        )  # fmt: skip
    return drafts


def shelf(folder: Path, name: str, drafts: list[Draft], noon: datetime) -> Engine:
    """Return a catalogue with the drafts."""
    engine = open_store(folder / name)
    with writing(engine) as connection:
        shelve(connection, drafts, at=noon)
    return engine


@pytest.mark.parametrize("ending", ENDINGS)
@pytest.mark.parametrize("seed", range(4))
def test_what_goes_out_comes_in_again_as_the_same_parts(seed: int, ending: str, tmp_path: Path, noon: datetime) -> None:
    """Every field of every family, readings and child rows: exported from both catalogues the lists are equal."""
    first = shelf(tmp_path, "first.sqlite", random_drafts(seed, 120), noon)
    with reading(first) as connection:
        before = list(rows(connection))
        assert write(tmp_path / f"out{ending}", columns(), before) == 120
    account = take_in(read_cells(tmp_path / f"out{ending}"))
    assert [problem.text() for problem in account.problems] == []
    second = shelf(tmp_path, "second.sqlite", account.drafts, noon)
    with reading(second) as connection:
        assert list(rows(connection)) == before


@pytest.mark.parametrize("ending", ENDINGS)
def test_a_list_that_the_catalogue_wrote_adds_nothing_to_it(ending: str, tmp_path: Path, noon: datetime) -> None:
    """Numbers and titles are here already."""
    engine = shelf(tmp_path, "c.sqlite", random_drafts(9, 60), noon)
    with reading(engine) as connection:
        write(tmp_path / f"out{ending}", columns(), rows(connection))
        account = take_in(read_cells(tmp_path / f"out{ending}"), here=parts_here(connection))
    assert (account.totals()[AGAIN], account.totals()[REFUSED], account.drafts) == (60, 0, [])


def test_rows_of_a_file_go_out_as_they_came(tmp_path: Path, noon: datetime) -> None:
    """Their own headings, their own cells, in their order."""
    cells = Cells(
        "box.csv", ("Wert", "Fach", "Preis"), ((2, ("22n 400V film", "=A1", "0,30")), (3, ("47n 400V", "2", ""))), ()
    )
    engine = shelf(tmp_path, "c.sqlite", take_in(cells).drafts, noon)
    with reading(engine) as connection:
        heading, found = came(connection, "box.csv")
        assert (heading, [list(row.values()) for row in found]) == (
            list(cells.header),
            [list(v) for _, v in cells.rows],
        )
        with pytest.raises(UsageError, match=r"no row came from 'bax\.csv'") as refused:
            came(connection, "bax.csv")
    assert "box.csv" in refused.value.hint


@pytest.mark.parametrize("cell", NASTY)
def test_the_guard_before_a_formula_comes_off_again(cell: str) -> None:
    """No cell begins as a formula does, and none is changed by going out and coming in."""
    assert not guarded(cell).startswith(("=", "+", "-", "@", "\t"))
    assert unguarded(guarded(cell)) == cell


@pytest.mark.parametrize(
    ("value", "unit"), [(22e-9, "F"), (1 / 3, "ohm"), (6.6000000000000005, "ohm"), (38.983050847457626, "-")]
)
def test_a_number_goes_out_with_all_its_figures(value: float, unit: str) -> None:
    """In trade notation where that is exact."""
    from partsbin.notation.quantity import read_quantity, to_float

    assert to_float(read_quantity(exact(value, unit), unit)) == value
    assert exact(22e-9, "F") == "22 nF"


@pytest.mark.parametrize("name", ["out.ods", "out"])
def test_an_ending_that_names_no_format_is_refused(name: str, tmp_path: Path) -> None:
    """With those that do; and nothing is written over."""
    with pytest.raises(ListError, match="is no format here"):
        write(tmp_path / name, ["a"], [])
    (tmp_path / "there.csv").write_text("mine")
    with pytest.raises(ListError, match="exists"):
        write(tmp_path / "there.csv", ["a"], [])
    assert (tmp_path / "there.csv").read_text() == "mine"
