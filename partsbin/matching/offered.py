"""Offers that serve a need, the least dear ones of each supplier first: by their keys, then judged in full like any part."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

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
from partsbin.stock.shelf import get

AT_ONCE = 4
"""Offers of each supplier that are judged together at first; twice as many each time that these are not enough [-]."""

USABLE = (Verdict.FITS, Verdict.CARE)


@dataclass(frozen=True)
class OnSale:
    """What is paid for a piece if as many are bought as are wanted, or as there are; whose offer it is, and how many there are [-]."""

    price: float
    supplier: int
    pieces: float


Sale = Callable[[Sequence[int]], Mapping[int, OnSale]]


class Serving:
    """What suppliers offer for one need.

    Parameters
    ----------
    connection : Connection
        Reading one state of the catalogue.
    request : Request
        The need.
    """

    def __init__(self, connection: Connection, request: Request) -> None:
        self.connection = connection
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
        rows = window(self.connection, replace(family, name=listed(family.name, "offered")), search)
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
            parts = list(get(self.connection, family, [i for i in fresh if self.may[i] == name]).values())
            self.judged |= {c.part.id: c for c in judge_parts(family, need, family.search(need), parts)}
        return [ident for ident in wanted if ident in self.judged and self.judged[ident].verdict in USABLE]

    def cheapest(self, sale: Sale, pieces: int, most: int) -> list[int]:
        """Return the least dear offers of each supplier that fit; those that fit with care as well where the others have too few.

        Parameters
        ----------
        sale : callable
            ``sale(parts)`` says what each part costs, and how many of it there are.
        pieces : int
            How many are wanted: where the least dear few have not as many, more are looked at [-].
        most : int
            Of each supplier [-].
        """
        told = {ident: each for ident, each in sale(list(self.may)).items() if each.pieces > 0}
        hopeful = [ident for ident in told if self.hoped[ident] == Verdict.FITS]
        found = self._cheapest(hopeful, told, pieces, most, Verdict.FITS)
        left = pieces - sum(told[ident].pieces for ident in found)
        return found if left <= 0 else found + self._cheapest(list(told), told, left, most, Verdict.CARE)

    def _cheapest(
        self, parts: Sequence[int], told: Mapping[int, OnSale], pieces: float, most: int, verdict: Verdict
    ) -> list[int]:
        queues: dict[int, list[int]] = {}
        for ident in sorted(parts, key=lambda ident: (told[ident].price, ident)):
            queues.setdefault(told[ident].supplier, []).append(ident)
        found: list[int] = []
        have: Counter[int] = Counter()
        there, at_once = 0.0, AT_ONCE
        while wanting := [name for name, queue in queues.items() if queue and (have[name] < most or there < pieces)]:
            some = [ident for name in wanting for ident in queues[name][:at_once]]
            self.usable(some)
            for ident in some:
                name = told[ident].supplier
                if (own := self.judged.get(ident)) is None or own.verdict is not verdict:
                    continue
                if have[name] < most or there < pieces:
                    have[name] += 1
                    there += told[ident].pieces
                    found.append(ident)
            for name in wanting:
                del queues[name][:at_once]
            at_once *= 2
        return found
