"""Offers that serve a need, the least dear ones of each supplier first: by their keys, then judged in full like any part."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import replace

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
"""Offers of each supplier that are judged together [-]."""

USABLE = (Verdict.FITS, Verdict.CARE)

Costs = Callable[[Sequence[int]], Sequence[tuple[float, int]]]


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
        for family, need in asked:
            self.may |= dict.fromkeys(self._may(family, need), family.name)
        self.judged: dict[int, Candidate] = {}

    def _may(self, family: Family, need: Need) -> list[int]:
        """Parts that by their keys alone may fit: the others need not be fetched."""
        search = family.search(need)
        rows = window(self.connection, replace(family, name=listed(family.name, "offered")), search)
        if not len(rows):
            return []
        good = judge(family, need, search, rows.columns).verdict <= Verdict.CARE
        parts: list[int] = (rows.id[good] // OPTIONS_A_PART).tolist()
        return sorted(set(parts))

    def usable(self, part_ids: Iterable[int]) -> list[int]:
        """Return those of some parts that fit, with or without care, judged in full."""
        wanted = [ident for ident in part_ids if ident in self.may]
        fresh = [ident for ident in wanted if ident not in self.judged]
        for name in dict.fromkeys(self.may[ident] for ident in fresh):
            family, need = self.asked[name]
            parts = list(get(self.connection, family, [i for i in fresh if self.may[i] == name]).values())
            self.judged |= {c.part.id: c for c in judge_parts(family, need, family.search(need), parts)}
        return [ident for ident in wanted if ident in self.judged and self.judged[ident].verdict in USABLE]

    def cheapest(self, costs: Costs, most: int) -> list[int]:
        """Return the least dear usable offers of each supplier.

        Parameters
        ----------
        costs : callable
            ``costs(parts)`` gives what the pieces wanted cost of each part, and its supplier.
        most : int
            Of each supplier [-].
        """
        parts = list(self.may)
        queues: dict[int, list[int]] = {}
        for (_, supplier), ident in sorted(zip(costs(parts), parts, strict=True)):
            queues.setdefault(supplier, []).append(ident)
        found: list[int] = []
        have: Counter[int] = Counter()
        while open_ones := [supplier for supplier, queue in queues.items() if queue and have[supplier] < most]:
            some = {supplier: queues[supplier][:AT_ONCE] for supplier in open_ones}
            good: Collection[int] = set(self.usable([ident for own in some.values() for ident in own]))
            for supplier, own in some.items():
                del queues[supplier][: len(own)]
                kept = [ident for ident in own if ident in good][: most - have[supplier]]
                have[supplier] += len(kept)
                found += kept
        return found
