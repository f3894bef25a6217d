"""Search keys: what the retrieval knows of an option without reading the part. Derived from facts and readings, rebuildable."""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from sqlalchemy import Connection, delete, insert
from sqlalchemy.dialects import postgresql, sqlite

from partsbin.families import Family
from partsbin.families._declare import Item, Option, known
from partsbin.store.tables import OptionKeys, Rung, table_of

SPREADS = (1.0125, 1.025, 1.055, 1.11, 1.25, 1.6, 3.0, 1e6)
"""Upper bounds of max(high / value, value / low) of a spread class; the last takes everything wider."""

LIMIT_STEP = math.log(1.15)
LIMIT_UNKNOWN = -9999
MISSING_VALUE, MISSING_LIMIT, MISSING_OTHER = 1, 2, 4
OPTIONS_A_PART = 256
_CONDITION_ORDER = {"new": 0, "unused-old": 1, "salvaged": 2, "": 3}
_MOST = 999_999


def limit_class(limit: float) -> int:
    """Return the rung of a rating, 15 % wide; more than the rating's own rung never holds less [-]."""
    return math.floor(math.log(limit) / LIMIT_STEP + 1e-9)


def spread_class(value: float, low: float, high: float) -> int:
    """Return the class of how far the interval reaches from the value [-]."""
    reach = max(high / value, value / low) if low > 0 else math.inf
    return min(bisect_left(SPREADS, reach), len(SPREADS) - 1)


def promise(condition: str, available: int, origin: str = "shelf") -> int:
    """Return the order among equals that looks at no need: shelf before offers, condition, then the larger count [-]."""
    offered = 10 if origin == "offered" else 0
    return (offered + _CONDITION_ORDER[condition]) * (_MOST + 1) + _MOST - min(available, _MOST)


def keys_of(family: Family, part_id: int, options: Sequence[Option], order: int) -> list[dict[str, Any]]:
    """Return the key rows of a part's options."""
    rows = []
    names = family.keys
    for number, option in enumerate(options[:OPTIONS_A_PART]):
        offers = option.offers
        has_value = known(offers, names.value) and known(offers, names.low) and known(offers, names.high)
        has_limit = known(offers, names.limit)
        missing = (
            (0 if has_value else MISSING_VALUE)
            | (0 if has_limit else MISSING_LIMIT)
            | (MISSING_OTHER if family.owes(offers) else 0)
        )
        value, low, high = (
            _number(offers[name]) if has_value else None for name in (names.value, names.low, names.high)
        )
        limit = _number(offers[names.limit]) if has_limit else None
        rows.append(
            {
                "id": part_id * OPTIONS_A_PART + number,
                "family": family.name,
                "missing": missing,
                "limit_class": LIMIT_UNKNOWN if limit is None else limit_class(limit),
                "spread": spread_class(value, low, high)
                if value is not None and low is not None and high is not None
                else 0,
                "value": value,
                "low": low,
                "high": high,
                "limit_high": limit,
                "kind": names.pack(offers),
                "promise": order,
            }
        )
    return rows


def _number(value: Any) -> float:
    return float(value)


def write_keys(connection: Connection, rows: Sequence[Mapping[str, Any]]) -> None:
    """Write key rows, and the rungs that they stand on."""
    if not rows:
        return
    connection.execute(insert(OptionKeys), list(rows))
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
