"""The checks of rectifiers: inverse volts, current, surge, what it is made of, and what the change moves in the set."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from partsbin.checks import Check, Columns, Finding, Missing, Outcome, Ruling, at_most, one_of, outcomes
from partsbin.families._declare import Option
from partsbin.families.rectifier.change import fit, made
from partsbin.families.rectifier.need import ARMS, REPLACES, series_ohm
from partsbin.needs import Need
from partsbin.words import listed, say, volts

Row = Mapping[str, Any]


def _words(texts: Any, *words: str) -> Any:
    return np.array([text in words for text in texts.tolist()], dtype=bool)


# ---- ratings


def _inverse(need: Need, c: Columns) -> Ruling:
    return at_most(need.number("inverse"), c["inverse"], thin_above=1 / need.rules.of(need.position, "fits")[0])


def _say_inverse(need: Need, f: Finding, row: Row) -> str:
    has = "inverse volts not marked" if math.isnan(row["inverse"]) else f"{volts(row['inverse'])} inverse"
    if not need.has("inverse"):
        return f"{has}; what it has to bear is not known"
    pair = " both together" if row["series"] == 2 else ""
    return f"{has}{pair}, {volts(need.number('inverse'))} there ({need.fields['inverse'].origin})"


def _current(need: Need, c: Columns) -> Ruling:
    share = need.rules.general("current_share")
    return at_most(need.number("current"), c["current"], thin_above=share)


def _say_current(need: Need, f: Finding, row: Row) -> str:
    has = "current not marked" if math.isnan(row["current"]) else say(row["current"], "A")
    if not need.has("current"):
        return f"{has}; what the set draws is not known"
    why = (
        f": into a capacitor no more than {need.rules.general('current_share') * 100:.0f} %"
        if f.verdict == "thin"
        else ""
    )
    return f"{has}, {say(need.number('current'), 'A')} drawn{why}"


def _path(need: Need) -> float:
    """Resistance that limits the surge: the winding's, read or the least it can be, and the resistor that restores the rail."""
    of_winding = next((need.number(name) for name in ("resistance", "winding_least") if need.has(name)), 0.0)
    whole = of_winding + series_ohm(need)
    return whole if whole > 0 else math.nan


def _surge(need: Need, c: Columns) -> Ruling:
    """At switch-on the empty reservoir is a short circuit: the peak over the resistance. Selenium limits itself."""
    stress = need.number("off_load_peak") / _path(need)
    ruling = at_most(stress, c["surge"], thin_above=need.rules.general("thin_surge"))
    if not need.has("resistance"):  # on the least that a winding has nobody is refused: its resistance is read
        ruling.outcome[ruling.outcome == Outcome.FAIL] = Outcome.UNKNOWN
    ruling.outcome[_words(c["technology"], "selenium", "copper-oxide")] = Outcome.PASS
    return ruling


def _say_surge(need: Need, f: Finding, row: Row) -> str:
    if row["technology"] in ("selenium", "copper-oxide"):
        return "its plates limit the surge (from memory)"
    has = "surge not marked" if math.isnan(row["surge"]) else f"bears {say(row['surge'], 'A')} at switch-on"
    path, peak = _path(need), need.number("off_load_peak")
    if math.isnan(peak):
        return f"{has}; the HT is not known"
    if math.isnan(path):
        least = "" if math.isnan(row["surge"]) else f", {say(peak / row['surge'], 'ohm')} at least"
        return f"{has}; the resistance a side is not known{least}"
    added = f" ({made(series_ohm(need))} of it the resistor in the lead)" if series_ohm(need) else ""
    cure = "" if f.verdict in ("pass", "unknown") else f": make it {say(peak / (0.8 * row['surge']), 'ohm')} a side"
    return f"{has}, {say(peak / path, 'A')} through {say(path, 'ohm')}{added} at {volts(peak)}{cure}"


# ---- what it is made of, how it is joined


def _technology(need: Need, c: Columns) -> Ruling:
    good, fair = (frozenset(need.rules.of(need.position, word)) for word in ("technologies", "technologies_care"))
    ruling = one_of(c["technology"], good=good, thin=fair, needed=listed(sorted(good)))
    used = ~_words(c["condition"], "new", "unused-old")
    ruling.outcome[_words(c["technology"], "selenium", "copper-oxide") & used] = Outcome.FAIL
    return ruling


