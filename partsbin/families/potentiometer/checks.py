"""The checks of a track, over arrays of options: ohms, law, watts, volts, gangs, taps, wear."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from partsbin.checks import Check, Columns, Finding, Missing, Outcome, Ruling, one_of, outcomes, within
from partsbin.circuit.potentiometers import across_track, level, track_current
from partsbin.circuit.resistors import rated_voltage
from partsbin.families.potentiometer.need import least_load, load_at
from partsbin.needs import Need
from partsbin.notation.preferred import nearest
from partsbin.words import listed, percent, say, span, volts

Row = Mapping[str, Any]
_LAWS = {"old-log": "log of the old, flatter kind", "other": "no law that is known"}
_SHALLOW = frozenset({"log", "old-log", "antilog", "other"})
"""Laws of which a part of the track is thin, so that it bears less than a linear one."""


def _window(need: Need, c: Columns) -> Ruling:
    return within(
        c["resistance"],
        c["resistance_low"],
        c["resistance_high"],
        c["measured"] == 1.0,
        need.window("fits"),
        need.window("care"),
    )


def _value(need: Need, c: Columns) -> Ruling | None:
    return None if need.has("value_assumed") else _window(need, c)


def _say_value(need: Need, f: Finding, row: Row) -> str:
    if f.verdict == "unknown":
        return f"ohms not known, {span(*need.window('fits'), 'ohm')} fits"
    has = (
        span(row["resistance_low"], row["resistance_high"], "ohm")
        if row["measured"] == 1.0
        else say(row["resistance"], "ohm")
    )
    if f.verdict == "pass":
        return f"{has} in {span(*need.window('fits'), 'ohm')}"
    if f.verdict == "thin":
        return f"{has} against {span(*need.window('fits'), 'ohm')}: works, with another range or load"
    return f"{has}, {span(*need.window('care'), 'ohm')} with care at most"


def _assumed_value(need: Need, c: Columns) -> Ruling | None:
    """Where the dead part's value is not known, no other value is refused."""
    if not need.has("value_assumed"):
        return None
    ruling = _window(need, c)
    ruling.outcome[ruling.outcome != Outcome.PASS] = Outcome.UNKNOWN
    return ruling


def _say_assumed(need: Need, f: Finding, row: Row) -> str:
    has = "ohms not known" if math.isnan(row["resistance"]) else say(row["resistance"], "ohm")
    return f"{has}; {span(*need.window('fits'), 'ohm')} fits what is usual here: the dead part's value is not known"


def _across(need: Need, c: Columns) -> Ruling | None:
    """A track that is too high comes down with a resistor across it; its law as a divider stays."""
    if need.has("value_assumed"):
        return None
    top, high = need.window("fits")[1], c["resistance"]
    with np.errstate(invalid="ignore"):
        thin = high > top * (1 + 1e-9)
    shown = np.where(thin, high, np.nan)  # a track within the window has nothing to say here
    return Ruling(outcomes(len(high), fail=np.zeros(len(high), bool), thin=thin), shown, np.full(len(high), top))


def _say_across(need: Need, f: Finding, row: Row) -> str:
    if f.verdict == "pass":
        return "no resistor across the track wanted"
    across = float(nearest(float(across_track(row["resistance"], need.number("ideal"))), "E12"))
    rheostat = need.rules.of(need.position, "stress") == "cathode"
    law = "; as a variable resistor its law is bent" if rheostat else ", the law stays"
    top = say(need.window("fits")[1], "ohm")
    return f"{say(row['resistance'], 'ohm')} over {top}: {say(across, 'ohm')} across the track brings it down{law}"


def _law(need: Need, c: Columns) -> Ruling:
    good = frozenset(need.word("tapers").split(", "))
    ruling = one_of(
        c["taper"], good=good, thin=frozenset(need.word("tapers_care").split(", ")), needed=listed(sorted(good))
    )
    if need.rules.of(need.position, "unmarked") in good:
        ruling.outcome[c["taper"] == ""] = Outcome.PASS
    return ruling


def _say_law(need: Need, f: Finding, row: Row) -> str:
    wanted = listed(need.word("tapers").split(", "))
    law = row["taper"]
    if not law:
        usual = need.rules.of(need.position, "unmarked")
        return f"law not marked, taken as {usual}" if f.verdict == "pass" else f"law not known, {wanted} wanted"
    has = _LAWS.get(law, law)
    if f.verdict == "pass":
        return f"{has}, as wanted"
    if f.verdict == "fail":
        return f"{has}, {wanted} wanted"
    if "log" in need.word("tapers") and law in ("old-log", "linear"):
        louder = float(level(0.3 if law == "old-log" else 0.5) - level(0.15))
        return f"{has}, {wanted} wanted: about {louder:.0f} dB louder at half rotation, most of the travel in its first part"
    return f"{has}, {wanted} wanted: works, unevenly over the turn"


