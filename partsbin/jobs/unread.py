"""Lines of price lists that wait unread, and reading those of them that may serve: the least dear first, until enough serve."""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from sqlalchemy import Connection, Engine, bindparam, insert, select, update
from sqlalchemy.exc import DBAPIError

from partsbin.checks import Verdict
from partsbin.families import Family, load
from partsbin.jobs.goods import Goods
from partsbin.jobs.on_sale import Offers
from partsbin.jobs.price_lists import Sold, line_reader
from partsbin.jobs.standing_in import most_for
from partsbin.jobs.waiting_lines import Mask, Places, WaitingLines
from partsbin.matching.candidates import fitting
from partsbin.matching.names import called
from partsbin.matching.offered import OnSale, Serving
from partsbin.memory import growing
from partsbin.needs import Need, Request
from partsbin.stock.catalogue import place_offers
from partsbin.stock.key_rows import KeyMaker
from partsbin.stock.parts import Draft
from partsbin.stock.price_reader import Price, together
from partsbin.stock.shelf import Shelved, get
from partsbin.store.bulk import insert_tuples
from partsbin.store.engine import may_write, reading, writing
from partsbin.store.offer_tables import Offer, OfferedKind
from partsbin.store.statements import Statement
from partsbin.store.tables import table_of

FIRST = 24
"""Lines of each supplier that are read for a need at first; twice as many each time that these are not enough [-]."""

MOST = 20_000
"""Lines that are read for one question at most: what is left is read by the next [-]."""

AT_A_FIND = 2000
"""Lines that one search reads at most: it wants the best of them, whatever they cost [-]."""

_BATCH = 4096

_ANY = Statement("SELECT 1 FROM offer WHERE part_id IS NULL AND sieve > 0 LIMIT 1")
_LINES = Statement("""
SELECT offer.id AS id, said, columns, article, breaks, pack, minimum, supply, supplier_id
FROM offer JOIN price_list ON price_list.id = offer.list_id WHERE offer.part_id IS NULL AND offer.id IN :ids
""")


@dataclass(frozen=True)
class Read:
    """A line that was read: the part that it sells, and how."""

    offer_id: int
    part_id: int
    family: str
    goods: Goods


def waiting(connection: Connection) -> bool:
    """Return whether any line waits unread."""
    return bool(_ANY.rows(connection, {}))


def place(connection: Connection, kinds: Mapping[str, Draft]) -> dict[str, int]:
    """Return the parts that stand for kinds, by their keys; those are made that no list had so far."""
    table, keys, here = table_of(OfferedKind), list(kinds), dict[str, int]()
    for start in range(0, len(keys), _BATCH):
        query = select(table.c.key, table.c.part_id).where(table.c.key.in_(keys[start : start + _BATCH]))
        here.update(dict(connection.execute(query).all()))
    fresh, maker = [key for key in keys if key not in here], KeyMaker()
    for start in range(0, len(fresh), _BATCH):
        some = fresh[start : start + _BATCH]
        ids = place_offers(connection, [kinds[key] for key in some], maker)
        insert_tuples(connection, table, ("part_id", "key"), list(zip(ids, some, strict=True)))
        here.update(zip(some, ids, strict=True))
    return here


def read_lines(connection: Connection, offers: Sequence[int]) -> list[Read]:
    """Read lines that wait; those that are of no use are marked so, and not returned.

    Parameters
    ----------
    connection : Connection
        Inside a writing transaction.
    offers : sequence of int
        Their numbers; one that is read already, or no more, is passed over.
    """
    rows = _LINES.of_ids(connection, offers) if offers else []
    found = {row["id"]: line_reader(row["columns"]).read(row["said"]) for row in rows}
    parts = place(connection, {each.key: each.kind for each in found.values() if each is not None})
    made, changed = [], []
    for row in rows:
        each = found[row["id"]]
        part = parts[each.key] if each is not None else None
        price = _price(row, each)
        changed.append(
            {"of": row["id"], "part": part, **_priced(price), "one": each.together if each is not None else 1}
        )
        if each is not None and part is not None:
            goods = Goods(row["supplier_id"], price.breaks, price.pack, price.minimum, price.supply)
            made.append(Read(row["id"], part, each.kind.family, goods))
    if changed:
        table = table_of(Offer)
        values: dict[str, Any] = {
            name: bindparam(f"new_{name}") for name in ("breaks", "least", "pack", "minimum", "supply")
        }
        statement = update(table).where(table.c.id == bindparam("of"), table.c.part_id.is_(None))
        connection.execute(
            statement.values(part_id=bindparam("part"), sieve=0, together=bindparam("one"), **values), changed
        )
    return made


