"""What a rectifier has to do: inverse volts by its connection, current, surge at switch-on; and what it changes in the set."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from partsbin.circuit.rectification import Connection
from partsbin.families._dead_valve import type_of
from partsbin.families._declare import Search
from partsbin.families._marking import unknown
from partsbin.families._stress import ASK_HT, Draft
from partsbin.families.rectifier.change import USUAL_WINDING, heater_gone, restore
from partsbin.needs import Need, Request
from partsbin.notation.capacitor import read_capacitor
from partsbin.notation.rectifier import read_rectifier_part
from partsbin.reference.valves import Valve, lineup, valve
from partsbin.rules import load_rules
from partsbin.sets import SetFacts, follow
from partsbin.sets.charging import ENDLESS, Supply
from partsbin.words import say, volts

ROOM = 1.3  # inverse rating over the stress beyond which more is no better
ARMS = {"half-wave": 1, "centre-tap": 2, "bridge": 4, "": 2}
REPLACES = ("replaces-valve", "replaces-selenium")


def need(request: Request) -> Need:
    """Build the need from the dead rectifier, valve or not, and the supply of the set."""
    rules, position, facts = load_rules("rectifier"), request.position, request.facts
    draft = Draft()
    row = _dead_valve(request) if position == "replaces-valve" else None
    marked = _marked(request)
    if row is None:
        draft.assume(*unknown(read_rectifier_part(request.text or request.facts.text("original"))))
    if position == "replaces-valve":
        draft.put("dead", row.type if row else "valve", "", "the dead one" if row else "type not known")
        if row is None:
            draft.ask("valve", "Which rectifier valve was fitted?", "EZ80", "5Y3GT", "UY85")
    connection = _connection(facts, row, marked) or ("half-wave" if position == "bias" else "")
    draft.put("connection", connection, "", "winding, or the dead one")
    _inverse(draft, facts, connection)
    _current(draft, request, row, marked)
    _resistance(draft, request)
    if position in REPLACES:
        _changes(draft, request, row, connection)
    headline = (f"{rules.of(position, 'title')}: {rules.of(position, 'does')}", _said(draft, connection))
    return Need(
        "rectifier", position, draft.fields, request, rules, tuple(draft.assumptions), tuple(draft.questions), headline
    )


def _dead_valve(request: Request) -> Valve | None:
    facts = request.facts
    for text in (request.text, facts.text("original"), facts.text("rectifier"), facts.text("valve")):
        name = type_of(text)
        if name and (row := valve(name)) is not None and row.is_rectifier:
            return row
    fitted = lineup(facts.text("lineup")).rectifier
    return fitted.valve if fitted else None


def _marked(request: Request) -> Mapping[str, Any]:
    text = request.text or request.facts.text("original")
    read = next((dict(reading.fields) for reading in read_rectifier_part(text)), {}) if text else {}
    return {**read, **request.fields}


def _connection(facts: SetFacts, row: Valve | None, marked: Mapping[str, Any]) -> str:
    """How the dead one was joined: "" where nobody knows, and the worse is reckoned with."""
    if facts.flag("rectifier_bridge"):
        return "bridge"
    if facts.knows("secondary"):
        full = facts.flag("secondary_full_wave")
        return "centre-tap" if facts.flag("secondary_tapped") else "bridge" if full else "half-wave"
    if row is not None:
        return "half-wave" if "half-wave" in row.kind else "centre-tap"
    if "connection" in marked:
        return {"bridge": "bridge", "centre-tap": "centre-tap", "single": "half-wave"}.get(
            str(marked["connection"]), ""
        )
    live, _ = follow.is_live(facts)
    return "half-wave" if live else ""


def _inverse(draft: Draft, facts: SetFacts, connection: str) -> None:
    """Peak across one arm, mains high, nothing loading the supply: never less than it can be."""
    peak = follow.off_load(facts)
    if math.isnan(peak.volts):
        draft.ask(*ASK_HT)
        draft.assume("HT winding not known: the inverse volts cannot be told")
        return
    draft.assume(*peak.assumed)
    if not peak.measured:
        draft.ask(*ASK_HT)
    times = 1 if connection == "bridge" else 2
    draft.put("off_load_peak", peak.volts, "V", peak.origin)
    draft.put(
        "inverse",
        times * peak.volts,
        "V",
        f"{times} × the off-load peak" + ("" if connection else ", connection not known"),
    )


def _current(draft: Draft, request: Request, row: Valve | None, marked: Mapping[str, Any]) -> None:
    facts, position = request.facts, request.position
    usual = float(load_rules("rectifier").of(position, "current"))
    if facts.knows("current"):
        draft.put("current", facts.number("current"), "A", "given")
        return
    drawn = follow.drawn(facts)
    if position != "bias" and not math.isnan(drawn.amperes):
        draft.put("current", drawn.most, "A", "anodes and screens of the line-up")
        draft.put("drawn", drawn.amperes, "A", "as listed: the rail is reckoned with it")
        draft.assume(*drawn.assumed)
        listed = f"{say(drawn.amperes, 'A')} drawn by the line-up's anodes and screens (tables, partly from memory)"
        more = drawn.most > drawn.amperes
        draft.assume(f"{listed}, {say(drawn.most, 'A')} with screens that no table lists" if more else listed)
    elif "dc_current" in marked:
        draft.put("current", float(marked["dc_current"]), "A", "marked on the dead one")
    elif row is not None and row.rectifier_amperes_max:
        draft.put("current", row.rectifier_amperes_max, "A", f"no more than {row.type} gives")
        draft.assume(
            f"current not known: the {say(row.rectifier_amperes_max, 'A')} of {row.type} taken (tables, partly from memory)"
        )
    else:
        draft.put("current", usual, "A", "as much as is usual here")
        draft.assume(f"current not known: {say(usual, 'A')} taken, as much as is usual here")
        draft.ask("current", "How much direct current does it give?", "50mA", "100mA", "500mA")


def _resistance(draft: Draft, request: Request) -> None:
    """What limits the surge: as read; a winding of a transformer has some at least, a live chassis may have none."""
    facts, least = request.facts, float(load_rules("rectifier").general("winding_least"))
    if facts.knows("winding_resistance"):
        draft.put("resistance", facts.number("winding_resistance"), "ohm", "given, a side")
        return
    live, _ = follow.is_live(facts)
    if live is False or facts.flag("secondary_tapped") or request.position == "bias":
        draft.put("winding_least", least, "ohm", "the least that a winding and its leads have")
        draft.assume(f"{least:g} Ω a side reckoned with for the surge, the least a winding has")


def _changes(draft: Draft, request: Request, row: Valve | None, connection: str) -> None:
    facts, rules = request.facts, load_rules("rectifier")
    live, _ = follow.is_live(facts)
    side = follow.winding(facts)[0] if facts.knows("secondary") else follow.mains(facts)[0] if live else math.nan
    usual = 0.0 if live else USUAL_WINDING
    if not draft.has("resistance") and not math.isnan(side):
        draft.assume(f"{usual:g} Ω a side reckoned with for the rail: read winding and leads")
    if facts.text("filter") != "choke-input":
        supply = Supply(
            side, facts.number("winding_resistance", usual), draft.number("drawn" if draft.has("drawn") else "current"),
            follow.frequency(facts),
            _joined(connection), row.type if row else "", facts.number("reservoir", ENDLESS),
        )  # fmt: skip
        if not facts.knows("reservoir") and supply.known:
            draft.assume("reservoir taken as large for the rail: reservoir=")
        restore(draft, facts, rules, supply, selenium=request.position == "replaces-selenium")
    if row is not None:
        chain = (row.heater_volts or 0.0) > 12.7
        heater_gone(draft, row, chain, rules)
    if request.position == "replaces-valve":
        _reservoir(draft, facts)


def _joined(connection: str) -> Connection:
    """The connection to reckon with; a pair on a tapped winding where nobody knows."""
    known: dict[str, Connection] = {"half-wave": "half-wave", "bridge": "bridge"}
    return known.get(connection, "centre-tap")


def _reservoir(draft: Draft, facts: SetFacts) -> None:
    """The weakest section of the reservoir, where its marking was given as the original."""
    rated = [
        float(value)
        for reading in read_capacitor(facts.text("original"))
        for entry in (reading.fields, *_sections(reading.fields))
        if isinstance(value := entry.get("voltage_dc"), float)
    ]
    if rated:
        draft.put("reservoir_volts", min(rated), "V", "marked on the reservoir, given as original")


def _sections(fields: Mapping[str, object]) -> list[dict[str, object]]:
    found = fields.get("sections", ())
    return [entry for entry in found if isinstance(entry, dict)] if isinstance(found, (list, tuple)) else []


def _said(draft: Draft, connection: str) -> str:
    inverse = f"{volts(draft.number('inverse'))} inverse" if draft.has("inverse") else "inverse volts not known"
    current = (
        f"{say(draft.number('current'), 'A')} ({draft.fields['current'].origin})"
        if draft.has("current")
        else "current not known"
    )
    return f"{connection or 'connection not known'}, {inverse}, {current}"


def search(need: Need) -> Search:
    """Say what is asked of the search keys: inverse volts, and the current."""
    inverse = need.number("inverse")
    if math.isnan(inverse):
        return Search(1.0, 1e5, 1000.0, need.number("current"), 2 * need.number("current"))
    return Search(inverse * (1 - 1e-9), 1e6, ROOM * inverse, need.number("current"), 2 * need.number("current"))


def series_ohm(need: Need) -> float:
    """Return the resistor that restores the rail [ohm], 0 where there is none to fit."""
    return max(0.0, need.number("ac_resistor")) if need.has("ac_resistor") else 0.0
