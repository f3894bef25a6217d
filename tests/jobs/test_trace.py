"""The life of a part from donor to customer and back, and the siblings of a bad one."""

from __future__ import annotations

from datetime import datetime

import pytest
from sqlalchemy import Connection, Engine, text

from partsbin.errors import UsageError
from partsbin.jobs.fitting import Spot, bring_back, fit
from partsbin.jobs.record import Opened, open_job
from partsbin.jobs.trace import set_aside, siblings, trace
from partsbin.needs import Request
from partsbin.sets import read_facts
from partsbin.stock.acts import Who, measure
from partsbin.stock.donors import add_donor
from partsbin.stock.ledger import undo
from partsbin.stock.parts import NewReading
from partsbin.stock.sitting import strip_lines
from partsbin.store.engine import reading, writing

FACTS = ["rail=200"]


def _spot(job: Opened) -> Spot:
    return Spot(job, Request("capacitor", "0.02uF 350V", "coupling", {}, read_facts(FACTS)))


def _a_life(connection: Connection, who: Who) -> tuple[int, Opened]:
    """Three film capacitors from a donor, one of them measured and fitted."""
    strip_lines(connection, add_donor(connection), ["3x 22n 400V polyester"], who)
    leakage = NewReading("leakage", 1e-9, "A", 1e-10, {"volts": 400.0})
    part, _ = measure(connection, 1, [leakage], who)
    job = open_job(connection, who, reference="box 4", what="intercom", facts=FACTS)
    fit(connection, _spot(job), part, who)
    return part, job


def test_a_part_is_followed_from_donor_to_customer(store: Engine, noon: datetime) -> None:
    """From the whole to what was split off it, to the set in which that sits."""
    with writing(store) as connection:
        _a_life(connection, Who(noon))
        life = trace(connection, 1)
    assert (life["came"]["donor"], life["on_hand"], life["sets"]) == ("D-001", 2, [])
    assert life["split_off"][0]["sets"] == [{"job": "J-0001", "reference": "box 4", "what": "intercom", "pieces": 1}]


def test_and_back(store: Engine, noon: datetime) -> None:
    """The piece in the set names donor and whole."""
    with writing(store) as connection:
        part, _ = _a_life(connection, Who(noon))
        life = trace(connection, part)
    assert life["came"] == {"donor": "D-001", "donor_name": "", "file": "", "split_off": "P-0001"}


def test_what_came_out_again_sits_in_no_set(store: Engine, noon: datetime) -> None:
    """Taken out, or its fitting taken back."""
    with writing(store) as connection:
        part, job = _a_life(connection, Who(noon))
        bring_back(connection, job, part, 1, Who(noon))
        assert trace(connection, part)["sets"] == []
        undo(connection, at=noon)
        undo(connection, at=noon)
        assert trace(connection, part)["sets"] == []


def test_recall_finds_every_sibling_in_a_large_catalogue(store: Engine, noon: datetime) -> None:
    """10,000 parts of 50 donors, some used up, some in sets: exactly those that a count over the table finds."""
    with writing(store) as connection:
        who = Who(noon)
        job = open_job(connection, who, facts=FACTS)
        for _ in range(50):
            donor = add_donor(connection)
            lines = [f"{n % 9 + 1}x {n % 90 + 10}n 400V polyester" for n in range(100)] + ["EL84"] * 100
            strip_lines(connection, donor, lines, who)
        fitted = [n * 200 + 1 for n in range(0, 50, 7)]
        for first in fitted:
            ids = {first + k for k in range(100)}
            title = "SELECT id FROM part WHERE title LIKE '22 nF%' ORDER BY id"
            ident = next(i for i in connection.execute(text(title)).scalars() if i in ids)
            leakage = NewReading("leakage", 1e-9, "A", 1e-10, {"volts": 400.0})
            part, _ = measure(connection, ident, [leakage], who)
            fit(connection, _spot(job), part, who)
    with reading(store) as connection:
        found = siblings(connection, donor="D-008", family="capacitor")
        wanted = connection.execute(
            text(
                "SELECT count(*), sum(on_hand) FROM part JOIN donor ON donor.id = donor_id WHERE code = 'D-008' "
                "AND family = 'capacitor'"
            )
        ).one()
    assert (len(found), sum(each["on_hand"] for each in found)) == tuple(wanted)
    assert [entry["job"] for each in found for entry in each["sets"]] == ["J-0001"]


def test_siblings_on_the_shelf_are_set_aside_in_one_step(store: Engine, noon: datetime) -> None:
    """All that is free; taken back in one step too."""
    with writing(store) as connection:
        _a_life(connection, Who(noon))
        assert set_aside(connection, siblings(connection, donor="D-001"), Who(noon)) == 2
        assert siblings(connection, donor="D-001")[0]["free"] == 0
        undo(connection, at=noon)
        assert siblings(connection, donor="D-001")[0]["free"] == 2


def test_a_recall_of_everything_is_refused(store: Engine) -> None:
    """A family alone is the whole shelf."""
    with reading(store) as connection, pytest.raises(UsageError, match="recall of what"):
        siblings(connection, family="capacitor")
