"""Reports agree with plain SQL over the file, and with each other, whatever was done."""

from __future__ import annotations

import random
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from sqlalchemy import Connection, Engine, text

from partsbin.errors import PartsbinError
from partsbin.jobs.fitting import Spot, bring_back, fit
from partsbin.jobs.record import open_job
from partsbin.needs import Request
from partsbin.reports.frames import report
from partsbin.sets import read_facts
from partsbin.stock.acts import Who, buy, measure, move, reserve, scrap
from partsbin.stock.donors import add_donor
from partsbin.stock.ledger import undo
from partsbin.stock.parts import NewReading
from partsbin.stock.sitting import strip_lines
from partsbin.store.engine import writing

START = datetime(2026, 1, 1, 12, tzinfo=UTC)
LINES = (
    "place box 1",
    "20x 22n 400V polyester",
    "5x 470k 1/2W",
    "OPT 45:1 Rp 380",
    "place tin",
    "3x EL84",
    "6x 0.1 paper",
    "knob",
)


def _some_months(connection: Connection, seed: int) -> None:
    """Two donors, two jobs, and whatever happens in some months; what is refused is refused."""
    draw = random.Random(seed)
    for _ in range(2):
        strip_lines(connection, add_donor(connection), LINES, Who(START), minutes=draw.choice((0, 25)))
    jobs = [open_job(connection, Who(START), facts=["rail=200"]) for _ in range(2)]
    request = Request("capacitor", "0.02uF 350V", "coupling", {}, read_facts(["rail=200"]))
    measure(connection, 1, [NewReading("leakage", 1e-9, "A", 1e-10, {"volts": 400.0})], Who(START), pieces=20)
    for step in range(40):
        who = Who(START + timedelta(days=8 * step))
        part, job, pieces = draw.randint(1, 13), draw.choice(jobs), draw.randint(1, 3)
        acts: dict[str, Any] = {
            "fit": lambda w=who, j=job, n=pieces: fit(connection, Spot(j, request), 1, w, pieces=n),
            "back": lambda w=who, j=job: bring_back(connection, j, 1, 1, w),
            "buy": lambda w=who, p=part, n=pieces: buy(connection, p, n, w, price=draw.randint(100, 5000)),
            "scrap": lambda w=who, p=part, n=pieces: scrap(connection, p, n, w),
            "move": lambda w=who, p=part, n=pieces: move(connection, p, draw.choice(("tin", "box 9")), w, pieces=n),
            "reserve": lambda w=who, p=part, j=job: reserve(connection, p, 1, w, job_id=j.id),
            "undo": lambda w=who: undo(connection, at=w.at),
        }
        point = connection.begin_nested()
        try:
            acts[draw.choice(list(acts))]()
            point.commit()
        except PartsbinError:
            point.rollback()


@pytest.fixture(params=range(5))
def months(request: pytest.FixtureRequest, store: Engine) -> Engine:
    """A catalogue with some months behind it."""
    with writing(store) as connection:
        _some_months(connection, request.param)
    return store


def _sql(engine: Engine, query: str) -> list[tuple[Any, ...]]:
    with engine.connect() as connection:
        return [tuple(row) for row in connection.execute(text(query))]


def _report(engine: Engine, name: str, now: datetime = START) -> Any:
    with engine.connect() as connection:
        return report(connection, name, now)


def test_stock_is_what_sql_sums(months: Engine) -> None:
    """By family and place, pieces and value."""
    wanted = _sql(
        months,
        "SELECT family, coalesce(name, ''), count(*), sum(on_hand), sum(reserved), sum(on_hand * coalesce(price, 0)), "
        "sum(CASE WHEN price IS NULL THEN on_hand ELSE 0 END) FROM part LEFT JOIN place ON place.id = place_id "
        "WHERE on_hand > 0 GROUP BY family, name ORDER BY 1, 2",
    )
    assert sorted(map(tuple, _report(months, "stock").itertuples(index=False))) == wanted


@pytest.mark.sqlite  # the months are cut out of its texts
def test_usage_is_what_sql_sums(months: Engine) -> None:
    """What was taken back or came back nets out."""
    wanted = _sql(
        months,
        "SELECT substr(act.at, 1, 7), family, -sum(quantity) FROM movement JOIN act ON act.id = act_id JOIN part ON part.id = part_id "
        "WHERE movement.word IN ('fitted', 'returned') GROUP BY 1, 2 ORDER BY 1, 2",
    )
    assert [tuple(row)[:3] for row in _report(months, "usage").itertuples(index=False)] == wanted


def test_donors_agree_with_stock_and_usage(months: Engine) -> None:
    """All of it came from donors, so the sums are one."""
    donors, stock, usage = (_report(months, name) for name in ("donors", "stock", "usage"))
    assert donors["left"].sum() == stock["pieces"].sum()
    assert donors["value_left"].sum() == stock["value"].sum()
    assert donors["used"].sum() == usage["pieces"].sum()


def test_what_sits_in_sets_is_what_was_used(months: Engine) -> None:
    """Fitted less returned, job by job."""
    wanted = _sql(
        months,
        "SELECT sum(-quantity) FROM movement WHERE word IN ('fitted', 'returned') GROUP BY job_id "
        "HAVING sum(quantity) <> 0 ORDER BY job_id",
    )
    found = _report(months, "fitted").groupby("job")["pieces"].sum() if len(_report(months, "fitted")) else []
    assert [(int(pieces),) for pieces in found] == wanted


def test_minutes_are_those_of_the_sittings(months: Engine) -> None:
    """None is no yield an hour."""
    donors = _report(months, "donors")
    assert donors["minutes"].sum() == _sql(months, "SELECT coalesce(sum(minutes), 0) FROM stripping")[0][0]
    assert bool((donors["value_an_hour"].isna() == (donors["minutes"] == 0)).all())


def test_slow_parts_are_those_without_a_movement_for_a_year(months: Engine) -> None:
    """The longest first."""
    now = START + timedelta(days=500)
    cut = (now - timedelta(days=365)).strftime("%Y-%m-%d %H:%M:%S")
    wanted = _sql(
        months,
        "SELECT count(*) FROM (SELECT part.id FROM part JOIN movement ON part_id = part.id JOIN act ON act.id = act_id "
        f"WHERE on_hand > 0 GROUP BY part.id HAVING max(act.at) <= '{cut}') AS still",
    )
    slow = _report(months, "slow", now)
    assert len(slow) == wanted[0][0]
    assert list(slow["days"]) == sorted(slow["days"], reverse=True)


def test_parts_without_a_value_stand_first_among_the_unknown(months: Engine) -> None:
    """What is fully known is not there."""
    found = _report(months, "unknown")
    assert list(found["value_known"]) == sorted(found["value_known"])
    assert not (found["value_known"] & found["rating_known"]).any()
