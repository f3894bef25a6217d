"""The plan: all open needs of one or several jobs against the shelf at once, so that scarce parts go where nothing else will do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection

from partsbin.checks import Verdict
from partsbin.jobs.assignment import Way, assign
from partsbin.jobs.fitted import open_needs
from partsbin.jobs.label import label, weaker
from partsbin.jobs.record import Opened, Wanted
from partsbin.matching.answer import build
from partsbin.matching.explain import candidates_json
from partsbin.matching.search import Candidate, Found, run
from partsbin.needs import Request
from partsbin.rules.serving import servers
from partsbin.stock.acts import Who, part_of
from partsbin.stock.ledger import Line, act, set_aside_for
from partsbin.stock.shelf import number_of

MOST = 200
"""Candidates of one need that are looked at, at most [-]."""

_WORD = {Verdict.FITS: 0, Verdict.CARE: 1, Verdict.MEASURE: 2}


@dataclass(frozen=True)
class Served:
    """A need and what the plan gives it: a part for some or all of its pieces; several parts where one has not enough."""

    job: Opened
    wanted: Wanted
    left: int
    parts: tuple[tuple[Candidate, int], ...]
    why: str
    near: tuple[dict[str, Any], ...]
    buy: str

    @property
    def pieces(self) -> int:
        """Pieces that it gets [-]."""
        return sum(pieces for _, pieces in self.parts)

    @property
    def name(self) -> str:
        """What to call it: its designator, or what it is."""
        return self.wanted.designator or f"{self.wanted.position} {self.wanted.family}"


@dataclass
class _Asked:
    """A need with everything on the shelf that may serve it, the best first."""

    job: Opened
    wanted: Wanted
    left: int
    found: Found
    buy: str

    @property
    def ways(self) -> list[Candidate]:
        """Those that fit, with or without care, then those to be measured."""
        return [*self.found.usable, *self.found.measure]


def plan(connection: Connection, jobs: Sequence[Opened]) -> list[Served]:
    """Say which part goes where, for all open needs of the jobs.

    Parameters
    ----------
    connection : Connection
        Reading one state of the catalogue, or writing what the plan says.
    jobs : sequence of Opened
        The jobs.

    Returns
    -------
    list of Served
        Each open need, in order, with its part or without.

    Notes
    -----
    Pieces set aside for others are not touched; those set aside for these jobs may stay with them. The optimum is proven by the
    solver over the best candidates of each need, as many as all needs together want pieces: of a need's candidates so many can
    never all be taken by others, so one that was not looked at could at best replace an equal. Parts that must be measured are
    second best, and only the first ten of a need are looked at.
    """
    every = [(job, wanted, left) for job in jobs for wanted, left in open_needs(connection, job)]
    needs = [each for each in every if each[1].position]
    unsaid = [Served(*each, (), f"say its position: {each[1].why}", (), "") for each in every if not each[1].position]
    most = min(MOST, sum(left for _, _, left in needs) + 1)
    asked = [_ask(connection, job, wanted, left, most) for job, wanted, left in needs]
    held = {job.id: set_aside_for(connection, job.id) for job in jobs}
    parts: dict[int, int] = {}
    ways: list[Way] = []
    chosen: list[tuple[int, Candidate]] = []
    order: dict[int, int] = {}
    for at, each in enumerate(asked):
        for candidate in each.ways:
            ident = candidate.part.id
            own = sum(claims.get(ident, 0) for claims in held.values())
            order.setdefault(ident, len(order))
            parts[ident] = candidate.part.available + own
            kept = held[each.job.id].get(ident, 0)
            ways.append(Way(at, order[ident], _WORD[candidate.verdict], candidate.score, kept))
            chosen.append((at, candidate))
    pieces = assign([each.left for each in asked], [parts[ident] for ident in order], ways)
    given: dict[int, list[tuple[Candidate, int]]] = {}
    for (at, candidate), number in zip(chosen, pieces, strict=True):
        if number:
            given.setdefault(at, []).append((candidate, number))
    return [
        Served(
            each.job,
            each.wanted,
            each.left,
            tuple(given.get(at, ())),
            _why(at, asked, given),
            () if given.get(at) else tuple(candidates_json(each.found.near)),
            each.buy,
        )
        for at, each in enumerate(asked)
    ] + unsaid


def _ask(connection: Connection, job: Opened, wanted: Wanted, left: int, most: int) -> _Asked:
    """Everything on the shelf that may serve a need; what is set aside for its own job is on the shelf for it."""
    request = wanted.request(job)
    family, need = build(request)
    pools = [run(connection, family, need, most)]
    for name, position in servers(family.name, need.position):
        pools.append(run(connection, *build(Request(name, request.text, position, {}, request.facts)), most))
    usable = [candidate for pool in pools for candidate in pool.usable]
    measure = [candidate for pool in pools for candidate in pool.measure]
    here = {candidate.part.id for candidate in (*usable, *measure)}
    for ident in set_aside_for(connection, job.id):
        if ident not in here and (candidate := _own(connection, request, ident)) is not None:
            (measure if candidate.verdict is Verdict.MEASURE else usable).append(candidate)
    if wanted.why:
        least = label(family, request.text)
        usable, measure = ([c for c in some if not weaker(c.option.offers, least)] for some in (usable, measure))
    usable.sort(key=lambda candidate: candidate.rank)
    return _Asked(job, wanted, left, Found(usable, measure, [c for pool in pools for c in pool.near]), family.buy(need))


def _own(connection: Connection, request: Request, part_id: int) -> Candidate | None:
    """A part of which every piece is set aside, so that no search finds it; None where it does not serve."""
    from partsbin.matching.search import brute

    part = part_of(connection, part_id)
    family, need = build(request)
    asked = {family.name: (family, need)}
    for name, position in servers(family.name, need.position):
        asked[name] = build(Request(name, request.text, position, {}, request.facts))
    if part.family not in asked:
        return None
    (candidate,) = brute(*asked[part.family], [part])
    return None if candidate.verdict is Verdict.UNFIT else candidate


def _why(at: int, asked: Sequence[_Asked], given: dict[int, list[tuple[Candidate, int]]]) -> str:
    """Why a need did not get its first choice: where that one goes, and whether anything else would have done there."""
    ways, got = asked[at].ways, given.get(at, [])
    if not ways or (got and got[0][0].part.id == ways[0].part.id):
        return ""
    first = ways[0].part.id
    takers = [n for n, some in given.items() if n != at and any(c.part.id == first for c, _ in some)]
    if not takers:
        return ""
    names = ", ".join(asked[n].wanted.designator or asked[n].wanted.position for n in takers)
    only = all(_nothing_else(asked[n], first) for n in takers)
    return f"{number_of(first)} goes to {names}" + (", where nothing else will do" if only else "")


def _nothing_else(each: _Asked, part_id: int) -> bool:
    return all(candidate.part.id == part_id for candidate in each.found.usable)


def reserve(connection: Connection, jobs: Sequence[Opened], who: Who) -> tuple[list[Served], int]:
    """Plan, and set aside what the plan says, as one act; what it no longer gives a job is let go.

    Parameters
    ----------
    connection : Connection
        Inside a writing transaction: the plan is made on what is here now.
    jobs : sequence of Opened
        The jobs.
    who : Who
        When, by whom, why.

    Returns
    -------
    (list of Served, int)
        The plan, and how many movements it took.
    """
    made = plan(connection, jobs)
    lines = []
    for job in jobs:
        held = set_aside_for(connection, job.id)
        planned: dict[int, int] = {}
        for served in made:
            if served.job.id == job.id:
                for candidate, pieces in served.parts:
                    planned[candidate.part.id] = planned.get(candidate.part.id, 0) + pieces
        for ident in sorted({*held, *planned}):
            more = planned.get(ident, 0) - held.get(ident, 0)
            if more:
                lines.append(Line(ident, "reserved" if more > 0 else "released", aside=more, job_id=job.id))
    if lines:
        act(connection, "reserved", lines, **who.because(f"plan of {', '.join(job.code for job in jobs)}").said())
    return made, len(lines)
