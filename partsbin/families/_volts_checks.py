"""Checks of rated volts against the stress of a need, for every family whose parts are rated in volts.

The wall is the off-load peak; where the volts of the set are not known the dead part's label stands in, and where neither is
known nothing passes.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from partsbin.checks import Check, Columns, Finding, Missing, Outcome, Ruling, at_most, outcomes
from partsbin.needs import Need
from partsbin.words import percent, span, volts

Row = Mapping[str, Any]
LABEL_PROVES = 1.25  # volts over the dead part's label from which a reservoir is likely to cover the cold start


def has_own_volts(need: Need) -> bool:
    """Return whether the volts at a position are its own and not the HT's, so that no winding tells them."""
    return need.rules.of(need.position, "stress") in ("low", "ac")


@dataclass(frozen=True)
class RatedVolts:
    """The checks of rated volts over one column of the options, ``voltage_dc`` of a capacitor for instance."""

    column: str

    def checks(self, off_load: str, label: str, bound: str) -> tuple[Check, Check, Check]:
        """Return the three checks under the family's own codes."""
        common: dict[str, Any] = {"uses": (self.column,), "unit": "V", "missing": Missing.LOOK}
        return (
            Check(
                off_load,
                "off-load peak",
                "iron-cold-start",
                judge=self.off_load,
                say=self.say_off_load,
                wall=True,
                reading=self.column,
                **common,
            ),
            Check(
                label,
                "dead part's volts",
                "rworld",
                judge=self.label,
                say=self.say_label,
                reading=self.column,
                **common,
            ),
            Check(
                bound,
                "volts of the position",
                "practice",
                judge=self.bound,
                say=self.say_bound,
                reading="rail",
                may=("pass", "unknown"),
                **common,
            ),
        )

    def off_load(self, need: Need, c: Columns) -> Ruling | None:
        """Hold the off-load peak against the rating; a winding read with an uncertainty may straddle it."""
        rating = c[self.column]
        if need.has("stress_unknown"):
            return Ruling(np.full(len(rating), Outcome.UNKNOWN, np.int8), rating, np.full(len(rating), math.nan))
        if not need.has("off_load_peak"):
            return None
        ruling = at_most(need.number("off_load_peak"), rating, thin_above=need.rules.general("thin_above"))
        if need.has("off_load_span"):
            between = (rating >= need.window("off_load_span")[0]) & (ruling.outcome == Outcome.FAIL)
            ruling.outcome[between] = Outcome.UNKNOWN
        return ruling

    def say_off_load(self, need: Need, f: Finding, row: Row) -> str:
        """Word the off-load check."""
        rating, stress = row[self.column], need.number("off_load_peak")
        if need.has("stress_unknown"):
            rated = "DC rating not marked" if math.isnan(rating) else f"part rated {volts(rating)}"
            winding = "" if has_own_volts(need) else ", or the HT winding,"
            return f"volts at the position not known, {rated}: read them{winding} before fitting"
        if math.isnan(rating):
            return f"rated volts not known, {volts(stress)} off load: read the marking"
        spare = rating - stress
        if f.verdict == "pass":
            return f"off load {volts(stress)} of {volts(rating)}"
        if f.verdict == "thin":
            return (
                f"off load {volts(stress)} of {volts(rating)}: THIN, {spare:.0f} V ({percent(spare / rating)}) to spare"
            )
        if f.verdict == "unknown":
            return (
                f"off load {span(*need.window('off_load_span'), 'V')} against {volts(rating)}: read the winding closer"
            )
        running = need.number("running_peak")
        run = f"covers {volts(running)} running, not" if running <= rating else "is under"
        return f"{volts(rating)} {run} {volts(stress)} off load: short by {-spare:.0f} V"

    def label(self, need: Need, c: Columns) -> Ruling | None:
        """Hold the dead part's label against the rating, where the volts of the set are not known."""
        if not need.has("original_volts"):
            return None
        label = need.number("original_volts")
        ruling = at_most(label, c[self.column])
        passed = ruling.outcome != Outcome.FAIL
        if need.position in need.rules.get("general", "label_thin", ()):
            with np.errstate(invalid="ignore"):
                ruling.outcome[passed & (c[self.column] < LABEL_PROVES * label)] = Outcome.THIN
        else:
            ruling.outcome[c[self.column] == label] = Outcome.PASS
        return ruling

    def say_label(self, need: Need, f: Finding, row: Row) -> str:
        """Word the label check."""
        rating, label = row[self.column], need.number("original_volts")
        if f.verdict == "unknown":
            return f"rated volts not known, the dead part had {volts(label)}: read the marking"
        if f.verdict == "fail":
            return f"{volts(rating)}, the dead part had {volts(label)}: short by {label - rating:.0f} V"
        if f.verdict == "thin":
            return f"{volts(rating)} for the dead part's {volts(label)}: proves nothing about the cold start, read the HT off load"
        return f"{volts(rating)}, the dead part had {volts(label)}"

    def bound(self, need: Need, c: Columns) -> Ruling | None:
        """Pass what bears the whole HT, where the position's own volts are not known; anything less must be read."""
        if not need.has("stress_bound"):
            return None
        bound, rating = need.number("stress_bound"), c[self.column]
        with np.errstate(invalid="ignore"):
            enough = rating >= bound
        result = outcomes(len(rating), fail=np.zeros(len(rating), dtype=bool), unknown=~enough)
        return Ruling(result, rating, np.full(len(rating), bound))

    def say_bound(self, need: Need, f: Finding, row: Row) -> str:
        """Word the bound."""
        bound, rating = need.number("stress_bound"), row[self.column]
        whole = "a 100 V line" if need.position == "crossover" else "the HT"
        if f.verdict == "pass":
            return f"{volts(rating)} bears even the {volts(bound)} of {whole}"
        return (
            f"rated {volts(rating)}; the position's own volts are not known, {whole} reaches {volts(bound)}: read them"
        )
