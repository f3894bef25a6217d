"""The checks of iron on the mains, winding by winding, over arrays of options; the figures are in rules/transformer.toml."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, cast

import numpy as np

from partsbin.checks import Check, Columns, Finding, Missing, Numbers, Outcome, Ruling, outcomes, within
from partsbin.circuit.mains_windings import Connection, Rectifier, heater_volts, winding_current
from partsbin.circuit.supply import off_load_peak
from partsbin.families.transformer.mains_need import TOLERANCE
from partsbin.needs import Need
from partsbin.sets import follow
from partsbin.words import say, span, volts

Row = Mapping[str, Any]
ROUND = 1.02  # marks are rounded: 3 A stands for 3.01 A as well
OVER = 1.2  # times a rating that screens which no table lists may draw: more is read first; common practice, no source
Mask = np.typing.NDArray[np.bool_]


def none(n: int) -> Mask:
    """Return a mask of nothing."""
    return np.zeros(n, dtype=bool)


# ---- HT


def ht_of(need: Need, ratio: Any) -> Any:
    """Return the HT volts a side that a ratio gives at today's mains [V]."""
    with np.errstate(divide="ignore", invalid="ignore"):
        return need.number("mains") / ratio


def _ht(need: Need, c: Columns) -> Ruling | None:
    if need.position != "mains":
        return None
    value, low, high = (ht_of(need, c[name]) for name in ("ratio", "ratio_high", "ratio_low"))
    ruling = within(value, low, high, c["measured"] == 1.0, need.window("fits"), need.window("care"))
    if need.has("ht_assumed"):  # an assumed HT refuses nothing
        ruling.outcome[ruling.outcome != Outcome.PASS] = Outcome.UNKNOWN
    return ruling


def _say_ht(need: Need, f: Finding, row: Row) -> str:
    wanted = span(*need.window("fits"), "V")
    if math.isnan(f.ends[0]):
        return f"HT volts not known, {wanted} a side wanted"
    side = "" if row["centre_tapped"] == 0.0 else " a side"
    gives = f"HT {span(*f.ends, 'V')}{side} at {volts(need.number('mains'))}"
    if f.verdict == "unknown":
        return f"{gives}; {wanted} fits what was assumed of the set"
    if f.verdict == "fail":
        return f"{gives}, {span(*need.window('care'), 'V')} at the widest"
    return f"{gives}, {wanted} wanted" + (": the rail moves with it" if f.verdict == "thin" else "")


def rms_needed(need: Need, tapped: Numbers, drawn: str = "ht_current") -> tuple[Numbers, Numbers]:
    """Return the RMS current that the HT winding has to bear, by the lenient and the strict source [A].

    A mark of the dead one compares with a mark, and stands for a winding used in the same way.
    """
    untapped = tapped == 0.0
    if not need.has("ht_current"):
        mark = np.full(len(tapped), need.number("ht_mark"))
        more = np.where(untapped & (need.word("use") == "centre-tap"), 1.6, 1.0)
        return mark * more, mark * more
    ends = []
    for end in (0, 1):
        by_tap, whole = (
            winding_current(need.number(drawn), *use, choke_input=need.has("choke_input"))[end] for use in _uses(need)
        )
        ends.append(np.where(untapped, whole, by_tap if end == 0 else np.where(np.isnan(tapped), whole, by_tap)))
    return ends[0], ends[1]


def _uses(need: Need) -> tuple[tuple[Connection, Rectifier], tuple[Connection, Rectifier]]:
    """How a tapped winding would be used, and one without a tap: a bridge is silicon."""
    use, rectifier = need.word("use"), cast(Rectifier, need.word("rectifier"))
    if use == "half-wave":
        return ("half-wave", rectifier), ("half-wave", rectifier)
    return ("centre-tap", rectifier if use == "centre-tap" else "silicon"), ("bridge", "silicon")


