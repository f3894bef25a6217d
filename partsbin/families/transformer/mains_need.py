"""What a mains transformer has to do: HT, heaters, the rectifier's heater, from line-up and supply, else from its marking."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any, cast

from partsbin.circuit.mains_windings import Connection, Rectifier, winding_current, winding_for_rail
from partsbin.circuit.supply import off_load_peak
from partsbin.families._declare import Item
from partsbin.families._stress import Draft
from partsbin.families.transformer.drawn import Drawn, drawn
from partsbin.families.transformer.facts import TransformerFacts
from partsbin.families.transformer.powered import powered_options
from partsbin.reference.substitutes import HEATER_IS_CATHODE, rectifier_limits
from partsbin.reference.valves import Valve, lineup, valve
from partsbin.rules import Rules
from partsbin.sets import SetFacts, follow
from partsbin.words import listed, say, span

USUAL_HT = 250.0
USUAL_HEATER = 6.3
USUAL_PATH = 200.0 + follow.VALVE_RESISTANCE  # ohm: half a winding and the rectifier valve; common practice, no source
USUAL_CURRENT = 0.06  # A
TOLERANCE = 0.1
RUNNING = 0.8  # of the off-load peak, where the rail is not known; common practice, no source
UNKNOWN_HEATER = 2.6  # W, a small valve that is not in the table: 4 V 0.65 A; common practice, no source

Marked = Mapping[str, Any]


def mains_need(draft: Draft, facts: SetFacts, dead: Marked, rules: Rules) -> None:
    """Write down what each winding has to give."""
    on_the_mains(draft, facts)
    marked = marked_windings(dead)
    load = drawn_by(draft, facts, rules)
    heaters(draft, facts, marked, load, rules)
    _rectifier(draft, facts, marked, load)
    _ht_current(draft, facts, marked, load)
    _ht(draft, facts, marked, rules)
    high = follow.mains_high(facts) / follow.mains(facts)[0]
    regulation = rules.general("winding_regulation")
    peak = float(off_load_peak(draft.number("ht"), mains_factor=high, regulation=regulation))
    draft.put("off_load_peak", peak, "V", f"{draft.number('ht'):.0f} V a side, mains {high:.2f} times")
    draft.put("mains_factor", high, "-", "highest mains over nominal")
    running = follow.running(facts).volts
    draft.put(
        "running_peak", RUNNING * peak if math.isnan(running) else running, "V", f"{RUNNING:g} of the off-load peak"
    )
    _watts(draft)


def on_the_mains(draft: Draft, facts: SetFacts) -> None:
    """Write down today's mains and its frequency."""
    nominal, why = follow.mains(facts)
    draft.assume(*why)
    today = facts.number("mains_now", nominal)
    draft.put("mains", today, "V", "read today" if facts.knows("mains_now") else "nominal")
    draft.put("frequency", follow.frequency(facts), "Hz", "given" if facts.knows("frequency") else "usual")


def drawn_by(draft: Draft, facts: SetFacts, rules: Rules) -> Drawn | None:
    """Return what the line-up draws, None where it says nothing of windings."""
    found = lineup(facts.text("lineup"))
    if not found.valves:
        return None
    load = drawn(found, rules.general("usual_valve"))
    if load.chain:
        draft.assume("heaters made for a chain on the mains: such a set has no heater winding, is this the set?")
        return None
    if found.unknown:
        draft.put("unknown_valves", float(len(found.unknown)), "-", "words of the line-up")
        draft.assume(
            f"not in the valve table: {', '.join(found.unknown)}; {UNKNOWN_HEATER:g} W of heater allowed for each"
        )
    if load.guessed:
        draft.assume(f"{say(rules.general('usual_valve'), 'A')} HT taken for {', '.join(load.guessed)}")
    return load


def marked_windings(dead: Marked) -> Marked:
    """Return what the dead one's marking says, as the windings of one way of using it: the most heater amperes."""
    known = {name: dead[name] for name in ("kind", "windings", "centre_tapped", "pairs") if dead.get(name)}
    if not known.get("windings"):
        return {}
    facts = TransformerFacts.model_validate(known | {"kind": known.get("kind") or "mains"})
    best = max(
        powered_options(Item(facts, "new")),
        key=lambda o: (_one_winding(o.label), o.offers.get("heater_current") or 0.0),
    )
    return best.offers


