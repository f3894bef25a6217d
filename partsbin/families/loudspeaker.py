"""Loudspeaker: impedance, watts, outline, and the field coil that is the set's smoothing choke as well.

A voice coil's resistance is 1.15 to 1.45 times less than its rated impedance. A permanent magnet for a field coil leaves the set
without a choke: a choke and a resistor of the field's ohms take its place, and that is spelled out.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from partsbin.checks import Check, Columns, Finding, Missing, Ruling, outcomes, within
from partsbin.families._declare import (
    CONDITIONS,
    Card,
    Example,
    Facts,
    Family,
    Item,
    Keys,
    Option,
    Reading,
    Search,
    fact,
)
from partsbin.families._marking import dead_part, marking
from partsbin.families._said import sentence
from partsbin.families._stress import Draft
from partsbin.needs import Need, Request
from partsbin.notation.loudspeaker import read_loudspeaker
from partsbin.reference.valves import lineup
from partsbin.rules import Rules, load_rules
from partsbin.sets import SetFacts, follow
from partsbin.words import say, span

TOLERANCE = 0.15  # of a rated impedance: it is a curve, not a figure; common practice, no source
Row = Mapping[str, Any]


class LoudspeakerFacts(Facts):
    """What is marked on a loudspeaker."""

    impedance: float | None = fact("rated impedance", unit="ohm", gt=0, le=10e3)
    resistance: float | None = fact("DC resistance of the voice coil", unit="ohm", gt=0, le=10e3)
    power: float | None = fact("rated power", unit="W", gt=0, le=1000)
    diameter: float | None = fact("outline, longer axis", unit="m", gt=0, le=1)
    hole_centres: float | None = fact("distance of the fixing holes", unit="m", gt=0, le=1)
    depth: float | None = fact("depth behind the baffle", unit="m", gt=0, le=1)
    field_resistance: float | None = fact("resistance of the field coil", unit="ohm", gt=0, le=100e3)
    field_current: float | None = fact("current that the field wants", unit="A", gt=0, le=10)


def title(facts: LoudspeakerFacts) -> str:
    """Return the part in trade notation."""
    figures = [say(value, unit) for value, unit in ((facts.impedance, "ohm"), (facts.power, "W")) if value]
    size = f"{facts.diameter / 0.0254:.3g} in" if facts.diameter else ""
    field = f"field coil {say(facts.field_resistance, 'ohm')}" if facts.field_resistance else ""
    dc = f"{say(facts.resistance, 'ohm')} dcr" if facts.resistance and not facts.impedance else ""
    return " ".join(word for word in ("loudspeaker", *figures, dc, size, field) if word)


def options(item: Item) -> Sequence[Option]:
    """Return the one way of using a loudspeaker."""
    facts, rules = item.facts, load_rules("loudspeaker")
    read = item.readings.get("resistance")
    dc = read.value if read else facts.resistance
    value, low, high, assumed = _impedance(facts.impedance, dc, rules)
    field = item.readings.get("field_resistance")
    offers = {
        "impedance": value, "impedance_low": low, "impedance_high": high, "dc": dc, "power": facts.power,
        "diameter": facts.diameter, "hole_centres": facts.hole_centres, "depth": facts.depth,
        "field": field.value if field else facts.field_resistance,
        "field_current": facts.field_current, "condition": item.condition,
        "coil_read": float(read is not None),
    }  # fmt: skip
    return [Option("", offers, assumed)]


def _impedance(
    rated: float | None, dc: float | None, rules: Rules
) -> tuple[float | None, float | None, float | None, tuple[str, ...]]:
    """Return the impedance and its ends: as rated, else from the DC resistance."""
    if rated is not None:
        return rated, rated * (1 - TOLERANCE), rated * (1 + TOLERANCE), ()
    if dc is None:
        return None, None, None, ()
    times, low, high = (rules.general(f"impedance_{name}") for name in ("of_resistance", "low", "high"))
    return dc * times, dc * low, dc * high, (f"impedance {times:g} times the {say(dc, 'ohm')} of the coil",)


def need(request: Request) -> Need:
    """Build the need from the dead one's marking, the loudspeaker fact, and the watts of the output valve."""
    rules, position, facts = load_rules("loudspeaker"), request.position, request.facts
    draft = Draft()
    marked = marking(request, draft, read_loudspeaker, sentence(LoudspeakerFacts))
    _ohms(draft, marked, facts, rules, position)
    _watts(draft, facts, rules)
    for name in ("diameter", "hole_centres", "depth"):
        if name in marked:
            draft.put(name, float(marked[name]), "m", "the dead one")
    if position == "field":
        _field(draft, marked, facts)
    live, why = follow.is_live(facts)
    if position == "extension" and live is not False:
        draft.put("live", True, "", "live chassis" if live else "chassis not known, taken as live")
        draft.assume(*why)
        if live is None:
            draft.ask("chassis", "Is the chassis joined to the mains, or isolated by a transformer?", "live", "earthed")
    headline = (
        f"{rules.of(position, 'title')}: {rules.of(position, 'does')}",
        f"{say(draft.number('impedance'), 'ohm')} ({draft.fields['impedance'].origin}), "
        f"{say(draft.number('watts'), 'W')} ({draft.fields['watts'].origin}){dead_part(request)}",
    )
    return Need(
        "loudspeaker",
        position,
        draft.fields,
        request,
        rules,
        tuple(draft.assumptions),
        tuple(draft.questions),
        headline,
    )


