"""Walls of a resistor where a fault burns or touches: fusible for fusible, over the isolation, new, touch current."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from partsbin.checks import Check, Columns, Finding, Missing, Ruling, one_of, outcomes
from partsbin.needs import Need
from partsbin.words import say

Row = Mapping[str, Any]


def _fusible(need: Need, c: Columns) -> Ruling | None:
    if not need.has("fusible"):
        return None
    most, power = need.number("fuse_watts"), c["power"]
    with np.errstate(invalid="ignore"):
        larger = power > most * (1 + 1e-9)
    fail = (c["fusible"] != 1.0) | larger
    open_ = np.isnan(power) & np.full(len(power), not math.isnan(most))
    words = np.where(c["fusible"] == 1.0, "fusible", "ordinary").astype(object)
    thin = np.full(len(fail), math.isnan(most))
    return Ruling(
        outcomes(len(fail), fail=fail, thin=thin, unknown=open_), words, np.full(len(fail), "fusible", dtype=object)
    )


def _say_fusible(need: Need, f: Finding, row: Row) -> str:
    if row["fusible"] != 1.0:
        return "the dead part was fusible: an ordinary one keeps the fault fed until something burns"
    most = need.number("fuse_watts")
    if f.verdict == "thin":
        return "fusible; the dead part's watts are not known, no larger ones serve"
    if f.verdict == "unknown":
        return f"fusible, rated watts not known, {say(most, 'W')} at most"
    has = f"fusible, {say(row['power'], 'W')} where the dead part had {say(most, 'W')}"
    return has if f.verdict == "pass" else f"{has}: opens later"


def _bridging(need: Need, c: Columns) -> Ruling | None:
    if not need.has("touch_limit"):
        return None
    good = c["bridging"] == 1.0
    words = np.where(good, "approved", "ordinary").astype(object)
    needed = np.full(len(good), "approved to bridge insulation", dtype=object)
    return Ruling(outcomes(len(good), fail=~good), words, needed)


def _say_bridging(need: Need, f: Finding, row: Row) -> str:
    if f.verdict == "pass":
        return "approved to bridge insulation"
    return "not marked as made to bridge insulation: an ordinary resistor between the mains and a hand"


def _unused(need: Need, c: Columns) -> Ruling | None:
    if not (need.has("touch_limit") or need.has("mains")):
        return None
    return one_of(c["condition"], good=frozenset({"new"}), thin=frozenset({"unused-old"}), needed="new")


def _say_unused(need: Need, f: Finding, row: Row) -> str:
    return {
        "pass": "new",
        "thin": "unused, old stock: a new one costs little",
        "unknown": "new or used is not known: only new parts on the mains",
        "fail": "used: no used part across the mains or over the isolation",
    }[f.verdict]


def _touch(need: Need, c: Columns) -> Ruling | None:
    """The touch current at the part's worst end, the other paths added; where the ends straddle the limit, measure."""
    if not need.has("touch_limit"):
        return None
    limit, other = need.number("touch_limit"), need.number("other_current")
    peak = math.sqrt(2) * need.number("mains_high")
    with np.errstate(divide="ignore", invalid="ignore"):
        worst, best = (peak / c[name] + other for name in ("resistance_low", "resistance_high"))
        straddle = (worst > limit) & (best <= limit)
        unknown = np.isnan(worst) | np.isnan(best) | straddle
        result = outcomes(
            len(worst), fail=best > limit, thin=worst > limit * need.rules.general("thin_safety"), unknown=unknown
        )
    return Ruling(result, worst, np.full(len(worst), limit), (limit - worst) / limit)


def _say_touch(need: Need, f: Finding, row: Row) -> str:
    limit, least = say(need.number("touch_limit"), "A"), say(need.number("least_ohms"), "ohm")
    if need.has("paths_alone"):
        return f"{say(need.number('other_current'), 'A')} of {limit} peak through the other capacitors alone: no resistor helps"
    flow = f.offered if isinstance(f.offered, float) else math.nan
    if math.isnan(flow):
        return f"touch current not known, limit {limit} peak: {least} at least"
    text = f"touch current {say(flow, 'A')} of {limit} peak, worst end, all paths"
    return text if f.verdict in ("pass", "thin") else f"{text}: {least} is the least"


SAFETY_CHECKS = (
    Check(
        "RES12", "fusible", "fusible", ("fusible", "power"), _fusible, _say_fusible,
        wall=True, missing=Missing.FAIL, reading="power",
    ),
    Check(
        "RES13", "over the isolation", "bridging", ("bridging",), _bridging, _say_bridging,
        wall=True, missing=Missing.FAIL, may=("pass", "fail"),
    ),
    Check(
        "RES14", "new part", "practice", ("condition",), _unused, _say_unused,
        wall=True, missing=Missing.LOOK, reading="condition",
    ),
    Check(
        "RES15", "touch current", "iec-60065", ("resistance_low", "resistance_high"), _touch, _say_touch,
        unit="A", wall=True, missing=Missing.MEASURE, reading="resistance",
    ),
)  # fmt: skip
