"""Checks of what iron on the mains keeps apart, and of its core: rectifier heater, cathodes, primary, two windings, watts."""

from __future__ import annotations

import math

import numpy as np

from partsbin.checks import Check, Columns, Finding, Missing, Numbers, Outcome, Ruling, outcomes
from partsbin.circuit.mains_windings import flux_ratio
from partsbin.circuit.supply import off_load_peak
from partsbin.families.transformer.mains_need import TOLERANCE
from partsbin.families.transformer.winding_checks import OVER, Row, ht_of, replaced, same_set, shares
from partsbin.needs import Need
from partsbin.words import say, volts

ON_THE_MAINS = ("mains", "heater", "isolating")

# ---- the rectifier's heater


def _apart(need: Need) -> bool:
    """Whether the rectifier's heater must stand on a winding of its own."""
    return need.position == "mains" and need.has("rect_heater") and not need.has("rect_shares")


def _rectifier_at(need: Need, c: Columns) -> Numbers:
    with np.errstate(invalid="ignore"):
        return np.asarray(c["rect_volts"] * need.number("mains") / c["tap"])


def _rectifier(need: Need, c: Columns) -> Ruling | None:
    if not _apart(need):
        return None
    at, wanted, n = _rectifier_at(need, c), need.number("rect_heater"), len(c["tap"])
    amperes = need.number("rect_current") if need.has("rect_current") else math.nan
    with np.errstate(invalid="ignore"):
        off = abs(at / wanted - 1) > TOLERANCE + 1e-9
        weak = c["rect_current"] < amperes * (1 - 1e-9)
    lacks = np.isnan(at) & (c["listed"] == 1.0)
    unknown = np.isnan(at) | np.isnan(c["rect_current"]) | math.isnan(amperes)
    result = outcomes(n, fail=off | weak | lacks, unknown=unknown)
    result[replaced(need, c)] = Outcome.PASS
    return Ruling(result, at, np.full(n, wanted))


def _say_rectifier(need: Need, f: Finding, row: Row) -> str:
    wanted, name = say(need.number("rect_heater"), "V"), need.fields["rect_heater"].origin
    load = f" {say(need.number('rect_current'), 'A')}" if need.has("rect_current") else ""
    if f.verdict == "pass" and row["centre_tapped"] == 0.0 and need.word("use") == "centre-tap":
        return "the rectifier's heater is not needed with silicon"
    if math.isnan(row["rect_volts"]):
        if f.verdict == "unknown":
            return f"winding for the rectifier's heater not known, {wanted}{load} wanted"
        return f"no winding for the rectifier's heater ({name}, {wanted}{load}); way out: silicon diodes and a resistor"
    has = f"{say(row['rect_volts'], 'V')}" + (
        "" if math.isnan(row["rect_current"]) else f" {say(row['rect_current'], 'A')}"
    )
    text = f"rectifier winding {has}, {wanted}{load} wanted ({name})"
    if f.verdict == "unknown":
        return f"{text}: its current is not known"
    return f"{text}; way out: silicon diodes and a resistor" if f.verdict == "fail" else text


def _rectifier_insulated(need: Need, c: Columns) -> Ruling | None:
    """A heater that is the cathode stands at the HT: its winding must be made for that, or tested."""
    if not _apart(need):
        return None
    least, test, peak = (
        *(need.rules.general(f"insulation_{name}") for name in ("least", "test")),
        need.number("off_load_peak"),
    )
    with np.errstate(invalid="ignore"):
        weak = (c["rect_insulation_high"] < least) | (c["insulation_voltage"] < peak)
        tested = (c["rect_insulation"] >= least) & (c["rect_insulation_volts"] >= test)
        every = (c["insulation"] >= least) & (c["insulation_volts"] >= test)  # each winding to every other
    made_for_it = (c["rect_own"] == 1.0) & ((c["condition"] == "new") | every)
    there = ~np.isnan(c["rect_volts"]) & ~replaced(need, c)
    n = len(there)
    result = outcomes(n, fail=weak & there, unknown=there & ~tested & ~made_for_it)
    return Ruling(result, c["rect_insulation"], np.full(n, least))


