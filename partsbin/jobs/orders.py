"""Orders under way: what was sent to suppliers, what of it came, what was cancelled, and what is still to come."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection, insert, select, update

from partsbin.errors import RefusedError, UsageError
from partsbin.stock.acts import Who
from partsbin.store.offer_tables import Arrival, Purchase, PurchaseLine, Supplier
from partsbin.store.statements import Statement
from partsbin.store.tables import table_of

if TYPE_CHECKING:
    from partsbin.jobs.reorder import Proposal

OFFER = "O-"
"""What the number of an offer begins with: O-0012."""


def offer_number(ident: int) -> str:
    """Return the number of an offer as people write it.

    Examples
    --------
    >>> offer_number(12), offer_number(200_000)
    ('O-0012', 'O-200000')
    """
    return f"{OFFER}{ident:04d}"


def offer_id(text: str) -> int:
    """Return the id of an offer by its number; a nought is as good as the letter.

    Raises
    ------
    UsageError
        If it is none.

    Examples
    --------
    >>> offer_id("O-0012"), offer_id("o12"), offer_id("0-12")
    (12, 12, 12)
    """
    said = text.strip().upper()
    digits = said[1:].removeprefix("-")
    if said[:1] not in ("O", "0") or not (digits.isascii() and digits.isdecimal()) or len(digits) > 15:
        raise UsageError(
            f"{text!r} is no number of an offer", hint="such as O-0012: partsbin reorder and find --offers name them"
        )
    return int(digits)


@dataclass(frozen=True)
class Ordered:
    """A line of an order that was sent.

    Parameters
    ----------
    id, order : int
        Of the line, and of the order.
    supplier_id, supplier : int, str
        To whom it was sent.
    offer_id, part_id : int
        The offer as it was then, and the part that says what it is.
    article, title, family : str
        What the supplier and what we call it.
    pieces, came, cancelled : int
        Ordered, booked so far, and not to come any more [-].
    price : int
        Of a piece, in thousandths.
    at : datetime
        When it was sent.
    uses : tuple of str
        What it was ordered for.
    """

    id: int
    order: int
    supplier_id: int
    supplier: str
    offer_id: int
    part_id: int
    article: str
    title: str
    family: str
    pieces: int
    came: int
    cancelled: int
    price: int
    at: datetime
    uses: tuple[str, ...]

    @property
    def coming(self) -> int:
        """Pieces still to come; more may have come than were ordered [-]."""
        return max(self.pieces - self.came - self.cancelled, 0)

    def as_json(self) -> dict[str, Any]:
        """Return it as it is printed."""
        return {
            "order": self.order,
            "supplier": self.supplier,
            "at": self.at.isoformat(),
            "offer": offer_number(self.offer_id),
            "article": self.article,
            "title": self.title,
            "pieces": self.pieces,
            "came": self.came,
            "cancelled": self.cancelled,
            "coming": self.coming,
            "price": self.price,
            "uses": list(self.uses),
        }


_LINES = Statement("""
SELECT line.id, line.purchase_id, supplier.id, supplier.name, line.offer_id, line.part_id, line.article, part.title, part.family,
  line.pieces,
  COALESCE((SELECT sum(arrival.pieces) FROM arrival WHERE arrival.line_id = line.id
    AND NOT EXISTS (SELECT 1 FROM act WHERE act.reverses_id = arrival.act_id)), 0),
  line.cancelled, line.price, purchase.at, line.uses
