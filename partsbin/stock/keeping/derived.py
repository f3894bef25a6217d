"""What is derived from parts, compared with what would be derived now: search keys, and the words that they are found by."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Sequence
from typing import Any

from pydantic import ValidationError
from sqlalchemy import Connection, func, select

from partsbin.families import load, names
from partsbin.stock.keeping.faults import Fault
from partsbin.stock.keys import OPTIONS_A_PART, keys_of, listed, promise, without_name
from partsbin.stock.searching.index import words_said
from partsbin.stock.searching.texts import word_ids
from partsbin.stock.shelf import get
from partsbin.store.tables import OptionKeys, Part, SearchWord, table_of

BATCH = 1024


def derived_faults(
    connection: Connection,
    without: Collection[int | None] = (),
    tell: Callable[[int, int], None] = lambda parts, of: None,
) -> Iterator[Fault]:
    """Yield parts whose facts are impossible, or whose keys or words are not those that follow from them.

    Parameters
    ----------
    connection : Connection
        Reading.
    without : collection of int
        Parts that have no facts, from which nothing follows.
    tell : callable
        ``tell(parts, of)`` at first and after each batch, with the parts done so far, of how many.
    """
    part, done = table_of(Part), 0
    of = connection.execute(select(func.count()).select_from(part)).scalar_one()
    tell(0, of)
    words = dict(connection.execute(select(table_of(SearchWord).c.id, table_of(SearchWord).c.word)).all())
    for name in names():
        ids = connection.execute(select(part.c.id).where(part.c.family == name).order_by(part.c.id)).scalars().all()
        for start in range(0, len(ids), BATCH):
            some = [ident for ident in ids[start : start + BATCH] if ident not in without]
            if not some:
                continue
            yield from _keys(connection, name, some)
            yield from _words(connection, some, words)
            done += len(some)
            tell(done, of)


def _keys(connection: Connection, name: str, ids: Sequence[int]) -> Iterator[Fault]:
    family, table = load(name), table_of(OptionKeys)
    query = select(table).where(table.c.id >= ids[0] * OPTIONS_A_PART, table.c.id < (ids[-1] + 1) * OPTIONS_A_PART)
    stored: dict[int, list[dict[str, Any]]] = {}
    for row in connection.execute(query.order_by(table.c.id)).mappings():
        stored.setdefault(row["id"] // OPTIONS_A_PART, []).append(dict(row))
    for ident, part in get(connection, family, ids).items():
        try:
            family.facts.model_validate(part.item.facts.model_dump())
        except ValidationError as fault:
            yield Fault("FACTS", f"impossible: {fault.errors()[0]['msg'].lower()}", ident)
            continue
        order = promise(part.item.condition, part.available, part.origin)
        made = keys_of(family, ident, family.options(part.item), order)
        here = part.available > 0 or part.origin == "offered"
        wanted = [{**without_name(row), "family": listed(name, part.origin)} for row in made] if here else []
        if stored.get(ident, []) != wanted:
            yield Fault("KEYS", "its search keys are not those of its facts", ident, derived=True)


def _words(connection: Connection, some: Sequence[int], words: dict[int, str]) -> Iterator[Fault]:
    part = table_of(Part)
    shelf = select(part.c.id).where(part.c.id.in_(some), part.c.origin == "shelf").order_by(part.c.id)
    ids = connection.execute(shelf).scalars().all()  # offers are not found by words
    held = word_ids(connection, ids)
    for ident, said in words_said(connection, ids).items():
        if {words.get(word, "") for word in held.get(ident, ())} != said:
            yield Fault("WORDS", "the words it is found by are not those of its texts", ident, derived=True)
