"""`find` in every family: a usual need, ours beside DuckDB over the finished search keys of that family."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import ExitStack
from functools import partial
from typing import Any

from sqlalchemy import Connection

from partsbin.families import load, names
from partsbin.matching.answer import find
from partsbin.stock.catalogue import id_of
from tests.bench import every, measure
from tests.bench.agree import DisagreementError
from tests.bench.catalogue import EVERY
from tests.bench.lines import Plan, Row, against, tell
from tests.bench.rivals import LIMIT


def lines(plan: Plan) -> Iterator[Row]:
    """One row a family."""
    with ExitStack() as stack:
        where, connection = plan.store(stack, EVERY, plan.size)
        for name in names():
            duck, request = every.Duck(where.folder, load(name), connection), every.request(name)
            ask = partial(find, connection, request, limit=LIMIT)
            found = _agreed(connection, name, duck, ask())
            runs = measure.side_by_side({"ours": ask, "other": duck.rows}, plan.rounds)
            what = f"find {name} {request.position}, {plan.size // len(names()):,} of {plan.size:,}, {found:,} may do: DuckDB"
            yield against(what, runs["ours"], runs["other"])


def _agreed(connection: Connection, name: str, duck: every.Duck, answer: dict[str, Any]) -> int:
    """Return how many parts pass the filter, counted by both; what the answer offers is among them."""
    theirs, ours = duck.parts(), every.counted(connection, duck.filter, name)
    if len(theirs) != ours:
        raise DisagreementError(f"{name}: {ours} parts pass the filter by our keys, {len(theirs)} by DuckDB's")
    shown = {id_of(entry["part"]) for entry in answer["candidates"] if entry["family"] == name and not entry["make_up"]}
    if not shown <= theirs:
        raise DisagreementError(f"{name}: {sorted(shown - theirs)} are offered, and DuckDB's filter refuses them")
    tell(f"{name}: {ours:,} parts pass the filter, SQLite and DuckDB agree; the {len(shown)} offered are among them")
    return ours
