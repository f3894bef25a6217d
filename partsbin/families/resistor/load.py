"""Checks of what a resistor carries: watts against its air, the dead part's watts, the most that it can be, pulses."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from partsbin.checks import Check, Columns, Finding, Missing, Numbers, Outcome, Ruling, at_most, outcomes
from partsbin.circuit.resistors import power_of_current, power_of_voltage
from partsbin.families.resistor.air import by_technology, share_left, watts_borne
from partsbin.families.resistor.body import BODY_CHECKS
from partsbin.families.resistor.facts import FILMS
from partsbin.families.resistor.need import power_at
from partsbin.families.resistor.stress import VOLTS_UNKNOWN
from partsbin.needs import Need
from partsbin.words import percent, say, volts

Row = Mapping[str, Any]
LEAST_BODY = 0.125  # W of the smallest body with leads: common practice, no source
BY_TOLERANCE = (
    0.9  # of the dead part's watts: what two of half of them bear when their tolerances share the watts worst: worked
)
SMALL_BODY = 0.5  # W up to which a dead part's rating says nothing of its load: what was fitted everywhere, common practice, no source


def _hotter(need: Need, c: Columns) -> Numbers:
    """What is left of the rating in the air that was given, as a share of what is left in the usual air of the position."""
    usual = max(float(need.rules.of(need.position, "ambient")), 0.0)
    left = share_left(need, c["technology"], need.number("ambient")) / share_left(need, c["technology"], usual)
    return np.minimum(left, 1.0)


def _carried(need: Need, c: Columns, bound: str = "") -> Numbers:
    """Watts at the worse end of the part's interval; an unknown value counts as the ideal one."""
    low, high = (
        np.where(np.isnan(c[name]), need.number("ideal"), c[name]) for name in ("resistance_low", "resistance_high")
    )
    watts: Numbers = np.full(len(low), need.number(f"{bound}watts"))
    if need.has(f"{bound}current"):
        watts = power_of_current(high, need.number(f"{bound}current"))
    elif need.has(f"{bound}across"):
        watts = power_of_voltage(low, need.number(f"{bound}across"))
    return watts


def _exact(need: Need) -> bool:
    return any(need.has(name) for name in ("current", "across", "watts"))


def _power(need: Need, c: Columns) -> Ruling | None:
    if not _exact(need):
        return None
    load, borne = _carried(need, c), watts_borne(need, c)
    ruling = at_most(load, borne)
    comfortable = by_technology(need, "derating", c["technology"])
    with np.errstate(invalid="ignore"):
        hot = load > comfortable * borne
    ruling.outcome[hot & (ruling.outcome == Outcome.PASS)] = Outcome.THIN
    if not need.number("dead_watts") > SMALL_BODY:  # a larger dead one was not made so for nothing: look at the size
        smallest = watts_borne(need, c, np.full(len(load), LEAST_BODY))
        ruling.outcome[np.isnan(c["power"]) & (load <= comfortable * smallest)] = Outcome.PASS
    return ruling


def _say_power(need: Need, f: Finding, row: Row) -> str:
    worst = f.needed if isinstance(f.needed, float) else math.nan
    load = f"{say(worst, 'W')} in it"
    if math.isnan(row["power"]):
        what = "any body with leads bears that" if f.verdict == "pass" else "look at its size"
        return f"rated watts not known, {load}: {what}"
    borne = f.offered if isinstance(f.offered, float) else 0.0
    air = f"of {say(row['power'], 'W')}"
    if borne < row["power"] * (1 - 1e-9):
        air = f"of the {say(borne, 'W')} that {say(row['power'], 'W')} bear in {need.number('ambient'):.0f} °C"
    if f.verdict == "fail":
        return f"{load} {air}: too much"
    share = f"{percent(worst / borne)} of it" if borne > 0 else ""
    return f"{load} {air}" if f.verdict == "pass" else f"{load} {air}: THIN, {share}, runs hot"


