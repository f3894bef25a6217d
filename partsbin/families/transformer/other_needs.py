"""What heater, isolating, interstage and driver transformers have to do."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from partsbin.families._stress import Draft
from partsbin.families.transformer.mains_need import drawn_by, heaters, marked_windings, on_the_mains
from partsbin.reference.valves import Valve, lineup, valve
from partsbin.rules import Rules
from partsbin.sets import SetFacts
from partsbin.words import say

Marked = Mapping[str, Any]

USUAL_LOAD = 100.0  # VA of a receiver on the bench; common practice, no source
USUAL_RATIO = {"interstage": 1 / 3, "driver": 2.0}
"""Primary over the whole secondary where nothing is marked: common practice, no source."""

USUAL_SOURCE = 10e3  # ohm, inner resistance of a medium triode; common practice, no source
SUPPLY_LOSS = 1.6  # volt-amperes from the mains over the watts of heaters and HT; common practice, no source


def heater_need(draft: Draft, facts: SetFacts, dead: Marked, rules: Rules) -> None:
    """Heater volts and amperes: of one valve, of the line-up, or as marked."""
    on_the_mains(draft, facts)
    named = valve(facts.text("valve")) if facts.knows("valve") else None
    if named is not None and named.heater_volts and named.heater_amperes:
        draft.put("heater", named.heater_volts, "V", named.type)
        draft.put("heater_current", named.heater_amperes, "A", named.type)
        return
    heaters(draft, facts, marked_windings({"kind": "heater", **dead}), drawn_by(draft, facts, rules), rules)
    if facts.knows("current"):
        draft.put("heater_current", facts.number("current"), "A", "given")


def isolating_need(draft: Draft, facts: SetFacts, dead: Marked, rules: Rules) -> None:
    """One to one, as marked or stated, and the volt-amperes of what will hang on it."""
    on_the_mains(draft, facts)
    marked = marked_windings({"kind": "isolating", **dead})
    ratio = marked.get("ratio") or next((pair["ratio"] for pair in dead.get("pairs", ()) if pair.get("ratio")), None)
    draft.put("ratio", float(ratio or 1.0), "-", "marked on the dead part" if ratio else "one to one")
    load = drawn_by(draft, facts, rules)
    if facts.knows("current"):
        draft.put("va", facts.number("current") * draft.number("mains"), "W", "current given")
    elif dead.get("power"):
        draft.put("va", float(dead["power"]), "W", "marked on the dead part")
    elif load is not None:
        at, amperes = load.heater
        heater = at * amperes + _heater_watts(load.rectifier)
        watts = SUPPLY_LOSS * (heater + 250.0 * load.most)
        draft.put("va", watts, "W", "line-up: heaters and HT")
        draft.assume(f"the set draws about {watts:.0f} VA: {SUPPLY_LOSS:g} times heaters and HT")
    else:
        draft.put("va", USUAL_LOAD, "W", "assumed")
        draft.put("va_assumed", True, "", "what will hang on it is not known")
        draft.assume(f"load {USUAL_LOAD:.0f} VA")
        draft.ask(
            "current", "How many amperes will it feed (watts on the set's plate over the mains volts)?", "0.25", "1"
        )


def _heater_watts(found: Valve | None) -> float:
    return (found.heater_volts or 0.0) * (found.heater_amperes or 0.0) if found is not None else 0.0


def coupling_need(draft: Draft, facts: SetFacts, dead: Marked, rules: Rules, position: str) -> None:
    """Ratio as marked, the current that stands in the primary, whether the secondary feeds two grids."""
    pair: Marked = next((pair for pair in dead.get("pairs", ()) if pair.get("ratio")), {})
    usual = USUAL_RATIO[position]
    draft.put("ratio", float(pair.get("ratio", usual)), "-", "marked on the dead part" if pair else "assumed")
    if not pair:
        draft.put("ratio_assumed", True, "", "the dead one's ratio is not known")
        draft.assume(f"ratio {turns(usual)}, usual here: the dead one's halves by resistance and turns tell it")
    driver = _driver(facts)
    marked = dead.get("dc_current")
    draft.put("topology", "single-ended", "", "the driving valve's current stands in the primary")
    if facts.knows("current"):
        draft.put("standing", facts.number("current"), "A", "given")
    elif driver is not None and driver.anode_amperes:
        draft.put("standing", driver.anode_amperes, "A", f"{driver.type} at its usual working point")
    elif marked:
        draft.put("standing", float(marked), "A", "marked on the dead part")
    else:
        draft.ask("valve", "Which valve drives it?", "6J5GT", "ECC81")
        draft.assume("standing current not known: name the driving valve with valve=, or current=")
    draft.put("source_ohm", USUAL_SOURCE, "ohm", "a medium triode, usual before such iron")
    if _pair_behind(facts) or dead.get("centre_tapped"):
        draft.put("split", True, "", "two grids are driven in opposition")


def _driver(facts: SetFacts) -> Valve | None:
    return valve(facts.text("valve")) if facts.knows("valve") else None


def _pair_behind(facts: SetFacts) -> bool:
    return facts.text("topology") == "push-pull" or lineup(facts.text("lineup")).push_pull


def turns(ratio: float) -> str:
    """Return a ratio as the trade writes it: 3:1, or 1:3 where it steps up."""
    if math.isnan(ratio):
        return "unknown"
    return f"{ratio:.3g}:1" if ratio >= 1 else f"1:{1 / ratio:.3g}"


def windows(draft: Draft, name: str, unit: str, rules: Rules, position: str) -> None:
    """Write down the two windows round a figure."""
    ideal = draft.number(name)
    for window in ("fits", "care"):
        low, high = rules.of(position, window)
        draft.put(window, (ideal * low, ideal * high), unit, f"{low:.3g} to {high:.3g} times")


def headline(draft: Draft, position: str, rules: Rules) -> tuple[str, ...]:
    """Return the need in the words of the bench."""
    does = f"{rules.of(position, 'title')}: {rules.of(position, 'does')}"
    if position == "mains":
        return (does, *_mains_lines(draft))
    if position == "heater":
        return does, _heaters_line(draft)
    if position == "isolating":
        return does, f"{turns(draft.number('ratio'))}, {draft.number('va'):.0f} VA ({draft.fields['va'].origin})"
    standing = f"; {say(draft.number('standing'), 'A')} standing" if draft.has("standing") else ""
    split = "; centre tap of the secondary" if draft.has("split") else ""
    return does, f"{turns(draft.number('ratio'))} ({draft.fields['ratio'].origin}){standing}{split}"


def _heaters_line(draft: Draft) -> str:
    amperes = f" {say(draft.number('heater_current'), 'A')}" if draft.has("heater_current") else ""
    lamps = f" and {say(draft.number('heater_extra'), 'A')} for lamps" if draft.has("heater_extra") else ""
    return f"heaters {say(draft.number('heater'), 'V')}{amperes}{lamps} ({draft.fields['heater'].origin})"


def _mains_lines(draft: Draft) -> tuple[str, ...]:
    volts, use = draft.number("ht"), draft.fields["use"].value
    shape = {"centre-tap": f"{volts:.0f}-0-{volts:.0f} V", "bridge": f"{volts:.0f} V bridged"}.get(
        str(use), f"{volts:.0f} V half-wave"
    )
    direct = f", {say(draft.number('ht_current'), 'A')} direct current" if draft.has("ht_current") else ""
    marked = f", marked {say(draft.number('ht_mark'), 'A')}" if draft.has("ht_mark") else ""
    lines = [f"HT {shape} ({draft.fields['ht'].origin}){direct}{marked}", _heaters_line(draft)]
    if draft.has("rect_heater"):
        where = (
            "may share the heaters' winding"
            if draft.has("rect_shares")
            else "on a winding of its own, insulated for the HT"
        )
        amperes = f" {say(draft.number('rect_current'), 'A')}" if draft.has("rect_current") else ""
        lines.append(
            f"rectifier heater {say(draft.number('rect_heater'), 'V')}{amperes}, {where} ({draft.fields['rect_heater'].origin})"
        )
    if draft.has("va"):
        lines.append(
            f"{draft.number('va'):.0f} VA in all; mains {draft.number('mains'):.0f} V {draft.number('frequency'):.0f} Hz"
        )
    return tuple(lines)
