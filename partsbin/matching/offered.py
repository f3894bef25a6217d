"""What suppliers offer for a need: parts by their keys, then judged in full like any part; their offers, the least dear first."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import islice

import numpy as np
from sqlalchemy import Connection

from partsbin.checks import Verdict
from partsbin.families import Family
from partsbin.matching.answer import build
from partsbin.matching.candidates import Candidate, judge_parts
from partsbin.matching.judge import judge
from partsbin.matching.retrieve import window
from partsbin.needs import Need, Request
from partsbin.rules.serving import servers
from partsbin.stock.keys import OPTIONS_A_PART, listed
from partsbin.stock.shelf import Shelved, get

AT_ONCE = 4
"""Offers of each supplier that are judged together at first; twice as many each time that these are not enough [-]."""

USABLE = (Verdict.FITS, Verdict.CARE)


@dataclass(frozen=True)
class OnSale:
    """An offer: what it is, what is paid for a piece if as many are bought as are wanted, or as there are; how many there are [-]."""

    id: int
    part_id: int
    price: float
    pieces: float


Sale = Callable[[Sequence[int]], Mapping[int, Iterator[OnSale]]]
"""``sale(parts)`` gives the offers of some parts by supplier, the least dear first."""


class Serving:
    """What suppliers offer for one need.

    Parameters
    ----------
    connection : Connection
        Reading one state of the catalogue.
    request : Request
        The need.
    parts : dict of int to Shelved, optional
        Parts that were read for other needs, by id; those that this one reads are added.
    """

    def __init__(self, connection: Connection, request: Request, parts: dict[int, Shelved] | None = None) -> None:
        self.connection = connection
        self.parts = {} if parts is None else parts
        family, need = build(request)
        asked = [(family, need)]
        for name, position in servers(family.name, need.position):
            asked.append(build(Request(name, request.text, position, {}, request.facts)))
        self.asked: dict[str, tuple[Family, Need]] = {family.name: (family, need) for family, need in asked}
        self.may: dict[int, str] = {}
        self.hoped: dict[int, int] = {}
        for family, need in asked:
            hoped = self._hoped(family, need)
            self.hoped |= hoped
            self.may |= dict.fromkeys(hoped, family.name)
        self.judged: dict[int, Candidate] = {}

    def _hoped(self, family: Family, need: Need) -> dict[int, int]:
        """Parts that by their keys alone may fit, and how well at best: the others need not be fetched."""
        search = family.search(need)
        rows = window(self.connection, replace(family, name=listed(family.name, "offered")), need, search)
        if not len(rows):
            return {}
        verdict = judge(family, need, search, rows.columns).verdict
        good = np.flatnonzero(verdict <= Verdict.CARE)
        good = good[np.argsort(-verdict[good], kind="stable")]  # of a part's options the best is the last
        return dict(zip((rows.id[good] // OPTIONS_A_PART).tolist(), verdict[good].tolist(), strict=True))

    def usable(self, part_ids: Iterable[int]) -> list[int]:
        """Return those of some parts that fit, with or without care, judged in full."""
        wanted = [ident for ident in part_ids if ident in self.may]
        fresh = [ident for ident in wanted if ident not in self.judged]
        for name in dict.fromkeys(self.may[ident] for ident in fresh):
            family, need = self.asked[name]
            asked = [ident for ident in fresh if self.may[ident] == name]
            self.parts |= get(self.connection, family, [ident for ident in asked if ident not in self.parts])
            parts = [self.parts[ident] for ident in asked if ident in self.parts]
            self.judged |= {c.part.id: c for c in judge_parts(family, need, family.search(need), parts)}
        return [ident for ident in wanted if ident in self.judged and self.judged[ident].verdict in USABLE]

    def least_dear(self, sale: Sale, pieces: int, most: int, *, family: str) -> list[OnSale]:
        """Return the least dear offers of each supplier that fit; those that fit with care as well where the others have too few.

        Parameters
        ----------
        sale : callable
            ``sale(parts)`` gives what is on sale of parts.
        pieces : int
            How many are wanted: where the least dear few have not as many, more are looked at [-].
        most : int
            Of each supplier [-].
        family : str
            Of one of the families that may serve.
        """
        own = [ident for ident, name in self.may.items() if name == family]
        hopeful = [ident for ident in own if self.hoped[ident] == Verdict.FITS]
        found = self._cheapest(sale(hopeful), pieces, most, Verdict.FITS)
        left = pieces - sum(each.pieces for each in found)
        if left > 0:
            found += self._cheapest(sale(own), left, most, Verdict.CARE)
        return found

    def _cheapest(
        self, queues: Mapping[int, Iterator[OnSale]], pieces: float, most: int, verdict: Verdict
    ) -> list[OnSale]:
        found: list[OnSale] = []
        have: Counter[int] = Counter()
        there, at_once, left = 0.0, AT_ONCE, set(queues)
        while wanting := [name for name in queues if name in left and (have[name] < most or there < pieces)]:
            some = {name: list(islice(queues[name], at_once)) for name in wanting}
            left -= {name for name, own in some.items() if len(own) < at_once}
            self.usable(dict.fromkeys(each.part_id for own in some.values() for each in own))
            for name, own in some.items():
                for each in own:
                    judged = self.judged.get(each.part_id)
                    if judged is None or judged.verdict is not verdict:
                        continue
                    if have[name] < most or there < pieces:
                        have[name] += 1
                        there += each.pieces
                        found.append(each)
            at_once *= 2
        return found