def _mark(need: Need, c: Columns) -> Ruling | None:
    """The dead part's watts, unless even the most that the position can load it with is borne.

    In hotter air than usual they are derated: thin while the load that suits the dead part's rating is still borne.
    """
    if not need.has("original_watts"):
        return None
    mark, power = need.number("original_watts"), c["power"]
    bound, left = _bound_borne(need, c), power * _hotter(need, c)
    full = (power >= mark * (1 - 1e-9)) & (left >= mark * (1 - 1e-9))
    enough = (
        full
        | bound
        | ((power >= mark * (1 - 1e-9)) & (left >= mark * by_technology(need, "derating", c["technology"])))
    )
    with np.errstate(invalid="ignore", divide="ignore"):
        margin = (power - mark) / power
    halves = (power >= mark * BY_TOLERANCE) & (left >= mark * BY_TOLERANCE)
    result = outcomes(len(power), fail=~(enough | halves), thin=~(full | bound), unknown=np.isnan(power))
    result[np.isnan(power)] = Outcome.UNKNOWN
    return Ruling(result, power, np.full(len(power), mark), margin)


def _bound_borne(need: Need, c: Columns) -> Any:
    """Where even the bound of the load stays within what is comfortable."""
    if not (need.has("bound_current") or need.has("bound_across")):
        return np.zeros(len(c["power"]), dtype=bool)
    with np.errstate(invalid="ignore"):
        return _carried(need, c, "bound_") <= watts_borne(need, c) * by_technology(need, "derating", c["technology"])


def _say_mark(need: Need, f: Finding, row: Row) -> str:
    mark, power = say(need.number("original_watts"), "W"), row["power"]
    if f.verdict == "unknown":
        return f"rated watts not known, the dead part had {mark}: look at its size"
    hot = f" in {need.number('ambient'):.0f} °C" if power >= need.number("original_watts") * (1 - 1e-9) else ""
    if f.verdict == "fail":
        why = "while the load given is so far below that" if _exact(need) else "while its load is not known"
        return f"{say(power, 'W')}, the dead part had {mark}: too small{hot} {why}"
    if f.verdict == "thin" and not hot:
        return f"{say(power, 'W')} at the worst of its tolerances, the dead part had {mark}: THIN"
    if f.verdict == "thin":
        return f"{say(power, 'W')} as the dead part, less{hot}: THIN, more watts or cooler air"
    less = power < need.number("original_watts") * (1 - 1e-9)
    return f"{say(power, 'W')}, the dead part had {mark}" + (
        ": enough even for the whole rail across it" if less else ""
    )


def _bound(need: Need, c: Columns) -> Ruling | None:
    """Where neither load nor mark is known: what bears the most that can be passes, with care if hot; less must be read."""
    if _exact(need) or need.has("original_watts") or not (need.has("bound_current") or need.has("bound_across")):
        return None
    worst = _carried(need, c, "bound_")
    with np.errstate(invalid="ignore"):
        borne = worst <= watts_borne(need, c)
    result = outcomes(len(worst), fail=np.zeros(len(worst), bool), thin=~_bound_borne(need, c), unknown=~borne)
    return Ruling(result, c["power"], worst)


def _say_bound(need: Need, f: Finding, row: Row) -> str:
    worst = say(f.needed if isinstance(f.needed, float) else math.nan, "W")
    has = "rated watts not known" if math.isnan(row["power"]) else f"rated {say(row['power'], 'W')}"
    if f.verdict == "pass":
        return f"{has}, enough even for the {worst} that it can be at most"
    if f.verdict == "thin":
        return f"{has}, bears the {worst} that it can be at most: THIN, runs hot if it is"
    return f"{has}; its load is not known and can reach {worst}: read the volts across the old one"


def _off_load(need: Need, c: Columns) -> Ruling | None:
    """Watts of a bleeder with a dead output valve, when the HT stands at its off-load volts for hours.

    Where those were not read they are as high as a rectifier can give: more watts than it bears are then read first, not refused.
    """
    if not (need.has("element_steady") and need.has("off_load_peak")):
        return None
    low = np.where(np.isnan(c["resistance_low"]), need.number("ideal"), c["resistance_low"])
    worst, thin_above = power_of_voltage(low, need.number("off_load_peak")), need.rules.general("thin_above")
    ruling = at_most(worst, watts_borne(need, c), thin_above=thin_above)
    if need.has("off_load_guess"):
        ruling.outcome[ruling.outcome == Outcome.FAIL] = Outcome.UNKNOWN
    return ruling


