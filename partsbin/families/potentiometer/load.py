"""What stands on a track: signal, heater volts, bias volts or a cathode's current, each with where it comes from."""

from __future__ import annotations

import math

from partsbin.families._stress import LOW_LIMIT, Draft
from partsbin.reference.valves import lineup
from partsbin.rules import Rules
from partsbin.sets import SetFacts, follow
from partsbin.words import say, volts

_MOST_BIAS = 150.0  # V, above which a rail given for a bias preset is the HT and not the bias supply
_SERIES = 12.7  # V, above which a heater is one of a chain and stands on no winding of its own


def track_load(draft: Draft, facts: SetFacts, position: str, marked: float | None, rules: Rules) -> None:
    """Write volts across the track, current through the wiper, and watts; the dead part's mark stands for what is not known."""
    stress = rules.of(position, "stress")
    if stress == "heater":
        _heater(draft, facts, float(rules.of(position, "across")))
    elif stress == "bias":
        _bias(draft, facts)
    elif stress == "cathode":
        _cathode(draft, facts)
    else:
        _signal(draft, facts, position, rules)
    if any(draft.has(name) for name in ("across", "flow")):
        return
    if marked:
        draft.put("original_watts", marked, "W", "marked on the dead part")
        draft.assume(f"its load in the set not known: the dead part's {say(marked, 'W')} stand for it")
    else:
        draft.put("load_unknown", True, "", "neither the dead part's watts nor the load in the set are known")


def _signal(draft: Draft, facts: SetFacts, position: str, rules: Rules) -> None:
    """Behind a detector or in a grid circuit a few volts; a tone control at an anode meets the whole swing."""
    across = float(rules.of(position, "across"))
    if position == "tone" and facts.knows("anode"):
        swing = facts.number("anode")
        draft.put("across", swing, "V", "the swing at the anode, behind the tone capacitor")
        share = float(rules.general("programme"))
        draft.put("mean_square", swing**2 / 2 * share, "V²", f"{share:g} of full swing, speech and music")
        return
    if position == "tone":
        draft.assume("tone control taken as in a grid circuit: say anode= if its capacitor comes from an anode")
    draft.put("across", across, "V", "signal, usual here")


def _heater(draft: Draft, facts: SetFacts, usual: float) -> None:
    found = [item.valve.heater_volts for item in lineup(facts.text("lineup") or facts.text("valve")).valves]
    own = [one for one in found if one and one <= _SERIES]
    if facts.number("rail") <= 2 * _SERIES:
        draft.put("across", facts.number("rail"), "V", "heater volts, given")
    elif own:
        draft.put("across", max(own), "V", "heaters of the line-up")
    else:
        draft.put("across", usual, "V", "usual heater winding")
        draft.assume(f"heater winding {usual:g} V")


def _bias(draft: Draft, facts: SetFacts) -> None:
    rail = facts.number("rail")
    if rail <= _MOST_BIAS:
        high = rail * follow.mains_high(facts) / facts.number("mains_now", follow.mains(facts)[0])
        draft.put("across", high, "V", f"{volts(rail)} bias supply, mains at {volts(follow.mains_high(facts))}")
        return
    draft.ask("rail", "How many volts does the bias supply give, across the preset?", "25", "50", "90")


def _cathode(draft: Draft, facts: SetFacts) -> None:
    """The cathode current flows through whatever part of the track is in use; cut off, the bias volts stand across it."""
    flow, origin = facts.number("current"), "given"
    found = lineup(facts.text("valve")).valves
    if math.isnan(flow) and found and found[0].valve.anode_amperes:
        valve = found[0].valve
        flow = found[0].count * ((valve.anode_amperes or 0.0) + (valve.screen_amperes or 0.0))
        origin = f"cathode current of {valve.type}, full gain"
    if not math.isnan(flow):
        draft.put("flow", flow, "A", origin)
    elif facts.number("rail") <= LOW_LIMIT:
        draft.put("across", facts.number("rail"), "V", "volts across it, given")
    else:
        draft.ask("current", "What current flows through it at full gain?", "5mA", "10mA", "20mA")
