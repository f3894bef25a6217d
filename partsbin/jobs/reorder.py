"""What is to be ordered: what plans are short of and rules are under, and the least dear order that covers it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from sqlalchemy import Connection, Engine

from partsbin.checks import Verdict
from partsbin.jobs.buying import Order, order
from partsbin.jobs.goods import Goods
from partsbin.jobs.on_sale import Offers
from partsbin.jobs.orders import Ordered, lines, offer_number
from partsbin.jobs.plan import Served, plan
from partsbin.jobs.record import Opened
from partsbin.jobs.standing_in import NONE_LEFT, most_for, pieces_for, rests
from partsbin.jobs.stock_rules import Level, levels
from partsbin.jobs.unread import read_for, waiting
from partsbin.matching.offered import Serving
from partsbin.needs import Request
from partsbin.stock.acts import Who
from partsbin.stock.shelf import Shelved, number_of
from partsbin.store.engine import reading
from partsbin.store.statements import Statement

OF_EACH = 4
"""Least dear usable offers of each supplier among which the order for a need is sought, beside those sought for other needs [-]."""

Uses = tuple[tuple[str, int, str], ...]
"""What pieces are for: its name, how many, with which verdict."""


def said_uses(uses: Uses, pieces: int) -> str:
    """Return what pieces are for, in words; those that count for several rules are said to."""
    said = "; ".join(f"{n} for {name} ({verdict})" for name, n, verdict in uses)
    return said + " (the same pieces count for each rule)" * (sum(n for _, n, _ in uses) > pieces)


@dataclass(frozen=True)
class Short:
    """Something that is wanted and not here."""

    request: Request
    pieces: int
    name: str
    why: str
    rule: bool = False
    whole: int = 1
    """Pieces that the whole need wants, of which these are short: two diodes stand in for two valves that share the work [-]."""


@dataclass(frozen=True)
class Coming:
    """Pieces that are ordered already, and what they are for."""

    line: Ordered
    uses: Uses

    def as_json(self) -> dict[str, Any]:
        """Return it as it is printed."""
        return {**self.line.as_json(), "uses": [_use(*use) for use in self.uses]}


@dataclass(frozen=True)
class Bought:
    """A line of the order: an offer, how many, at which price, and what it is for."""

    offer_id: int
    part_id: int
    supplier: str
    article: str
    title: str
    pieces: int
    price: int
    uses: Uses
    note: str = ""

    def as_json(self) -> dict[str, Any]:
        """Return it as it is printed."""
        return {
            "supplier": self.supplier,
            "article": self.article,
            "offer": offer_number(self.offer_id),
            "part": number_of(self.part_id),
            "title": self.title,
            "pieces": self.pieces,
            "price": self.price,
            "sum": self.pieces * self.price,
            "note": self.note,
            "uses": [_use(*use) for use in self.uses],
        }


def _use(name: str, pieces: int, verdict: str) -> dict[str, Any]:
    return {"for": name, "pieces": pieces, "verdict": verdict}


@dataclass(frozen=True)
class Proposal:
    """An order, what it costs, what is coming already, what nobody offers, and how the rules stand.

    Pieces of a part count for each rule that they serve, as on the shelf; a job takes its own. Of needs whose position is not said
    (`unsaid`) nobody knows what would serve them. `over` is by how much it may be dearer than the least, where no proof was
    found in time.
    """

    wanted: tuple[Short, ...]
    lines: tuple[Bought, ...]
    missing: tuple[tuple[Short, int], ...]
    levels: tuple[Level, ...]
    goods: int
    shipping: int
    coming: tuple[Coming, ...] = ()
    unsaid: tuple[str, ...] = ()
    over: int = 0

    def comes(self, short: Short) -> int:
        """Return how many pieces of what is short are ordered already [-]."""
        return sum(n for each in self.coming for name, n, _ in each.uses if name == short.name)

    def said_of(self, short: Short) -> str:
        """Return how something short stands, in words: what is still to be ordered, what is coming."""
        comes, left = self.comes(short), short.pieces - self.comes(short)
        if not left:
            return f"{short.name}: {comes} coming"
        return f"{short.name}: {left} short" + f", {comes} coming" * bool(comes) + f" ({short.why})"

    def as_json(self) -> dict[str, Any]:
        """Return the document of schemas/order.json."""
        return {
            "wanted": [
                {"for": s.name, "family": s.request.family, "pieces": s.pieces, "coming": self.comes(s), "why": s.why}
                for s in self.wanted
            ],
            "coming": [each.as_json() for each in self.coming],
            "lines": [line.as_json() for line in self.lines],
            "missing": [{"for": short.name, "pieces": pieces} for short, pieces in self.missing],
            "unsaid": list(self.unsaid),
            "rules": [level.as_json() for level in self.levels],
            "goods": self.goods,
            "shipping": self.shipping,
            "total": self.goods + self.shipping,
            "over": self.over,
        }


def shortages(made: Sequence[Served]) -> list[Short]:
    """Return what a plan is short of; a need whose part must be measured first is not short of it."""
    return [
        Short(
            served.wanted.request(served.job),
            served.left - served.pieces,
            f"{served.job.code} {served.name}",
            "nothing on the shelf is left for it",
            whole=served.wanted.quantity,
        )
        for served in made
        if served.pieces < served.left and served.wanted.position
    ]


def look_up(
    engine: Engine,
    jobs: Callable[[Connection], Sequence[Opened]],
    who: Who,
    tell: Callable[[int], None] = lambda lines: None,
) -> int:
    """Read those lines of price lists that may be in the least dear order, before it is proposed.

    Parameters
    ----------
    engine : Engine
        The catalogue.
    jobs : callable
        ``jobs(connection)`` gives the jobs of which the order is.
    who : Who
        The clock.
    tell : callable
        ``tell(lines)`` now and then, with how many were read.

    Returns
    -------
    int
        Lines that might serve and were left unread, because they are too many for once [-].
    """
    with reading(engine) as connection:
        if not waiting(connection):
            return 0
        wanted, _, _ = _wanted(connection, jobs(connection), who, lines(connection, coming=True))
    return read_for(engine, [(short.request, short.pieces) for short in wanted], each=OF_EACH, tell=tell)


def propose(connection: Connection, jobs: Sequence[Opened], who: Who) -> Proposal:
    """Return the order for what jobs are short of and stock rules ask for, less what is ordered already.

    Parameters
    ----------
    connection : Connection
        Reading one state of the catalogue.
    jobs : sequence of Opened
        The jobs; their plan says what is short.
    who : Who
        The clock: usage is counted up to now.

    Notes
    -----
    Lines of price lists that wait unread are not looked at: `look_up` reads those that matter.
    """
    under_way = lines(connection, coming=True)
    wanted, stand, made = _wanted(connection, jobs, who, under_way)
    unsaid = tuple(f"{served.job.code} {served.name}" for served in made if served.left and not served.wanted.position)
    taken = Counter({ident: n for served in made for ident, n in served.taken().items()})
    left = rests(connection, under_way, taken, [job.id for job in jobs])
    return replace(cover(connection, wanted, tuple(stand), under_way, left), unsaid=unsaid)


def _wanted(
    connection: Connection, jobs: Sequence[Opened], who: Who, under_way: Sequence[Ordered]
) -> tuple[list[Short], list[Level], list[Served]]:
    """What jobs and rules are short of, how the rules stand, and the jobs' plan."""
    stand = levels(connection, who.at, under_way)
    made = plan(connection, jobs) if jobs else []
    wanted = shortages(made)
    wanted += [Short(each.rule.request(), each.short, each.name, each.why, rule=True) for each in stand if each.short]
    return wanted, stand, made


