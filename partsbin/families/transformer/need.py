"""The load that a failed output or line transformer was for, from line-up, loudspeaker and marking."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from partsbin.circuit.output import line_impedance
from partsbin.families._stress import Draft
from partsbin.needs import Need
from partsbin.reference.valves import Valve, lineup
from partsbin.rules import Rules
from partsbin.sets import SetFacts
from partsbin.words import say, span, volts


def output_need(draft: Draft, facts: SetFacts, marking: Mapping[str, Any], rules: Rules) -> None:
    """Write down the load, the loudspeaker, what stands in the primary and the watts."""
    output, count = output_valve(facts, marking)
    unknown = lineup(facts.text("valve") or facts.text("lineup")).unknown
    if unknown:
        draft.assume(f"not in the valve table: {', '.join(unknown)}")
    push_pull = _push_pull(draft, facts, marking, output, count)
    pair = _first_pair(marking)
    _wanted_load(draft, output, count, push_pull, pair.get("primary_impedance"), rules)
    _speaker(draft, facts, pair.get("secondary_impedance"), rules)
    _standing(draft, facts, marking, output, count, push_pull)
    if facts.knows("rail"):
        draft.put("rail", facts.number("rail"), "V", "given")
    elif draft.has("standing"):
        draft.assume("HT 250 V for the drop in the primary")
    _watts(draft, facts, marking, output, push_pull)


def _push_pull(draft: Draft, facts: SetFacts, marking: Mapping[str, Any], output: Valve | None, count: int) -> bool:
    """Topology as given, else as marked, else by the number of output valves; a lone valve of a line-up is no pair."""
    said, name = facts.text("topology") or marking.get("topology") or "", output.type if output else ""
    origin = "given" if facts.knows("topology") else "marked on the dead part" if said else "from the line-up"
    if said == "push-pull" and count == 1 and facts.knows("lineup"):
        draft.assume(f"one {name} in the line-up cannot be push-pull: single-ended taken")
        said, origin = "single-ended", "from the line-up"
    if said == "single-ended" and count > 1:
        draft.assume(
            f"{count} {name} single-ended: a transformer each; two in parallel want half the load and twice the current"
        )
    if not said and count == 2:
        draft.assume(f"two {name} taken as push-pull: say topology=single-ended for two channels")
        draft.ask("topology", "Are the two output valves push-pull, or two channels?", "single-ended")
    said = said or ("push-pull" if count > 1 else "single-ended")
    draft.put("topology", said, "", origin)
    return said == "push-pull"


def _standing(
    draft: Draft, facts: SetFacts, marking: Mapping[str, Any], output: Valve | None, count: int, push_pull: bool
) -> None:
    """Standing current: as given, as marked, else the valve's; a figure far below the valve's own is not believed."""
    usual = math.nan
    if output is not None and output.anode_amperes:
        usual = output.anode_amperes * (count // 2 if push_pull and count > 2 else 1)
    given, origin = facts.number("current"), "given"
    if math.isnan(given) and marking.get("dc_current"):
        given, origin = float(marking["dc_current"]), "marked on the dead part"
    if given < usual / 2 and output is not None:
        draft.assume(f"{say(given, 'A')} is too little for {output.type}: {say(usual, 'A')} taken")
        given = math.nan
    if not math.isnan(given):
        draft.put("standing", given, "A", origin)
    elif output is not None and not math.isnan(usual):
        at = volts(output.anode_volts or math.nan)
        draft.put("standing", usual, "A", f"{output.type} at {at} ({trusted(output, 'anode_amperes')})")


def _watts(draft: Draft, facts: SetFacts, marking: Mapping[str, Any], output: Valve | None, push_pull: bool) -> None:
    """Watts to be carried: what the output valves give, or the dead part's mark where that is more; a line may be rated higher."""
    marked, line = float(marking.get("power") or math.nan), facts.number("line_watts")
    made, how = _valve_watts(output, push_pull)
    if not math.isnan(made):
        draft.put("power", max(made, min(marked, 1.5 * made)) if marked > made else made, "W", how)
    elif not math.isnan(marked):
        draft.put("power", marked, "W", "marked on the dead part")
    elif not math.isnan(line):
        draft.put("power", line, "W", "rated watts of the line")
    else:
        draft.assume("output power not known: compare the iron with the dead one's")


def _valve_watts(output: Valve | None, push_pull: bool) -> tuple[float, str]:
    """What one valve or a pair gives: from the table, else estimated from what it may dissipate."""
    if output is not None and output.output_watts:
        pair = ", pair" if push_pull else ""
        return output.output_watts * (
            2.2 if push_pull else 1.0
        ), f"{output.type}{pair} ({trusted(output, 'output_watts')})"
    if output is not None and output.anode_dissipation_watts:
        how = f"estimated from what {output.type} may dissipate"
        return output.anode_dissipation_watts * (1.2 if push_pull else 0.45), how
    return math.nan, ""


def trusted(found: Valve, figure: str) -> str:
    """Return how far a figure of the valve table may be trusted, in words."""
    return "from memory" if found.standing_of(figure) == "memory" else "read"


def output_valve(facts: SetFacts, marking: Mapping[str, Any]) -> tuple[Valve | None, int]:
    """Return the output valve and how many, None and 0 where they are not known."""
    named = facts.text("valve") or facts.text("lineup") or _words(marking.get("served"))
    output = lineup(named).output if named else None
    return (output.valve, output.count) if output is not None else (None, 0)


def _words(value: Any) -> str:
    return value if isinstance(value, str) else " ".join(value or ())


def _first_pair(marking: Mapping[str, Any]) -> Mapping[str, Any]:
    pairs = marking.get("pairs")
    return pairs[0] if pairs else {}


