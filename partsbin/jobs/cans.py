"""A can whose sections serve several needs at once: needs whose negatives lie on one point, for all sections share theirs.

Sections of one dead can shared it in the set already. Of other needs that go to the chassis by their position it is to be looked at:
they are served with care. All other needs never share a can.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import product

import numpy as np
from sqlalchemy import Connection

from partsbin.checks import Verdict
from partsbin.errors import RefusedError
from partsbin.jobs.label import label, weaker
from partsbin.jobs.needs import needs_of
from partsbin.jobs.plan_ask import Asked
from partsbin.matching.candidates import Candidate, judge_ways
from partsbin.matching.judge import judge
from partsbin.matching.retrieve import window
from partsbin.stock.keys import OPTIONS_A_PART
from partsbin.stock.ledger import set_aside_for
from partsbin.stock.shelf import Shelved, get
from partsbin.words import listed

MOST = 24
"""Cans that are looked at for needs that may share one [-]."""

_SECTION = re.compile(r"(.*\d)(?:/\d+|[-. ]?[a-h])", re.IGNORECASE)
"""C10/2, C10B: a section of C10."""

_BACK_BIAS = "back-bias"


@dataclass(frozen=True)
class Sharing:
    """Needs of one job that may share a can.

    Parameters
    ----------
    needs : mapping of int to int
        Their places among the needs of the plan, and how many pieces of each one can may serve [-].
    dead : str
        The can that they are sections of, "" where they are of none.
    """

    needs: Mapping[int, int]
    dead: str = ""


@dataclass(frozen=True)
class Use:
    """Sections of a can for a need, judged."""

    need: int
    candidate: Candidate
    sections: frozenset[int]


@dataclass(frozen=True)
class Can:
    """A can and what its sections would serve of the needs that may share it."""

    part: Shelved
    sharing: Sharing
    uses: tuple[Use, ...]
    alone: frozenset[str]

    def limits(self) -> list[tuple[list[int], int]]:
        """Return uses, by their place, of which one piece serves so many at most: a section goes to one need."""
        places = range(len(self.uses))
        each = sorted(frozenset().union(*(use.sections for use in self.uses)))
        made = [([at for at in places if section in self.uses[at].sections], 1) for section in each]
        made += [
            ([at for at in places if self.uses[at].need == need], most) for need, most in self.sharing.needs.items()
        ]
        made += [
            ([at for at in places if self.uses[at].candidate.need.position == name], 1) for name in sorted(self.alone)
        ]
        return [(some, most) for some, most in made if len(some) > most]


def of_one_can(designator: str) -> Counter[str]:
    """Return the cans that designators are sections of, and how many of each; nothing where one is of none.

    Examples
    --------
    >>> of_one_can("C10A"), of_one_can("C1/2,C2/2"), of_one_can("C10")
    (Counter({'C10': 1}), Counter({'C1': 1, 'C2': 1}), Counter())
    """
    found = [_SECTION.fullmatch(name.strip()) for name in designator.split(",")]
    return Counter(match[1].upper() for match in found if match) if all(found) else Counter()


def common(each: Asked) -> str:
    """Return where a need's common pole goes by its position, "" where it shares it with nothing."""
    return str(each.need.rules.of(each.need.position, "common", "")) if not each.within else ""


def sharing(connection: Connection, needs: Sequence[Asked], wanting: Collection[int]) -> list[Sharing]:
    """Return which needs may share a can: the sections of each dead one; of those that want something better, all of a job.

    Parameters
    ----------
    connection : Connection
        Reading one state of the catalogue.
    needs : sequence of Asked
        Of a plan.
    wanting : collection of int
        Places of those that single parts serve badly or not at all.
    """
    dead: dict[tuple[int, tuple[str, ...]], dict[int, int]] = {}
    alike: dict[int, dict[int, int]] = {}
    jobs = {each.job.id: each.job for each in needs}.values()
    biased = {job.id for job in jobs if any(each.position == _BACK_BIAS for each in needs_of(connection, job))}
    for at, each in enumerate(needs):
        if not common(each):
            continue
        if cans := of_one_can(each.wanted.designator):
            dead.setdefault((each.job.id, tuple(sorted(cans))), {})[at] = max(cans.values())
        apart = each.wanted.position == "reservoir" and each.job.id in biased  # at the other end of that resistor
        if at in wanting and not apart:
            alike.setdefault(each.job.id, {})[at] = each.left
    made = [Sharing(own, ", ".join(names)) for (_, names), own in dead.items() if sum(own.values()) > 1]
    whole = [own.needs for own in made]
    return made + [Sharing(own) for own in alike.values() if sum(own.values()) > 1 and own not in whole]


def sharing_all(connection: Connection, needs: Sequence[Asked]) -> Sharing:
    """Return how all of some needs of a job share one can.

    Raises
    ------
    RefusedError
        If one of them shares its negative with nothing, or by its position not with the others.
    """
    every = dict.fromkeys(range(len(needs)), 1)
    found = [own for own in sharing(connection, needs, every) if own.needs.keys() == every.keys()]
    if not found:
        why = [f"{_name(each)} ({each.need.position or 'position not said'})" for each in needs if not common(each)]
        said = f": {listed(why, 'and')} has a pole of its own" if why else ""
        raise RefusedError(
            f"{listed([_name(each) for each in needs], 'and')} do not share their negative, all sections of a can do{said}",
            hint="a capacitor of its own for each",
        )
    return Sharing(every, found[0].dead)


