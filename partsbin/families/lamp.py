"""Lamp: volts, current, base, kind. In a heater chain the current decides: a lamp of less burns out and takes the set with it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any, Literal

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
from partsbin.notation.lamp import BASES, read_lamp
from partsbin.reference.valves import lineup
from partsbin.rules import load_rules
from partsbin.sets import SetFacts
from partsbin.words import say, span

KINDS = ("", "filament", "neon", "LED")
Row = Mapping[str, Any]


class LampFacts(Facts):
    """What is marked on a lamp."""

    voltage: float | None = fact("rated volts", unit="V", gt=0, le=500)
    current: float | None = fact("rated current", unit="A", gt=0, le=20)
    base: Literal["E5", "E10", "E14", "BA7s", "BA9s", "BA15d", "wedge", "festoon", "wire"] | None = fact("base")
    kind: Literal["filament", "neon", "LED"] | None = fact("filament, neon or LED")


def title(facts: LampFacts) -> str:
    """Return the part in trade notation."""
    rated = [say(value, unit) for value, unit in ((facts.voltage, "V"), (facts.current, "A")) if value]
    kind = f"{facts.kind} lamp" if facts.kind and facts.kind != "filament" else "lamp"
    return " ".join([kind, *rated, facts.base or ""]).strip()


def options(item: Item) -> Sequence[Option]:
    """Return the one way of using a lamp."""
    facts: LampFacts = item.facts
    read = item.readings.get("current")
    offers = {
        "voltage": facts.voltage, "voltage_low": facts.voltage, "voltage_high": facts.voltage,
        "current": facts.current if read is None else read.value,
        "base": facts.base or "", "kind": facts.kind or "filament", "condition": item.condition,
    }  # fmt: skip
    return [Option("", offers, () if facts.kind else ("a lamp without a word is a filament lamp",))]


def need(request: Request) -> Need:
    """Build the need from the dead lamp's marking, else from the heaters of the set."""
    rules, position, facts = load_rules("lamp"), request.position, request.facts
    draft = Draft()
    marked = marking(request, draft, read_lamp, sentence(LampFacts))
    draft.put("kind", str(marked.get("kind", "filament")), "", "the dead one" if "kind" in marked else "usual")
    if "base" in marked:
        draft.put("base", str(marked["base"]), "", "the dead one")
    _volts(draft, marked, facts, position, float(rules.of(position, "usual")))
    _current(draft, marked, facts, position)
    volts = draft.number("voltage")
    for name in ("fits", "care"):
        low, high = rules.of(position, name)
        draft.put(name, (low * volts, high * volts), "V", f"{low:g} to {high:g} times")
    current = (
        f", {say(draft.number('current'), 'A')} ({draft.fields['current'].origin})" if draft.has("current") else ""
    )
    headline = (
        f"{rules.of(position, 'title')}: {rules.of(position, 'does')}",
        f"{say(volts, 'V')} ({draft.fields['voltage'].origin}){current}{dead_part(request)}",
    )
    return Need(
        "lamp", position, draft.fields, request, rules, tuple(draft.assumptions), tuple(draft.questions), headline
    )


def _volts(draft: Draft, marked: Mapping[str, Any], facts: SetFacts, position: str, usual: float) -> None:
    if "voltage" in marked:
        draft.put("voltage", float(marked["voltage"]), "V", "the dead one")
        return
    if draft.word("kind") == "neon":
        draft.put(
            "voltage", float(load_rules("lamp").general("neon_volts")), "V", "a neon with its resistor, on the mains"
        )
        return
    winding = _heaters(facts)[0] if position == "parallel" else math.nan
    if not math.isnan(winding):
        draft.put("voltage", winding, "V", "heater volts of the line-up")
        return
    draft.put("voltage", usual, "V", "usual here")
    draft.assume(f"{say(usual, 'V')}: give the dead lamp's marking to know it")


def _current(draft: Draft, marked: Mapping[str, Any], facts: SetFacts, position: str) -> None:
    chain = _heaters(facts)[1]
    if position == "chain" and facts.knows("current"):
        draft.put("current", facts.number("current"), "A", "given")
    elif position == "chain" and not math.isnan(chain):
        draft.put("current", chain, "A", "heater current of the chain")
        if "current" in marked and abs(float(marked["current"]) / chain - 1) > 0.1:
            was = say(float(marked["current"]), "A")
            draft.assume(f"the dead lamp's {was} is not the chain's: a resistor lies across it, or it was wrong")
    elif "current" in marked:
        draft.put("current", float(marked["current"]), "A", "the dead one")
    elif position == "chain":
        draft.ask(
            "lineup",
            "Which valves stand in the chain? Their heater current is the lamp's",
            "UCH81 UF89 UABC80 UL84 UY85",
            "12BE6 12BA6 12AT6 50B5 35W4",
        )


