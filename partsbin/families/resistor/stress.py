"""What stands on a resistor in its position: power by current, by volts across it or as a bound, and volts on its body.

Power is judged with the candidate's own ohms. Volts on the body are held against the limiting element voltage: the whole rail
when running, and what stands for seconds at switch-on with the short overload that makers allow; across a bleeder or the
mains the volts are there for good, and count in full.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from partsbin.circuit.droppers import chain_current
from partsbin.families._stress import ASK_HT, LOW_LIMIT, Draft
from partsbin.families.resistor.options import body
from partsbin.families.resistor.value import cathode_ohms, chain_of, sharing, trusted, valve_here
from partsbin.rules import Rules
from partsbin.sets import SetFacts, follow
from partsbin.words import say, volts

HT_KINDS = ("ht", "series", "across")  # stresses with volts on the body that only the set can tell
VOLTS_UNKNOWN = "the volts of the set are not known, nor the dead part's body"
ASK_CURRENT = ("current", "How much current flows through it, or in that rail?", "5mA", "50mA", "200mA")


FAR = 10.0  # times below the dead part's watts, or the listed current, from which a given figure is likelier a slip
MOST_HT = 600.0  # V that no rail behind a screen feed has in what this bench repairs: common practice, no source
USUAL_WATTS = 0.5  # W that old sets had everywhere, whatever the load: nothing follows from no more than that


def stresses(draft: Draft, dead: Mapping[str, Any], position: str, facts: SetFacts, rules: Rules) -> None:
    """Write down power and volts of a position; the dead part's watts stand in where the set's facts give nothing.

    Over the isolation the mains stand across it, whether a transformer or the chassis' own insulation is what it bridges.
    """
    kind = str(rules.of(position, "stress"))
    if kind in ("mains", "isolation"):
        _mains(draft, facts)
        return
    if kind in ("signal", "rf"):
        _signal(draft, position, facts, rules)
        return
    if kind in HT_KINDS:
        _ht_volts(draft, kind, facts, rules)
    flow = _flow(draft, position, facts, rules)
    _power(draft, kind, position, facts, rules, flow, dead.get("resistance"))
    _mark(draft, kind, dead.get("power"), facts, rules, flow)


def _flow(draft: Draft, position: str, facts: SetFacts, rules: Rules) -> float:
    """Return the current as given [A], NaN where it is not, or where a slip of the pen is likelier."""
    given = facts.number("current")
    least = float(rules.of(position, "current", 0.0))
    listed, chain = math.nan, chain_of(facts)
    here = valve_here(facts) if position == "cathode-bias" else None
    if here is not None:
        listed = (here.valve.anode_amperes or math.nan) + (here.valve.screen_amperes or 0.0)
    elif chain is not None and position in ("heater-dropper", "lamp-shunt"):
        listed = chain.current
    if given < least or given * FAR < listed:
        usual = f"{say(listed, 'A')} is listed" if given * FAR < listed else f"{say(least, 'A')} and more flow here"
        draft.assume(f"current {say(given, 'A')} not believed, {usual}: read it again")
        draft.ask(*ASK_CURRENT)
        return math.nan
    return given


def _factor(facts: SetFacts) -> float:
    """Highest mains over the mains at which volts and currents were read."""
    return follow.mains_high(facts) / facts.number("mains_now", follow.mains(facts)[0])


def _mains(draft: Draft, facts: SetFacts) -> None:
    """The highest mains, RMS: a limiting voltage is by its definition of DC or of RMS, the crest is in it (from memory).

    Nothing is spared above that: surges of the mains are what the margin of a maker's proof is for.
    """
    nominal, assumed = follow.mains(facts)
    high = follow.mains_high(facts)
    draft.assume(*assumed)
    draft.put("mains", nominal, "V", "nominal mains")
    draft.put("across", high, "V", f"mains at {volts(high)} across it for good")
    draft.put("element_volts", high, "V", f"mains at {volts(high)}, limits are given as DC or RMS")
    draft.put("element_steady", True, "", "the mains stand across it for good")


def _signal(draft: Draft, position: str, facts: SetFacts, rules: Rules) -> None:
    """A grid or a detector: little power and few volts, by the custom of the position, unless a rail is named."""
    draft.put("watts", float(rules.of(position, "watts", 0.05)), "W", "usual at most here")
    few = float(rules.of(position, "volts", 100.0))
    rail = follow.off_load(facts)
    if position == "feedback" and not math.isnan(rail.volts):
        draft.put("element_volts", rail.volts / rules.general("overload"), "V", f"from an anode: {rail.origin}")
        across = follow.running(facts).volts
        draft.put("across", across if not math.isnan(across) else rail.volts, "V", "the whole rail across it")
        del draft.fields["watts"]
        draft.assume(*rail.assumed)
        return
    draft.put("element_volts", few, "V", "usual at most here")
    if position == "feedback":
        draft.assume("feedback taken from the loudspeaker winding: give rail= if it comes from an anode")


def _ht_volts(draft: Draft, kind: str, facts: SetFacts, rules: Rules) -> None:
    """Volts on the body: the running rail, and the off-load peak, for good across a bleeder and for seconds elsewhere."""
    peak, run = follow.off_load(facts), follow.running(facts)
    draft.assume(*peak.assumed)
    if not peak.measured:
        draft.ask(*ASK_HT)
    if math.isnan(peak.volts):
        return
    draft.put("off_load_peak", peak.volts, "V", peak.origin)
    if kind == "across":
        draft.put("element_steady", True, "", "a dead output valve leaves the off-load volts there for good")
        if peak.measured or math.isnan(run.volts):
            draft.put("element_volts", peak.volts, "V", f"off load: {peak.origin}")
        else:
            _running(draft, run.volts, f"running: {run.origin}", facts)
            draft.put("off_load_guess", peak.volts, "V", f"off load: {peak.origin}")
        return
    overload = float(rules.general("overload"))
    for_seconds = f"{volts(peak.volts)} off load for seconds, {overload:g} times its rating allowed: {peak.origin}"
    if kind == "ht" and run.volts > peak.volts / overload:
        _running(draft, run.volts, f"the whole rail: {run.origin}", facts)
    else:
        draft.put("element_volts", peak.volts / overload, "V", for_seconds)


def _running(draft: Draft, high: float, origin: str, facts: SetFacts) -> None:
    """Volts on the body at mains high, and what they are at the mains at which they were read."""
    draft.put("element_volts", high, "V", origin)
    draft.put("element_nominal", high / _factor(facts), "V", "the same at the mains as read")


def _power(
    draft: Draft, kind: str, position: str, facts: SetFacts, rules: Rules, flow: float, marked: float | None
) -> None:
    """Current through it or volts across it, where the facts of the set tell; else the most that it can be."""
    factor = _factor(facts)
    if kind == "chain" and _chain(draft, position, facts, flow):
        return
    if kind == "surge":
        _charging(draft, facts, rules, flow)
        return
    if kind == "across":
        run = follow.running(facts)
        if not math.isnan(run.volts):
            draft.put("across", run.volts, "V", run.origin)
        elif draft.has("off_load_peak"):
            draft.put("across", draft.number("off_load_peak"), "V", "no more than off load")
        return
    if not math.isnan(flow):
        draft.put("current", flow * factor, "A", f"{say(flow, 'A')} given, mains high")
    elif kind == "bias" and facts.number("rail") <= LOW_LIMIT:
        draft.put("across", facts.number("rail") * factor, "V", f"{volts(facts.number('rail'))} across it, mains high")
    elif kind == "bias" and position == "cathode-bias":
        _valve_current(draft, facts, factor, marked)
    elif kind == "ht":
        _drop(draft, position, facts, factor)
    elif position == "field-substitute" and not math.isnan((whole := follow.drawn(facts)).most):
        draft.put(
            "current", whole.most * factor, "A", f"{say(whole.most, 'A')} drawn by the line-up at most, mains high"
        )
        draft.assume(
            *whole.assumed,
            f"{say(whole.most, 'A')} of HT through it, the most that the line-up draws: current= replaces it",
        )


def _valve_current(draft: Draft, facts: SetFacts, factor: float, marked: float | None) -> None:
    """The cathode current at the listed working point, of all valves that stand on the resistor; of all that may, as a bound."""
    here = sharing(facts, marked)
    if here is None or not here.valve.anode_amperes:
        draft.ask("valve", "Which valve stands on it?", "EL84", "ECC83", "EL34")
        return
    found = here.valve
    total = (found.anode_amperes or 0.0) + (found.screen_amperes or 0.0)
    times = f"{here.most} × " if here.most > 1 else ""
    origin = (
        f"{times}{found.type}, {say(total, 'A')} of cathode current ({trusted(found, 'anode_amperes')}), mains high"
    )
    if here.most == here.count:
        draft.put("current", total * here.most * factor, "A", origin)
    else:
        draft.put("bound_current", total * here.most * factor, "A", f"no more than {origin}")
    if here.most > 1 and not facts.text("topology"):
        one = say(cathode_ohms(found), "ohm")
        draft.assume(f"{here.most} valves of {found.type} reckoned on one resistor: one alone has {one}")
        draft.ask("topology", "Is the output stage single-ended, or a pair?", "single-ended", "push-pull")


def _drop(draft: Draft, position: str, facts: SetFacts, factor: float) -> None:
    """An anode load or a screen feed: the drop where both ends are known, the valve's screen current, else the whole rail."""
    here = valve_here(facts) if facts.text("valve") else None
    if facts.knows("anode") and facts.knows("rail") and facts.number("rail") > facts.number("anode"):
        drop = facts.number("rail") - facts.number("anode")
        draft.put("across", drop * factor, "V", f"{volts(drop)} from the rail to its far end, mains high")
        return
    run = follow.running(facts)
    flow = (here.valve.screen_amperes if position == "screen-feed" and here is not None else None) or math.nan
    most = MOST_HT if math.isnan(run.volts) else run.volts
    whole = flow * draft.number("ideal") * factor > most  # so much cannot flow through the dead part's ohms
    if here is not None and not math.isnan(flow) and not whole:
        origin = f"{here.valve.type}, {say(flow, 'A')} of screen current ({trusted(here.valve, 'screen_amperes')}), mains high"
        draft.put("current", flow * factor, "A", origin)
        return
    if not math.isnan(run.volts):
        draft.put("bound_across", run.volts, "V", f"no more than the whole rail: {run.origin}")
    draft.ask("anode", "How many volts at its far end, running?", "60", "150", "200")


