"""What a donor is worth: by its valves, against what is wanted."""

from __future__ import annotations

from datetime import UTC, datetime

from sqlalchemy import Engine

from partsbin.jobs.needs import add_need
from partsbin.jobs.record import open_job
from partsbin.jobs.stock_rules import add_rule
from partsbin.jobs.worth import Pull, holds, worth
from partsbin.reference.valves import lineup
from partsbin.stock.acts import Who
from partsbin.stock.donors import add_donor
from partsbin.store.engine import writing

WHO = Who(datetime(2026, 4, 1, 12, tzinfo=UTC), "ann")


def _worth(store: Engine, valves: str) -> dict[str, Pull]:
    """What a chassis is worth while a job wants an output transformer, and ECC83 are short."""
    with writing(store) as connection:
        job = open_job(connection, WHO, facts=["lineup=ECC83 EL84 EZ80", "chassis=earthed"])
        add_need(connection, job, "transformer", "", "output", designator="T1")
        add_rule(connection, "valve", "ECC83", "as-plugged", 2)
        donor = add_donor(connection, code="7", lineup=valves)
        return {pull.what: pull for pull in worth(connection, donor, WHO.at)}


def test_what_serves_an_open_need_is_pulled(store: Engine) -> None:
    """An output transformer of the same valve, once its ratio is read; a valve that a stock rule is short of."""
    found = _worth(store, "ECC83 EL84 EZ80")
    assert found["output transformer"].serves == ("T1 of J-0001, once measured",)
    assert found["ECC83"].serves[0].startswith("rule 1: as-plugged valve ECC83")


def test_what_serves_nothing_is_named_after_it(store: Engine) -> None:
    """It may be pulled all the same."""
    found = _worth(store, "ECC83 EL84 EZ80")
    assert found["EZ80"].serves == ()
    assert list(found).index("EZ80") > list(found).index("ECC83")


def test_a_series_heater_set_holds_no_mains_transformer(store: Engine) -> None:
    """UY85 heats in the chain, 38 V: no transformer feeds it. From memory."""
    assert "mains transformer" not in _worth(store, "UCH81 UBF89 UCL82 UY85")


def test_a_valve_that_no_table_has_is_named_all_the_same() -> None:
    """It is there to be pulled, whether anything is known of it or not."""
    found = {what: why for family, what, why in holds(lineup("PCL82 PL36 PY81")) if family == "valve"}
    assert found["PL36"] == "in the line-up; no table here has it"
    assert found.keys() == {"PCL82", "PL36", "PY81"}
