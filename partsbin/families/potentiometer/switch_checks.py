"""The checks of a control's mains switch, over arrays of options. On the mains only a mark counts, on a live chassis two poles.

The ways out are said where a switch fails: a control without a switch, and a separate two-pole switch beside it.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np
import numpy.typing as npt

from partsbin.checks import Check, Columns, Finding, Missing, Ruling, outcomes
from partsbin.families._contacts import PROOF, proven, say_ac, say_proven
from partsbin.families.potentiometer.need import NONE, UNSAID, WANTED, wanted_switch
from partsbin.needs import Need
from partsbin.words import say, volts

Row = Mapping[str, Any]
Mask = npt.NDArray[np.bool_]
UNWIRED = "its switch stays unwired, and is cut off or sealed"


def _mode(need: Need) -> str:
    return need.word("switch")


def _has_switch(c: Columns) -> Mask:
    """Rows of which a switch is known, whatever its poles."""
    known: Mask = (c["switched"] == 1.0) | (c["switch_poles"] >= 1.0)
    return known


def _no_switch(c: Columns) -> Mask:
    none: Mask = (c["switch_poles"] == 0.0) | ((c["switched"] == 0.0) & np.isnan(c["switch_poles"]))
    return none


def _poles(need: Need, c: Columns) -> Ruling:
    """Two poles on a live chassis; no switch at all is a change, since a separate one takes its place.

    A single pole in the neutral leaves the chassis at the mains through the heaters (pjl, nost37); breaking both takes a
    double-pole switch with its gap (diya). Behind a transformer one pole in the live lead is common practice.
    """
    poles, switch, mode, live = c["switch_poles"], _has_switch(c), _mode(need), need.has("live")
    n = len(poles)
    never = np.zeros(n, bool)
    wanted = need.number("poles") if mode == WANTED else 2.0 if live else 0.0
    single, blank = poles == 1.0, np.isnan(poles)
    if mode == WANTED:
        short = single & (wanted == 2.0)
        fail = short if live else never
        thin = _no_switch(c) | (never if live else short)
        unknown = blank & ~_no_switch(c)
    elif live:
        fail = single if mode == UNSAID else never
        thin = single if mode == NONE else never
        unknown = switch & blank
    else:
        fail, thin, unknown = never, never, never
    return Ruling(outcomes(n, fail=fail, thin=thin, unknown=unknown), poles, np.full(n, wanted))


def _say_poles(need: Need, f: Finding, row: Row) -> str:
    poles, mode = row["switch_poles"], _mode(need)
    if f.verdict == "unknown":
        asked = f"{wanted_switch(need)} wanted" if mode == WANTED else "two wanted on a live chassis"
        return (
            f"poles of its switch not known, {asked}"
            if row["switched"] == 1.0
            else f"whether it has a switch is not known, {asked}"
        )
    if f.verdict == "fail":
        way_out = "way out: a control without a switch, and a separate two-pole one"
        other = "; write 'no switch' if the dead part had none" if mode == UNSAID else ""
        return f"ONE pole, two needed: switched off, the chassis can stay at the mains; {way_out}{other}"
    if mode == WANTED and f.verdict == "thin":
        if poles == 1.0:
            return "one pole for two: in the live lead, with the fuse before it"
        return f"no switch: a separate one beside it ({wanted_switch(need)}), new hole"
    has = {0.0: "no switch", 1.0: "one pole", 2.0: "two poles"}.get(poles, "no switch marked")
    if mode == WANTED:
        return f"{has}, as wanted"
    return has if poles == 0.0 or row["switched"] != 1.0 else f"{has}: {UNWIRED}"


def _rating(need: Need, c: Columns, rating: npt.NDArray[np.float64], stress: float, thin_above: float) -> Ruling:
    """A mark that no reading can replace: without it a switch fails where it carries the mains, or may have to."""
    mode, switch, live = _mode(need), _has_switch(c), need.has("live")
    n = len(rating)
    never = np.zeros(n, bool)
    with np.errstate(invalid="ignore"):
        bad = switch & ~(rating >= stress)
        tight = switch & ((rating == stress) | (stress > thin_above * rating))
    strict = mode == WANTED or (mode == UNSAID and live)
    unknown = np.isnan(c["switched"]) & np.isnan(c["switch_poles"]) if mode == WANTED else never
    result = outcomes(n, fail=bad if strict else never, thin=tight if strict else bad, unknown=unknown)
    return Ruling(result, rating, np.full(n, stress))


def _ac(need: Need, c: Columns) -> Ruling | None:
    if _mode(need) == NONE:
        return None
    return _rating(need, c, c["switch_ac"], need.number("mains"), 1.0)


def _say_ac(need: Need, f: Finding, row: Row) -> str:
    mains = f"{volts(need.number('mains'))} mains"
    if f.verdict == "unknown":
        return f"whether it has a switch is not known, {mains}"
    if not (row["switched"] == 1.0 or row["switch_poles"] >= 1.0):
        return "no switch to be rated"
    tail = "" if _mode(need) == WANTED or f.verdict in ("fail", "pass") else f": {UNWIRED}"
    if math.isnan(row["switch_ac"]):
        direct = "" if math.isnan(row["switch_dc"]) else f", {volts(row['switch_dc'])} DC alone"
        return f"no AC rating on its switch{direct}, {mains}: nothing but the mark tells{tail}"
    return f"switch {say_ac(row['switch_ac'], need.number('mains'), f.verdict == 'fail')}{tail}"


def _amperes(need: Need, c: Columns) -> Ruling | None:
    """Amperes of the set, and what its cold start draws for a moment."""
    if _mode(need) != WANTED:
        return None
    ruling = _rating(need, c, c["switch_current"], need.number("switch_current"), need.rules.general("thin_current"))
    if need.has("surge"):
        with np.errstate(invalid="ignore"):
            surge = need.number("surge") > need.rules.general("surge_times") * c["switch_current"]
        ruling.outcome[surge & (ruling.outcome == 0)] = 1
    return ruling


def _say_amperes(need: Need, f: Finding, row: Row) -> str:
    wanted = f"{say(need.number('switch_current'), 'A')} to switch"
    if f.verdict == "unknown":
        return f"whether it has a switch is not known, {wanted}"
    if not (row["switched"] == 1.0 or row["switch_poles"] >= 1.0):
        return "no switch to be rated"
    if math.isnan(row["switch_current"]):
        return f"no current marked on its switch, {wanted}: nothing but the mark tells"
    text = f"switch {say(row['switch_current'], 'A')}, {wanted}"
    borne = need.rules.general("surge_times") * row["switch_current"]
    if need.number("surge") > borne and f.verdict != "fail":
        return f"{text}; switch-on {say(need.number('surge'), 'A')}, about {say(borne, 'A')} borne: fit a surge limiter"
    return f"{text}: little room for the surge at switch-on" if f.verdict == "thin" else text


def _contacts(need: Need, c: Columns) -> Ruling | None:
    """A used switch on the mains: contacts and insulation are read before it goes in."""
    return proven(need.rules, c, ~_no_switch(c)) if _mode(need) == WANTED else None


def _say_contacts(need: Need, f: Finding, row: Row) -> str:
    new = "new" if row["condition"] == "new" else "no switch to be read"
    return say_proven(need, f.verdict, row, " of its switch") or new


CHECKS = (
    Check("POT11", "poles of the switch", "pjl", ("switch_poles", "switched"), _poles, _say_poles, wall=True, missing=Missing.LOOK,
          reading="poles", change=True),
    Check("POT12", "volts of the switch", "sanni", ("switch_poles", "switched", "switch_ac", "switch_dc"), _ac, _say_ac, unit="V",
          wall=True, reading="poles"),
    Check("POT13", "amperes of the switch", "omegsw", ("switch_poles", "switched", "switch_current"), _amperes, _say_amperes, unit="A",
          wall=True, reading="poles"),
    Check("POT14", "contacts", "practice",
          ("switch_poles", "switched", "condition", *PROOF), _contacts, _say_contacts,
          missing=Missing.MEASURE, reading="contacts"),
)  # fmt: skip