def _price(row: Mapping[str, Any], line: Sold | None) -> Price:
    breaks = tuple((int(start), int(price)) for start, price in json.loads(row["breaks"]))
    price = Price(row["article"], breaks, row["pack"], row["minimum"], row["supply"])
    return together(price, line.together) if line is not None and line.together > 1 else price


def _priced(price: Price) -> dict[str, Any]:
    least = min(paid for _, paid in price.breaks)
    return {
        "new_breaks": json.dumps(price.breaks), "new_least": least, "new_pack": price.pack, "new_minimum": price.minimum,
        "new_supply": price.supply,
    }  # fmt: skip


@dataclass
class _Ask:
    """A need in the words of one family, and the lines of each supplier that may serve it, the least dear first.

    `spare` are those whose value takes care at best, as all take that `fit` leaves out: they are looked at where the others have
    not enough.
    """

    family: Family
    need: Need
    pieces: int
    queues: dict[int, Places]
    spare: dict[int, Places]
    fit: Mask
    fits: dict[int, list[OnSale]] = field(default_factory=dict)

    def queue(self, supplier: int, start: int, each: int) -> Places:
        """Return the lines of a supplier; the spare ones behind them, once these were looked at and have not enough."""
        queue = self.queues[supplier]
        if start >= len(queue) and len(self.spare[supplier]) and math.isinf(self.bound(supplier, each)):
            queue = self.queues[supplier] = np.concatenate([queue, self.spare[supplier]])
            self.spare[supplier] = queue[:0]
        return queue

    def note(self, read: Sequence[Read]) -> None:
        """Note lines that were read and fit, and what is paid for them."""
        for line in read:
            price, there = line.goods.on_sale(self.pieces)
            if there > 0:
                own = self.fits.setdefault(line.goods.supplier, [])
                own.append(OnSale(line.offer_id, line.part_id, price, there))

    def bound(self, supplier: int, most: int) -> float:
        """Return the price from which on a line of a supplier changes nothing."""
        fits = sorted(self.fits.get(supplier, []), key=lambda each: each.price)[:most]
        there = sum(each.pieces for own in self.fits.values() for each in own)
        return fits[-1].price if len(fits) == most and there >= self.pieces else float("inf")


def read_for(
    engine: Engine,
    wanted: Sequence[tuple[Request, int]],
    *,
    each: int,
    most: int = MOST,
    tell: Callable[[int], None] = lambda lines: None,
) -> int:
    """Read lines until of each supplier the least dear few that fit are known for every need, and enough pieces.

    Parameters
    ----------
    engine : Engine
        The catalogue.
    wanted : sequence of (Request, int)
        Needs, and how many pieces of each.
    each : int
        Offers of each supplier that are to be known for a need [-].
    most : int
        Lines that are read at most [-].
    tell : callable
        ``tell(lines)`` after each round, with how many were read so far.

    Returns
    -------
    int
        Lines that may serve and were left unread: too many for once, or the catalogue may not be written [-].
    """
    with growing(), reading(engine) as connection:
        if not wanted or not waiting(connection):
            return 0
        lines, parts = WaitingLines(connection), dict[int, Shelved]()
        asks = [ask for request, pieces in wanted for ask in _asks(connection, lines, request, pieces, each, parts)]
    with growing():
        return _read_on(engine, lines, asks, each, most, tell)


def _read_on(
    engine: Engine, lines: WaitingLines, asks: Sequence[_Ask], each: int, most: int, tell: Callable[[int], None]
) -> int:
    """Read round by round, and return how many lines are left that may serve."""
    count, at_once, started = 0, FIRST, dict[tuple[int, int], int]()
    while chosen := _next(lines, asks, each, at_once, started):
        now, rest = chosen[: most - count], chosen[most - count :]
        try:
            _read(engine, lines, asks, now)
        except DBAPIError:
            if may_write(engine):
                raise
            now, rest = [], chosen
        lines.left[now] = False
        count, at_once = count + len(now), at_once * 2
        tell(count)
        if rest:
            return len(rest) + sum(_behind(lines, asks, each, started))
    return 0


