"""Price lists as suppliers write them: what a piece costs, how many there are, and what is no offer. The truth was written first."""

from __future__ import annotations

import json
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sqlalchemy import Engine, text

from partsbin.jobs.offers import take_offers
from partsbin.jobs.reorder import Short, cover
from partsbin.needs import Request
from partsbin.sets import read_facts
from partsbin.stock.columns import all_fields
from partsbin.stock.lists import read_cells
from partsbin.store.engine import open_store, reading
from tests.jobs.test_reorder import AT

FILM = "47n 630V polypropylene"
OTHER = "22n 400V polypropylene"
ONE = ((1, 500),)

Truth = tuple[tuple[tuple[int, int], ...], int, int, int | None]
"""Prices from how many pieces, in thousandths; pack; the fewest; how many there are."""

LISTS: list[tuple[str, str, list[Truth]]] = [
    ("Art.No.;Description;Price per 100", f"A;{FILM};12,00", [(((1, 120),), 1, 1, None)]),
    ("Code,Description,Price", f'A,{FILM},"£4.50 per 10"', [(((1, 450),), 1, 1, None)]),
    ("Code,Description,1,10,100", f"A,{FILM},0.50,0.40,0.30", [(((1, 500), (10, 400), (100, 300)), 1, 1, None)]),
    ("Code,Description,Price ex VAT,Price inc VAT", f"A,{FILM},0.40,0.50", [(ONE, 1, 1, None)]),
    ("Code,Description,Price inc VAT,Price ex VAT", f"A,{FILM},0.50,0.40", [(ONE, 1, 1, None)]),
    ("Code,Description,RRP,Our price", f"A,{FILM},0.90,0.50", [(ONE, 1, 1, None)]),
    ("Code,Description,Price", f"A,{FILM},POA", []),
    ("Code,Description,Price", f"A,{FILM},-0.50", []),
    ("Code,Description,Price", f"A,{FILM},0.00", []),
    ("Code,Description,Price", f"A,{FILM},0.40-0.50", []),
    ("Code,Description,Price", f"A,{FILM},=0.5", []),
    ("Code,Description,Price", 'A,EL84,"1,250.00"', [(((1, 1_250_000),), 1, 1, None)]),
    ("Code;Description;Price CHF", "A;EL84;1'250.00", [(((1, 1_250_000),), 1, 1, None)]),
    ("Code,Description,Price,Pack", f"A,{FILM},0.50,pack of 10", [(ONE, 10, 1, None)]),
    ("Code,Description,Price per pack,Pack size", f"A,{FILM},5.00,10", [(ONE, 10, 1, None)]),
    ("Code,Description,Price per pack", f"A,{FILM},5.00", []),
    ("Code,Description,Price,Stock", f"A,{FILM},0.50,out of stock", [(ONE, 1, 1, 0)]),
    ("Code,Description,Price,Stock", f"A,{FILM},0.50,no", [(ONE, 1, 1, 0)]),
    ("Code,Description,Price,Availability", f"A,{FILM},0.50,discontinued", [(ONE, 1, 1, 0)]),
    ("Code,Description,Price,Stock", f"A,{FILM},0.50,4 weeks", [(ONE, 1, 1, 0)]),
    ("Code,Description,Price,Stock", f"A,{FILM},0.50,due 12/2026", [(ONE, 1, 1, 0)]),
    ("Code,Description,Price,Stock", f"A,{FILM},0.50,-3", [(ONE, 1, 1, 0)]),
    ("Code,Description,Price,Stock", f"A,{FILM},0.50,in stock", [(ONE, 1, 1, None)]),
    ("Code,Description,Price,Stock", f"A,{FILM},0.50,normally stocked", [(ONE, 1, 1, None)]),
    ("Code,Description,Price,Stock", f"A,{FILM},0.50,500+", [(ONE, 1, 1, 500)]),
    ("Code,Description,Price,Delivery", f"A,{FILM},0.50,4 weeks", [(ONE, 1, 1, None)]),
    ("Bestell-Nr.;Bezeichnung;ab 1;ab 10;VPE", f"A;{FILM};0,50 €;0,40 €;5", [(((1, 500), (10, 400)), 5, 1, None)]),
    ("Code,Description,Price,Price from 10", f"A,{FILM},0.40,0.50", [(((1, 400), (10, 500)), 1, 1, None)]),
    ("Code,Description,Price", "A,EL84 heater open,1.00", []),
    ("Code,Description,Price", f"A,10 x {FILM},3.00", [(((10, 300),), 10, 10, None)]),
    ("Code,Description,Price", "A,EL84 matched pair,30.00", [(((2, 15_000),), 2, 2, None)]),
    ("Code,Description,Price,Stock", "A,EL84 matched quad,60.00,3", [(((4, 15_000),), 4, 4, 12)]),
    ("Code,Description,Price,Minimum order", f"A,{FILM},0.50,25", [(ONE, 1, 25, None)]),
    ("Code,Description,Price", f"A,{FILM},50p", [(ONE, 1, 1, None)]),
    ("Code,Description,Price (p)", f"A,{FILM},50", [(ONE, 1, 1, None)]),
    ("Code,Description,Price", f"A,{FILM},0.50 each", [(ONE, 1, 1, None)]),
    ("Code,Description,Price", f"A,{FILM},0.50/ea", [(ONE, 1, 1, None)]),
    ("Code;Description;Price", "A;EL84;16,-", [(((1, 16_000),), 1, 1, None)]),
    ("Code,Description,Price,Currency", f"A,{FILM},0.50,EUR", [(ONE, 1, 1, None)]),
    (
        "Code,Description,Price per 1000,MOQ,Order multiple",
        f"A,{FILM},9.50,1000,1000",
        [(((1, 10),), 1000, 1000, None)],
    ),
    ("Code,Description,Price", f"A,{FILM},0.50\nA,{FILM},0.60", [(ONE, 1, 1, None), (((1, 600),), 1, 1, None)]),
    ("Code,Description,Price", f"A,{FILM},0.50\nDescription,Code,Price\n{FILM},B,0.50", [(ONE, 1, 1, None)] * 2),
]


