"""The search for make-ups: pairs of kinds by value, bounds from the keys, the best judged in full, until nothing can come before.

The first k are those that judging all pairs would give: a ring of values is closed only when nothing farther from the ideal can
come before what is found.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from heapq import heappop, heappush, nsmallest
from typing import Any

import numpy as np
from sqlalchemy import Connection

from partsbin.checks import Columns, Verdict
from partsbin.families import Family
from partsbin.families._declare import Option, columns_of
from partsbin.families._joining import Join
from partsbin.matching.judge import distance_at
from partsbin.matching.make_ups.judge import Together, judge_together, refused_alone
from partsbin.matching.make_ups.kinds import Kinds, Lying, Tail, kinds_of
from partsbin.matching.make_ups.pairs import SLACK, pairs_within
from partsbin.needs import Need
from partsbin.stock.keys import OPTIONS_A_PART
from partsbin.stock.shelf import Shelved, get

RINGS = (1.06, 1.25, 1.6, math.inf)
"""Factors round the ideal, as of single parts; the last ring is what is left of the window."""

SMALL = 32.0
"""Times what a make-up has or bears, beyond which no part of it can lie: more than one over the least share [-]."""

MOST_KINDS = 2000
"""Kinds that are paired; of more, those nearest to two equal parts [-]."""

MOST_PAIRS = 60_000
"""Combinations of kinds that are judged by their keys for one way of joining; of more, those nearest to the ideal [-]."""

MOST_JUDGED = 1000
"""Make-ups that are judged in full for one need [-]."""

MOST_ALIKE = 200
"""Parts of one kind that a plan may choose from [-]."""

AT_ONCE = 24

Rank = tuple[float, ...]
_VERDICTS = tuple(sorted(Verdict))


@dataclass(frozen=True)
class Member:
    """One place of a make-up: the part, which way of using it, and the option's number."""

    part: Shelved
    option: Option
    number: int


@dataclass(frozen=True)
class MakeUp:
    """Parts joined into one for one need, judged; where it stands among those judged with it."""

    family: Family
    need: Need
    join: Join
    members: tuple[Member, ...]
    verdict: Verdict
    owed: int
    score: float
    terms: Mapping[str, float]
    rank: Rank
    together: Together
    index: int

    @property
    def parts(self) -> tuple[tuple[Shelved, int], ...]:
        """Each part once, and how many pieces of it are taken [-]."""
        taken: dict[int, int] = {}
        for member in self.members:
            taken[member.part.id] = taken.get(member.part.id, 0) + 1
        known = {member.part.id: member.part for member in self.members}
        return tuple((known[ident], pieces) for ident, pieces in taken.items())

    @property
    def pieces(self) -> int:
        """How many of it make one of what is wanted, as of a single part: one [-]."""
        return 1

    @property
    def title(self) -> str:
        """The whole in trade notation."""
        return self.join.title([_row(member.option, self.family) for member in self.members])


def _row(option: Option, family: Family) -> dict[str, Any]:
    return {name: option.offers.get(name) for name in family.quantities}


@dataclass
class Stock:
    """What is read of one family's parts, so that nothing is read twice for several needs.

    ``held`` names parts of which pieces are set aside that may be taken all the same, and how many there are with them.
    """

    connection: Connection
    family: Family
    kinds: Kinds | None = None
    held: Mapping[int, int] = field(default_factory=dict)
    parts: dict[int, tuple[Shelved, Sequence[Option]]] = field(default_factory=dict)

    def fetch(self, ids: Sequence[int]) -> None:
        """Read parts in full."""
        fresh = sorted({ident for ident in ids if ident not in self.parts})
        if fresh:
            found = get(self.connection, self.family, fresh)
            self.parts |= {ident: (part, self.family.options(part.item)) for ident, part in found.items()}

    def alike(self, made: MakeUp) -> list[Shelved]:
        """Return the parts that are of the same kinds as those of a make-up, as far as its keys tell."""
        if self.kinds is None:
            return []
        numbers = [member.part.id * OPTIONS_A_PART + member.number for member in made.members]
        idents = [lying.part for number in numbers for lying in self.kinds.alike(number)[:MOST_ALIKE]]
        self.fetch(idents)
        return [self.parts[ident][0] for ident in dict.fromkeys(idents)]

    def member(self, lying: Lying) -> Member:
        """Return a place of a make-up."""
        part, options = self.parts[lying.part]
        number = lying.ident % OPTIONS_A_PART
        return Member(part, options[number], number)