def cover(
    connection: Connection,
    wanted: Sequence[Short],
    stand: tuple[Level, ...] = (),
    under_way: Sequence[Ordered] = (),
    left: Mapping[int, int] = NONE_LEFT,
) -> Proposal:
    """Return the least dear order for what is wanted.

    Notes
    -----
    The optimum is proven over the least dear `OF_EACH` offers of every supplier that fit each need, by the price of a piece if
    as many are bought as it wants; over more where these have too few; and over whatever of them serves another need as well.
    What fits with care is bought where of what fits there is not enough. An offer that would have to be measured first is none.
    What is under way costs nothing any more, and serves what it is judged to serve now, whatever it was ordered for. Where
    several pieces make one of what is wanted, those that came and lie there too few (`left`, by line) count with it.
    """
    if not wanted:
        return Proposal((), (), (), stand, 0, 0)
    parts: dict[int, Shelved] = {}
    serving = [Serving(connection, short.request, parts) for short in wanted]
    stock = Offers(connection, {ident for each in serving for ident in each.may})
    enough = [short.pieces for short in wanted]
    made, offers = _order(stock, wanted, serving, enough, under_way, left)
    if (
        made.short
    ):  # others may have taken what was thought enough: no need is left short that had enough for all of them
        total = sum(enough)
        enough = [total if at in made.short else n for at, n in enumerate(enough)]
        made, offers = _order(stock, wanted, serving, enough, under_way, left)
    named = {
        row["id"]: row for row in _NAMED.of_ids(connection, [offers[at] for at in made.pieces if at < len(offers)])
    }
    bought, coming = [], []
    for at, n in made.pieces.items():
        part = stock.rows[offers[at]][1] if at < len(offers) else under_way[at - len(offers)].part_id
        uses = tuple(
            (wanted[need].name, pieces, serving[need].judged[part].verdict.word)
            for (need, article), pieces in made.serves.items()
            if article == at
        )
        if at >= len(offers):
            coming.append(Coming(under_way[at - len(offers)], uses))
            continue
        ident, goods = offers[at], stock.goods[offers[at]]
        row = named[ident]
        bought.append(
            Bought(
                ident,
                part,
                stock.names[goods.supplier],
                row["article"],
                row["title"],
                n,
                goods.price(n) or 0,
                uses,
                row["note"],
            )
        )
    bought.sort(key=lambda line: (line.supplier, line.article, line.offer_id))
    coming.sort(key=lambda each: each.line.id)
    missing = tuple((wanted[need], pieces) for need, pieces in made.short.items())
    return Proposal(
        tuple(wanted), tuple(bought), missing, stand, made.goods, made.shipping, tuple(coming), over=made.over
    )


