"""Taking in a list: every row becomes a part or is accounted for."""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import Engine

from partsbin.families import load
from partsbin.stock import intake
from partsbin.stock.catalogue import get, shelve
from partsbin.stock.intake import (
    AGAIN,
    NOT_OURS,
    REFUSED,
    TAKEN,
    UNREAD,
    UNSURE,
    Account,
    RowAccount,
    keys_known,
    take_in,
)
from partsbin.stock.lists import Cells, read_cells
from partsbin.store.engine import reading, writing


def _cells(header: str, *rows: str) -> Cells:
    return Cells(
        "shelf.csv",
        tuple(header.split("|")),
        tuple((line, tuple(row.split("|"))) for line, row in enumerate(rows, 2)),
        ("as given",),
    )


def _one(header: str, row: str) -> RowAccount:
    return take_in(_cells(header, row)).rows[0]


STATUS = [
    ("description", "22n 400V film", TAKEN, "capacitor"),
    ("description", "output transformer 5k2:3", TAKEN, "transformer"),
    ("family|capacitance", "capacitor|22n", TAKEN, "capacitor"),
    ("family|readings", "capacitor|capacitance=22nF±1%", TAKEN, "capacitor"),
    ("description", "470K disc ceramic", UNSURE, "capacitor"),
    ("Reference|Value", "C3|16-16-8", UNSURE, "capacitor"),
    ("Reference|Value", "R3|4k7", TAKEN, "resistor"),
    ("description", "3PDT toggle switch", TAKEN, "switch"),
    ("Reference|Value", "P19|OUTPUT", UNREAD, "potentiometer"),
    ("Reference|Value", "U4|CH1/CH2_B", NOT_OURS, ""),
    ("family|description", "capacitor|thing with legs", UNSURE, "capacitor"),
    ("place", "drawer 4", UNREAD, ""),
    ("Type|Amount|€ value", "ECC83|4|305", TAKEN, "valve"),
    ("description", "305", NOT_OURS, ""),
    ("description", "42", NOT_OURS, ""),
    ("family|description", "capacitor|250", UNSURE, "capacitor"),
    ("family", "gubbins", REFUSED, ""),
    ("family|capacitance", "capacitor|-3n", REFUSED, "capacitor"),
]


@pytest.mark.parametrize(("header", "row", "status", "family"), STATUS)
def test_each_row_has_a_fate(header: str, row: str, status: str, family: str) -> None:
    """Taken, taken with a doubt, of a family not kept yet, not understood, or refused."""
    account = _one(header, row)
    assert (account.status, account.family) == (status, family)


def test_the_text_of_a_row_is_put_together_from_its_columns() -> None:
    """Value, rating and description, as other people's lists spread them."""
    row = _one("Ref|Value|Characteristics|Description", "C2|680n|50 VDC|Metallized Polyester (PET) Capacitors PCM 5 mm")
    assert {name: row.fields.get(name) for name in ("capacitance", "voltage_dc", "dielectric")} == {
        "capacitance": pytest.approx(680e-9),
        "voltage_dc": 50.0,
        "dielectric": "film-polyester",
    }


def test_a_column_of_a_field_stands_before_the_description() -> None:
    """Whoever filled it in was more exact."""
    row = _one("description|voltage_dc", "22n 400V film|350 V")
    assert (row.fields["capacitance"], row.fields["voltage_dc"]) == (22e-9, 350.0)


def test_letters_that_lists_use_for_several_things_give_way_to_words() -> None:
    """T1 may be a transformer, unless the words beside it say what it is."""
    assert _one("Ref|Description", "V1|Ausgangstrafo 5k2:3").family == "transformer"


def test_every_problem_of_a_row_is_reported() -> None:
    """Not the first alone: who mends the file wants to do it once."""
    account = _one(
        "family|capacitance|voltage_dc|dielectric|condition|count|year|readings",
        "capacitor|47 potatoes|-5|gum|shiny|-3|1066|esr=3",
    )
    assert {problem.column for problem in account.problems} == {
        "capacitance",
        "dielectric",
        "voltage_dc",
        "condition",
        "count",
        "year",
        "readings",
    }


def test_every_row_with_a_problem_is_reported() -> None:
    """In the order of the file."""
    account = take_in(_cells("description|count", "22n film|x", "47n film|3", "10n film|y"))
    assert [(problem.line, problem.column) for problem in account.problems] == [(2, "count"), (4, "count")]


def test_a_row_of_no_known_family_has_its_other_cells_looked_at() -> None:
    """The count beside it is wrong too."""
    account = _one("family|count", "gubbins|x")
    assert [problem.column for problem in account.problems] == ["family", "count"]


def test_a_row_becomes_a_part_with_all_that_it_says() -> None:
    """Columns of every part, readings, and where the row came from."""
    header = (
        "description|count|condition|place|donor|donor_lineup|marking|maker|date_code|year|lead_style|note|readings"
    )
    cells = _cells(
        header,
        "OPT 45:1|2|Salvaged|box T2|D-011|ECH81 EL84|OT 4501|Vale|57/3|1957|tags|from below|ratio=230V:5.1V",
    )
    draft = take_in(cells).rows[0].draft
    assert draft is not None
    assert (draft.count, draft.condition, draft.place, draft.donor) == (2, "salvaged", "box T2", "D-011")
    assert (draft.donor_lineup, draft.marking, draft.maker) == ("ECH81 EL84", "OT 4501", "Vale")
    assert (draft.date_code, draft.year, draft.lead_style, draft.note) == ("57/3", 1957, "tags", "from below")
    assert [r.quantity for r in draft.readings] == ["ratio"]
    assert draft.file is not None
    assert draft.file[:2] == ("shelf.csv", 2)
    assert list(draft.file[3]) == header.split("|")


