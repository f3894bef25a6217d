"""What the valve of a socket has to be: the dead one's type, else the line-up's; its heater, and what the set puts on it."""

from __future__ import annotations

import math

from partsbin.families._dead_valve import type_of
from partsbin.families._declare import Search
from partsbin.families._marking import unknown
from partsbin.families._stress import LOADED, Draft, ht_stress
from partsbin.needs import Need, Request
from partsbin.notation.valve import read_valve
from partsbin.reference.valves import Valve, lineup, valve
from partsbin.rules import Rules, load_rules
from partsbin.sets import SetFacts, follow
from partsbin.words import say

PARALLEL = 12.7  # V, a heater of more stands in a chain on the mains


def need(request: Request) -> Need:
    """Build the need from the dead valve's type, else from the valve or the line-up of the set."""
    rules, position, facts = load_rules("valve"), request.position, request.facts
    draft = Draft()
    name, origin = _socket(request, rules)
    draft.assume(*unknown(read_valve(request.text) if request.text else ()))
    row = valve(name) if name else None
    if name:
        draft.put("socket", name, "", origin)
    else:
        draft.ask(
            "valve", "Which valve was in the socket? Its type, or the print beside the socket", "EL84", "ECC83", "EZ80"
        )
        draft.assume("the dead valve's type is not known: nothing can be said to replace it")
    if name and row is None:
        draft.assume(f"{name} is not in the table of valves: only the same type, or one listed for it, is taken")
    if row is not None:
        _ratings(draft, row)
        if not _suits(row, rules, position):
            draft.assume(f"{row.type} is a {row.kind}: taken at its word at this position")
    _heaters(draft, facts, row)
    if row.is_rectifier if row is not None else position == "rectifier":
        _rectifier(draft, facts, row)
    elif row is not None and row.is_output and facts.knows("rail"):
        draft.put("anode_volts", facts.number("rail"), "V", "rail given")
    headline = (f"{rules.of(position, 'title')}: {rules.of(position, 'does')}", _said(draft, row))
    return Need(
        "valve", position, draft.fields, request, rules, tuple(draft.assumptions), tuple(draft.questions), headline
    )


def _socket(request: Request, rules: Rules) -> tuple[str, str]:
    """The type the socket was made for, and where that comes from."""
    facts = request.facts
    given = str(request.fields.get("valve_type", "")) or type_of(request.text)
    if given:
        return given, "the dead one"
    for name in ("original", "valve"):
        if named := type_of(facts.text(name)):
            return named, f"{name} given"
    known = lineup(facts.text("lineup")).valves
    types = {item.valve.type for item in known if _suits(item.valve, rules, request.position)}
    fitting = request.position != "as-plugged" and len(types) == 1
    return (types.pop(), "the only one of its kind in the line-up") if fitting else ("", "")


def _suits(row: Valve, rules: Rules, position: str) -> bool:
    words = rules.of(position, "known_by", ())
    return not words or set(words) <= set(row.kind.split())


def _ratings(draft: Draft, row: Valve) -> None:
    figures = (
        ("heater_volts", "heater_volts", "V"), ("heater_amperes", "heater_amperes", "A"),
        ("dissipation", "anode_dissipation_watts", "W"),
    )  # fmt: skip
    for name, column, unit in figures:
        value = getattr(row, column)
        if value is not None:
            draft.put(name, value, unit, f"{row.type}{_doubt(row, column)}")
    draft.put("base", row.base, "", f"{row.type}{_doubt(row, 'base')}")
    if row.read_as:
        draft.assume(row.read_as)
    if row.is_output and row.anode_volts and row.anode_amperes:
        working = row.anode_volts * row.anode_amperes
        draft.put("working", working, "W", f"{row.anode_volts:g} V × {say(row.anode_amperes, 'A')} of {row.type}")


def _doubt(row: Valve, column: str) -> str:
    return "" if row.standing_of(column) == "read" else ", from memory"


def _heaters(draft: Draft, facts: SetFacts, row: Valve | None) -> None:
    """Heaters in a chain share one current; in parallel they share the volts of the winding."""
    rows = [item.valve for item in lineup(facts.text("lineup")).valves]
    live, why = follow.is_live(facts)
    own = row is not None and (row.heater_volts or 0.0) > PARALLEL
    currents = [found.heater_amperes for found in rows if found.heater_amperes]
    shared = len(currents) > 1 and max(currents) <= 1.05 * min(currents)
    if (live and shared) or own:
        draft.assume(*why)
        amperes = currents[0] if shared else row.heater_amperes if row is not None else None
        if amperes:
            draft.put("chain", amperes, "A", "heaters of the line-up" if shared else "heater of the dead one")


def _rectifier(draft: Draft, facts: SetFacts, row: Valve | None) -> None:
    ht_stress(draft, facts, math.nan)
    if facts.knows("secondary"):
        side, _, assumed = follow.winding(facts)
        draft.put("winding", side, "V", "HT winding a side")
        draft.assume(*assumed)
    if facts.knows("current"):
        draft.put("current", facts.number("current"), "A", "given")
    if facts.knows("winding_resistance"):
        draft.put("resistance", facts.number("winding_resistance"), "ohm", "given, a side")
    joined = row is not None and row.heater_volts in (6.3,) and not draft.has("chain")
    if joined:
        draft.put("common_heater", True, "", "heater volts as those of the other valves")
        draft.assume(
            "rectifier's heater taken to share the winding of the others: on a winding of its own it bears no HT"
        )
        if not draft.has("running_peak") and draft.has("off_load_peak"):
            draft.put("running_peak", LOADED * draft.number("off_load_peak"), "V", f"{LOADED:g} × the off-load peak")


def _said(draft: Draft, row: Valve | None) -> str:
    if not draft.has("socket"):
        return "type not known"
    name = str(draft.fields["socket"].value)
    if row is None:
        return f"{name} ({draft.fields['socket'].origin}), not in the table"
    heater = " ".join(
        say(value, unit) for value, unit in ((row.heater_volts, "V"), (row.heater_amperes, "A")) if value is not None
    )
    chain = f", in a chain of {say(draft.number('chain'), 'A')}" if draft.has("chain") else ""
    return f"{name} ({draft.fields['socket'].origin}), {row.kind}, {row.base}, heater {heater or 'not known'}{chain}"


def search(need: Need) -> Search:
    """Say what is asked of the search keys: a name that is not refused, no figure."""
    return Search(0.5, 2.0, 1.0)
