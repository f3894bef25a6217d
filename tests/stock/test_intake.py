"""Taking in a list: every row becomes a part or is accounted for."""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import Engine

from partsbin.families import load
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
    ("Reference|Value", "R3|4k7", NOT_OURS, "resistor"),
    ("description", "3PDT toggle switch", NOT_OURS, "switch"),
    ("Reference|Value", "P19|OUTPUT", NOT_OURS, "potentiometer"),
    ("Reference|Value", "U4|CH1/CH2_B", NOT_OURS, ""),
    ("family|description", "capacitor|thing with legs", UNREAD, "capacitor"),
    ("place", "drawer 4", UNREAD, ""),
    ("Type|Amount|€ value", "ECC83|4|305", NOT_OURS, ""),
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


@pytest.mark.parametrize("blank", ["", "~", "-", "?", "n/a", "Value"])
def test_a_cell_that_says_nothing_is_blank(blank: str) -> None:
    """Lists fill them in different ways."""
    assert _one("capacitance|voltage_dc|family", f"22n|{blank}|capacitor").fields == {"capacitance": 22e-9}


def test_a_column_of_a_field_stands_before_the_description() -> None:
    """Whoever filled it in was more exact."""
    row = _one("description|voltage_dc", "22n 400V film|350 V")
    assert (row.fields["capacitance"], row.fields["voltage_dc"]) == (22e-9, 350.0)


def test_letters_that_lists_use_for_several_things_give_way_to_words() -> None:
    """T1 may be a transformer, unless the words beside it say what it is."""
    assert _one("Ref|Description", "V1|Ausgangstrafo 5k2:3").family == "transformer"


CELLS: list[tuple[str, str, str, Any]] = [
    ("capacitor", "capacitance", "0.02 mfd", 20e-9),
    ("capacitor", "voltage_dc", "350", 350.0),
    ("capacitor", "tolerance", "±10%", 0.1),
    ("capacitor", "tolerance", "5 %", 0.05),
    ("capacitor", "tolerance", "0.2", 0.2),
    ("capacitor", "tolerance_low", "-20 %", -0.2),
    ("capacitor", "dielectric", "Film-Polyester", "film-polyester"),
    ("capacitor", "safety_class", "x2", "X2"),
    ("capacitor", "polarised", "yes", True),
    ("capacitor", "polarised", "0", False),
    ("capacitor", "length", "35mm", 0.035),
    ("capacitor", "temperature_max", "105", 105.0),
    ("capacitor", "sections", "32+32uF 350V", [{"capacitance": 32e-6, "voltage_dc": 350.0}] * 2),
    ("transformer", "pairs", "45:1", [{"primary": "primary", "secondary": "secondary", "ratio": 45.0}]),
    ("transformer", "gapped", "ja", True),
    ("transformer", "served", "2xEL84", "2xEL84"),
    ("transformer", "dc_current", "48mA", 0.048),
]


@pytest.mark.parametrize(("family", "name", "cell", "value"), CELLS)
def test_a_cell_is_read_by_the_kind_of_its_field(family: str, name: str, cell: str, value: Any) -> None:
    """Trade notation, words in any case, yes and no, sections and pairs."""
    row = _one(f"family|{name}", f"{family}|{cell}")
    assert row.problems == []
    assert row.fields[name] == (pytest.approx(value) if isinstance(value, float) else value)


def test_a_lopsided_tolerance_is_read_into_its_two_ends() -> None:
    """As on old electrolytics."""
    row = _one("family|capacitance|tolerance", "capacitor|8u|-20/+50 %")
    assert (row.fields["tolerance_low"], row.fields["tolerance_high"]) == (-0.2, 0.5)
    assert "tolerance" not in row.fields


