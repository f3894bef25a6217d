"""What suppliers sell, as far as buying goes: packs, the fewest, price breaks, what they have; and which articles are never bought."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from types import MappingProxyType

LINE = 1
"""What each line of an order counts beside its price, in thousandths: of two orders as dear the one with fewer parts is taken [-]."""

Weights = Mapping[tuple[int, int], int]
"""How many pieces of an article one piece of a need takes, by (need, article); 1 where nothing is said."""

MOST_COMPARED = 200
"""Pieces up to which articles are compared number by number [-]."""


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
    def falling(self) -> bool:
        """Whether a piece never costs more where more are bought."""
        return all(before >= after for (_, before), (_, after) in pairwise(self.breaks))

    def ample(self, pieces: int) -> bool:
        """Whether nobody is short of it who wants so many, however they are divided among those who want them."""
        if not self.falling or self.supply is None:
            return self.falling
        lowest = min((price for start, price in self.breaks if start <= self.supply), default=0)
        return self.supply >= 2 * self.least(pieces) and self.supply * lowest >= 2 * self.cost(pieces)

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


class Sensible:
    """How much of each article a least dear order can hold; what it cannot hold need not be tried.

    Parameters
    ----------
    wanted : sequence of int
        Pieces that each need wants [-].
    serving : sequence of sequence of int
        For each need the articles that serve it.
    goods : sequence of Goods
        The articles.
    shipping : mapping of int to Shipping
        By supplier.
    known : float
        What some order that serves all costs, in thousandths.
    weights : mapping of (int, int) to int
        Pieces of an article that one piece of a need takes [-].

    Notes
    -----
    `total` is what some order costs: `known`, or where each need buys its own least dear article that is ample and all suppliers
    send. No least dear order costs more, so a supplier whose sending is free only beyond that never sends for nothing. Whoever
    has more of an article than is wanted of it saves at most the sending by it: `limit` is what is paid for it at most. Where
    nothing is to be saved by having more, an article is never bought beside one of the same supplier that serves the same at
    least, is ample, and costs no more however many are wanted.
    """

    def __init__(
        self,
        wanted: Sequence[int],
        serving: Sequence[Sequence[int]],
        goods: Sequence[Goods],
        shipping: Mapping[int, Shipping],
        known: float = float("inf"),
        weights: Weights = MappingProxyType({}),
    ) -> None:
        self.goods, self.shipping, self.weights = goods, shipping, weights
        self.serves: dict[int, frozenset[int]] = {}
        for need, own in enumerate(serving):
            for article in own:
                self.serves[article] = self.serves.get(article, frozenset()) | {need}
        self.pieces = {
            article: sum(wanted[need] * self.weight(need, article) for need in own)
            for article, own in self.serves.items()
        }
        least = [
            min(
                (goods[a].cost(n * self.weight(need, a)) for a in own if goods[a].ample(self.pieces[a])),
                default=float("inf"),
            )
            for need, (n, own) in enumerate(zip(wanted, serving, strict=True))
            if n
        ]
        sending = sum(shipping.get(name, Shipping()).price for name in {goods[a].supplier for a in self.serves})
        self.total = min(sum(least) + sending + LINE * len(least), known)
        self.articles = sorted(set(self.serves) - set(self._dominated()))

    def weight(self, need: int, article: int) -> int:
        """Return how many pieces of an article one piece of a need takes [-]."""
        return self.weights.get((need, article), 1)

    def free(self, supplier: int) -> bool:
        """Whether a least dear order may be sent for nothing."""
        ship = self.shipping.get(supplier, Shipping())
        return bool(ship.price) and ship.free_from is not None and ship.free_from <= self.total

    def limit(self, article: int) -> float:
        """Return what is paid for an article at most, in thousandths."""
        item = self.goods[article]
        most = int(min(self.pieces[article], item.there))
        if not most:
            return 0.0
        return item.cost(most) + (self.shipping[item.supplier].price if self.free(item.supplier) else 0)

    def _dominated(self) -> list[int]:
        """Articles beside which another one of the same supplier is always as good."""
        costs = {
            article: [self.goods[article].cost(n) for n in range(1, pieces + 1)]
            for article, pieces in self.pieces.items()
            if pieces <= MOST_COMPARED and not self.free(self.goods[article].supplier)
        }
        gone: list[int] = []
        kept: dict[int, list[int]] = {}
        for article in sorted(costs, key=lambda a: (-len(self.serves[a]), costs[a], a)):
            same = kept.setdefault(self.goods[article].supplier, [])
            if any(self._covers(other, article, costs) for other in same):
                gone.append(article)
            else:
                same.append(article)
        return gone

    def _covers(self, one: int, other: int, costs: Mapping[int, Sequence[float]]) -> bool:
        return (
            self.serves[other] <= self.serves[one]
            and all(self.weight(need, one) <= self.weight(need, other) for need in self.serves[other])
            and self.goods[one].ample(self.pieces[one])
            and all(a <= b for a, b in zip(costs[one], costs[other], strict=False))
        )