def _one_winding(label: str) -> bool:
    return "two of 6" not in label and "whole" not in label


def heaters(draft: Draft, facts: SetFacts, marked: Marked, load: Drawn | None, rules: Rules) -> None:
    """Write down volts and amperes of the heaters: the line-up's sum and the lamps beside it, else as marked."""
    if load is not None and load.heaters:
        at, amperes = load.heater
        unknown = draft.number("unknown_valves") * UNKNOWN_HEATER / at if draft.has("unknown_valves") else 0.0
        extra = rules.general("lamp_current") + unknown
        draft.put("heater", at, "V", "heaters of the line-up")
        draft.put("heater_current", amperes, "A", "sum of the line-up, rectifier apart")
        draft.put("heater_extra", extra, "A", "dial lamps" + (" and valves not in the table" if unknown else ""))
        draft.assume(f"dial lamps {say(rules.general('lamp_current'), 'A')} beside the heaters")
        others = [say(other, "V") for other in load.heaters if abs(other / at - 1) > TOLERANCE]
        if others:
            draft.assume(f"heaters of {listed(others, 'and')} want a winding of their own: not judged")
        return
    volts = marked.get("heater_volts")
    draft.put("heater", float(volts or USUAL_HEATER), "V", "marked on the dead part" if volts else "usual")
    if marked.get("heater_current"):
        draft.put("heater_current", float(marked["heater_current"]), "A", "marked on the dead part")
    else:
        draft.assume("heater current not known: the line-up tells it")
        draft.ask("lineup", "Which valves are in the set?", "ECH81 EBF89 EABC80 EL84 EZ80", "EF86 ECC83 2xEL84 EZ81")
    if not volts:
        draft.assume(f"heaters {say(USUAL_HEATER, 'V')}")


def _rectifier(draft: Draft, facts: SetFacts, marked: Marked, load: Drawn | None) -> None:
    """The rectifier's heater: on a winding of its own where it is the cathode, else it may share with the valves."""
    name = follow.rectifier(facts)
    dry = name in ("silicon", "selenium")
    draft.put("rectifier", "silicon" if dry else "valve", "", name or "usual")
    if dry:
        return
    found = valve(name) if name else load.rectifier if load else None
    if found is not None:
        _rectifier_valve(draft, found)
    elif marked.get("rect_own"):
        draft.put("rect_heater", float(marked["rect_volts"]), "V", "marked on the dead part")
        if marked.get("rect_current"):
            draft.put("rect_current", float(marked["rect_current"]), "A", "marked on the dead part")
        draft.assume("the dead one's second low winding taken as the rectifier's heater")


def _rectifier_valve(draft: Draft, found: Valve) -> None:
    if not found.heater_volts or not found.heater_amperes:
        return
    draft.put("rect_heater", found.heater_volts, "V", found.type)
    draft.put("rect_current", found.heater_amperes, "A", found.type)
    alike = abs(found.heater_volts / draft.number("heater") - 1) <= TOLERANCE
    if found.heater_volts in HEATER_IS_CATHODE or not alike:
        return
    limits = rectifier_limits(found.type)
    draft.put("rect_shares", True, "", f"{found.type}: its cathode is apart from its heater")
    if limits is not None and limits.heater_cathode_volts is not None:
        draft.put(
            "heater_cathode", limits.heater_cathode_volts, "V", f"{found.type} ({limits.heater_cathode_standing})"
        )


