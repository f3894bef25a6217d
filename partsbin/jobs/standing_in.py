"""Parts of one family that stand in for those of another: how many make one of what is wanted."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from types import MappingProxyType

from sqlalchemy import Connection

from partsbin.families import Family
from partsbin.families._declare import Option
from partsbin.jobs.orders import Ordered, went_to
from partsbin.needs import Need
from partsbin.stock.acts import part_of
from partsbin.stock.ledger import set_aside_for

NONE_LEFT: Mapping[int, int] = MappingProxyType({})


MAKE_ONE = 8
"""Of what stands in, no more than these make one of what is wanted: two in series in each arm of a bridge [-]."""


def most_for(family: str, wanted: str) -> int:
    """Return how many pieces of a family may make one of the family that is wanted, at most [-]."""
    return 1 if family == wanted else MAKE_ONE


def pieces_for(family: Family, need: Need, option: Option, wanted: str, quantity: int = 1) -> int:
    """Return how many of a part make one piece of a need: two diodes one rectifier valve, one for each of two valves [-].

    Parameters
    ----------
    family, need, option
        The part as it was judged: its family, the need in the words of that family, the way of using it.
    wanted : str
        The family that is wanted.
    quantity : int
        Pieces that the whole need wants: they share the work [-].
    """
    if family.name == wanted:
        return 1
    return max(1, math.ceil(family.takes(need, option) / quantity))


def rests(
    connection: Connection,
    under_way: Sequence[Ordered],
    taken: Mapping[int, int] = NONE_LEFT,
    jobs: Collection[int] = (),
) -> dict[int, int]:
    """Return how many pieces lie free of what already came of each line under way, by the line's id [-].

    One diode that came and one to come are a valve's worth together. Of several lines of one part the oldest has them.

    Parameters
    ----------
    connection : Connection
        Reading one state of the catalogue.
    under_way : sequence of Ordered
        Lines of which something is to come, the oldest first.
    taken : mapping of int to int
        Pieces that a plan takes, by part [-].
    jobs : collection of int
        The jobs of the plan: what is set aside for them is free for it.
    """
    found: dict[int, int] = {}
    seen: set[int] = set()
    for line in under_way:
        here = went_to(connection, line) if line.came else None
        if here is None or here in seen:
            continue
        seen.add(here)
        own = sum(set_aside_for(connection, job, [here]).get(here, 0) for job in jobs)
        found[line.id] = max(0, part_of(connection, here).available + own - taken.get(here, 0))
    return found
