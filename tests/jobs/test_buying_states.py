"""Ordering, cancelling, part deliveries, taking them back, new price lists in any order: stock, what comes, shortage add up."""

from __future__ import annotations

import tempfile
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from partsbin.errors import RefusedError
from partsbin.jobs.delivery import Came, book, read_delivery, write_orders
from partsbin.jobs.offers import take_offers
from partsbin.jobs.orders import cancel, lines, send
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
        self.booked: list[list[Came]] = []
        self.coming: list[dict[str, Any]] = []
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

    @rule()
    def sent(self) -> None:
        """What is short is ordered: it is coming."""
        with writing(self.engine) as connection:
            new = send(connection, propose(connection, [], self.who()), self.who())
        self.coming += [{"order": line.order, "offer": line.offer_id, "left": line.pieces} for line in new]

    @precondition(lambda self: any(line["left"] for line in self.coming))
    @rule(data=st.data())
    def comes(self, data: st.DataObject) -> None:
        """A part of what is under way comes, by the file of the order."""
        with reading(self.engine) as connection:
            files = write_orders(lines(connection, coming=True), Path(self.folder.name) / f"orders{self.who().at:%j}")
        came, said = list[Came](), [each for file in files for each in read_delivery(file)]
        for line in (line for line in self.coming if line["left"]):
            (each,) = (each for each in said if (each.order, each.offer_id) == (line["order"], line["offer"]))
            if n := data.draw(st.integers(0, line["left"])):
                came.append(Came(each.offer_id, n, each.price, each.said, each.order))
                line["left"] -= n
        with writing(self.engine) as connection:
            booked = book(connection, came, self.who(), place="drawer E1")
        assert sum(each.pieces for each in booked) == sum(each.pieces for each in came)
        if came:
            self.booked.append(came)

    @precondition(lambda self: any(line["left"] for line in self.coming))
    @rule(data=st.data())
    def more_comes_than_ordered(self, data: st.DataObject) -> None:
        """It is refused, and nothing is booked."""
        line = data.draw(st.sampled_from([line for line in self.coming if line["left"]]))
        with pytest.raises(RefusedError, match="still to come"), writing(self.engine) as connection:
            book(connection, [Came(line["offer"], line["left"] + 1, order=line["order"])], self.who())

    @precondition(lambda self: any(line["left"] for line in self.coming))
    @rule(data=st.data())
    def cancelled(self, data: st.DataObject) -> None:
        """One line does not come."""
        line = data.draw(st.sampled_from([line for line in self.coming if line["left"]]))
        with writing(self.engine) as connection:
            ((_, pieces),) = cancel(connection, line["order"], line["offer"])
        assert pieces == line["left"]
        self.coming.remove(line)

    @precondition(lambda self: self.booked)
    @rule()
    def goes_back(self) -> None:
        """The last delivery is taken back: what was not cancelled since is still to come."""
        with writing(self.engine) as connection:
            undo(connection, at=self.who().at, by=self.who().by)
        for each in self.booked.pop():
            for line in self.coming:
                if (line["order"], line["offer"]) == (each.order, each.offer_id):
                    line["left"] += each.pieces
                    break
            else:  # the rest of it was cancelled: what went back may come again
                self.coming.append({"order": each.order, "offer": each.offer_id, "left": each.pieces})

    @invariant()
    def adds_up(self) -> None:
        """What is here, what comes, what is to be ordered and what nobody offers make up the level."""
        if not hasattr(self, "offered"):
            return
        made, here = self.proposed(), sum(each.pieces for booked in self.booked for each in booked)
        (level,) = made.levels
        coming = sum(line["left"] for line in self.coming)
        ordered, missing = sum(use[1] for line in made.lines for use in line.uses), sum(n for _, n in made.missing)
        assert (level.here, level.coming) == (here, coming)
        assert level.order == max(LEVEL - here - coming, 0) == ordered + missing
        assert missing == max(LEVEL - here - coming - self.offered, 0)
        assert made.goods == sum(line.pieces * line.price for line in made.lines)


Buying.TestCase.settings = settings(max_examples=12, stateful_step_count=8, deadline=None)
TestBuying = Buying.TestCase