def _chain(draft: Draft, position: str, facts: SetFacts, flow: float) -> bool:
    """The current of the heater chain, mains high: of the dropper as the chain divides it, of the shunt with its lamp open."""
    chain = chain_of(facts)
    if chain is None and math.isnan(flow):
        draft.ask("lineup", "Which valves are in the heater chain?", "UCH81 UF89 UABC80 UL84 UY85")
        return False
    current = chain.current if chain is not None and math.isnan(flow) else flow
    high = current * _factor(facts)
    if chain is not None and position == "heater-dropper":
        high = float(chain_current(follow.mains_high(facts), draft.number("ideal"), chain.volts, chain.current))
        high = max(high, current)
    origin = f"chain of {say(current, 'A')}, mains at {volts(follow.mains_high(facts))}"
    draft.put("current", high, "A", origin + (", lamp open" if position == "lamp-shunt" else ""))
    return True


def _charging(draft: Draft, facts: SetFacts, rules: Rules, direct: float) -> None:
    """The RMS of the charging current, from the winding where it is known, else bounded by the half-wave figure."""
    if math.isnan(direct):
        return
    ripple = follow.ripple_current(facts)
    factor = _factor(facts)
    if not math.isnan(ripple):
        flow = math.hypot(direct, ripple) * factor
        share = ", in the common lead: half the watts in each anode's" if facts.values["secondary_full_wave"] else ""
        draft.put("current", flow, "A", f"charging current, RMS, at {say(direct, 'A')} DC, mains high{share}")
    else:
        times = float(rules.general("charging"))
        origin = f"{times:g} times {say(direct, 'A')} DC, as behind a half-wave rectifier, mains high"
        draft.put("bound_current", times * direct * factor, "A", origin)


