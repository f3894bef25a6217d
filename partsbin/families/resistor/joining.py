"""Resistors joined: in series they share volts and watts by their ohms, in parallel the watts by their conductance.

On the mains and over the isolation only in series, and over the isolation only of parts that are each made for it: if one fails
to a short the other stands alone. A fusible resistor is not made of two: each would open later.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from partsbin.checks import Columns
from partsbin.families._joining import (
    PARALLEL,
    SERIES,
    Join,
    borne,
    least,
    most,
    of_all,
    only_if_all,
    reciprocal,
    times_worst,
    total,
)
from partsbin.needs import Need
from partsbin.words import say

EACH = frozenset({"RES09", "RES11", "RES13", "RES14", "RES16"})
VALUE, LOW, HIGH = "resistance", "resistance_low", "resistance_high"


def joins(need: Need) -> Sequence[Join]:
    """Return the ways of joining that may serve a need."""
    if need.has("fusible"):
        return ()
    return (_SERIES,) if need.has("mains") or need.has("touch_limit") else (_SERIES, _PARALLEL)


def _shared(members: Sequence[Columns]) -> dict[str, Any]:
    """What holds of either way: a limit is as well known as the worst known of them; the room is that of all."""
    there = members[0].keys()
    made: dict[str, Any] = {}
    if "limit_taken" in there:
        made["limit_taken"] = most(of_all(members, "limit_taken"))
    if "length" in there:
        made["length"] = total(of_all(members, "length"))
    for name in ("fusible", "bridging"):
        if name in there:
            made[name] = only_if_all(of_all(members, name))
    return made


def _driven(need: Need, by: str) -> bool:
    """Return whether the load of one does not depend on the others: a current through all, volts across each.

    What the whole carries is then reckoned with all at their worst, and that is how they share it.
    """
    exact = [name for name in ("current", "across", "watts") if need.has(name)]
    bound = [name for name in ("current", "across") if need.has(f"bound_{name}")]
    return not need.has("original_watts") and (exact or bound)[:1] == [by]


def _series(need: Need, members: Sequence[Columns]) -> dict[str, Any]:
    """Ohms add; the largest takes most of the volts and of the watts."""
    made = {name: total(of_all(members, name)) for name in (VALUE, LOW, HIGH)}
    high = of_all(members, HIGH)
    times = times_worst(high, of_all(members, LOW))
    made["power"] = borne(of_all(members, "power"), times_worst(high, high) if _driven(need, "current") else times)
    if "voltage" in members[0]:
        made["voltage"] = borne(of_all(members, "voltage"), times)
    made["string"] = np.full(len(times[0]), float(len(members)))
    return made | _shared(members)


def _parallel(need: Need, members: Sequence[Columns]) -> dict[str, Any]:
    """Conductances add; the smallest takes most of the watts, all have the same volts."""
    made = {name: reciprocal(of_all(members, name)) for name in (VALUE, LOW, HIGH)}
    with np.errstate(divide="ignore", invalid="ignore"):
        largest, smallest = ([1 / ohms for ohms in of_all(members, name)] for name in (LOW, HIGH))
    others = largest if _driven(need, "across") else smallest
    made["power"] = borne(of_all(members, "power"), times_worst(largest, others))
    if "voltage" in members[0]:
        made["voltage"] = least(of_all(members, "voltage"))
    return made | _shared(members)


def _title(adds: bool) -> Any:
    def title(rows: Sequence[Mapping[str, Any]]) -> str:
        """Ohms and watts as marked: those that the nominal values would bear."""
        values, rated = [row[VALUE] or math.nan for row in rows], [row["power"] or math.nan for row in rows]
        whole = sum(values) if adds else 1 / sum(1 / value for value in values)
        shares = [value / whole if adds else whole / value for value in values]
        bears = min(one / share for one, share in zip(rated, shares, strict=True))
        return say(whole, "ohm") if math.isnan(bears) else f"{say(whole, 'ohm')} {say(bears, 'W')}"

    return title


_SERIES = Join(SERIES, True, _series, EACH, _title(True))
_PARALLEL = Join(PARALLEL, False, _parallel, EACH, _title(False))
