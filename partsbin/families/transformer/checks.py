"""The checks of a transformer, over arrays of options; the figures are in rules/transformer.toml."""

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
from partsbin.circuit.output import dc_drop, dc_loss, efficiency, load_with_copper
from partsbin.families.transformer import isolation_checks, turns_checks, winding_checks
from partsbin.families.transformer.facts import SPEAKERS
from partsbin.families.transformer.need import wanted_ratio
from partsbin.needs import Need
from partsbin.words import listed, percent, say, span, volts


def _copper(need: Need, c: Columns, ratio: Any) -> tuple[Any, Any]:
    """Resistances as known; where neither is, the usual share of copper."""
    speaker = need.number("speaker")
    share = need.rules.general("copper_usual")
    usual = ratio**2 * speaker * share / (1 - share) / 2
    rp = np.where(np.isnan(c["primary_resistance"]), usual, c["primary_resistance"])
    rs = np.where(np.isnan(c["secondary_resistance"]), usual / ratio**2, c["secondary_resistance"])
    return rp, rs


def _load(need: Need, c: Columns) -> Ruling | None:
    return None if need.has("load_assumed") or not need.has("load") else _window(need, c)


def _assumed_load(need: Need, c: Columns) -> Ruling | None:
    """Where the load or the loudspeaker is assumed, an odd ratio is not refused: the set must be known first."""
    if not need.has("load_assumed"):
        return None
    ruling = _window(need, c)
    ruling.outcome[ruling.outcome != Outcome.PASS] = Outcome.UNKNOWN
    return ruling


def _say_assumed(need: Need, f: Finding, row: Mapping[str, Any]) -> str:
    gives = "ratio not known" if math.isnan(f.ends[0]) else f"{row['ratio']:.3g}:1 gives {span(*f.ends, 'ohm')}"
    return f"{gives}; {span(*need.window('fits'), 'ohm')} fits what was assumed of the set"


def _window(need: Need, c: Columns) -> Ruling:
    speaker = need.number("speaker")
    values = [
        load_with_copper(c[name], speaker, *_copper(need, c, c[name])) for name in ("ratio", "ratio_low", "ratio_high")
    ]
    return within(values[0], values[1], values[2], c["measured"] == 1.0, need.window("fits"), need.window("care"))


def _say_load(need: Need, f: Finding, row: Mapping[str, Any]) -> str:
    if f.verdict == "unknown":
        return f"ratio not known, about {wanted_ratio(need):.3g}:1 wanted"
    gives = span(*f.ends, "ohm")
    text = f"{row['ratio']:.3g}:1 gives {gives}"
    if f.verdict == "pass":
        return f"{text}, {span(*need.window('fits'), 'ohm')} fits"
    if f.verdict == "thin":
        return f"{text}, {say(need.number('load'), 'ohm')} wanted: works, with less power and more distortion"
    bound = need.window("care")[0] if row["ratio"] < wanted_ratio(need) else need.window("care")[1]
    way = "or more" if row["ratio"] < wanted_ratio(need) else "at most"
    return f"{text}, needs {say(bound, 'ohm')} {way}{_other_speaker(need, row)}"


def _other_speaker(need: Need, row: Mapping[str, Any]) -> str:
    if need.number("speaker") > max(SPEAKERS):
        return ""  # a loudspeaker line: nobody changes that
    for speaker in SPEAKERS:
        copper = row["primary_resistance"] if not math.isnan(row["primary_resistance"]) else 0.0
        load = float(load_with_copper(row["ratio"], speaker, copper, 0.0))
        if need.window("fits")[0] <= load <= need.window("fits")[1] and speaker != need.number("speaker"):
            return f" (with a {speaker:g} Ω loudspeaker {say(load, 'ohm')}: would do)"
    return ""


def _gets_out(need: Need, c: Columns) -> Ruling | None:
    if not need.has("load"):
        return None
    rp, rs = _copper(need, c, c["ratio"])
    eta = efficiency(c["ratio"], need.number("speaker"), rp, rs)
    least = need.rules.general("efficiency_least")
    with np.errstate(invalid="ignore"):
        result = outcomes(len(eta), fail=eta < least, thin=eta < need.rules.general("efficiency_fits"))
    result[np.isnan(eta)] = Outcome.PASS  # an unknown ratio is the load's affair: one reading settles both
    return Ruling(result, eta, np.full(len(eta), least))


def _say_gets_out(need: Need, f: Finding, row: Mapping[str, Any]) -> str:
    eta = f.ends[0]
    if math.isnan(eta):
        return "copper loss not known"
    wanted = "" if f.verdict == "pass" else f", {percent(need.rules.general('efficiency_fits'))} wanted"
    return f"{percent(eta)} gets out{wanted}"


