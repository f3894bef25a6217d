"""What is to be ordered: what plans are short of and rules are under, and the least dear order that covers it."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, select

from partsbin.checks import Verdict
from partsbin.jobs.buying import Goods, Order, Shipping, order
from partsbin.jobs.plan import plan
from partsbin.jobs.record import Opened
from partsbin.jobs.stock_rules import Level, levels
from partsbin.matching.offered import OnSale, Sale, Serving
from partsbin.needs import Request
from partsbin.stock.acts import Who
from partsbin.stock.shelf import number_of
from partsbin.store.offer_tables import Supplier
from partsbin.store.statements import Statement
from partsbin.store.tables import table_of

OF_EACH = 4
"""Least dear usable offers of each supplier among which the order for a need is sought, beside those sought for other needs [-]."""


@dataclass(frozen=True)
class Short:
    """Something that is wanted and not here."""

    request: Request
    pieces: int
    name: str
    why: str


@dataclass(frozen=True)
class Bought:
    """A line of the order: an offer, how many, at which price, and what it is for."""

    part_id: int
    supplier: str
    article: str
    title: str
    pieces: int
    price: int
    uses: tuple[tuple[str, int, str], ...]

    def as_json(self) -> dict[str, Any]:
        """Return it as it is printed."""
        return {
            "supplier": self.supplier,
            "article": self.article,
            "part": number_of(self.part_id),
            "title": self.title,
            "pieces": self.pieces,
            "price": self.price,
            "sum": self.pieces * self.price,
            "uses": [{"for": name, "pieces": n, "verdict": verdict} for name, n, verdict in self.uses],
        }


@dataclass(frozen=True)
class Proposal:
    """An order, what it costs, what nobody offers, and how the rules stand."""

    wanted: tuple[Short, ...]
    lines: tuple[Bought, ...]
    missing: tuple[tuple[Short, int], ...]
    levels: tuple[Level, ...]
    goods: int
    shipping: int

    def as_json(self) -> dict[str, Any]:
        """Return the document of schemas/order.json."""
        return {
            "wanted": [
                {"for": s.name, "family": s.request.family, "pieces": s.pieces, "why": s.why} for s in self.wanted
            ],
            "lines": [line.as_json() for line in self.lines],
            "missing": [{"for": short.name, "pieces": pieces} for short, pieces in self.missing],
            "rules": [level.as_json() for level in self.levels],
            "goods": self.goods,
            "shipping": self.shipping,
            "total": self.goods + self.shipping,
        }


def shortages(connection: Connection, jobs: Sequence[Opened]) -> list[Short]:
    """Return what the plan of the jobs is short of; a need whose part must be measured first is not short of it."""
    return [
        Short(
            served.wanted.request(served.job),
            served.left - served.pieces,
            f"{served.job.code} {served.name}",
            "nothing on the shelf is left for it",
        )
        for served in (plan(connection, jobs) if jobs else [])
        if served.pieces < served.left and served.wanted.position
    ]


def propose(connection: Connection, jobs: Sequence[Opened], who: Who) -> Proposal:
    """Return the order for what jobs are short of and stock rules ask for.

    Parameters
    ----------
    connection : Connection
        Reading one state of the catalogue.
    jobs : sequence of Opened
        The jobs; their plan says what is short.
    who : Who
        The clock: usage is counted up to now.
    """
    stand = levels(connection, who.at)
    wanted = shortages(connection, jobs)
    wanted += [Short(each.rule.request(), each.order, each.name, each.why) for each in stand if each.order]
    return cover(connection, wanted, tuple(stand))


def cover(connection: Connection, wanted: Sequence[Short], stand: tuple[Level, ...] = ()) -> Proposal:
    """Return the least dear order for what is wanted.

    Notes
    -----
    The optimum is proven over the least dear `OF_EACH` offers of every supplier that fit each need, by the price of a piece if
    as many are bought as it wants; over more where these have too few; and over whatever of them serves another need as well.
    What fits with care is bought where of what fits there is not enough. An offer that would have to be measured first is none.
    """
    stock = _Offers(connection) if wanted else None
    if stock is None:
        return Proposal((), (), (), stand, 0, 0)
    serving = [Serving(connection, short.request) for short in wanted]
    enough = [short.pieces for short in wanted]
    made, parts = _order(stock, wanted, serving, enough)
    if (
        made.short
    ):  # others may have taken what was thought enough: no need is left short that had enough for all of them
        total = sum(enough)
        made, parts = _order(stock, wanted, serving, [total if at in made.short else n for at, n in enumerate(enough)])
    lines = [_line(connection, stock, parts, at, n, wanted, serving, made.serves) for at, n in made.pieces.items()]
    missing = tuple((wanted[need], pieces) for need, pieces in made.short.items())
    lines.sort(key=lambda line: (line.supplier, line.article, line.part_id))
    return Proposal(tuple(wanted), tuple(lines), missing, stand, made.goods, made.shipping)


def _order(
    stock: _Offers, wanted: Sequence[Short], serving: Sequence[Serving], enough: Sequence[int]
) -> tuple[Order, list[int]]:
    """Return the least dear order over the offers that were looked at, and these: for each need as many as have enough pieces."""
    pool: dict[int, None] = {}
    for short, each, n in zip(wanted, serving, enough, strict=True):
        pool |= dict.fromkeys(each.cheapest(stock.sale(short.pieces), n, OF_EACH))
    parts = list(pool)
    place = {ident: at for at, ident in enumerate(parts)}
    serves = [[place[ident] for ident in _best(each, stock, n, parts)] for each, n in zip(serving, enough, strict=True)]
    goods = [stock.goods[ident] for ident in parts]
    return order([short.pieces for short in wanted], serves, goods, stock.shipping), parts


def _best(serving: Serving, stock: _Offers, enough: int, parts: Sequence[int]) -> list[int]:
    """Offers that fit; those that fit with care as well only where the others have not enough."""
    usable = serving.usable(parts)
    fit = [ident for ident in usable if serving.judged[ident].verdict is Verdict.FITS]
    return fit if sum(stock.goods[ident].there for ident in fit) >= enough else usable


_OFFERS = Statement("SELECT part_id, supplier_id, breaks, pack, minimum, supply FROM offer")
_NAMED = Statement("""
SELECT offer.part_id AS part_id, offer.article AS article, part.title AS title FROM offer JOIN part ON part.id = offer.part_id
WHERE offer.part_id IN :ids
""")


class _Offers:
    """Everything that suppliers sell, with its prices; and what shipping costs."""

    def __init__(self, connection: Connection) -> None:
        table = table_of(Supplier)
        rows = list(connection.execute(select(table)).mappings())
        self.names = {row["id"]: row["name"] for row in rows}
        self.shipping = {row["id"]: Shipping(row["shipping"], row["free_from"]) for row in rows}
        self.rows = {row[0]: row for row in _OFFERS.rows(connection, {})}
        self.goods = _Made(self.rows)
        self.known: dict[int, dict[int, OnSale]] = {}

    def sale(self, pieces: int) -> Sale:
        """Return what says, if so many pieces are wanted, what a piece of each part costs."""
        known = self.known.setdefault(pieces, {})

        def of(parts: Sequence[int]) -> dict[int, OnSale]:
            for ident in parts:
                if ident not in known:
                    known[ident] = self.goods[ident].on_sale(pieces)
            return {ident: known[ident] for ident in parts}

        return of


class _Made(dict[int, Goods]):
    """Goods made when they are asked for: of a long list few are."""

    def __init__(self, rows: dict[int, Any]) -> None:
        super().__init__()
        self.rows = rows

    def __missing__(self, ident: int) -> Goods:
        _, supplier, breaks, pack, minimum, supply = self.rows[ident]
        steps = json.loads(breaks) if isinstance(breaks, str) else breaks
        self[ident] = made = Goods(supplier, tuple((start, price) for start, price in steps), pack, minimum, supply)
        return made


def _line(
    connection: Connection,
    stock: _Offers,
    parts: Sequence[int],
    at: int,
    pieces: int,
    wanted: Sequence[Short],
    serving: Sequence[Serving],
    serves: Any,
) -> Bought:
    ident = parts[at]
    (row,) = _NAMED.of_ids(connection, [ident])
    uses = [(need, n) for (need, article), n in serves.items() if article == at]
    return Bought(
        ident,
        stock.names[stock.goods[ident].supplier],
        row["article"],
        row["title"],
        pieces,
        stock.goods[ident].price(pieces) or 0,
        tuple((wanted[need].name, n, serving[need].judged[ident].verdict.word) for need, n in uses),
    )
