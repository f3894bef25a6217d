"""Checks of what a resistor carries: watts against its air, the dead part's watts, volts against its body, pulses."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from partsbin.checks import Check, Columns, Finding, Missing, Numbers, Outcome, Ruling, at_most, outcomes
from partsbin.circuit.resistors import derated_power, power_of_current, power_of_voltage, rated_voltage
from partsbin.families.resistor.facts import FILMS, TECHNOLOGIES
from partsbin.needs import Need
from partsbin.words import percent, say, volts

Row = Mapping[str, Any]


def by_technology(need: Need, section: str, words: Any) -> Numbers:
    """Return the figure of a section of the rules for each technology [°C or -]."""
    table = {name: float(need.rules.get(section, name, need.rules.get(section, "other"))) for name in TECHNOLOGIES}
    return np.array([table[word] for word in words], dtype=np.float64)


def _borne(need: Need, c: Columns) -> Numbers:
    """The watts that a part bears in the air of its position."""
    full, zero = (by_technology(need, section, c["technology"]) for section in ("full_to", "zero_at"))
    borne: Numbers = derated_power(c["power"], need.number("ambient"), full, zero)
    return borne


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
    load, borne = _carried(need, c), _borne(need, c)
    ruling = at_most(load, borne)
    with np.errstate(invalid="ignore"):
        hot = load > by_technology(need, "derating", c["technology"]) * borne
    ruling.outcome[hot & (ruling.outcome == Outcome.PASS)] = Outcome.THIN
    return ruling


def _say_power(need: Need, f: Finding, row: Row) -> str:
    worst = f.needed if isinstance(f.needed, float) else math.nan
    load = f"{say(worst, 'W')} in it"
    if math.isnan(row["power"]):
        return f"rated watts not known, {load}: look at its size"
    borne = f.offered if isinstance(f.offered, float) else 0.0
    air = f"of {say(row['power'], 'W')}"
    if borne < row["power"] * (1 - 1e-9):
        air = f"of the {say(borne, 'W')} that {say(row['power'], 'W')} bear in {need.number('ambient'):.0f} °C"
    if f.verdict == "fail":
        return f"{load} {air}: too much"
    share = f"{percent(worst / borne)} of it" if borne > 0 else ""
    return f"{load} {air}" if f.verdict == "pass" else f"{load} {air}: THIN, {share}, runs hot"


def _mark(need: Need, c: Columns) -> Ruling | None:
    """The dead part's watts, unless even the most that the position can load it with is borne."""
    if not need.has("original_watts"):
        return None
    mark, power = need.number("original_watts"), c["power"]
    enough = (power >= mark * (1 - 1e-9)) | _bound_borne(need, c)
    with np.errstate(invalid="ignore", divide="ignore"):
        margin = (power - mark) / power
    result = outcomes(len(power), fail=~enough, unknown=np.isnan(power))
    result[np.isnan(power)] = Outcome.UNKNOWN
    return Ruling(result, power, np.full(len(power), mark), margin)


def _bound_borne(need: Need, c: Columns) -> Any:
    """Where even the bound of the load stays within what is comfortable."""
    if not (need.has("bound_current") or need.has("bound_across")):
        return np.zeros(len(c["power"]), dtype=bool)
    with np.errstate(invalid="ignore"):
        return _carried(need, c, "bound_") <= _borne(need, c) * by_technology(need, "derating", c["technology"])


def _say_mark(need: Need, f: Finding, row: Row) -> str:
    mark, power = say(need.number("original_watts"), "W"), row["power"]
    if f.verdict == "unknown":
        return f"rated watts not known, the dead part had {mark}: look at its size"
    if f.verdict == "fail":
        return f"{say(power, 'W')}, the dead part had {mark}: too small while its load is not known"
    less = power < need.number("original_watts") * (1 - 1e-9)
    return f"{say(power, 'W')}, the dead part had {mark}" + (
        ": enough even for the whole rail across it" if less else ""
    )


