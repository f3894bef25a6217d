"""Reports as frames: what lies there, what never moves, what nobody knows, thin margins, what was used, what donors gave.

Each function reads with plain SQL and sums with pandas; money is in whole thousandths of the currency's unit, pieces are whole.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from sqlalchemy import Connection, text

from partsbin.jobs.fitted import fittings_of
from partsbin.stock.keys import MISSING_LIMIT, MISSING_VALUE, OPTIONS_A_PART
from partsbin.stock.shelf import number_of

if TYPE_CHECKING:
    import pandas as pd

SLOW_DAYS = 365
"""Days without a movement after which a part is slow, common practice [d]."""


def _read(connection: Connection, query: str, **values: Any) -> pd.DataFrame:
    import pandas as pd

    found = connection.execute(text(query), values)
    rows = [tuple(row) for row in found.all()]  # of another kind of row pandas asks each what it is
    return pd.DataFrame(rows, columns=list(found.keys()))


_STOCK = """
SELECT part.id, part.family, coalesce(place.name, '') AS place, part.on_hand, part.reserved, part.price
FROM part LEFT JOIN place ON place.id = part.place_id WHERE part.origin = 'shelf' AND part.on_hand > 0
"""


def stock(connection: Connection, now: datetime) -> pd.DataFrame:
    """Return stock by family and place: rows of the catalogue, pieces, those set aside, value, pieces whose price is not known."""
    found = _read(connection, _STOCK)
    found["value"] = (found["on_hand"] * found["price"].fillna(0)).astype("int64")
    found["unpriced"] = found["on_hand"].where(found["price"].isna(), 0)
    groups = found.groupby(["family", "place"], as_index=False)
    return groups.agg(
        parts=("id", "size"),
        pieces=("on_hand", "sum"),
        set_aside=("reserved", "sum"),
        value=("value", "sum"),
        unpriced=("unpriced", "sum"),
    )


_MOVED = """
SELECT part.id, part.family, part.title, coalesce(place.name, '') AS place, part.on_hand AS pieces, max(act.at) AS last,
  sum(CASE WHEN movement.word = 'fitted' THEN -movement.quantity ELSE 0 END) AS fitted
FROM part JOIN movement ON movement.part_id = part.id JOIN act ON act.id = movement.act_id
LEFT JOIN place ON place.id = part.place_id
WHERE part.origin = 'shelf' AND part.on_hand > 0 GROUP BY part.id, part.family, part.title, place.name, part.on_hand
"""


def slow(connection: Connection, now: datetime) -> pd.DataFrame:
    """Return parts that have not moved for `SLOW_DAYS`, the longest first; `fitted` tells those that never were."""
    import pandas as pd

    found = _read(connection, _MOVED)
    last = pd.to_datetime(found["last"], utc=True, format="ISO8601")
    found["days"] = (pd.Timestamp(now) - last).dt.days
    found = found[found["days"] >= SLOW_DAYS].sort_values(["days", "id"], ascending=[False, True])
    found["part"] = found["id"].map(number_of)
    return found[["part", "family", "title", "place", "pieces", "days", "fitted"]].reset_index(drop=True)


_UNKNOWN = """
SELECT part.id, part.family, part.title, coalesce(place.name, '') AS place, part.on_hand AS pieces, min(option_keys.missing) AS missing
FROM part JOIN option_keys ON option_keys.id / :width = part.id LEFT JOIN place ON place.id = part.place_id
WHERE part.origin = 'shelf' GROUP BY part.id, part.family, part.title, place.name, part.on_hand
"""


def unknown(connection: Connection, now: datetime) -> pd.DataFrame:
    """Return parts whose value or rating nobody knows, those without a value first: no search finds them."""
    found = _read(connection, _UNKNOWN, width=OPTIONS_A_PART)
    missing = found["missing"].astype("int64")
    found["value_known"] = (missing & MISSING_VALUE) == 0
    found["rating_known"] = (missing & MISSING_LIMIT) == 0
    found = found[~(found["value_known"] & found["rating_known"])]
    found = found.sort_values(["value_known", "pieces", "id"], ascending=[True, False, True])
    found["part"] = found["id"].map(number_of)
    return found[["part", "family", "title", "place", "pieces", "value_known", "rating_known"]].reset_index(drop=True)


FITTED = (
    "job",
    "part",
    "family",
    "title",
    "designator",
    "position",
    "pieces",
    "verdict",
    "check",
    "margin",
    "reason",
    "change",
)
"""Columns of what was fitted."""


def fitted(connection: Connection, now: datetime) -> pd.DataFrame:
    """Return everything that sits in a set now, job by job, with the check that decided."""
    import pandas as pd

    rows = fittings_of(connection)
    return pd.DataFrame([[entry[name] for name in FITTED] for entry in rows], columns=list(FITTED))


def thin(connection: Connection, now: datetime) -> pd.DataFrame:
    """Return what was fitted with care: which job, which check, how thin, what was changed; the thinnest first."""
    found = fitted(connection, now)
    return found[found["verdict"] == "care"].sort_values("margin", kind="stable").reset_index(drop=True)


_USED = """
SELECT act.at, part.family, -movement.quantity AS pieces, movement.price FROM movement
JOIN act ON act.id = movement.act_id JOIN part ON part.id = movement.part_id WHERE movement.word IN ('fitted', 'returned')
"""


def usage(connection: Connection, now: datetime) -> pd.DataFrame:
    """Return pieces used by month and family: fitted less those that came back; what was taken back nets out."""
    import pandas as pd

    found = _read(connection, _USED)
    found["month"] = pd.to_datetime(found["at"], utc=True, format="ISO8601").dt.strftime("%Y-%m")
    found["value"] = (found["pieces"] * found["price"].fillna(0)).astype("int64")
    groups = found.groupby(["month", "family"], as_index=False)
    return groups.agg(pieces=("pieces", "sum"), value=("value", "sum"))


_GIVEN = """
SELECT donor.code AS donor, donor.name, donor.cost, part.id, part.family, part.on_hand, part.price,
  coalesce((SELECT sum(-quantity) FROM movement WHERE part_id = part.id AND word IN ('fitted', 'returned')), 0) AS used,
  coalesce((SELECT sum(-quantity) FROM movement WHERE part_id = part.id AND word = 'scrapped'), 0) AS bad,
  EXISTS (SELECT 1 FROM reading WHERE part_id = part.id
    AND NOT EXISTS (SELECT 1 FROM act WHERE act.reverses_id = reading.act_id)) AS tested