def _far_below(draft: Draft, kind: str, marked: float, flow: float, facts: SetFacts) -> None:
    """Where a figure that was given loads the dead part so little that its watts speak against it, they count instead.

    A current, volts across a bias resistor, the volts at the far end (with a dead valve there is no drop) and a rail lower than
    an HT are doubted so; a rail that may be one is believed.
    """
    low_rail = facts.knows("rail") and facts.number("rail") <= LOW_LIMIT
    doubtful = not math.isnan(flow) or kind == "bias" or facts.knows("anode") or low_rail
    prefix = "" if any(draft.has(name) for name in ("current", "across")) else "bound_"
    current, across, ideal = draft.number(prefix + "current"), draft.number(prefix + "across"), draft.number("ideal")
    load = across**2 / ideal if math.isnan(current) else current**2 * ideal
    listed = kind == "bias" and math.isnan(flow) and not math.isnan(current)  # the valve's current, from its sheet
    if marked <= USUAL_WATTS or not doubtful or listed or not load * FAR <= marked:
        return
    for name in ("bound_current", "bound_across"):
        draft.fields.pop(name, None)
    run = follow.running(facts)
    if kind == "ht" and math.isnan(flow) and not low_rail and not math.isnan(run.volts):
        draft.put("bound_across", run.volts, "V", f"no more than the whole rail: {run.origin}")
    draft.put("original_watts", float(marked), "W", "marked on the dead part, though the load given is far below")
    draft.assume(f"{say(load, 'W')} by the figures given where the dead part bore {say(marked, 'W')}: read them again")


def _mark(draft: Draft, kind: str, marked: float | None, facts: SetFacts, rules: Rules, flow: float) -> None:
    """The dead part's watts stand for what the facts do not tell; its kind of body for the volts on it."""
    exact = any(draft.has(name) for name in ("current", "across", "watts"))
    bound = any(draft.has(name) for name in ("bound_current", "bound_across"))
    if marked:
        if not exact:
            draft.put("original_watts", float(marked), "W", "marked on the dead part")
            draft.assume(f"its load in the set not known: the dead part's {say(float(marked), 'W')} stand for it")
            draft.ask(*ASK_CURRENT)
        if exact or bound:
            _far_below(draft, kind, float(marked), flow, facts)
        if kind in HT_KINDS and not draft.has("element_volts"):
            row = f"element_{body(float(marked))}"
            least = float(rules.get(row, "small", rules.get(row, "other")))
            draft.put("like_volts", least, "V", f"what any {say(float(marked), 'W')} body bears")
            draft.assume(
                f"volts in the set not known: a body as of the dead part's {say(float(marked), 'W')} taken as enough"
            )
        return
    if not (exact or bound):
        draft.put("stress_unknown", True, "", "neither the dead part's watts nor the load in the set are known")
        draft.ask(*ASK_CURRENT)
    elif kind in HT_KINDS and not draft.has("element_volts"):
        draft.put("stress_unknown", True, "", VOLTS_UNKNOWN)