def best_uses(needs: Sequence[Asked], own: Sharing, part: Shelved) -> list[Use]:
    """Return the best sections of a can for needs, one use for each need.

    Raises
    ------
    RefusedError
        If it has not sections for all of them.
    """
    can = _can(needs, own, part, planned=False)
    uses = [[use for use in can.uses if use.need == at] for at in own.needs] if can else []
    limits = can.limits() if can else []
    places = {id(use): at for at, use in enumerate(can.uses)} if can else {}
    found = [
        some
        for some in product(*uses)
        if all(sum(places[id(use)] in limited for use in some) <= most for limited, most in limits)
    ]
    if not uses or not found:
        names = listed([_name(each) for each in needs], "and")
        raise RefusedError(
            f"{part.number}: no sections for {names} at once", hint="partsbin try says how it serves each of them"
        )
    chosen = min(found, key=lambda some: (max(u.candidate.verdict for u in some), sum(u.candidate.score for u in some)))
    return list(chosen)


def look_for_cans(connection: Connection, needs: Sequence[Asked], wanting: Collection[int]) -> list[Can]:
    """Return cans of the shelf whose sections serve several needs, those that may serve most of them first."""
    found: list[Can] = []
    hoped: dict[int, Mapping[int, int]] = {}
    for own in sharing(connection, needs, wanting):
        hoped |= {at: _hoped(connection, needs[at]) for at in own.needs if at not in hoped}
        family, job = (one := needs[next(iter(own.needs))]).family, one.job
        in_sections = {ident // OPTIONS_A_PART for at in own.needs for ident in hoped[at] if ident % OPTIONS_A_PART}
        may: dict[int, list[int]] = {ident: [0, 0] for ident in set_aside_for(connection, job.id)}
        for at, most in own.needs.items():
            best: dict[int, int] = {}
            for ident, verdict in hoped[at].items():
                part = ident // OPTIONS_A_PART
                best[part] = min(best.get(part, verdict), verdict)
            for part in in_sections & best.keys():
                may.setdefault(part, []).extend([best[part]] * most)
        several = sorted((-len(some), sum(some), ident) for ident, some in may.items() if len(some) > 1)[:MOST]
        parts = get(connection, family, sorted(ident for _, _, ident in several))
        cans = [_can(needs, own, parts[ident]) for _, _, ident in several if ident in parts]
        found += [can for can in cans if can is not None]
    return found


def _hoped(connection: Connection, each: Asked) -> Mapping[int, int]:
    """Ways of using parts, by part × 256 + option, that by their keys may serve a need, and how well at best."""
    search = each.family.search(each.need)
    rows = window(connection, each.family, each.need, search)
    if not len(rows):
        return {}
    verdict = judge(each.family, each.need, search, rows.columns).verdict
    good = np.flatnonzero(verdict < Verdict.UNFIT)
    return dict(zip(rows.id[good].tolist(), verdict[good].tolist(), strict=True))


def _can(needs: Sequence[Asked], own: Sharing, part: Shelved, *, planned: bool = True) -> Can | None:
    """A can judged for each need; None where it serves no two of their pieces.

    No plan takes less than is marked on the dead one where a position is a guess; by hand it may be fitted.
    """
    family = needs[next(iter(own.needs))].family
    shared = family.sections(part.item) if part.family == family.name else None
    if shared is None:
        return None
    uses: list[Use] = []
    for at in own.needs:
        least = label(family, needs[at].wanted.text) if needs[at].wanted.why and planned else {}
        serving = [
            Use(at, candidate if own.dead else _with_care(candidate), shared.taken[number])
            for number, candidate in judge_ways(family, needs[at].need, [part])
            if candidate.verdict is not Verdict.UNFIT and not weaker(candidate.option.offers, least)
        ]
        uses += [use for use in serving if not any(_beats(other, use) for other in serving)]
    pieces = sum(most for at, most in own.needs.items() if any(use.need == at for use in uses))
    return Can(part, own, tuple(uses), shared.alone) if pieces > 1 else None


def _with_care(candidate: Candidate) -> Candidate:
    return replace(candidate, verdict=max(candidate.verdict, Verdict.CARE))


def _beats(one: Use, other: Use) -> bool:
    """Whether a use is as good with some of the other's sections."""
    better = (one.candidate.verdict, one.candidate.score) <= (other.candidate.verdict, other.candidate.score)
    return better and one.sections < other.sections


def said(needs: Sequence[Asked], own: Sharing, part: Shelved, uses: Sequence[Use]) -> str:
    """Say which section of a can goes where, and what is to be seen to."""
    places = ", ".join(f"{use.candidate.option.label} to {_name(needs[use.need])}" for use in uses)
    if own.dead:
        return f"one {part.number}: {places}; the negative is common, as it was in {own.dead}"
    return f"one {part.number}: {places}; the negative is common: see that theirs lie on one point"


def _name(each: Asked) -> str:
    return each.wanted.designator or each.wanted.position
