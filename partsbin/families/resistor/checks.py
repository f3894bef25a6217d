"""The checks of a resistor, over arrays of options; the figures are in rules/resistor.toml."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from partsbin.checks import Check, Columns, Finding, Missing, Outcome, Ruling, at_most, one_of, outcomes, within
from partsbin.families.resistor.facts import FILMS
from partsbin.families.resistor.load import LOAD_CHECKS
from partsbin.families.resistor.safety import SAFETY_CHECKS
from partsbin.families.resistor.value import USUAL_SPREAD
from partsbin.needs import Need
from partsbin.words import listed, say, span

Row = Mapping[str, Any]
SOLD = FILMS | {"wirewound"}  # what is sold new without a word on its make: common practice, no source


def _rule(need: Need, name: str, default: Any = None) -> Any:
    return need.rules.of(need.position, name, default)


def _window(need: Need, c: Columns) -> Ruling:
    """Judge nominal or interval; an unmeasured interval that sticks out of the wider window must be read.

    Not so the few per cent of a new part whose value lies inside: they are a care. A heater chain is read all the same.
    """
    whole = (c["measured"] == 1.0) | bool(_rule(need, "critical", False))
    value, low, high = c["resistance"], c["resistance_low"], c["resistance_high"]
    fits, care = need.window("fits"), need.window("care")
    ruling = within(value, low, high, whole, fits, care)
    centre = within(value, value, value, whole, fits, care).outcome
    open_ = (ruling.outcome == Outcome.FAIL) & (centre < Outcome.UNKNOWN) & (c["measured"] != 1.0)
    ruling.outcome[open_] = Outcome.UNKNOWN
    if _rule(need, "stress") != "chain":
        new = np.array([word == "new" for word in c["condition"]], dtype=bool)
        with np.errstate(invalid="ignore"):
            ruling.outcome[open_ & new & (high <= value * USUAL_SPREAD * (1 + 1e-9))] = Outcome.THIN
    return ruling


def _value(need: Need, c: Columns) -> Ruling | None:
    return None if need.has("value_assumed") else _window(need, c)


def _say_value(need: Need, f: Finding, row: Row) -> str:
    fits, care = span(*need.window("fits"), "ohm"), span(*need.window("care"), "ohm")
    if math.isnan(row["resistance"]):
        return f"resistance not known, {fits} wanted"
    has = span(*f.ends, "ohm")
    if f.verdict == "pass":
        return f"{has} in {fits}"
    if f.verdict == "unknown":
        return f"{has} by its tolerance, {fits} wanted: read it"
    inside = _fits_nominal(need, row["resistance"])
    text = f"{has} by its tolerance against {fits}" if inside else f"{has} against {fits}{_effect(need, row)}"
    return text if f.verdict == "thin" else f"{text}; with care {care}"


def _fits_nominal(need: Need, ohms: float) -> bool:
    """Return whether the value as marked is in the window that fits, so that only its tolerance sticks out."""
    low, high = need.window("fits")
    return low <= ohms <= high


def _effect(need: Need, row: Row) -> str:
    """What another value does, where it can be said in a line."""
    more = row["resistance"] > need.number("ideal")
    words = {
        "cathode-bias": ("less current and less power", "more current, more heat"),
        "anode-load": ("more gain, lower anode volts", "less gain, higher anode volts"),
        "grid-leak": ("the grid drifts more easily", "loads the stage before"),
        "heater-dropper": ("heaters under their volts", "heaters over their volts"),
        "bleeder": ("slower to discharge", "draws more"),
        "x-discharge": ("slower to make the plug safe", "runs warmer"),
        "surge-limiter": ("a lower rail", "more surge in the rectifier"),
        "feedback": ("another gain", "another gain"),
    }.get(need.position)
    return "" if words is None else f": {words[0 if more else 1]}"


def _assumed(need: Need, c: Columns) -> Ruling | None:
    """Where the dead part's value is assumed, a part outside the window is not refused: the value must be known first."""
    if not need.has("value_assumed"):
        return None
    ruling = _window(need, c)
    ruling.outcome[ruling.outcome != Outcome.PASS] = Outcome.UNKNOWN
    return ruling


def _say_assumed(need: Need, f: Finding, row: Row) -> str:
    usual = span(*need.window("fits"), "ohm")
    has = "resistance not known" if math.isnan(row["resistance"]) else say(row["resistance"], "ohm")
    joined = " in the" if f.verdict == "pass" else ";"
    return f"{has}{joined} {usual} {'usual' if f.verdict == 'pass' else 'is usual'} here; the dead part's value is not known"


def _technology(need: Need, c: Columns) -> Ruling:
    """Judge the technology by position; a winding without inductance goes one step better than a plain one."""
    good, thin = frozenset(_rule(need, "technologies")), frozenset(_rule(need, "technologies_care", ()))
    ruling = one_of(c["technology"], good=good, thin=thin, needed=listed(_rule(need, "technologies")))
    if good | thin >= SOLD:  # a new one of a make that is not marked is a film or wire, and either serves
        bare = (c["technology"] == "") & (c["condition"] == "new")
        ruling.outcome[bare] = Outcome.PASS if good >= SOLD else Outcome.THIN
    quiet = (c["technology"] == "wirewound") & (c["non_inductive"] == 1.0)
    ruling.outcome[quiet & (ruling.outcome == Outcome.THIN)] = Outcome.PASS
    if _rule(need, "stress") == "rf":
        ruling.outcome[quiet & (ruling.outcome == Outcome.FAIL)] = Outcome.THIN
    if _rule(need, "safety"):
        ruling.outcome[(c["bridging"] == 1.0) & (ruling.outcome != Outcome.FAIL)] = Outcome.PASS
    if need.position == "x-discharge" and "string" in c:  # several in series: what is thin is one of them alone
        ruling.outcome[(ruling.outcome == Outcome.THIN) & (c["technology"] != "")] = Outcome.PASS
    return ruling


