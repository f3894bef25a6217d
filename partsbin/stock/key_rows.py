"""Writing search keys: the rows of options and the rungs that they stand on."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from sqlalchemy import Connection, delete
from sqlalchemy.dialects import postgresql, sqlite

from partsbin.families import Family
from partsbin.families._declare import Item
from partsbin.stock.keys import OPTIONS_A_PART, SPREADS, keys_of, promise
from partsbin.store.bulk import insert_rows
from partsbin.store.tables import OptionKeys, Rung, table_of


def write_keys(connection: Connection, rows: Sequence[Mapping[str, Any]]) -> None:
    """Write key rows, and the rungs that they stand on."""
    if not rows:
        return
    insert_rows(connection, table_of(OptionKeys), rows)
    rungs = {(row["family"], row["missing"], row["limit_class"], row["spread"]) for row in rows}
    maker = postgresql.insert if connection.dialect.name == "postgresql" else sqlite.insert
    connection.execute(
        maker(Rung).on_conflict_do_nothing(),
        [
            {"family": family, "missing": missing, "limit_class": rung, "spread": spread, "ratio": SPREADS[spread]}
            for family, missing, rung, spread in sorted(rungs)
        ],
    )


def drop_keys(connection: Connection, part_id: int) -> None:
    """Remove a part's key rows: it is not available, or they are about to be written anew."""
    first = part_id * OPTIONS_A_PART
    column = table_of(OptionKeys).c.id
    connection.execute(delete(OptionKeys).where(column >= first, column < first + OPTIONS_A_PART))


def rebuild(connection: Connection, family: Family, parts: Iterable[tuple[int, Item, int, str]]) -> None:
    """Write the keys of parts anew: (id, item, available, origin). A part with none available has no keys."""
    rows = []
    for part_id, item, available, origin in parts:
        drop_keys(connection, part_id)
        if available > 0:
            rows.extend(keys_of(family, part_id, family.options(item), promise(item.condition, available, origin)))
    write_keys(connection, rows)
