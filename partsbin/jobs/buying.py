"""The least dear order over several suppliers: packs, minimum orders, price breaks, what they have, shipping; solved exactly."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from types import MappingProxyType

from partsbin.errors import PartsbinError
from partsbin.jobs.goods import LINE, Goods, Sensible, Shipping, Weights


@dataclass(frozen=True)
class Order:
    """What to buy: pieces of each article, which of them serve which need, what no supplier has.

    Parameters
    ----------
    pieces : mapping of int to int
        By place among the articles [-].
    serves : mapping of (int, int) to int
        Pieces of a need that an article serves, by (need, article) [-].
    short : mapping of int to int
        Pieces of a need that nobody offers enough of [-].
    goods, shipping : int
        What it costs, in thousandths.
    over : int
        By how much it may be dearer than the least at most, where the proof would have taken too long; in thousandths.
    """

    pieces: Mapping[int, int]
    serves: Mapping[tuple[int, int], int]
    short: Mapping[int, int]
    goods: int
    shipping: int
    over: int = 0


OUT_OF_TIME = 1
"""What the solver says then."""

ONE_EACH: Weights = MappingProxyType({})

PATIENCE = 10.0
"""How long the least dear order is looked for; then the best that was found is taken, and told for what it is [s]."""


def order(
    wanted: Sequence[int],
    serving: Sequence[Sequence[int]],
    goods: Sequence[Goods],
    shipping: Mapping[int, Shipping],
    shared: Collection[int] = frozenset(),
    weights: Weights = ONE_EACH,
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
    weights : mapping of (int, int) to int
        Pieces of an article that one piece of a need takes, by (need, article), where it takes more than one [-].

    Returns
    -------
    Order
        As many pieces served as can be, then the least cost with shipping.

    Raises
    ------
    PartsbinError
        If the solver finds no order in time that serves as many pieces as can be.

    Notes
    -----
    A mixed integer programme. For each price from a break: packs bought at it, and whether it is the one. For each supplier: whether
    anything is bought there, and whether shipping is free. What stays short costs more than the dearest order. First all sending is
    taken as paid, which is quickly proven; then what is free is reckoned with, where it can be reached at all for what that costs.
    """
    if not any(serving):
        return Order({}, {}, {at: n for at, n in enumerate(wanted) if n}, 0, 0)
    paid = {supplier: Shipping(ship.price) for supplier, ship in shipping.items()}
    sensible = Sensible(wanted, serving, goods, paid, weights=weights)
    model = _Model(wanted, serving, goods, paid, shared, sensible)
    first = model.solve() or model.solve(6 * PATIENCE)  # a busy machine has to be waited for: some order is wanted
    if first is None:
        raise PartsbinError("no least order was found in time", hint="order for fewer jobs or rules at a time")
    first = _sent(first, goods, shipping)
    cost = first.goods + first.shipping + LINE * len(first.pieces)
    sensible = Sensible(wanted, serving, goods, shipping, float("inf") if first.short else cost, weights)
    free = {
        supplier for supplier in {goods[article].supplier for article in sensible.serves} if sensible.free(supplier)
    }
    if not free:
        return first
    saved = sum(shipping[supplier].price for supplier in free)  # no more than this is saved where sending is free
    second = _Model(wanted, serving, goods, shipping, shared, sensible).solve()
    if second is None or sum(second.short.values()) > sum(first.short.values()):
        return replace(first, over=first.over + saved)
    second = _sent(second, goods, shipping)
    if second.over and first.goods + first.shipping <= second.goods + second.shipping:
        return replace(first, over=min(first.over + saved, second.over))
    return replace(second, over=min(first.over + saved, second.over))


def _sent(order: Order, goods: Sequence[Goods], shipping: Mapping[int, Shipping]) -> Order:
    """Say what an order costs."""
    paid: dict[int, int] = {}
    for article, n in order.pieces.items():
        supplier = goods[article].supplier
        paid[supplier] = paid.get(supplier, 0) + n * (goods[article].price(n) or 0)
    sending = sum(shipping.get(supplier, Shipping()).of(sum_) for supplier, sum_ in paid.items())
    return replace(order, goods=sum(paid.values()), shipping=sending)


