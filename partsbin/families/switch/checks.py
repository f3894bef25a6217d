"""The checks of a switch, over arrays of options. On the mains and at HT only a mark counts."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from partsbin.checks import Check, Columns, Finding, Missing, Numbers, Outcome, Ruling, at_most, outcomes
from partsbin.families._contacts import PROOF, proven, say_ac, say_proven
from partsbin.needs import Need
from partsbin.words import say, volts

Row = Mapping[str, Any]


def _pole_count(need: Need, c: Columns) -> Ruling:
    wanted = np.full(len(c["poles"]), need.number("poles"))
    unknown = np.isnan(c["poles"])
    with np.errstate(invalid="ignore"):
        return Ruling(outcomes(len(wanted), fail=c["poles"] < wanted, unknown=unknown), c["poles"], wanted)


def _say_poles(need: Need, f: Finding, row: Row) -> str:
    wanted = need.number("poles")
    if f.verdict == "unknown":
        return f"poles not known, {wanted:.0f} wanted"
    has = "1 pole" if row["poles"] == 1 else f"{row['poles']:.0f} poles"
    if f.verdict == "pass":
        return f"{has}, {wanted:.0f} wanted"
    why = ": switched off, the chassis can stay at the mains" if need.has("live") else ""
    return f"{has}, {wanted:.0f} needed{why}"


def _ac(need: Need, c: Columns) -> Ruling | None:
    return at_most(need.number("mains"), c["voltage_ac"], missing=Outcome.FAIL) if need.has("mains") else None


def _say_ac(need: Need, f: Finding, row: Row) -> str:
    if math.isnan(row["voltage_ac"]):
        return f"no AC rating marked, {volts(need.number('mains'))} mains: nothing but the mark tells"
    return say_ac(row["voltage_ac"], need.number("mains"), f.verdict == "fail")


def _dc(need: Need, c: Columns) -> Ruling | None:
    if need.rules.of(need.position, "stress") != "ht":
        return None
    peak, rated = need.number("off_load_peak"), c["voltage_dc"]
    if math.isnan(peak):
        n = len(rated)
        return Ruling(outcomes(n, fail=np.isnan(rated), unknown=~np.isnan(rated)), rated, np.full(n, peak))
    return at_most(peak, rated, thin_above=need.rules.general("thin_volts"), missing=Outcome.FAIL)


def _say_dc(need: Need, f: Finding, row: Row) -> str:
    peak = need.number("off_load_peak")
    wanted = "HT not known" if math.isnan(peak) else f"{volts(peak)} HT off load"
    if math.isnan(row["voltage_dc"]):
        return f"no DC rating marked, {wanted}: an AC rating says nothing of the arc"
    return f"{volts(row['voltage_dc'])} DC marked, {wanted}"


def _breaks(need: Need, c: Columns) -> Numbers:
    """Amperes of the kind of current there is: HT is direct, the mains alternate, of signals nobody knows."""
    direct: Numbers = np.where(np.isnan(c["current_dc"]), c["current"], c["current_dc"])
    if need.has("mains"):
        return c["current"]
    return direct if need.rules.of(need.position, "stress") == "ht" else np.fmin(c["current"], direct)


def _amperes(need: Need, c: Columns) -> Ruling:
    """Amperes of the set with room for its cold start; as many as the dead one's, and nothing is asked beyond.

    What the set draws is not known where only the dead one's mark is: a lesser switch may do, once it is. Small signals pass
    through contacts that nobody ever marks.
    """
    rated, flows, dead = _breaks(need, c), need.number("current"), need.number("as_marked")
    wall = need.has("mains") or need.rules.of(need.position, "stress") == "ht"
    blank = np.isnan(rated)
    slight = not wall and flows <= need.rules.general("unmarked_most")
    never = np.zeros(len(rated), bool)
    with np.errstate(invalid="ignore"):
        over = rated < flows * (1 - 1e-9)
        short = rated < dead * (1 - 1e-9)
        tight = (flows > need.rules.general("thin_current") * rated) & ~(rated >= dead)
        margin = (rated - flows) / rated
    fail = over | blank if wall else over
    return Ruling(
        outcomes(len(rated), fail=fail, thin=tight, unknown=short | (never if slight or wall else blank)),
        rated,
        np.full(len(rated), flows if math.isnan(dead) else dead),
        margin,
    )


def _say_amperes(need: Need, f: Finding, row: Row) -> str:
    dead = need.number("as_marked")
    wanted = f"{say(need.number('current'), 'A')} to switch"
    has = f.offered if isinstance(f.offered, float) else math.nan
    if math.isnan(has):
        return (
            f"no current marked: any contact carries the {say(need.number('current'), 'A')} of signals"
            if f.verdict == "pass"
            else (f"no current marked, {wanted}")
        )
    text = f"{say(has, 'A')} marked" if math.isnan(row["current_dc"]) else f"{say(has, 'A')} marked for this current"
    if f.verdict == "unknown":
        return f"{text}, {say(dead, 'A')} on the dead one: what the set draws is not known"
    if f.verdict == "pass" and not math.isnan(dead):
        return f"{text}, {say(dead, 'A')} on the dead one"
    room = ": little room for the surge at switch-on" if f.verdict == "thin" else ""
    return f"{text}, {wanted}{room}"


def _proven(need: Need, c: Columns) -> Ruling:
    """Used contacts are read before they go in; where small signals pass, those out of a set, and their resistance alone."""
    if need.rules.of(need.position, "stress") != "signal":
        return proven(need.rules, c, np.ones(len(c["contact"]), bool))
    unknown = (c["condition"] == "salvaged") & np.isnan(c["contact"])
    most = need.rules.general("contact_most")
    with np.errstate(invalid="ignore"):
        bad, thin = c["contact"] > 10 * most, c["contact"] > most
    n = len(unknown)
    return Ruling(
        outcomes(n, fail=bad, thin=thin, unknown=unknown), c["condition"], np.full(n, "contacts read", object)
    )


def _say_proven(need: Need, f: Finding, row: Row) -> str:
    if f.verdict == "unknown" and need.rules.of(need.position, "stress") == "signal":
        return "out of a set: contacts not read"
    return say_proven(need, f.verdict, row) or ("new" if row["condition"] == "new" else "never used")


def _same_action(need: Need, c: Columns) -> Ruling | None:
    if not need.has("action"):
        return None
    word = need.word("action")
    n = len(c["action"])
    other = np.array([text not in ("", word) for text in c["action"]], dtype=bool)
    return Ruling(outcomes(n, fail=np.zeros(n, bool), thin=other), c["action"], np.full(n, word, object))


def _say_action(need: Need, f: Finding, row: Row) -> str:
    was = need.word("action")
    return (
        f"{row['action']} for a {was}: another hole"
        if f.verdict == "thin"
        else f"{row['action'] or was}, as the dead one"
    )


def _stays(need: Need, c: Columns) -> Ruling | None:
    """Mains and HT are switched by what stays where it is put: a spring opens, or closes, when nobody expects it."""
    if need.rules.of(need.position, "stress") == "signal" or need.word("action") == "momentary":
        return None
    springs = c["action"] == "momentary"
    n = len(springs)
    return Ruling(outcomes(n, fail=springs), c["action"], np.full(n, "stays", object))


def _say_stays(need: Need, f: Finding, row: Row) -> str:
    return "momentary: springs back when let go" if f.verdict == "fail" else "stays where it is put"


CHECKS = (
    Check("SWI01", "poles", "practice", ("poles",), _pole_count, _say_poles, wall=True, missing=Missing.LOOK, reading="poles",
          may=("pass", "unknown", "fail")),
    Check("SWI02", "AC volts", "practice", ("voltage_ac",), _ac, _say_ac, unit="V", wall=True, may=("pass", "thin", "fail")),
    Check("SWI03", "DC volts", "practice", ("voltage_dc",), _dc, _say_dc, unit="V", wall=True, reading="rail"),
    Check("SWI04", "current", "practice", ("current", "current_dc"), _amperes, _say_amperes, unit="A", wall=True, missing=Missing.LOOK,
          reading="current"),
    Check("SWI05", "contacts", "practice", ("condition", *PROOF), _proven, _say_proven,
          missing=Missing.MEASURE, reading="contacts"),
    Check("SWI06", "action", "practice", ("action",), _same_action, _say_action, change=True, may=("pass", "thin")),
    Check("SWI07", "stays", "practice", ("action",), _stays, _say_stays, may=("pass", "fail")),
)  # fmt: skip