def _wanted_load(
    draft: Draft, output: Valve | None, count: int, push_pull: bool, marked: float | None, rules: Rules
) -> None:
    if marked:
        draft.put("load", float(marked), "ohm", "marked on the dead part")
        return
    if output is None:
        draft.put("load", 5200.0, "ohm", "assumed")
        draft.put("load_assumed", True, "", "the output valve is not known")
        draft.assume("output valve not known: 5.2 kΩ taken, usual for one 6 W pentode")
        draft.ask("lineup", "Which output valve, one or a pair?", "EL84", "UL84", "2×EL84")
        return
    if push_pull and output.push_pull_load_ohm:
        load, how = (
            output.push_pull_load_ohm,
            f"{output.type} pair, anode to anode ({trusted(output, 'push_pull_load_ohm')})",
        )
    elif push_pull and output.optimum_load_ohm:
        load, how = 1.7 * output.optimum_load_ohm, f"1.7 × the load of one {output.type}: no pair figure in the table"
        draft.assume(f"push-pull load of {output.type} estimated; the sheet's figure for its HT would replace it")
    elif output.optimum_load_ohm:
        load, how = output.optimum_load_ohm, f"{output.type} ({trusted(output, 'optimum_load_ohm')})"
    else:
        load, how = 5200.0, "assumed"
        draft.put("load_assumed", True, "", f"no load of {output.type} in the table")
        draft.assume(f"load of {output.type} not in the table: 5.2 kΩ taken; its sheet would replace it")
    pairs = max(1, count // 2) if push_pull else 1
    draft.put("load", load / pairs, "ohm", how + (f", {pairs} pairs side by side" if pairs > 1 else ""))
    if how.endswith("(from memory)"):
        draft.assume(
            f"load of {output.type} {say(load, 'ohm')} from memory: its sheet, "
            "or loudspeaker and ratio of a working set, would replace it"
        )


def _speaker(draft: Draft, facts: SetFacts, marked: float | None, rules: Rules) -> None:
    if facts.knows("speaker"):
        line = facts.number("line_volts")
        how = "given" if math.isnan(line) else f"{line:g} V line with {facts.number('line_watts'):g} W"
        draft.put("speaker", facts.number("speaker"), "ohm", how)
    elif marked:
        draft.put("speaker", float(marked), "ohm", "marked on the dead part")
    else:
        draft.put("speaker", rules.general("usual_speaker"), "ohm", "assumed")
        draft.put("load_assumed", True, "", "the loudspeaker is not known")
        draft.assume(f"loudspeaker {say(rules.general('usual_speaker'), 'ohm')}")
        draft.ask("speaker", "Which loudspeaker, in ohms (its DC resistance × 1.25)?", "3", "8", "15")


def line_need(draft: Draft, facts: SetFacts, marking: Mapping[str, Any], rules: Rules) -> None:
    """Write down the line, the watts taken from it and the loudspeaker behind it."""
    pair = _first_pair(marking)
    line, watts = marking.get("line_voltage"), marking.get("power")
    if facts.knows("line_volts"):
        line, watts = facts.number("line_volts"), facts.number("line_watts")
    if line:
        draft.put("line_volts", float(line), "V", "given")
    if line and watts:
        draft.put("load", float(line_impedance(line, watts)), "ohm", f"{line:g} V line, {watts:g} W")
        draft.put("power", float(watts), "W", "given")
    elif pair.get("primary_impedance"):
        draft.put("load", float(pair["primary_impedance"]), "ohm", "marked on the dead part")
    else:
        draft.put("load", 2000.0, "ohm", "assumed")
        draft.put("load_assumed", True, "", "line and watts are not known")
        draft.assume("line and watts not known: 100 V 5 W taken")
        draft.ask("speaker", "Which line, and how many watts from it?", "70 V 5 W", "100 V 10 W")
    if pair.get("secondary_impedance"):
        draft.put("speaker", float(pair["secondary_impedance"]), "ohm", "marked on the dead part")
    elif facts.knows("speaker") and not facts.knows("line_volts"):
        draft.put("speaker", facts.number("speaker"), "ohm", "given")
    else:
        draft.put("speaker", 15.0, "ohm", "assumed")
        draft.put("load_assumed", True, "", "the loudspeaker behind it is not known")
        draft.assume('loudspeaker behind the line transformer 15 Ω: give the dead part as text, "100V 5W to 8 ohm"')


def headline(need: Need) -> tuple[str, ...]:
    """Return the need in the words of the bench."""
    rules, position = need.rules, need.position
    topology = f", {need.word('topology')}" if need.word("topology") else ""
    loaded = [f"load {say(need.number('load'), 'ohm')} copper included ({need.fields['load'].origin})"]
    if need.has("standing"):
        loaded.append(f"{say(need.number('standing'), 'A')} standing ({need.fields['standing'].origin})")
    loaded.append(f"{span(*need.window('fits'), 'ohm')} fits, {span(*need.window('care'), 'ohm')} with care")
    ratio = wanted_ratio(need)
    lines = [
        f"{rules.of(position, 'title')}{topology}, loudspeaker {say(need.number('speaker'), 'ohm')} ({need.fields['speaker'].origin})",
        "; ".join(loaded),
        f"ratio about {ratio:.3g}:1 with usual copper",
    ]
    if need.has("barrier"):
        lines.append("LIVE CHASSIS: this iron is the isolation of the loudspeaker")
    return tuple(lines)


def wanted_ratio(need: Need) -> float:
    """Return the ratio that gives the wanted load with the usual share of copper [-]."""
    copper = need.rules.general("copper_usual")
    return math.sqrt(need.number("load") * (1 - copper) / need.number("speaker"))
