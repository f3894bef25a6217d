"""Checks of the volts on a resistor's body: against its limiting element voltage, as marked or as taken."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from partsbin.checks import Check, Columns, Finding, Missing, Numbers, Outcome, Ruling, at_most, outcomes
from partsbin.families.resistor.facts import TECHNOLOGIES
from partsbin.families.resistor.options import BODIES, PRESUMED
from partsbin.needs import Need
from partsbin.words import volts

Row = Mapping[str, Any]


def _bears(need: Need, c: Columns) -> Numbers:
    """What a body bears [V]; where so few volts stand across it that the smallest with leads bears them, no matter what."""
    least, style = float(need.rules.get("element_eighth", "other")), c["voltage"]
    return np.where(np.isnan(style) & (need.number("element_volts") <= least), least, style)


def _element(need: Need, c: Columns) -> Ruling | None:
    """Volts across the body against its limiting element voltage; what it then dissipates is judged with its watts."""
    if not need.has("element_volts"):
        return None
    bears = _bears(need, c)
    ruling = at_most(need.number("element_volts"), bears, thin_above=need.rules.general("thin_above"))
    _taken(need, c, ruling, bears)
    if need.has("element_steady"):
        _for_good(need, c, ruling)
    if need.has("off_load_guess"):
        _guessed(need, c, ruling, bears)
    return ruling


def _best(need: Need, c: Columns) -> Numbers:
    """The most that a body of these watts bears by any maker read [V]; metal glaze is made for kilovolts in any size."""
    best = np.full(len(c["power"]), math.nan)
    for least, name in reversed(BODIES):
        section = f"element_{name}"
        rows = [float(need.rules.get(section, make, 0.0)) for make in (*filter(None, TECHNOLOGIES), "other")]
        with np.errstate(invalid="ignore"):
            best[c["power"] >= least] = max(rows)
    return np.where(c["technology"] == "metal-glaze", math.inf, best)


def _taken(need: Need, c: Columns, ruling: Ruling, bears: Numbers) -> None:
    """A limit that was not marked is the lowest of the makers: it refuses with reason only.

    Thin where the body bears the volts at the mains as read and only mains high goes over: the limit is one for life, makers
    prove the same bodies at 1.6 times it (overload), the watts are judged apart, so that nothing gets hotter than its rating.
    That spares nothing that stands on the mains itself, nor a limit that was marked. Where the make is not known either, and
    another one's body would bear it, the make is looked up.
    """
    with np.errstate(invalid="ignore"):
        near = (need.number("element_nominal") <= bears) & (c["limit_taken"] > 0)
        open_ = (need.number("element_volts") <= _best(need, c)) & (c["limit_taken"] >= PRESUMED)
    over = ruling.outcome == Outcome.FAIL
    ruling.outcome[over & open_] = Outcome.UNKNOWN
    ruling.outcome[over & near] = Outcome.THIN


def _for_good(need: Need, c: Columns, ruling: Ruling) -> None:
    """Volts that never rest ask a make that is known: across the mains it is looked up, across the HT it is a care."""
    usable = (ruling.outcome <= Outcome.THIN) & (c["limit_taken"] == PRESUMED)
    ruling.outcome[usable] = Outcome.UNKNOWN if need.has("mains") else Outcome.THIN


def _guessed(need: Need, c: Columns, ruling: Ruling, bears: Numbers) -> None:
    """Off-load volts that nobody read, taken as high as a rectifier can give: with care where the dead part's like stands.

    They stand there only while an output valve is dead, within what makers prove the body at (overload), and a body of the same
    watts stood there before; what it would dissipate is RES19's. Anything smaller must bear them by its limit.
    """
    guess, overload = need.number("off_load_guess"), float(need.rules.general("overload"))
    with np.errstate(invalid="ignore"):
        near = guess > need.rules.general("thin_above") * bears
        like = (c["power"] >= need.number("dead_watts") * (1 - 1e-9)) & (guess <= overload * bears)
        over = (guess > bears) & ~like & (ruling.outcome <= Outcome.THIN)
        open_ = (c["limit_taken"] >= PRESUMED) & (guess <= _best(need, c))
    ruling.outcome[near & (ruling.outcome == Outcome.PASS)] = Outcome.THIN
    ruling.outcome[over] = np.where(open_, Outcome.UNKNOWN, Outcome.FAIL)[over]


def _say_element(need: Need, f: Finding, row: Row) -> str:
    stress = volts(need.number("element_volts"))
    bears = f.offered if isinstance(f.offered, float) else math.nan
    if math.isnan(bears):
        return f"limiting voltage of the body not known, {stress} across it: look at make and size"
    taken = "" if f.verdict == "pass" or not row["limit_taken"] else ", taken since none is marked"
    several = row.get("string", math.nan) > 1  # in series
    whose = (
        f"{row['string']:.0f} bodies that bear {volts(bears)} together"
        if several
        else f"a body that bears {volts(bears)}"
    )
    text, guess = f"{stress} across {whose}{taken}", need.number("off_load_guess")
    if f.verdict == "fail" and not need.number("element_volts") <= bears < guess:
        return f"{text}: {'more' if several else 'two'} in series share it, or a larger body"
    if f.verdict != "pass" and guess > need.rules.general("thin_above") * bears:
        return f"{text}; {volts(guess)} with a dead output valve, not read: read the HT off load"
    if f.verdict == "unknown":
        return f"{text}: look up make and type"
    if f.verdict == "thin" and need.number("element_volts") > bears:
        return f"{text}: THIN, {volts(need.number('element_nominal'))} at the mains as read"
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


BODY_CHECKS = (
    Check(
        "RES06", "volts on the body", "mil-39005", ("voltage", "limit_taken", "power", "technology"), _element, _say_element,
        unit="V", wall=True, missing=Missing.LOOK, reading="voltage_limit",
    ),
    Check(
        "RES07", "body like the dead part's", "metal-film", ("voltage",), _like, _say_like,
        unit="V", missing=Missing.LOOK, reading="voltage_limit", may=("pass", "unknown", "fail"),
    ),
)  # fmt: skip
