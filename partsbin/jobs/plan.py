"""The plan: all open needs of one or several jobs against the shelf at once, so that scarce parts go where nothing else will do."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from sqlalchemy import Connection

from partsbin.checks import Verdict
from partsbin.jobs.assignment import Piece, Section, Way, assign
from partsbin.jobs.cans import Can, look_for_cans, said
from partsbin.jobs.fitted import open_needs
from partsbin.jobs.needs import Wanted
from partsbin.jobs.plan_alike import Alike, alike
from partsbin.jobs.plan_ask import FEW, TIMES, Asked, Stocks, asked, look, look_for_make_ups
from partsbin.jobs.plan_lots import Lots
from partsbin.jobs.record import Opened
from partsbin.matching.explain import candidates_json
from partsbin.matching.make_ups.search import MakeUp
from partsbin.matching.search import Candidate
from partsbin.stock.acts import Who
from partsbin.stock.ledger import Line, act, set_aside_for
from partsbin.stock.shelf import Shelved, number_of
from partsbin.words import percent

MOST = 200
"""Candidates of one need and family that are looked at, at most [-]."""

Given = dict[int, list[tuple[Candidate | MakeUp, int]]]
"""By need, what it gets and how many pieces of the need that serves."""

Chosen = Candidate | MakeUp | Alike

_WORD = {Verdict.FITS: 0, Verdict.CARE: 1, Verdict.MEASURE: 2}


@dataclass(frozen=True)
class Served:
    """A need and what the plan gives it: a part, or several joined, for some or all of its pieces."""

    job: Opened
    wanted: Wanted
    left: int
    parts: tuple[tuple[Candidate | MakeUp, int], ...]
    why: str
    near: tuple[dict[str, Any], ...]
    buy: str
    along: tuple[Wanted, ...] = ()
    """The needs that the same can serves, this one among them; the first has the piece, the others none of their own."""

    @property
    def pieces(self) -> int:
        """Pieces that it gets [-]."""
        return sum(pieces for _, pieces in self.parts)

    @property
    def name(self) -> str:
        """What to call it: its designator, or what it is."""
        return self.wanted.designator or f"{self.wanted.position} {self.wanted.family}"

    def taken(self) -> dict[int, int]:
        """Return how many pieces it takes of each part, by id [-]."""
        counted: dict[int, int] = {}
        for each, pieces in self.parts:
            for ident, number in uses(each).items():
                if number:
                    counted[ident] = counted.get(ident, 0) + number * pieces
        return counted


def uses(each: Chosen) -> dict[int, int]:
    """Return how many pieces of each part are taken together, by id [-]."""
    if isinstance(each, MakeUp):
        return {part.id: pieces for part, pieces in each.parts}
    return dict(each.uses) if isinstance(each, Alike) else {each.part.id: each.pieces}


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
        Each open need, in order, with its part or its parts joined, or without.

    Notes
    -----
    Pieces set aside for others are not touched; those set aside for these jobs may stay with them. Single parts are shared out
    first. The optimum over the few looked at is that over the whole shelf where of every list that was cut off a part is left
    over: parts left over cost nothing, in the prices of the linear programme, so that nothing behind them in the list pays. Where
    none is, more are looked at, at most as many as all needs together want pieces: so many can never all be taken by others.

    Where each piece is then served by a part that fits without care, and nothing that is set aside is let go, no make-up betters
    it. Otherwise make-ups compete for the same parts: those of needs that are short, served with care or once measured, and of all
    that the same parts might serve. Then the optimum is proven in whole numbers over the single parts looked at and the first
    kinds of make-up of each of these needs, each of any parts alike. Parts that must be measured are second best, and only the
    first ten of a need are looked at. A can whose sections may serve several of these needs at once, or the sections of one dead
    can, is reckoned with in the same way; see `partsbin.jobs.cans`.
    """
    every = [(job, wanted, left) for job in jobs for wanted, left in open_needs(connection, job)]
    unsaid = [Served(*each, (), f"say its position: {each[1].why}", (), "") for each in every if not each[1].position]
    needs = [asked(*each) for each in every if each[1].position]
    held = {job.id: set_aside_for(connection, job.id) for job in jobs}
    given = _with_enough(connection, needs, held)
    wanting = _wanting(needs, given, held)
    badly = {id(each) for each in wanting}
    cans = look_for_cans(connection, needs, {at for at, each in enumerate(needs) if id(each) in badly})
    if wanting or cans:
        stocks = Stocks(connection, held)
        for each in wanting:
            look_for_make_ups(each, stocks.of(each.family), stocks.set_aside(each.family, each.job.id))
        if cans or any(each.made for each in wanting):
            given = _with_enough(connection, needs, held, stocks, cans)
    return [
        Served(
            each.job,
            each.wanted,
            each.left,
            tuple(given.get(at, ())),
            _why(at, needs, given),
            () if given.get(at) else tuple(candidates_json(each.found.near)),
            each.buy,
            tuple(needs[other].wanted for other in each.along),
        )
        for at, each in enumerate(needs)
    ] + unsaid


