"""What suppliers sell of some parts: prices worked out for those only whose turn may come, of a long list few."""

from __future__ import annotations

import json
from collections.abc import Collection, Iterator, Mapping, Sequence
from heapq import heapify, heappop, heappush
from operator import itemgetter
from typing import Any

from sqlalchemy import Connection, select

from partsbin.jobs.goods import Goods, Shipping
from partsbin.jobs.orders import offer_number
from partsbin.matching.offered import OnSale, Sale
from partsbin.notation.money import say_money
from partsbin.stock.shelf import number_of
from partsbin.store.offer_tables import Supplier
from partsbin.store.statements import Statement
from partsbin.store.tables import table_of

_OFFERS = Statement("""
SELECT id, part_id, supplier_id, breaks, least, pack, minimum, supply FROM offer WHERE part_id IN :ids
""")


class Offers:
    """What suppliers sell of some parts, with its prices; and what shipping costs."""

    def __init__(self, connection: Connection, parts: Collection[int]) -> None:
        shops = list(connection.execute(select(table_of(Supplier))).mappings())
        self.names = {row["id"]: row["name"] for row in shops}
        self.shipping = {row["id"]: Shipping(row["shipping"], row["free_from"]) for row in shops}
        found = _OFFERS.tuples_of_ids(connection, sorted(parts))
        found.sort(key=itemgetter(1, 2, 4, 0))
        self.rows = {row[0]: row for row in found}
        self.goods = _Made(self.rows)
        self.of_part: dict[int, dict[int, list[Any]]] = {}
        for row in found:  # of each part and supplier the lowest price first
            self.of_part.setdefault(row[1], {}).setdefault(row[2], []).append(row)

    def sale(self, pieces: int) -> Sale:
        """Return what gives, if so many pieces are wanted, the offers of some parts by supplier, the least dear first."""

        def of(parts: Sequence[int]) -> dict[int, Iterator[OnSale]]:
            queues: dict[int, list[list[Any]]] = {}
            for part in parts:
                for supplier, rows in self.of_part.get(part, {}).items():
                    queues.setdefault(supplier, []).append(rows)
            return {supplier: self._in_order(own, pieces) for supplier, own in sorted(queues.items())}

        return of

    def _in_order(self, queues: Sequence[list[Any]], pieces: int) -> Iterator[OnSale]:
        """Merge lists that rise by their lowest price: what is paid is worked out for those only whose turn it may be."""
        heap: list[tuple[float, int, int, int]] = [(rows[0][4], 0, at, 0) for at, rows in enumerate(queues)]
        heapify(heap)
        exact: dict[int, OnSale] = {}
        while heap:
            _, worked_out, at, place = heappop(heap)
            if worked_out:
                yield exact.pop(at)
                continue
            rows = queues[at]
            ident, part = rows[place][:2]
            if place + 1 < len(rows):
                heappush(heap, (rows[place + 1][4], 0, at, place + 1))
            price, there = self.goods[ident].on_sale(pieces)
            if there > 0:
                exact[ident] = OnSale(ident, part, price, there)
                heappush(heap, (price, 1, ident, 0))


class _Made(dict[int, Goods]):
    """Goods made when they are asked for: of a long list few are."""

    def __init__(self, rows: dict[int, Any]) -> None:
        super().__init__()
        self.rows = rows

    def __missing__(self, ident: int) -> Goods:
        _, _, supplier, breaks, _, pack, minimum, supply = self.rows[ident]
        steps = tuple((start, price) for start, price in json.loads(breaks))
        self[ident] = made = Goods(supplier, steps, pack, minimum, supply)
        return made


_SOLD = Statement("""
SELECT offer.id AS id, offer.part_id AS part_id, offer.article AS article, supplier.name AS supplier, offer.breaks AS breaks,
  offer.pack AS pack, offer.minimum AS minimum, offer.supply AS supply
FROM offer JOIN supplier ON supplier.id = offer.supplier_id WHERE offer.part_id IN :ids ORDER BY offer.least, offer.id
""")


def sold_as(connection: Connection, part_ids: Sequence[int], most: int = 3) -> list[str]:
    """Return in words who sells some parts at which price, of each part the least dear few, in the order of the parts.

    Parameters
    ----------
    connection : Connection
        Reading one state of the catalogue.
    part_ids : sequence of int
        Parts of origin "offered".
    most : int
        Offers of each part [-].
    """
    found: dict[int, list[str]] = {ident: [] for ident in part_ids}
    for row in _SOLD.of_ids(connection, list(found)) if found else ():
        found[row["part_id"]].append(_said(row))
    said = []
    for ident, lines in found.items():
        more = f"{number_of(ident)}: {len(lines) - most:,} more offers"
        said += [f"{number_of(ident)}: {line}" for line in lines[:most]] + [more] * (len(lines) > most)
    return said


def _said(row: Mapping[str, Any]) -> str:
    (_, first), *later = json.loads(row["breaks"])
    paid = ", ".join([say_money(first), *(f"{say_money(price)} from {start}" for start, price in later)])
    there = "" if row["supply"] is None else f", {row['supply']:,} there"
    pack = f", in packs of {row['pack']}" if row["pack"] > 1 else ""
    least = f", {row['minimum']} at least" if row["minimum"] > 1 else ""
    article = f"{row['article']} of " if row["article"] else ""
    return f"{offer_number(row['id'])}, {article}{row['supplier']}, at {paid}{pack}{least}{there}"