def _ht_current(need: Need, c: Columns) -> Ruling | None:
    """Hold the winding against what the tables list, by either source, and against screens that they do not list, by the lenient one.

    Iron that carried the same valves bore those screens as well.
    """
    if need.position != "mains":
        return None
    rated, carried = c["dc_current"], c["carried"] == 1.0
    low, high = rms_needed(need, c["centre_tapped"], _listed(need))
    most = np.where(same_set(need, c), low, rms_needed(need, c["centre_tapped"])[0])
    with np.errstate(invalid="ignore"):
        fail = rated < low * (1 - 1e-9)
        thin = (rated * ROUND < high) & ~carried | (rated * ROUND < most)
        unknown = np.isnan(rated) | np.isnan(low) | (rated * OVER < most)
        margin = (rated - np.maximum(high, most)) / rated
    needed = np.where(fail, low, np.maximum(high, most))
    return Ruling(outcomes(len(rated), fail=fail, thin=thin, unknown=unknown), rated, needed, margin)


def _listed(need: Need) -> str:
    return "ht_listed" if need.has("ht_listed") else "ht_current"


def listed_rms(need: Need, tapped: Numbers) -> Numbers:
    """Return the least that the HT winding has to bear: what the tables list, without screens that they do not [A]."""
    return rms_needed(need, tapped, _listed(need))[0]


def same_set(need: Need, c: Columns) -> Any:
    """Return which iron carried valves that draw just what these do: screens that no table lists were among it."""
    if "carried_most" not in c:  # of search keys alone the best is believed
        return c["carried"] == 1.0
    return (c["carried"] == 1.0) & np.isclose(c["carried_most"], need.number("ht_current"))


def _say_ht_current(need: Need, f: Finding, row: Row) -> str:
    tapped, name = np.array([row["centre_tapped"]]), _listed(need)
    low, high = (float(end[0]) for end in rms_needed(need, tapped, name))
    if math.isnan(low):
        return "HT current of the set not known: name the line-up"
    flows = f" for {say(need.number(name), 'A')} DC" if need.has("ht_current") else ", as marked on the dead one"
    wanted = span(low, high, "A") + f" RMS{flows}" if need.has("ht_current") else say(low, "A") + flows
    if math.isnan(row["dc_current"]):
        return f"HT current not marked, {wanted} wanted"
    rated = f"HT {'carried' if row['carried'] == 1.0 else 'rated'} {say(row['dc_current'], 'A')}, {wanted}"
    if row["dc_current"] * ROUND < float(rms_needed(need, tapped)[0][0]) and f.verdict in ("thin", "unknown"):
        rated += f", up to {say(need.number('ht_current'), 'A')} with screens that no table lists"
        return f"{rated}: {'feel it after an hour' if f.verdict == 'thin' else 'read the HT current (current=)'}"
    return f"{rated}: sources differ, feel it after an hour" if f.verdict == "thin" else rated


def _form(need: Need, c: Columns) -> Ruling | None:
    """A tapped winding and one without: silicon makes either serve for the other, and that is a change."""
    if need.position != "mains":
        return None
    tapped, n = c["centre_tapped"], len(c["centre_tapped"])
    use = need.word("use")
    thin = none(n) if use == "half-wave" else tapped == (0.0 if use == "centre-tap" else 1.0)
    words = np.where(tapped == 1.0, "centre tap", np.where(tapped == 0.0, "no centre tap", "")).astype(object)
    unknown = np.isnan(tapped) & (use != "half-wave")
    return Ruling(outcomes(n, fail=none(n), thin=thin, unknown=unknown), words, np.full(n, use, object))


def _say_form(need: Need, f: Finding, row: Row) -> str:
    if f.verdict == "unknown":
        return "centre tap not known: count the HT leads"
    if f.verdict == "pass":
        return f"HT winding used {'by its centre tap' if row['centre_tapped'] == 1.0 else 'whole'}"
    if need.word("use") == "centre-tap":
        return f"no centre tap: four silicon diodes as a bridge{_in_place_of_the_valve(need)}"
    return "centre tap: two diodes to its ends instead of the bridge, the tap to chassis"


