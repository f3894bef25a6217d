"""Switch: how many poles it parts, at which volts and amperes, of which current. On the mains only a marked rating counts.

A single pole leaves a live chassis at mains potential when the plug is the wrong way round; a rating for a few volts says
nothing of 230; and a switch rated for alternating current alone draws an arc on direct current.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, Literal

import numpy as np

from partsbin.checks import Check, Columns, Finding, Missing, Outcome, Ruling, at_most, outcomes
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
from partsbin.families._stress import Draft, ht_stress
from partsbin.needs import Need, Request
from partsbin.notation.switch import read_switch
from partsbin.rules import load_rules
from partsbin.sets import SetFacts, follow
from partsbin.words import say, volts

MAINS_AC = 200.0  # V, ratings under it were never meant for the mains of a 230 V country
Row = Mapping[str, Any]


class SwitchFacts(Facts):
    """What is marked on a switch."""

    poles: int | None = fact("poles: how many leads it parts at once", ge=1, le=24)
    ways: int | None = fact("positions that make contact", ge=1, le=48)
    action: Literal["toggle", "rotary", "push", "rocker", "slide", "key", "pull"] | None = fact("how it is worked")
    voltage_ac: float | None = fact("volts of alternating current it may break, RMS", unit="V", gt=0, le=1000)
    voltage_dc: float | None = fact("volts of direct current it may break", unit="V", gt=0, le=2000)
    current: float | None = fact("current it may switch", unit="A", gt=0, le=100)
    surge: float | None = fact("surge current it may make", unit="A", gt=0, le=1000)
    hole: float | None = fact("mounting hole", unit="m", gt=0, le=0.1)


def title(facts: SwitchFacts) -> str:
    """Return the part in trade notation."""
    poles = {1: "single-pole", 2: "double-pole"}.get(facts.poles or 0, f"{facts.poles}-pole" if facts.poles else "")
    rated = " ".join(
        text
        for text in (
            say(facts.current, "A") if facts.current else "",
            f"{say(facts.voltage_ac, 'V')} AC" if facts.voltage_ac else "",
            f"{say(facts.voltage_dc, 'V')} DC" if facts.voltage_dc else "",
        )
        if text
    )
    ways = f"{facts.ways}-way" if facts.ways and facts.ways > 1 else ""
    return " ".join(word for word in (poles, ways, facts.action or "", "switch", rated) if word)


def options(item: Item) -> Sequence[Option]:
    """Return the one way of using a switch: all its poles together."""
    facts: SwitchFacts = item.facts
    poles = None if facts.poles is None else float(facts.poles)
    contact: Measured | None = item.readings.get("contact_resistance")
    open_: Measured | None = item.readings.get("insulation")
    return [
        Option(
            "",
            {
                "poles": poles, "poles_low": poles, "poles_high": poles,
                "ways": None if facts.ways is None else float(facts.ways),
                "voltage_ac": facts.voltage_ac, "voltage_dc": facts.voltage_dc, "current": facts.current,
                "action": facts.action or "", "condition": item.condition, "hole": facts.hole,
                "contact": None if contact is None else contact.value + contact.uncertainty,
                "insulation": None if open_ is None else open_.value - open_.uncertainty,
                "insulation_volts": None if open_ is None else open_.conditions.get("volts", math.nan),
            },
        )
    ]  # fmt: skip


# ---- what is needed


def need(request: Request) -> Need:
    """Build the need from the position, the set and the dead switch's marking."""
    rules, position, facts = load_rules("switch"), request.position, request.facts
    draft = Draft()
    text = request.text or facts.text("original")
    marked = next((reading.fields for reading in read_switch(text)), {}) if text else {}
    mains = rules.of(position, "stress") == "mains"
    if mains:
        nominal, assumed = follow.mains(facts)
        draft.assume(*assumed)
        draft.put("mains", nominal, "V", "nominal mains")
    elif rules.of(position, "stress") == "ht":
        ht_stress(draft, facts, float(str(marked.get("voltage_dc", math.nan))))
    _poles(draft, facts, marked, mains, float(rules.of(position, "poles")))
    _current(draft, facts, marked, float(rules.of(position, "current")))
    if "action" in marked:
        draft.put("action", str(marked["action"]), "", "the dead one")
    if "ways" in marked:
        draft.put("ways", float(str(marked["ways"])), "-", "the dead one")
    headline = (
        f"{rules.of(position, 'title')}: {rules.of(position, 'does')}",
        f"{draft.number('poles'):.0f} {'pole' if draft.number('poles') == 1 else 'poles'} "
        f"({draft.fields['poles'].origin}), {say(draft.number('current'), 'A')} ({draft.fields['current'].origin})"
        + (f", {volts(draft.number('mains'))} mains" if mains else ""),
    )
    return Need(
        "switch", position, draft.fields, request, rules, tuple(draft.assumptions), tuple(draft.questions), headline
    )