def _together(held: Mapping[int, Mapping[int, int]]) -> dict[int, int]:
    """Pieces that are set aside for any of the jobs, by part [-]."""
    made: dict[int, int] = {}
    for claims in held.values():
        for ident, pieces in claims.items():
            made[ident] = made.get(ident, 0) + pieces
    return made


def _with_enough(
    connection: Connection,
    needs: Sequence[Asked],
    held: Mapping[int, Mapping[int, int]],
    stocks: Stocks | None = None,
    cans: Sequence[Can] = (),
) -> Given:
    """Share out, looking at more parts for needs that might do better with one that was not looked at."""
    most = min(MOST, sum(each.left for each in needs) + 1)
    for each in needs:
        if not each.most:
            look(connection, each, MOST if each.within else min(FEW, most))
    while True:
        given, spare = _share(needs, held, stocks, cans)
        wanting = [each for each in needs if each.most < most and each.may_miss(spare)]
        if not wanting:
            return given
        for each in wanting:
            look(connection, each, min(TIMES * each.most, most))


def _share(
    needs: Sequence[Asked], held: Mapping[int, Mapping[int, int]], stocks: Stocks | None, cans: Sequence[Can]
) -> tuple[Given, set[int]]:
    """Share out what was looked at; return what each need gets, and the parts of which something is left over."""
    apart = {candidate.part.id for each in needs for candidate in each.ways if candidate.pieces > 1}
    lots = Lots(_together(held), alike=stocks is not None, apart=apart)
    ways: list[Way] = []
    chosen: list[tuple[int, Chosen]] = []
    for at, each in enumerate(needs):
        own = held[each.job.id]
        entries: list[Chosen] = [*(_alike(each, lots) if each.within else each.ways), *each.made]
        for entry in entries:
            if isinstance(entry, MakeUp) and stocks is not None:
                for part in stocks.of(each.family).alike(entry):
                    lots.of(part)
            first, *more = (lots.of(part) for part in _pieces(entry))
            kept = min(own.get(ident, 0) // number for ident, number in uses(entry).items())
            ways.append(Way(at, first, _WORD[entry.verdict], entry.score, kept, tuple(more)))
            chosen.append((at, entry))
    shared = _pieces_of_cans(needs, cans, held, lots)
    wanted = [1 if each.within else each.left for each in needs]
    if shared:
        from partsbin.jobs.plan_whole import assign_whole

        flows, cut = assign_whole(wanted, lots.pieces(), ways, [piece for _, piece in shared])
    else:
        flows, cut = assign(wanted, lots.pieces(), ways), []
    given = _cut(needs, lots, [(can, sections) for (can, _), sections in zip(shared, cut, strict=True)])
    for (at, way), number in zip(chosen, flows, strict=True):
        if number:
            given.setdefault(at, []).extend(_taken(lots, way, number))
            if isinstance(way, Alike):
                needs[at].said = way.why
    return given, lots.spare()


def _pieces_of_cans(
    needs: Sequence[Asked], cans: Sequence[Can], held: Mapping[int, Mapping[int, int]], lots: Lots
) -> list[tuple[Can, Piece]]:
    """The pieces of cans that may serve several needs: of cans alike no more than could each serve two."""
    made: list[tuple[Can, Piece]] = []
    seen: set[tuple[int, int]] = set()
    for can in cans:
        lot = lots.of(can.part)
        if (key := (id(can.sharing), lot)) in seen:
            continue
        seen.add(key)
        sections = tuple(Section(use.need, _WORD[use.candidate.verdict], use.candidate.score) for use in can.uses)
        own = held[needs[can.uses[0].need].job.id].get(can.part.id, 0)
        most = sum(needs[at].left for at in can.sharing.needs) // 2
        made += [
            (can, Piece(lot, number < own, sections, tuple(can.limits())))
            for number in range(min(most, lots.pieces()[lot]))
        ]
    return made


def _cut(needs: Sequence[Asked], lots: Lots, cut: Sequence[tuple[Can, Sequence[int]]]) -> Given:
    """What needs get of cans: the first need of each has the piece, the others a part of it."""
    given: Given = {}
    for each in needs:
        each.along, each.shared = (), ""
    for can, places in cut:
        uses = [can.uses[at] for at in places]
        if not uses:
            continue
        (part,) = lots.take(lots.of(can.part), 1, [can.part.id])
        for number, use in enumerate(uses):
            got = replace(use.candidate, part=part, pieces=1 if number == 0 else 0)
            given.setdefault(use.need, []).append((got, 1))
            if len(uses) > 1:
                needs[use.need].along = tuple(dict.fromkeys(other.need for other in uses))
                needs[use.need].shared = said(needs, can.sharing, part, uses)
    return given


def _alike(each: Asked, lots: Lots) -> list[Alike]:
    """Sets of parts for a need whose pieces must be alike."""
    there = {candidate.part.id: lots.there(candidate.part) for candidate in each.ways}
    return alike(each.ways, there, each.left, each.within)


def _pieces(entry: Chosen) -> list[Shelved]:
    """The part of each piece that one piece of a need takes."""
    if isinstance(entry, Alike):
        return [candidate.part for candidate, number in entry.taken for _ in range(number)]
    return [member.part for member in entry.members] if isinstance(entry, MakeUp) else [entry.part] * entry.pieces


def _taken(lots: Lots, way: Chosen, number: int) -> list[tuple[Candidate | MakeUp, int]]:
    """Take the pieces of a way from their lots."""
    if isinstance(way, MakeUp):
        return list(lots.joined(way, number))
    singles = way.taken if isinstance(way, Alike) else ((way, number),)
    return [got for candidate, pieces in singles for got in lots.single(candidate, pieces)]


def _wanting(needs: Sequence[Asked], given: Given, held: Mapping[int, Mapping[int, int]]) -> list[Asked]:
    """The needs that make-ups may better: those not served by parts that fit, and all that the same parts might serve.

    All of them where something that is set aside would be let go: it may be a make-up that is set aside.
    """
    taken: dict[int, dict[int, int]] = {job: {} for job in held}
    chosen = set()
    for at, each in enumerate(needs):
        got = given.get(at, [])
        if sum(pieces for _, pieces in got) < each.left or any(c.verdict is not Verdict.FITS for c, _ in got):
            chosen.add(at)
        for candidate, pieces in got:
            for ident, number in uses(candidate).items():
                taken[each.job.id][ident] = taken[each.job.id].get(ident, 0) + number * pieces
    if any(taken[job].get(ident, 0) < n for job, claims in held.items() for ident, n in claims.items()):
        return list(needs)
    listed = [{candidate.part.id for candidate in each.ways} for each in needs]
    fresh = set(chosen)
    while fresh:
        parts = set[int]().union(*(listed[at] for at in fresh))
        fresh = {at for at, own in enumerate(listed) if at not in chosen and own & parts}
        chosen |= fresh
    return [each for at, each in enumerate(needs) if at in chosen]


def _why(at: int, needs: Sequence[Asked], given: Given) -> str:
    """Why a need did not get its first choice: where that one goes, and whether anything else would have done there."""
    if needs[at].shared or needs[at].said:
        return needs[at].shared or needs[at].said
    if needs[at].within:
        short = f"no {needs[at].left} of them are known to be within {percent(needs[at].within)}, nor may be"
        return short if needs[at].ways else ""
    ways, got = needs[at].ways, given.get(at, [])
    if ways and not got and ways[0].pieces > ways[0].part.available:
        return f"{ways[0].part.number}: {ways[0].pieces} of them make one, {ways[0].part.available} free"
    if not ways or (got and ways[0].part.id in uses(got[0][0])):
        return ""
    first = ways[0].part.id
    takers = [n for n, some in given.items() if n != at and any(first in uses(c) for c, _ in some)]
    if not takers:
        return ""
    names = ", ".join(needs[n].wanted.designator or needs[n].wanted.position for n in takers)
    only = all(_nothing_else(needs[n], first) for n in takers)
    return f"{number_of(first)} goes to {names}" + (", where nothing else will do" if only else "")


def _nothing_else(each: Asked, part_id: int) -> bool:
    singly = all(candidate.part.id == part_id for candidate in each.found.usable)
    return singly and all(part_id in uses(made) for made in each.made)


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
                for ident, pieces in served.taken().items():
                    planned[ident] = planned.get(ident, 0) + pieces
        for ident in sorted({*held, *planned}):
            more = planned.get(ident, 0) - held.get(ident, 0)
            if more:
                lines.append(Line(ident, "reserved" if more > 0 else "released", aside=more, job_id=job.id))
    if lines:
        act(connection, "reserved", lines, **who.because(f"plan of {', '.join(job.code for job in jobs)}").said())
    return made, len(lines)
