"""Suppliers' lists: what they offer at which price. A later list of the same supplier replaces all that it offered before.

What lists say alike is one part, judged once, however many offers there are of it. Reading a line takes half a millisecond, and of
a long list few are ever wanted: the others stay as they are written.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from itertools import islice
from operator import itemgetter
from typing import Any

from sqlalchemy import Connection, Engine, bindparam, delete, insert, select, text, update

from partsbin.errors import UsageError
from partsbin.jobs.price_intake import AT_ONCE, PriceIntake
from partsbin.jobs.unread import lists_of, place
from partsbin.memory import growing
from partsbin.stock.accounts import LATER, Account
from partsbin.stock.intake import Intake
from partsbin.stock.keys import OPTIONS_A_PART
from partsbin.stock.lists import Cells
from partsbin.stock.price_columns import BY_PACK, PriceColumns, find_columns
from partsbin.stock.price_reader import Breaks, Price, together
from partsbin.stock.sieve import Sieved
from partsbin.store.bulk import insert_tuples
from partsbin.store.engine import reading, writing
from partsbin.store.offer_tables import Offer, OfferedKind, Supplier
from partsbin.store.statements import Statement
from partsbin.store.tables import OptionKeys, Part, table_of

_BATCH = 4096


@dataclass(frozen=True)
class Taken:
    """What a list of offers changed."""

    fresh: int
    repriced: int
    gone: int


def supplier_id(connection: Connection, name: str, *, new: bool = False) -> int:
    """Return the id of a supplier.

    Raises
    ------
    UsageError
        If there is none of that name, and none is to be made.
    """
    table = table_of(Supplier)
    found = connection.execute(select(table.c.id).where(table.c.name == name.strip())).scalar()
    if found is None and new and name.strip():
        made = connection.execute(insert(table).returning(table.c.id), {"name": name.strip(), "shipping": 0})
        found = made.scalar_one()
    if found is None:
        known = ", ".join(connection.execute(select(table.c.name).order_by(table.c.name)).scalars())
        raise UsageError(f"no supplier {name!r}", hint=f"known: {known or 'none yet'}")
    return int(found)


def ship(connection: Connection, name: str, shipping: int, free_from: int | None) -> None:
    """Note what a supplier wants for sending an order, and from what sum on nothing; in thousandths."""
    ident, table = supplier_id(connection, name, new=True), table_of(Supplier)
    connection.execute(update(table).where(table.c.id == ident).values(shipping=shipping, free_from=free_from))


def take_offers(
    engine: Engine,
    cells: Cells,
    supplier: str,
    *,
    at: datetime,
    given: Mapping[str, str] | None = None,
    condition: str = "",
    keep_good: bool = False,
    dry_run: bool = False,
    most: int | None = None,
    at_once: int = AT_ONCE,
    tell: Callable[[int], None] = lambda rows: None,
    wrote: Callable[[int, int], None] = lambda lines, of: None,
) -> tuple[Account, Taken | None]:
    """Take in a supplier's list.

    Parameters
    ----------
    engine : Engine
        The catalogue.
    cells : Cells
        The list.
    supplier : str
        Whose it is; a new one is noted.
    at : datetime
        When, with its time zone.
    given : mapping of str to str, optional
        Roles of columns by heading, those of `price_columns.ROLES` among them.
    condition : str
        Condition of all that has none of its own in the list.
    keep_good : bool
        Whether the good rows are taken where others have problems.
    dry_run : bool
        Whether nothing is to be written.
    most : int, optional
        Rows of each fate that the account keeps.
    at_once : int
        Different lines that are read at once; the others are kept as they are written until they may serve [-].
    tell : callable
        ``tell(rows)`` after each chunk.
    wrote : callable
        ``wrote(lines, of)`` now and then, once all are looked over: how many are written, of how many.

    Returns
    -------
    (Account, Taken or None)
        What became of each row, and what changed; None where nothing was written.
    """
    columns = find_columns(cells.header, given or {})
    if not columns.prices:
        raise UsageError(
            f"{cells.name}: no column of prices", hint='--column "HEADING=price", or price@10 from ten pieces'
        )
    with growing():
        return _take(
            engine, cells, columns, supplier, at, given or {}, condition, keep_good, dry_run, most, at_once, tell, wrote
        )


def _take(
    engine: Engine,
    cells: Cells,
    columns: PriceColumns,
    supplier: str,
    at: datetime,
    given: Mapping[str, str],
    condition: str,
    keep_good: bool,
    dry_run: bool,
    most: int | None,
    at_once: int,
    tell: Callable[[int], None],
    wrote: Callable[[int, int], None],
) -> tuple[Account, Taken | None]:
    intake = Intake(cells, given={**given, **dict.fromkeys(columns.headings, "ignored")})
    account = intake.account(most)
    account.columns.update(_said(columns))
    account.why.update(dict.fromkeys(set(columns.headings) - set(given), ""))
    listed = PriceIntake(intake, columns, given, condition, at_once)
    walk, number = iter(cells.rows), 0
    while chunk := list(islice(walk, _BATCH)):
        for line, row in listed.take(chunk):
            account.add_like(row, line)
        listed.sieve_on()
        number += len(chunk)
        tell(number)
    account.count[LATER] += len(listed.sieved)
    if dry_run or (account.refused and not keep_good):
        return account, None
    with writing(engine) as connection:
        return account, _replace(connection, supplier_id(connection, supplier, new=True), listed, at, wrote)


def _said(columns: PriceColumns) -> dict[str, str]:
    said = {heading: role for role, heading in columns.one.items()}
    for start, begins, heading, per in columns.prices:
        said[heading] = f"price from {begins or start}" + (
            f", for {per}" if per > 1 else ", by the pack" if per == BY_PACK else ""
        )
    return said


_HERE = Statement("""
SELECT id, part_id, list_id, said, article, breaks, least, pack, minimum, supply, sieve, together FROM offer
WHERE supplier_id = :supplier ORDER BY id
""")
_PRICED = ("breaks", "least", "pack", "minimum", "supply")
_SIEVED = ("sieve", "low", "high", "most", "together")
_CHANGED = ("part_id", *_PRICED, *_SIEVED)
_FRESH = ("part_id", "supplier_id", "article", *_PRICED, "list_id", "said", *_SIEVED)
"""In the order of the table: rows of tuples then go in as they are."""


_WRITTEN = 16_384
"""Lines that are written together [-]."""

_READ = Sieved(0, 0.0, 0.0, 0.0)
"""What is kept of a line that is read."""


def _replace(
    connection: Connection, supplier: int, listed: PriceIntake, at: datetime, wrote: Callable[[int, int], None]
) -> Taken:
    """Put the list in the place of the one before. A line that is the same in all its words keeps its number and what was read."""
    parts = place(connection, {one.key: one.kind for one in map(itemgetter(-1), listed.lines) if one is not None})
    lists = lists_of(connection, listed.columns)
    here = _Here(_HERE.rows(connection, {"supplier": supplier}))
    texts, sieved_on = dict[Breaks, tuple[str, int]](), iter(listed.sieved)
    fresh = again = 0
    for start in range(0, len(listed.lines), _WRITTEN):
        wrote(start, len(listed.lines))
        made, changed = [], []
        for key, said, article, breaks, pieces, one in listed.lines[start : start + _WRITTEN]:
            part, sieved, number = (None, next(sieved_on), 1) if one is None else (parts[one.key], _READ, one.together)
            was = here.take(part, lists[key], said, article) if here.rows else None
            if was is not None and part is None and was[1] is not None:
                part, sieved, number = was[1], _READ, was[11]
                if number > 1:
                    price = together(Price(article, breaks, *pieces), number)
                    breaks, pieces = price.breaks, price[2:]
            if (text_and_least := texts.get(breaks)) is None:
                text_and_least = texts[breaks] = (json.dumps(breaks), min(paid for _, paid in breaks))
            priced = text_and_least + pieces
            if was is None:
                made.append((part, supplier, article, *priced, lists[key], said, *sieved, number))
                continue
            again += 1
            if tuple(was[5:]) != (*priced, sieved.bits, number) or was[1] != part:
                changed.append((part, *priced, *sieved, number, was[0]))
        fresh += len(made)
        insert_tuples(connection, table_of(Offer), _FRESH, made)
        _reprice(connection, changed)
    gone = list(here.rows)
    _forget(connection, gone)
    connection.execute(
        text("DELETE FROM price_list WHERE id NOT IN (SELECT list_id FROM offer WHERE list_id IS NOT NULL)")
    )
    shop = table_of(Supplier)
    connection.execute(update(shop).where(shop.c.id == supplier).values(listed_at=at))
    return Taken(fresh, again, len(gone))


def _reprice(connection: Connection, changed: Sequence[tuple[Any, ...]]) -> None:
    if changed:
        table = table_of(Offer)
        values: dict[str, Any] = {name: bindparam(name) for name in _CHANGED}
        rows = [dict(zip((*_CHANGED, "of"), row, strict=True)) for row in changed]
        connection.execute(update(table).where(table.c.id == bindparam("of")).values(values), rows)


class _Here:
    """What a supplier offered before: the same article of the same part, or in the same words, is the same offer."""

    def __init__(self, rows: Sequence[Sequence[Any]]) -> None:
        self.rows = {row[0]: row for row in rows}
        self.of_part: dict[tuple[int, str], list[int]] = {}
        self.in_words: dict[tuple[int, str, str], list[int]] = {}
        for ident, part, list_id, said, article, *_ in reversed(rows):
            if part is not None:
                self.of_part.setdefault((part, article), []).append(ident)
            self.in_words.setdefault((list_id, said, article), []).append(ident)

    def take(self, part: int | None, list_id: int, said: str, article: str) -> Sequence[Any] | None:
        """Take the offer that a line was; a number never means another part than it did."""
        found = self._next(self.of_part.get((part, article), [])) if part is not None else None
        if found is None and (of_words := self.in_words.get((list_id, said, article))):
            found = self._next(of_words)
            if found is not None and part is not None and found[1] is not None:
                return None
        return None if found is None else self.rows.pop(found[0])

    def _next(self, idents: list[int]) -> Sequence[Any] | None:
        while idents and idents[-1] not in self.rows:
            idents.pop()
        return self.rows[idents[-1]] if idents else None


_UNSOLD = Statement("""
SELECT part_id FROM offered_kind WHERE NOT EXISTS (SELECT 1 FROM offer WHERE offer.part_id = offered_kind.part_id)
AND NOT EXISTS (SELECT 1 FROM purchase_line WHERE purchase_line.part_id = offered_kind.part_id)
""")


def _forget(connection: Connection, offers: Sequence[int]) -> None:
    """Take out offers that are no more, and what nobody sells then; what was bought of it lies on the shelf as a part of its own."""
    if not offers:
        return
    offer = table_of(Offer)
    connection.execute(delete(offer).where(offer.c.id == bindparam("of")), [{"of": ident} for ident in offers])
    keys, kind, part = table_of(OptionKeys), table_of(OfferedKind), table_of(Part)
    rows = [
        {"of": ident, "first": ident * OPTIONS_A_PART, "next": (ident + 1) * OPTIONS_A_PART}
        for (ident,) in _UNSOLD.rows(connection, {})
    ]
    if rows:
        connection.execute(delete(keys).where(keys.c.id >= bindparam("first"), keys.c.id < bindparam("next")), rows)
        connection.execute(delete(kind).where(kind.c.part_id == bindparam("of")), rows)
        connection.execute(delete(part).where(part.c.id == bindparam("of")), rows)


def suppliers(engine: Engine) -> list[dict[str, Any]]:
    """Return the suppliers with what they want for shipping."""
    table = table_of(Supplier)
    with reading(engine) as connection:
        return [dict(row) for row in connection.execute(select(table).order_by(table.c.name)).mappings()]