def _say_technology(need: Need, f: Finding, row: Row) -> str:
    wanted = listed(sorted(need.rules.of(need.position, "technologies")))
    made = str(row["technology"])
    if not made:
        return f"selenium or silicon not known, {wanted} wanted"
    if f.verdict == "pass":
        return made
    if f.verdict == "thin":
        return f"{made}, {wanted} wanted: it ages on the shelf too, bring it up slowly"
    used = row["condition"] not in ("new", "unused-old") and made in need.rules.of(need.position, "technologies_care")
    return (
        f"used {made}: never again, its drop rises until it burns"
        if used
        else f"{made} does not serve here, {wanted} wanted"
    )


def _pieces(connection: str, joined: str) -> int | None:
    """How many units make the arms of a connection, None where they do not."""
    made = {"single": 1, "half-bridge": 2, "centre-tap": 2, "bridge": 4, "doubler": 2}
    arms = ARMS[connection]
    if joined == "bridge":
        return 1
    if joined in ("centre-tap", "doubler") and connection == "bridge":
        return None
    return max(1, math.ceil(arms / made[joined]))


def takes(need: Need, option: Option) -> int:
    """Return how many pieces make the arms that are wanted, two in series counted."""
    units = _pieces(need.word("connection"), str(option.offers["connection"] or "single")) or 1
    return units * int(option.offers["series"] or 1)


def _connection(need: Need, c: Columns) -> Ruling:
    wanted = need.word("connection")
    joined = c["connection"].tolist()
    units = [(_pieces(wanted, word) if word else 0) for word in joined]
    exact = {"half-wave": "single", "centre-tap": "centre-tap", "bridge": "bridge"}.get(wanted, "")
    fail = np.array([number is None for number in units], dtype=bool)
    other = np.array([word not in (exact, "single") for word in joined], dtype=bool)
    unknown = np.array([not word for word in joined], dtype=bool)
    n = len(joined)
    several = np.array([(number or 0) > 1 for number in units], dtype=bool) & (
        wanted != "" and need.position in REPLACES
    )
    thin = (other & (wanted != "")) | (c["series"] == 2) | several
    return Ruling(outcomes(n, fail=fail, thin=thin, unknown=unknown), c["connection"], np.full(n, wanted, dtype=object))


def _say_connection(need: Need, f: Finding, row: Row) -> str:
    wanted, joined = need.word("connection"), row["connection"]
    there = wanted or "connection not known"
    if not joined:
        return f"how its arms are joined is not known, {there} wanted"
    units = _pieces(wanted, joined)
    if units is None:
        return f"{joined} where a {wanted} is wanted"
    count = units * int(row["series"])
    said = f"{count} of them for {there}" if wanted else f"{joined}; {there}"
    if row["series"] == 2:
        return f"{said}: two in series an arm, 470 kΩ 0.5 W across each (common practice)"
    if f.verdict == "thin" and joined == "bridge":
        return f"{joined} used as {there}: two arms stay idle"
    return said


# ---- what the change moves


def _rail(need: Need, c: Columns) -> Ruling | None:
    if need.position not in REPLACES:
        return None
    n, silicon = len(c["technology"]), _words(c["technology"], "silicon", "")
    thin = silicon | (need.position == "replaces-valve")
    before, after = need.number("rail_before"), need.number("rail_after")
    return Ruling(outcomes(n, fail=np.zeros(n, bool), thin=thin), np.full(n, after), np.full(n, before))


def _say_rail(need: Need, f: Finding, row: Row) -> str:
    if f.verdict == "pass":
        return "drops as the dead one did"
    if row["technology"] in ("selenium", "copper-oxide"):
        return "drops less than a valve: read the rail, a resistor if it rises"
    if not need.has("ac_resistor"):
        why = (
            "choke input: the rail rises by the dead one's drop"
            if need.facts.text("filter") == "choke-input"
            else "the rail rises"
        )
        return f"{why}: start with 125 Ω 5 W in each lead to it (from memory), read the rail and trim"
    each = "each anode lead" if need.word("connection") in ("centre-tap", "") else "its AC lead"
    ac, dc = (made(need.number(f"{side}_resistor")) for side in ("ac", "dc"))
    heat, cool = need.number("ac_watts"), need.number("dc_watts")
    return (
        f"rail {volts(need.number('rail_after'))}, was {volts(need.number('rail_before'))}: {ac} in {each} "
        f"({say(heat, 'W')}: fit {fit(heat)}), or {dc} behind the reservoir ({say(cool, 'W')}: fit {fit(cool)})"
    )


