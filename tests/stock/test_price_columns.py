"""Which columns of suppliers' lists are about buying: headings of many kinds."""

from __future__ import annotations

import pytest

from partsbin.stock.price_columns import find_columns


@pytest.mark.parametrize(
    ("header", "starts"),
    [
        (("Item", "Price", "Price from 10", "Price from 100"), [1, 10, 100]),
        (("Artikelnummer", "Preis ab 1", "Preis ab 25"), [1, 25]),
        (("SKU", "1+", "10+", "100 pcs"), [1, 10, 100]),
    ],
)
def test_price_breaks_are_found_by_their_headings(header: tuple[str, ...], starts: list[int]) -> None:
    """The number in a heading says from how many pieces the price holds."""
    found = find_columns(header, {})
    assert [start for start, *_ in found.prices] == starts
    assert list(found.one.values()) == [header[0]] or header[0] == "Item"