def _in_place_of_the_valve(need: Need) -> str:
    """The valve's own resistance goes with it: a resistor in the lead of the bridge, at twice the watts that it takes."""
    if need.word("rectifier") != "valve":
        return ""
    ohms = follow.VALVE_RESISTANCE
    text = f", and {say(ohms, 'ohm')} in its AC lead for what the valve dropped (from memory)"
    if not need.has("ht_current"):
        return text
    watts = 2 * float(winding_current(need.number("ht_current"), "bridge", "silicon")[1]) ** 2 * ohms
    return f"{text}, {math.ceil(watts)} W"


def _peak(need: Need, c: Columns) -> Ruling | None:
    """More HT volts, or a valve rectifier replaced: what the capacitors meet at cold start rises."""
    if need.position != "mains" or need.has("ht_assumed"):
        return None
    high, regulation = need.number("mains_factor"), need.rules.general("winding_regulation")
    peak = off_load_peak(ht_of(need, c["ratio"]), mains_factor=high, regulation=regulation)
    was, n = need.number("off_load_peak"), len(c["ratio"])
    with np.errstate(invalid="ignore"):
        thin = peak > was * need.rules.general("peak_rise") * (1 + 1e-9)
    return Ruling(outcomes(n, fail=none(n), thin=thin), peak, np.full(n, was))


def _say_peak(need: Need, f: Finding, row: Row) -> str:
    was = volts(need.number("off_load_peak"))
    if math.isnan(f.ends[0]):
        return f"off-load peak not known, {was} before"
    rise = ": reservoir and smoothing must bear it, look at their marks" if f.verdict == "thin" else ""
    return f"off load {volts(f.ends[0])} at mains high, {was} before{rise}"


# ---- heaters


def replaced(need: Need, c: Columns) -> Mask:
    """Return where the rectifier valve goes: a winding without a tap asks for a silicon bridge."""
    return np.asarray((c["centre_tapped"] == 0.0) & (need.word("use") == "centre-tap"))


def shares(need: Need, c: Columns) -> Mask:
    """Return where the rectifier's heater stands on the valves' winding: it stays, it may, and has no good one of its own."""
    n = len(c["tap"])
    if not need.has("rect_shares"):
        return none(n)
    return ~(_rect_suits(need, c) & (c["rect_current"] >= need.number("rect_current"))) & ~replaced(need, c)


def _rect_suits(need: Need, c: Columns) -> Mask:
    with np.errstate(invalid="ignore"):
        there = c["rect_volts"] * need.number("mains") / c["tap"]
        return np.asarray(abs(there / need.number("rect_heater") - 1) <= TOLERANCE + 1e-9)


def _heater_load(need: Need, c: Columns) -> Numbers:
    """Amperes of the valves, the rectifier's where it shares [A]."""
    extra = need.number("rect_current") if need.has("rect_shares") else 0.0
    return np.where(shares(need, c), need.number("heater_current") + extra, need.number("heater_current"))


def heater_at(need: Need, c: Columns) -> Numbers:
    """Return what the heater winding gives in the set, with today's mains and its own load [V]."""
    with np.errstate(invalid="ignore", divide="ignore"):
        share = np.nan_to_num(np.clip(_heater_load(need, c) / c["heater_current"], 0.0, 1.0), nan=1.0)
    regulation, mains = need.rules.general("winding_regulation"), need.number("mains")
    if need.position == "heater":  # its winding is the one that the ratio is of
        return np.asarray(heater_volts(1.0, mains, c["ratio"], share, regulation))
    return np.asarray(heater_volts(c["heater_volts"], mains, c["tap"], share, regulation))


