"""What the cells of a column look like."""

from __future__ import annotations

import pytest

from partsbin.stock.contents import RUNNING, described, is_data, is_money, shares
from partsbin.stock.headings import DESIGNATOR, RATING, VALUE

KINDS = [
    (["C1", "C2,C3", "R17", "RV2"], DESIGNATOR),
    (["4k7", "100n", "0.1uF", "2M2", "47 µF"], VALUE),
    (["400V", "250 VAC", "0.25W", "630 V DC"], RATING),
    (["1", "12", "about 50", "3 pcs"], "count"),
    (["capacitor", "Resistor", "valve"], "family"),
    (["new", "NOS", "gebraucht"], "condition"),
    (["P-0001", "P-0412"], "part"),
    (["1", "2", "3", "4"], RUNNING),
]


@pytest.mark.parametrize(("cells", "kind"), KINDS)
def test_a_column_of_a_kind_is_told(cells: list[str], kind: str) -> None:
    """Every cell of it looks like what it is."""
    assert shares(cells)[kind] == 1.0


@pytest.mark.parametrize(
    ("cells", "kind"), [(["EL84", "ECC83"], DESIGNATOR), (["film", "400V"], VALUE), (["3", "1"], RUNNING)]
)
def test_what_only_resembles_a_kind_is_not_taken_for_it(cells: list[str], kind: str) -> None:
    """A valve's type is no designator."""
    assert shares(cells)[kind] == 0.0


def test_blank_cells_say_nothing() -> None:
    """A share is one of the cells that are filled; an empty column looks like nothing."""
    assert shares(["C1", "", "~", "R2"])[DESIGNATOR] == 1.0
    assert shares(["", "-"]) == {}


def test_descriptions_are_told_from_links_and_numbers() -> None:
    """Words of the trade, or a text that is understood as a part."""
    assert described(["22n 400V film", "EL84", "Drehpotentiometer, linear"]) == 1.0
    assert described(["http://a.example/capacitor", "12", "C1", "Resistors_THT:R_10mm"]) == 0.0


def test_sums_of_money_are_known() -> None:
    """Whatever the heading says."""
    assert is_money(["0.40 €", "£2", "3 EUR"])
    assert not is_money(["100n", "3"])


@pytest.mark.parametrize(("cell", "data"), [("22n 400V film", True), ("C17", True), ("4k7", True), ("Wert", False)])
def test_a_cell_that_is_plainly_a_part_is_no_heading(cell: str, data: bool) -> None:
    """It would be lost if it were taken for one."""
    assert is_data(cell) is data
