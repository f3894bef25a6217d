"""What comes from a supplier, booked onto the shelf: all of an order or a part of it, as one act."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Connection, select, update

from partsbin.errors import UsageError
from partsbin.families import load
from partsbin.files import new_file
from partsbin.jobs.reorder import Proposal
from partsbin.notation.money import read_money, say_money
from partsbin.stock.acts import Who, part_of
from partsbin.stock.catalogue import shelve
from partsbin.stock.guard import harmless, unguarded
from partsbin.stock.ledger import Line, add_lines, open_act
from partsbin.stock.parts import Draft
from partsbin.stock.shelf import get, id_of, number_of
from partsbin.store.offer_tables import Offer, Supplier
from partsbin.store.tables import Part, table_of

COLUMNS = ("supplier", "article", "part", "title", "pieces", "price", "sum", "for")
"""Of an order as a table; ``bought`` reads part, pieces and price of it again."""


@dataclass(frozen=True)
class Came:
    """So many pieces of an offer that came, and what was paid for one, in thousandths; None: as offered."""

    offer_id: int
    pieces: int
    price: int | None = None


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
        If a number is that of no offer, or no pieces came.
    """
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
        select(offer.c.breaks, offer.c.here_id, part.c.family, supplier.c.name, part.c.maker)
        .join(part, part.c.id == offer.c.part_id)
        .join(supplier, supplier.c.id == offer.c.supplier_id)
        .where(offer.c.part_id == each.offer_id)
    )
    row = connection.execute(query).mappings().first()
    if row is None:
        raise UsageError(f"{number_of(each.offer_id)} is no offer", hint="partsbin reorder names the offers' numbers")
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


def _price(breaks: Sequence[Sequence[int]], pieces: int) -> int:
    steps = [price for start, price in breaks if start <= pieces]
    return int(steps[-1] if steps else breaks[0][1])


def order_rows(made: Proposal) -> list[dict[str, str]]:
    """Return an order as a table: `COLUMNS`, money as people write it, nothing that a spreadsheet takes for a formula."""
    return [
        {
            "supplier": harmless(line.supplier),
            "article": harmless(line.article),
            "part": number_of(line.part_id),
            "title": harmless(line.title),
            "pieces": str(line.pieces),
            "price": say_money(line.price),
            "sum": say_money(line.price * line.pieces),
            "for": harmless("; ".join(f"{n} × {name}" for name, n, _ in line.uses)),
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
        with new_file(path) as half, half.open("w", encoding="utf-8", newline="") as file:
            table = csv.DictWriter(file, COLUMNS)
            table.writeheader()
            table.writerows(row for row in rows if row["supplier"] == supplier)
        written.append(path)
    return written


def read_delivery(path: Path) -> list[Came]:
    """Read what came from a CSV as `write_orders` wrote it: pieces as they came, 0 for what did not.

    Raises
    ------
    UsageError
        If a column is missing or a cell cannot be read; line and cell are named.
    """
    came = []
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            table = csv.DictReader(file)
            if not {"part", "pieces"} <= set(table.fieldnames or ()):
                raise UsageError(f"{path.name}: no columns part and pieces", hint="the CSV of partsbin reorder")
            for row in table:
                pieces = (row["pieces"] or "").strip()
                if not pieces.isascii() or not pieces.isdecimal() or len(pieces) > 7:
                    raise UsageError(f"{path.name}:{table.line_num}: pieces: {pieces!r} is no number of pieces")
                paid = unguarded((row.get("price") or "").strip())
                if int(pieces):
                    came.append(Came(id_of(row["part"] or ""), int(pieces), read_money(paid) if paid else None))
    except (OSError, UnicodeDecodeError, csv.Error) as fault:
        raise UsageError(f"cannot read {path.name!r}: {fault}") from fault
    return came