def _heaters(need: Need, c: Columns) -> Ruling | None:
    if need.position not in ("mains", "heater"):
        return None
    at, wanted = heater_at(need, c), need.number("heater")
    fits, care = need.window("fits"), need.window("care")
    if need.position == "mains":  # whose windows are those of the HT
        narrow, wide = (need.rules.general(name) for name in ("heater_tolerance", "heater_tolerance_care"))
        fits, care = ((wanted * (1 - by), wanted * (1 + by)) for by in (narrow, wide))
    ruling = within(at, at, at, none(len(at)), fits, care)
    missing = np.isnan(at) & (c["listed"] == 1.0) & (need.position == "mains")
    ruling.outcome[missing] = Outcome.FAIL  # the windings are listed, and none is for heaters
    return ruling


def _say_heaters(need: Need, f: Finding, row: Row) -> str:
    wanted = say(need.number("heater"), "V")
    if math.isnan(f.ends[0]):
        lacks = "no heater winding among those listed" if f.verdict == "fail" else "heater volts not known"
        return f"{lacks}, {wanted} wanted"
    tap = f" on the {volts(row['tap'])} tap" if row["tap_known"] == 1.0 else ""
    gives = f"heaters {say(f.ends[0], 'V')} under load at {volts(need.number('mains'))}{tap}, {wanted} wanted"
    if f.verdict == "thin":
        return f"{gives}: beyond 7 %, within 10 %"
    return f"{gives}: beyond 10 %" if f.verdict == "fail" else gives


def _heater_amperes(need: Need, c: Columns) -> Ruling | None:
    if need.position not in ("mains", "heater"):
        return None
    load = _heater_load(need, c)
    extra = need.number("heater_extra") if need.has("heater_extra") else 0.0
    rated, n = c["heater_current"], len(load)
    with np.errstate(invalid="ignore"):
        fail, thin = rated < load * (1 - 1e-9), (rated * ROUND < load + extra) & (c["carried"] != 1.0)
        margin = (rated - load) / rated
    return Ruling(outcomes(n, fail=fail, thin=thin, unknown=np.isnan(load) | np.isnan(rated)), rated, load, margin)


def _say_heater_amperes(need: Need, f: Finding, row: Row) -> str:
    load = float(f.needed) if isinstance(f.needed, float) else math.nan
    if math.isnan(load):
        return "heater current of the set not known: name the line-up"
    if math.isnan(row["heater_current"]):
        return f"heater current not marked, {say(load, 'A')} drawn"
    extra = need.number("heater_extra") if need.has("heater_extra") else 0.0
    lamps = f" and {say(extra, 'A')} for lamps and the rest" if extra else ""
    rated = f"heaters {'carried' if row['carried'] == 1.0 else 'rated'} {say(row['heater_current'], 'A')}"
    return f"{rated}, {say(load, 'A')} drawn{lamps}"


CHECKS = (
    Check("TRF11", "HT volts", "memory", ("ratio", "ratio_low", "ratio_high", "measured"), _ht, _say_ht, unit="V",
          missing=Missing.MEASURE, reading="ratio"),
    Check("TRF12", "HT current", "hammond", ("dc_current", "centre_tapped", "carried"), _ht_current, _say_ht_current, unit="A",
          wall=True, missing=Missing.LOOK, reading="ht_current"),
    Check("TRF13", "HT winding", "practice", ("centre_tapped",), _form, _say_form, missing=Missing.LOOK, reading="ht_leads",
          change=True, may=("pass", "thin", "unknown")),
    Check("TRF14", "off-load peak", "worked", ("ratio",), _peak, _say_peak, unit="V", change=True, may=("pass", "thin")),
    Check("TRF15", "heater volts", "darby-1962",
          ("ratio", "heater_volts", "heater_current", "tap", "tap_known", "rect_volts", "rect_current", "listed", "centre_tapped"),
          _heaters, _say_heaters, unit="V", missing=Missing.MEASURE, reading="heater_volts"),
    Check("TRF16", "heater current", "memory", ("heater_current", "tap", "rect_volts", "rect_current", "carried", "centre_tapped"),
          _heater_amperes, _say_heater_amperes, unit="A", wall=True, missing=Missing.LOOK, reading="heater_current"),
)  # fmt: skip
