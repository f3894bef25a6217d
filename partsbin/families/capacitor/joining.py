"""Capacitors joined: in parallel, and in series; in a supply resistors share the volts between them, elsewhere each bears all.

A capacitor with an approval is not made of two, and nothing is joined where one is asked: across the mains, on a touchable socket.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from partsbin.checks import Columns, Numbers
from partsbin.circuit.networks import balance_resistor
from partsbin.families._joining import (
    PARALLEL,
    SERIES,
    Join,
    borne,
    least,
    most,
    of_all,
    reciprocal,
    times_worst,
    total,
)
from partsbin.families._mains_checks import on_mains
from partsbin.families.capacitor.facts import WET
from partsbin.families.capacitor.leakage import least_rating
from partsbin.needs import Need
from partsbin.sets import follow
from partsbin.words import say, volts

SUPPLIES = ("reservoir", "smoothing", "decoupling")
"""Positions where resistors across the parts of a string do no harm."""

EACH = frozenset({"CAP08", "CAP10", "CAP11", "CAP15", "CAP16", "CAP18"})
LEAKAGE = frozenset({"CAP14"})
"""Of each, so that a large good one does not hide a small one that leaks; in parallel what all leak together counts as well."""

USUAL = 220e3  # ohm across each part of a string: common practice, no source
SPREAD = 0.05  # tolerance of the resistors
MOST_WATTS = (
    2.5  # W in each, beyond which leakages differ so far that resistors are no cure: common practice, no source
)
BODIES = ((0.5, 350.0, 250.0), (1.0, 500.0, 300.0), (2.0, 500.0, 350.0), (3.0, 500.0, 350.0), (5.0, 500.0, 350.0))
"""W of bodies that are laid across, V that one may be made for, and V that any make bears: as of the rules of resistors."""

E12 = np.array([1.0, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2, 10.0])

VALUE, LOW, HIGH = "capacitance", "capacitance_low", "capacitance_high"


def joins(need: Need) -> Sequence[Join]:
    """Return the ways of joining that may serve a need: none where an approval is asked, nor where someone can touch the far side.

    Where it depends on the chassis whether one is, the chassis must be known to be isolated.
    """
    guarded = need.rules.of(need.position, "safety", "") and follow.is_live(need.facts)[0] is not False
    if on_mains(need) or need.has("isolated") or guarded:
        return ()
    return (_PARALLEL, _SERIES if need.position in SUPPLIES else _APART)


def _shared(members: Sequence[Columns]) -> dict[str, Any]:
    """What holds of either way: the class is lost, the room is that of all."""
    n = len(members[0][VALUE])
    made: dict[str, Any] = {"safety_class": np.full(n, "", dtype=object), "voltage_ac": np.full(n, math.nan)}
    if "length" in members[0]:
        made["length"] = total(of_all(members, "length"))
    return made


def _parallel(need: Need, members: Sequence[Columns]) -> dict[str, Any]:
    """Capacitances add; the lowest rating holds for all; ripple current is shared by capacitance."""
    there = members[0].keys()
    made = {name: total(of_all(members, name)) for name in (VALUE, LOW, HIGH)}
    made["voltage_dc"] = least(of_all(members, "voltage_dc"))
    if "insulation" in there:
        wet = np.logical_or.reduce(
            [_wet(member) for member in members]
        )  # held to its own sheet, not to what film leaks
        for name in ("insulation", "insulation_high"):
            made[name] = np.where(wet, np.inf, reciprocal(of_all(members, name)))
    if "insulation_volts" in there:
        made["insulation_volts"] = least(of_all(members, "insulation_volts"))
    if "ripple_current" in there:
        times = times_worst(of_all(members, HIGH), of_all(members, LOW))
        made["ripple_current"] = borne(of_all(members, "ripple_current"), times)
    return made | _shared(members)


def _series(need: Need, members: Sequence[Columns]) -> dict[str, Any]:
    """The smaller takes the larger share of what comes quickly; in the long run leakage decides, and the resistors across."""
    there, n = members[0].keys(), len(members)
    made: dict[str, Any] = {name: reciprocal(of_all(members, name)) for name in (VALUE, LOW, HIGH)}
    times = _times(members)
    ratings = of_all(members, "voltage_dc")
    steady = least(ratings) * (1 + (n - 1) * (1 - SPREAD) / (1 + SPREAD))  # by the resistors alone
    made["voltage_dc"] = np.minimum(borne(ratings, times), steady)
    for name in ("insulation", "insulation_high"):
        if name in there:
            made[name] = total(of_all(members, name))
    if "insulation_volts" in there:
        read = borne(of_all(members, "insulation_volts"), times)
        made["insulation_volts"] = np.minimum(read, np.where(np.isnan(made["voltage_dc"]), read, made["voltage_dc"]))
    if "ripple_current" in there:
        made["ripple_current"] = least(of_all(members, "ripple_current"))
    strings = [np.fmax(member.get("series", np.ones(1)), 1.0) for member in members]
    made["series"] = np.broadcast_to(total(strings), made[VALUE].shape)
    if "insulation" in there:
        made |= _balanced(need, members, times)
    return made | _shared(members)


def _apart(need: Need, members: Sequence[Columns]) -> dict[str, Any]:
    """In series without resistors: nothing shares the volts, so each must bear them all."""
    there = members[0].keys()
    made: dict[str, Any] = {name: reciprocal(of_all(members, name)) for name in (VALUE, LOW, HIGH)}
    made["voltage_dc"] = least(of_all(members, "voltage_dc"))
    for name in ("insulation", "insulation_high"):
        if name in there:
            made[name] = total(of_all(members, name))
    if "insulation_volts" in there:
        made["insulation_volts"] = least(of_all(members, "insulation_volts"))
    return made | _shared(members)


def _wet(member: Columns) -> Any:
    return np.array([word in WET for word in member["dielectric"]], dtype=bool)


def _times(members: Sequence[Columns]) -> list[Numbers]:
    """For each member the volts of the whole over its own, at switch-on, at its worst."""
    with np.errstate(divide="ignore", invalid="ignore"):
        return times_worst([1 / low for low in of_all(members, LOW)], [1 / high for high in of_all(members, HIGH)])


def _balanced(need: Need, members: Sequence[Columns], times: Sequence[Numbers]) -> dict[str, Any]:
    """The resistors across each: the usual ones, smaller where the leakages may differ so far that those would not hold.

    Parts may leak as different as their readings say; of a new one any leakage up to its data sheet's is possible.
    """
    bus, rating = least_rating(need), least(of_all(members, "voltage_dc"))
    differ = _difference(members)
    with np.errstate(invalid="ignore", divide="ignore"):
        holds = balance_resistor(rating, bus, np.maximum(differ, 1e-12), len(members), SPREAD)
        ohms = _preferred(np.fmin(holds, USUAL))
        shares = [bus / factor for factor in times]
        used = np.stack([share / own for share, own in zip(shares, of_all(members, "voltage_dc"), strict=True)])
        at = np.argmax(np.nan_to_num(used, nan=-1.0), axis=0), np.arange(used.shape[1])
        share, own = np.stack(shares)[at], np.stack(of_all(members, "voltage_dc"))[at]
    return {"balance": ohms, "balance_watts": share**2 / ohms, "share_rating": own}


def _difference(members: Sequence[Columns]) -> Numbers:
    """By how much one part may leak less than another [A]; unknown if a leakage is."""
    with np.errstate(invalid="ignore", divide="ignore"):
        high = [member["insulation_volts"] / member["insulation"] for member in members]
        low = [
            np.where(member["condition"] == "new", 0.0, member["insulation_volts"] / member["insulation_high"])
            for member in members
        ]
    others = [most([each for at, each in enumerate(high) if at != place]) for place in range(len(members))]
    return np.maximum(most([there - here for there, here in zip(others, low, strict=True)]), 0.0)


def _preferred(ohms: Numbers) -> Numbers:
    """The next E12 value that is no larger [ohm]."""
    decade = 10.0 ** np.floor(np.log10(np.maximum(ohms, 1.0)) + 1e-9)
    step = E12[np.searchsorted(E12, np.nan_to_num(ohms / decade, nan=1.0) * (1 + 1e-9), side="right") - 1]
    return np.where(ohms > 0, step * decade, math.nan)


def resistors(row: Mapping[str, Any]) -> str:
    """Name the resistors across each part of a string: ohms, watts with room, and volts where not every make bears them."""
    ohms, watts, share = row["balance"], row["balance_watts"], math.sqrt(row["balance_watts"] * row["balance"])
    for number in (1, 2, 3):
        for body, limit, any_make in BODIES:
            if body * number >= 2 * watts and limit * number >= share:
                asked = volts(
                    math.ceil(row.get("share_rating", share) / number)
                )  # as much as the part that it lies across
                made = "" if any_make * number >= share else f" made for {asked}"
                whole = f"{say(ohms / number, 'ohm')} {say(body, 'W')}{made}"
                return whole if number == 1 else f"{number} × {whole} in series"
    return f"{say(ohms, 'ohm')} for {say(watts, 'W')}"


def _title(value: Any, times: Any) -> Any:
    def title(rows: Sequence[Mapping[str, Any]]) -> str:
        """Capacitance and volts as marked: those that the nominal values would bear."""
        values, rated = [row[VALUE] or math.nan for row in rows], [row["voltage_dc"] or math.nan for row in rows]
        whole = value(values)
        bears = min(one * times(own, whole) for one, own in zip(rated, values, strict=True))
        return say(whole, "F") if math.isnan(bears) else f"{say(whole, 'F')} {volts(bears)}"

    return title


def _less(values: Sequence[float]) -> float:
    return 1 / sum(1 / value for value in values)


_PARALLEL = Join(PARALLEL, True, _parallel, EACH, _title(sum, lambda own, whole: 1.0), LEAKAGE)
_SERIES = Join(SERIES, False, _series, EACH | LEAKAGE, _title(_less, lambda own, whole: own / whole))
_APART = Join(SERIES, False, _apart, EACH | LEAKAGE, _title(_less, lambda own, whole: 1.0))