def _ht(draft: Draft, facts: SetFacts, marked: Marked, rules: Rules) -> None:
    """HT volts a side, under load, and how the winding is used."""
    regulation = rules.general("winding_regulation")
    use = _use(facts, marked)
    volts, how = math.nan, ""
    if facts.knows("secondary"):
        side, _, why = follow.winding(facts)
        off = facts.flag("secondary_off_load")
        volts, how = side / (1 + regulation if off else 1.0), "given, off load" if off else "given"
        draft.assume(*why)
    elif marked.get("ratio"):
        volts, how = float(marked["tap"]) / float(marked["ratio"]), "marked on the dead part"
    elif facts.knows("rail"):
        volts = _from_rail(draft, facts, use) / (1 + regulation)
        how = f"gives about the rail of {facts.number('rail'):.0f} V"
        draft.put("ht_reckoned", True, "", "the rail, good to about a tenth")
    if math.isnan(volts):
        volts, how = USUAL_HT, "assumed"
        draft.put("ht_assumed", True, "", "neither winding nor rail is known")
        draft.assume(f"HT {USUAL_HT:.0f} V a side")
        draft.ask(
            "secondary",
            "What did the HT winding give, or the rail when running?",
            "200-0-200",
            "250-0-250",
            "300-0-300",
        )
    draft.put("ht", volts, "V", how)
    draft.put("use", use, "", "how the HT winding is used")
    if facts.text("filter") == "choke-input":
        draft.put("choke_input", True, "", "given")


def _from_rail(draft: Draft, facts: SetFacts, use: str) -> float:
    """Volts off load that give the rail at the reservoir with the usual resistance in the path."""
    known = [draft.number(name) for name in ("ht_listed", "ht_current", "ht_mark") if draft.has(name)]
    current = known[0] if known else USUAL_CURRENT
    path = USUAL_PATH
    if facts.knows("winding_resistance"):
        path = facts.number("winding_resistance") + follow.VALVE_RESISTANCE
    draft.assume(f"winding reckoned from the rail at the reservoir: {say(path, 'ohm')} a side, {say(current, 'A')}")
    return float(winding_for_rail(facts.number("rail"), path, current, half_wave=use == "half-wave"))


def _use(facts: SetFacts, marked: Marked) -> str:
    if facts.flag("rectifier_bridge"):
        return "bridge"
    if facts.knows("secondary"):
        if facts.flag("secondary_tapped"):
            return "centre-tap"
        return "bridge" if facts.flag("secondary_full_wave") else "half-wave"
    named = follow.rectifier(facts)
    found = valve(named) if named else None
    if found is not None and "half-wave" in found.kind:
        return "half-wave"
    return "bridge" if found is None and marked.get("centre_tapped") == 0.0 else "centre-tap"


def _ht_current(draft: Draft, facts: SetFacts, marked: Marked, load: Drawn | None) -> None:
    if facts.knows("current"):
        draft.put("ht_current", facts.number("current"), "A", "given")
    elif load is not None and load.current > 0:
        draft.put(
            "ht_current",
            load.most,
            "A",
            "sum of the line-up at usual working points, screens that no table lists at most",
        )
        draft.put("ht_listed", load.current, "A", "the same by what the tables list")
        much = span(load.current, load.most, "A")
        draft.assume(f"HT {much} from the line-up at usual working points: current= replaces it")
    elif marked.get("dc_current"):
        draft.put("ht_mark", float(marked["dc_current"]), "A", "marked on the dead part")
    else:
        draft.assume("HT current not known: the line-up tells it, or current=")


def _watts(draft: Draft) -> None:
    """Volt-amperes of all windings, where all are known."""
    dc = draft.number("ht_current") if draft.has("ht_current") else draft.number("ht_mark")
    rms = 1.0
    if draft.has("ht_current"):
        use = cast(Connection, draft.fields["use"].value)
        kind = cast(Rectifier, draft.fields["rectifier"].value)
        rms, _ = winding_current(1.0, use, kind, choke_input=draft.has("choke_input"))
    ht = draft.number("ht") * float(rms)
    lamps = draft.number("heater_extra") if draft.has("heater_extra") else 0.0
    rectifier = draft.number("rect_heater") * draft.number("rect_current") if draft.has("rect_heater") else 0.0
    other = draft.number("heater") * (draft.number("heater_current") + lamps) + rectifier
    if not math.isnan(ht * dc + other):
        draft.put("va", ht * dc + other, "W", "HT, heaters, lamps and rectifier added up")
    if draft.has("ht_listed") and draft.has("va"):
        draft.put("va_least", ht * draft.number("ht_listed") + other, "W", "the same by what the tables list")
