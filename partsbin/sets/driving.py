"""The output stage of a set: the load that it wants, the ratio for the loudspeaker; and the grid leaks that valves bear."""

from __future__ import annotations

import math

from partsbin.circuit.output import dc_loss
from partsbin.circuit.ratio import ratio_from_impedances
from partsbin.reference.valves import Counted, lineup
from partsbin.rules import load_rules
from partsbin.sets.facts import SetFacts
from partsbin.sets.lines import Line, weakest
from partsbin.words import percent, say, span, volts

SMALL_GRID_LEAK = 3e6  # ohm, a small valve biased by its cathode; from memory
GRID_CURRENT_BIAS = 22e6  # ohm, a high-mu triode biased by its grid current; from memory


def output_lines(facts: SetFacts) -> list[Line]:
    """Return what follows for the output stage."""
    found = lineup(facts.text("lineup"))
    stage = found.output
    if stage is None:
        return [Line("output", "load", f"not known: {found.topology.why}", sure="practice")] if found.valves else []
    load = _wanted(facts, stage)
    if math.isnan(load):
        return [Line("output", "load", "not in the tables", sure="memory", instead="its sheet")]
    fits = load_rules("transformer").of("output", "fits")
    pair = _pair(facts, stage)
    figure = "push_pull_load_ohm" if pair else "optimum_load_ohm"
    at = stage.valve.push_pull_supply_volts if pair else stage.valve.anode_volts
    standing = stage.valve.standing_of(figure)
    where = "anode to anode" if pair else "single-ended"
    assumed = () if facts.knows("topology") else (found.topology.why,)
    lines = [
        Line("output", "load wanted", load, "ohm", f"{stage.valve.type} {where}" + (f" at {volts(at)}" if at else ""), fits[0] * load,
             fits[1] * load, assumed, weakest(standing), "its sheet, for the volts that the set has")
    ]  # fmt: skip
    if facts.knows("speaker"):
        lines.append(_ratio(facts, load, (fits[0], fits[1])))
    else:
        lines.append(Line("output", "ratio", "not reckoned: the loudspeaker is not known (speaker=3)", sure="given"))
    if stage.valve.anode_amperes and not pair:
        lines.append(_standing(stage))
    return lines


def _pair(facts: SetFacts, stage: Counted) -> bool:
    return facts.text("topology") == "push-pull" or (not facts.knows("topology") and stage.count == 2)


def _wanted(facts: SetFacts, stage: Counted) -> float:
    row = stage.valve
    return (row.push_pull_load_ohm if _pair(facts, stage) else row.optimum_load_ohm) or math.nan


def _ratio(facts: SetFacts, load: float, fits: tuple[float, float]) -> Line:
    speaker, copper = facts.number("speaker"), load_rules("transformer").general("copper_usual")
    ratio = float(ratio_from_impedances(load * (1 - copper), speaker))
    low, high = (float(ratio_from_impedances(load * (edge - copper), speaker)) for edge in fits)
    return Line(
        "output", "ratio", ratio, "-", f"√({say(load, 'ohm')} less {percent(copper)} of copper, over {say(speaker, 'ohm')})",
        low, high, (f"copper of the windings {percent(copper)} of the load",), "practice",
        "volts on both windings: calc ratio; resistance of both",
    )  # fmt: skip


def _standing(stage: Counted) -> Line:
    own = stage.valve.anode_amperes or math.nan
    return Line(
        "output", "standing current", own, "A",
        f"through the primary: gapped iron; 400 Ω of copper take {say(400 * own, 'V')}, {say(float(dc_loss(own, 400.0)), 'W')}",
        sure=weakest(stage.valve.standing_of("anode_amperes")), instead="volts across the primary over its resistance",
    )  # fmt: skip


def grid_lines(facts: SetFacts) -> list[Line]:
    """Return the largest grid leaks: through more of it the grid current of a valve lifts its own bias."""
    stage = lineup(facts.text("lineup")).output
    if stage is None:
        return []
    rules = load_rules("resistor")
    fixed = facts.text("bias") == "fixed"
    most = float(rules.general("grid_leak_fixed" if fixed else "grid_leak_most"))
    there = facts.number("grid_leak")
    over = there > most
    how = "fixed bias" if fixed else "biased by its cathode"
    how += "" if math.isnan(there) else f"; {say(there, 'ohm')} there" + (": too much" if over else "")
    assumed = () if facts.knows("bias") else ("cathode bias (bias=)",)
    return [
        Line("grids", f"{stage.valve.type}: grid leak at most", most, "ohm", how, assumed=assumed, sure="memory",
             instead="the limit of its sheet", warning=over),
        Line("grids", "small valves: at most", SMALL_GRID_LEAK, "ohm",
             f"a triode biased by its grid current has {span(10e6, GRID_CURRENT_BIAS, 'ohm')}", sure="memory", instead="their sheets"),
    ]  # fmt: skip