def _say_rectifier_insulated(need: Need, f: Finding, row: Row) -> str:
    least, peak = say(need.rules.general("insulation_least"), "ohm"), volts(need.number("off_load_peak"))
    if row["insulation_voltage"] < need.number("off_load_peak") and f.verdict == "fail":
        return f"insulation marked {volts(row['insulation_voltage'])}, the rectifier's winding stands at {peak}"
    if not math.isnan(row["rect_insulation"]):
        return f"rectifier winding to the rest {say(row['rect_insulation'], 'ohm')}, over {least} wanted at the {peak} of the HT"
    if f.verdict == "unknown":
        return f"rectifier winding's insulation not tested, over {least} wanted: it stands at {peak}"
    if math.isnan(row["rect_volts"]) or row["centre_tapped"] == 0.0:
        return "no rectifier heater at the HT"
    proof = "new" if row["condition"] == "new" else f"tested with the others, {say(row['insulation'], 'ohm')}"
    return f"{proof}, a winding made for a rectifier at {peak}"


def _shared(need: Need, c: Columns) -> Ruling | None:
    """A rectifier on the valves' winding has the whole HT between its heater and its cathode."""
    if need.position != "mains" or not need.has("rect_shares"):
        return None
    limit, n = need.number("heater_cathode") if need.has("heater_cathode") else math.nan, len(c["tap"])
    cold = _cold(need, c)
    with np.errstate(invalid="ignore"):
        running = cold * need.number("running_peak") / need.number("off_load_peak")
        stands = shares(need, c)
        fail, thin = (running > limit) & stands, (cold > limit) & stands
        margin = (limit - cold) / limit
    result = outcomes(n, fail=fail, thin=thin, unknown=stands & (np.isnan(cold) | math.isnan(limit)))
    return Ruling(result, np.full(n, limit), cold, margin)


def _cold(need: Need, c: Columns) -> Numbers:
    peak = off_load_peak(
        ht_of(need, c["ratio"]),
        mains_factor=need.number("mains_factor"),
        regulation=need.rules.general("winding_regulation"),
    )
    return np.where(np.isnan(peak), need.number("off_load_peak"), peak)


def _say_shared(need: Need, f: Finding, row: Row) -> str:
    cold = float(f.needed) if isinstance(f.needed, float) else math.nan
    name = need.fields["rect_heater"].origin
    limit = "heater to cathode limit not known"
    if not math.isnan(f.ends[0]):
        limit = f"heater to cathode {volts(f.ends[0])}"
    if not bool(shares(need, {key: np.array([value]) for key, value in row.items()})[0]):
        gone = need.word("use") == "centre-tap" and row["centre_tapped"] == 0.0
        return f"{name}: {limit}; {'gone, silicon instead' if gone else 'on a winding of its own here'}"
    return f"{name} on the heaters' winding: {limit}, {volts(cold)} off load"


# ---- primary and core


def _primary(need: Need, c: Columns) -> Ruling | None:
    """Flux: volts over the tap's, frequency over the marked one; unmarked iron for 110 to 127 V may be made for 60 Hz."""
    if need.position not in ON_THE_MAINS:
        return None
    least, n = need.rules.general("unmarked_least"), len(c["tap"])
    marked = c["frequency"]
    usual = np.where(np.isnan(marked), 50.0, marked)
    worst = np.where(np.isnan(marked) & (c["tap"] < least), 60.0, usual)
    low, high = (
        np.asarray(flux_ratio(need.number("mains"), c["tap"], need.number("frequency"), rated))
        for rated in (usual, worst)
    )
    fits, care = need.rules.general("flux_fits"), need.rules.general("flux_care")
    known = c["tap_known"] == 1.0
    unknown = (~known & (c["condition"] != "new")) | np.isnan(low) | ((high > care) & (low <= care))
    with np.errstate(invalid="ignore"):
        result = outcomes(n, fail=low > care, thin=high > fits, unknown=unknown)
    return Ruling(result, high, np.full(n, care), (care - high) / care)


