"""The value that is wanted, and its windows: as marked, else from the valve, the heater chain or the rectifier, else as usual."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from partsbin.circuit.droppers import cathode_resistor, dropper_resistance
from partsbin.families._mains_checks import OTHER_HIGH
from partsbin.families._stress import Draft
from partsbin.notation.preferred import series
from partsbin.reference.valves import Counted, Valve, lineup, valve
from partsbin.rules import Rules
from partsbin.sets import SetFacts, follow
from partsbin.words import say, volts

USUAL_SPREAD = 1.05  # a new part of ±5 % at its upper end
_DIFFERS = 0.1  # from which the dead part's value and the one worked out are both named


@dataclass(frozen=True)
class Chain:
    """A heater chain: the sum of its volts and its current."""

    volts: float
    current: float
    trusted: bool


def chain_of(facts: SetFacts) -> Chain | None:
    """Return the heater chain of the line-up, None where its heaters are not all known and of one current."""
    found = lineup(facts.text("lineup"))
    if not found.valves or found.unknown or follow.is_live(facts)[0] is not True:
        return None
    if any(not item.valve.heater_volts or not item.valve.heater_amperes for item in found.valves):
        return None
    currents = [item.valve.heater_amperes or math.nan for item in found.valves]
    if max(currents) > 1.05 * min(currents):
        return None
    read = all(item.valve.standing_of("heater_volts") == "read" for item in found.valves)
    return Chain(sum(item.count * (item.valve.heater_volts or 0.0) for item in found.valves), max(currents), read)


def valve_here(facts: SetFacts) -> Counted | None:
    """Return the valve at the position, or the output valve of the line-up, and how many the set has of it."""
    output = lineup(facts.text("lineup")).output if facts.text("lineup") else None
    found = valve(facts.text("valve")) if facts.text("valve") else None
    if found is None:
        return None if facts.text("valve") else output
    return output if output is not None and output.valve.type == found.type else Counted(found, 1)


@dataclass(frozen=True)
class Sharing:
    """The valve on a cathode resistor, how many of it the value is reckoned for, and how many may stand on it."""

    valve: Valve
    count: int
    most: int


def sharing(facts: SetFacts, marked: float | None) -> Sharing | None:
    """Return the valves on a cathode resistor; a dead value near half the listed one was shared by two.

    Where the topology is not said several valves of one type may be a pair on one resistor.
    """
    here = valve_here(facts)
    if here is None:
        return None
    pair = max(here.count, 2)
    if marked and marked < cathode_ohms(here.valve) / math.sqrt(pair):
        return Sharing(here.valve, pair, pair)
    if facts.text("topology") == "push-pull":
        return Sharing(here.valve, here.count, pair if here.valve.is_output else here.count)
    return Sharing(here.valve, 1, 1 if facts.text("topology") else here.count)


def cathode_ohms(found: Valve) -> float:
    """Return the cathode resistor of one valve, as listed or bias over current [ohm]; NaN where neither is."""
    if found.cathode_resistor_ohm:
        return found.cathode_resistor_ohm
    if found.bias_volts and found.anode_amperes and (found.screen_amperes is not None or "triode" in found.kind):
        return float(cathode_resistor(found.bias_volts, found.anode_amperes, found.screen_amperes or 0.0))
    return math.nan


def trusted(found: Valve, figure: str) -> str:
    """Return how far a figure of the valve table may be trusted, in words."""
    return "read" if found.standing_of(figure) == "read" else "from memory"


def value_of(draft: Draft, dead: Mapping[str, Any], position: str, facts: SetFacts, rules: Rules) -> None:
    """Write the ideal value and its two windows."""
    marked = dead.get("resistance")
    worked, how = _worked(draft, marked, position, facts)
    if marked:
        ideal, origin = float(marked), "marked on the dead part"
        if abs(worked / ideal - 1) > _DIFFERS:
            draft.assume(f"{how} would ask {say(worked, 'ohm')}: the dead part's {say(ideal, 'ohm')} is trusted")
    elif not math.isnan(worked):
        ideal, origin = worked, how
        here = valve_here(facts) if position == "screen-feed" else None
        if here is not None and not here.valve.is_output:  # in an audio stage it works with a tenth of that
            draft.put("value_assumed", True, "", "the dead part's value is not known")
            draft.assume(
                f"{say(ideal, 'ohm')} for {how}: a stage with a resistor for its anode load has several times that"
            )
            draft.ask("original", "What is written on the dead part?", say(ideal, "ohm"), say(ideal * 4, "ohm"))
    else:
        ideal, origin = float(rules.of(position, "usual")), "usual in this position"
        if position == "grid-leak" and (bound := _grid_most(facts, rules)):
            ideal = min(ideal, bound[0])
        draft.put("value_assumed", True, "", "the dead part's value is not known")
        draft.assume(f"the dead part's value is not known: {say(ideal, 'ohm')} taken, usual in this position")
        draft.ask(
            "original",
            "What is written on the dead part, or on its neighbour of the same kind?",
            say(ideal / 4, "ohm"),
            say(ideal * 4, "ohm"),
        )
    draft.put("ideal", ideal, "ohm", origin)
    sold = _sold_above(ideal) if position == "cathode-bias" and not marked and not math.isnan(worked) else 0.0
    for name in ("fits", "care"):
        low, high = rules.of(position, name)
        how = f"{low:g} to {high:g} times ({rules.source_of(position, name)})"
        draft.put(name, (ideal * low, max(ideal * high, sold)), "ohm", how)
    if position == "grid-leak":
        _grid_limit(draft, facts, rules)
    if position == "surge-limiter":
        _rectifier_limit(draft, facts)
    if position == "isolation-bridging":
        _touch_limit(draft, facts, rules)


def _sold_above(ideal: float) -> float:
    """Return the upper end of the E12 value next to a listed one [ohm]: more ohms there are less current, and harmless."""
    exponent = math.floor(math.log10(ideal))
    steps = [float(step) * 10.0**power for power in (exponent, exponent + 1) for step in series("E12")]
    return min(steps, key=lambda step: abs(math.log(step / ideal))) * USUAL_SPREAD


def _worked(draft: Draft, marked: float | None, position: str, facts: SetFacts) -> tuple[float, str]:
    """The value that the set's facts ask, and how; NaN where they ask nothing."""
    if position == "cathode-bias":
        return _cathode(facts, marked)
    if position == "heater-dropper":
        return _dropper(draft, facts)
    if position == "screen-feed":
        return _screen(facts)
    if position == "surge-limiter":
        found = valve(follow.rectifier(facts)) if follow.rectifier(facts) else None
        least = found.rectifier_series_ohm_min if found else None
        more = (least or math.nan) - facts.number("winding_resistance", 0.0)
        return (more, f"what {found.type} asks beside the winding") if found and more > 1 else (math.nan, "")
    return math.nan, ""