def _heaters(facts: SetFacts) -> tuple[float, float]:
    """Heater volts that most of the line-up share, and the current that all share; NaN where they do not."""
    if not facts.knows("lineup"):
        return math.nan, math.nan
    rows = [counted.valve for counted in lineup(facts.text("lineup")).valves]
    volts = [row.heater_volts for row in rows if row.heater_volts]
    amperes = [row.heater_amperes for row in rows if row.heater_amperes]
    common = max(sorted(set(volts)), key=volts.count) if volts else math.nan
    shared = len(amperes) > 1 and max(amperes) <= 1.05 * min(amperes)
    return common, amperes[0] if shared else math.nan


def search(need: Need) -> Search:
    """Say what is asked of the search keys: the volts."""
    return Search(*need.window("care"), need.number("voltage"))


# ---- checks


DARK = 2.0
"""Rated volts over those there from which a lamp gives no light to speak of: its output goes with about the 3.5th power."""


def _voltage(need: Need, c: Columns) -> Ruling:
    alone = np.zeros(len(c["voltage"]), dtype=bool)
    return within(c["voltage"], c["voltage_low"], c["voltage_high"], alone, need.window("fits"), need.window("care"))


def _say_voltage(need: Need, f: Finding, row: Row) -> str:
    wanted = span(*need.window("fits"), "V")
    if f.verdict == "unknown":
        return f"volts not known, {wanted} wanted"
    high = row["voltage"] > need.window("fits")[1]
    if need.position == "chain":
        why = "" if f.verdict == "pass" else f": takes {'more' if high else 'fewer'} volts of the chain's"
    else:
        dark = row["voltage"] > DARK * need.window("fits")[1]
        why = (
            ""
            if f.verdict == "pass"
            else ": stays dark"
            if dark
            else ": dimmer, and lasts"
            if high
            else ": brighter, and burns out"
        )
    return f"{say(row['voltage'], 'V')}, {wanted} wanted{why}"


def _amperes(need: Need, c: Columns) -> Ruling | None:
    wanted = need.number("current")
    if math.isnan(wanted):
        if need.position != "chain":
            return None
        n = len(c["current"])
        return Ruling(outcomes(n, fail=np.zeros(n, bool), unknown=np.ones(n, bool)), c["current"], np.full(n, math.nan))
    chain = need.position == "chain"
    low, high = need.rules.general("chain_fits" if chain else "parallel_current")
    least, most = need.rules.general("chain_care") if chain else (0.0, need.rules.general("parallel_most"))
    alone = np.zeros(len(c["current"]), dtype=bool)
    return within(
        c["current"], c["current"], c["current"], alone, (low * wanted, high * wanted), (least * wanted, most * wanted)
    )


def _say_amperes(need: Need, f: Finding, row: Row) -> str:
    wanted = need.number("current")
    if math.isnan(row["current"]):
        return "current not known" + ("" if math.isnan(wanted) else f", {say(wanted, 'A')} wanted")
    if math.isnan(wanted):
        return f"{say(row['current'], 'A')}; the chain's current is not known"
    has = f"{say(row['current'], 'A')}, {say(wanted, 'A')} wanted"
    if f.verdict == "pass":
        return has
    if need.position == "chain":
        return f"{has}: " + ("dim, the chain goes on" if f.verdict == "thin" else "it burns out and breaks the chain"
                             if row["current"] < wanted else "too dim to see, and takes volts from the chain")  # fmt: skip
    return f"{has}: more load on the heater winding"


def _kind(need: Need, c: Columns) -> Ruling:
    wanted = need.word("kind")
    other = np.array([word not in ("", wanted) for word in c["kind"]], dtype=bool)
    led = np.array([word == "LED" for word in c["kind"]], dtype=bool)
    swap = led & (wanted == "filament") & (need.position != "chain")  # an LED in a chain needs a shunt that carries it
    return Ruling(outcomes(len(other), fail=other & ~swap, thin=swap), c["kind"], np.full(len(other), wanted, object))


def _say_kind(need: Need, f: Finding, row: Row) -> str:
    wanted = need.word("kind")
    if f.verdict == "pass":
        return f"{wanted} lamp"
    if f.verdict == "thin":
        return f"{row['kind']} for {wanted}: one made for AC, the colour and flicker differ"
    chain = ": it does not carry the chain's current" if need.position == "chain" else ""
    return f"{row['kind']} where a {wanted} lamp was{chain}"


