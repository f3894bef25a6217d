"""The checks of a capacitor, over arrays of options; the figures are in rules/capacitor.toml."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from partsbin.checks import (
    Check,
    Columns,
    Finding,
    Missing,
    Outcome,
    Ruling,
    at_most,
    one_of,
    outcomes,
    straddling,
    within,
)
from partsbin.circuit.capacitors import corner_frequency
from partsbin.circuit.leakage import (
    grid_shift,
    leakage_limit_old,
    leakage_limit_two_minutes,
)
from partsbin.families._mains_checks import mains_checks, on_mains
from partsbin.families._volts_checks import RatedVolts
from partsbin.families.capacitor.facts import DIELECTRICS, PAPER, WET
from partsbin.needs import Need
from partsbin.sets import follow
from partsbin.words import listed, say, span, volts


def least_rating(need: Need) -> float:
    """Return the most volts that the need puts on the part, NaN where they are not known [V]."""
    known = [need.number(name) for name in ("off_load_peak", "running_peak", "original_volts")]
    return float(np.fmax.reduce(known))


def _rule(need: Need, name: str, default: Any = None) -> Any:
    return need.rules.of(need.position, name, default)


def _value_window(need: Need, c: Columns) -> Ruling:
    whole = (c["measured"] == 1.0) | bool(_rule(need, "critical", False))
    return within(
        c["capacitance"], c["capacitance_low"], c["capacitance_high"], whole, need.window("fits"), need.window("care")
    )


def _say_value(need: Need, f: Finding, row: Mapping[str, Any]) -> str:
    if f.verdict == "unknown":
        return f"capacitance not known, {span(*need.window('fits'), 'F')} wanted"
    has = span(*f.ends, "F")
    if f.verdict == "pass":
        return f"{has} in {span(*need.window('fits'), 'F')}"
    change = "; retrim the circuit" if _rule(need, "critical") and f.verdict == "thin" else ""
    text = f"{has} against {span(*need.window('fits'), 'F')}{_effect(need, row)}{change}"
    return text if f.verdict == "thin" else f"{text}; with care {span(*need.window('care'), 'F')}"


def _effect(need: Need, row: Mapping[str, Any]) -> str:
    """What another value does: ripple of a reservoir, corner of a coupling."""
    value, ideal = row["capacitance"], need.number("ideal")
    if need.has("ripple_original"):
        return f", ripple {follow.ripple(need.facts, value):.0f} V pp against {need.number('ripple_original'):.0f}"
    if need.position == "coupling" and need.has("grid_leak"):
        leak = need.number("grid_leak")
        return f", bass corner {corner_frequency(leak, value):.0f} Hz against {corner_frequency(leak, ideal):.0f}"
    return ""


def _running(need: Need, c: Columns) -> Ruling | None:
    peak = need.number("running_peak")
    if math.isnan(peak):
        return None
    factors = {name: need.rules.get("derating", name, need.rules.get("derating", "other")) for name in DIELECTRICS}
    derated = c["voltage_dc"] * np.array([factors[word] for word in c["dielectric"]], dtype=np.float64)
    with np.errstate(invalid="ignore"):
        result = outcomes(len(derated), fail=peak > c["voltage_dc"], thin=peak > derated, unknown=np.isnan(derated))
        margin = (derated - peak) / derated
    return Ruling(result, derated, np.full(len(derated), peak), margin)


def _say_running(need: Need, f: Finding, row: Mapping[str, Any]) -> str:
    rating, peak = row["voltage_dc"], need.number("running_peak")
    if f.verdict == "unknown":
        return f"rated volts not known, {volts(peak)} running"
    if f.verdict == "fail":
        return f"running {volts(peak)} over the rated {volts(rating)}"
    derated = f.offered if isinstance(f.offered, float) else math.nan
    word = "passes" if f.verdict == "pass" else "THIN"
    return f"running {volts(peak)} of {volts(derated)} ({derated / rating:.0%} of {volts(rating)}): {word}"


def _material(need: Need, c: Columns) -> Ruling:
    """Judge the dielectric by position; an approval across the mains stands for one that is not known."""
    good, thin = frozenset(_rule(need, "dielectrics")), frozenset(_rule(need, "dielectrics_care", ()))
    ruling = one_of(c["dielectric"], good=good, thin=thin, needed=listed(_rule(need, "dielectrics")))
    if on_mains(need):
        ruling.outcome[(c["dielectric"] == "") & (c["safety_class"] != "")] = Outcome.PASS
    return ruling


def _say_material(need: Need, f: Finding, row: Mapping[str, Any]) -> str:
    if f.verdict == "unknown":
        return "dielectric not known: look at the body"
    if not f.offered:
        return "approved, whatever the dielectric"
    word = {"pass": "suits", "thin": "serves here with less stability", "fail": "does not serve here"}[f.verdict]
    return f"{f.offered} {word}" + ("" if f.verdict == "pass" else f"; {f.needed} wanted")


def _paper(need: Need, c: Columns) -> Ruling:
    words, old = c["dielectric"], c["condition"] != "new"
    papers = np.array([word in PAPER for word in words], dtype=bool)
    presumed = (words == "") & old & ~(c["capacitance"] < 1e-9) & ~(c["capacitance"] > 2e-6)
    result = outcomes(
        len(words), fail=papers | (presumed & (c["mounting"] == "axial")), unknown=presumed & (c["mounting"] != "axial")
    )
    return Ruling(result, words, np.full(len(words), "no waxed or moulded paper", dtype=object))


def _say_paper(need: Need, f: Finding, row: Mapping[str, Any]) -> str:
    if f.verdict == "fail":
        return f"{row['dielectric'] or 'an old tubular of unknown dielectric, presumed paper'}: leaks, never re-used"
    return "not paper" if f.verdict == "pass" else "old, dielectric not known: presumed paper until looked at"


def _shift(need: Need, c: Columns) -> Ruling | None:
    if _rule(need, "leakage") != "grid":
        return None
    shift = grid_shift(need.number("anode"), need.number("grid_leak"), c["insulation"])
    fits, care = need.rules.general("grid_shift_fits"), need.rules.general("grid_shift_care")
    with np.errstate(invalid="ignore"):
        weak = (c["condition"] != "new") & ~(c["insulation_volts"] >= 0.5 * need.number("anode"))
        result = outcomes(
            len(shift), fail=shift > care, thin=shift > fits, unknown=np.isnan(shift) | (weak & (shift <= care))
        )
    return Ruling(result, shift, np.full(len(shift), fits))


def _say_shift(need: Need, f: Finding, row: Mapping[str, Any]) -> str:
    limit = f"{need.rules.general('grid_shift_fits'):g} V allowed"
    if f.verdict == "unknown":
        if math.isnan(need.number("anode")):
            return f"anode volts not known, so the grid shift is not: {limit}"
        if not math.isnan(row["insulation"]):
            return f"leakage read at {volts(row['insulation_volts'])} only, {volts(need.number('anode'))} stand on it: {limit}"
        return f"leakage not measured: {limit} on {say(need.number('grid_leak'), 'ohm')}"
    shift = f.offered if isinstance(f.offered, float) else math.nan
    return f"leakage lifts the grid {say(shift, 'V')} through {say(need.number('grid_leak'), 'ohm')}, {limit}"


def _agc_line(need: Need, c: Columns) -> Ruling | None:
    if _rule(need, "leakage") != "line":
        return None
    fits, care = (
        need.rules.general(name) * need.number("grid_leak") for name in ("line_ratio_fits", "line_ratio_care")
    )
    return straddling(c["insulation"], c["insulation"], least=care, thin_below=fits)


def _say_line(need: Need, f: Finding, row: Mapping[str, Any]) -> str:
    wanted = say(need.rules.general("line_ratio_fits") * need.number("grid_leak"), "ohm")
    if f.verdict == "unknown":
        return f"insulation not measured, {wanted} wanted"
    return (
        f"insulation {say(row['insulation'], 'ohm')}, {wanted} wanted on a {say(need.number('grid_leak'), 'ohm')} line"
    )


def _supply_leakage(need: Need, c: Columns) -> Ruling | None:
    """Leakage at HT: an electrolytic by today's limit, with care by that of its day; anything else by its insulation."""
    if _rule(need, "leakage") not in ("supply", "bypass"):
        return None
    wet = np.array([word in WET for word in c["dielectric"]], dtype=bool)
    rated, test, new = c["voltage_dc"], c["insulation_volts"], c["condition"] == "new"
    with np.errstate(invalid="ignore", divide="ignore"):
        flow = test / c["insulation"]
        dry_limit = test / need.rules.general("insulation_supply")
        good = np.where(wet, leakage_limit_two_minutes(c["capacitance"], rated), dry_limit)
        most = np.fmax(np.where(wet, leakage_limit_old(c["capacitance"], rated), good), good)
        weak = ~new & ~(test >= 0.8 * np.fmin(rated, least_rating(need)))  # a leak shows at working volts, not at ten
        unknown = (np.isnan(flow) | np.isnan(good) | weak) & ~new
        result = outcomes(len(flow), fail=flow > most * _GUARD, thin=flow > good * _GUARD, unknown=unknown)
    return Ruling(result, flow, good)


