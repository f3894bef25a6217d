"""Choke: henries at the standing current, the current its gap bears, its copper, its insulation to the core.

Inductance falls with the standing current: a figure without a current is a figure without it. A burnt choke sits at HT on an
earthed core, so the insulation of a used one is read before it goes in.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from partsbin.checks import Check, Columns, Finding, Missing, Outcome, Ruling, at_most, outcomes, within
from partsbin.circuit.supply import critical_inductance
from partsbin.families._afterwards import of_choke
from partsbin.families._dangers import CLIP_ON, LEADS
from partsbin.families._declare import (
    CONDITIONS,
    Card,
    Example,
    Facts,
    Family,
    Item,
    Keys,
    Measured,
    Option,
    Reading,
    Search,
    fact,
)
from partsbin.families._marking import dead_part, marking
from partsbin.families._said import sentence
from partsbin.families._stress import Draft, ht_stress
from partsbin.needs import Need, Request
from partsbin.notation.choke import read_choke
from partsbin.rules import Rules, load_rules
from partsbin.sets import SetFacts, follow
from partsbin.words import say, span, volts

TOLERANCE = 0.2  # of a marked inductance; common practice, no source
Row = Mapping[str, Any]
DEAD_RATING = "the dead one's rating"
LINEUP = "anodes and screens of the line-up, at most"


class ChokeFacts(Facts):
    """What is marked on a choke."""

    inductance: float | None = fact("inductance at the standing current", unit="H", gt=0, le=1000)
    dc_current: float | None = fact("standing current at which the inductance holds", unit="A", gt=0, le=10)
    resistance: float | None = fact("DC resistance", unit="ohm", gt=0, le=100e3)
    insulation_voltage: float | None = fact("test volts, winding to core", unit="V", gt=0, le=20e3)


def title(facts: ChokeFacts) -> str:
    """Return the part in trade notation."""
    figures = ((facts.inductance, "H"), (facts.dc_current, "A"), (facts.resistance, "ohm"))
    return " ".join(["choke", *(say(value, unit) for value, unit in figures if value)])


def options(item: Item) -> Sequence[Option]:
    """Return the one way of using a choke."""
    facts: ChokeFacts = item.facts
    henries, ohms, insulation = (item.readings.get(name) for name in ("inductance", "resistance", "insulation"))
    value = henries.value if henries else facts.inductance
    spread = henries.uncertainty if henries else TOLERANCE * value if value else 0.0
    return [
        Option(
            "",
            {
                "inductance": value,
                "inductance_low": None if value is None else max(value - spread, value * 1e-3),
                "inductance_high": None if value is None else value + spread,
                "measured": float(henries is not None),
                "dc_current": facts.dc_current,
                "resistance": ohms.value if ohms else facts.resistance,
                "insulation": None if insulation is None else insulation.value - insulation.uncertainty,
                "insulation_volts": None if insulation is None else insulation.conditions.get("volts", math.nan),
                "insulation_rated": facts.insulation_voltage,
                "condition": item.condition,
            },
        )
    ]


def need(request: Request) -> Need:
    """Build the need from the dead choke's marking, the set's current and its HT."""
    rules, position, facts = load_rules("choke"), request.position, request.facts
    draft = Draft()
    marked = marking(request, draft, read_choke, sentence(ChokeFacts))
    _current(draft, marked, facts, rules, position)
    _henries(draft, marked, facts, rules, position)
    if "resistance" in marked:
        draft.put("resistance", float(marked["resistance"]), "ohm", "the dead one")
    ht_stress(draft, facts, math.nan)
    draft.questions[:] = [question for question in draft.questions if question.fact != "secondary"]
    headline = (
        f"{rules.of(position, 'title')}: {rules.of(position, 'does')}",
        f"{say(draft.number('ideal'), 'H')} ({draft.fields['ideal'].origin}) at {say(draft.number('current'), 'A')} "
        f"({draft.fields['current'].origin}){dead_part(request)}",
    )
    return Need(
        "choke", position, draft.fields, request, rules, tuple(draft.assumptions), tuple(draft.questions), headline
    )


def _current(draft: Draft, marked: Mapping[str, Any], facts: SetFacts, rules: Rules, position: str) -> None:
    if facts.knows("current"):
        draft.put("current", facts.number("current"), "A", "given")
    elif "dc_current" in marked:
        draft.put("current", float(marked["dc_current"]), "A", DEAD_RATING)
    else:
        drawn = follow.drawn(facts)
        if math.isnan(drawn.amperes):
            draft.put("current", float(rules.of(position, "current")), "A", "usual, not known")
        else:
            draft.put("current", drawn.most, "A", LINEUP)
            draft.assume(*drawn.assumed)
        draft.put("current_assumed", True, "", draft.fields["current"].origin)
        draft.ask("current", "What HT current flows through the choke?", "40mA", "80mA", "150mA")


def _henries(draft: Draft, marked: Mapping[str, Any], facts: SetFacts, rules: Rules, position: str) -> None:
    if "inductance" in marked:
        wanted, origin = float(marked["inductance"]), "the dead one"
    else:
        wanted, origin = float(rules.of(position, "usual")), "usual"
        draft.assume(f"{say(wanted, 'H')}: give the dead choke's marking to know it")
    draft.put("ideal", wanted, "H", origin)
    for name in ("fits", "care"):
        low, high = rules.of(position, name)
        draft.put(name, (low * wanted, high * wanted), "H", f"{low:g} to {high:g} times")
    rail = follow.running_rail(facts).volts
    if position == "input" and not math.isnan(rail):
        least = critical_inductance(rail / draft.number("current"), 2 * follow.frequency(facts) / 2)
        draft.put(
            "critical", float(least) * rules.general("critical_margin"), "H", "critical at this current, with margin"
        )


def search(need: Need) -> Search:
    """Say what is asked of the search keys: henries, and the standing current where it is known."""
    least = math.nan if need.has("current_assumed") else need.number("current")
    return Search(*need.window("care"), need.number("ideal"), least, 1.3 * least)


# ---- checks


def _inductance(need: Need, c: Columns) -> Ruling:
    whole = c["measured"] == 1.0
    return within(
        c["inductance"], c["inductance_low"], c["inductance_high"], whole, need.window("fits"), need.window("care")
    )


def _say_inductance(need: Need, f: Finding, row: Row) -> str:
    wanted = span(*need.window("fits"), "H")
    if f.verdict == "unknown":
        return f"inductance not known, {wanted} wanted"
    low = f.ends[0] < need.window("fits")[0]
    why = "" if f.verdict == "pass" else ": more hum" if low else ": more copper and iron than asked for"
    return f"{span(*f.ends, 'H')}, {wanted} wanted{why}"


def _standing(need: Need, c: Columns) -> Ruling:
    current = need.number("current")
    like_for_like = need.fields["current"].origin == DEAD_RATING
    ruling = at_most(current, c["dc_current"], thin_above=1.0 if like_for_like else need.rules.general("thin_current"))
    if like_for_like:  # the dead one bore it: an equal rating is no thin margin
        ruling.outcome[c["dc_current"] == current] = Outcome.PASS
    if need.has("current_assumed"):  # refuses nothing: what flows is read first
        flows_unknown = need.fields["current"].origin != LINEUP  # what is merely usual passes nothing either
        ruling.outcome[(ruling.outcome == Outcome.FAIL) | flows_unknown] = Outcome.UNKNOWN
    return ruling


def _say_standing(need: Need, f: Finding, row: Row) -> str:
    origin = need.fields["current"].origin
    how = (
        "drawn by the line-up at most" if origin == LINEUP else "usual here" if need.has("current_assumed") else "flows"
    )
    flows = f"{say(need.number('current'), 'A')} {how}"
    if math.isnan(row["dc_current"]):
        return f"rated current not known, {flows}"
    why = ": the iron saturates and the winding cooks" if f.verdict == "fail" else ""
    return f"rated {say(row['dc_current'], 'A')}, {flows}{why}"


def _critical(need: Need, c: Columns) -> Ruling | None:
    least = need.number("critical")
    if math.isnan(least):
        return None
    value = c["inductance_low"]
    with np.errstate(invalid="ignore"):
        return Ruling(
            outcomes(len(value), fail=value < least, unknown=np.isnan(value)), value, np.full(len(value), least)
        )


def _say_critical(need: Need, f: Finding, row: Row) -> str:
    least = say(need.number("critical"), "H")
    if f.verdict == "unknown":
        return f"inductance not known, {least} needed for choke input"
    soars = ": the rail would soar" if f.verdict == "fail" else ""
    return f"{say(row['inductance_low'], 'H')} at its low end, {least} needed for choke input{soars}"


def _copper(need: Need, c: Columns) -> Ruling | None:
    if not need.has("resistance"):
        return None
    was = need.number("resistance")
    (low, high), (least, most) = need.rules.general("resistance_fits"), need.rules.general("resistance_care")
    field = was > need.rules.general("copper_field")  # a field coil's: a resistor makes up for what a choke has less
    least = 0.0 if field else least
    alone = np.zeros(len(c["resistance"]), dtype=bool)
    ruling = within(
        c["resistance"], c["resistance"], c["resistance"], alone, (low * was, high * was), (least * was, most * was)
    )
    new = np.array([word == "new" for word in c["condition"]], dtype=bool)
    if not field:  # what it moves is the rail, and that is read afterwards
        ruling.outcome[new & np.isnan(c["resistance"])] = Outcome.PASS
    return ruling


def _say_copper(need: Need, f: Finding, row: Row) -> str:
    was, current = need.number("resistance"), need.number("current")
    if math.isnan(row["resistance"]):
        return f"copper not known, {say(was, 'ohm')} was there" + (
            "" if f.verdict == "unknown" else ": read the rail after"
        )
    moves = (was - row["resistance"]) * current
    drop = f"rail {volts(abs(moves))} {'higher' if moves > 0 else 'lower'}"
    less = was - row["resistance"]
    watts = (
        f" ({say(less * current**2, 'W')} in it: fit twice that)" if was > need.rules.general("copper_field") else ""
    )
    trim = f"; {say(less, 'ohm')}{watts} in series restores it" if moves > 0 and f.verdict == "thin" else ""
    return f"{say(row['resistance'], 'ohm')} for {say(was, 'ohm')}" + ("" if f.verdict == "pass" else f": {drop}{trim}")


def _insulated(need: Need, c: Columns) -> Ruling:
    """A used one is tested to the core; a new one is rated for the peak, or taken as made for HT."""
    used = np.array([word != "new" for word in c["condition"]], dtype=bool)
    peak = need.number("off_load_peak")
    least = need.rules.general("insulation_least")
    tested = c["insulation_volts"] >= need.rules.general("insulation_test")
    with np.errstate(invalid="ignore"):
        leaks, weak = c["insulation"] < least, c["insulation_rated"] < peak
    unknown = used & (np.isnan(c["insulation"]) | ~tested)
    return Ruling(outcomes(len(used), fail=leaks | weak, unknown=unknown), c["insulation"], np.full(len(used), least))


def _say_insulated(need: Need, f: Finding, row: Row) -> str:
    least, peak = say(need.rules.general("insulation_least"), "ohm"), need.number("off_load_peak")
    if row["insulation_rated"] < peak:
        return f"insulation tested at {volts(row['insulation_rated'])}, {volts(peak)} off load"
    if f.verdict == "unknown" and not math.isnan(row["insulation"]):
        return f"{say(row['insulation'], 'ohm')} to the core, but not read at {volts(need.rules.general('insulation_test'))}"
    if not math.isnan(row["insulation"]):
        return f"{say(row['insulation'], 'ohm')} to the core, {least} wanted"
    return (
        "not new: insulation to the core not read" if f.verdict == "unknown" else f"new, {least} to the core expected"
    )


CHECKS = (
    Check("CHK01", "inductance", "memory", ("inductance", "inductance_low", "inductance_high", "measured"), _inductance,
          _say_inductance, unit="H", missing=Missing.MEASURE, reading="inductance"),
    Check("CHK02", "standing current", "memory", ("dc_current",), _standing, _say_standing, unit="A", wall=True,
          missing=Missing.LOOK, reading="dc_current"),
    Check("CHK03", "critical inductance", "worked", ("inductance_low",), _critical, _say_critical, unit="H",
          missing=Missing.MEASURE, reading="inductance", may=("pass", "unknown", "fail")),
    Check("CHK04", "copper", "memory", ("resistance", "condition"), _copper, _say_copper, unit="ohm", change=True,
          missing=Missing.MEASURE, reading="resistance"),
    Check("CHK05", "insulation", "practice", ("condition", "insulation", "insulation_volts", "insulation_rated"), _insulated,
          _say_insulated, unit="ohm", wall=True, missing=Missing.MEASURE, reading="insulation", may=("pass", "unknown", "fail")),
)  # fmt: skip


def cards(reading: str, need: Need, row: Row) -> Card | None:
    """Return what to read on a choke."""
    least, current = say(need.rules.general("insulation_least"), "ohm"), say(need.number("current"), "A")
    low, high = need.rules.general("resistance_fits")
    was = need.number("resistance")
    copper = "100 Ω to 1 kΩ is usual" if math.isnan(was) else span(low * was, high * was, "ohm")
    table = {
        "inductance": (
            "inductance",
            "10 V 100 Hz across it, meter in series: volts over current over 2π 100 Hz",
            span(*need.window("fits"), "H"),
            f"without the standing current it reads high: {current} flows in use",
            "",
            "LCR",
        ),
        "dc_current": (
            "rated current",
            "read the label, else what the donor's HT drew; and volts across the dead one (or a resistor in that lead) over "
            "its ohms: what flows"
            if need.has("current_assumed")
            else "read the label; else what the donor's HT drew",
            "rated for what flows" if need.has("current_assumed") else f"{current} or more",
            "",
            CLIP_ON if need.has("current_assumed") else "",
            "eyes",
        ),
        "resistance": ("copper", "meter across it, wires off", copper, "", "", "meter"),
        "insulation": (
            "insulation",
            "500 V DC, wires off: winding to core",
            f"over {least} (common practice)",
            "",
            LEADS,
            "500 V tester",
        ),
    }
    if reading not in table:
        return None
    name, connect, passes, correction, danger, instrument = table[reading]
    return Card(reading, name, connect, passes, correction, danger, instrument)


def buy(need: Need) -> str:
    """Return what to buy."""
    return f"choke {say(need.number('ideal'), 'H')} {say(need.number('current'), 'A')} or more"


_SMOOTH = {"position": "smoothing", "text": "10H 60mA 300 ohm choke", "facts": ("secondary=250-0-250",)}
_FLOWS = {**_SMOOTH, "facts": ("secondary=250-0-250", "current=60mA")}
_INPUT = {"position": "input", "text": "choke 10H", "facts": ("rail=250", "current=60mA")}
_BARE = {"position": "smoothing", "text": "", "facts": ()}
_LINEUP = {"position": "smoothing", "text": "10H choke", "facts": ("lineup=ECH81 EBF89 EABC80 EL84 EZ80",)}
_GOOD = {"inductance": 12.0, "dc_current": 0.1, "resistance": 280.0}
EXAMPLES = (
    Example("as good as the dead one", _GOOD, _SMOOTH, {"CHK01": "pass", "CHK02": "pass", "CHK04": "pass", "CHK05": "pass"}),
    Example("small, lean, and just enough", {"inductance": 6.0, "dc_current": 0.062, "resistance": 150.0}, _FLOWS,
            {"CHK01": "thin", "CHK02": "thin", "CHK04": "thin"}),
    Example("far too small", {"inductance": 1.0, "dc_current": 0.03, "resistance": 20.0}, _SMOOTH,
            {"CHK01": "fail", "CHK02": "fail", "CHK04": "fail"}),
    Example("nothing known", {}, _SMOOTH, {"CHK01": "unknown", "CHK02": "unknown", "CHK04": "unknown", "CHK05": "unknown"},
            condition="salvaged"),
    Example("leaking", _GOOD, _SMOOTH, {"CHK05": "fail"}, condition="salvaged",
            readings={"insulation": Measured(1e6, 0.0, {"volts": 500.0})}),
    Example("enough for choke input", {"inductance": 20.0, "dc_current": 0.1}, _INPUT, {"CHK03": "pass"}),
    Example("under the critical inductance", {"inductance": 3.0, "dc_current": 0.1}, _INPUT, {"CHK03": "fail"}),
    Example("critical, not known", {"dc_current": 0.1}, _INPUT, {"CHK03": "unknown"}),
    Example("current not known", {"inductance": 10.0, "dc_current": 0.03}, _BARE, {"CHK02": "unknown"}),
    Example("rated for what is usual", {"inductance": 10.0, "dc_current": 0.1}, _BARE, {"CHK02": "unknown"}),
    Example("less than the line-up draws", {"inductance": 10.0, "dc_current": 0.06}, _LINEUP, {"CHK02": "unknown"}),
    Example("more than the line-up draws", {"inductance": 10.0, "dc_current": 0.1}, _LINEUP, {"CHK02": "pass"}),
)  # fmt: skip

FAMILY = Family(
    "choke",
    ChokeFacts,
    Keys("inductance", "inductance_low", "inductance_high", "dc_current",
         (("measured", (math.nan, 0.0, 1.0)), ("condition", ("", *CONDITIONS)))),
    options,
    need,
    search,
    CHECKS,
    title,
    read_choke,
    readings=(Reading("inductance", "H", "inductance"), Reading("resistance", "ohm", "DC resistance"),
              Reading("insulation", "ohm", "winding to core, at stated volts", LEADS)),
    cards=cards,
    after=of_choke,
    buy=buy,
    examples=EXAMPLES,
    words=frozenset({"condition"}),
)  # fmt: skip