def _standing_current(need: Need, c: Columns) -> Ruling | None:
    if need.word("topology") != "single-ended":
        return None
    n = len(c["dc_current"])
    if not need.has("standing"):
        closed = c["gapped"] == 0.0
        result = outcomes(
            n, fail=closed & ~(c["dc_current"] > need.rules.general("gap_current_ungapped")), unknown=~closed
        )
        return Ruling(result, c["dc_current"], np.full(n, math.nan))
    ruling = at_most(need.number("standing"), c["dc_current"], thin_above=1.0)
    ruling.outcome[(c["dc_current"] == need.number("standing")) & (c["carried"] == 1.0)] = Outcome.PASS
    if need.number("standing") > need.rules.general("gap_current_ungapped"):
        ruling.outcome[c["gapped"] == 0.0] = (
            Outcome.FAIL
        )  # whatever amperes stand beside it: they are those of the wire
    return ruling


def _say_standing(need: Need, f: Finding, row: Mapping[str, Any]) -> str:
    if not need.has("standing"):
        closed = f.verdict == "fail"
        return (
            "no gap, and a single valve's current stands in it"
            if closed
            else f"standing current not known: name the {'output' if need.has('load') else 'driving'} valve"
        )
    stands = say(need.number("standing"), "A")
    if f.verdict == "unknown":
        gap = "gapped, for how much is not known" if row["gapped"] == 1.0 else "gap not known"
        return f"{stands} standing; {gap}: look at the core, and which valve it served"
    bears = say(row["dc_current"], "A")
    if f.verdict == "fail" and row["gapped"] == 0.0:
        about = f", bears about {bears}" if row["dc_current"] < need.number("standing") else f": {bears} is the wire's"
        return f"no gap: {stands} standing{about}. No change cures that"
    word = "carried" if row["carried"] == 1.0 else "bears"
    return f"{word} {bears}, {stands} standing"


def _centre_tap(need: Need, c: Columns) -> Ruling | None:
    if need.word("topology") != "push-pull" and not need.has("split"):
        return None
    words = np.where(
        c["whole"] == 0.0,
        "half a primary",
        np.where(c["centre_tapped"] == 1.0, "centre tap", np.where(c["centre_tapped"] == 0.0, "no centre tap", "")),
    ).astype(object)
    return one_of(words, good=frozenset({"centre tap"}), needed="centre tap")


def _drop(need: Need, c: Columns) -> Ruling | None:
    if not need.has("standing") or not need.has("load"):
        return None
    rail = need.number("rail") if need.has("rail") else 250.0
    share = dc_drop(need.number("standing"), c["primary_resistance"]) / rail
    if need.word("topology") == "push-pull":
        share = share / 2
    opened = need.rules.general("primary_open")
    with np.errstate(invalid="ignore"):
        shorted = c["primary_resistance"] < need.rules.general("primary_short")
        open_ = (c["primary_resistance"] > opened) & (need.word("topology") == "single-ended")
        fail = (share > need.rules.general("drop_care")) | open_ | shorted
        thin = share > need.rules.general("drop_fits")
    unknown = np.isnan(c["primary_resistance"])
    result = outcomes(len(share), fail=fail, thin=thin, unknown=unknown & (c["condition"] != "new"))
    return Ruling(result, share * rail, np.full(len(share), rail * need.rules.general("drop_fits")))


def _say_drop(need: Need, f: Finding, row: Mapping[str, Any]) -> str:
    rp = row["primary_resistance"]
    if math.isnan(rp):
        return "primary resistance not measured" if f.verdict == "unknown" else "new: primary resistance not stated"
    current = need.number("standing")
    loss = float(dc_loss(current, rp))
    usual = float(f.needed) if isinstance(f.needed, float) else math.nan
    least = need.rules.general("primary_short")
    if rp < least:
        drops = f"drops {volts(f.ends[0])} of a usual {volts(usual)}"
        return f"primary {say(rp, 'ohm')} {drops}, under {say(least, 'ohm')}: shorted turns"
    text = f"primary {say(rp, 'ohm')} drops {volts(f.ends[0])}, {say(loss, 'W')}"
    if f.verdict != "pass":
        text = f"{text}; {volts(usual)} is usual"
    return f"{text}: open or burnt primary" if rp > need.rules.general("primary_open") and f.verdict == "fail" else text


def _insulated(need: Need, c: Columns) -> Ruling:
    least, test = need.rules.general("insulation_least"), need.rules.general("insulation_test")
    barrier = need.has("barrier")
    with np.errstate(invalid="ignore"):
        tested = c["insulation_volts"] >= test
        fail = c["insulation_high"] < least
        unknown = ~tested | ~(c["insulation"] >= least)
    if not barrier:
        unknown = unknown & (c["condition"] != "new")
    result = outcomes(len(fail), fail=fail, thin=np.full(len(fail), barrier), unknown=unknown)
    return Ruling(result, c["insulation"], np.full(len(fail), least))


def _say_insulated(need: Need, f: Finding, row: Mapping[str, Any]) -> str:
    least, role = (
        say(need.rules.general("insulation_least"), "ohm"),
        "it is the isolation from the mains" if need.has("barrier") else "",
    )
    if f.verdict == "unknown":
        read = "not tested at 500 V" if math.isnan(row["insulation"]) else "not proven by the reading"
        return "; ".join(filter(None, (f"insulation {read}, over {least} wanted", role)))
    if math.isnan(row["insulation"]):
        return "new: insulation as its data sheet"
    text = f"insulation {say(row['insulation'], 'ohm')} at {volts(row['insulation_volts'])}, over {least} wanted"
    return f"{text}; {role}: keep its leads and the loudspeaker untouchable" if need.has("barrier") else text