def _power(need: Need, c: Columns) -> Ruling:
    """Marked watts of a track of another law may be the linear track's: half is borne for certain, the rest is thin."""
    general, n = need.rules.general, len(c["power"])
    load = load_at(need, c["resistance"])
    load = np.where(np.isnan(c["resistance"]), least_load(need), load)  # the rest is the value's affair
    if need.has("load_unknown"):
        load = np.full(n, math.nan)
    shallow = np.array([law in _SHALLOW for law in c["taper"]], bool) & (c["track"] != "conductive-plastic")
    original = need.has("original_watts")
    room = np.where(shallow, general("nonlinear"), general("thin_power")) if not original else np.ones(n)
    with np.errstate(invalid="ignore", divide="ignore"):
        fail, thin = load > c["power"] * (1 + 1e-9), load > room * c["power"] * (1 + 1e-9)
        unknown = np.isnan(load) | (np.isnan(c["power"]) & ~(load <= c["power_floor"]))
        margin = (c["power"] - load) / c["power"]
    return Ruling(outcomes(n, fail=fail, thin=thin, unknown=unknown), c["power"], load, margin)


def _say_power(need: Need, f: Finding, row: Row) -> str:
    if need.has("load_unknown"):
        return "what stands on the track is not known: its watts cannot be judged"
    blind = math.isnan(row["resistance"])
    load = least_load(need) if blind else float(load_at(need, row["resistance"]))
    where = "on the dead part" if need.has("original_watts") else "on the track"
    wanted = f"{say(load, 'W')} {where}{', or more' if blind else ''}"
    if math.isnan(row["power"]):
        bears = f"watts not marked, any body bears {say(row['power_floor'], 'W')}"
        return f"{bears}; {wanted}" if f.verdict == "pass" else f"watts not marked; {wanted}"
    text = f"bears {say(row['power'], 'W')}, {wanted}"
    half = row["taper"] in _SHALLOW and row["track"] != "conductive-plastic"
    if f.verdict == "thin" and half:
        return f"{text}: of a {row['taper']} track half may be all, if the mark is the linear one's"
    if f.verdict == "fail" and need.has("flow") and not blind:
        flow, borne = need.number("flow"), float(track_current(row["power"], row["resistance"]))
        return f"{text}: any part of it bears {say(borne, 'A')}, {say(flow, 'A')} flows"
    return text


def _limit(need: Need, c: Columns) -> Ruling | None:
    if not need.has("across"):
        return None
    across, limit = need.number("across"), c["voltage"]
    with np.errstate(invalid="ignore"):
        fail, thin = across > limit, across > need.rules.general("thin_volts") * limit
        unknown = np.isnan(limit) & ~(across <= c["voltage_floor"])
    n = len(limit)
    return Ruling(outcomes(n, fail=fail, thin=thin, unknown=unknown), limit, np.full(n, across))


def _say_limit(need: Need, f: Finding, row: Row) -> str:
    stands = f"{volts(need.number('across'))} across it"
    if math.isnan(row["voltage"]):
        credited = volts(row["voltage_floor"])
        return (
            f"limit not marked, {credited} credited; {stands}"
            if f.verdict == "pass"
            else f"limit of volts not marked; {stands}"
        )
    by_watts = float(rated_voltage(row["power"], row["resistance"], row["voltage"]))
    less = "" if math.isnan(by_watts) or by_watts >= row["voltage"] else f" ({volts(by_watts)} by its watts)"
    return f"limit {volts(row['voltage'])}{less}, {stands}"


def _gangs(need: Need, c: Columns) -> Ruling:
    wanted, n = need.number("gangs"), len(c["gangs"])
    wanted = min(wanted, 4.0)
    has = np.where(np.isnan(c["gangs"]) & (wanted == 1.0), 1.0, c["gangs"])
    with np.errstate(invalid="ignore"):
        result = outcomes(n, fail=has < wanted, thin=has > wanted, unknown=np.isnan(has))
    shown = np.where((has == 1.0) & (wanted == 1.0), np.nan, has)  # one for one is not worth a line
    return Ruling(result, shown, np.full(n, wanted))