_GUARD = 1 + 1e-9  # a new part stands exactly on its data sheet's limit


def _say_supply(need: Need, f: Finding, row: Mapping[str, Any]) -> str:
    flow, good = f.ends[0], f.needed if isinstance(f.needed, float) else math.nan
    if f.verdict == "unknown":
        if not math.isnan(flow):
            return f"leakage read at {volts(row['insulation_volts'])} only: read it at working volts"
        return "leakage not measured" + (": re-form it first" if row["dielectric"] == "electrolytic" else "")
    if f.verdict == "pass" and row["condition"] == "new":
        return "new: leakage as its data sheet says"
    text = f"leaks {say(flow, 'A')}, {say(good, 'A')} allowed"
    if f.verdict != "thin":
        return text
    return f"{text} today, {say(float(leakage_limit_old(row['capacitance'], row['voltage_dc'])), 'A')} when it was made"


def _polarity(need: Need, c: Columns) -> Ruling | None:
    if _rule(need, "stress") not in ("ac", "mains", "isolation", "piv"):
        return None
    result = outcomes(len(c["polarised"]), fail=c["polarised"] == 1.0, unknown=np.isnan(c["polarised"]))
    words = np.where(c["polarised"] == 1.0, "polarised", np.where(c["polarised"] == 0.0, "not polarised", "")).astype(
        object
    )
    return Ruling(result, words, np.full(len(words), "not polarised", dtype=object))


