"""Parts of one family that stand in for those of another: how many make one of what is wanted."""

from __future__ import annotations

import math

from partsbin.families import Family
from partsbin.families._declare import Option
from partsbin.jobs.needs import Wanted
from partsbin.needs import Need


def pieces_for(family: Family, need: Need, option: Option, wanted: Wanted) -> int:
    """Return how many of a part make one piece of a need: two diodes one rectifier valve, one for each of two valves [-]."""
    if family.name == wanted.family:
        return 1
    return max(1, math.ceil(family.takes(need, option) / wanted.quantity))
