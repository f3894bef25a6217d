"""What comes from a supplier, booked onto the shelf: all of an order or a part of it, as one act."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from itertools import zip_longest
from pathlib import Path

from sqlalchemy import Connection, select, update

from partsbin.errors import NotationError, UsageError
from partsbin.families import load
from partsbin.jobs.reorder import Proposal
from partsbin.notation.money import read_money, say_money
from partsbin.stock.acts import Who, part_of
from partsbin.stock.catalogue import shelve
from partsbin.stock.export import write
from partsbin.stock.guard import unguarded
from partsbin.stock.ledger import Line, add_lines, open_act
from partsbin.stock.lists import read_cells
from partsbin.stock.parts import Draft
from partsbin.stock.shelf import get, id_of, number_of
from partsbin.store.offer_tables import Offer, Supplier
from partsbin.store.tables import Part, table_of

_COMMA = 'a price with a decimal comma stands in quotation marks: "0,45"'
COLUMNS = ("supplier", "article", "part", "title", "pieces", "price", "sum", "for")
"""Of an order as a table; ``bought`` reads all of it again but the sum and what it is for."""


@dataclass(frozen=True)
class Came:
    """So many pieces of an offer that came, and what was paid for one, in thousandths; None: as offered.

    `said` is what the order called it, by the names of its columns: the number of an offer that a later price list has no more may be
    that of another one by now.
    """

    offer_id: int
    pieces: int
    price: int | None = None
    said: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Booked:
    """A part on the shelf that pieces were booked to."""

    part_id: int
    title: str
    pieces: int
    price: int


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
        If a number is that of no offer, or of another one than the order says, or no pieces came.
    """
    if not came:
        return []
    act_id = open_act(connection, "bought", **who.said())
    booked = []
    for each in came:
        if each.pieces < 1:
            raise UsageError(f"{each.pieces} pieces of {number_of(each.offer_id)}", hint="how many came, 1 or more")
        booked.append(_book(connection, each, who, act_id, place))
    return booked


def _book(connection: Connection, each: Came, who: Who, act_id: int, place: str) -> Booked:
    offer, part, supplier = table_of(Offer), table_of(Part), table_of(Supplier)
    query = (
        select(
            offer.c.breaks, offer.c.here_id, offer.c.article, part.c.title, part.c.family, supplier.c.name, part.c.maker
        )
        .join(part, part.c.id == offer.c.part_id)
        .join(supplier, supplier.c.id == offer.c.supplier_id)
        .where(offer.c.part_id == each.offer_id)
    )
    row = connection.execute(query).mappings().first()
    if row is None:
        gone = "the price list has changed since: partsbin shelve puts it on the shelf with its price"
        raise UsageError(
            f"{number_of(each.offer_id)} is no offer",
            hint=gone if each.said else "partsbin reorder names the offers' numbers",
        )
    _same(each, {"supplier": row["name"], "article": row["article"], "title": row["title"]})
    price = each.price if each.price is not None else _price(row["breaks"], each.pieces)
    offered = get(connection, load(row["family"]), [each.offer_id])[each.offer_id]
    if row["here_id"] is not None:
        before = part_of(connection, row["here_id"]).row["price"]
        changes = {"price": (before, price)} if price != before else {}
        add_lines(connection, act_id, [Line(row["here_id"], "bought", each.pieces, price=price, changes=changes)])
        return Booked(row["here_id"], offered.title, each.pieces, price)
    item = offered.item
    draft = Draft(
        row["family"], item.facts, title=offered.title, condition=item.condition or "new", marking=item.marking,
        count=each.pieces, place=place, price=price, maker=row["maker"], year=item.year, note=f"bought from {row['name']}",
    )  # fmt: skip
    (here,) = shelve(connection, [draft], at=who.at, by=who.by, act_id=act_id, word="bought")
    connection.execute(update(offer).where(offer.c.part_id == each.offer_id).values(here_id=here))
    return Booked(here, offered.title, each.pieces, price)


def _same(each: Came, now: Mapping[str, str]) -> None:
    """Whether a number still means what the order says."""
    for name, is_now in now.items():
        if name in each.said and each.said[name] != is_now:
            raise UsageError(
                f"{number_of(each.offer_id)} is {now['article'] or now['title']} of {now['supplier']} now, "
                f"the order says {name} {each.said[name]!r}",
                hint="the price list has changed since: book it by its new number, or shelve it",
            )


def _price(breaks: Sequence[Sequence[int]], pieces: int) -> int:
    steps = [price for start, price in breaks if start <= pieces]
    return int(steps[-1] if steps else breaks[0][1])


def order_rows(made: Proposal) -> list[dict[str, str]]:
    """Return an order as cells by column, money as people write it."""
    return [
        {
            "supplier": line.supplier,
            "article": line.article,
            "part": number_of(line.part_id),
            "title": line.title,
            "pieces": str(line.pieces),
            "price": say_money(line.price),
            "sum": say_money(line.price * line.pieces),
            "for": "; ".join(f"{n} × {name}" for name, n, _ in line.uses),
        }
        for line in made.lines
    ]


def write_orders(made: Proposal, folder: Path) -> list[Path]:
    """Write one CSV a supplier into a folder, none over a file that is there; return the files."""
    folder.mkdir(parents=True, exist_ok=True)
    rows = order_rows(made)
    written = []
    for supplier in dict.fromkeys(row["supplier"] for row in rows):
        word = "".join(sign if sign.isalnum() else "-" for sign in supplier.lower()).strip("-") or "supplier"
        path = folder / f"order-{word[:60]}.csv"
        number = 1
        while path.exists():
            number += 1
            path = folder / f"order-{word[:60]}-{number}.csv"
        write(path, COLUMNS, [row for row in rows if row["supplier"] == supplier])
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
    if not {"part", "pieces"} <= set(cells.header):
        raise UsageError(f"{path.name}: no columns part and pieces", hint="the CSV of partsbin reorder")
    for line, values in cells.rows:
        row = {name: unguarded(cell.strip()) for name, cell in zip_longest(cells.header, values, fillvalue="")}
        if row.get(""):
            raise UsageError(f"{path.name}:{line}: more cells than headings: {row['']!r}", hint=_COMMA)
        pieces = row["pieces"]
        if not pieces.isascii() or not pieces.isdecimal() or len(pieces) > 7:
            raise UsageError(f"{path.name}:{line}: pieces: {pieces!r} is no number of pieces")
        if not int(pieces):
            continue
        try:
            paid = read_money(row["price"]) if row.get("price") else None
            said = {name: row[name] for name in row if name in ("supplier", "article", "title")}
            came.append(Came(id_of(row["part"]), int(pieces), paid, said))
        except (NotationError, UsageError) as fault:
            raise UsageError(f"{path.name}:{line}: {fault.message}", hint=fault.hint) from None
    return came
