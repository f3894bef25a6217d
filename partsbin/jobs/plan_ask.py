"""What a plan asks of the shelf: for each open need the parts that may serve it, the best first, as many as the proof takes."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace

from sqlalchemy import Connection

from partsbin.checks import Verdict
from partsbin.families import Family
from partsbin.jobs.label import label, weaker
from partsbin.jobs.needs import Wanted
from partsbin.jobs.record import Opened
from partsbin.jobs.standing_in import pieces_for
from partsbin.matching.answer import build, build_each, build_others
from partsbin.matching.make_ups.kinds import kinds_set_aside
from partsbin.matching.make_ups.search import MakeUp, Stock, make_ups
from partsbin.matching.search import Candidate, Found, run
from partsbin.needs import Need, Request
from partsbin.stock.acts import part_of
from partsbin.stock.ledger import set_aside_for
from partsbin.stock.shelf import get
from partsbin.words import percent

FEW, TIMES = 12, 4
"""Candidates of each family that are asked for first, and how many times more where those were not enough [-]."""

MADE = 6
"""Kinds of make-ups of one need that are looked at [-]."""


@dataclass
class Asked:
    """A need with what on the shelf may serve it, the best first.

    Parameters
    ----------
    found : Found
        Single parts: those that fit, with or without care, and those to be measured.
    cut : tuple of set of int
        Of each family whose list was cut off, the parts that are in it.
    made : list of MakeUp
        What several parts would do.
    within : float
        How much its pieces may differ, 0 where that is not asked [-].
    said : str
        What is known of pieces that must be alike.
    shared, along : str, tuple of int
        Of a can that serves it with others: which section goes where, and the places of all the needs that it serves.
    """

    job: Opened
    wanted: Wanted
    left: int
    family: Family
    need: Need
    buy: str
    most: int = 0
    found: Found = field(default_factory=lambda: Found([], [], []))
    cut: tuple[frozenset[int], ...] = ()
    made: list[MakeUp] = field(default_factory=list)
    within: float = 0.0
    said: str = ""
    shared: str = ""
    along: tuple[int, ...] = ()

    @property
    def ways(self) -> list[Candidate]:
        """Single parts that fit, with or without care, then those to be measured."""
        return [*self.found.usable, *self.found.measure]

    def may_miss(self, spare: Collection[int]) -> bool:
        """Return whether a part that was not looked at could do better.

        Not where a part in the list is left over: no part after it is better, and the one left over costs no other need anything.
        """
        return any(not end & set(spare) for end in self.cut)


def asked(job: Opened, wanted: Wanted, left: int) -> Asked:
    """Return a need that nothing was looked for yet."""
    family, need = build(wanted.request(job))
    within = need.facts.number("alike", 0.0) if wanted.quantity > 1 else 0.0
    said = f"within {percent(within)} of what is fitted already: read both" if within and left < wanted.quantity else ""
    return Asked(job, wanted, left, family, need, family.buy(need), within=within if left > 1 else 0.0, said=said)


def look(connection: Connection, each: Asked, most: int) -> None:
    """Look for single parts, so many of each family that may serve; what is set aside for its own job is on the shelf for it."""
    request = each.wanted.request(each.job)
    asked_for = [(each.family, each.need), *build_others(request, each.need.position)]
    pools = [run(connection, *own, most) for own in asked_for]
    least = label(each.family, request.text) if each.wanted.why else {}
    ends, usable, measure = [], [], []
    for pool in pools:
        good = [candidate for candidate in pool.usable if not weaker(candidate.option.offers, least)]
        ends += [frozenset(candidate.part.id for candidate in good)] if len(pool.usable) >= most else []
        usable += good
        measure += [candidate for candidate in pool.measure if not weaker(candidate.option.offers, least)]
    here = {candidate.part.id for candidate in (*usable, *measure)}
    own = [_own(connection, request, ident) for ident in set_aside_for(connection, each.job.id) if ident not in here]
    for candidate in own:
        if candidate is not None and not weaker(candidate.option.offers, least):
            (measure if candidate.verdict is Verdict.MEASURE else usable).append(candidate)
    usable.sort(key=lambda candidate: candidate.rank)
    usable, measure = ([_counted(one, each.wanted) for one in some] for some in (usable, measure))
    each.most, each.cut = most, tuple(ends)
    each.found = Found(usable, measure, [candidate for pool in pools for candidate in pool.near])


def _counted(candidate: Candidate, wanted: Wanted) -> Candidate:
    """A candidate of another family with as many pieces as make one of what is wanted."""
    number = pieces_for(candidate.family, candidate.need, candidate.option, wanted.family, wanted.quantity)
    return replace(candidate, pieces=number) if number > 1 else candidate


def look_for_make_ups(each: Asked, stock: Stock, own: Stock) -> None:
    """Look for parts that joined may serve, and for those that are set aside for the job.

    None where the position is a guess, nor where several must be alike.
    """
    if each.wanted.why or each.within:
        return
    found = [
        made
        for some in (own, stock)
        for made in make_ups(some.connection, each.family, each.need, MADE, stock=some, each_kind=True)
    ]
    each.made = list({(made.join.how, *(m.part.id for m in made.members)): made for made in found}.values())


class Stocks:
    """What is read of the shelf for make-ups, by family: all of it, and what each job has set aside.

    Parameters
    ----------
    connection : Connection
        Reading one state of the catalogue.
    held : mapping of int to (mapping of int to int)
        Pieces set aside by job and part [-].
    """

    def __init__(self, connection: Connection, held: Mapping[int, Mapping[int, int]]) -> None:
        self.connection, self.held = connection, held
        self.whole: dict[str, Stock] = {}
        self.own: dict[tuple[str, int], Stock] = {}

    def of(self, family: Family) -> Stock:
        """Return the whole shelf: what nobody has set aside but these jobs."""
        if family.name not in self.whole:
            parts = get(self.connection, family, sorted({ident for claims in self.held.values() for ident in claims}))
            there = {
                ident: part.available + sum(claims.get(ident, 0) for claims in self.held.values())
                for ident, part in parts.items()
            }
            self.whole[family.name] = Stock(self.connection, family, held=there)
        return self.whole[family.name]

    def set_aside(self, family: Family, job_id: int) -> Stock:
        """Return what a job has set aside."""
        key = (family.name, job_id)
        if key not in self.own:
            self.own[key] = Stock(self.connection, family, kinds_set_aside(self.connection, family, self.held[job_id]))
        return self.own[key]


def _own(connection: Connection, request: Request, part_id: int) -> Candidate | None:
    """A part of which every piece is set aside, so that no search finds it; None where it does not serve."""
    from partsbin.matching.search import brute

    part = part_of(connection, part_id)
    named = {family.name: (family, need) for family, need in build_each(request)}
    if part.family not in named:
        return None
    (candidate,) = brute(*named[part.family], [part])
    return None if candidate.verdict is Verdict.UNFIT else candidate