def _poles(draft: Draft, facts: SetFacts, marked: Mapping[str, Any], mains: bool, usual: float) -> None:
    live, why = follow.is_live(facts) if mains else (False, ())
    draft.assume(*why)
    if mains and live is not False:
        draft.put(
            "poles", 2.0, "-", "live chassis: both leads must part" if live else "chassis not known: taken as live"
        )
        draft.put("live", True, "", "chassis")
        if live is None:
            draft.ask(
                "chassis",
                "Is the chassis joined to the mains, or isolated by a transformer?",
                "live",
                "floating",
                "earthed",
            )
        return
    poles = float(str(marked.get("poles", usual)))
    draft.put("poles", poles, "-", "as the dead one" if "poles" in marked else "usual here")


def _current(draft: Draft, facts: SetFacts, marked: Mapping[str, Any], usual: float) -> None:
    if facts.knows("current"):
        draft.put("current", facts.number("current"), "A", "given")
    elif "current" in marked:
        draft.put("current", float(str(marked["current"])), "A", "marked on the dead one")
    else:
        draft.put("current", usual, "A", "usual for a set of valves")
        draft.assume(f"current {say(usual, 'A')}: give the set's with current=")


def search(need: Need) -> Search:
    """Say what is asked of the search keys: poles, and on the mains the volts."""
    poles = need.number("poles")
    least = need.number("mains") if need.has("mains") else math.nan
    low, high = need.rules.of(need.position, "care")
    return Search(low * poles, high * poles, poles, least, 1.1 * least)


# ---- checks


def _pole_count(need: Need, c: Columns) -> Ruling:
    wanted = np.full(len(c["poles"]), need.number("poles"))
    unknown = np.isnan(c["poles"])
    with np.errstate(invalid="ignore"):
        return Ruling(outcomes(len(wanted), fail=c["poles"] < wanted, unknown=unknown), c["poles"], wanted)


def _say_poles(need: Need, f: Finding, row: Row) -> str:
    wanted = need.number("poles")
    if f.verdict == "unknown":
        return f"poles not known, {wanted:.0f} wanted"
    has = "1 pole" if row["poles"] == 1 else f"{row['poles']:.0f} poles"
    if f.verdict == "pass":
        return f"{has}, {wanted:.0f} wanted"
    why = ": switched off, the chassis can stay at the mains" if need.has("live") else ""
    return f"{has}, {wanted:.0f} needed{why}"


def _ac(need: Need, c: Columns) -> Ruling | None:
    return at_most(need.number("mains"), c["voltage_ac"], missing=Outcome.FAIL) if need.has("mains") else None


def _say_ac(need: Need, f: Finding, row: Row) -> str:
    mains = volts(need.number("mains"))
    if math.isnan(row["voltage_ac"]):
        return f"no AC rating marked, {mains} mains: nothing but the mark tells"
    small = ": a low-voltage switch" if row["voltage_ac"] < MAINS_AC and f.verdict == "fail" else ""
    return f"{volts(row['voltage_ac'])} AC marked, {mains} mains{small}"


def _dc(need: Need, c: Columns) -> Ruling | None:
    if need.rules.of(need.position, "stress") != "ht":
        return None
    peak, rated = need.number("off_load_peak"), c["voltage_dc"]
    if math.isnan(peak):
        n = len(rated)
        return Ruling(outcomes(n, fail=np.isnan(rated), unknown=~np.isnan(rated)), rated, np.full(n, peak))
    return at_most(peak, rated, thin_above=need.rules.general("thin_volts"), missing=Outcome.FAIL)


def _say_dc(need: Need, f: Finding, row: Row) -> str:
    peak = need.number("off_load_peak")
    wanted = "HT not known" if math.isnan(peak) else f"{volts(peak)} HT off load"
    if math.isnan(row["voltage_dc"]):
        return f"no DC rating marked, {wanted}: an AC rating says nothing of the arc"
    return f"{volts(row['voltage_dc'])} DC marked, {wanted}"


