"""What a failed switch had to do: poles, mains or HT, amperes."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from partsbin.families._contacts import set_current
from partsbin.families._declare import Search
from partsbin.families._marking import dead_part, marking
from partsbin.families._said import sentence
from partsbin.families._stress import Draft, ht_stress
from partsbin.families.switch.facts import SwitchFacts
from partsbin.needs import Need, Request
from partsbin.notation.switch import read_switch
from partsbin.rules import load_rules
from partsbin.sets import SetFacts, follow
from partsbin.words import say, volts


def need(request: Request) -> Need:
    """Build the need from the position, the set and the dead switch's marking."""
    rules, position, facts = load_rules("switch"), request.position, request.facts
    draft = Draft()
    marked = marking(request, draft, read_switch, sentence(SwitchFacts))
    mains = rules.of(position, "stress") == "mains"
    if mains:
        nominal, assumed = follow.mains(facts)
        draft.assume(*assumed)
        draft.put("mains", nominal, "V", "nominal mains")
    elif rules.of(position, "stress") == "ht":
        ht_stress(draft, facts, float(marked.get("voltage_dc") or math.nan))
    _poles(draft, facts, marked, mains, float(rules.of(position, "poles")))
    _current(draft, facts, marked, float(rules.of(position, "current")), rules.of(position, "stress"))
    if "action" in marked:
        draft.put("action", str(marked["action"]), "", "the dead one")
    if "ways" in marked:
        draft.put("ways", float(marked["ways"]), "-", "the dead one")
    carries = "as_marked" if draft.has("as_marked") else "current"
    headline = (
        f"{rules.of(position, 'title')}: {rules.of(position, 'does')}",
        f"{draft.number('poles'):.0f} {'pole' if draft.number('poles') == 1 else 'poles'} "
        f"({draft.fields['poles'].origin}), {say(draft.number(carries), 'A')} ({draft.fields[carries].origin})"
        + (f", {volts(draft.number('mains'))} mains" if mains else "")
        + dead_part(request),
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
    poles = float(marked.get("poles") or usual)
    draft.put("poles", poles, "-", "as the dead one" if "poles" in marked else "usual here")


def _current(draft: Draft, facts: SetFacts, marked: Mapping[str, Any], usual: float, stress: str) -> None:
    """What flows. The dead one's mark is what it may carry: a lesser one may do, but not before the load is known."""
    mains = stress == "mains"
    given = set_current(draft, facts, usual) if mains else facts.number("current")
    if not math.isnan(given):
        draft.put("current", given, "A", "given")
        return
    direct = marked.get("current_dc") if stress == "ht" else None
    rated = float(direct or marked.get("current") or math.nan)
    slight = rated < usual and stress == "signal"  # elsewhere so few are a slip
    if slight or rated >= usual:
        draft.put("as_marked", rated, "A", "marked on the dead one")
    elif mains:
        draft.assume(
            f"set draws up to {say(usual, 'A')} from the mains: give it with current=, from {say(usual, 'A')} up"
        )
    if slight:
        draft.put("current", rated, "A", "marked on the dead one")
    else:
        draft.put("current", usual, "A", "usual for a set of valves" if mains else "usual here")


def search(need: Need) -> Search:
    """Say what is asked of the search keys: poles, and on the mains the volts."""
    poles = need.number("poles")
    least = need.number("mains") if need.has("mains") else math.nan
    low, high = need.rules.of(need.position, "care")
    return Search(low * poles, high * poles, poles, least, 1.1 * least)
