"""The least dear order over several suppliers: packs, minimum orders, price breaks, what they have, shipping; solved exactly."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from partsbin.errors import PartsbinError

LINE = 1
"""What each line of an order counts beside its price, in thousandths: of two orders as dear the one with fewer parts is taken [-]."""


MORE = 20
"""Sending that costs less than this share of what makes it free is paid: nobody buys a shelf full to save it [-]."""


@dataclass(frozen=True)
class Goods:
    """An article that a supplier sells; see `partsbin.store.offer_tables.Offer`."""

    supplier: int
    breaks: tuple[tuple[int, int], ...]
    pack: int = 1
    minimum: int = 1
    supply: int | None = None

    def price(self, pieces: int) -> int | None:
        """Return what a piece costs if so many are bought, None where so few are not sold."""
        found = [price for start, price in self.breaks if start <= pieces]
        return found[-1] if found and pieces >= self.minimum else None

    def least(self, pieces: int) -> int:
        """Return how many must be bought to have so many, by pack and minimum [-]."""
        wanted = max(pieces, self.minimum, self.breaks[0][0])
        return -(-wanted // self.pack) * self.pack

    @property
    def there(self) -> float:
        """Pieces that can be bought: whole packs of what the supplier has, none where that is under the least that is sold [-]."""
        if self.supply is None:
            return float("inf")
        whole = self.supply // self.pack * self.pack
        return float(whole) if whole >= self.least(1) else 0.0

    def on_sale(self, pieces: int) -> tuple[float, float]:
        """Return what a piece costs if so many are wanted, or as many as there are, and how many there are."""
        there = self.there
        n = int(min(pieces, there))
        return self.cost(n) / n if n else float("inf"), there

    def cost(self, pieces: int) -> float:
        """Return the least that so many pieces cost, infinity where there are not as many: more may cost less at a price break."""
        tried = {self.least(max(pieces, start)) for start in (0, *(start for start, _ in self.breaks))}
        costs = [n * p for n in tried if (p := self.price(n)) is not None and (self.supply is None or n <= self.supply)]
        return float(min(costs, default=float("inf")))


@dataclass(frozen=True)
class Shipping:
    """What a supplier wants for sending an order, and from what sum on nothing; in thousandths."""

    price: int = 0
    free_from: int | None = None

    def of(self, goods: int) -> int:
        """Return what is paid for sending goods of so much."""
        return 0 if self.free_from is not None and goods >= self.free_from else self.price


@dataclass(frozen=True)
class Order:
    """What to buy: pieces of each article, which of them serve which need, what no supplier has.

    Parameters
    ----------
    pieces : mapping of int to int
        By place among the articles [-].
    serves : mapping of (int, int) to int
        Pieces of an article for a need, by (need, article) [-].
    short : mapping of int to int
        Pieces of a need that nobody offers enough of [-].
    goods, shipping : int
        What it costs, in thousandths.
    """

    pieces: Mapping[int, int]
    serves: Mapping[tuple[int, int], int]
    short: Mapping[int, int]
    goods: int
    shipping: int


def order(
    wanted: Sequence[int],
    serving: Sequence[Sequence[int]],
    goods: Sequence[Goods],
    shipping: Mapping[int, Shipping],
    shared: Collection[int] = frozenset(),
) -> Order:
    """Return the least dear order.

    Parameters
    ----------
    wanted : sequence of int
        Pieces that each need wants [-].
    serving : sequence of sequence of int
        For each need the articles that serve it, by their place in `goods`.
    goods : sequence of Goods
        The articles.
    shipping : mapping of int to Shipping
        By supplier.
    shared : collection of int
        Needs that share pieces: one that is left over counts for each of them that it serves, as stock rules count what lies on
        the shelf. All other needs use pieces up.

    Returns
    -------
    Order
        As many pieces served as can be, then the least cost with shipping.

    Raises
    ------
    PartsbinError
        If the solver gives no proven optimum.

    Notes
    -----
    A mixed integer programme. For each price from a break: packs bought at it, and whether it is the one. For each supplier: whether
    anything is bought there, and whether shipping is free. What stays short costs more than the dearest order.
    """
    if not any(serving):
        return Order({}, {}, {at: n for at, n in enumerate(wanted) if n}, 0, 0)
    model = _Model(wanted, serving, goods, shipping, shared)
    return model.solve()


class _Model:
    """Columns are added one by one with what they cost; rows as {column: factor}, least, most."""

    def __init__(
        self,
        wanted: Sequence[int],
        serving: Sequence[Sequence[int]],
        goods: Sequence[Goods],
        shipping: Mapping[int, Shipping],
        shared: Collection[int],
    ) -> None:
        self.goods, self.shipping = goods, shipping
        self.cost: list[float] = []
        self.upper: list[float] = []
        self.rows: list[tuple[dict[int, float], float, float]] = []
        used = sorted({article for own in serving for article in own})
        total = sum(wanted)
        dear = 0.0
        self.tiers: dict[int, list[tuple[int, int]]] = {article: [] for article in used}
        money: dict[int, dict[int, float]] = {}
        sent = {g: self.column(float(shipping.get(g, Shipping()).price), 1) for g in {goods[a].supplier for a in used}}
        for article in used:
            item = goods[article]
            most = max(item.least(total), item.least(item.breaks[-1][0]), self._until_free(item))
            most = most if item.supply is None else min(most, item.supply // item.pack * item.pack)
            ones = {}
            for start, price in item.breaks:
                least = item.least(start)
                packs = self.column(price * item.pack, max(most // item.pack, 0))
                chosen = self.column(LINE, 1 if least <= most else 0)
                self.rows.append(({packs: item.pack, chosen: -float(least)}, 0, float("inf")))
                self.rows.append(({packs: item.pack, chosen: -float(max(most, 0))}, -float("inf"), 0))
                self.rows.append(({chosen: 1, sent[item.supplier]: -1}, -float("inf"), 0))
                self.tiers[article].append((packs, item.pack))
                money.setdefault(item.supplier, {})[packs] = float(price * item.pack)
                ones[chosen] = 1.0
                dear += price * most
            self.rows.append((ones, 0, 1))
        for supplier, paid in money.items():
            self._free(sent[supplier], paid, shipping.get(supplier, Shipping()))
        dear += sum(ship.price for ship in shipping.values()) + LINE * len(used) + 1
        self.serves: dict[tuple[int, int], int] = {}
        self.short: dict[int, int] = {}
        for need, pieces in enumerate(wanted):
            self.short[need] = self.column(dear, pieces)
            own = {self.short[need]: 1.0}
            for article in serving[need]:
                self.serves[need, article] = self.column(0.0, pieces)
                own[self.serves[need, article]] = 1.0
            self.rows.append((own, pieces, pieces))
        for article in used:
            row = {packs: float(size) for packs, size in self.tiers[article]}
            takers = {need: column for (need, which), column in self.serves.items() if which == article}
            row |= {column: -1.0 for need, column in takers.items() if need not in shared}
            self.rows.append((row, 0, float("inf")))
            self.rows += [({**row, column: -1.0}, 0, float("inf")) for need, column in takers.items() if need in shared]

    def _until_free(self, item: Goods) -> int:
        """Pieces of an article that alone are enough for free sending: more than is wanted may cost less [-]."""
        ship, price = self.shipping.get(item.supplier, Shipping()), min(price for _, price in item.breaks)
        if ship.free_from is None or not ship.price or price <= 0 or ship.price * MORE < ship.free_from:
            return 0
        return item.least(-(-ship.free_from // price))

    def column(self, cost: float, upper: float) -> int:
        """Add a whole number from 0 to `upper`."""
        self.cost.append(cost)
        self.upper.append(upper)
        return len(self.cost) - 1

    def _free(self, sent: int, paid: Mapping[int, float], ship: Shipping) -> None:
        """Shipping is free only for goods of enough money."""
        if ship.free_from is None or not ship.price:
            return
        free = self.column(-float(ship.price), 1)
        self.rows.append(({free: 1, sent: -1}, -float("inf"), 0))
        self.rows.append(({**paid, free: -float(ship.free_from)}, 0, float("inf")))

    def solve(self) -> Order:
        """Hand it to the solver, and read the order off."""
        import numpy as np
        from scipy.optimize import Bounds, LinearConstraint, milp
        from scipy.sparse import csr_array

        at = [(row, column, factor) for row, (own, _, _) in enumerate(self.rows) for column, factor in own.items()]
        row, column, factor = zip(*at, strict=True)
        matrix = csr_array((factor, (row, column)), shape=(len(self.rows), len(self.cost)))
        least, most = (np.array([each[which] for each in self.rows]) for which in (1, 2))
        result = milp(
            np.array(self.cost),
            integrality=np.ones(len(self.cost)),
            bounds=Bounds(np.zeros(len(self.cost)), np.array(self.upper, dtype=float)),
            constraints=LinearConstraint(matrix, least, most),
            options={"mip_rel_gap": 0.0},
        )
        if result.status != 0:
            raise PartsbinError(f"no proven least order: {result.message}", hint="order for fewer jobs at a time")
        values = np.rint(result.x).astype(int).tolist()
        pieces = {a: n for a, tiers in self.tiers.items() if (n := sum(values[p] * size for p, size in tiers))}
        paid: dict[int, int] = {}
        for article, n in pieces.items():
            supplier = self.goods[article].supplier
            paid[supplier] = paid.get(supplier, 0) + n * (self.goods[article].price(n) or 0)
        return Order(
            pieces,
            {key: values[column] for key, column in self.serves.items() if values[column]},
            {need: values[column] for need, column in self.short.items() if values[column]},
            sum(paid.values()),
            sum(self.shipping.get(supplier, Shipping()).of(sum_) for supplier, sum_ in paid.items()),
        )
