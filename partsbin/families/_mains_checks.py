"""Checks of parts across the mains or between the mains and something touchable: approval, AC volts, new, touch current."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from partsbin.checks import Check, Columns, Finding, Missing, Outcome, Ruling, at_most, one_of, outcomes
from partsbin.circuit.touch import largest_capacitance, touch_current
from partsbin.families._stress import Draft
from partsbin.needs import Need
from partsbin.rules import Rules
from partsbin.sets import SetFacts, follow
from partsbin.words import listed, say, volts

Row = Mapping[str, Any]
OTHER_HIGH = 1.2  # other paths at the worst end of a usual ±20 %
CLASSES = ("", "X1", "X2", "X3", "Y1", "Y2", "Y3", "Y4", "X1/Y1", "X1/Y2", "X2/Y2", "X2/Y3")


def mains_stress(draft: Draft, facts: SetFacts, position: str, rules: Rules) -> None:
    """Write what a position on the mains asks: nominal volts, and where someone can touch the far side, the current allowed."""
    nominal, assumed = follow.mains(facts)
    draft.assume(*assumed)
    draft.put("mains", nominal, "V", "nominal mains")
    if rules.of(position, "safety") != "touch":
        return
    earthed = position == "mains-to-chassis" and facts.text("chassis") == "earthed"
    limit = float(rules.general("touch_limit_earthed" if earthed else "touch_limit_peak"))
    other = facts.number("other_paths", 0.0) * OTHER_HIGH
    if not other:
        draft.assume("no other capacitor feeds the same touchable part: name any with --with other_paths=4.7n")
    draft.put("other_paths", other, "F", "the other capacitors, 20 % high")
    high = follow.mains_high(facts)
    peak_limit = limit * math.sqrt(2) if earthed else limit
    most = max(float(largest_capacitance(peak_limit, high, follow.frequency(facts))) - other, 0.0)
    draft.put("mains_high", high, "V", "highest mains")
    draft.put("touch_limit", limit, "A", "RMS, chassis earthed" if earthed else "peak, part not earthed")
    draft.put("touch_earthed", earthed, "", "chassis earthed" if earthed else "not known to be earthed")
    draft.put("largest", most, "F", "touch current, all paths summed")


def on_mains(need: Need) -> bool:
    """Return whether the need stands on the mains, so that approvals count and DC volts do not."""
    return need.has("mains")


def _class(need: Need, c: Columns) -> Ruling | None:
    if not on_mains(need):
        return None
    allowed = set(need.rules.of(need.position, "classes"))
    good = frozenset(word for word in CLASSES if word and set(word.split("/")) & allowed)
    return one_of(c["safety_class"], good=good, needed=listed(sorted(allowed)), missing=Outcome.FAIL)


def _say_class(need: Need, f: Finding, row: Row) -> str:
    wanted = listed(need.rules.of(need.position, "classes"))
    if f.verdict == "pass":
        return f"class {f.offered}, {wanted} wanted"
    if not f.offered:
        return f"no safety class, {wanted} needed: DC volts do not count here, whatever they are"
    return f"class {f.offered}, {wanted} needed" + (": X never replaces Y" if str(f.offered).startswith("X") else "")


def _ac_volts(need: Need, c: Columns) -> Ruling | None:
    """Approvals are given for nominal mains; their margin covers its tolerance."""
    return at_most(need.number("mains"), c["voltage_ac"]) if on_mains(need) else None


def _say_ac(need: Need, f: Finding, row: Row) -> str:
    if f.verdict == "unknown":
        return f"AC rating not known, {volts(need.number('mains'))} needed: read the marking"
    under = ": under the mains" if f.verdict == "fail" else ""
    return f"{volts(row['voltage_ac'])} AC, {volts(need.number('mains'))} mains{under}"


def _unused(need: Need, c: Columns) -> Ruling | None:
    if not on_mains(need):
        return None
    return one_of(c["condition"], good=frozenset({"new"}), thin=frozenset({"unused-old"}), needed="new")


def _say_unused(need: Need, f: Finding, row: Row) -> str:
    return {
        "pass": "new",
        "thin": "unused old stock: a new one costs little",
        "unknown": "new or used is not known: only new parts here",
        "fail": "used: no used part across the mains or on a touchable socket",
    }[f.verdict]


def _touch(need: Need, c: Columns) -> Ruling | None:
    """Judge the touch current at the part's worst end, other paths added; where the ends straddle the limit, measure."""
    if not need.has("touch_limit"):
        return None
    other, earthed = need.number("other_paths"), need.fields["touch_earthed"].value is True
    low, high = (
        touch_current(c[name] + other, need.number("mains_high"), follow.frequency(need.facts), peak=not earthed)
        for name in ("capacitance_low", "capacitance_high")
    )
    limit = need.number("touch_limit")
    with np.errstate(invalid="ignore"):
        result = outcomes(
            len(low),
            fail=low > limit,
            thin=high > limit * need.rules.general("thin_safety"),
            unknown=((high > limit) & (low <= limit)) | np.isnan(low) | np.isnan(high),
        )
        margin = (limit - high) / limit
    return Ruling(result, high, np.full(len(low), limit), margin)


def _say_touch(need: Need, f: Finding, row: Row) -> str:
    kind = need.fields["touch_limit"].origin
    flow = f.offered if isinstance(f.offered, float) else math.nan
    limit = say(need.number("touch_limit"), "A")
    if math.isnan(flow):
        return f"capacitance not known: touch current not known, limit {limit} {kind}"
    text = (
        f"touch current {say(flow, 'A')} of {limit} {kind}, worst end, all paths at {volts(need.number('mains_high'))}"
    )
    return text if f.verdict != "fail" else f"{text}: too much, {say(need.number('largest'), 'F')} is the most"


def mains_checks(class_: str, ac_volts: str, unused: str, touch: str) -> tuple[Check, ...]:
    """Return the four checks under the family's own codes."""
    return (
        Check(
            class_,
            "safety class",
            "iec-60384-14",
            ("safety_class",),
            _class,
            _say_class,
            wall=True,
            missing=Missing.FAIL,
            may=("pass", "fail"),
        ),
        Check(
            ac_volts,
            "AC rating",
            "psh",
            ("voltage_ac",),
            _ac_volts,
            _say_ac,
            unit="V",
            wall=True,
            missing=Missing.LOOK,
            reading="voltage_ac",
        ),
        Check(
            unused,
            "new part",
            "practice",
            ("condition",),
            _unused,
            _say_unused,
            wall=True,
            missing=Missing.LOOK,
            reading="condition",
        ),
        Check(
            touch,
            "touch current",
            "iec-60065",
            ("capacitance_low", "capacitance_high"),
            _touch,
            _say_touch,
            unit="A",
            wall=True,
            missing=Missing.MEASURE,
            reading="capacitance",
        ),
    )