def _ohms(draft: Draft, marked: Mapping[str, Any], facts: SetFacts, rules: Rules, position: str) -> None:
    if "impedance" in marked:
        ohms, origin = float(marked["impedance"]), "the dead one"
    elif facts.knows("speaker") and facts.number("speaker") > 0:
        ohms, origin = facts.number("speaker"), "given"
    elif "resistance" in marked:
        ohms, origin = (
            float(marked["resistance"]) * rules.general("impedance_of_resistance"),
            "from the dead one's coil",
        )
    else:
        ohms, origin = float(rules.of(position, "usual")), "usual"
        draft.assume(
            f"{say(ohms, 'ohm')}: the label of the output transformer or the dead coil's resistance × 1.25 says it"
        )
        draft.ask("speaker", "What ohms does the output transformer feed?", "3", "8", "15")
    draft.put("impedance", ohms, "ohm", origin)
    for name in ("fits", "care"):
        low, high = rules.of(position, name)
        draft.put(name, (low * ohms, high * ohms), "ohm", f"{low:g} to {high:g} times")


def _watts(draft: Draft, facts: SetFacts, rules: Rules) -> None:
    output = lineup(facts.text("lineup")).output if facts.knows("lineup") else None
    if output and output.valve.output_watts:
        watts = output.valve.output_watts * (output.count if output.count == 1 else 2.2 * output.count / 2)
        draft.put(
            "watts", watts, "W", f"{output.count} × {output.valve.type}" if output.count > 1 else output.valve.type
        )
        return
    usual = float(rules.general("usual_watts"))
    draft.put("watts", usual, "W", "usual of a receiver")
    draft.put("watts_assumed", True, "", "usual")


def _field(draft: Draft, marked: Mapping[str, Any], facts: SetFacts) -> None:
    draft.put("field_wanted", True, "", "position")
    if "field_resistance" in marked:
        draft.put("field", float(marked["field_resistance"]), "ohm", "the dead one")
    if "field_current" in marked:
        draft.put("field_rated", float(marked["field_current"]), "A", "the dead one")
    if facts.knows("current"):
        draft.put("current", facts.number("current"), "A", "given")
    elif "field_current" in marked:
        draft.put("current", float(marked["field_current"]), "A", "the dead one's field")
    else:
        draft.ask("current", "What HT current flows through the field?", "50mA", "80mA")


def search(need: Need) -> Search:
    """Say what is asked of the search keys: impedance, and watts where they are known."""
    least = math.nan if need.has("watts_assumed") else need.number("watts")
    least *= need.rules.general("power_least")
    return Search(*need.window("care"), need.number("impedance"), least, 3 * least)


# ---- checks


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
    result = outcomes(len(rated), fail=fail, thin=thin, unknown=np.isnan(rated))
    return Ruling(result, rated, np.full(len(rated), watts), (rated - watts) / rated)


def _say_power(need: Need, f: Finding, row: Row) -> str:
    gives = f"{say(need.number('watts'), 'W')} {'usual here' if need.has('watts_assumed') else 'from the stage'}"
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
    with np.errstate(invalid="ignore"):
        fail, thin = ~magnet & (current > 1.1 * rated), ~magnet & (current > rated)
    known_field = need.has("field") and need.has("field_rated")
    unknown = ~magnet & np.isnan(rated) & (not known_field)
    return Ruling(outcomes(len(rated), fail=fail, thin=thin, unknown=unknown), rated, np.full(len(rated), current))


def _say_field_current(need: Need, f: Finding, row: Row) -> str:
    flows = f"{say(need.number('current'), 'A')} flows"
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