def _cathode(facts: SetFacts, marked: float | None) -> tuple[float, str]:
    shared = sharing(facts, marked)
    if shared is None:
        return math.nan, ""
    found, count = shared.valve, shared.count
    pair = f", {count} on one resistor" if count > 1 else f", one of {shared.most} valves" if shared.most > 1 else ""
    listed = bool(found.cathode_resistor_ohm)
    trust = trusted(found, "cathode_resistor_ohm" if listed else "bias_volts")
    origin = f"{found.type} ({trust})" if listed else f"bias over current of {found.type} ({trust})"
    return cathode_ohms(found) / count, f"{origin}{pair}"


def _dropper(draft: Draft, facts: SetFacts) -> tuple[float, str]:
    chain = chain_of(facts)
    if chain is None:
        return math.nan, ""
    mains = follow.mains(facts)[0]
    left = float(dropper_resistance(mains, chain.volts, chain.current))
    if left <= 0:
        draft.assume(f"the heaters add up to {volts(chain.volts)}: on {volts(mains)} they want no dropper")
        return math.nan, ""
    draft.assume("dial lamps, thermistor and other sections in the chain not counted: take off their volts")
    memory = "" if chain.trusted else ", heater volts from memory"
    return left, f"{volts(mains)} less {volts(chain.volts)} of heaters at {say(chain.current, 'A')}{memory}"


