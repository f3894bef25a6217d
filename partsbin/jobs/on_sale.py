"""What suppliers sell of some parts: prices worked out for those only whose turn may come, of a long list few."""

from __future__ import annotations

import json
from collections.abc import Collection, Iterator, Sequence
from heapq import heapify, heappop, heappush
from operator import itemgetter
from typing import Any

from sqlalchemy import Connection, select

from partsbin.jobs.buying import Goods, Shipping
from partsbin.matching.offered import OnSale, Sale
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
