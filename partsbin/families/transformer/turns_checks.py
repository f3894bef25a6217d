"""Checks of iron that is judged by its ratio: interstage, driver and isolating; and what interstage and driver iron needs beside."""

from __future__ import annotations

import math

import numpy as np

from partsbin.checks import Check, Columns, Finding, Missing, Outcome, Ruling, outcomes, within
from partsbin.circuit.output import bass_corner
from partsbin.families.transformer.other_needs import turns
from partsbin.families.transformer.winding_checks import Row, none
from partsbin.needs import Need
from partsbin.words import say

BY_RATIO = ("interstage", "driver", "isolating")


def _ratio(need: Need, c: Columns) -> Ruling | None:
    if need.position not in BY_RATIO:
        return None
    ruling = within(
        c["ratio"], c["ratio_low"], c["ratio_high"], c["measured"] == 1.0, need.window("fits"), need.window("care")
    )
    if need.has("ratio_assumed"):
        ruling.outcome[ruling.outcome != Outcome.PASS] = Outcome.UNKNOWN
    return ruling


def _say_ratio(need: Need, f: Finding, row: Row) -> str:
    wanted = turns(need.number("ratio"))
    if math.isnan(f.ends[0]):
        return f"ratio not known, {wanted} wanted"
    text = f"{turns(row['ratio'])}, {wanted} wanted"
    if f.verdict == "unknown":
        return f"{text}, which was assumed of the set"
    low, high = need.window("care")
    return f"{text}, {turns(high)} to {turns(low)} at the widest" if f.verdict == "fail" else text


def _inductance(need: Need, c: Columns) -> Ruling | None:
    """Little inductance costs bass and nothing else: unknown is no reason to refuse."""
    if need.position not in ("interstage", "driver"):
        return None
    inductance, n = c["primary_inductance"], len(c["primary_inductance"])
    corner = bass_corner(inductance, need.number("source_ohm"), math.inf)
    most = need.rules.general("bass_corner")
    with np.errstate(invalid="ignore"):
        thin = corner > most
    return Ruling(outcomes(n, fail=none(n), thin=thin), corner, np.full(n, most))


def _say_inductance(need: Need, f: Finding, row: Row) -> str:
    source = say(need.number("source_ohm"), "ohm")
    if math.isnan(row["primary_inductance"]):
        return f"primary inductance not known: with {source} before it only the bass depends on it"
    text = f"{say(row['primary_inductance'], 'H')} after {source}: 3 dB down at {say(f.ends[0], 'Hz')}"
    return (
        f"{text}, {say(need.rules.general('bass_corner'), 'Hz')} wanted: little bass" if f.verdict == "thin" else text
    )


def _copper(need: Need, c: Columns) -> Ruling | None:
    if need.position != "driver":
        return None
    ohms, most, n = c["secondary_resistance"], need.rules.general("secondary_most"), len(c["secondary_resistance"])
    with np.errstate(invalid="ignore"):
        thin = ohms > most
    unknown = np.isnan(ohms) & (c["condition"] != "new")
    return Ruling(outcomes(n, fail=none(n), thin=thin, unknown=unknown), ohms, np.full(n, most))


def _say_copper(need: Need, f: Finding, row: Row) -> str:
    most = say(need.rules.general("secondary_most"), "ohm")
    if math.isnan(row["secondary_resistance"]):
        return f"secondary resistance not {'stated' if f.verdict == 'pass' else 'measured'}, {most} at most for grid current"
    text = f"secondary {say(row['secondary_resistance'], 'ohm')}, {most} at most for grid current"
    return f"{text}: peaks flatten" if f.verdict == "thin" else text


CHECKS = (
    Check("TRF23", "ratio", "practice", ("ratio", "ratio_low", "ratio_high", "measured"), _ratio, _say_ratio, unit="-",
          missing=Missing.MEASURE, reading="ratio"),
    Check("TRF24", "bass", "amwindow-transformers", ("primary_inductance",), _inductance, _say_inductance, unit="Hz",
          missing=Missing.ASSUME, may=("pass", "thin")),
    Check("TRF25", "secondary copper", "practice", ("secondary_resistance", "condition"), _copper, _say_copper, unit="ohm",
          missing=Missing.MEASURE, reading="secondary_resistance", may=("pass", "thin", "unknown")),
)  # fmt: skip