def make_ups(
    connection: Connection,
    family: Family,
    need: Need,
    k: int,
    *,
    stock: Stock | None = None,
    each_kind: bool = False,
    measured: bool = True,
) -> list[MakeUp]:
    """Search the shelf for parts that joined may serve a need.

    Parameters
    ----------
    connection : Connection
        Reading one state of the catalogue.
    family : Family
        Whose parts.
    need : Need
        What must be done. Where the dead part's value is not known nothing is made up: there is no value to reach.
    k : int
        How many [-].
    stock : Stock, optional
        What was read before, for another need of the family; without it, what may serve this need is read.
    each_kind : bool
        Whether of each combination of kinds one make-up is enough.
    measured : bool
        Whether those are asked for that may serve once measured.

    Returns
    -------
    list of MakeUp
        The first k that fit, with or without care; where there is none, those that may once measured.
    """
    joins = family.joins(need)
    search = family.search(need)
    if not joins or need.has("value_assumed") or not (search.low > 0 and math.isfinite(search.high)):
        return []
    if stock is None:
        least = 0.0 if math.isnan(search.least) else search.least / SMALL
        kinds = kinds_of(connection, family, search.low / SMALL, search.high * SMALL, least)
        stock = Stock(connection, family, kinds)
    if stock.kinds is None:
        stock.kinds = kinds_of(connection, family, held=stock.held)
    seeker = _Seeker(family, need, stock, k, each_kind, Verdict.UNFIT if measured else Verdict.MEASURE)
    for beyond, bounds in seeker.rings(joins):
        for bound in bounds:
            heappush(seeker.heap, bound)
        seeker.settle(beyond)
        if seeker.beaten(beyond):
            break
    return seeker.best()


class _Combo:
    """Some kinds joined: their bound, and who they may be."""

    def __init__(self, join: Join, head: Rank, who: Iterator[tuple[Tail, tuple[Lying, ...]]]) -> None:
        self.join, self.head, self.who = join, head, who


class _Line:
    """Combinations of kinds in the order of their bounds: who they may be is looked for when their turn comes."""

    def __init__(self, join: Join, kinds: Kinds, combos: Any, judged: Together, under: Verdict) -> None:
        self.join, self.kinds, self.combos = join, kinds, combos
        self.verdict, self.score = judged.verdict, judged.score
        may = np.flatnonzero(self.verdict < under)
        self.order = iter(may[np.lexsort((self.score[may], self.verdict[may]))].tolist())
        self.at = next(self.order, None)

    @property
    def head(self) -> Rank:
        """The bound of the next."""
        return int(self.verdict[self.at]), len(self.combos), float(self.score[self.at])

    def take(self) -> _Combo:
        """Return the next, and go on."""
        combo = _Combo(self.join, self.head, self.kinds.combinations(self.combos[:, self.at].tolist()))
        self.at = next(self.order, None)
        return combo


Bound = tuple[Rank, int, "_Combo | _Line", tuple[Lying, ...]]
"""The best place that some parts may have; a number that no two share; who they are, nobody where a line's turn has come."""