def test_columns_are_shown_with_what_they_were_taken_for() -> None:
    """Also those that are kept unread."""
    account = take_in(_cells("Ref|Wert|Footprint", "C1|22n 400V film|x"))
    assert account.columns == {"Ref": "designator", "Wert": "value", "Footprint": "kept, not read"}


def test_columns_with_one_heading_are_shown_apart() -> None:
    """The second is kept unread, and does not hide the first."""
    assert take_in(_cells("note|note", "a|b")).columns == {"note": "note", "note [2]": "kept, not read"}


def test_equal_rows_of_one_file_are_parts_of_their_own() -> None:
    """Two lines, two parts, each with its key."""
    account = take_in(_cells("description", "22n 400V film", "22n 400V film"))
    keys = {draft.file[2] for draft in account.drafts if draft.file}
    assert len(keys) == 2


def _import(engine: Engine, cells: Cells, at: datetime) -> Account:
    with reading(engine) as connection:
        known = keys_known(connection, cells.name)
    account = take_in(cells, known=known)
    with writing(engine) as connection:
        shelve(connection, account.drafts, at=at)
    return account


LIST = _cells(
    "description|count", "22n 400V film|3", "22n 400V film|3", "47n 630V film|1", "100n film|x", "R1 4k7 resistor|1"
)


def test_a_list_taken_in_twice_adds_nothing(store: Engine, noon: datetime) -> None:
    """Rows that are here already are told from new ones; problems are problems both times."""
    assert _import(store, LIST, noon).totals()[TAKEN] == 4
    again = _import(store, LIST, noon)
    assert again.totals() == {
        TAKEN: 0,
        UNSURE: 0,
        NOT_OURS: 0,
        UNREAD: 0,
        REFUSED: 1,
        AGAIN: 4,
        intake.CHANGED: 0,
        intake.HEADING: 0,
    }
    assert again.drafts == []


def test_a_list_that_has_grown_adds_what_is_new(store: Engine, noon: datetime) -> None:
    """Wherever the new row stands, and a third equal row is a third part."""
    _import(store, LIST, noon)
    header = "description|count"
    grown = _cells(header, "10n 400V film|1", *("|".join(values) for _, values in LIST.rows), "22n 400V film|3")
    assert [row.line for row in _import(store, grown, noon).rows if row.status == TAKEN] == [2, 8]


def test_the_same_rows_of_another_file_are_other_parts(store: Engine, noon: datetime) -> None:
    """A key belongs to its file."""
    _import(store, LIST, noon)
    other = Cells("box.csv", LIST.header, LIST.rows, LIST.notes)
    assert _import(store, other, noon).totals()[TAKEN] == 4


def test_taken_in_parts_lie_in_the_catalogue(store: Engine, noon: datetime) -> None:
    """With the row that they came from."""
    _import(store, LIST, noon)
    with reading(store) as connection:
        parts = get(connection, load("capacitor"), [1, 2, 3])
    assert [(part.title, part.on_hand) for part in parts.values()] == [
        ("22 nF 400 V film", 3),
        ("22 nF 400 V film", 3),
        ("47 nF 630 V film", 1),
    ]


def test_the_account_as_json_names_every_row() -> None:
    """Line, fate, what was understood and every problem in words."""
    row = take_in(LIST).rows[3].as_json()
    assert (row["line"], row["status"], row["text"]) == (5, REFUSED, "100n film")
    assert row["problems"] == ["shelf.csv:5: count: 'x' is no count\n    hint: a whole number, or about 50"]


CELL = st.one_of(
    st.text(st.characters(exclude_categories=["Cs"]), max_size=30),
    st.sampled_from(
        ["22n 400V film", "470K", "C1", "R1", "capacitor", "5k:3", "new", "shiny", "3", "-1", "10 %", "yes"]
    ),
)
HEADING = st.sampled_from(
    [
        "description",
        "family",
        "capacitance",
        "tolerance",
        "pairs",
        "count",
        "condition",
        "year",
        "readings",
        "Ref",
        "Wert",
        "x",
    ]
)


@given(st.lists(HEADING, min_size=1, max_size=5), st.lists(st.lists(CELL, max_size=6), max_size=8))
def test_every_row_is_accounted_for(header: list[str], rows: list[list[str]]) -> None:
    """Whatever stands in the cells: as many fates as rows, a draft where a part was taken, a problem where one was refused."""
    numbered = tuple((line, tuple(row)) for line, row in enumerate(rows, 2))
    account = take_in(Cells("any.csv", tuple(header), numbered, ()))
    assert [row.line for row in account.rows] == [line for line, _ in numbered]
    assert sum(account.totals().values()) == len(rows)
    for row in account.rows:
        assert (row.draft is not None) == (row.status in (TAKEN, UNSURE))
        assert bool(row.problems) == (row.status == REFUSED)


def test_the_demonstration_list_reports_its_impossible_rows() -> None:
    """Eight of them, each with line and column; no other row is refused."""
    file = Path(__file__).parents[2] / "demo_inventory.csv"
    account = take_in(read_cells(file))
    assert account.totals()[REFUSED] == 11
    assert all(re.match(r"demo_inventory\.csv:\d+: \w+: ", problem.text()) for problem in account.problems)