TURNED = "Price,Code,Description"
ROWS = (f"A1,{FILM},0.50", f"A2,{FILM},0.60", f"T3,{OTHER},0.70"), (f"0.80,B1,{FILM}", f"0.90,B2,{OTHER}")
"""Lines of the table that begins the list, and of another one whose columns stand in another order."""

BETWEEN = (
    "Capacitors,,",
    "total,,5",
    "Code,Description,Price",
    TURNED,
    f"A4,{FILM},",
    f"A5,{FILM}",
    f"A6,{FILM},1.10,more",
    "",
)
"""What sells nothing: headings, a total, no price, too few cells and too many, an empty line."""


def taken(store: Engine, folder: Path, heading: str, rows: str) -> list[tuple[object, ...]]:
    """Take a list in, its good rows at any rate; what is on sale then."""
    file = folder / "prices.csv"
    file.write_text(f"{heading}\n{rows}\n", "utf-8")
    take_offers(store, read_cells(file, fields=all_fields()), "Bridge", at=AT, condition="new", keep_good=True)
    asked = text("SELECT breaks, pack, minimum, supply FROM offer ORDER BY id")
    with reading(store) as connection:
        return [
            (tuple((start, paid) for start, paid in json.loads(row[0])), *row[1:]) for row in connection.execute(asked)
        ]


@pytest.mark.sqlite
@pytest.mark.parametrize(("heading", "rows", "truth"), LISTS)
def test_a_price_list_is_read_as_it_is_meant(
    store: Engine, tmp_path: Path, heading: str, rows: str, truth: list[Truth]
) -> None:
    """By hand: what a person who orders from it would say."""
    assert taken(store, tmp_path, heading, rows) == truth


@pytest.mark.sqlite
@settings(max_examples=30, deadline=None)
@given(st.lists(st.sampled_from([*ROWS[0], *ROWS[1], *BETWEEN]), max_size=12), st.integers(0, 4))
def test_each_line_keeps_its_article_and_its_price_whatever_stands_between(pieces: list[str], at_once: int) -> None:
    """In their order, read at once or later: other tables begin, headings and totals stand there, rows are refused."""
    with TemporaryDirectory() as folder:
        file, store = Path(folder) / "prices.csv", open_store(Path(folder) / "x.sqlite")
        file.write_text("\n".join(["Code,Description,Price", f"A0,{FILM},0.01", *pieces]) + "\n", "utf-8")
        cells = read_cells(file, fields=all_fields())
        account, _ = take_offers(store, cells, "B", at=AT, condition="new", keep_good=True, at_once=at_once)
        with reading(store) as connection:
            found = connection.execute(text("SELECT article, least FROM offer ORDER BY id")).all()
        store.dispose()
    truth, turned = [("A0", 10)], False
    for piece in pieces:
        turned = piece == TURNED or (turned and piece != "Code,Description,Price")
        if piece in ROWS[turned]:
            said = piece.split(",")
            truth.append((said[1], round(1000 * float(said[0]))) if turned else (said[0], round(1000 * float(said[2]))))
    assert found == truth
    assert sum(account.totals().values()) == len([piece for piece in pieces if piece]) + 1


def test_what_was_not_understood_of_an_article_is_said_where_it_is_ordered(store: Engine, tmp_path: Path) -> None:
    """The words that may hide something are those to look at before the order goes out."""
    taken(store, tmp_path, "Code,Description,Price", f"A,pack of 10 {FILM},3.00")
    need = Request("capacitor", "47nF 400V", "coupling", {}, read_facts(["rail=250"]))
    with reading(store) as connection:
        (line,) = cover(connection, [Short(need, 2, "C1", "wanted")]).lines
    assert "not understood: 'pack of 10'" in line.note


UNSAFE = (
    "10n 630V polypropylene, suits X2 positions",
    "10n 250VAC film",
    "10n 275V~ ceramic disc",
    "0.01uF 1000V waxed paper",
    "10n Y2 used",
    "10n X2 275V~ salvaged",
    "100n X2 275V~",
    "10n X9 275V~",
    "10n 630V dc polyester for mains use",
    "10n class X? 275V~",
)


@pytest.mark.parametrize("said", UNSAFE)
def test_no_words_make_what_is_unsafe_fit_across_the_mains(store: Engine, tmp_path: Path, said: str) -> None:
    """No class, a used one, the wrong value: none of it is ordered, however cheap."""
    taken(store, tmp_path, "Code,Description,Price", f'A,"{said}",0.01')
    need = Request("capacitor", "10nF 250V~", "mains-across", {}, read_facts([]))
    with reading(store) as connection:
        assert cover(connection, [Short(need, 1, "C9", "wanted")]).lines == ()
