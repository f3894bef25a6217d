"""What headings of other people's lists mean, and where the headings are."""

from __future__ import annotations

import pytest

from partsbin.stock.columns import all_fields
from partsbin.stock.headings import REMEMBERED, _meaning, find_heading, meaning

FIELDS = all_fields()

SLIPS = [
    ("Quantitiy", "count"),
    ("Bezeichung", "description"),
    ("Manufacterer", "maker"),
    ("Beschreibng", "description"),
    ("Referance", "designator"),
]


@pytest.mark.parametrize(("heading", "role"), SLIPS)
def test_a_slip_of_a_known_heading_is_understood(heading: str, role: str) -> None:
    """And is known to be less than sure."""
    found = meaning(heading, FIELDS)
    assert found.role == role
    assert 88 <= found.likeness < 100


@pytest.mark.parametrize("heading", ["Valve", "Values"])
def test_a_heading_near_another_keeps_its_own_meaning(heading: str) -> None:
    """A valve is no value."""
    assert meaning(heading, FIELDS).role == {"Valve": "description", "Values": "value"}[heading]


UNITS = [
    ("Wert (µF)", "value", "µF"),
    ("Voltage [V]", "voltage", "V"),
    ("capacitance in nF", "capacitance", "nF"),
    ("Toleranz (%)", "tolerance", "%"),
    ("Value (please fill in)", "value", ""),
]


@pytest.mark.parametrize(("heading", "role", "unit"), UNITS)
def test_a_heading_may_name_the_unit_of_its_numbers(heading: str, role: str, unit: str) -> None:
    """In brackets, or after ``in``; anything else there is no unit."""
    assert meaning(heading, FIELDS)[::2] == (role, unit)


TOPS = [
    ([("Description", "Qty"), ("22n 400V", "3")], 0),
    ([("Stock of the shed",), ("1 March",), ("Bezeichnung", "Anzahl", "Ort"), ("22n", "3", "A")], 2),
    ([("thing", "how much"), ("22n", "3")], 0),
    ([("Count of parts",), ("a", "b"), ("1", "2")], 1),
    ([], 0),
]


@pytest.mark.parametrize(("rows", "at"), TOPS)
def test_the_headings_are_found_below_what_stands_above_them(rows: list[tuple[str, ...]], at: int) -> None:
    """The row with the most known words; where none is known, the first that is as wide as a table."""
    assert find_heading(rows, FIELDS) == at


BY_UNIT = [
    ("C (µF)", "capacitance", "µF"),
    ("Kap. [nF]", "capacitance", "nF"),
    ("Spannung/V", "voltage", "V"),
    ("U [V]", "voltage", "V"),
    ("R (Ω)", "resistance", "Ω"),
    ("µF", "capacitance", "µF"),
    ("kOhm", "resistance", "kΩ"),
    ("VAC", "voltage", "V AC"),
    ("Tol [%]", "tolerance", "%"),
]


@pytest.mark.parametrize(("heading", "role", "unit"), BY_UNIT)
def test_a_unit_says_what_an_abbreviation_means(heading: str, role: str, unit: str) -> None:
    """In brackets, behind a stroke, or alone."""
    found = meaning(heading, FIELDS)
    assert (found.role, found.unit) == (role, unit)


QUALIFIED = [
    ("Wkg V", "voltage"),
    ("Max. voltage", "voltage"),
    ("Drawer no.", "place"),
    ("Stock level", "count"),
    ("Number in stock", "count"),
    ("Qty available", "count"),
    ("Anz.", "count"),
    ("Min stock", ""),
    ("On order", ""),
    ("Stock number", ""),
    ("Date", ""),
]


@pytest.mark.parametrize(("heading", "role"), QUALIFIED)
def test_words_beside_a_known_heading_qualify_it_or_make_it_another(heading: str, role: str) -> None:
    """What is to be kept, or on order, is not there."""
    assert meaning(heading, FIELDS).role == role


def test_however_many_headings_are_read_only_some_are_remembered() -> None:
    """Else the memory of a program that runs for months grows with every list."""
    for number in range(REMEMBERED + 10):
        meaning(f"x{number}", FIELDS)
    assert _meaning.cache_info().currsize <= REMEMBERED
