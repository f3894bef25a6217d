"""Lines of price lists that wait unread, and reading those of them that may serve: the least dear first, until enough serve."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import numpy.typing as npt
from sqlalchemy import Connection, Engine, bindparam, insert, select, update
from sqlalchemy.exc import DBAPIError

from partsbin.checks import Verdict
from partsbin.families import Family
from partsbin.jobs.goods import Goods
from partsbin.jobs.on_sale import Offers
from partsbin.jobs.price_lists import Sold, line_reader
from partsbin.jobs.standing_in import most_for
from partsbin.matching.names import called
from partsbin.matching.offered import OnSale, Serving
from partsbin.memory import growing
from partsbin.needs import Need, Request
from partsbin.stock.catalogue import place_offers
from partsbin.stock.key_rows import KeyMaker
from partsbin.stock.parts import Draft
from partsbin.stock.price_reader import Price, together
from partsbin.stock.shelf import Shelved
from partsbin.stock.sieve import SEVERAL, VALUED, bit
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
_WAITING = Statement(
    "SELECT id, supplier_id, least, sieve, low, high, most FROM offer WHERE part_id IS NULL AND sieve > 0"
)
_SAID = Statement("SELECT id, said FROM offer WHERE id IN :ids")
_OTHER = re.compile(r"[\W_]+")
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

    `spare` are those whose value takes care at best: they are looked at where the others have not enough.
    """

    serving: Serving
    family: str
    pieces: int
    queues: dict[int, npt.NDArray[np.intp]]
    spare: dict[int, npt.NDArray[np.intp]]
    may: npt.NDArray[np.bool_]
    fits: dict[int, list[OnSale]] = field(default_factory=dict)

    def queue(self, supplier: int, start: int, each: int) -> npt.NDArray[np.intp]:
        """Return the lines of a supplier; the spare ones behind them, once these were looked at and have not enough."""
        queue = self.queues[supplier]
        if start >= len(queue) and len(self.spare[supplier]) and math.isinf(self.bound(supplier, each)):
            queue = self.queues[supplier] = np.concatenate([queue, self.spare[supplier]])
            self.spare[supplier] = queue[:0]
        return queue

    def bound(self, supplier: int, most: int) -> float:
        """Return the price from which on a line of a supplier changes nothing."""
        fits = sorted(self.fits.get(supplier, []), key=lambda each: each.price)[:most]
        there = sum(each.pieces for own in self.fits.values() for each in own)
        return fits[-1].price if len(fits) == most and there >= self.pieces else float("inf")


class _Waiting:
    """The lines that wait, as columns."""

    def __init__(self, connection: Connection) -> None:
        rows = _WAITING.rows(connection, {})
        columns = tuple(zip(*rows, strict=True)) if rows else ((),) * 7
        ids, suppliers, least, sieve, low, high, most = columns
        self.id, self.supplier, self.sieve = (np.array(column, dtype=np.int64) for column in (ids, suppliers, sieve))
        self.least, self.low, self.high, self.most = (
            np.array(column, dtype=np.float64) for column in (least, low, high, most)
        )
        self.least[(self.sieve & SEVERAL) > 0] = 0.0  # the price may be that of several
        self.left = np.ones(len(self.id), dtype=bool)

    def may(self, family: Family, need: Need) -> npt.NDArray[np.bool_]:
        """Return which lines may serve a need."""
        own, search = bit(family.name), family.search(need)
        here: npt.NDArray[np.bool_] = (self.sieve & own) > 0
        if own & VALUED and search.low <= search.high:  # else the need names no value
            here &= (self.low <= search.high) & (self.high >= search.low)
        if own & VALUED and search.least > 0:
            here &= self.most >= search.least
        return here

    def fit(self, family: Family, need: Need) -> npt.NDArray[np.bool_]:
        """Return which lines may fit a need without care, by their value."""
        low, high = need.window("fits")
        if not (bit(family.name) & VALUED and low <= high):
            return np.ones(len(self.id), dtype=bool)
        return (self.low <= high) & (self.high >= low)

    def keep_called(self, connection: Connection, may: npt.NDArray[np.bool_], names: re.Pattern[str]) -> None:
        """Leave of some lines those that hold one of some names, however it is written."""
        found = np.flatnonzero(may)
        said = {row["id"]: row["said"] for row in _SAID.of_ids(connection, self.id[found].tolist())}
        may[found] = [
            bool(names.search(_OTHER.sub("", said.get(ident, "")).upper())) for ident in self.id[found].tolist()
        ]

    def queues(self, may: npt.NDArray[np.bool_]) -> dict[int, npt.NDArray[np.intp]]:
        """Return lines by supplier, the least dear first."""
        found = np.flatnonzero(may)
        found = found[np.lexsort((self.id[found], self.least[found]))]
        return {int(name): found[self.supplier[found] == name] for name in np.unique(self.supplier[found])}


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
        lines, parts = _Waiting(connection), dict[int, Shelved]()
        asks = [ask for request, pieces in wanted for ask in _asks(connection, lines, request, pieces, each, parts)]
    with growing():
        return _read_on(engine, lines, asks, each, most, tell)