class _Model:
    """Columns are added one by one with what they cost; rows as {column: factor}, least, most."""

    def __init__(
        self,
        wanted: Sequence[int],
        serving: Sequence[Sequence[int]],
        goods: Sequence[Goods],
        shipping: Mapping[int, Shipping],
        shared: Collection[int],
        sensible: Sensible,
    ) -> None:
        self.cost: list[float] = []
        self.upper: list[float] = []
        self.rows: list[tuple[dict[int, float], float, float]] = []
        used, dear = sensible.articles, 0.0
        self.tiers: dict[int, list[tuple[int, int]]] = {article: [] for article in used}
        money: dict[int, dict[int, float]] = {}
        sent = {g: self.column(float(shipping.get(g, Shipping()).price), 1) for g in {goods[a].supplier for a in used}}
        for article in used:
            item, limit = goods[article], sensible.limit(article)
            ones = {}
            for tier, (start, price) in enumerate(item.breaks):
                least, most = (
                    item.least(start),
                    self._most(item, tier, limit, sensible.pieces[article], exact=sensible.free(item.supplier)),
                )
                if least > most:
                    continue
                packs = self.column(price * item.pack, most // item.pack)
                chosen = self.column(LINE, 1)
                self.rows.append(({packs: item.pack, chosen: -float(least)}, 0, float("inf")))
                self.rows.append(({packs: item.pack, chosen: -float(most)}, -float("inf"), 0))
                self.rows.append(({chosen: 1, sent[item.supplier]: -1}, -float("inf"), 0))
                self.tiers[article].append((packs, item.pack))
                money.setdefault(item.supplier, {})[packs] = float(price * item.pack)
                ones[chosen] = 1.0
                dear += price * most
            if ones:
                self.rows.append((ones, 0, 1))
        for supplier, paid in money.items():
            if sensible.free(supplier):
                self._free(sent[supplier], paid, shipping[supplier])
        dear += sum(ship.price for ship in shipping.values()) + LINE * len(used) + 1
        self.dear = dear
        self.serves: dict[tuple[int, int], int] = {}
        self.short: dict[int, int] = {}
        for need, pieces in enumerate(wanted):
            self.short[need] = self.column(dear, pieces)
            own = {self.short[need]: 1.0}
            for article in (each for each in serving[need] if each in self.tiers):
                self.serves[need, article] = self.column(0.0, pieces)
                own[self.serves[need, article]] = 1.0
            self.rows.append((own, pieces, pieces))
        for article in used:
            row = {packs: float(size) for packs, size in self.tiers[article]}
            takers = {need: column for (need, which), column in self.serves.items() if which == article}
            taken = {column: -float(sensible.weight(need, article)) for need, column in takers.items()}
            row |= {column: taken[column] for need, column in takers.items() if need not in shared}
            self.rows.append((row, 0, float("inf")))
            own_rows = [{**row, column: taken[column]} for need, column in takers.items() if need in shared]
            self.rows += [(each, 0, float("inf")) for each in own_rows]

    @staticmethod
    def _most(item: Goods, tier: int, limit: float, pieces: int, *, exact: bool) -> int:
        """The most pieces that are sensibly bought at a price: whole packs for so much money, before a dearer price begins.

        Where sending may be free, nobody pays the dearer price for more than its own pieces to get there.
        """
        price = item.breaks[tier][1]
        most = int(limit // price) if price else item.least(pieces)
        if item.supply is not None:
            most = min(most, item.supply)
        if tier + 1 < len(item.breaks) and (exact or item.breaks[tier + 1][1] > price):
            most = min(most, item.breaks[tier + 1][0] - 1)
        return most // item.pack * item.pack

    def column(self, cost: float, upper: float) -> int:
        """Add a whole number from 0 to `upper`."""
        self.cost.append(cost)
        self.upper.append(upper)
        return len(self.cost) - 1

    def _free(self, sent: int, paid: Mapping[int, float], ship: Shipping) -> None:
        """Shipping is free only for goods of enough money."""
        assert ship.free_from is not None  # or it never is
        free = self.column(-float(ship.price), 1)
        self.rows.append(({free: 1, sent: -1}, -float("inf"), 0))
        self.rows.append(({**paid, free: -float(ship.free_from)}, 0, float("inf")))

    def solve(self, patience: float = PATIENCE) -> Order | None:
        """Hand it to the solver, and read the order off; None where nothing useful was found in time."""
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
            options={"mip_rel_gap": 0.0, "time_limit": patience},
        )
        over = 0
        if result.status == OUT_OF_TIME and result.x is not None and result.mip_dual_bound is not None:
            over = math.ceil(result.fun - result.mip_dual_bound)
        if result.status == OUT_OF_TIME and (result.x is None or over >= self.dear):
            return None
        if result.status not in (0, OUT_OF_TIME):
            raise PartsbinError(f"no least order: {result.message}", hint="order for fewer jobs at a time")
        values = np.rint(result.x).astype(int).tolist()
        return Order(
            {a: n for a, tiers in self.tiers.items() if (n := sum(values[p] * size for p, size in tiers))},
            {key: values[column] for key, column in self.serves.items() if values[column]},
            {need: values[column] for need, column in self.short.items() if values[column]},
            0,
            0,
            over,
        )