def _amperes(need: Need, c: Columns) -> Ruling:
    wall = need.has("mains") or need.rules.of(need.position, "stress") == "ht"
    thin = need.rules.general("thin_current")
    return at_most(
        need.number("current"), c["current"], thin_above=thin, missing=Outcome.FAIL if wall else Outcome.UNKNOWN
    )


def _say_amperes(need: Need, f: Finding, row: Row) -> str:
    wanted = say(need.number("current"), "A")
    if math.isnan(row["current"]):
        return f"no current marked, {wanted} to switch"
    room = ": little room for the surge at switch-on" if f.verdict == "thin" else ""
    return f"{say(row['current'], 'A')} marked, {wanted} to switch{room}"


def _proven(need: Need, c: Columns) -> Ruling | None:
    """A used switch on the mains: contacts and insulation are read before it goes in."""
    if not need.has("mains"):
        return None
    used = np.array([word != "new" for word in c["condition"]], dtype=bool)
    most, least = need.rules.general("contact_most"), need.rules.general("insulation_least")
    tested = c["insulation_volts"] >= need.rules.general("insulation_test")
    with np.errstate(invalid="ignore"):
        bad = (c["contact"] > 10 * most) | (c["insulation"] < least)
        unknown = used & (np.isnan(c["contact"]) | np.isnan(c["insulation"]) | ~tested)
        thin = c["contact"] > most
    n = len(used)
    return Ruling(
        outcomes(n, fail=bad, thin=thin, unknown=unknown),
        c["condition"],
        np.full(n, "contacts and insulation read", object),
    )


def _say_proven(need: Need, f: Finding, row: Row) -> str:
    if f.verdict == "unknown":
        return "used: contacts and insulation not read"
    contact = "" if math.isnan(row["contact"]) else f"contacts {say(row['contact'], 'ohm')}"
    insulation = "" if math.isnan(row["insulation"]) else f"insulation {say(row['insulation'], 'ohm')}"
    read = ", ".join(text for text in (contact, insulation) if text)
    return read or "new"


def _same_action(need: Need, c: Columns) -> Ruling | None:
    if not need.has("action"):
        return None
    word = need.word("action")
    n = len(c["action"])
    other = np.array([text not in ("", word) for text in c["action"]], dtype=bool)
    return Ruling(outcomes(n, fail=np.zeros(n, bool), thin=other), c["action"], np.full(n, word, object))


def _say_action(need: Need, f: Finding, row: Row) -> str:
    was = need.word("action")
    return (
        f"{row['action']} for a {was}: another hole"
        if f.verdict == "thin"
        else f"{row['action'] or was}, as the dead one"
    )


CHECKS = (
    Check("SWI01", "poles", "practice", ("poles",), _pole_count, _say_poles, wall=True, missing=Missing.LOOK, reading="poles",
          may=("pass", "unknown", "fail")),
    Check("SWI02", "AC volts", "practice", ("voltage_ac",), _ac, _say_ac, unit="V", wall=True, may=("pass", "thin", "fail")),
    Check("SWI03", "DC volts", "practice", ("voltage_dc",), _dc, _say_dc, unit="V", wall=True, reading="rail"),
    Check("SWI04", "current", "practice", ("current",), _amperes, _say_amperes, unit="A", wall=True, missing=Missing.LOOK,
          reading="current"),
    Check("SWI05", "contacts", "practice", ("condition", "contact", "insulation", "insulation_volts"), _proven, _say_proven,
          missing=Missing.MEASURE, reading="contacts"),
    Check("SWI06", "action", "practice", ("action",), _same_action, _say_action, change=True, may=("pass", "thin")),
)  # fmt: skip


def cards(reading: str, need: Need, row: Row) -> Card | None:
    """Return what to do about an unknown."""
    least, most = say(need.rules.general("insulation_least"), "ohm"), need.rules.general("contact_most")
    table = {
        "poles": ("poles", "plug out; meter on ohms across each pair of tags, worked on and off",
                  f"{need.number('poles'):.0f} pairs that close together", "", "meter"),
        "current": ("rating", "read it on the body", f"{say(need.number('current'), 'A')} or more", "", "eyes"),
        "contacts": (
            "contacts and insulation",
            "each pole, 1 A DC, volts across it, ten times; then 500 V DC across the open poles, pole to pole, poles to the frame",
            f"under {most * 1000:.0f} mV each time; over {least} (common practice)",
            "never touch the tags during the test", "500 V tester",
        ),
    }  # fmt: skip
    if reading == "rail":
        return Card(reading, "rail", "HT off load, meter to chassis", "then the DC rating wanted is known")
    if reading not in table:
        return None
    name, connect, passes, danger, instrument = table[reading]
    return Card(reading, name, connect, passes, danger=danger, instrument=instrument)


