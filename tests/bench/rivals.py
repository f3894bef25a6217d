"""The others: the same hard filter and order in DuckDB over Parquet, and in a pandas script that reads the CSV.

Hard filter: value in the need's window, rated for its stress, not paper that is never used again. Order: distance from the
ideal, then number; the first `LIMIT`. Then the parts of which a mark is unknown and the others do not rule them out, by
condition, count and number; the first `UNKNOWN_LIMIT`. That is less than partsbin's answer, which judges, ranks by verdict,
explains and counts: what the others are spared counts for them.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import duckdb

from tests.bench.rows import REFUSED, asked

LIMIT, UNKNOWN_LIMIT = 5, 10
KNOWN = "capacitance IS NOT NULL AND voltage_dc IS NOT NULL AND dielectric IS NOT NULL"
_SHOWN = "id, capacitance, voltage_dc, dielectric, condition, count"
_CONDITION = "CASE condition WHEN 'new' THEN 0 WHEN 'unused-old' THEN 1 ELSE 2 END"


def hard_filter() -> str:
    """Return the condition in SQL: no mark that is known rules the part out."""
    low, high = window()
    papers = ", ".join(f"'{name}'" for name in REFUSED)
    return (
        f"(capacitance BETWEEN {low!r} AND {high!r} OR capacitance IS NULL) "
        f"AND (voltage_dc >= {asked().least!r} OR voltage_dc IS NULL) "
        f"AND (dielectric NOT IN ({papers}) OR dielectric IS NULL)"
    )


def window() -> tuple[float, float]:
    """Return the need's value window; a value written on a bound is inside it."""
    return asked().low * (1 - 1e-9), asked().high * (1 + 1e-9)


class Duck:
    """DuckDB in this process, on an open connection, all cores, over one Parquet file.

    One scan for both lists; two statements, or two joined by UNION ALL, took half as long again.
    """

    def __init__(self, parquet: Path) -> None:
        self.connection = duckdb.connect()
        self.connection.execute("SET parquet_metadata_cache = true")
        self.connection.execute(f"CREATE VIEW part AS SELECT * FROM read_parquet('{parquet}')")
        self._query = f"""
            WITH hit AS MATERIALIZED (
                SELECT {_SHOWN}, {KNOWN} AS known, abs(ln(capacitance / {asked().ideal!r})) AS distance FROM part WHERE {hard_filter()})
            (SELECT * FROM hit WHERE known ORDER BY distance, id LIMIT {LIMIT})
            UNION ALL
            (SELECT * FROM hit WHERE NOT known ORDER BY {_CONDITION}, count DESC, id LIMIT {UNKNOWN_LIMIT})"""

    def rows(self) -> list[Any]:
        """Return the first rows that match, then the first with a mark unknown: what is timed."""
        return self.connection.execute(self._query).fetchall()

    def first(self) -> tuple[list[int], list[int]]:
        """Return the numbers of those rows."""
        found = self.rows()
        return [row[0] for row in found if row[6]], [row[0] for row in found if not row[6]]

    def every(self) -> tuple[list[int], list[int]]:
        """Return the numbers of all that match, and of all with a mark unknown."""
        query = f"SELECT id, {KNOWN} FROM part WHERE {hard_filter()} ORDER BY id"
        found = self.connection.execute(query).fetchall()
        return [ident for ident, known in found if known], [ident for ident, known in found if not known]


def pandas_script(csv: Path) -> tuple[list[int], list[int]]:
    """Read the CSV and filter, as a script does that is run once a question."""
    import numpy as np
    import pandas as pd

    frame: Any = pd.read_csv(csv)
    value, volts, dielectric = frame["capacitance"], frame["voltage_dc"], frame["dielectric"]
    good = (
        (value.between(*window()) | value.isna())
        & ((volts >= asked().least) | volts.isna())
        & ~dielectric.isin(REFUSED)
    )
    known = value.notna() & volts.notna() & dielectric.notna()
    matches = frame[good & known]
    matches = matches.assign(distance=np.abs(np.log(matches["capacitance"] / asked().ideal))).sort_values(
        ["distance", "id"]
    )
    unknowns = frame[good & ~known]
    rank = unknowns["condition"].map({"new": 0, "unused-old": 1, "salvaged": 2})
    unknowns = unknowns.assign(rank=rank).sort_values(["rank", "count", "id"], ascending=[True, False, True])
    return matches["id"].head(LIMIT).tolist(), unknowns["id"].head(UNKNOWN_LIMIT).tolist()
