"""What a failed loudspeaker had to do: ohms, watts of the output stage, outline, the current through its field."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from partsbin.families._declare import Search
from partsbin.families._marking import dead_part, marking
from partsbin.families._said import sentence
from partsbin.families._stress import PAIR_GIVES, Draft
from partsbin.families.loudspeaker.facts import LoudspeakerFacts
from partsbin.needs import Need, Request
from partsbin.notation.loudspeaker import read_loudspeaker, says_field
from partsbin.reference.valves import Counted, lineup
from partsbin.rules import Rules, load_rules
from partsbin.sets import SetFacts, follow
from partsbin.words import say


def need(request: Request) -> Need:
    """Build the need from the dead one's marking, the loudspeaker fact, and the watts of the output valve."""
    rules, position, facts = load_rules("loudspeaker"), request.position, request.facts
    draft = Draft()
    marked = marking(request, draft, read_loudspeaker, sentence(LoudspeakerFacts))
    if position == "main" and ("field_resistance" in marked or says_field(request.text or facts.text("original"))):
        position = "field"
        draft.assume("the dead one has a field coil: its field, magnet and smoothing choke in one, is judged as well")
    _ohms(draft, marked, facts, rules, position)
    _watts(draft, marked, facts, rules)
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
        f"{_said_watts(draft)}{dead_part(request)}",
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


def _said_watts(draft: Draft) -> str:
    watts, origin = draft.number("watts"), draft.fields["watts"].origin
    return f"watts of {origin}" if math.isnan(watts) else f"{say(watts, 'W')} ({origin})"


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


def _watts(draft: Draft, marked: Mapping[str, Any], facts: SetFacts, rules: Rules) -> None:
    """The stage's watts as listed, else the dead one's rating, else no more than the stage can give, else what is usual."""
    found = lineup(facts.text("lineup"))
    output = found.output
    if output and output.valve.output_watts:
        watts = output.valve.output_watts * (output.count if output.count == 1 else PAIR_GIVES * output.count / 2)
        draft.put(
            "watts", watts, "W", f"{output.count} × {output.valve.type}" if output.count > 1 else output.valve.type
        )
    elif "power" in marked:
        draft.put("watts", float(marked["power"]), "W", "the dead one")
        draft.put("watts_label", True, "", "the dead one's rating")
    elif output or found.unknown:
        most = _most_watts(output) if output else math.nan
        kind = output.valve.type if output else " ".join(found.unknown)
        draft.put(
            "watts",
            most,
            "W",
            f"the most that {kind} can give at its listed working point" if most > 0 else f"{kind}: not known",
        )
        draft.put("watts_bound", True, "", "the stage's watts are not listed")
        draft.assume(
            f"watts of {kind} are not listed: volts across the loudspeaker at full volume, squared over its ohms, are"
        )
    else:
        usual = float(rules.general("usual_watts"))
        draft.put("watts", usual, "W", "usual of a receiver")
        draft.put("watts_assumed", True, "", "usual")
        draft.assume(f"{say(usual, 'W')} of a small receiver: the line-up or the dead one's rating says more")
        draft.ask("lineup", "Which valves has the set, or which output valve?", "EL84", "2x EL84", "2x EL34")


def _most_watts(output: Counted) -> float:
    """Return what an output stage cannot exceed [W]: V²/2R of a pair's whole swing, VI/2 of a single valve; NaN where not known."""
    row = output.valve
    if output.count > 1:
        supply, load = row.push_pull_supply_volts, row.push_pull_load_ohm
        return (2 * supply) ** 2 / (2 * load) * output.count / 2 if supply and load else math.nan
    return row.anode_volts * row.anode_amperes / 2 if row.anode_volts and row.anode_amperes else math.nan


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
    elif not math.isnan((drawn := follow.drawn(facts)).amperes):
        draft.put("current", drawn.amperes, "A", "anodes and screens of the line-up")
        draft.put("current_most", drawn.most, "A", "and what screens draw that no table lists")
        draft.assume(*drawn.assumed, f"{say(drawn.amperes, 'A')} of HT drawn by the line-up: current= replaces it")
    else:
        draft.ask("current", "What HT current flows through the field?", "50mA", "80mA")


def search(need: Need) -> Search:
    """Say what is asked of the search keys: impedance, and watts where they are known."""
    sure = not (need.has("watts_assumed") or need.has("watts_bound"))
    least = (need.number("watts") if sure else math.nan) * need.rules.general("power_least")
    return Search(*need.window("care"), need.number("impedance"), least, 3 * least)
