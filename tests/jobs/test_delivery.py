"""What came from a supplier: onto the shelf, counted by the rule, out of the next order."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from sqlalchemy import Connection, Engine

from partsbin.errors import UsageError
from partsbin.jobs.delivery import Came, book, read_delivery
from partsbin.jobs.offers import take_offers
from partsbin.jobs.reorder import propose
from partsbin.jobs.stock_rules import add_rule, levels
from partsbin.stock.acts import Who, part_of
from partsbin.stock.columns import all_fields
from partsbin.stock.ledger import Line, act
from partsbin.stock.lists import read_cells
from partsbin.store.engine import reading, writing

FIRST = datetime(1957, 1, 2, 9, tzinfo=UTC)


def who(days: int) -> Who:
    """So many days after the first."""
    return Who(FIRST + timedelta(days=days), "bench")


@pytest.fixture
def listed(store: Engine, tmp_path: Path) -> Engine:
    """One offer, O-0001, and a rule of ten with a service level."""
    file = tmp_path / "prices.csv"
    file.write_text("Order code,Description,Price\nK1,47 nF 630V polyester axial,0.40\n", encoding="utf-8")
    take_offers(store, read_cells(file, fields=all_fields()), "Bridge", at=FIRST, condition="new")
    with writing(store) as connection:
        add_rule(connection, "capacitor", "47nF 400V", "coupling", 10, facts=["rail=250"], service=0.95, lead=30)
    return store


def left(connection: Connection, days: int) -> tuple[int, int]:
    """Pieces here, and those to be ordered."""
    (level,) = propose(connection, [], who(days)).levels
    return level.here, level.order


def test_what_came_in_two_parts_lies_together(listed: Engine) -> None:
    """By hand: 4 and 3 of ten; the second was dearer, and that is what one costs now."""
    with writing(listed) as connection:
        (one,) = book(connection, [Came(1, 4)], who(1), place="E1")
        (two,) = book(connection, [Came(1, 3, 450)], who(2))
        row = part_of(connection, one.part_id).row
    assert (one.part_id, one.price, two.price) == (two.part_id, 400, 450)
    assert (row["on_hand"], row["price"], row["condition"]) == (7, 450, "new")


def test_what_was_fitted_makes_the_point(listed: Engine) -> None:
    """By hand: 3 fitted in January, none in February, 1 of 3 brought back: a mean of one a month, here 8 of 10."""
    with writing(listed) as connection:
        (part,) = book(connection, [Came(1, 10)], who(1))
        act(connection, "fitted", [Line(part.part_id, "fitted", -3)], **who(3).said())
        act(connection, "returned", [Line(part.part_id, "returned", 1)], **who(4).said())
        (level,) = levels(connection, who(60).at)
    assert level.usage is not None
    assert (level.here, level.usage.months) == (8, (2, 0))
    assert "1 a month went in 2 months" in level.why


def test_half_a_delivery_is_none(listed: Engine) -> None:
    """Of two lines one is no offer: nothing is booked, and the rule is as short as before."""
    with pytest.raises(UsageError, match="O-0009 is no offer"), writing(listed) as connection:
        book(connection, [Came(1, 4), Came(9, 1)], who(1))
    with reading(listed) as connection:
        assert left(connection, 1) == (0, 10)


def written(tmp_path: Path, text: str) -> Path:
    """A delivery as a file."""
    file = tmp_path / "order.csv"
    file.write_text(text, encoding="utf-8")
    return file


def test_a_table_that_a_program_parted_with_semicolons_is_read(tmp_path: Path) -> None:
    """Spreadsheets of countries with decimal commas write so; 0,45 is 450 thousandths, by hand."""
    assert read_delivery(written(tmp_path, "order;offer;pieces;price\n2;O-0007;3;0,45\n")) == [Came(7, 3, 450, order=2)]


def test_what_did_not_come_is_left_out(tmp_path: Path) -> None:
    """0 pieces."""
    assert read_delivery(written(tmp_path, "order,offer,pieces\n2,O-0007,0\n")) == []


@pytest.mark.parametrize(
    ("row", "said"),
    [
        ("2,O-0007,3,0,45", r"order\.csv:2: more cells than headings: '45'"),
        ("2,O-0007,3,-1", r"order\.csv:2: '-1' is not an amount of money"),
        ("2,,3,1", r"order\.csv:2: '' is no number of an offer"),
        (",O-0007,3,1", r"order\.csv:2: a proposal, no order"),
        ("two,O-0007,3,1", r"order\.csv:2: order: 'two' is no number of an order"),
        ("2,O-0007,-3,1", r"order\.csv:2: pieces: '-3' is no number of pieces"),
    ],
)
def test_a_cell_that_cannot_be_read_is_named_with_its_line(tmp_path: Path, row: str, said: str) -> None:
    """A decimal comma outside quotation marks is no price of 0."""
    with pytest.raises(UsageError, match=said):
        read_delivery(written(tmp_path, f"order,offer,pieces,price\n{row}\n"))
