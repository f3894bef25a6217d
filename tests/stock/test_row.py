"""What the cells of one row say: fields of the family, columns of every part, problems in their place."""

from __future__ import annotations

from typing import Any

import pytest

from partsbin.stock.intake import REFUSED, RowAccount, take_in
from partsbin.stock.lists import Cells


def _one(header: str, row: str) -> RowAccount:
    """Take in one row; cells stand between bars."""
    cells = Cells("shelf.csv", tuple(header.split("|")), ((2, tuple(row.split("|"))),), ())
    return take_in(cells).rows[0]


@pytest.mark.parametrize("blank", ["", "~", "-", "?", "n/a", "Value"])
def test_a_cell_that_says_nothing_is_blank(blank: str) -> None:
    """Lists fill them in different ways."""
    assert _one("capacitance|voltage_dc|family", f"22n|{blank}|capacitor").fields == {"capacitance": 22e-9}


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
    ("family|Zustand|description", "capacitor|shiny|22n film", "Zustand: 'shiny' is not a condition"),
    ("Zustand|description", "dead|22n film", "Zustand: 'dead': the words say it is broken: 'dead'"),
    ("Zustand|description", "open primary|OPT 5k:3", "Zustand: 'open primary': the words say it is broken: 'open'"),
    ("Qty|description", "-3|22n film", "Qty: '-3' is no count"),
    ("count|description", "heaps of|22n film", "count: 'heaps of' is no count"),
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


def test_raw_cells_are_kept_under_headings_that_come_twice_or_are_empty() -> None:
    """No cell is lost for want of a name."""
    draft = _one("description|note||note", "22n film|a|b|c").draft
    assert draft is not None
    assert draft.file is not None
    assert draft.file[3] == {"description": "22n film", "note": "a", "[3]": "b", "note [4]": "c"}


def test_a_word_that_is_no_condition_is_kept_as_a_note_and_doubted() -> None:
    """In somebody's list; in our own it is a fault."""
    row = _one("Zustand|description", "80 %|22n film")
    assert (row.status, row.draft and row.draft.note, row.draft and row.draft.condition) == ("unsure", "80 %", "")


@pytest.mark.parametrize("word", ["ok", "Good", "tested", "geprüft"])
def test_a_sound_part_is_none_the_newer(word: str) -> None:
    """Words that call it whole say nothing of where it comes from."""
    row = _one("State|description", f"{word}|22n film")
    assert (row.status, row.draft and row.draft.condition) == ("taken", "")


def test_a_note_that_calls_the_part_broken_refuses_it() -> None:
    """Such a part must not be found for a job: whole ones are counted alone."""
    row = _one("description|Notes", "EL84|weak, heater open")
    assert (row.status, row.draft) == (REFUSED, None)
    assert "its note says it is broken" in row.problems[0].message


@pytest.mark.parametrize(
    ("cell", "year", "code"), [("1958", 1958, ""), ("1950s", None, "1950s"), ("c. 1961", 1961, "c. 1961")]
)
def test_a_rough_year_is_kept_as_a_date_code(cell: str, year: int | None, code: str) -> None:
    """With the year in it, if there is one."""
    draft = _one("description|Year", f"EL84|{cell}").draft
    assert draft is not None
    assert (draft.year, draft.date_code) == (year, code)


def test_a_tolerance_may_be_a_letter() -> None:
    """As it is written behind a value."""
    assert _one("Value|Tolerance|what", "470R|J|resistor").fields["tolerance"] == 0.05


def test_a_break_in_letters_is_found_in_a_note() -> None:
    """As the bench writes it."""
    assert "'o/c'" in _one("description|Notes", "EL84|o/c heater").problems[0].message


@pytest.mark.parametrize("cell", ["0..0022", "1,2,3", ".", "1e", "-4"])
def test_what_only_looks_like_a_number_is_a_fault(cell: str) -> None:
    """Reported with its cell, never a crash."""
    row = _one("Capacitance|Type", f"{cell}|Mica")
    assert (row.status, row.draft) == (REFUSED, None)