PROBLEMS = [
    ("capacitance|family", "47 potatoes|capacitor", "capacitance: '47 potatoes': 'potatoes' in '47 potatoes' is not"),
    ("capacitance|family", "0|capacitor", "capacitance: '0': 0 is impossible, expected more than 0"),
    ("capacitance|family", "5F|capacitor", "capacitance: '5F': 5 is impossible, expected at most 1"),
    ("tolerance|description", "900 %|22n film", "tolerance: '900 %': 9 is impossible, expected at most 1"),
    ("tolerance|description", "wide %|22n film", "tolerance: 'wide %': 'wide %' is not a tolerance"),
    ("dielectric|description", "chewing gum|22n", "dielectric: 'chewing gum': expected one of electrolytic, tantalum"),
    ("polarised|description", "perhaps|22n film", "polarised: 'perhaps': expected yes or no"),
    ("pairs|family", "wide|transformer", "pairs: 'wide': expected ratio per winding pair"),
    ("Family|description", "gubbins|22n", "Family: 'gubbins' is no family"),
    ("Zustand|description", "shiny|22n film", "Zustand: 'shiny' is not a condition"),
    ("Qty|description", "-3|22n film", "Qty: '-3' is no count"),
    ("count|description", "two|22n film", "count: 'two' is no count"),
    ("count|description", "²|22n film", "count: '²' is no count"),
    ("count|description", "99999999|22n film", "count: '99999999' is no count"),
    ("count|description", "9" * 5000 + "|22n film", "count: '9999"),
    ("year|description", "1066|22n film", "year: '1066' is no year"),
    ("year|description", "²⁰²⁰|22n film", "year: '²⁰²⁰' is no year"),
    ("readings|description", "esr=3|22n film", "readings: 'esr=3' is not NAME=VALUE"),
    ("readings|family", "ratio=-3|transformer", "readings: 'ratio=-3': expected a value above zero"),
    ("description", "22n film|over|long", "3 cells, the heading has 1"),
]


@pytest.mark.parametrize(("header", "row", "said"), PROBLEMS)
def test_a_row_that_cannot_be_is_refused_with_file_line_and_column(header: str, row: str, said: str) -> None:
    """Under the heading that the file gives it, quoting the cell."""
    account = _one(header, row)
    assert account.status == REFUSED
    assert account.draft is None
    assert account.problems[0].text().startswith(f"shelf.csv:2: {said}")


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


COUNTS = [
    ("3", 3, False),
    ("0", 0, False),
    ("about 50", 50, True),
    ("ca. 20", 20, True),
    ("~7", 7, True),
    ("etwa 12", 12, True),
    ("", 1, False),
]


@pytest.mark.parametrize(("text", "count", "rough"), COUNTS)
def test_a_count_is_exact_or_about(text: str, count: int, rough: bool) -> None:
    """Nobody counts a jar of discs; a part without a count is one."""
    draft = _one("count|description", f"{text}|22n film").draft
    assert draft is not None
    assert (draft.count, draft.rough) == (count, rough)


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


def test_raw_cells_are_kept_under_headings_that_come_twice_or_are_empty() -> None:
    """No cell is lost for want of a name."""
    draft = _one("description|note||note", "22n film|a|b|c").draft
    assert draft is not None
    assert draft.file is not None
    assert draft.file[3] == {"description": "22n film", "note": "a", "[3]": "b", "note [4]": "c"}


def test_columns_are_shown_with_what_they_were_taken_for() -> None:
    """Also those that are kept unread."""
    account = take_in(_cells("Ref|Wert|Footprint", "C1|22n 400V film|x"))
    assert account.columns == {"Ref": "designator", "Wert": "value", "Footprint": "kept, not read"}


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
    assert _import(store, LIST, noon).totals()[TAKEN] == 3
    again = _import(store, LIST, noon)
    assert again.totals() == {TAKEN: 0, UNSURE: 0, NOT_OURS: 1, UNREAD: 0, REFUSED: 1, AGAIN: 3}
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
    assert _import(store, other, noon).totals()[TAKEN] == 3


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
    assert account.totals()[REFUSED] == 8
    assert all(re.match(r"demo_inventory\.csv:\d+: \w+: ", problem.text()) for problem in account.problems)
