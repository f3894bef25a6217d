"""Jobs among the acts of the shelf, in whatever order: what sits in a set is what was fitted less what came back."""

from __future__ import annotations

from typing import Any

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import invariant, rule
from sqlalchemy import Connection, text

from partsbin.jobs.fitted import fitted_in, fittings_of
from partsbin.jobs.fitting import Spot, bring_back, fit
from partsbin.jobs.record import job_of
from partsbin.needs import Request
from partsbin.sets import read_facts
from partsbin.stock.acts import Who, measure, part_of
from partsbin.stock.marking import mark
from partsbin.stock.parts import NewReading
from tests.engines import on_server
from tests.stock.test_ledger_states import PEOPLE, Shelf

JOBS = (1, 2)


def _fit(connection: Connection, who: Who, part_id: int, job_id: int, pieces: int, found: bool) -> Any:
    """A coupling capacitor or an anode load, whatever the part is."""
    family = part_of(connection, part_id).family
    position = "coupling" if family == "capacitor" else "anode-load"
    job = job_of(connection, job_id)
    request = Request(family, "", position, {}, read_facts(["rail=240"]))
    return fit(connection, Spot(job, request), part_id, who, pieces=pieces, found=found)


class Bench(Shelf):
    """Two people, two sets on the bench, and the power that may fail at any statement."""

    @rule(
        data=st.data(),
        by=st.sampled_from(PEOPLE),
        job=st.sampled_from(JOBS),
        pieces=st.integers(1, 6),
        found=st.booleans(),
        cut=st.none() | st.integers(0, 25),
    )
    def fit_some(self, data: st.DataObject, by: str, job: int, pieces: int, found: bool, cut: int | None) -> None:
        part = self._pick(data)
        self._do(by, lambda c, who: _fit(c, who, part, job, pieces, found), cut)

    @rule(
        data=st.data(),
        by=st.sampled_from(PEOPLE),
        job=st.sampled_from(JOBS),
        pieces=st.integers(1, 3),
        unused=st.booleans(),
        cut=st.none() | st.integers(0, 25),
    )
    def bring_some_back(
        self, data: st.DataObject, by: str, job: int, pieces: int, unused: bool, cut: int | None
    ) -> None:
        part = self._pick(data)
        self._do(by, lambda c, who: bring_back(c, job_of(c, job), part, pieces, who, unused=unused), cut)

    @rule(
        data=st.data(),
        by=st.sampled_from(PEOPLE),
        words=st.sampled_from(["630V", "polypropylene", "1W", "5%", "250V"]),
        correct=st.booleans(),
        cut=st.none() | st.integers(0, 12),
    )
    def mark_one(self, data: st.DataObject, by: str, words: str, correct: bool, cut: int | None) -> None:
        part = self._pick(data)
        self._do(by, lambda c, who: mark(c, part, words, who, correct=correct), cut)

    @rule(data=st.data(), by=st.sampled_from(PEOPLE), job=st.sampled_from(JOBS), cut=st.none() | st.integers(0, 25))
    def measure_for_a_job(self, data: st.DataObject, by: str, job: int, cut: int | None) -> None:
        part = self._pick(data)
        value = NewReading("capacitance", 21e-9, "F", 0.2e-9)
        self._do(by, lambda c, who: measure(c, part, [value], who, pieces=1, job_id=job), cut)

    @invariant()
    def what_sits_in_a_set_is_what_was_fitted_less_what_came_back(self) -> None:
        """By three ways of counting: the ledger, what a job shows, and part by part; never less than nothing."""
        with self.engine.connect() as connection:
            ledger = {
                (job, part): inside
                for job, part, inside in connection.execute(
                    text(
                        "SELECT job_id, part_id, -sum(quantity) FROM movement WHERE word IN ('fitted', 'returned') "
                        "GROUP BY job_id, part_id HAVING sum(quantity) <> 0"
                    )
                )
            }
            shown: dict[tuple[int, int], int] = {}
            for job in JOBS:
                for entry in fittings_of(connection, job):
                    key = (job, int(entry["part"].removeprefix("P-")))
                    shown[key] = shown.get(key, 0) + entry["pieces"]
            asked = {key: fitted_in(connection, *key) for key in ledger}
        assert all(inside > 0 for inside in ledger.values())
        assert shown == ledger == asked


TestBench = Bench.TestCase
TestBench.settings = settings(max_examples=30, stateful_step_count=20, deadline=None)


class ServerBench(Bench):
    """The same on a server."""

    kind = "postgresql"


TestServerBench = on_server(ServerBench.TestCase)
TestServerBench.settings = settings(max_examples=10, stateful_step_count=20, deadline=None)
