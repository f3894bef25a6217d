"""What comes from a supplier, booked onto the shelf: all of an order or a part of it, as one act."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import zip_longest
from pathlib import Path

from sqlalchemy import Connection, select, update

from partsbin.errors import NotationError, RefusedError, UsageError
from partsbin.families import load
from partsbin.jobs.orders import Ordered, arrived, lines, offer_id, offer_number, went_to
from partsbin.jobs.price_lists import said_in_words
from partsbin.jobs.reorder import Proposal
from partsbin.jobs.unread import read_lines
from partsbin.notation.money import read_money, say_money
from partsbin.stock.acts import Who, part_of
from partsbin.stock.catalogue import shelve
from partsbin.stock.export import write
from partsbin.stock.guard import unguarded
from partsbin.stock.ledger import Line, add_lines, open_act
from partsbin.stock.lists import read_cells
from partsbin.stock.parts import Draft
from partsbin.stock.shelf import get
from partsbin.store.offer_tables import Offer, Supplier
from partsbin.store.tables import Part, table_of

_COMMA = 'a price with a decimal comma stands in quotation marks: "0,45"'
COLUMNS = ("order", "supplier", "article", "offer", "title", "pieces", "price", "sum", "for")
"""Of an order as a table; ``bought`` reads all of it again but the sum and what it is for."""


@dataclass(frozen=True)
class Came:
    """So many pieces of an offer that came, and what was paid for one, in thousandths; None: as ordered or offered.

    `order` is the order that they are of; None for what came without one: it is counted to the orders that are under way, the
    oldest first. `said` is what the list called it, by the names of its columns: it must be what the number stands for.
    """

    offer_id: int
    pieces: int
    price: int | None = None
    said: Mapping[str, str] = field(default_factory=dict)
    order: int | None = None


@dataclass(frozen=True)
class Booked:
    """A part on the shelf that pieces were booked to; `of` are the orders that they were of."""

    part_id: int
    title: str
    pieces: int
    price: int
    of: tuple[int, ...] = ()


@dataclass(frozen=True)
class _Goods:
    """What came: who sells it, what it is, where it goes; its lines of orders with the pieces that came of each."""

    number: str
    supplier: str
    article: str
    title: str
    part_id: int
    family: str
    price: int
    here_id: int | None
    of: tuple[tuple[Ordered, int], ...]


def book(connection: Connection, came: Sequence[Came], who: Who, *, place: str = "") -> list[Booked]:
    """Put what came on the shelf.

    Parameters
    ----------
    connection : Connection
        Inside a writing transaction.
    came : sequence of Came
        Offers and pieces.
    who : Who
        When, by whom, why.
    place : str
        Where what is new on the shelf lies.

    Returns
    -------
    list of Booked
        The parts: the one that earlier deliveries of an offer went to, or a new one.

    Raises
    ------
    UsageError
        If a number is that of no offer, or of another one than the list says, or no pieces came.
    RefusedError
        If more came of an order than is to come of it: what was booked once is not booked twice.
    """
    if not came:
        return []
    act_id = open_act(connection, "bought", **who.said())
    booked = []
    for each in came:
        if each.pieces < 1:
            raise UsageError(f"{each.pieces} pieces of {offer_number(each.offer_id)}", hint="how many came, 1 or more")
        goods = _ordered(connection, each) if each.order is not None else _offered(connection, each)
        _same(each, goods)
        booked.append(_book(connection, each, goods, who, act_id, place))
    return booked


def _ordered(connection: Connection, each: Came) -> _Goods:
    """What came of an order: all that is said of it stands there, whatever the price list has become."""
    assert each.order is not None
    number = offer_number(each.offer_id)
    found = [line for line in lines(connection, order=each.order) if line.offer_id == each.offer_id]
    if not found:
        raise UsageError(f"order {each.order} has no {number}", hint=f"partsbin order show {each.order}")
    (line,) = found
    if each.pieces > line.coming:
        said = f"order {line.order}: {line.coming} of {line.pieces} × {line.article or line.title} still to come, not {each.pieces}"
        gone = f", {line.cancelled} cancelled" if line.cancelled else ""
        raise RefusedError(
            f"{said}: {line.came} came{gone}", hint=f"what came beyond it: partsbin bought {number} --pieces …"
        )
    offer = table_of(Offer)
    query = select(offer.c.here_id).where(
        offer.c.id == line.offer_id, offer.c.part_id == line.part_id, offer.c.supplier_id == line.supplier_id
    )
    here = connection.execute(query).scalar() or went_to(connection, line)
    return _Goods(
        number,
        line.supplier,
        line.article,
        line.title,
        line.part_id,
        line.family,
        line.price,
        here,
        ((line, each.pieces),),
    )


def _offered(connection: Connection, each: Came) -> _Goods:
    """What came by the number of an offer: of the orders under way first, then beyond them."""
    offer, part, supplier = table_of(Offer), table_of(Part), table_of(Supplier)
    read_lines(connection, [each.offer_id])
    query = (
        select(offer, part.c.title, part.c.family, supplier.c.name)
        .join(part, part.c.id == offer.c.part_id)
        .join(supplier, supplier.c.id == offer.c.supplier_id)
        .where(offer.c.id == each.offer_id)
    )
    row = connection.execute(query).mappings().first()
    number = offer_number(each.offer_id)
    if row is None:
        if said := connection.execute(select(offer.c.said).where(offer.c.id == each.offer_id)).scalar():
            raise UsageError(
                f"{number}: {said_in_words(said)!r} is not understood",
                hint="partsbin shelve puts on the shelf what it is",
            )
        gone = "the price list has changed since: partsbin order list names what is to come"
        raise UsageError(
            f"{number} is no offer", hint=gone if each.said else "partsbin reorder names the offers' numbers"
        )
    left, of = each.pieces, []
    for line in lines(connection, coming=True):
        if left and (line.supplier_id, line.article, line.part_id) == (
            row["supplier_id"],
            row["article"],
            row["part_id"],
        ):
            of.append((line, min(left, line.coming)))
            left -= of[-1][1]
    price = of[0][0].price if of else _price(json.loads(row["breaks"]), each.pieces)
    return _Goods(
        number,
        row["name"],
        row["article"],
        row["title"],
        row["part_id"],
        row["family"],
        price,
        row["here_id"],
        tuple(of),
    )


def _book(connection: Connection, each: Came, goods: _Goods, who: Who, act_id: int, place: str) -> Booked:
    price = each.price if each.price is not None else goods.price
    here = goods.here_id
    if here is not None:
        before = part_of(connection, here).row["price"]
        changes = {"price": (before, price)} if price != before else {}
        add_lines(connection, act_id, [Line(here, "bought", each.pieces, price=price, changes=changes)])
    else:
        sold = get(connection, load(goods.family), [goods.part_id])[goods.part_id]
        item = sold.item
        draft = Draft(
            goods.family, item.facts, title=goods.title, condition=item.condition or "new", marking=item.marking,
            count=each.pieces, place=place, price=price, maker=sold.row["maker"], year=item.year,
            note=f"bought from {goods.supplier}",
        )  # fmt: skip
        (here,) = shelve(connection, [draft], at=who.at, by=who.by, act_id=act_id, word="bought")
        offer = table_of(Offer)
        own = update(offer).where(offer.c.id == each.offer_id, offer.c.part_id == goods.part_id)
        connection.execute(own.values(here_id=here))
    for line, pieces in goods.of:
        arrived(connection, line.id, act_id, here, pieces)
    return Booked(here, goods.title, each.pieces, price, tuple(line.order for line, _ in goods.of))


def _same(each: Came, goods: _Goods) -> None:
    """Whether a number still means what the list says."""
    now = {"supplier": goods.supplier, "article": goods.article, "title": goods.title}
    for name, is_now in now.items():
        if name in each.said and each.said[name] != is_now:
            raise UsageError(
                f"{goods.number} is {goods.article or goods.title} of {goods.supplier}, the list says {name} {each.said[name]!r}",
                hint="book it by the number that partsbin order list gives",
            )


def _price(breaks: Sequence[Sequence[int]], pieces: int) -> int:
    steps = [price for start, price in breaks if start <= pieces]
    return int(steps[-1] if steps else breaks[0][1])


def order_rows(made: Proposal) -> list[dict[str, str]]:
    """Return a proposal as cells by column, money as people write it; no order has a number before it is sent."""
    return [
        _cells("", line.supplier, line.article, line.offer_id, line.title, line.pieces, line.price)
        | {"for": "; ".join(f"{n} × {name}" for name, n, _ in line.uses)}
        for line in made.lines
    ]


def ordered_rows(sent: Iterable[Ordered], *, coming: bool = False) -> list[dict[str, str]]:
    """Return lines of orders as cells by column: the pieces ordered, or those still to come."""
    return [
        _cells(
            str(line.order), line.supplier, line.article, line.offer_id, line.title, line.coming if coming else line.pieces, line.price
        )
        | {"for": "; ".join(line.uses)}
        for line in sent
    ]  # fmt: skip


def _cells(order: str, supplier: str, article: str, offer: int, title: str, pieces: int, price: int) -> dict[str, str]:
    return {
        "order": order,
        "supplier": supplier,
        "article": article,
        "offer": offer_number(offer),
        "title": title,
        "pieces": str(pieces),
        "price": say_money(price),
        "sum": say_money(price * pieces),
    }


def write_orders(sent: Sequence[Ordered], folder: Path) -> list[Path]:
    """Write one CSV an order into a folder, none over a file that is there; return the files."""
    folder.mkdir(parents=True, exist_ok=True)
    written = []
    for order in dict.fromkeys(line.order for line in sent):
        own = [line for line in sent if line.order == order]
        word = "".join(sign if sign.isalnum() else "-" for sign in own[0].supplier.lower()).strip("-") or "supplier"
        path = folder / f"order-{order}-{word[:60]}.csv"
        number = 1
        while path.exists():
            number += 1
            path = folder / f"order-{order}-{word[:60]}-{number}.csv"
        write(path, COLUMNS, ordered_rows(own))
        written.append(path)
    return written


def read_delivery(path: Path) -> list[Came]:
    """Read what came from an order as `write_orders` wrote it, or as a spreadsheet saved it: pieces as they came, 0 for what did not.

    Raises
    ------
    UsageError
        If a column is missing or a cell cannot be read; line and cell are named.
    """
    cells, came = read_cells(path, fields=COLUMNS), []
    if not {"order", "offer", "pieces"} <= set(cells.header):
        raise UsageError(
            f"{path.name}: no columns order, offer and pieces", hint="the CSV of partsbin reorder --folder"
        )
    for line, values in cells.rows:
        row = {name: unguarded(cell.strip()) for name, cell in zip_longest(cells.header, values, fillvalue="")}
        if row.get(""):
            raise UsageError(f"{path.name}:{line}: more cells than headings: {row['']!r}", hint=_COMMA)
        pieces, order = row["pieces"], row["order"]
        if not pieces.isascii() or not pieces.isdecimal() or len(pieces) > 7:
            raise UsageError(f"{path.name}:{line}: pieces: {pieces!r} is no number of pieces")
        if not int(pieces):
            continue
        if not order:
            raise UsageError(f"{path.name}:{line}: a proposal, no order: nothing was sent by it", hint=_SENT)
        if not order.isascii() or not order.isdecimal() or len(order) > 9:
            raise UsageError(f"{path.name}:{line}: order: {order!r} is no number of an order")
        try:
            paid = read_money(row["price"]) if row.get("price") else None
            said = {name: row[name] for name in row if name in ("supplier", "article", "title")}
            came.append(Came(offer_id(row["offer"]), int(pieces), paid, said, int(order)))
        except (NotationError, UsageError) as fault:
            raise UsageError(f"{path.name}:{line}: {fault.message}", hint=fault.hint) from None
    return came


_SENT = "partsbin reorder --folder orders writes orders; partsbin bought O-0012 books what came without one"
