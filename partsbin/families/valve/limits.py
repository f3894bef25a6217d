"""Checks of limits: heater to cathode, dissipation, anode volts; of a rectifier current, volts and series resistance.

A valve of the dead one's own kind is not refused over a limit that the set has always passed: it is flagged. Another one is.
"""

from __future__ import annotations

import math

import numpy as np

from partsbin.checks import Check, Columns, Finding, Missing, Numbers, Ruling, outcomes
from partsbin.families.valve.plugged import Mask, Row, like, memory, none, related
from partsbin.needs import Need
from partsbin.reference.substitutes import rectifier_limits
from partsbin.reference.valves import valve
from partsbin.words import say, volts

THIN = 0.95  # share of a limit beyond which the margin is thin


def _limit(stress: float, rating: Numbers, alike: Mask, *, hard: Mask | None = None) -> Ruling:
    """Judge a stress: another valve fails above its limit, the dead one's like is flagged there, and fails where `hard` says."""
    with np.errstate(invalid="ignore", divide="ignore"):
        over = stress > rating
        thin = (stress >= rating) | (~alike & (stress > THIN * rating))
        margin = (rating - stress) / rating
    fail = over & ~alike if hard is None else (over & ~alike) | hard
    n = len(rating)
    unknown = (np.isnan(rating) | math.isnan(stress)) & ~alike
    return Ruling(outcomes(n, fail=fail, thin=thin, unknown=unknown), rating, np.full(n, stress), margin)


def _figure(value: float, unit: str) -> str:
    return "limit not known here" if math.isnan(value) else say(value, unit)


# ---- heater to cathode


def _heater_cathode(need: Need, c: Columns) -> Ruling | None:
    if not need.has("common_heater"):
        return None
    alike, has = like(need, c["type"]), c["heater_cathode"]
    running = need.number("running_peak")
    with np.errstate(invalid="ignore"):
        hard = running > has
    cold = need.number("off_load_peak")
    return _limit(cold, has, alike, hard=hard if not math.isnan(running) else none(len(has)))


def _say_heater_cathode(need: Need, f: Finding, row: Row) -> str:
    limit, cold, running = row["heater_cathode"], need.number("off_load_peak"), need.number("running_peak")
    found = rectifier_limits(row["type"]) if row["type"] else None
    doubt = " (from memory)" if found is not None and found.heater_cathode_standing == "memory" else ""
    has = f"heater to cathode {_figure(limit, 'V')}{doubt}"
    if math.isnan(cold):
        return f"{has}, HT not known" + (": as it was with the dead one" if f.verdict == "pass" else "")
    if limit == 0:
        return f"{has}, joined: {volts(cold)} HT: a winding of its own, or it shorts the HT"
    if math.isnan(limit):
        return f"{has}, {volts(cold)} HT" + (": as it was with the dead one" if f.verdict == "pass" else "")
    if f.verdict == "thin" and running <= limit < cold:
        return f"{has}, {volts(running)} running, {volts(cold)} if nothing loads it: as it was with the dead one"
    way_out = ": a heater winding of its own takes it away" if f.verdict == "fail" else ""
    return f"{has}, {volts(cold)} off load, heater on the common winding{way_out}"


# ---- dissipation and anode volts


def _dissipation(need: Need, c: Columns) -> Ruling | None:
    if not need.has("dissipation"):
        return None
    has, alike = c["dissipation"], like(need, c["type"])
    rated, working = need.number("dissipation"), need.number("working")
    with np.errstate(invalid="ignore"):
        fail = (has < min(rated, rated if math.isnan(working) else working)) & ~alike
        thin = has < rated
        margin = (has - rated) / has
    n = len(has)
    return Ruling(outcomes(n, fail=fail, thin=thin, unknown=np.isnan(has) & ~alike), has, np.full(n, rated), margin)


def _say_dissipation(need: Need, f: Finding, row: Row) -> str:
    has, rated, working = row["dissipation"], need.number("dissipation"), need.number("working")
    said = f"anode {_figure(has, 'W')}{memory(row['type'], 'anode_dissipation_watts')}, the dead one {say(rated, 'W')}"
    if f.verdict == "pass":
        return said
    used = "" if math.isnan(working) else f", of which {say(working, 'W')} in use"
    cure = ": more cathode resistance, less current" if f.verdict == "thin" else ""
    return f"{said}{used}{cure}"


def _anode_volts(need: Need, c: Columns) -> Ruling | None:
    if not need.has("anode_volts"):
        return None
    return _limit(need.number("anode_volts"), c["anode_volts_max"], like(need, c["type"]))