def _say_polarity(need: Need, f: Finding, row: Mapping[str, Any]) -> str:
    return {
        "pass": "not polarised",
        "unknown": "polarised or not is not known, AC stands on it: look at the marking",
    }.get(f.verdict, "polarised: AC stands on it")


def _proven(need: Need, c: Columns) -> Ruling:
    wet = np.array([word in WET for word in c["dielectric"]], dtype=bool)
    old = wet & (c["condition"] != "new") & (c["measured"] != 1.0)
    words = np.where(c["measured"] == 1.0, "measured", "marked").astype(object)
    return Ruling(
        outcomes(len(wet), fail=np.zeros(len(wet), bool), unknown=old),
        words,
        np.full(len(wet), "measured if old", dtype=object),
    )


def _ripple(need: Need, c: Columns) -> Ruling | None:
    """Ripple current of a reservoir: an electrolytic without a rating was given a floor; film bears what there is."""
    flow = follow.ripple_current(need.facts)
    if need.position != "reservoir" or math.isnan(flow):
        return None
    ruling = at_most(flow, c["ripple_current"], thin_above=need.rules.general("thin_above"))
    film = np.array([word.startswith("film") for word in c["dielectric"]], dtype=bool)
    unrated = np.isnan(c["ripple_current"])
    ruling.outcome[unrated & film] = Outcome.PASS
    ruling.outcome[unrated & ~film] = Outcome.THIN
    return ruling


def _say_ripple(need: Need, f: Finding, row: Mapping[str, Any]) -> str:
    flow = f.needed if isinstance(f.needed, float) else math.nan
    if math.isnan(row["ripple_current"]):
        return f"ripple current {say(flow, 'A')}, rating not known"
    return f"ripple current {say(flow, 'A')} of {say(row['ripple_current'], 'A')}"


def _warmth(need: Need, c: Columns) -> Ruling | None:
    if not need.has("ambient"):
        return None
    return at_most(need.number("ambient"), c["temperature_max"], thin_above=0.9)


def _string(need: Need, c: Columns) -> Ruling:
    """Capacitors in series share DC by their leakage: without resistors across them the tightest takes most."""
    several = c["series"] > 1
    n = len(several)
    return Ruling(outcomes(n, fail=np.zeros(n, bool), thin=several), c["series"], np.full(n, 1.0))


