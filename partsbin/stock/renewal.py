"""What is derived from a part, made anew after it changed: search keys, and the words that it is found by."""

from __future__ import annotations

from collections.abc import Iterable

from sqlalchemy import Connection, select

from partsbin.families import load
from partsbin.stock.key_rows import rebuild
from partsbin.stock.searching.index import index_parts
from partsbin.stock.shelf import get
from partsbin.store.tables import Part, table_of

BATCH = 2048


def renew(connection: Connection, part_ids: Iterable[int], *, words: bool = False) -> None:
    """Make the search keys of parts anew, and their words where these changed.

    Parameters
    ----------
    connection : Connection
        Inside the writing transaction that changed them.
    part_ids : iterable of int
        The parts.
    words : bool
        Whether title, marking, maker, note, place or donor changed as well.
    """
    ids = sorted(set(part_ids))
    part = table_of(Part)
    for start in range(0, len(ids), BATCH):
        some = ids[start : start + BATCH]
        of_family: dict[str, list[int]] = {}
        for ident, name in connection.execute(select(part.c.id, part.c.family).where(part.c.id.in_(some))):
            of_family.setdefault(name, []).append(ident)
        for name, own in of_family.items():
            family = load(name)
            found = get(connection, family, own).values()
            rebuild(connection, family, [(each.id, each.item, each.available, each.origin) for each in found])
    if words:
        index_parts(connection, ids)
