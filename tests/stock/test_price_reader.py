"""Prices, packs and stock in suppliers' lists: figures of both kinds, no price taken for none."""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.errors import NotationError
from partsbin.stock.price_columns import PriceColumns, find_columns
from partsbin.stock.price_reader import Price, PriceReader, read_price


@given(st.integers(1, 9_999_999), st.booleans())
def test_an_amount_is_read_as_it_was_written(thousandths: int, comma: bool) -> None:
    """With two or four decimals, with signs between thousands and without, whichever sign the list uses."""
    whole, rest = divmod(thousandths, 1000)
    point, thousands = (",", ".") if comma else (".", ",")
    grouped = f"{whole:,}".replace(",", thousands)
    assert read_price(f"{grouped}{point}{rest:03d}0 €", comma=comma) == thousandths
    assert read_price(f"€ {whole}{point}{rest:03d}0", comma=comma) == thousandths


@pytest.mark.parametrize(
    ("text", "comma", "thousandths"),
    [
        ("1.234 €", True, 1_234_000),
        ("1,234", False, 1_234_000),
        ("1.234", False, 1_234),
        ("1,234", True, 1_234),
        ("0,125", False, 125),
        ("1.234.567", True, 1_234_567_000),
        ("12,50 €/100", True, 125),
        ("0.0001", False, 1),
    ],
)
def test_three_figures_behind_a_sign_are_what_the_list_makes_of_them(text: str, comma: bool, thousandths: int) -> None:
    """By hand: a list with decimal commas writes 1.234 for thousands; a price is rounded up to a thousandth."""
    assert read_price(text, comma=comma) == thousandths


@pytest.mark.parametrize("text", ["0", "0,00 €", "0.000"])
def test_nothing_is_sold_for_nothing(text: str) -> None:
    """Lists write 0 where they have no price: free of charge it would be bought before everything else."""
    with pytest.raises(NotationError, match="is no price"):
        read_price(text)


@pytest.mark.parametrize("text", ["on request", "-4.50", "4.50.", "1e3", "nan", "4 50 x"])
def test_what_is_no_amount_is_refused(text: str) -> None:
    """The cell is quoted."""
    with pytest.raises(NotationError, match="is not an amount of money"):
        read_price(text)


def read(row: Mapping[str, str], columns: PriceColumns) -> Price:
    """What a row says."""
    return PriceReader(columns, list(row), comma=False).read(list(row.values()))


def test_breaks_in_columns_of_their_own_are_read_row_by_row() -> None:
    """A quantity column beside each price; a break that a row does not have is left out."""
    found = find_columns(("Order code", "Qty 1", "Price 1", "Qty 2", "Price 2"), {})
    row = {"Order code": "K1", "Qty 1": "1", "Price 1": "0.50", "Qty 2": "25", "Price 2": "0.40"}
    assert read(row, found).breaks == ((1, 500), (25, 400))
    assert read({**row, "Qty 2": "", "Price 2": ""}, found).breaks == ((1, 500),)


def test_packs_and_stock_are_whole_pieces() -> None:
    """Words about stock say nothing of how many; a fraction of a pack is refused."""
    found = find_columns(("Code", "Price", "VPE", "MOQ", "In stock"), {})
    row = {"Price": "1.00", "VPE": "5", "MOQ": "10", "In stock": "> 1,000"}
    assert (read(row, found).pack, read(row, found).minimum) == (5, 10)
    assert read(row, found).supply == 1000
    assert read({**row, "In stock": "yes"}, found).supply is None
    with pytest.raises(NotationError, match="is no number of pieces"):
        read({**row, "VPE": "2.5"}, found)


def test_a_cell_that_comes_again_is_a_cell_of_its_own_column() -> None:
    """Ten in a pack are no ten in stock; a row without a price is refused behind one that has it, and again."""
    found = find_columns(("Code", "Price", "VPE", "MOQ", "In stock"), {})
    reader = PriceReader(found, ("Code", "Price", "VPE", "MOQ", "In stock"), comma=False)
    one, two = reader.read(("A", "1.00", "10", "", "")), reader.read(("B", "1.00", "", "10", "10"))
    assert ((one.pack, one.minimum, one.supply), (two.pack, two.minimum, two.supply)) == ((10, 1, None), (1, 10, 10))
    for _ in range(2):
        with pytest.raises(NotationError, match="no price is given"):
            reader.read(("C", "", "10", "", ""))