def _room(need: Need, c: Columns) -> Ruling | None:
    if not need.has("space"):
        return None
    n, space = len(c["length"]), need.number("space")
    with np.errstate(invalid="ignore"):
        thin = c["length"] > space
    return Ruling(outcomes(n, fail=np.zeros(n, bool), thin=thin), c["length"], np.full(n, space))


CHECKS = (
    Check(
        "CAP01",
        "value",
        "practice",
        ("capacitance", "capacitance_low", "capacitance_high", "measured"),
        _value_window,
        _say_value,
        unit="F",
        missing=Missing.MEASURE,
        reading="capacitance",
    ),
    *RatedVolts("voltage_dc").checks("CAP02", "CAP04", "CAP05"),
    Check(
        "CAP03",
        "running peak",
        "radexp",
        ("voltage_dc", "dielectric"),
        _running,
        _say_running,
        unit="V",
        missing=Missing.LOOK,
        reading="voltage_dc",
    ),
    *mains_checks("CAP06", "CAP07", "CAP08", "CAP09"),
    Check(
        "CAP10",
        "dielectric",
        "captip",
        ("dielectric", "safety_class"),
        _material,
        _say_material,
        missing=Missing.LOOK,
        reading="dielectric",
    ),
    Check(
        "CAP11",
        "no old paper",
        "vrcap",
        ("dielectric", "condition", "capacitance", "mounting"),
        _paper,
        _say_paper,
        wall=True,
        missing=Missing.LOOK,
        reading="dielectric",
        may=("pass", "unknown", "fail"),
    ),
    Check(
        "CAP12",
        "grid shift",
        "mef",
        ("insulation", "insulation_volts", "condition"),
        _shift,
        _say_shift,
        unit="V",
        missing=Missing.MEASURE,
        reading="leakage",
    ),
    Check(
        "CAP13",
        "AGC line",
        "mef",
        ("insulation",),
        _agc_line,
        _say_line,
        unit="ohm",
        missing=Missing.MEASURE,
        reading="leakage",
    ),
    Check(
        "CAP14",
        "leakage",
        "amr",
        ("insulation", "insulation_volts", "capacitance", "voltage_dc", "dielectric", "condition"),
        _supply_leakage,
        _say_supply,
        unit="A",
        missing=Missing.MEASURE,
        reading="leakage",
    ),
    Check(
        "CAP15",
        "polarity",
        "practice",
        ("polarised",),
        _polarity,
        _say_polarity,
        missing=Missing.LOOK,
        reading="polarised",
        may=("pass", "unknown", "fail"),
    ),
    Check(
        "CAP16",
        "old electrolytic",
        "ot74",
        ("dielectric", "condition", "measured"),
        _proven,
        lambda need, f, row: (
            "capacitance as measured" if f.verdict == "pass" else "old electrolytic: capacitance not measured"
        ),
        missing=Missing.MEASURE,
        reading="capacitance",
        may=("pass", "unknown"),
    ),
    Check(
        "CAP17",
        "ripple current",
        "chemA",
        ("ripple_current", "dielectric"),
        _ripple,
        _say_ripple,
        unit="A",
        missing=Missing.ASSUME,
        may=("pass", "thin", "fail"),
    ),
    Check(
        "CAP18",
        "temperature",
        "practice",
        ("temperature_max",),
        _warmth,
        lambda need, f, row: f"{row['temperature_max']:.0f} °C part in {need.number('ambient'):.0f} °C",
        unit="°C",
        missing=Missing.ASSUME,
        may=("pass", "thin", "fail"),
    ),
    Check(
        "CAP19",
        "room",
        "practice",
        ("length",),
        _room,
        lambda need, f, row: (
            f"{say(row['length'], 'm')} long, room for {say(need.number('space'), 'm')}: mount it elsewhere"
        ),
        unit="m",
        missing=Missing.ASSUME,
        change=True,
        may=("pass", "thin"),
    ),
    Check(
        "CAP20",
        "shared volts",
        "va1d",
        ("series",),
        _string,
        lambda need, f, row: (
            "one capacitor"
            if f.verdict == "pass"
            else f"{row['series']:.0f} in series: equal resistors across each, say 220 kΩ 1 W, and the upper cans insulated"
        ),
        missing=Missing.ASSUME,
        change=True,
        may=("pass", "thin"),
    ),
)
