"""Checks of what surrounds a track: spindle and bush, which are changes and never unfit; and what an open wiper does to a bias."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from partsbin.checks import Check, Columns, Finding, Missing, Outcome, Ruling, outcomes
from partsbin.families.potentiometer.facts import bush_words, spindle_words
from partsbin.families.potentiometer.need import wanted_bush, wanted_spindle
from partsbin.needs import Need

Row = Mapping[str, Any]


def _insulated(need: Need, c: Columns) -> Ruling | None:
    """On a live chassis whatever can be touched is insulated; a spindle that nobody describes is taken as metal."""
    if not need.has("live"):
        return None
    metal, n = c["insulated"] != 1.0, len(c["insulated"])
    words = np.where(metal, "metal", "insulated").astype(object)
    return Ruling(outcomes(n, fail=np.zeros(n, bool), thin=metal), words, np.full(n, "insulated", object))


def _say_insulated(need: Need, f: Finding, row: Row) -> str:
    if f.verdict == "pass":
        return "spindle insulated, live chassis"
    said = "spindle not described, taken as metal" if math.isnan(row["insulated"]) else "metal spindle"
    return f"{said} on a live chassis: insulated knob, grub screw sunk and sealed, bush out of reach"


def _spindle(need: Need, c: Columns) -> Ruling | None:
    if not wanted_spindle(need):
        return None
    slack, short = need.rules.general("spindle_slack"), need.rules.general("length_slack")
    style, n = need.word("shaft_style"), len(c["shaft_diameter"])
    with np.errstate(invalid="ignore"):
        other = np.abs(c["shaft_diameter"] - need.number("shaft_diameter")) > slack
        cut = np.abs(c["shaft_length"] - need.number("shaft_length")) > short
    end = np.array([bool(style) and word not in ("", style) for word in c["shaft_style"]], bool)
    wanted = np.full(n, wanted_spindle(need), object)
    return Ruling(outcomes(n, fail=np.zeros(n, bool), thin=other | cut | end), c["shaft_style"], wanted)


def _say_spindle(need: Need, f: Finding, row: Row) -> str:
    has, wanted = _has(row, "shaft"), wanted_spindle(need)
    if not has:
        return f"spindle not known, {wanted} wanted"
    if f.verdict == "pass":
        return f"{has}, {wanted} wanted"
    ways = [_bore(row["shaft_diameter"] - need.number("shaft_diameter"), need), _long(row, need)]
    style = need.word("shaft_style")
    if style and row["shaft_style"] not in ("", style):
        ways.append("a knob for this spindle")
    return f"{has} for {wanted}: {', '.join(way for way in ways if way)}"


def _bore(wider: float, need: Need) -> str:
    """A thin spindle takes a sleeve, a thick one does not enter the knob."""
    slack = need.rules.general("spindle_slack")
    return "a sleeve in the knob" if wider < -slack else "another knob, or the bore opened" if wider > slack else ""


def _long(row: Row, need: Need) -> str:
    longer, slack = row["shaft_length"] - need.number("shaft_length"), need.rules.general("length_slack")
    if longer > slack:
        return f"cut to {need.number('shaft_length') * 1000:.0f} mm"
    return "an extension and its coupler" if longer < -slack else ""


def _bush(need: Need, c: Columns) -> Ruling | None:
    if not need.has("bush_diameter"):
        return None
    with np.errstate(invalid="ignore"):
        other = np.abs(c["bush_diameter"] - need.number("bush_diameter")) > need.rules.general("spindle_slack")
    n = len(other)
    return Ruling(
        outcomes(n, fail=np.zeros(n, bool), thin=other), c["bush_diameter"], np.full(n, need.number("bush_diameter"))
    )


def _say_bush(need: Need, f: Finding, row: Row) -> str:
    has, wanted = _has(row, "bush"), wanted_bush(need)
    if f.verdict == "pass":
        return f"{has or 'bush not known'}, {wanted} wanted"
    thick = row["bush_diameter"] > need.number("bush_diameter")
    return f"{has} for {wanted}: {'open the hole' if thick else 'a washer in the hole'}"


def _has(row: Row, what: str) -> str:
    diameter, length = (
        None if math.isnan(row[f"{what}_{name}"]) else row[f"{what}_{name}"] for name in ("diameter", "length")
    )
    return bush_words(diameter, length) if what == "bush" else spindle_words(diameter, length, row["shaft_style"], None)


def _wiper(need: Need, c: Columns) -> Ruling | None:
    """A wiper opens sooner or later: the wiring decides whether the bias then goes to its most or to nothing."""
    if need.position != "bias-preset":
        return None
    wired, n = need.word("wired"), len(c["condition"])
    outcome = {"": Outcome.UNKNOWN, "divider": Outcome.FAIL}.get(wired, Outcome.PASS)
    words = np.full(n, wired, object)
    return Ruling(np.full(n, outcome, dtype=np.int8), words, np.full(n, "most bias with the wiper open", object))


def _say_wiper(need: Need, f: Finding, row: Row) -> str:
    if f.verdict == "unknown":
        return "how the preset is wired is not known: an open wiper must give most bias, never none"
    if f.verdict == "fail":
        way_out = "a resistor from wiper to the negative end is the way out, then say 'end resistor'"
        return f"wired as a divider, an open wiper loses the bias: {way_out}"
    if need.word("wired") == "rheostat":
        return "as a variable resistor to chassis, wiper tied to the end: an open wiper gives most bias"
    return "a resistor from wiper to the negative end: an open wiper gives most bias"


CHECKS = (
    Check("POT15", "insulated spindle", "elcon", ("insulated",), _insulated, _say_insulated, missing=Missing.ASSUME, change=True,
          may=("pass", "thin")),
    Check("POT16", "spindle", "ard", ("shaft_diameter", "shaft_length", "shaft_style"), _spindle, _say_spindle, change=True,
          may=("pass", "thin")),
    Check("POT17", "bush", "p11", ("bush_diameter", "bush_length"), _bush, _say_bush, unit="m", change=True, may=("pass", "thin")),
    Check("POT18", "open wiper", "practice", ("condition",), _wiper, _say_wiper, wall=True, missing=Missing.LOOK, reading="wiring",
          may=("pass", "unknown", "fail")),
)  # fmt: skip