def _heater(need: Need, c: Columns) -> Ruling | None:
    if not (need.has("heater") or need.has("heater_idle")):
        return None
    n = len(c["technology"])
    thin = np.full(n, need.has("heater"))
    return Ruling(outcomes(n, fail=np.zeros(n, bool), thin=thin), c["technology"], np.full(n, "", dtype=object))


def _say_heater(need: Need, f: Finding, row: Row) -> str:
    return need.word("heater") or need.word("heater_idle")


def _cold(need: Need, c: Columns) -> Ruling | None:
    """A valve warms up with its load; silicon puts the whole peak on the reservoir at once."""
    if need.position != "replaces-valve":
        return None
    n, peak, rated = len(c["technology"]), need.number("off_load_peak"), need.number("reservoir_volts")
    low, unknown = peak > rated, math.isnan(peak)
    full = not math.isnan(rated)
    outcome = outcomes(
        n, fail=np.full(n, low), thin=np.full(n, not full or peak > 0.95 * rated), unknown=np.full(n, unknown)
    )
    return Ruling(outcome, np.full(n, rated), np.full(n, peak))


def _say_cold(need: Need, f: Finding, row: Row) -> str:
    peak, rated = need.number("off_load_peak"), need.number("reservoir_volts")
    if math.isnan(peak):
        return "the peak that now stands on the reservoir at once is not known"
    if math.isnan(rated):
        return f"{volts(peak)} on every HT capacitor at once: see that each is marked for {volts(peak)} or more"
    cure = ": a better reservoir first" if f.verdict == "fail" else ""
    return f"reservoir marked {volts(rated)}, {volts(peak)} on it at once{cure}"


def _tested(need: Need, c: Columns) -> Ruling:
    most, bad, has = need.rules.general("leakage_most"), need.rules.general("leakage_bad"), c["leakage"]
    used = ~_words(c["condition"], "new", "unused-old")
    with np.errstate(invalid="ignore"):
        fail, thin = has > bad, has > most
    n = len(has)
    dry = _words(c["technology"], "selenium", "copper-oxide")
    return Ruling(outcomes(n, fail=fail & ~dry, thin=thin & ~dry, unknown=np.isnan(has) & used), has, np.full(n, most))


def _say_tested(need: Need, f: Finding, row: Row) -> str:
    most = say(need.rules.general("leakage_most"), "A")
    if math.isnan(row["leakage"]):
        return (
            f"used, not tested: {most} reverse at most" if f.verdict == "unknown" else f"{row['condition']}: not tested"
        )
    return f"{say(row['leakage'], 'A')} reverse, {most} at most (common practice)"


CHECKS = (
    Check("REC01", "inverse volts", "worked", ("inverse", "series"), _inverse, _say_inverse, unit="V", wall=True,
          missing=Missing.LOOK, reading="inverse"),
    Check("REC02", "current", "rectron-derating", ("current",), _current, _say_current, unit="A", wall=True, missing=Missing.LOOK,
          reading="current"),
    Check("REC03", "surge", "worked", ("surge", "technology"), _surge, _say_surge, unit="A", wall=True, missing=Missing.MEASURE,
          reading="surge"),
    Check("REC04", "material", "practice", ("technology", "condition"), _technology, _say_technology, wall=True,
          missing=Missing.LOOK, reading="material"),
    Check("REC05", "connection", "practice", ("connection", "series"), _connection, _say_connection, missing=Missing.LOOK,
          reading="material", change=True),
    Check("REC06", "rail", "worked", ("technology",), _rail, _say_rail, unit="V", change=True, may=("pass", "thin")),
    Check("REC07", "heater", "darby-1962", ("technology",), _heater, _say_heater, change=True, may=("pass", "thin")),
    Check("REC08", "peak at once", "iron-cold-start", ("technology",), _cold, _say_cold, unit="V", wall=True, reading="inverse",
          change=True),
    Check("REC09", "leakage", "practice", ("leakage", "condition", "technology"), _tested, _say_tested, unit="A",
          missing=Missing.MEASURE, reading="leakage"),
)  # fmt: skip
