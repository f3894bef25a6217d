"""Plan, set aside, fit, take back and plan again, among everything else: no part is promised twice, no need is lost."""

from __future__ import annotations

from typing import Any

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import initialize, invariant, rule
from sqlalchemy import Connection, text

from partsbin.errors import RefusedError
from partsbin.jobs.fitted import fittings_of
from partsbin.jobs.fitting import Spot, fit
from partsbin.jobs.fitting_sections import fit_sections
from partsbin.jobs.fitting_together import fit_together
from partsbin.jobs.needs import add_need, needs_of
from partsbin.jobs.plan import Served, plan, reserve
from partsbin.jobs.record import job_of
from partsbin.matching.make_ups.search import MakeUp
from partsbin.matching.search import Candidate
from partsbin.stock.acts import Who
from partsbin.stock.catalogue import shelve
from partsbin.stock.draft import draft_from_text
from partsbin.store.engine import writing
from tests.engines import on_server
from tests.jobs.test_job_states import JOBS, Bench
from tests.stock.test_ledger_states import PEOPLE, START, Shelf

SETS = ((1,), (2,), (1, 2))


def _reserve(connection: Connection, who: Who, jobs: tuple[int, ...]) -> None:
    if not reserve(connection, [job_of(connection, job) for job in jobs], who)[1]:
        raise RefusedError("nothing to set aside or to let go")


def _fit(connection: Connection, who: Who, served: Served) -> None:
    """Fit what the plan gives first; a can for all that it serves."""
    each, pieces = served.parts[0]
    if len(served.along) > 1 and isinstance(each, Candidate):
        spots = [Spot(served.job, wanted.request(served.job), wanted) for wanted in served.along]
        fit_sections(connection, spots, each.part.id, who)
        return
    spot = Spot(served.job, served.wanted.request(served.job), served.wanted)
    if isinstance(each, MakeUp):
        idents = [member.part.id for member in each.members]
        fit_together(connection, spot, idents, each.join.how, who, pieces=pieces)
    else:
        fit(connection, spot, each.part.id, who, pieces=pieces)


class Planning(Bench):
    """Two sets that want the same parts, single or joined."""

    @initialize()
    def some_parts(self) -> None:
        """Capacitors that serve alone or in pairs, and needs of both kinds in both sets."""
        Shelf.some_parts(self)
        drafts = [
            draft_from_text("22n 630V polypropylene", family="capacitor", count=3, condition="new")[0],
            draft_from_text("47n 250V polyester", family="capacitor", count=1, condition="new")[0],
            draft_from_text("32+32uF 450V electrolytic", family="capacitor", count=1, condition="new")[0],
        ]
        with writing(self.engine) as connection:
            shelve(connection, drafts, at=START, by="the shop")
            for number in JOBS:
                job = job_of(connection, number)
                add_need(connection, job, "capacitor", "22n", "coupling", designator="C1", facts=["rail=140"])
                add_need(
                    connection, job, "capacitor", "47n", "coupling", designator="C2", facts=["rail=140"], quantity=2
                )
                for name, position in (("C3a", "smoothing"), ("C3b", "decoupling")):
                    add_need(connection, job, "capacitor", "32uF", position, designator=name, facts=["rail=240"])

    @rule(by=st.sampled_from(PEOPLE), jobs=st.sampled_from(SETS), cut=st.none() | st.integers(0, 40))
    def plan_and_set_aside(self, by: str, jobs: tuple[int, ...], cut: int | None) -> None:
        """As ``plan --reserve`` does."""
        self._do(by, lambda c, who: _reserve(c, who, jobs), cut)

    @rule(data=st.data(), by=st.sampled_from(PEOPLE), jobs=st.sampled_from(SETS), cut=st.none() | st.integers(0, 40))
    def fit_as_planned(self, data: st.DataObject, by: str, jobs: tuple[int, ...], cut: int | None) -> None:
        """One of the needs that the plan serves."""
        with self.engine.connect() as connection:
            made = plan(connection, [job_of(connection, job) for job in jobs])
        can = [served for served in made if served.parts and served.parts[0][0].verdict.word != "measure"]
        if can:
            chosen = data.draw(st.sampled_from(range(len(can))))
            self._do(by, lambda c, who: _fit(c, who, can[chosen]), cut)

    @invariant()
    def a_plan_promises_what_is_there_and_no_need_is_lost(self) -> None:
        """Of each part no more than lies free or is set aside for these sets; each need is open or its places are filled."""
        with self.engine.connect() as connection:
            jobs = [job_of(connection, job) for job in JOBS]
            made = plan(connection, jobs)
            taken: dict[int, int] = {}
            for served in made:
                assert served.pieces <= served.left
                for ident, pieces in served.taken().items():
                    taken[ident] = taken.get(ident, 0) + pieces
            there = _there(connection)
            assert all(pieces <= there.get(ident, 0) for ident, pieces in taken.items())
            left = {(served.job.id, served.wanted.id): served.left for served in made}
            for job in jobs:
                inside: dict[Any, int] = {}
                for entry in fittings_of(connection, job.id):
                    for name in entry["designator"].split(", "):  # a can's are those of all that it serves
                        key = name or entry["need"]
                        inside[key] = inside.get(key, 0) + entry["pieces"]
                for wanted in needs_of(connection, job):
                    open_ = left.get((job.id, wanted.id), 0)
                    assert open_ + inside.get(wanted.designator or wanted.id, 0) >= wanted.quantity


def _there(connection: Connection) -> dict[int, int]:
    """Pieces on hand that nobody but the two sets has set aside, by part."""
    rows = connection.execute(
        text(
            "SELECT part.id, part.on_hand - coalesce(sum(CASE WHEN movement.job_id IS NULL THEN movement.aside ELSE 0 END), 0) "
            "FROM part JOIN movement ON movement.part_id = part.id GROUP BY part.id, part.on_hand"
        )
    )
    return {int(ident): int(free) for ident, free in rows}


TestPlanning = Planning.TestCase
TestPlanning.settings = settings(max_examples=15, stateful_step_count=15, deadline=None)


class ServerPlanning(Planning):
    """The same on a server."""

    kind = "postgresql"


TestServerPlanning = on_server(ServerPlanning.TestCase)
TestServerPlanning.settings = settings(max_examples=5, stateful_step_count=12, deadline=None)