class _Seeker:
    """Holds what is waiting and what was judged."""

    def __init__(self, family: Family, need: Need, stock: Stock, k: int, each_kind: bool, under: Verdict) -> None:
        self.family, self.need, self.stock, self.k, self.each_kind = family, need, stock, k, each_kind
        self.search = family.search(need)
        self.heap: list[Bound] = []
        self.made: list[MakeUp] = []
        self.number, self.under = 0, under

    def rings(self, joins: Sequence[Join]) -> Iterator[tuple[Rank, list[Bound]]]:
        """Yield ring by ring what may serve, with the best place of anything farther out."""
        found = [(join, *self._combos(join)) for join in joins]
        inner = 1.0
        for factor in RINGS:
            beyond = (math.inf,) if math.isinf(factor) else (0, 2, distance_at(self.need, factor))
            bounds = []
            for join, combos, far in found:
                chosen = (far < factor) & ((far >= inner) if inner > 1 else np.ones(len(far), dtype=bool))
                bounds += self._bounds(join, combos[:, chosen])
            yield beyond, bounds
            inner = factor

    def _combos(self, join: Join) -> tuple[Any, Any]:
        """Return pairs of kinds, and three of one, whose value lies in the window; and how far each is from the ideal."""
        kinds, keys, search = self.stock.kinds, self.family.keys, self.search
        if kinds is None or not len(kinds.members):
            return np.empty((3, 0), dtype=np.intp), np.empty(0)
        usable = np.flatnonzero(~refused_alone(self.family, self.need, join, kinds.columns))
        value = kinds.columns[keys.value][usable]
        if len(usable) > MOST_KINDS:
            half = search.ideal * (0.5 if join.adds else 2.0)
            near = np.sort(np.argsort(np.abs(np.log(value / half)), kind="stable")[:MOST_KINDS])
            usable, value = usable[near], value[near]
        x = value if join.adds else 1 / value
        low, high = (search.low, search.high) if join.adds else (1 / search.high, 1 / search.low)
        one, two = pairs_within(x, low, high)
        there = (one != two) | (kinds.pieces[usable[one]] >= 2)
        best = self.need.window("fits")  # three parts for a value that takes care do not pay
        bottom, top = best if join.adds else (1 / best[1], 1 / best[0])
        fitting = (3 * x >= bottom * (1 - SLACK)) & (3 * x <= top * (1 + SLACK))
        three = np.flatnonzero(fitting & (kinds.pieces[usable] >= 3))
        first, second = np.concatenate([one[there], three]), np.concatenate([two[there], three])
        third = np.concatenate([np.full(int(there.sum()), -1), three])
        whole = x[first] + x[second] + np.where(third >= 0, x[third], 0.0)
        ratio = (whole if join.adds else 1 / whole) / search.ideal
        combos = np.stack([usable[first], usable[second], np.where(third >= 0, usable[third], -1)])
        far = np.maximum(ratio, 1 / ratio)
        if len(far) > MOST_PAIRS:
            near = np.sort(np.argsort(far, kind="stable")[:MOST_PAIRS])
            combos, far = combos[:, near], far[near]
        return combos, far

    def _bounds(self, join: Join, combos: Any) -> list[Bound]:
        """Judge kinds by their keys alone; what may serve waits for its turn."""
        kinds, made = self.stock.kinds, []
        for places, chosen in ((2, combos[2] < 0), (3, combos[2] >= 0)):
            some = combos[:places, chosen]
            if kinds is None or not some.shape[1]:
                continue
            members = [{name: values[row] for name, values in kinds.columns.items()} for row in some]
            judged = judge_together(self.family, self.need, self.search, join, members)
            made += self._turn(_Line(join, kinds, some, judged, self.under))
        return made

    def _turn(self, line: _Line) -> list[Bound]:
        """Say when the next of a line has its turn."""
        if line.at is None:
            return []
        self.number += 1
        return [(line.head, self.number, line, ())]

    def _next(self, combo: _Combo) -> list[Bound]:
        for tail, who in combo.who:
            self.number += 1
            return [((*combo.head, *tail), self.number, combo, who)]
        return []

    def settle(self, beyond: Rank) -> None:
        """Judge in full what comes before all that is farther out, the best bound first, until k results come before the next."""
        while self.heap and len(self.made) < MOST_JUDGED:
            batch: list[tuple[Join, tuple[Lying, ...]]] = []
            while self.heap and len(batch) < AT_ONCE and self.heap[0][0] < beyond and not self.beaten(self.heap[0][0]):
                _, _, first, who = heappop(self.heap)
                if isinstance(first, _Line):
                    bounds = [*self._next(first.take()), *self._turn(first)]
                else:
                    batch.append((first.join, who))
                    bounds = [] if self.each_kind else self._next(first)
                for bound in bounds:
                    heappush(self.heap, bound)
            if not batch:
                return
            self._judge(batch)

    def _judge(self, batch: Sequence[tuple[Join, tuple[Lying, ...]]]) -> None:
        self.stock.fetch([one.part for _, who in batch for one in who])
        for join, places in dict.fromkeys((join, len(who)) for join, who in batch):
            some = [who for j, who in batch if j is join and len(who) == places]
            members = [tuple(self.stock.member(one) for one in who) for who in some]
            promises = [sum(one.promise for one in who) for who in some]
            self.made += together(self.family, self.need, join, members, promises)

    def beaten(self, bound: Rank) -> bool:
        """Return whether k results come before a bound, or one does and the bound is of something to be measured."""
        if bound[0] >= Verdict.MEASURE and any(made.verdict < Verdict.MEASURE for made in self.made):
            return True
        ranks = [made.rank for made in self.made if made.verdict < Verdict.UNFIT and made.rank <= bound]
        return len(ranks) >= self.k

    def best(self) -> list[MakeUp]:
        """Return the first k."""
        usable = [made for made in self.made if made.verdict < Verdict.MEASURE]
        measure = [made for made in self.made if made.verdict is Verdict.MEASURE]
        return nsmallest(self.k, usable or measure, key=lambda made: made.rank)


def together(
    family: Family,
    need: Need,
    join: Join,
    members: Sequence[tuple[Member, ...]],
    promises: Sequence[int] | None = None,
) -> list[MakeUp]:
    """Judge make-ups in full, all of as many places.

    Parameters
    ----------
    family, need : Family, Need
        Whose parts, for what.
    join : Join
        How they are joined.
    members : sequence of tuple of Member
        Each make-up's parts.
    promises : sequence of int, optional
        The order among equals [-].
    """
    columns: list[Columns] = [
        columns_of([each[place].option for each in members], family.quantities, family.words)
        for place in range(len(members[0]))
    ]
    judged = judge_together(family, need, family.search(need), join, columns)
    made = []
    for at, each in enumerate(members):
        verdict, score = _VERDICTS[judged.verdict[at]], float(judged.score[at])
        different = len({member.part.id for member in each})
        rank = (verdict, len(each), score, different, promises[at] if promises else 0)
        terms = {name: float(values[at]) for name, values in judged.terms.items() if values[at] > 0}
        made.append(MakeUp(family, need, join, each, verdict, int(judged.owed[at]), score, terms, rank, judged, at))
    return made