def _say_technology(need: Need, f: Finding, row: Row) -> str:
    word, wanted = row["technology"], f.needed
    if not word and f.verdict in ("pass", "thin"):
        custom = "" if f.verdict == "pass" else f"; {wanted} is the custom"
        return f"technology not marked: new, film or wire, either serves{custom}"
    if not word:
        return f"technology not known, {wanted} wanted: look at the body"
    if f.verdict == "pass":
        return f"{word} suits"
    if word == "wirewound" and f.verdict == "thin":
        return f"wirewound serves where its inductance does not matter; {wanted} wanted"
    why = {"wirewound": "its winding is a coil", "carbon-composition": "drifts upward, more so when hot"}.get(word, "")
    if need.position == "x-discharge" and f.verdict == "thin":
        return f"{word} alone across the mains: two in series of half the value are the custom, or {wanted}"
    if f.verdict == "thin":
        return f"{word} serves here with care" + (f": {why}" if why else f"; {wanted} is the custom")
    return f"{word} does not serve here" + (f", {why}" if why else "") + f"; {wanted} wanted"


def _drift(need: Need, c: Columns) -> Ruling:
    """Old composition climbs with the years, in the drawer as in the set; what nobody looked at is presumed composition."""
    climbs = (c["technology"] == "carbon-composition") | (c["technology"] == "")
    open_ = climbs & (c["condition"] != "new") & (c["measured"] != 1.0)
    words = np.where(c["measured"] == 1.0, "measured", "marked").astype(object)
    needed = np.full(len(open_), "measured if old composition", dtype=object)
    return Ruling(outcomes(len(open_), fail=np.zeros(len(open_), bool), unknown=open_), words, needed)


def _say_drift(need: Need, f: Finding, row: Row) -> str:
    if f.verdict == "pass":
        return "value as measured" if row["measured"] == 1.0 else "value as marked can be trusted"
    return f"old{' composition' if row['technology'] else ', technology not known'}: drifts upward, not measured"


def _warmth(need: Need, c: Columns) -> Ruling | None:
    if not need.facts.knows("ambient"):
        return None
    return at_most(need.number("ambient"), c["temperature_max"], thin_above=0.9)


def _room(need: Need, c: Columns) -> Ruling | None:
    if not need.has("space"):
        return None
    n, space = len(c["length"]), need.number("space")
    with np.errstate(invalid="ignore"):
        thin = c["length"] > space
    return Ruling(outcomes(n, fail=np.zeros(n, bool), thin=thin), c["length"], np.full(n, space))


def _body(need: Need, c: Columns) -> Ruling | None:
    """More watts always serve; a body several times the dead one's wants another way of mounting."""
    if not need.has("dead_watts") or need.has("space"):
        return None
    most = need.number("dead_watts") * need.rules.general("body_ratio")
    with np.errstate(invalid="ignore"):
        thin = c["power"] > most
    return Ruling(outcomes(len(thin), fail=np.zeros(len(thin), bool), thin=thin), c["power"], np.full(len(thin), most))


def _say_body(need: Need, f: Finding, row: Row) -> str:
    dead = say(need.number("dead_watts"), "W")
    if f.verdict == "pass":
        known = "its watts not known" if math.isnan(row["power"]) else say(row["power"], "W")
        return f"{known} for {dead}: no body so much larger that it wants another mounting"
    return f"{say(row['power'], 'W')} for {dead}: a larger body, find room and a firm mounting"


_VALUE = ("resistance", "resistance_low", "resistance_high", "measured", "condition")
CHECKS = (
    Check(
        "RES01", "value", "vrres", _VALUE, _value, _say_value,
        unit="ohm", missing=Missing.MEASURE, reading="resistance",
    ),
    Check(
        "RES02", "value, assumed", "practice", _VALUE, _assumed, _say_assumed,
        unit="ohm", missing=Missing.LOOK, reading="original", may=("pass", "unknown"),
    ),
    *LOAD_CHECKS,
    Check(
        "RES10", "technology", "taylor", ("technology", "non_inductive", "bridging", "condition"), _technology, _say_technology,
        missing=Missing.LOOK, reading="technology",
    ),
    Check(
        "RES11", "drift", "elecraft", ("technology", "condition", "measured"), _drift, _say_drift,
        missing=Missing.MEASURE, reading="resistance", may=("pass", "unknown"),
    ),
    *SAFETY_CHECKS,
    Check(
        "RES16", "temperature", "practice", ("temperature_max",), _warmth,
        lambda need, f, row: f"{row['temperature_max']:.0f} °C part in {need.number('ambient'):.0f} °C",
        unit="°C", missing=Missing.ASSUME, may=("pass", "thin", "fail"),
    ),
    Check(
        "RES17", "room", "practice", ("length",), _room,
        lambda need, f, row: (
            f"{say(row['length'], 'm')} long, room for {say(need.number('space'), 'm')}"
            + (": mount it elsewhere" if f.verdict == "thin" else "")
        ),
        unit="m", missing=Missing.ASSUME, change=True, may=("pass", "thin"),
    ),
    Check(
        "RES18", "body", "practice", ("power",), _body, _say_body,
        unit="W", missing=Missing.ASSUME, change=True, may=("pass", "thin"),
    ),
)  # fmt: skip