FROM donor LEFT JOIN part ON part.donor_id = donor.id
"""
_SAT = "SELECT donor.code AS donor, sum(minutes) AS minutes FROM stripping JOIN donor ON donor.id = donor_id GROUP BY donor.code"


def donors(connection: Connection, now: datetime) -> pd.DataFrame:
    """Return what each donor gave: pieces left, tested or not, used, bad; value left and used; minutes spent, value an hour."""
    found = _read(connection, _GIVEN)
    for name in ("on_hand", "used", "bad", "price"):
        found[name] = found[name].fillna(0).astype("int64")
    found["tested"] = found["on_hand"].where(found["tested"].fillna(False).astype(bool), 0)
    found["value_left"], found["value_used"] = found["on_hand"] * found["price"], found["used"] * found["price"]
    groups = found.groupby("donor", as_index=False)
    made = groups.agg(
        name=("name", "first"),
        parts=("id", "count"),
        left=("on_hand", "sum"),
        tested=("tested", "sum"),
        used=("used", "sum"),
        bad=("bad", "sum"),
        value_left=("value_left", "sum"),
        value_used=("value_used", "sum"),
    )
    made = made.merge(_read(connection, _SAT), on="donor", how="left")
    made["minutes"] = made["minutes"].fillna(0.0).astype("float64")
    hours = made["minutes"].where(made["minutes"] > 0) / 60
    made["value_an_hour"] = (made["value_left"] + made["value_used"]) / hours
    return made


REPORTS: Mapping[str, Callable[[Connection, datetime], pd.DataFrame]] = {
    "stock": stock,
    "slow": slow,
    "unknown": unknown,
    "fitted": fitted,
    "thin": thin,
    "usage": usage,
    "donors": donors,
}
MONEY = ("value", "value_left", "value_used", "value_an_hour")
"""Columns that hold money."""

TITLES: Mapping[str, str] = {
    "stock": "stock by family and place",
    "slow": "parts that do not move",
    "unknown": "parts whose value or rating nobody knows",
    "fitted": "what was fitted",
    "thin": "fitted with care",
    "usage": "used by month and family",
    "donors": "what donors gave",
}


def report(connection: Connection, name: str, now: datetime | None = None) -> pd.DataFrame:
    """Return a report by its name, as of `REPORTS`."""
    return REPORTS[name](connection, now or datetime.now(UTC))