FROM purchase_line AS line JOIN purchase ON purchase.id = line.purchase_id JOIN supplier ON supplier.id = purchase.supplier_id
JOIN part ON part.id = line.part_id
ORDER BY line.id
""")


def lines(connection: Connection, *, order: int | None = None, coming: bool = False) -> list[Ordered]:
    """Return the lines of all orders, of one, or only those of which something is to come, the oldest first.

    Raises
    ------
    UsageError
        If there is no order of that number.
    """
    found = [_line(row) for row in _LINES.rows(connection, {})]
    if order is not None:
        found = [line for line in found if line.order == order]
        if not found:
            raise UsageError(f"no order {order}", hint="partsbin order list shows them")
    return [line for line in found if line.coming] if coming else found


def _line(row: Sequence[Any]) -> Ordered:
    *own, at, uses = row
    own[10] = int(own[10])  # a sum may come as a decimal number
    when = at if isinstance(at, datetime) else datetime.fromisoformat(str(at))
    return Ordered(*[*own, when, tuple(json.loads(uses) if isinstance(uses, str) else uses)])


def send(connection: Connection, made: Proposal, who: Who) -> list[Ordered]:
    """Note that a proposal was sent, as one order a supplier: from now on it is coming, until it is booked or cancelled.

    Parameters
    ----------
    connection : Connection
        Inside the writing transaction in which the proposal was made: nobody else has ordered the same meanwhile.
    made : Proposal
        The proposal.
    who : Who
        When and by whom.
    """
    purchase, line, shop = table_of(Purchase), table_of(PurchaseLine), table_of(Supplier)
    ids: dict[str, int] = dict(connection.execute(select(shop.c.name, shop.c.id)).all())
    new = []
    for supplier in dict.fromkeys(each.supplier for each in made.lines):
        row = {"supplier_id": ids[supplier], "at": who.at, "by": who.by}
        order = int(connection.execute(insert(purchase).returning(purchase.c.id), row).scalar_one())
        rows = [
            {
                "purchase_id": order, "offer_id": each.offer_id, "part_id": each.part_id, "article": each.article,
                "pieces": each.pieces, "price": each.price, "cancelled": 0, "uses": [f"{n} × {name}" for name, n, _ in each.uses],
            }
            for each in made.lines
            if each.supplier == supplier
        ]  # fmt: skip
        connection.execute(insert(line), rows)
        new.append(order)
    return [each for each in lines(connection) if each.order in new]


def cancel(connection: Connection, order: int, offer: int | None = None) -> list[tuple[Ordered, int]]:
    """Note that what is still to come of an order, or of one offer of it, does not come; return the lines and the pieces.

    Raises
    ------
    UsageError
        If there is no such order, or no such offer in it.
    RefusedError
        If nothing of it is to come.
    """
    found = lines(connection, order=order)
    if offer is not None:
        found = [line for line in found if line.offer_id == offer]
        if not found:
            raise UsageError(f"order {order} has no {offer_number(offer)}", hint=f"partsbin order show {order}")
    gone = [(line, line.coming) for line in found if line.coming]
    if not gone:
        raise RefusedError(f"nothing of order {order} is to come", hint=f"partsbin order show {order}")
    table = table_of(PurchaseLine)
    for line, pieces in gone:
        change = update(table).where(table.c.id == line.id).values(cancelled=line.cancelled + pieces)
        connection.execute(change)
    return gone


def arrived(connection: Connection, line_id: int, act_id: int, here_id: int, pieces: int) -> None:
    """Note that an act booked pieces of a line."""
    row = {"line_id": line_id, "act_id": act_id, "here_id": here_id, "pieces": pieces}
    connection.execute(insert(table_of(Arrival)), row)


def went_to(connection: Connection, line: Ordered) -> int | None:
    """Return the part on the shelf that earlier pieces of a line went to."""
    table = table_of(Arrival)
    query = select(table.c.here_id).where(table.c.line_id == line.id).order_by(table.c.id.desc())
    found = connection.execute(query).scalars().first()
    return None if found is None else int(found)


def by_kind(coming: Sequence[Ordered]) -> Mapping[int, int]:
    """Return the pieces to come of each part."""
    total: dict[int, int] = {}
    for line in coming:
        total[line.part_id] = total.get(line.part_id, 0) + line.coming
    return total
