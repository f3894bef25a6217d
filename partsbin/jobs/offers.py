"""Suppliers' lists: what they offer at which price. A later list of the same supplier replaces all that it offered before.

What lists say alike is one part, judged once, however many offers there are of it.
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
from partsbin.stock.accounts import REFUSED, UNSURE, Account, RowAccount
from partsbin.stock.alike import Alike
from partsbin.stock.catalogue import place_offers
from partsbin.stock.intake import Intake
from partsbin.stock.key_rows import KeyMaker
from partsbin.stock.keys import OPTIONS_A_PART
from partsbin.stock.lists import Cells
from partsbin.stock.parts import Draft
from partsbin.stock.price_columns import BY_PACK, Price, PriceColumns, PriceReader, find_columns, together
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
    intake = Intake(cells, given={**(given or {}), **dict.fromkeys(columns.headings, "ignored")})
    account = intake.account(most)
    account.columns.update(_said(columns))
    account.why.update(dict.fromkeys(set(columns.headings) - set(given or {}), ""))
    listed = _List(intake, columns, given or {}, condition)
    for number, (line, values) in enumerate(cells.rows, 1):
        account.add_like(listed.row(line, values), line)
        if number % _BATCH == 0:
            tell(number)
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


class _List:
    """The offers of a list: what is sold, understood once for all that say the same, and what each wants for it."""

    def __init__(self, intake: Intake, columns: PriceColumns, given: Mapping[str, str], condition: str) -> None:
        self.intake, self.given, self.condition = intake, given, condition
        self.alike = Alike(intake)
        self.prices = PriceReader(columns, intake.headings, comma=intake.cells.decimal_comma)
        self.keys: dict[
            int, tuple[str, RowAccount]
        ] = {}  # by place in memory: the row is kept, so that it stays its own
        self.kinds: dict[str, Draft] = {}
        self.offers: list[tuple[str, Price]] = []

    def row(self, line: int, values: Sequence[str]) -> RowAccount:
        """Take a row in, and return what became of it."""
        headings = self.intake.headings
        row = self.alike.row(line, values)
        if headings is not self.intake.headings:  # another table begins
            headings = self.intake.headings
            self.prices = PriceReader(
                find_columns(headings, self.given), headings, comma=self.intake.cells.decimal_comma
            )
        if row.draft is None:
            return row
        try:
            price = self.prices.read(values if len(values) >= len(headings) else self.intake.filled(values))
        except NotationError as fault:
            problem = Problem("CSV-PRICE", fault.message, self.intake.cells.name, line)
            return replace(row, line=line, status=REFUSED, draft=None, problems=[*row.problems, problem])
        if (kind := self.keys.get(id(row))) is None:
            kind = self.keys[id(row)] = (self._kind(row, row.draft), row)
        if row.draft.count > 1 and "count" not in self.intake.mapping.where:
            price = together(price, row.draft.count)  # "matched pair", "10 x": what the price is for
        self.offers.append((kind[0], price))
        return row

    def _kind(self, row: RowAccount, draft: Draft) -> str:
        """Note what is sold, and return what tells it from all else that is; what is doubtful in its words goes with it."""
        if row.status == UNSURE and row.notes:
            draft = replace(draft, note="; ".join(filter(None, (draft.note, *row.notes))))
        kind = replace(
            draft, origin="offered", count=0, rough=False, condition=draft.condition or self.condition, place="", donor="",
            file=None, readings=(),
        )  # fmt: skip
        facts = kind.facts.model_dump(exclude_none=True, mode="json")
        words = [getattr(kind, name) for name in _WORDS]
        key = hashlib.sha256(json.dumps([*words, facts], sort_keys=True).encode()).hexdigest()[:32]
        self.kinds.setdefault(key, kind)
        return key


_WORDS = ("family", "title", "condition", "marking", "maker", "date_code", "year", "lead_style", "note")
_KINDS = Statement("SELECT key, part_id FROM offered_kind")
_HERE = Statement(
    "SELECT id, part_id, article, breaks, pack, minimum, supply FROM offer WHERE supplier_id = :supplier ORDER BY id"
)


def _replace(connection: Connection, supplier: int, listed: _List, at: datetime) -> Taken:
    """Put the list in the place of the one before. An article that is the same in all its words keeps its number."""
    parts = _placed(connection, listed.kinds)
    here: dict[tuple[int, str], list[Sequence[Any]]] = {}
    for row in _HERE.rows(connection, {"supplier": supplier}):
        here.setdefault((row[1], row[2]), []).append(row)
    fresh, changed, again, texts = [], [], 0, dict[tuple[tuple[int, int], ...], str]()
    for key, price in listed.offers:
        part = parts[key]
        if (breaks := texts.get(price.breaks)) is None:
            breaks = texts[price.breaks] = json.dumps(price.breaks)
        now = (breaks, price.pack, price.minimum, price.supply)
        if was := here.get((part, price.article)):
            before, again = was.pop(0), again + 1
            if tuple(before[3:]) != now:
                changed.append((*now, min(paid for _, paid in price.breaks), before[0]))
        else:
            fresh.append((part, supplier, price.article, *now, min(paid for _, paid in price.breaks)))
    table = table_of(Offer)
    insert_tuples(connection, table, ("part_id", "supplier_id", "article", *_PRICED), fresh)
    if changed:
        values: dict[str, Any] = {name: bindparam(name) for name in _PRICED}
        rows = [dict(zip((*_PRICED, "of"), row, strict=True)) for row in changed]
        connection.execute(update(table).where(table.c.id == bindparam("of")).values(values), rows)
    gone = [row[0] for rows in here.values() for row in rows]
    _forget(connection, gone)
    shop = table_of(Supplier)
    connection.execute(update(shop).where(shop.c.id == supplier).values(listed_at=at))
    return Taken(len(fresh), again, len(gone))


_PRICED = ("breaks", "pack", "minimum", "supply", "least")


def _placed(connection: Connection, kinds: Mapping[str, Draft]) -> dict[str, int]:
    """Return the parts that stand for kinds, those made that no list had so far."""
    here: dict[str, int] = dict(_KINDS.rows(connection, {}))
    fresh, maker, table = [key for key in kinds if key not in here], KeyMaker(), table_of(OfferedKind)
    for start in range(0, len(fresh), _BATCH):
        some = fresh[start : start + _BATCH]
        ids = place_offers(connection, [kinds[key] for key in some], maker)
        insert_tuples(connection, table, ("part_id", "key"), list(zip(ids, some, strict=True)))
        here.update(zip(some, ids, strict=True))
    return here


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