def _power(need: Need, c: Columns) -> Ruling | None:
    if not need.has("power"):
        return None
    watts = need.number("power")
    with np.errstate(invalid="ignore"):
        thin = c["power"] < watts * need.rules.general("power_thin")
        fail = c["power"] < watts / 2
    result = outcomes(len(thin), fail=fail, thin=thin, unknown=np.isnan(c["power"]))
    return Ruling(result, c["power"], np.full(len(thin), watts))


def _line(need: Need, c: Columns) -> Ruling | None:
    """Flux follows volts: iron for a 70 V line saturates on a 100 V one, and takes twice its watts."""
    if not need.has("line_volts") or need.position != "line":
        return None
    made, line = c["line_voltage"], need.number("line_volts")
    with np.errstate(invalid="ignore"):
        fail = line > made * need.rules.general("line_volts_care")
    return Ruling(outcomes(len(made), fail=fail, unknown=np.isnan(made)), made, np.full(len(made), line))


def _say_line(need: Need, f: Finding, row: Mapping[str, Any]) -> str:
    line = volts(need.number("line_volts"))
    if f.verdict == "unknown":
        return f"line volts not marked, {line} line: read the label"
    return f"made for a {volts(row['line_voltage'])} line, {line} wanted" + (
        ": saturates" if f.verdict == "fail" else ""
    )


def _kind(need: Need, c: Columns) -> Ruling:
    return one_of(
        c["kind"],
        good=frozenset(need.rules.of(need.position, "kinds")),
        needed=listed(need.rules.of(need.position, "kinds")),
    )


_OUTPUT = (
    Check(
        "TRF01",
        "load",
        "iron-mismatch",
        ("ratio", "ratio_low", "ratio_high", "measured", "primary_resistance", "secondary_resistance"),
        _load,
        _say_load,
        unit="ohm",
        missing=Missing.MEASURE,
        reading="ratio",
    ),
    Check(
        "TRF02",
        "what gets out",
        "iron-efficiency",
        ("ratio", "primary_resistance", "secondary_resistance"),
        _gets_out,
        _say_gets_out,
        unit="-",
        missing=Missing.ASSUME,
        may=("pass", "thin", "fail"),
    ),
    Check(
        "TRF03",
        "standing current",
        "world-designs",
        ("dc_current", "gapped", "carried"),
        _standing_current,
        _say_standing,
        unit="A",
        wall=True,
        missing=Missing.LOOK,
        reading="gap",
    ),
    Check(
        "TRF04",
        "centre tap",
        "practice",
        ("centre_tapped", "whole"),
        _centre_tap,
        lambda need, f, row: (
            f"{f.offered or 'centre tap not known: count the primary leads'}; two grids or anodes want one"
        ),
        missing=Missing.LOOK,
        reading="centre_tap",
        may=("pass", "unknown", "fail"),
    ),
    Check(
        "TRF05",
        "drop in the primary",
        "practice",
        ("primary_resistance", "condition"),
        _drop,
        _say_drop,
        unit="V",
        missing=Missing.MEASURE,
        reading="primary_resistance",
    ),
    Check(
        "TRF06",
        "insulation",
        "cool386",
        ("insulation", "insulation_high", "insulation_volts", "condition"),
        _insulated,
        _say_insulated,
        unit="ohm",
        wall=True,
        missing=Missing.MEASURE,
        reading="insulation",
    ),
    Check(
        "TRF07",
        "power",
        "practice",
        ("power", "carried"),
        _power,
        lambda need, f, row: (
            f"built for {say(row['power'], 'W')}, {say(need.number('power'), 'W')} wanted"
            if f.verdict != "unknown"
            else f"power not known, {say(need.number('power'), 'W')} wanted: compare the iron with the dead one"
        ),
        unit="W",
        missing=Missing.LOOK,
        reading="core",
    ),
    Check(
        "TRF08",
        "kind",
        "practice",
        ("kind",),
        _kind,
        lambda need, f, row: f"{f.offered} transformer" if f.offered else "kind not known",
        missing=Missing.LOOK,
        reading="kind",
        may=("pass", "unknown", "fail"),
    ),
    Check(
        "TRF09",
        "line",
        "practice",
        ("line_voltage",),
        _line,
        _say_line,
        unit="V",
        missing=Missing.LOOK,
        reading="line_voltage",
        may=("pass", "unknown", "fail"),
    ),
    Check(
        "TRF10",
        "load, assumed",
        "practice",
        ("ratio", "ratio_low", "ratio_high", "measured", "primary_resistance", "secondary_resistance"),
        _assumed_load,
        _say_assumed,
        unit="ohm",
        missing=Missing.LOOK,
        reading="set",
        may=("pass", "unknown"),
    ),
)

CHECKS = (*_OUTPUT, *winding_checks.CHECKS, *isolation_checks.CHECKS, *turns_checks.CHECKS)
