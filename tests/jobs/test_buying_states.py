"""Ordering, part deliveries, taking them back and new price lists in any order: stock and shortage add up at every step."""

from __future__ import annotations

import tempfile
from datetime import UTC, datetime, timedelta
from pathlib import Path

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from partsbin.jobs.delivery import Came, book, read_delivery, write_orders
from partsbin.jobs.offers import take_offers
from partsbin.jobs.reorder import Proposal, propose
from partsbin.jobs.stock_rules import add_rule
from partsbin.stock.acts import Who
from partsbin.stock.columns import all_fields
from partsbin.stock.keeping.verify import verify
from partsbin.stock.ledger import undo
from partsbin.stock.lists import read_cells
from partsbin.store.engine import open_store, reading, writing

LEVEL = 30
FIRST = datetime(1957, 4, 1, 9, tzinfo=UTC)
ARTICLES = ("47 nF 630V polyester axial", "47 nF 400V polypropylene axial", "0.05uF 1000V polyester axial", "ECC83")


class Buying(RuleBasedStateMachine):
    """One stock rule; a model that only counts pieces."""

    @initialize()
    def begin(self) -> None:
        """A price list and the rule."""
        self.folder = tempfile.TemporaryDirectory()
        self.engine = open_store(Path(self.folder.name) / "shelf.sqlite")
        self.days = self.files = 0
        self.booked: list[int] = []
        self.taken_in([20, 10, 0, 5], 40)
        with writing(self.engine) as connection:
            add_rule(connection, "capacitor", "47nF 400V", "coupling", LEVEL, facts=["rail=250"])

    def teardown(self) -> None:
        """Nothing is wrong with the catalogue; it is thrown away."""
        if hasattr(self, "engine"):
            with reading(self.engine) as connection:
                assert verify(connection) == []
            self.engine.dispose()
            self.folder.cleanup()

    def who(self) -> Who:
        """A day later than before."""
        self.days += 1
        return Who(FIRST + timedelta(days=self.days), "bench")

    def proposed(self) -> Proposal:
        """What is to be ordered now."""
        with reading(self.engine) as connection:
            return propose(connection, [], Who(FIRST + timedelta(days=self.days), "bench"))

    @rule(stock=st.lists(st.integers(0, 40), min_size=4, max_size=4), cents=st.integers(10, 90))
    def taken_in(self, stock: list[int], cents: int) -> None:
        """A price list of today: other prices, other stock, articles that are gone where there are none."""
        self.files += 1
        file = Path(self.folder.name) / f"prices{self.files}.csv"
        rows = [
            f"A{n},{text},0.{cents + n},{has}" for n, (text, has) in enumerate(zip(ARTICLES, stock, strict=True)) if has
        ]
        file.write_text(
            "\n".join(["Order code,Description,Price,In stock", *rows, "B1,470k 1W metal film,0.10,9"]), "utf-8"
        )
        take_offers(self.engine, read_cells(file, fields=all_fields()), "Bridge", at=FIRST, condition="new")
        self.offered = sum(stock[:3])

    @rule(data=st.data())
    def comes(self, data: st.DataObject) -> None:
        """An order is written, and a part of it comes."""
        made, self.files = self.proposed(), self.files + 1
        came: list[Came] = []
        for file in write_orders(made, Path(self.folder.name) / f"order{self.files}"):
            came += [
                Came(each.offer_id, n, each.price, each.said)
                for each in read_delivery(file)
                if (n := data.draw(st.integers(0, each.pieces)))
            ]
        with writing(self.engine) as connection:
            booked = book(connection, came, self.who(), place="drawer E1")
        assert sum(each.pieces for each in booked) == sum(each.pieces for each in came)
        if came:
            self.booked.append(sum(each.pieces for each in came))

    @precondition(lambda self: self.booked)
    @rule()
    def goes_back(self) -> None:
        """The last delivery is taken back."""
        with writing(self.engine) as connection:
            undo(connection, at=self.who().at, by=self.who().by)
        self.booked.pop()

    @invariant()
    def adds_up(self) -> None:
        """What is here, what is ordered and what nobody offers make up the level."""
        if not hasattr(self, "offered"):
            return
        made, here = self.proposed(), sum(self.booked)
        (level,) = made.levels
        ordered, missing = sum(use[1] for line in made.lines for use in line.uses), sum(n for _, n in made.missing)
        assert level.here == here
        assert level.order == LEVEL - here == ordered + missing
        assert missing == max(LEVEL - here - self.offered, 0)
        assert made.goods == sum(line.pieces * line.price for line in made.lines)


Buying.TestCase.settings = settings(max_examples=12, stateful_step_count=8, deadline=None)
TestBuying = Buying.TestCase