def _say_off_load(need: Need, f: Finding, row: Row) -> str:
    peak = volts(need.number("off_load_peak"))
    load = f"{say(f.needed if isinstance(f.needed, float) else math.nan, 'W')} in it at {peak}, a dead output valve"
    if math.isnan(row["power"]):
        return f"rated watts not known, {load}: look at its size"
    text = f"{load}, {say(f.offered if isinstance(f.offered, float) else math.nan, 'W')} borne"
    if f.verdict == "unknown":
        return f"{text}: not read, read the HT off load"
    return text if f.verdict == "pass" else f"{text}: {'THIN, runs hot' if f.verdict == 'thin' else 'too much'}"


def _unknown(need: Need, c: Columns) -> Ruling | None:
    if not need.has("stress_unknown"):
        return None
    n = len(c["power"])
    return Ruling(np.full(n, Outcome.UNKNOWN, np.int8), c["power"], np.full(n, math.nan))


def _say_unknown(need: Need, f: Finding, row: Row) -> str:
    has = "rated watts not known" if math.isnan(row["power"]) else f"part rated {say(row['power'], 'W')}"
    if need.fields["stress_unknown"].origin == VOLTS_UNKNOWN:
        watts = power_at(need, need.number("ideal"))[0]
        load = f"{say(watts, 'W')} in it, " if not math.isnan(watts) else ""
        return f"{load}{has}: the volts on its body are not known, read the HT before fitting"
    return f"load at the position not known, {has}: read current and HT before fitting, or the dead part's watts"


def _pulse(need: Need, c: Columns) -> Ruling | None:
    """The charging surge: wire and composition bear it, a film only if it is made for it."""
    if need.rules.of(need.position, "stress") != "surge":
        return None
    film = np.array([word in FILMS for word in c["technology"]], dtype=bool)
    rated = c["pulse_rated"]
    result = outcomes(len(film), fail=film & (rated == 0.0), unknown=(film & np.isnan(rated)) | (c["technology"] == ""))
    words = np.where(rated == 1.0, "pulse-rated", c["technology"]).astype(object)
    return Ruling(result, words, np.full(len(film), "wirewound, or rated for pulses", dtype=object))


def _say_pulse(need: Need, f: Finding, row: Row) -> str:
    if f.verdict == "pass":
        return "bears the charging surge"
    if f.verdict == "unknown":
        what = row["technology"] or "technology not known"
        return f"{what}: the charging surge asks a pulse rating, look it up"
    return f"{row['technology']} without a pulse rating: the charging surge burns its film"


_CARRIES = ("power", "technology", "resistance_low", "resistance_high")
LOAD_CHECKS = (
    Check(
        "RES03", "power", "metal-film", _CARRIES, _power, _say_power,
        unit="W", wall=True, missing=Missing.LOOK, reading="power",
    ),
    Check(
        "RES04", "dead part's watts", "heathkit", _CARRIES, _mark, _say_mark,
        unit="W", missing=Missing.LOOK, reading="power",
    ),
    Check(
        "RES05", "most that it can be", "worked", _CARRIES, _bound, _say_bound,
        unit="W", missing=Missing.MEASURE, reading="load", may=("pass", "thin", "unknown"),
    ),
    *BODY_CHECKS,
    Check(
        "RES19", "watts off load", "worked", ("power", "technology", "resistance_low"), _off_load, _say_off_load,
        unit="W", wall=True, missing=Missing.LOOK, reading="off_load",
    ),
    Check(
        "RES08", "load not known", "practice", ("power",), _unknown, _say_unknown,
        unit="W", missing=Missing.MEASURE, reading="load", may=("unknown",),
    ),
    Check(
        "RES09", "charging surge", "tek-surge", ("technology", "pulse_rated"), _pulse, _say_pulse,
        wall=True, missing=Missing.LOOK, reading="pulse_rated", may=("pass", "unknown", "fail"),
    ),
)  # fmt: skip