def _base(need: Need, c: Columns) -> Ruling | None:
    if not need.has("base"):
        return None
    wanted = need.word("base")
    other = np.array([word not in ("", wanted) for word in c["base"]], dtype=bool)
    return Ruling(
        outcomes(len(other), fail=np.zeros(len(other), bool), thin=other),
        c["base"],
        np.full(len(other), wanted, object),
    )


def _say_base(need: Need, f: Finding, row: Row) -> str:
    was = need.word("base")
    return f"base {row['base']} for {was}: another holder" if f.verdict == "thin" else f"base {row['base'] or was}"


CHECKS = (
    Check("LMP01", "volts", "memory", ("voltage", "voltage_low", "voltage_high"), _voltage, _say_voltage, unit="V",
          missing=Missing.LOOK, reading="mark"),
    Check("LMP02", "current", "memory", ("current",), _amperes, _say_amperes, unit="A", wall=True, missing=Missing.MEASURE,
          reading="current"),
    Check("LMP03", "kind", "memory", ("kind",), _kind, _say_kind, may=("pass", "thin", "fail")),
    Check("LMP04", "base", "practice", ("base",), _base, _say_base, change=True, may=("pass", "thin")),
)  # fmt: skip


def cards(reading: str, need: Need, row: Row) -> Card | None:
    """Return what to read on a lamp."""
    current = need.number("current")
    passes = "the current of the chain" if math.isnan(current) else f"{say(0.9 * current, 'A')} or more"
    table = {
        "mark": (
            "volts on the base",
            "read the rim of the base with a glass",
            f"{span(*need.window('fits'), 'V')}",
            "eyes",
        ),
        "current": (
            "lamp current",
            f"{say(need.number('voltage'), 'V')} across the lamp, meter in series",
            passes,
            "meter",
        ),
    }
    if reading not in table:
        return None
    name, connect, wanted, instrument = table[reading]
    return Card(reading, name, connect, wanted, instrument=instrument)


def buy(need: Need) -> str:
    """Return what to buy."""
    current = f" {say(need.number('current'), 'A')}" if need.has("current") else ""
    return f"lamp {say(need.number('voltage'), 'V')}{current} {need.word('base')}".strip()


_DIAL = {"position": "parallel", "text": "6.3V 0.3A E10 lamp", "facts": ()}
_CHAIN = {"position": "chain", "text": "6.5V E10 lamp", "facts": ("lineup=UCH81 UF89 UABC80 UL84 UY85",)}
_OPEN = {"position": "chain", "text": "6.5V lamp", "facts": ()}
_LAMP = {"voltage": 6.3, "current": 0.3, "base": "E10", "kind": "filament"}
EXAMPLES = (
    Example("as the dead one", _LAMP, _DIAL, {f"LMP0{n}": "pass" for n in (1, 2, 3, 4)}),
    Example("8 V, half an ampere, bayonet", {**_LAMP, "voltage": 8.0, "current": 0.5, "base": "BA9s"}, _DIAL,
            {"LMP01": "thin", "LMP02": "thin", "LMP04": "thin"}),
    Example("2.5 V and an ampere", {**_LAMP, "voltage": 2.5, "current": 1.0}, _DIAL, {"LMP01": "fail", "LMP02": "fail"}),
    Example("no mark", {}, _DIAL, {"LMP01": "unknown", "LMP02": "unknown"}),
    Example("LED", {**_LAMP, "kind": "LED"}, _DIAL, {"LMP03": "thin"}),
    Example("neon", {**_LAMP, "kind": "neon"}, _DIAL, {"LMP03": "fail"}),
    Example("the chain's current", {**_LAMP, "current": 0.1}, _CHAIN, {"LMP02": "pass"}),
    Example("less than the chain's", {**_LAMP, "current": 0.06}, _CHAIN, {"LMP02": "fail"}),
    Example("LED in the chain", {**_LAMP, "kind": "LED", "current": 0.1}, _CHAIN, {"LMP03": "fail"}),
    Example("chain not known", {**_LAMP, "current": 0.1}, _OPEN, {"LMP02": "unknown"}),
)  # fmt: skip

FAMILY = Family(
    "lamp",
    LampFacts,
    Keys("voltage", "voltage_low", "voltage_high", "current",
         (("kind", KINDS), ("base", ("", *BASES)), ("condition", ("", *CONDITIONS)))),
    options,
    need,
    search,
    CHECKS,
    title,
    read_lamp,
    readings=(Reading("current", "A", "current at its rated volts"),),
    cards=cards,
    buy=buy,
    examples=EXAMPLES,
    words=frozenset({"kind", "base", "condition"}),
    owes=lambda offers: False,  # everything that a check wants stands in the search keys
)  # fmt: skip
