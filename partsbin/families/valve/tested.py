"""Checks of what was read on this very valve: emission, gas, heater to cathode insulation. A used one without a test is tested."""

from __future__ import annotations

import math

import numpy as np

from partsbin.checks import Check, Columns, Finding, Missing, Ruling, outcomes
from partsbin.families.valve.plugged import Mask, Row
from partsbin.needs import Need
from partsbin.words import percent, say


def _used(c: Columns) -> Mask:
    return np.array([word not in ("new", "unused-old") for word in c["condition"]], dtype=bool)


def _emission(need: Need, c: Columns) -> Ruling:
    least, has = need.rules.general("emission_least"), c["emission"]
    fits, care = (need.rules.of(need.position, name)[0] for name in ("fits", "care"))
    with np.errstate(invalid="ignore"):
        fail, thin = has < least, has < fits
        unknown = (has < care) | (np.isnan(has) & _used(c))
    n = len(has)
    return Ruling(outcomes(n, fail=fail, thin=thin, unknown=unknown), has, np.full(n, care))


def _say_emission(need: Need, f: Finding, row: Row) -> str:
    has = row["emission"]
    wanted = f"{percent(need.rules.of(need.position, 'care')[0])} wanted (common practice)"
    if math.isnan(has):
        return f"used, emission not tested, {wanted}" if f.verdict == "unknown" else f"{row['condition']}: not tested"
    note = {"fail": ": spent", "unknown": ": only the set can tell", "thin": ": weak", "pass": ""}[f.verdict]
    return f"emission {percent(has)}, {wanted}{note}"


def _gas(need: Need, c: Columns) -> Ruling:
    most, bad, has = need.rules.general("gas_most"), need.rules.general("gas_bad"), c["gas"]
    with np.errstate(invalid="ignore"):
        fail, thin = has > bad, (has > most) | (np.isnan(has) & _used(c))
    n = len(has)
    return Ruling(outcomes(n, fail=fail, thin=thin), has, np.full(n, most))


def _say_gas(need: Need, f: Finding, row: Row) -> str:
    has, most = row["gas"], say(need.rules.general("gas_most"), "A")
    if math.isnan(has):
        return "gas not tested: read its grid, set warm" if f.verdict == "thin" else f"{row['condition']}: not tested"
    note = {"fail": ": gassy, it drives itself into the red", "thin": ": small grid leak only", "pass": ""}[f.verdict]
    return f"grid current {say(has, 'A')}, {most} at most (common practice){note}"


def _insulation(need: Need, c: Columns) -> Ruling:
    """Where the heater stands far from the cathode, in a chain or under a rectifier, a used one is tested first."""
    fits, care, has = need.rules.general("insulation_fits"), need.rules.general("insulation_care"), c["insulation"]
    blank = np.isnan(has) & _used(c)
    stressed = np.full(len(has), need.has("chain") or need.has("common_heater"))
    with np.errstate(invalid="ignore"):
        fail, thin = has < care, (has < fits) | (blank & ~stressed)
    n = len(has)
    return Ruling(outcomes(n, fail=fail, thin=thin, unknown=blank & stressed), has, np.full(n, care))


def _say_insulation(need: Need, f: Finding, row: Row) -> str:
    has, least = row["insulation"], say(need.rules.general("insulation_care"), "ohm")
    if math.isnan(has):
        if f.verdict == "pass":
            return f"{row['condition']}: not tested"
        where = ": the heater stands far from the cathode here" if f.verdict == "unknown" else ": listen for hum"
        return f"heater to cathode not tested, {least} wanted{where}"
    note = {"fail": ": hum, or worse", "thin": ": may hum", "pass": ""}[f.verdict]
    return f"heater to cathode {say(has, 'ohm')}, {least} wanted (common practice){note}"


TESTED = (
    Check("VAL11", "emission", "practice", ("condition", "emission"), _emission, _say_emission, unit="-", missing=Missing.MEASURE,
          reading="emission"),
    Check("VAL12", "gas", "practice", ("condition", "gas"), _gas, _say_gas, unit="A", may=("pass", "thin", "fail")),
    Check("VAL13", "heater insulation", "practice", ("condition", "insulation"), _insulation, _say_insulation, unit="ohm",
          wall=True, missing=Missing.MEASURE, reading="insulation"),
)  # fmt: skip