def _read(engine: Engine, lines: WaitingLines, asks: Sequence[_Ask], chosen: Sequence[int]) -> None:
    """Read lines, and note for which needs they fit."""
    if not chosen:
        return
    with writing(engine) as connection:
        read = read_lines(connection, lines.id[chosen].tolist())
        places = dict(zip(lines.id[chosen].tolist(), chosen, strict=True))
        for name in dict.fromkeys(line.family for line in read):
            own, family = [line for line in read if line.family == name], load(name)
            asking = [ask for ask in asks if ask.family.name == name]
            theirs = [[line for line in own if ask.fit[places[line.offer_id]]] for ask in asking]
            parts = get(connection, family, list({line.part_id for some in theirs for line in some}))
            asked = [(ask.need, {line.part_id for line in some}) for ask, some in zip(asking, theirs, strict=True)]
            for ask, some, fit in zip(asking, theirs, fitting(family, list(parts.values()), asked), strict=True):
                ask.note([line for line in some if line.part_id in fit])


def left_unread(engine: Engine, lines: int) -> str:
    """Say how many lines that may serve were left unread, and what to do; "" for none."""
    if not lines:
        return ""
    said = f"{lines:,} more lines of price lists may serve and "
    if may_write(engine):
        return said + "were not read yet: ask again to read on"
    return said + "cannot be read: the catalogue may not be written here"


def _asks(
    connection: Connection, lines: WaitingLines, request: Request, pieces: int, each: int, parts: dict[int, Shelved]
) -> Iterator[_Ask]:
    """Yield a need as it is asked of each family that may serve, with what is known to fit already."""
    serving = Serving(connection, request, parts)
    known = Offers(connection, set(serving.may))
    for name, (family, need) in serving.asked.items():
        may, many = lines.may(family, need), pieces * most_for(name, request.family)
        if (names := called(family, need, request.text)) is not None:
            lines.keep_called(connection, may, names)
        fit = lines.fit(family, need)
        ask = _Ask(family, need, many, lines.queues(may & fit), lines.queues(may & ~fit), fit)
        for sale in serving.least_dear(known.sale(many), many, each, family=name):
            if serving.judged[sale.part_id].verdict is Verdict.FITS:
                ask.fits.setdefault(known.rows[sale.id][2], []).append(sale)
        yield ask


def _next(
    lines: WaitingLines, asks: Sequence[_Ask], each: int, at_once: int, started: dict[tuple[int, int], int]
) -> list[int]:
    """Choose the lines that are read next: of each need and supplier some, as long as a dearer one is not known to do."""
    chosen: dict[int, None] = {}
    for number, ask in enumerate(asks):
        for supplier in ask.queues:
            start = started.get((number, supplier), 0)
            queue = ask.queue(supplier, start, each)
            some = queue[start : start + at_once]
            some = some[lines.least[some] < ask.bound(supplier, each)]
            started[number, supplier] = start + len(some)
            chosen |= dict.fromkeys(some[lines.left[some]].tolist())
    return list(chosen)


def _behind(
    lines: WaitingLines, asks: Sequence[_Ask], each: int, started: Mapping[tuple[int, int], int]
) -> Iterable[int]:
    """Yield how many lines of each need and supplier may still serve."""
    for number, ask in enumerate(asks):
        for supplier, queue in ask.queues.items():
            rest, bound = queue[started.get((number, supplier), 0) :], ask.bound(supplier, each)
            yield int(np.count_nonzero(lines.least[rest] < bound)) + (
                len(ask.spare[supplier]) if math.isinf(bound) else 0
            )


def lists_of(connection: Connection, columns: Mapping[str, str]) -> dict[str, int]:
    """Return the numbers of ways of reading lines, by key; those are noted that are new.

    Parameters
    ----------
    connection : Connection
        Inside a writing transaction.
    columns : mapping of str to str
        `partsbin.jobs.price_lists.columns_text` of each, by its hash.
    """
    from partsbin.store.offer_tables import PriceList

    table = table_of(PriceList)
    here = dict(connection.execute(select(table.c.key, table.c.id)).all())
    fresh = [{"key": key, "columns": text} for key, text in columns.items() if key not in here]
    if fresh:
        connection.execute(insert(table), fresh)
        here = dict(connection.execute(select(table.c.key, table.c.id)).all())
    return here