def cards(reading: str, need: Need, row: Row) -> Card | None:
    """Return what to read on a loudspeaker."""
    low, high = need.window("fits")
    rules = need.rules
    watts = f"{say(need.number('watts'), 'W')} or more"
    current = f"{say(need.number('current'), 'A')} or more"
    least = say(rules.general("insulation_least"), "ohm")
    coil = span(low / rules.general("impedance_high"), high / rules.general("impedance_low"), "ohm")
    table = {
        "resistance": ("voice coil", "meter across it, one lead off; move the cone by hand: no scrape", f"{coil}", "meter"),
        "power": ("watts", "read the frame; else compare the magnet with the dead one's", watts, "eyes"),
        "field_current": ("field current", "read the frame; else compare the field's size with the dead one's", current, "eyes"),
        "isolation": ("isolation", "500 V DC, plug out: output primary to secondary", f"over {least}", "500 V tester"),
        "field": ("field coil", "meter across the dead one's field, wires off", "its ohms: then the rail is known", "meter"),
    }  # fmt: skip
    if reading not in table:
        return None
    name, connect, passes, instrument = table[reading]
    return Card(reading, name, connect, passes, instrument=instrument)


def buy(need: Need) -> str:
    """Return what to buy."""
    size = f", {need.number('diameter') * 1000:.0f} mm" if need.has("diameter") else ""
    watts = 1.5 * need.number("watts")
    return f"loudspeaker {say(need.number('impedance'), 'ohm')}, {say(watts, 'W')} or more{size}"


_MAIN = {"position": "main", "text": "loudspeaker 3 ohm 8 in", "facts": ("lineup=ECH81 EBF89 EABC80 EL84 EZ80",)}
_FIELD = {"position": "field", "text": "field coil loudspeaker 3 ohm 1k2 8 in", "facts": ("current=60mA",)}
_LOST = {**_FIELD, "text": "loudspeaker 3 ohm"}
_GOOD = {"impedance": 3.0, "power": 10.0, "diameter": 0.2032}
EXAMPLES = (
    Example("as the dead one", _GOOD, _MAIN, {f"LSP0{n}": "pass" for n in (1, 2, 3, 4)}),
    Example("five ohms, weak, oval", {"impedance": 5.0, "power": 4.0, "diameter": 0.25}, _MAIN,
            {"LSP01": "thin", "LSP02": "thin", "LSP04": "thin"}),
    Example("fifteen ohms, two watts", {"impedance": 15.0, "power": 2.0}, _MAIN, {"LSP01": "fail", "LSP02": "fail"}),
    Example("nothing known", {}, _MAIN, {"LSP01": "unknown", "LSP02": "unknown", "LSP03": "unknown"}, condition="salvaged"),
    Example("coil reads more than it should", {**_GOOD, "resistance": 4.5}, _MAIN, {"LSP03": "fail"}),
    Example("field like the dead one", {**_GOOD, "field_resistance": 1200.0}, _FIELD, {"LSP05": "pass"}),
    Example("permanent magnet", _GOOD, _FIELD, {"LSP05": "thin"}),
    Example("field of other ohms", {**_GOOD, "field_resistance": 6000.0}, _FIELD, {"LSP05": "fail"}),
    Example("field made for less", {**_GOOD, "field_resistance": 1200.0, "field_current": 0.03}, _FIELD, {"LSP06": "fail"}),
    Example("field made for a trifle less", {**_GOOD, "field_resistance": 1200.0, "field_current": 0.057}, _FIELD, {"LSP06": "thin"}),
    Example("field made for more", {**_GOOD, "field_resistance": 1200.0, "field_current": 0.08}, _FIELD, {"LSP06": "pass"}),
    Example("field of unknown current", {**_GOOD, "field_resistance": 1200.0}, _FIELD, {"LSP06": "unknown"}),
    Example("beside a live chassis", _GOOD, {"position": "extension", "text": "", "facts": ("chassis=live",)}, {"LSP07": "unknown"}),
    Example("dead field not known", {**_GOOD, "field_resistance": 1200.0}, _LOST, {"LSP05": "unknown"}),
)  # fmt: skip

FAMILY = Family(
    "loudspeaker",
    LoudspeakerFacts,
    Keys("impedance", "impedance_low", "impedance_high", "power", (("condition", ("", *CONDITIONS)),)),
    options,
    need,
    search,
    CHECKS,
    title,
    read_loudspeaker,
    readings=(Reading("resistance", "ohm", "voice coil"), Reading("field_resistance", "ohm", "field coil")),
    cards=cards,
    buy=buy,
    examples=EXAMPLES,
    words=frozenset({"condition"}),
)