def _say_anode_volts(need: Need, f: Finding, row: Row) -> str:
    has = f"anode bears {_figure(row['anode_volts_max'], 'V')}{memory(row['type'], 'anode_volts_max')}"
    over = row["anode_volts_max"] < need.number("anode_volts")
    note = ": it has always been so here, expect a short life" if f.verdict == "thin" and over else ""
    return f"{has}, {volts(need.number('anode_volts'))} rail{note}"


# ---- rectifiers


def _rectified(need: Need, c: Columns) -> Ruling | None:
    if not need.has("current"):
        return None
    return _limit(need.number("current"), c["rectified"], like(need, c["type"]))


def _say_rectified(need: Need, f: Finding, row: Row) -> str:
    has = f"rectifies {_figure(row['rectified'], 'A')}{memory(row['type'], 'rectifier_amperes_max')}"
    return f"{has}, {say(need.number('current'), 'A')} drawn"


def _winding(need: Need, c: Columns) -> Ruling | None:
    if not need.has("winding"):
        return None
    return _limit(need.number("winding"), c["volts_a_side"], like(need, c["type"]))


def _say_winding(need: Need, f: Finding, row: Row) -> str:
    has = f"bears {_figure(row['volts_a_side'], 'V')} a side{memory(row['type'], 'rectifier_volts_rms_max')}"
    return f"{has}, {volts(need.number('winding'))} there"


def series_ohm(type: str, winding: float) -> float:
    """Return the least resistance a side that a rectifier asks at those volts [ohm], NaN where nobody knows."""
    limits = rectifier_limits(type) if type else None
    found = limits.series_ohm(winding) if limits is not None and limits.series_ohm_at else None
    row = valve(type) if type else None
    if found is None and row is not None:
        found = row.rectifier_series_ohm_min
    return math.nan if found is None else found


def _series(need: Need, c: Columns) -> Ruling | None:
    """What each anode asks in series, so that the pulses into the reservoir stay within the cathode's peak."""
    if not need.has("winding"):
        return None
    winding, there = need.number("winding"), need.number("resistance")
    types = c["type"].tolist()
    table = {type: series_ohm(type, winding) for type in set(types)}
    asked = np.array([table[type] for type in types], dtype=np.float64)
    near = related(need, c["type"], "near")
    with np.errstate(invalid="ignore"):
        thin = asked > there if not math.isnan(there) else near & ~np.isnan(asked)
    return Ruling(outcomes(len(asked), fail=none(len(asked)), thin=thin), np.full(len(asked), there), asked)


def _say_series(need: Need, f: Finding, row: Row) -> str:
    winding, there = need.number("winding"), need.number("resistance")
    asked = series_ohm(row["type"], winding)
    if math.isnan(asked):
        return f"series resistance it asks at {volts(winding)} not known here"
    limits = rectifier_limits(row["type"])
    read = limits is not None and limits.series_ohm_at and limits.series_standing == "read"
    said = f"asks {say(asked, 'ohm')} a side at {volts(winding)}{'' if read else ' (from memory)'}"
    if math.isnan(there):
        return (
            f"{said}: read half the winding and make up what lacks"
            if f.verdict == "thin"
            else f"{said}, as the dead one"
        )
    lacks = f": add {say(asked - there, 'ohm')} in each anode lead" if f.verdict == "thin" else ""
    return f"{said}, {say(there, 'ohm')} there{lacks}"


LIMITS = (
    Check("VAL05", "heater to cathode", "tubeofile", ("type", "heater_cathode"), _heater_cathode, _say_heater_cathode, unit="V",
          wall=True, missing=Missing.LOOK, reading="sheet"),
    Check("VAL06", "dissipation", "maker-data-memory", ("type", "dissipation"), _dissipation, _say_dissipation, unit="W",
          missing=Missing.LOOK, reading="sheet"),
    Check("VAL07", "anode volts", "maker-data-memory", ("type", "anode_volts_max"), _anode_volts, _say_anode_volts, unit="V",
          wall=True, missing=Missing.LOOK, reading="sheet"),
    Check("VAL08", "rectified current", "maker-data-memory", ("type", "rectified"), _rectified, _say_rectified, unit="A", wall=True,
          missing=Missing.LOOK, reading="sheet"),
    Check("VAL09", "volts a side", "maker-data-memory", ("type", "volts_a_side"), _winding, _say_winding, unit="V", wall=True,
          missing=Missing.LOOK, reading="sheet"),
    Check("VAL10", "series resistance", "tubeofile", ("type",), _series, _say_series, unit="ohm", may=("pass", "thin"), change=True),
)  # fmt: skip