def _read_on(
    engine: Engine, lines: _Waiting, asks: Sequence[_Ask], each: int, most: int, tell: Callable[[int], None]
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


def _read(engine: Engine, lines: _Waiting, asks: Sequence[_Ask], chosen: Sequence[int]) -> None:
    """Read lines, and note for which needs they fit."""
    if not chosen:
        return
    with writing(engine) as connection:
        read = {line.offer_id: line for line in read_lines(connection, lines.id[chosen].tolist())}
        for ask in asks:
            own = lines.id[chosen][ask.may[chosen]].tolist()
            _judge(connection, ask, [read[offer] for offer in own if offer in read])


def left_unread(engine: Engine, lines: int) -> str:
    """Say how many lines that may serve were left unread, and what to do; "" for none."""
    if not lines:
        return ""
    said = f"{lines:,} more lines of price lists may serve and "
    if may_write(engine):
        return said + "were not read yet: ask again to read on"
    return said + "cannot be read: the catalogue may not be written here"


def _asks(
    connection: Connection, lines: _Waiting, request: Request, pieces: int, each: int, parts: dict[int, Shelved]
) -> Iterator[_Ask]:
    """Yield a need as it is asked of each family that may serve, with what is known to fit already."""
    serving = Serving(connection, request, parts)
    known = Offers(connection, set(serving.may))
    for name, (family, need) in serving.asked.items():
        may, many = lines.may(family, need), pieces * most_for(name, request.family)
        if (names := called(family, need, request.text)) is not None:
            lines.keep_called(connection, may, names)
        fit = lines.fit(family, need)
        queues, spare = lines.queues(may & fit), lines.queues(may & ~fit)
        for supplier in {*queues, *spare}:
            queues.setdefault(supplier, np.empty(0, dtype=np.intp))
            spare.setdefault(supplier, np.empty(0, dtype=np.intp))
        ask = _Ask(serving, name, many, queues, spare, may)
        for sale in serving.least_dear(known.sale(many), many, each, family=name):
            if serving.judged[sale.part_id].verdict is Verdict.FITS:
                ask.fits.setdefault(known.rows[sale.id][2], []).append(sale)
        yield ask


def _next(
    lines: _Waiting, asks: Sequence[_Ask], each: int, at_once: int, started: dict[tuple[int, int], int]
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


def _behind(lines: _Waiting, asks: Sequence[_Ask], each: int, started: Mapping[tuple[int, int], int]) -> Iterable[int]:
    """Yield how many lines of each need and supplier may still serve."""
    for number, ask in enumerate(asks):
        for supplier, queue in ask.queues.items():
            rest, bound = queue[started.get((number, supplier), 0) :], ask.bound(supplier, each)
            yield int(np.count_nonzero(lines.least[rest] < bound)) + (
                len(ask.spare[supplier]) if math.isinf(bound) else 0
            )


def _judge(connection: Connection, ask: _Ask, read: Sequence[Read]) -> None:
    """Note which of the lines that were read for it fit a need, and what is paid for them."""
    ask.serving.connection = connection
    own = [line for line in read if line.family == ask.family]
    ask.serving.add({line.part_id: line.family for line in own})
    usable = set(ask.serving.usable(dict.fromkeys(line.part_id for line in own)))
    for line in own:
        if line.part_id in usable and ask.serving.judged[line.part_id].verdict is Verdict.FITS:
            price, there = line.goods.on_sale(ask.pieces)
            if there > 0:
                ask.fits.setdefault(line.goods.supplier, []).append(OnSale(line.offer_id, line.part_id, price, there))


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
