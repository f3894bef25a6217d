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
    within,
)
from partsbin.circuit.capacitors import corner_frequency
from partsbin.families._mains_checks import mains_checks, on_mains
from partsbin.families._volts_checks import RatedVolts
from partsbin.families.capacitor.facts import PAPER, WET
from partsbin.families.capacitor.joining import MOST_WATTS, SUPPLIES, resistors
from partsbin.families.capacitor.leakage import LEAKAGE_CHECKS
from partsbin.needs import Need
from partsbin.sets import follow
from partsbin.words import listed, percent, say, span, volts


def _rule(need: Need, name: str, default: Any = None) -> Any:
    return need.rules.of(need.position, name, default)


def _value_window(need: Need, c: Columns) -> Ruling | None:
    if need.has("value_assumed"):
        return None
    whole = (c["measured"] == 1.0) | bool(_rule(need, "critical", False))
    return within(
        c["capacitance"], c["capacitance_low"], c["capacitance_high"], whole, need.window("fits"), need.window("care")
    )


def _assumed_value(need: Need, c: Columns) -> Ruling | None:
    """Where the dead part's value is assumed, a part outside the window is not refused: the value must be known first.

    What the rectifier's sheet does not bear is refused all the same: only a known original may reach beyond it.
    """
    if not need.has("value_assumed"):
        return None
    n = len(c["capacitance"])
    ruling = within(
        c["capacitance"],
        c["capacitance_low"],
        c["capacitance_high"],
        np.zeros(n, bool),
        need.window("fits"),
        need.window("care"),
    )
    ruling.outcome[ruling.outcome != Outcome.PASS] = Outcome.UNKNOWN
    with np.errstate(invalid="ignore"):
        ruling.outcome[c["capacitance"] > need.number("rectifier_limit") * (1 + 1e-9)] = Outcome.FAIL
    return ruling


def _say_assumed(need: Need, f: Finding, row: Mapping[str, Any]) -> str:
    has, usual = say(row["capacitance"], "F"), span(*need.window("fits"), "F")
    if f.verdict == "fail":
        bears = (
            f"{need.fields['rectifier_limit'].origin} is listed for {say(need.number('rectifier_limit'), 'F')} at most"
        )
        return f"{has}; {bears}, and a larger original is not known"
    if f.verdict == "pass":
        return f"{has} in the {usual} usual here; the dead part's value is not known"
    return f"{has}; {usual} is usual here, but the dead part's value is not known"


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
        has, had = (float(corner_frequency(leak, farads)) for farads in (value, ideal))
        return f", bass corner {_hertz(has)} Hz against {_hertz(had)}"
    return ""


def _hertz(value: float) -> str:
    return f"{value:.2g}" if value < 10 else f"{value:.0f}"


def _running(need: Need, c: Columns) -> Ruling | None:
    peak = need.number("running_peak")
    if math.isnan(peak):
        return None
    words, other = c["dielectric"].tolist(), need.rules.get("derating", "other")
    factors = {word: need.rules.get("derating", word, other) for word in set(words)}
    derated = c["voltage_dc"] * np.array([factors[word] for word in words], dtype=np.float64)
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
    return f"running {volts(peak)} of {volts(derated)} ({percent(derated / rating)} of {volts(rating)}): {word}"


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
    approved = (words == "paper-metallised") & ~old & (c["safety_class"] != "")  # still made, for approvals
    papers = np.array([word in PAPER for word in words], dtype=bool) & ~approved
    presumed = (words == "") & old & ~(c["capacitance"] < 1e-9) & ~(c["capacitance"] > 2e-6)
    result = outcomes(
        len(words), fail=papers | (presumed & (c["mounting"] == "axial")), unknown=presumed & (c["mounting"] != "axial")
    )
    return Ruling(result, words, np.full(len(words), "no waxed or moulded paper", dtype=object))


def _say_paper(need: Need, f: Finding, row: Mapping[str, Any]) -> str:
    if f.verdict == "fail":
        return f"{row['dielectric'] or 'an old tubular of unknown dielectric, presumed paper'}: leaks, never re-used"
    return "not paper" if f.verdict == "pass" else "old, dielectric not known: presumed paper until looked at"


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
    flow = follow.ripple_current(need.facts, need.number("ideal") if need.has("ideal") else math.nan)
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
    """Capacitors in series share DC by their leakage: resistors across them are the cure in a supply, and nowhere else."""
    several = c["series"] > 1
    n = len(several)
    with np.errstate(invalid="ignore"):
        hot = c["balance_watts"] > MOST_WATTS
    result = outcomes(n, fail=several & hot if need.position in SUPPLIES else several, thin=several)
    return Ruling(result, c["series"], np.full(n, 1.0))


def _say_string(need: Need, f: Finding, row: Mapping[str, Any]) -> str:
    if f.verdict == "pass":
        return "one capacitor"
    watts = row["balance_watts"]
    if f.verdict == "fail" and watts > MOST_WATTS:
        return f"{row['series']:.0f} in series: leakages differ so far that resistors across each would burn {say(watts, 'W')}"
    if f.verdict == "thin" and not math.isnan(watts):
        share = volts(math.sqrt(watts * row["balance"]))
        cans = ", upper can insulated" if row["dielectric"] == "electrolytic" else ""
        read = f"worst share {share} of {volts(row['share_rating'])}, read the volts across each"
        return f"{resistors(row)} across each{cans}; {read}; {say(watts, 'W')} in each resistor"
    if f.verdict == "thin":
        return (
            f"{row['series']:.0f} in series: equal resistors across each, say 220 kΩ 1 W, and the upper cans insulated"
        )
    return f"{row['series']:.0f} in series: nothing here shares the volts between them, and resistors across them would leak"


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
        ("dielectric", "condition", "capacitance", "mounting", "safety_class"),
        _paper,
        _say_paper,
        wall=True,
        missing=Missing.LOOK,
        reading="dielectric",
        may=("pass", "unknown", "fail"),
    ),
    *LEAKAGE_CHECKS,
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
        ("series", "balance", "balance_watts", "share_rating", "dielectric"),
        _string,
        _say_string,
        missing=Missing.ASSUME,
        change=True,
        may=("pass", "thin", "fail"),
    ),
    Check(
        "CAP21",
        "value, assumed",
        "practice",
        ("capacitance", "capacitance_low", "capacitance_high"),
        _assumed_value,
        _say_assumed,
        unit="F",
        missing=Missing.LOOK,
        reading="original",
        may=("pass", "unknown", "fail"),
    ),
)
