"""A whole list into the catalogue: read as a stream, all of it in one transaction or nothing."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from datetime import datetime

from sqlalchemy import Connection, Engine, select

from partsbin.stock.again import gone_from
from partsbin.stock.catalogue import shelve
from partsbin.stock.intake import Account, Here, Intake, Known, Went, parts_here
from partsbin.stock.key_rows import KeyMaker
from partsbin.stock.ledger import open_act
from partsbin.stock.list_memory import recall, remember
from partsbin.stock.lists import Cells
from partsbin.store.engine import reading, writing
from partsbin.store.statements import Statement
from partsbin.store.tables import FileOrigin, table_of

_EARLIER = Statement("SELECT 1 FROM file_origin WHERE file = :file LIMIT 1")


class _Undone(Exception):  # noqa: N818 no fault: it carries the decision out of the transaction
    """Nothing is to be written."""


def take_list(
    engine: Engine,
    cells: Cells,
    *,
    at: datetime,
    by: str = "",
    given: Mapping[str, str] | None = None,
    keep_good: bool = False,
    most: int | None = None,
    tell: Callable[[int, int], None] = lambda rows, refused: None,
) -> tuple[Account, int | None]:
    """Take a list into the catalogue.

    Parameters
    ----------
    engine : Engine
        The catalogue.
    cells : Cells
        The list.
    at : datetime
        When, with its time zone.
    by : str
        Who, for the ledger.
    given : mapping of str to str, optional
        Roles of columns by heading, as the person said; kept for the next list of the same shape.
    keep_good : bool
        Whether the good rows are taken where others have problems; else nothing is.
    most : int, optional
        Rows of each fate that the account keeps; None for all.
    tell : callable
        ``tell(rows, refused)`` after each chunk, with the rows done so far and those among them that have problems.

    Returns
    -------
    (Account, int or None)
        What became of each row, and how many parts were shelved; None where nothing was written.
    """
    with reading(engine) as connection:
        intake = Intake(cells, given=given, remembered=recall(connection, cells.header))
    account, written, keys = intake.account(most), 0, KeyMaker()
    try:
        with writing(engine) as connection:
            act_id = None
            for rows in intake.chunks(*_looker(connection, cells.name)):
                drafts = [row.draft for row in rows if row.draft is not None]
                for row in rows:
                    row.draft = None  # a long list is never held as a whole
                    account.add(row)
                if drafts and (keep_good or not account.refused):
                    if act_id is None:  # a list of which nothing is new is no act
                        act_id = open_act(connection, "shelved", at=at, by=by, why=f"import {cells.name}")
                    shelve(connection, drafts, at=at, by=by, keys=keys, act_id=act_id)
                    written += len(drafts)
                tell(sum(account.count.values()), account.refused)
            if account.refused and not keep_good:
                raise _Undone
            remember(connection, cells.header, given or {})
    except _Undone:
        return account, None
    return account, written


def look_over(
    engine: Engine | None,
    cells: Cells,
    *,
    given: Mapping[str, str] | None = None,
    most: int | None = None,
    tell: Callable[[int, int], None] = lambda rows, refused: None,
) -> Account:
    """Return what would become of a list; nothing is written. Without a catalogue nothing is here already."""
    if engine is None:
        return _account(Intake(cells, given=given), most, tell, lambda keys: (), lambda numbers: (), None)
    with reading(engine) as connection:
        intake = Intake(cells, given=given, remembered=recall(connection, cells.header))
        return _account(intake, most, tell, *_looker(connection, cells.name))


def _account(
    intake: Intake, most: int | None, tell: Callable[[int, int], None], known: Known, here: Here, gone: Went | None
) -> Account:
    account = intake.account(most)
    for rows in intake.chunks(known, here, gone):
        for row in rows:
            row.draft = None
            account.add(row)
        tell(sum(account.count.values()), account.refused)
    return account


def _looker(connection: Connection, file: str) -> tuple[Known, Here, Went | None]:
    """Return what finds keys of rows, parts, and rows that have gone; of a file that was never taken in there are none."""

    def here(numbers: Sequence[str]) -> Collection[tuple[str, str]]:
        return parts_here(connection, numbers)

    if not _EARLIER.rows(connection, {"file": file}):
        return (lambda keys: ()), here, None
    table = table_of(FileOrigin)

    def known(keys: Sequence[str]) -> Collection[str]:
        return frozenset(connection.execute(select(table.c.key).where(table.c.key.in_(keys))).scalars())

    return known, here, lambda seen: gone_from(connection, file, seen)