def _order(
    stock: Offers,
    wanted: Sequence[Short],
    serving: Sequence[Serving],
    enough: Sequence[int],
    under_way: Sequence[Ordered],
    left: Mapping[int, int],
) -> tuple[Order, list[int]]:
    """Return the least dear order over the offers that were looked at, and these: for each need as many as have enough pieces.

    Behind the offers stands what is under way, at no price.
    """
    pool: dict[int, None] = {}
    for short, each, n in zip(wanted, serving, enough, strict=True):
        pool |= dict.fromkeys(_cheapest(each, stock, short, n))
    offers = list(pool)
    parts = [*(stock.rows[ident][1] for ident in offers), *(line.part_id for line in under_way)]
    serves = [_best(each, stock, short, n, offers) for each, short, n in zip(serving, wanted, enough, strict=True)]
    for each, own in zip(serving, serves, strict=True):
        here = set(each.usable({line.part_id for line in under_way}))
        own += [len(offers) + at for at, line in enumerate(under_way) if line.part_id in here]
    goods = [stock.goods[ident] for ident in offers]
    weights = {
        (need, at): number
        for need, own in enumerate(serves)
        for at in own
        if (number := _makes(serving[need], parts[at], wanted[need])) > 1
    }
    for at, line in enumerate(under_way, len(offers)):
        least = min((weights.get((need, at), 1) for need, own in enumerate(serves) if at in own), default=1)
        goods.append(Goods(UNDER_WAY, ((1, 0),), supply=line.coming + left.get(line.id, 0) % least))
    shared = {at for at, short in enumerate(wanted) if short.rule}
    return order([short.pieces for short in wanted], serves, goods, stock.shipping, shared, weights), offers


def _cheapest(serving: Serving, stock: Offers, short: Short, enough: int) -> list[int]:
    """Return the least dear offers of each family that serves: of what stands in, more pieces may make one."""
    found: list[int] = []
    for name in serving.asked:
        times = most_for(name, short.request.family)
        sale = stock.sale(times * short.pieces)
        found += [each.id for each in serving.least_dear(sale, times * enough, OF_EACH, family=name)]
    return found


def _makes(serving: Serving, part_id: int, short: Short) -> int:
    """How many of a part make one piece of what is short."""
    one = serving.judged[part_id]
    return pieces_for(one.family, one.need, one.option, short.request.family, short.whole)


def _best(serving: Serving, stock: Offers, short: Short, enough: int, offers: Sequence[int]) -> list[int]:
    """Places of offers that fit; of those that fit with care as well only where the others have not enough."""
    parts = [stock.rows[ident][1] for ident in offers]
    usable = set(serving.usable(dict.fromkeys(parts)))
    fit = [at for at, part in enumerate(parts) if part in usable and serving.judged[part].verdict is Verdict.FITS]
    if sum(stock.goods[offers[at]].there // _makes(serving, parts[at], short) for at in fit) >= enough:
        return fit
    return [at for at, part in enumerate(parts) if part in usable]


UNDER_WAY = 0
"""In the place of a supplier's number: what is ordered already costs no sending."""

_NAMED = Statement("""
SELECT offer.id AS id, offer.article AS article, part.title AS title, part.note AS note FROM offer JOIN part ON part.id = offer.part_id
WHERE offer.id IN :ids
""")
