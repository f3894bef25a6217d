"""Suppliers' lists: what they offer at which price. A later list of the same supplier replaces all that it offered before."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from sqlalchemy import Connection, Engine, bindparam, delete, insert, select, update

from partsbin.errors import NotationError, Problem, UsageError
from partsbin.stock.accounts import REFUSED, Account
from partsbin.stock.catalogue import place_offers
from partsbin.stock.intake import Intake, RowAccount
from partsbin.stock.key_rows import KeyMaker
from partsbin.stock.keys import OPTIONS_A_PART
from partsbin.stock.lists import Cells
from partsbin.stock.parts import Draft
from partsbin.stock.price_columns import Price, PriceColumns, find_columns
from partsbin.store.bulk import insert_rows
from partsbin.store.engine import reading, writing
from partsbin.store.offer_tables import Offer, Supplier
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
    roles = {**(given or {}), **dict.fromkeys(columns.headings, "ignored")}
    intake = Intake(cells, given=roles)
    account, drafts = intake.account(most), dict[str, tuple[Draft, Price]]()
    account.columns.update(_said(columns))
    for rows in intake.chunks(lambda keys: (), lambda numbers: ()):
        for row in rows:
            _price(row, columns, cells, condition, drafts)
            account.add(row)
        tell(sum(account.count.values()))
    if dry_run or (account.refused and not keep_good):
        return account, None
    with writing(engine) as connection:
        return account, _replace(connection, supplier_id(connection, supplier, new=True), drafts, at)


def _said(columns: PriceColumns) -> dict[str, str]:
    said = {heading: role for role, heading in columns.one.items()}
    for start, begins, heading, per in columns.prices:
        said[heading] = f"price from {begins or start}" + (f", for {per}" if per > 1 else "")
    return said


def _price(
    row: RowAccount, columns: PriceColumns, cells: Cells, condition: str, drafts: dict[str, tuple[Draft, Price]]
) -> None:
    draft, row.draft = row.draft, None
    if draft is None or draft.file is None:
        return
    try:
        price = columns.read(draft.file[3], comma=cells.decimal_comma)
    except NotationError as fault:
        row.status = REFUSED
        row.problems = [*row.problems, Problem("CSV-PRICE", fault.message, cells.name, row.line)]
        return
    offered = replace(
        draft,
        origin="offered",
        count=0,
        rough=False,
        condition=draft.condition or condition,
        place="",
        donor="",
        file=None,
    )
    facts = offered.facts.model_dump(exclude_none=True, mode="json")
    said = json.dumps(
        [price.article, offered.family, offered.title, offered.condition, offered.marking, facts], sort_keys=True
    )
    key = hashlib.sha256(said.encode()).hexdigest()[:32]
    number = 1
    while (own := f"{key}#{number}" if number > 1 else key) in drafts:
        number += 1
    drafts[own] = (offered, price)


_HERE = Statement("SELECT key, part_id FROM offer WHERE supplier_id = :supplier")


def _replace(connection: Connection, supplier: int, drafts: Mapping[str, tuple[Draft, Price]], at: datetime) -> Taken:
    here: dict[str, int] = dict(_HERE.rows(connection, {"supplier": supplier}))
    table = table_of(Offer)
    again = [{"of": here[key], **_row(price), "at": at} for key, (_, price) in drafts.items() if key in here]
    if again:
        change: dict[str, Any] = {name: bindparam(name) for name in again[0] if name != "of"}
        connection.execute(update(table).where(table.c.part_id == bindparam("of")).values(change), again)
    fresh, maker = [(key, *drafts[key]) for key in drafts if key not in here], KeyMaker()
    for start in range(0, len(fresh), _BATCH):
        some = fresh[start : start + _BATCH]
        ids = place_offers(connection, [draft for _, draft, _ in some], maker)
        rows = [
            {"part_id": ident, "supplier_id": supplier, "key": key, **_row(price), "here_id": None, "at": at}
            for ident, (key, _, price) in zip(ids, some, strict=True)
        ]
        insert_rows(connection, table, rows)
    gone = [part for key, part in here.items() if key not in drafts]
    _forget(connection, gone)  # last: what comes in the place of it gets no number of it
    return Taken(len(fresh), len(again), len(gone))


def _row(price: Price) -> dict[str, Any]:
    return {
        "article": price.article,
        "breaks": [list(each) for each in price.breaks],
        "pack": price.pack,
        "minimum": price.minimum,
        "supply": price.supply,
    }


def _forget(connection: Connection, part_ids: Sequence[int]) -> None:
    """Offers that are no more; what was bought of them lies on the shelf as parts of their own."""
    keys, offer, part = table_of(OptionKeys), table_of(Offer), table_of(Part)
    rows = [{"of": ident, "first": ident * OPTIONS_A_PART, "next": (ident + 1) * OPTIONS_A_PART} for ident in part_ids]
    if rows:
        connection.execute(delete(keys).where(keys.c.id >= bindparam("first"), keys.c.id < bindparam("next")), rows)
        connection.execute(delete(offer).where(offer.c.part_id == bindparam("of")), rows)
        connection.execute(delete(part).where(part.c.id == bindparam("of")), rows)


def suppliers(engine: Engine) -> list[dict[str, Any]]:
    """Return the suppliers with what they want for shipping."""
    table = table_of(Supplier)
    with reading(engine) as connection:
        return [dict(row) for row in connection.execute(select(table).order_by(table.c.name)).mappings()]
