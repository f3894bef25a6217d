"""The checks of a loudspeaker, over arrays of options."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from partsbin.checks import Check, Columns, Finding, Missing, Ruling, outcomes, within
from partsbin.needs import Need
from partsbin.words import say, span

Row = Mapping[str, Any]


def _ohm_window(need: Need, c: Columns) -> Ruling:
    alone = np.zeros(len(c["impedance"]), dtype=bool)
    return within(
        c["impedance"], c["impedance_low"], c["impedance_high"], alone, need.window("fits"), need.window("care")
    )


def _say_ohms(need: Need, f: Finding, row: Row) -> str:
    wanted = span(*need.window("fits"), "ohm")
    if f.verdict == "unknown":
        return f"impedance not known, {wanted} wanted"
    other = ": another tap of the transformer, if it has one" if f.verdict != "pass" else ""
    return f"{say(row['impedance'], 'ohm')}, {wanted} wanted{other}"


def _power(need: Need, c: Columns) -> Ruling:
    """A stage gives its full power for moments: up to half is borne with care, less burns the coil."""
    watts, rated = need.number("watts"), c["power"]
    least = need.rules.general("power_least") * watts
    with np.errstate(invalid="ignore"):
        fail, thin = rated < least, rated < watts
    if need.has("watts_assumed"):  # what the stage gives is not known: a small one is care
        fail, thin = np.zeros(len(rated), bool), fail | thin
    unknown = np.isnan(rated)
    if need.has("watts_bound"):  # what the stage cannot exceed, or not even that: only more than that passes
        fail, thin, unknown = np.zeros(len(rated), bool), np.zeros(len(rated), bool), ~(rated >= watts)
    result = outcomes(len(rated), fail=fail, thin=thin, unknown=unknown)
    return Ruling(result, rated, np.full(len(rated), watts), (rated - watts) / rated)


def _gives(need: Need) -> str:
    watts = need.number("watts")
    if math.isnan(watts):
        return "what the stage gives is not known"
    if need.has("watts_bound"):
        return f"the stage gives an unknown part of {say(watts, 'W')}"
    known = (
        "usual here" if need.has("watts_assumed") else "the dead one" if need.has("watts_label") else "from the stage"
    )
    return f"{say(watts, 'W')} {known}"


def _say_power(need: Need, f: Finding, row: Row) -> str:
    gives = _gives(need)
    if math.isnan(row["power"]):
        return f"watts not known, {gives}"
    low = ": not at full volume" if f.verdict == "thin" else ": burns" if f.verdict == "fail" else ""
    return f"{say(row['power'], 'W')} rated, {gives}{low}"


def _coil(need: Need, c: Columns) -> Ruling:
    """An open or strange coil: its resistance must lie under the rated impedance; a used one is read first."""
    used = np.array([word != "new" for word in c["condition"]], dtype=bool)
    with np.errstate(invalid="ignore"):
        wrong = (c["dc"] > c["impedance"] * 1.02) | (c["dc"] < need.rules.general("coil_short") * c["impedance"])
    unknown = used & (c["coil_read"] != 1.0) & np.isnan(c["dc"])
    return Ruling(outcomes(len(used), fail=wrong, unknown=unknown), c["dc"], c["impedance"])


def _say_coil(need: Need, f: Finding, row: Row) -> str:
    if f.verdict == "unknown":
        return "not new: voice coil not read"
    if math.isnan(row["dc"]):
        return "new"
    rated = f"of {say(row['impedance'], 'ohm')}" if not math.isnan(row["impedance"]) else ""
    return f"coil {say(row['dc'], 'ohm')} {rated}".strip() + (
        ": open, burnt or wrongly marked" if f.verdict == "fail" else ""
    )


def _same_size(need: Need, c: Columns) -> Ruling | None:
    if not need.has("diameter"):
        return None
    was = need.number("diameter")
    with np.errstate(invalid="ignore"):
        other = (c["diameter"] > was * need.rules.general("size_care")) | (c["diameter"] < 0.9 * was)
    n = len(other)
    return Ruling(outcomes(n, fail=np.zeros(n, bool), thin=other), c["diameter"], np.full(n, was))


def _say_size(need: Need, f: Finding, row: Row) -> str:
    was = need.number("diameter") * 1000
    if math.isnan(row["diameter"]):
        return f"outline not known, {was:.0f} mm was there"
    return f"{row['diameter'] * 1000:.0f} mm for {was:.0f} mm" + (": another baffle" if f.verdict == "thin" else "")


def _field_coil(need: Need, c: Columns) -> Ruling | None:
    """A field of other ohms moves the rail; a permanent magnet leaves the set without its choke: a change."""
    if not need.has("field_wanted"):
        return None
    was, has = need.number("field"), c["field"]
    (low, high), (least, most) = need.rules.general("field_fits"), need.rules.general("field_care")
    with np.errstate(invalid="ignore"):
        near, inside = (has >= least * was) & (has <= most * was), (has >= low * was) & (has <= high * was)
    magnet = np.isnan(has)
    unknown = ~magnet & math.isnan(was)
    result = outcomes(len(has), fail=~magnet & ~near & ~unknown, thin=magnet | (near & ~inside), unknown=unknown)
    return Ruling(result, has, np.full(len(has), was))


def _say_field(need: Need, f: Finding, row: Row) -> str:
    was, current = need.number("field"), need.number("current")
    ohms = "the field's ohms" if math.isnan(was) else say(was, "ohm")
    if math.isnan(row["field"]):
        watts = f", {say(was * current**2, 'W')} in them: fit twice that" if not math.isnan(was * current) else ""
        return f"permanent magnet: choke and resistor of {ohms} together in the field's place{watts}"
    if math.isnan(was):
        return f"field {say(row['field'], 'ohm')}; the dead one's is not known"
    return f"field {say(row['field'], 'ohm')} for {ohms}" + ("" if f.verdict == "pass" else ": the rail moves")


def _field_current(need: Need, c: Columns) -> Ruling | None:
    """What flows through the field must not cook it; a magnet has none."""
    current = need.number("current")
    if not need.has("field_wanted") or math.isnan(current):
        return None
    rated, magnet = c["field_current"], np.isnan(c["field"])
    most = need.number("current_most") if need.has("current_most") else current
    with np.errstate(invalid="ignore"):
        fail, thin = ~magnet & (current > 1.1 * rated), ~magnet & (max(current, most) > rated)
    known_field = need.has("field") and need.has("field_rated")
    unknown = ~magnet & np.isnan(rated) & (not known_field)
    return Ruling(outcomes(len(rated), fail=fail, thin=thin, unknown=unknown), rated, np.full(len(rated), current))


def _say_field_current(need: Need, f: Finding, row: Row) -> str:
    current, most = need.number("current"), need.number("current_most")
    flows = f"{say(current, 'A') if math.isnan(most) else span(current, most, 'A')} flows"
    if math.isnan(row["field"]):
        return f"no field coil, {flows} through its stand-in"
    if math.isnan(row["field_current"]):
        return f"what the field bears is not known, {flows}"
    hot = ": it cooks" if f.verdict == "fail" else ": warm" if f.verdict == "thin" else ""
    return f"field made for {say(row['field_current'], 'A')}, {flows}{hot}"


def _isolated(need: Need, c: Columns) -> Ruling | None:
    """A socket outside a live chassis hangs on the insulation of the output transformer: that is read first."""
    if need.position != "extension" or not need.has("live"):
        return None
    n = len(c["impedance"])
    return Ruling(
        outcomes(n, fail=np.zeros(n, bool), unknown=np.ones(n, bool)), c["condition"], np.full(n, "isolated", object)
    )


def _say_isolated(need: Need, f: Finding, row: Row) -> str:
    why = need.fields["live"].origin
    return f"{why}: the socket hangs on the output transformer's insulation; way out: an isolating transformer between"


CHECKS = (
    Check("LSP01", "impedance", "memory", ("impedance", "impedance_low", "impedance_high"), _ohm_window, _say_ohms, unit="ohm",
          missing=Missing.MEASURE, reading="resistance"),
    Check("LSP02", "watts", "memory", ("power",), _power, _say_power, unit="W", missing=Missing.LOOK, reading="power"),
    Check("LSP03", "voice coil", "practice", ("dc", "impedance", "condition", "coil_read"), _coil, _say_coil, unit="ohm",
          missing=Missing.MEASURE, reading="resistance", may=("pass", "unknown", "fail")),
    Check("LSP04", "outline", "practice", ("diameter",), _same_size, _say_size, unit="m", change=True, may=("pass", "thin")),
    Check("LSP05", "field coil", "canadianvintageradio-6440", ("field",), _field_coil, _say_field, unit="ohm", change=True,
          missing=Missing.MEASURE, reading="field"),
    Check("LSP06", "field current", "practice", ("field", "field_current"), _field_current, _say_field_current, unit="A",
          wall=True, missing=Missing.MEASURE, reading="field_current"),
    Check("LSP07", "isolation of the socket", "practice", ("impedance", "condition"), _isolated, _say_isolated, wall=True,
          missing=Missing.MEASURE, reading="isolation", may=("unknown",)),
)  # fmt: skip
