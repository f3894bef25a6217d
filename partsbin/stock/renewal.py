"""What is derived from a part, made anew after it changed: search keys, and the words that it is found by."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from sqlalchemy import Connection

from partsbin.families import load
from partsbin.stock.key_rows import rebuild, recount
from partsbin.stock.searching.index import index_parts
from partsbin.stock.shelf import get
from partsbin.store.statements import Statement

BATCH = 2048
_FAMILIES = Statement("SELECT id, family FROM part WHERE id IN :ids")


@dataclass(frozen=True)
class Recounted:
    """A part on the shelf of which nothing but the count has changed, as it stands now."""

    id: int
    condition: str
    available: int


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
    for start in range(0, len(ids), BATCH):
        some = ids[start : start + BATCH]
        of_family: dict[str, list[int]] = {}
        for ident, name in _FAMILIES.tuples_of_ids(connection, some):
            of_family.setdefault(name, []).append(ident)
        for name, own in of_family.items():
            family = load(name)
            found = get(connection, family, own).values()
            rebuild(connection, family, [(each.id, each.item, each.available, each.origin) for each in found])
    if words:
        index_parts(connection, ids)


def renew_counts(connection: Connection, parts: Iterable[Recounted]) -> None:
    """Let search keys follow the counts: they are made anew only of what had none available before."""
    renew(connection, [each.id for each in parts if not recount(connection, each.id, each.condition, each.available)])