def _bound(need: Need, c: Columns) -> Ruling | None:
    """Where neither load nor mark is known: what bears the most that can be passes, anything less must be read."""
    if _exact(need) or need.has("original_watts") or not (need.has("bound_current") or need.has("bound_across")):
        return None
    worst = _carried(need, c, "bound_")
    result = outcomes(len(worst), fail=np.zeros(len(worst), bool), unknown=~_bound_borne(need, c))
    return Ruling(result, c["power"], worst)


def _say_bound(need: Need, f: Finding, row: Row) -> str:
    worst = say(f.needed if isinstance(f.needed, float) else math.nan, "W")
    has = "rated watts not known" if math.isnan(row["power"]) else f"rated {say(row['power'], 'W')}"
    if f.verdict == "pass":
        return f"{has}, enough even for the {worst} that it can be at most"
    return f"{has}; its load is not known and can reach {worst}: read the volts across the old one"


def _element(need: Need, c: Columns) -> Ruling | None:
    """Volts across the body against its limiting element voltage; where they stand for good, against its watts too."""
    if not need.has("element_volts"):
        return None
    style = c["voltage"]
    rating = style
    if need.has("element_steady"):
        value = np.where(np.isnan(c["resistance"]), need.number("ideal"), c["resistance"])
        by_power = np.where(np.isnan(c["power"]), style, rated_voltage(c["power"], value, style))
        peak = math.sqrt(2) if need.has("mains") else 1.0  # watts go by RMS, the body by the peak
        rating = np.minimum(style, by_power * np.where(by_power < style, peak, 1.0))
    return at_most(need.number("element_volts"), rating, thin_above=need.rules.general("thin_above"))


def _say_element(need: Need, f: Finding, row: Row) -> str:
    stress = volts(need.number("element_volts"))
    if f.verdict == "unknown":
        return f"limiting voltage of the body not known, {stress} across it: look at make and size"
    rating = f.offered if isinstance(f.offered, float) else math.nan
    text = f"{stress} across a body that bears {volts(rating)}"
    if f.verdict == "fail":
        return f"{text}: two in series share it, or a larger body"
    return text if f.verdict == "pass" else f"{text}: THIN"


def _like(need: Need, c: Columns) -> Ruling | None:
    if not need.has("like_volts") or need.has("element_volts"):
        return None
    least, style = need.number("like_volts"), c["voltage"]
    with np.errstate(invalid="ignore"):
        result = outcomes(len(style), fail=style < least, unknown=np.isnan(style))
    return Ruling(result, style, np.full(len(style), least))


def _say_like(need: Need, f: Finding, row: Row) -> str:
    least = volts(need.number("like_volts"))
    if f.verdict == "unknown":
        return (
            f"limiting voltage of the body not known, {least} wanted as of the dead part's size: look at make and size"
        )
    text = f"body bears {volts(row['voltage'])}, {least} wanted as of the dead part's size"
    return text if f.verdict == "pass" else f"{text}: read the HT to know better"


def _unknown(need: Need, c: Columns) -> Ruling | None:
    if not need.has("stress_unknown"):
        return None
    n = len(c["power"])
    return Ruling(np.full(n, Outcome.UNKNOWN, np.int8), c["power"], np.full(n, math.nan))


def _say_unknown(need: Need, f: Finding, row: Row) -> str:
    has = "rated watts not known" if math.isnan(row["power"]) else f"part rated {say(row['power'], 'W')}"
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
        unit="W", missing=Missing.LOOK, reading="power", may=("pass", "unknown", "fail"),
    ),
    Check(
        "RES05", "most that it can be", "worked", _CARRIES, _bound, _say_bound,
        unit="W", missing=Missing.MEASURE, reading="load", may=("pass", "unknown"),
    ),
    Check(
        "RES06", "volts on the body", "mil-39005", ("voltage", "power", "resistance"), _element, _say_element,
        unit="V", wall=True, missing=Missing.LOOK, reading="voltage_limit",
    ),
    Check(
        "RES07", "body like the dead part's", "metal-film", ("voltage",), _like, _say_like,
        unit="V", missing=Missing.LOOK, reading="voltage_limit", may=("pass", "unknown", "fail"),
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