def _screen(facts: SetFacts) -> tuple[float, str]:
    here = valve_here(facts) if facts.text("valve") else None
    if here is None or not here.valve.screen_amperes or not here.valve.screen_volts or not facts.knows("rail"):
        return math.nan, ""
    drop = facts.number("rail") - here.valve.screen_volts
    if drop < 5:
        return math.nan, ""
    how = f"{here.valve.type}'s screen at its listed volts ({trusted(here.valve, 'screen_amperes')})"
    return drop / here.valve.screen_amperes, how


def _window(draft: Draft, name: str) -> tuple[float, float]:
    given = draft.fields[name].value
    return given if isinstance(given, tuple) else (math.nan, math.nan)


def _grid_most(facts: SetFacts, rules: Rules) -> tuple[float, str, str] | None:
    """The most that an output valve's grid bears [ohm], the valve and its bias; None where no output valve is named."""
    here = valve_here(facts) if facts.text("valve") else None
    if here is None or not here.valve.is_output:
        return None
    fixed = facts.text("bias") == "fixed"
    most = float(rules.general("grid_leak_fixed" if fixed else "grid_leak_most"))
    return most, here.valve.type, "fixed" if fixed else "cathode"


def _grid_limit(draft: Draft, facts: SetFacts, rules: Rules) -> None:
    """Bound the grid leak of an output valve: its grid current through more of it lifts the bias and runs away."""
    bound = _grid_most(facts, rules)
    if bound is None:
        return
    most, name_of, biased = bound
    ideal = draft.number("ideal")
    if ideal > most:
        draft.assume(f"usual for {name_of}: {say(most, 'ohm')} at most; the dead part's value is trusted")
        most = ideal
    how = f"upper: {name_of}, {biased} bias (from memory: its sheet would replace it)"
    for name in ("fits", "care"):
        window = _window(draft, name)
        draft.put(name, (window[0], min(window[1], most)), "ohm", how)


def _rectifier_limit(draft: Draft, facts: SetFacts) -> None:
    """No less than the rectifier valve is listed for, with the winding beside it."""
    found = valve(follow.rectifier(facts)) if follow.rectifier(facts) else None
    least = (found.rectifier_series_ohm_min or 0.0) - facts.number("winding_resistance", math.inf) if found else 0.0
    if found is None or least <= 0 or least > draft.number("ideal"):
        return
    how = f"lower: {found.type} ({trusted(found, 'rectifier_series_ohm_min')})"
    for name in ("fits", "care"):
        window = _window(draft, name)
        draft.put(name, (max(window[0], least), window[1]), "ohm", how)


def _touch_limit(draft: Draft, facts: SetFacts, rules: Rules) -> None:
    """No less than lets the allowed current through, the other paths to the same touchable part taken off."""
    limit = float(rules.general("touch_limit_peak"))
    high = follow.mains_high(facts)
    other = facts.number("other_paths", 0.0) * OTHER_HIGH
    taken = math.sqrt(2) * high * 2 * math.pi * follow.frequency(facts) * other
    draft.put("touch_limit", limit, "A", "peak")
    draft.put("other_current", taken, "A", "peak through the other capacitors, 20 % high")
    draft.put("mains_high", high, "V", "highest mains")
    if not other:
        draft.assume("no capacitor feeds the same touchable part: name any with --with other_paths=4.7n")
    if taken >= limit:
        draft.put("paths_alone", True, "", "the other capacitors alone let more through than is allowed")
        draft.assume(
            f"the other capacitors alone let {say(taken, 'A')} peak through, {say(limit, 'A')} are allowed: no resistor "
            "helps, see to them first"
        )
        return
    least = math.sqrt(2) * high / (limit - taken)
    draft.put("least_ohms", least, "ohm", "touch current")
    fits, care = _window(draft, "fits"), _window(draft, "care")
    ideal = max(draft.number("ideal"), 1.25 * least)  # a usual ±20 % part of this value stays under the limit
    draft.put(
        "ideal", ideal, "ohm", draft.fields["ideal"].origin if ideal < 1.25 * least else "as the touch current allows"
    )
    draft.put("fits", (max(fits[0], least), max(fits[1], ideal)), "ohm", "from what the touch current allows")
    draft.put("care", (max(care[0], least), max(care[1], 2 * ideal)), "ohm", "from what the touch current allows")