def _say_gangs(need: Need, f: Finding, row: Row) -> str:
    wanted = need.number("gangs")
    asked = f"{wanted:.0f} {'gang' if wanted == 1 else 'gangs'} wanted"
    if f.verdict == "unknown":
        return f"gangs not known, {asked}"
    has = "1 gang" if math.isnan(row["gangs"]) or row["gangs"] == 1 else f"{row['gangs']:.0f} gangs"
    return f"{has}, {asked}" + (": the rest stays unwired, or side by side" if f.verdict == "thin" else "")


def _match(need: Need, c: Columns) -> Ruling | None:
    if need.number("gangs") < 2:
        return None
    apart, n = c["apart"], len(c["apart"])
    fits, care = need.rules.general("match_fits"), need.rules.general("match_care")
    with np.errstate(invalid="ignore"):
        result = outcomes(n, fail=apart > care, thin=apart > fits)
    return Ruling(result, apart, np.full(n, fits))


def _say_match(need: Need, f: Finding, row: Row) -> str:
    most = f"{need.rules.general('match_fits'):g} times at most"
    if math.isnan(row["apart"]):
        return f"gangs not compared: read both, one {most} the other"
    return f"one gang {row['apart']:.2f} times the other, {most}"


def _tap(need: Need, c: Columns) -> Ruling | None:
    """An untapped track works and sounds otherwise (nost41); fixed resistors do not imitate the tap (g4ebt4)."""
    if not need.has("taps"):
        return None
    wanted, n = need.number("taps"), len(c["taps"])
    with np.errstate(invalid="ignore"):
        apart = np.abs(c["tap"] - need.number("tap")) > need.rules.general("tap_apart")
    thin = (c["taps"] < wanted) | apart
    return Ruling(outcomes(n, fail=np.zeros(n, bool), thin=thin), c["taps"], np.full(n, wanted))


def _say_tap(need: Need, f: Finding, row: Row) -> str:
    at = f" at {percent(need.number('tap'))}" if need.has("tap") else ""
    if f.verdict == "pass":
        return f"tapped, as wanted{at}"
    if row["taps"] < need.number("taps"):
        return f"no tap, one{at} wanted: the bass falls away at low volume, resistor and capacitor of the tap stay off"
    return f"tapped at {percent(row['tap'])}, {at.strip()} wanted: the bass lift sets in elsewhere"


def _worn(need: Need, c: Columns) -> Ruling:
    """An old track is read end to end and turned before it goes in: composition drifts, and wipers lift."""
    unread = (c["condition"] != "new") & (c["measured"] != 1.0)
    n = len(unread)
    wanted = np.full(n, "read and turned", object)
    return Ruling(outcomes(n, fail=np.zeros(n, bool), unknown=unread), c["condition"], wanted)


def _say_worn(need: Need, f: Finding, row: Row) -> str:
    if f.verdict == "unknown":
        return f"{row['condition'] or 'condition not known'}: track not read, wiper not tried"
    return "new" if row["condition"] == "new" else "track read end to end"


_OHMS = ("resistance", "resistance_low", "resistance_high", "measured")
CHECKS = (
    Check("POT01", "value", "practice", _OHMS, _value, _say_value, unit="ohm", missing=Missing.MEASURE, reading="resistance"),
    Check("POT02", "value, assumed", "practice", _OHMS, _assumed_value, _say_assumed, unit="ohm", missing=Missing.LOOK, reading="dead",
          may=("pass", "unknown")),
    Check("POT03", "resistor across", "worked", ("resistance",), _across, _say_across, unit="ohm", change=True, may=("pass", "thin")),
    Check("POT04", "law", "mutts", ("taper",), _law, _say_law, missing=Missing.MEASURE, reading="mid"),
    Check("POT05", "watts of the track", "omegp20",
          ("power", "power_floor", "resistance", "taper", "track"), _power, _say_power, unit="W",
          missing=Missing.LOOK, reading="power"),
    Check("POT06", "volts of the track", "omegeco", ("voltage", "voltage_floor"), _limit, _say_limit, unit="V", missing=Missing.LOOK,
          reading="power"),
    Check("POT07", "gangs", "practice", ("gangs",), _gangs, _say_gangs, missing=Missing.LOOK, reading="gangs", change=True),
    Check("POT08", "gangs alike", "practice", ("apart",), _match, _say_match, may=("pass", "thin", "fail")),
    Check("POT09", "tap", "nost41", ("taps", "tap"), _tap, _say_tap, change=True, may=("pass", "thin")),
    Check("POT10", "wear", "practice", ("condition", "measured"), _worn, _say_worn, missing=Missing.MEASURE, reading="resistance",
          may=("pass", "unknown")),
)  # fmt: skip