def buy(need: Need) -> str:
    """Return what to buy where nothing on the shelf does."""
    poles = {1.0: "single-pole", 2.0: "double-pole"}.get(need.number("poles"), f"{need.number('poles'):.0f}-pole")
    amperes = say(max(1.0, 2 * need.number("current")), "A") if need.has("mains") else say(need.number("current"), "A")
    if need.has("mains"):
        return f"{poles} mains switch, {amperes} 250 V AC or more, approved, contact gap 3 mm"
    if need.has("off_load_peak"):
        return f"{poles} switch rated for {volts(need.number('off_load'))} DC, {amperes}"
    return f"{poles} switch"


_ON_MAINS = {"position": "mains", "text": "", "facts": ("chassis=floating", "current=0.3")}
_LIVE = {"position": "mains", "text": "toggle switch", "facts": ("chassis=live", "current=0.3")}
_HT = {"position": "ht", "text": "", "facts": ("secondary=250-0-250", "current=60mA")}
_GOOD = {"poles": 2, "voltage_ac": 250.0, "current": 4.0, "action": "toggle"}
EXAMPLES = (
    Example("two poles on a live chassis", _GOOD, _LIVE, {f"SWI0{n}": "pass" for n in (1, 2, 4, 5, 6)}),
    Example("one pole on a live chassis", {**_GOOD, "poles": 1, "action": "rocker"}, _LIVE, {"SWI01": "fail", "SWI06": "thin"}),
    Example("poles not known", {**_GOOD, "poles": None}, _LIVE, {"SWI01": "unknown"}),
    Example("sixteen volts", {**_GOOD, "voltage_ac": 16.0}, _ON_MAINS, {"SWI02": "fail"}),
    Example("as the mains", {**_GOOD, "voltage_ac": 230.0, "current": 0.3}, _ON_MAINS, {"SWI02": "thin", "SWI04": "thin"}),
    Example("a tenth of an ampere", {**_GOOD, "current": 0.1}, _ON_MAINS, {"SWI04": "fail"}),
    Example("no DC rating", _GOOD, _HT, {"SWI03": "fail"}),
    Example("rated for DC", {**_GOOD, "voltage_dc": 600.0}, _HT, {"SWI03": "pass"}),
    Example("just rated for DC", {**_GOOD, "voltage_dc": 420.0}, _HT, {"SWI03": "thin"}),
    Example("HT not known", {**_GOOD, "voltage_dc": 400.0}, {**_HT, "facts": ()}, {"SWI03": "unknown"}),
    Example("current not marked", {**_GOOD, "current": None}, {**_HT, "position": "selector"}, {"SWI04": "unknown"}),
    Example("used, not tested", _GOOD, _ON_MAINS, {"SWI05": "unknown"}, condition="salvaged"),
    Example("used, tested", _GOOD, _ON_MAINS, {"SWI05": "pass"}, condition="salvaged",
            readings={"contact_resistance": Measured(0.03), "insulation": Measured(1e9, 0.0, {"volts": 500.0})}),
    Example("used, worn", _GOOD, _ON_MAINS, {"SWI05": "thin"}, condition="salvaged",
            readings={"contact_resistance": Measured(0.2), "insulation": Measured(1e9, 0.0, {"volts": 500.0})}),
    Example("used, leaking", _GOOD, _ON_MAINS, {"SWI05": "fail"}, condition="salvaged",
            readings={"contact_resistance": Measured(0.03), "insulation": Measured(1e6, 0.0, {"volts": 500.0})}),
)  # fmt: skip

FAMILY = Family(
    "switch",
    SwitchFacts,
    Keys("poles", "poles_low", "poles_high", "voltage_ac", (("condition", ("", *CONDITIONS)),)),
    options,
    need,
    search,
    CHECKS,
    title,
    read_switch,
    readings=(
        Reading("contact_resistance", "ohm", "closed contact, worst of all"),
        Reading("insulation", "ohm", "open contact and to the frame, at stated volts"),
    ),
    cards=cards,
    buy=buy,
    examples=EXAMPLES,
    words=frozenset({"condition", "action"}),
)
