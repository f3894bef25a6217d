"""What leakage does: to the next grid, to an AGC line, to a supply. Judged at both ends of a reading, at working volts only."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from partsbin.checks import Check, Columns, Finding, Missing, Outcome, Ruling, outcomes, straddling
from partsbin.circuit.leakage import grid_shift, leakage_limit_old, leakage_limit_two_minutes
from partsbin.families.capacitor.facts import WET
from partsbin.needs import Need
from partsbin.words import say, volts

Row = Mapping[str, Any]
ENOUGH = 0.8  # a leak shows at working volts, not at ten: less than this share of them proves nothing
AGC_VOLTS = 20.0  # an AGC line reaches about this on a strong station
_GUARD = 1 + 1e-9  # a new part stands exactly on its data sheet's limit


def least_rating(need: Need) -> float:
    """Return the most volts that the need puts on the part, NaN where they are not known [V]."""
    known = [need.number(name) for name in ("off_load_peak", "running_peak", "original_volts")]
    return float(np.fmax.reduce(known))


def _kind(need: Need) -> str:
    return str(need.rules.of(need.position, "leakage"))


def _weak(c: Columns, working: Any) -> Any:
    """Readings taken at too few volts; a new part's floor holds at its rated volts."""
    return (c["condition"] != "new") & ~(c["insulation_volts"] >= ENOUGH * working)


def _grid(need: Need, c: Columns) -> Ruling | None:
    if _kind(need) != "grid":
        return None
    anode, leak = need.number("anode"), need.number("grid_leak")
    worst, best = (grid_shift(anode, leak, c[name]) for name in ("insulation", "insulation_high"))
    fits, care = need.rules.general("grid_shift_fits"), need.rules.general("grid_shift_care")
    with np.errstate(invalid="ignore"):
        unknown = np.isnan(worst) | _weak(c, anode) | (worst > care)
        result = outcomes(len(worst), fail=best > care, thin=worst > fits, unknown=unknown)
    return Ruling(result, worst, np.full(len(worst), fits))


def _say_grid(need: Need, f: Finding, row: Row) -> str:
    limit = f"{need.rules.general('grid_shift_fits'):g} V allowed"
    leak = say(need.number("grid_leak"), "ohm")
    shift = f.ends[0]
    if f.verdict != "unknown":
        return f"leakage lifts the grid {say(shift, 'V')} through {leak}, {limit}"
    if math.isnan(need.number("anode")):
        return f"anode volts not known, so the grid shift is not: {limit}"
    if math.isnan(shift):
        return f"leakage not measured: {limit} on {leak}"
    if row["insulation_volts"] >= ENOUGH * need.number("anode"):
        return f"leakage lifts the grid up to {say(shift, 'V')} by a reading too coarse to tell, {limit}"
    return f"leakage read at {volts(row['insulation_volts'])} only, {volts(need.number('anode'))} stand on it: {limit}"


def _agc(need: Need, c: Columns) -> Ruling | None:
    if _kind(need) != "line":
        return None
    fits, care = (
        need.rules.general(name) * need.number("grid_leak") for name in ("line_ratio_fits", "line_ratio_care")
    )
    ruling = straddling(c["insulation"], c["insulation_high"], least=care, thin_below=fits)
    ruling.outcome[_weak(c, AGC_VOLTS / ENOUGH) & (ruling.outcome != Outcome.FAIL)] = Outcome.UNKNOWN
    return ruling


def _say_agc(need: Need, f: Finding, row: Row) -> str:
    wanted = say(need.rules.general("line_ratio_fits") * need.number("grid_leak"), "ohm")
    has = row["insulation"]
    if f.verdict == "unknown":
        return (
            f"insulation not measured, {wanted} wanted"
            if math.isnan(has)
            else f"insulation not read at {AGC_VOLTS:g} V or more, {wanted} wanted"
        )
    return f"insulation {say(has, 'ohm')}, {wanted} wanted on a {say(need.number('grid_leak'), 'ohm')} line"


def _supply(need: Need, c: Columns) -> Ruling | None:
    """Leakage at HT: an electrolytic by today's limit, with care by that of its day; anything else by its insulation."""
    if _kind(need) not in ("supply", "bypass"):
        return None
    wet = np.array([word in WET for word in c["dielectric"]], dtype=bool)
    rated, test, new = c["voltage_dc"], c["insulation_volts"], c["condition"] == "new"
    with np.errstate(invalid="ignore", divide="ignore"):
        worst, best = test / c["insulation"], test / c["insulation_high"]
        good = np.where(
            wet, leakage_limit_two_minutes(c["capacitance"], rated), test / need.rules.general("insulation_supply")
        )
        most = np.fmax(np.where(wet, leakage_limit_old(c["capacitance"], rated), good), good)
        unclear = (
            np.isnan(worst) | np.isnan(good) | _weak(c, np.fmin(rated, least_rating(need))) | (worst > most * _GUARD)
        )
        result = outcomes(len(worst), fail=best > most * _GUARD, thin=worst > good * _GUARD, unknown=unclear & ~new)
    return Ruling(result, worst, good)


def _say_supply(need: Need, f: Finding, row: Row) -> str:
    flow, good = f.ends[0], f.needed if isinstance(f.needed, float) else math.nan
    if f.verdict == "unknown":
        if math.isnan(flow):
            return "leakage not measured" + (": re-form it first" if row["dielectric"] == "electrolytic" else "")
        return (
            f"leakage up to {say(flow, 'A')} read at {volts(row['insulation_volts'])}: read it closer, at working volts"
        )
    if f.verdict == "pass" and row["condition"] == "new":
        return "new: leakage as its data sheet says"
    text = f"leaks {say(flow, 'A')}, {say(good, 'A')} allowed"
    if f.verdict != "thin":
        return text
    return f"{text} today, {say(float(leakage_limit_old(row['capacitance'], row['voltage_dc'])), 'A')} when it was made"


_ENDS = ("insulation", "insulation_high", "insulation_volts", "condition")
LEAKAGE_CHECKS = (
    Check("CAP12", "grid shift", "mef", _ENDS, _grid, _say_grid, unit="V", missing=Missing.MEASURE, reading="leakage"),
    Check("CAP13", "AGC line", "mef", _ENDS, _agc, _say_agc, unit="ohm", missing=Missing.MEASURE, reading="leakage"),
    Check(
        "CAP14", "leakage", "amr", (*_ENDS, "capacitance", "voltage_dc", "dielectric"), _supply, _say_supply,
        unit="A", missing=Missing.MEASURE, reading="leakage",
    ),
)  # fmt: skip