def _say_primary(need: Need, f: Finding, row: Row) -> str:
    here = f"{volts(need.number('mains'))} {need.number('frequency'):.0f} Hz here"
    if row["tap_known"] != 1.0:
        return f"primary not marked: {volts(row['tap'])} taken, {here}"
    hertz = "" if math.isnan(row["frequency"]) else f" {row['frequency']:.0f} Hz"
    text = f"primary {volts(row['tap'])}{hertz}, {here}"
    if f.verdict == "unknown":
        return f"{text}: frequency not marked, 60 Hz iron would saturate"
    if f.verdict == "fail":
        return f"{text}: flux {f.ends[0]:.2f} times what it was wound for, {float(need.rules.general('flux_care')):.2f} at most"
    return f"{text}: runs warm" if f.verdict == "thin" else text


def _separate(need: Need, c: Columns) -> Ruling | None:
    if need.position not in ON_THE_MAINS:
        return None
    n = len(c["kind"])
    auto = np.array([word == "auto" for word in c["kind"]], dtype=bool)
    return Ruling(outcomes(n, fail=auto), c["kind"], np.full(n, "separate windings", object))


def _say_separate(need: Need, f: Finding, row: Row) -> str:
    if f.verdict == "fail":
        return "auto-transformer: its winding is the mains itself and isolates nothing; separate windings wanted"
    return "windings apart" if row["kind"] else "not marked as an auto-transformer"


def _watts(need: Need, c: Columns) -> Ruling | None:
    if need.position not in ("mains", "isolating") or not need.has("va"):
        return None
    wanted, has, n = need.number("va"), c["power"], len(c["power"])
    least = need.number("va_least") if need.has("va_least") else wanted
    most = np.where(same_set(need, c), least, wanted)  # with screens that no table lists
    with np.errstate(invalid="ignore", divide="ignore"):
        fail, thin = least > has, (least > need.rules.general("va_thin") * has) | (most > has)
        margin = (has - wanted) / has
        unknown = most > OVER * has
    unknown |= np.isnan(has) & (need.position == "isolating")  # elsewhere the currents of the windings decide
    result = outcomes(n, fail=fail, thin=thin, unknown=unknown)
    if need.has("va_assumed"):
        result[result > Outcome.THIN] = Outcome.UNKNOWN
    return Ruling(result, has, np.full(n, wanted), margin)


def _say_watts(need: Need, f: Finding, row: Row) -> str:
    wanted = f"{need.number('va'):.0f} W (VA) to carry"
    if math.isnan(row["power"]):
        return f"VA not marked, {wanted}" + ("" if f.verdict == "unknown" else ": the windings' currents decide")
    assumed = ", which was assumed" if f.verdict == "unknown" else ""
    if f.verdict == "unknown" and need.has("va_least"):
        assumed = f" at most, {need.number('va_least'):.0f} by what the tables list: read the HT current (current=)"
    return f"{row['power']:.0f} W (VA), {wanted}{assumed}"


CHECKS = (
    Check("TRF17", "rectifier winding", "practice", ("rect_volts", "rect_current", "tap", "listed", "centre_tapped"), _rectifier,
          _say_rectifier, unit="V", wall=True, missing=Missing.LOOK, reading="rect_winding", may=("pass", "unknown", "fail")),
    Check("TRF18", "rectifier insulation", "practice",
          ("rect_volts", "rect_own", "rect_insulation", "rect_insulation_high", "rect_insulation_volts",
           "insulation", "insulation_volts", "insulation_voltage",
           "condition", "centre_tapped"),
          _rectifier_insulated, _say_rectifier_insulated, unit="ohm", wall=True, missing=Missing.MEASURE,
          reading="rect_insulation", may=("pass", "unknown", "fail")),
    Check("TRF19", "heater to cathode", "tubeofile", ("ratio", "tap", "rect_volts", "rect_current", "centre_tapped"), _shared,
          _say_shared, unit="V",
          wall=True, missing=Missing.LOOK, reading="sheet"),
    Check("TRF20", "primary", "worked", ("tap", "tap_known", "frequency", "condition"), _primary, _say_primary, unit="-", wall=True,
          missing=Missing.LOOK, reading="primary"),
    Check("TRF21", "separate windings", "practice", ("kind",), _separate, _say_separate, wall=True, may=("pass", "fail")),
    Check("TRF22", "volt-amperes", "golborne-29783", ("power", "carried", "carried_most"), _watts, _say_watts,
          unit="W", missing=Missing.LOOK, reading="core"),
)  # fmt: skip
