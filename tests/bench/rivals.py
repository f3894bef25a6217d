"""The others: the same hard filter and order in DuckDB over Parquet, and in a pandas script that reads the CSV.

Hard filter: value in the need's window, rated for its stress, not paper that is never used again. Order: distance from the
ideal, then number; the first `LIMIT`. Then the parts of which a mark is unknown and the others do not rule them out, by
condition, count and number; the first `UNKNOWN_LIMIT`. That is less than partsbin's answer, which judges, ranks by verdict,
explains and counts: what the others are spared counts for them.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any, Protocol

import duckdb

from tests.bench.rows import REFUSED, asked

LIMIT, UNKNOWN_LIMIT = 5, 10
_SHOWN = "id, capacitance, voltage_dc, dielectric, condition, count"


def sql_filter(table: str) -> tuple[str, str]:
    """The two conditions in SQL: every mark known and good; some mark unknown and the others good."""
    need = asked()
    low, high = need.low * (1 - 1e-9), need.high * (1 + 1e-9)  # a value written on the bound is inside it
    papers = ", ".join(f"'{name}'" for name in REFUSED)
    known = f"{table}.capacitance BETWEEN {low!r} AND {high!r} AND {table}.voltage_dc >= {need.least!r} AND {table}.dielectric NOT IN ({papers})"
    some = (f"({table}.capacitance BETWEEN {low!r} AND {high!r} OR {table}.capacitance IS NULL) "
            f"AND ({table}.voltage_dc >= {need.least!r} OR {table}.voltage_dc IS NULL) "
            f"AND ({table}.dielectric NOT IN ({papers}) OR {table}.dielectric IS NULL) "
            f"AND ({table}.capacitance IS NULL OR {table}.voltage_dc IS NULL OR {table}.dielectric IS NULL)")
    return known, some


class Rival(Protocol):
    """Somebody else's way to the same rows."""

    def first(self) -> tuple[list[int], list[int]]:
        """Return the numbers of the first that match, and of the first with a mark unknown."""
        ...


class Duck:
    """DuckDB in this process, on an open connection, all cores, over one Parquet file."""

    def __init__(self, parquet: Path) -> None:
        self.connection = duckdb.connect()
        self.connection.execute("SET parquet_metadata_cache = true")
        self.connection.execute(f"CREATE VIEW part AS SELECT * FROM read_parquet('{parquet}')")
        self.known, self.some = sql_filter("part")
        distance = f"abs(ln(capacitance / {asked().ideal!r}))"
        rank = "CASE condition WHEN 'new' THEN 0 WHEN 'unused-old' THEN 1 ELSE 2 END"
        self._matches = f"SELECT {_SHOWN} FROM part WHERE {self.known} ORDER BY {distance}, id LIMIT {LIMIT}"
        self._unknowns = f"SELECT {_SHOWN} FROM part WHERE {self.some} ORDER BY {rank}, count DESC, id LIMIT {UNKNOWN_LIMIT}"

    def first(self) -> tuple[list[int], list[int]]:
        """Return the numbers of the first that match, and of the first with a mark unknown."""
        matches = self.connection.execute(self._matches).fetchall()
        unknowns = self.connection.execute(self._unknowns).fetchall()
        return [row[0] for row in matches], [row[0] for row in unknowns]

    def every(self) -> tuple[list[int], list[int]]:
        """Return the numbers of all that match, and of all with a mark unknown."""
        found = [self.connection.execute(f"SELECT id FROM part WHERE {where} ORDER BY id").fetchall() for where in (self.known, self.some)]
        return [row[0] for row in found[0]], [row[0] for row in found[1]]


def pandas_script(csv: Path) -> tuple[list[int], list[int]]:
    """Read the CSV and filter, as a script does that is run once a question."""
    import numpy as np
    import pandas as pd

    need = asked()
    frame: Any = pd.read_csv(csv)
    value, volts, dielectric = frame["capacitance"], frame["voltage_dc"], frame["dielectric"]
    fits = value.between(need.low * (1 - 1e-9), need.high * (1 + 1e-9))
    good = (fits | value.isna()) & ((volts >= need.least) | volts.isna()) & ~dielectric.isin(REFUSED)
    known = value.notna() & volts.notna() & dielectric.notna()
    matches = frame[good & known]
    matches = matches.assign(distance=np.abs(np.log(matches["capacitance"] / need.ideal))).sort_values(["distance", "id"])
    unknowns = frame[good & ~known]
    rank = unknowns["condition"].map({"new": 0, "unused-old": 1, "salvaged": 2})
    unknowns = unknowns.assign(rank=rank).sort_values(["rank", "count", "id"], ascending=[True, False, True])
    return matches["id"].head(LIMIT).tolist(), unknowns["id"].head(UNKNOWN_LIMIT).tolist()
