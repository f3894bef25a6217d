"""Suppliers' lists: what they offer at which price. A later list of the same supplier replaces all that it offered before.

What lists say alike is one part, judged once, however many offers there are of it. Reading a line takes half a millisecond, and of
a long list few are ever wanted: the others stay as they are written.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Engine, bindparam, delete, insert, select, update

from partsbin.errors import NotationError, Problem, UsageError
from partsbin.jobs.price_lists import Sold, columns_text, saying, sold
from partsbin.jobs.unread import lists_of, place
from partsbin.memory import growing
from partsbin.stock.accounts import LATER, NOT_OURS, REFUSED, Account, RowAccount
from partsbin.stock.intake import Intake
from partsbin.stock.keys import OPTIONS_A_PART
from partsbin.stock.lists import Cells
from partsbin.stock.price_columns import BY_PACK, Price, PriceColumns, PriceReader, find_columns, together
from partsbin.stock.sections import Section
from partsbin.stock.sieve import Sieve, Sieved
from partsbin.store.bulk import insert_tuples
from partsbin.store.engine import reading, writing
from partsbin.store.offer_tables import Offer, OfferedKind, Supplier
from partsbin.store.statements import Statement
from partsbin.store.tables import OptionKeys, Part, table_of

_BATCH = 4096

AT_ONCE = 500
"""Different lines of a list that are read when it is taken in; the others are when they may serve something [-]."""


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
    tell: Callable[[int], None] = lambda rows: None,
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
    tell : callable
        ``tell(rows)`` after each chunk.

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
        return _take(engine, cells, columns, supplier, at, given or {}, condition, keep_good, dry_run, most, tell)


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
    tell: Callable[[int], None],
) -> tuple[Account, Taken | None]:
    intake = Intake(cells, given={**given, **dict.fromkeys(columns.headings, "ignored")})
    account = intake.account(most)
    account.columns.update(_said(columns))
    account.why.update(dict.fromkeys(set(columns.headings) - set(given), ""))
    listed = _List(intake, columns, given, condition)
    for number, (line, values) in enumerate(cells.rows, 1):
        account.add_like(listed.row(line, values), line)
        if number % _BATCH == 0:
            listed.sieve_on()
            tell(number)
    listed.sieve_on()
    if dry_run or (account.refused and not keep_good):
        return account, None
    with writing(engine) as connection:
        return account, _replace(connection, supplier_id(connection, supplier, new=True), listed, at)


def _said(columns: PriceColumns) -> dict[str, str]:
    said = {heading: role for role, heading in columns.one.items()}
    for start, begins, heading, per in columns.prices:
        said[heading] = f"price from {begins or start}" + (
            f", for {per}" if per > 1 else ", by the pack" if per == BY_PACK else ""
        )
    return said


_Line = tuple[str, str, Price, Sold | None]
"""A line of the list: how it is read, its cells, its price, and what it sells if it was read."""


_READ = Sieved(0, 0.0, 0.0)
"""What is kept of a line that is read."""

_UNREAD = RowAccount(0, "", LATER)


class _List:
    """The offers of a list: the first different lines are read, all others kept as they are written until they may serve."""

    def __init__(self, intake: Intake, columns: PriceColumns, given: Mapping[str, str], condition: str) -> None:
        self.intake, self.given, self.condition = intake, given, condition
        self.columns: dict[str, str] = {}
        self.lines: list[_Line] = []
        self.sieved: dict[int, Sieved] = {}
        self.kept: list[tuple[int, Sequence[str], Section]] = []
        self.read = 0
        self._begin(columns)

    def sieve_on(self) -> None:
        """Sieve the lines that were kept unread since the last time."""
        found = self.sieve.look_all([values for _, values, _ in self.kept], [section for *_, section in self.kept])
        for (at, _, _), sieved in zip(self.kept, found, strict=True):
            self.sieved[at] = sieved
        self.kept.clear()

    def _begin(self, columns: PriceColumns) -> None:
        """Begin a table."""
        rows = self.intake.rows
        self.rows = rows
        self.prices = PriceReader(columns, rows.headings, comma=self.intake.cells.decimal_comma)
        self.say, self.sieve = saying(rows.mapping), Sieve(rows.mapping, rows.reader.usual)
        self.wide, self.counted = len(rows.headings), "count" in rows.mapping.where
        self.known: dict[tuple[Section, str], tuple[RowAccount, Sold | None]] = {}
        self.keys: dict[Section, str] = {}

    def row(self, line: int, values: Sequence[str]) -> RowAccount:
        """Take a row in, and return what became of it."""
        intake = self.intake
        if len(values) < self.wide:
            values = intake.filled(values)
        if (other := intake.no_part(line, values)) is not None:
            if intake.rows is not self.rows:  # another table begins
                self.sieve_on()
                self._begin(find_columns(intake.headings, self.given))
            return other
        section, said = intake.sections.now, self.say(values)
        found = self.known.get((section, said))
        if found is None and self.read < AT_ONCE:
            found = self._read(line, values, section, said)
        if found is not None and found[1] is None:
            return found[0]
        try:
            price = self.prices.read(values)
        except NotationError as fault:
            return self._no_price(line, values, section, said, fault)
        row, one = found or (_UNREAD, None)
        if one is None:
            self.kept.append((len(self.lines), values, section))
        elif one.together > 1:
            price = together(price, one.together)
        self.lines.append((self.keys.get(section) or self._key(section), said, price, one))
        return row

    def _read(self, line: int, values: Sequence[str], section: Section, said: str) -> tuple[RowAccount, Sold | None]:
        self.read += 1
        row = self.rows.part(line, values, section)
        found = (row, sold(row, self.condition, counted=self.counted))
        if row.draft is not None or (row.status == NOT_OURS and not row.family):
            self.known[section, said] = found  # what is wrong with a row is said with its own line
        return found

    def _no_price(
        self, line: int, values: Sequence[str], section: Section, said: str, fault: NotationError
    ) -> RowAccount:
        """A line without a price is refused, if it is one of a part at all."""
        row, _ = self.known.get((section, said)) or self._read(line, values, section, said)
        if row.draft is None:
            return row
        problem = Problem("CSV-PRICE", fault.message, self.intake.cells.name, line)
        return replace(row, line=line, status=REFUSED, draft=None, problems=[*row.problems, problem])

    def _key(self, section: Section) -> str:
        text = columns_text(self.rows, section, self.condition)
        key = self.keys[section] = hashlib.sha256(text.encode()).hexdigest()[:32]
        self.columns[key] = text
        return key


_HERE = Statement("""
SELECT id, part_id, list_id, said, article, breaks, least, pack, minimum, supply, sieve, together FROM offer
WHERE supplier_id = :supplier ORDER BY id
""")
_PRICED = ("breaks", "least", "pack", "minimum", "supply")
_SIEVED = ("sieve", "low", "high", "together")
_CHANGED = ("part_id", *_PRICED, *_SIEVED)
_FRESH = ("part_id", "supplier_id", "article", *_PRICED, "list_id", "said", *_SIEVED)
"""In the order of the table: rows of tuples then go in as they are."""


def _replace(connection: Connection, supplier: int, listed: _List, at: datetime) -> Taken:
    """Put the list in the place of the one before. A line that is the same in all its words keeps its number and what was read."""
    parts = place(connection, {one.key: one.kind for *_, one in listed.lines if one is not None})
    lists = lists_of(connection, listed.columns)
    here: dict[tuple[int, str, str], list[Sequence[Any]]] = {}
    for row in _HERE.rows(connection, {"supplier": supplier}):
        here.setdefault((row[2], row[3], row[4]), []).append(row)
    fresh, changed, again, texts = [], [], 0, dict[tuple[tuple[int, int], ...], tuple[str, int]]()
    for at_line, (key, said, price, one) in enumerate(listed.lines):
        sieved = listed.sieved.get(at_line, _READ)
        part, pieces = (None, 1) if one is None else (parts[one.key], one.together)
        was = _same(here.get((lists[key], said, price.article)), part) if here else None
        if was is not None and part is None and was[1] is not None:
            part, pieces, sieved = was[1], was[11], _READ
            price = together(price, pieces) if pieces > 1 else price
        if (breaks := texts.get(price.breaks)) is None:
            breaks = texts[price.breaks] = (json.dumps(price.breaks), min(paid for _, paid in price.breaks))
        priced = (*breaks, price.pack, price.minimum, price.supply)
        if was is None:
            fresh.append((part, supplier, price.article, *priced, lists[key], said, *sieved, pieces))
            continue
        again += 1
        if tuple(was[5:]) != (*priced, sieved.bits, pieces) or was[1] != part:
            changed.append((part, *priced, *sieved, pieces, was[0]))
    table = table_of(Offer)
    insert_tuples(connection, table, _FRESH, fresh)
    if changed:
        values: dict[str, Any] = {name: bindparam(name) for name in _CHANGED}
        rows = [dict(zip((*_CHANGED, "of"), row, strict=True)) for row in changed]
        connection.execute(update(table).where(table.c.id == bindparam("of")).values(values), rows)
    gone = [row[0] for rows in here.values() for row in rows]
    _forget(connection, gone)
    shop = table_of(Supplier)
    connection.execute(update(shop).where(shop.c.id == supplier).values(listed_at=at))
    return Taken(len(fresh), again, len(gone))


def _same(rows: list[Sequence[Any]] | None, part: int | None) -> Sequence[Any] | None:
    """Take the offer that a line was before; a number never means another part than it did."""
    for at, row in enumerate(rows or ()):
        if part is None or row[1] in (None, part):
            return rows.pop(at) if rows else None
    return None


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
