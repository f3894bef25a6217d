"""The heaters of a set: windings and their load, or the chain with its order, lamps and dropper; volts against the chassis."""

from __future__ import annotations

import math
from dataclasses import dataclass

from partsbin.circuit.chains import cold_surge, dropper_watts, lamp_shunt
from partsbin.circuit.droppers import capacitive_dropper, chain_current, dropper_resistance
from partsbin.reference.substitutes import rectifier_limits
from partsbin.reference.valves import Lineup, Valve, lineup
from partsbin.rules import load_rules
from partsbin.sets import follow
from partsbin.sets.facts import SetFacts
from partsbin.sets.feeding import feed
from partsbin.sets.lines import Line, weakest
from partsbin.words import listed, percent, say, volts

CHAIN_LEAST = 12.7  # V; heaters of more are made for a chain
DIRECT = (4.0, 5.0)  # V; rectifiers of these have a winding of their own
USUAL_LIMIT, CHAIN_LIMIT, OUTPUT_LIMIT = 100.0, 150.0, 200.0  # V peak, heater to cathode: any, chain, output; memory
COLD = 7.2  # hot over cold resistance of a heater at worst: audioxpress-2004
APART = 1.05  # heaters of one chain differ in current by less


@dataclass(frozen=True)
class Heater:
    """One heater of the set, in the order of the line-up."""

    valve: Valve
    volts: float
    amperes: float


def usual_lamps() -> float:
    """Return what dial lamps beside the heaters draw where nobody said [A]."""
    return float(load_rules("transformer").general("lamp_current"))


def heaters(facts: SetFacts) -> list[Heater]:
    """Return the heaters of the line-up one by one; those that the tables do not know are left out."""
    found = []
    for item in lineup(facts.text("lineup")).valves:
        heater = Heater(item.valve, item.valve.heater_volts or math.nan, item.valve.heater_amperes or math.nan)
        found += [heater] * item.count
    return [heater for heater in found if not math.isnan(heater.volts * heater.amperes)]


def is_chain(facts: SetFacts) -> bool:
    """Return whether the heaters stand in series on the mains."""
    return any(heater.volts > CHAIN_LEAST for heater in heaters(facts)) or (
        follow.is_live(facts)[0] is True and len({round(h.amperes, 2) for h in heaters(facts)}) == 1
    )


def heater_lines(facts: SetFacts) -> list[Line]:
    """Return what follows for the heaters."""
    found = lineup(facts.text("lineup"))
    if not found.valves:
        return [Line("heaters", "heaters", "not known: no valve of the line-up is in the tables", sure="given")]
    lines = _chain(facts) if is_chain(facts) else _windings(facts)
    return [*lines, *_left_out(found)]


def _left_out(found: Lineup) -> list[Line]:
    bare = [item.valve.type for item in found.valves if not item.valve.heater_volts or not item.valve.heater_amperes]
    lost = [*found.unknown, *bare]
    if not lost:
        return []
    return [
        Line(
            "heaters", "not counted", ", ".join(lost), how="not in the valve table, or without heater figures", sure="memory",
            instead="the volts and the current of its heater, or its sheet", warning=True,
        )
    ]  # fmt: skip


# ---- side by side


def _windings(facts: SetFacts) -> list[Line]:
    every = heaters(facts)
    sole = [h for h in every if h.valve.is_rectifier and h.volts in DIRECT]
    common = [h for h in every if h not in sole]
    lines = [
        _winding(facts, at, [h for h in common if h.volts == at], lamps=at == _most(common))
        for at in sorted({h.volts for h in common}, reverse=True)
    ]
    lines += [_own_winding(h) for h in sole]
    return lines + _shared(facts, [h for h in common if h.valve.is_rectifier])


def _own_winding(h: Heater) -> Line:
    return Line(
        "heaters", f"{say(h.volts, 'V')} winding", h.amperes, "A", f"{h.valve.type} alone, at the HT: insulated for it",
        sure=weakest(h.valve.standing_of("heater_amperes")), instead="volts at its tags, set warm",
    )  # fmt: skip


def _most(heaters: list[Heater]) -> float:
    watts: dict[float, float] = {}
    for h in heaters:
        watts[h.volts] = watts.get(h.volts, 0.0) + h.volts * h.amperes
    return max(watts, key=lambda at: watts[at])


def _winding(facts: SetFacts, at: float, there: list[Heater], *, lamps: bool) -> Line:
    amperes = sum(h.amperes for h in there)
    parts = [f"{h.valve.type} {say(h.amperes, 'A')}" for h in there]
    assumed: tuple[str, ...] = ()
    if lamps:
        drawn = facts.number("lamp_amperes") * facts.number("lamp_count") if facts.knows("lamps") else usual_lamps()
        parts.append(f"lamps {say(drawn, 'A')}")
        amperes += drawn
        if not facts.knows("lamps"):
            assumed = (f"two dial lamps, {say(drawn, 'A')} together (lamps=2x 6.3V 0.3A)",)
    sure = weakest("practice" if assumed else "", *(h.valve.standing_of("heater_amperes") for h in there))
    off = load_rules("transformer").general("heater_tolerance")
    low, high = (1 - off) * at, (1 + off) * at
    return Line(
        "heaters", f"{say(at, 'V')} winding", amperes, "A", " + ".join(parts), assumed=assumed, sure=sure,
        instead=f"volts at a heater, set warm: {say(low, 'V')} to {say(high, 'V')} (±{percent(off)})",
    )  # fmt: skip


def _shared(facts: SetFacts, rectifiers: list[Heater]) -> list[Line]:
    """A rectifier whose heater hangs on the winding of the others: all of the HT stands between its heater and its cathode."""
    peak = follow.off_load(facts)
    if math.isnan(peak.volts):
        return []
    how = f"heater on the common winding: {peak.origin}"
    return [_against(h.valve, peak.volts, _highest_rail(facts), how, peak.assumed) for h in rectifiers[:1]]


def _highest_rail(facts: SetFacts) -> float:
    """The running rail at the highest mains, NaN where it is not known."""
    if facts.knows("rail"):
        return follow.running(facts).volts
    supply = feed(facts).supply
    return supply.at(follow.rise(facts)).charged().rail if supply.known else math.nan


def _against(valve: Valve, stress: float, running: float, how: str, assumed: tuple[str, ...] = ()) -> Line:
    """Line that sets the volts between heater and cathode, off load and running, against the valve's limit."""
    known = rectifier_limits(valve.type) if valve.is_rectifier else None
    limit = known.heater_cathode_volts if known is not None else None
    if valve.is_rectifier and limit is None:
        return Line(
            "heaters", f"{valve.type} heater to cathode", stress, "V", f"{how}; limit not known here",
            assumed=assumed, sure="memory", instead="the limit of its sheet",
        )  # fmt: skip
    memory = known is None or known.heater_cathode_standing == "memory"
    origin = "from memory" if memory else "its sheet"
    if limit is None:
        made_for_chains = (valve.heater_volts or 0.0) > CHAIN_LEAST
        limit = OUTPUT_LIMIT if valve.is_output else CHAIN_LIMIT if made_for_chains else USUAL_LIMIT
        origin = "usual for its kind, from memory"
    over = stress > limit
    in_use = over and running <= limit
    said = f"limit {volts(limit)} ({origin})"
    if over:
        said += f": passed only off load, {volts(running)} running" if in_use else ": OVER IT"
    return Line(
        "heaters", f"{valve.type} heater to cathode", stress, "V", f"{how}; {said}", assumed=assumed,
        sure="memory" if memory else "read", instead="its sheet, and the insulation read hot", warning=over and not in_use,
    )  # fmt: skip


# ---- in series


def _chain(facts: SetFacts) -> list[Line]:
    every, mains = heaters(facts), follow.mains(facts)[0]
    if not every:
        return []
    current = sorted(h.amperes for h in every)[len(every) // 2]
    others = sorted({h.valve.type for h in every if not current / APART < h.amperes < current * APART})
    ordered, why = _from_the_chassis(every)
    lamp_volts = facts.number("lamp_volts") * facts.number("lamp_count") if facts.knows("lamps") else 0.0
    whole = sum(h.volts for h in every) + lamp_volts
    sure = weakest(*(h.valve.standing_of("heater_volts") for h in every))
    lines = [
        Line(
            "heaters", "chain", whole, "V",
            f"{say(current, 'A')} through " + ", ".join(f"{h.valve.type} {h.volts:g}" for h in ordered)
            + (f", lamps {lamp_volts:g}" if lamp_volts else ""),
            assumed=() if facts.knows("lamps") else ("no dial lamp in the chain (lamps=6.3V 0.1A)",),
            sure=sure, instead=f"current of the chain, warm: {say(0.95 * current, 'A')} to {say(1.05 * current, 'A')}",
        )
    ]  # fmt: skip
    if others:
        made = f"{listed(others, 'and')}: heater current is not the {say(current, 'A')} of the others"
        lines.append(Line("heaters", "another current", made, sure=sure, instead="its sheet", warning=True))
    lines += _dropper(mains, follow.mains_high(facts), whole, current, follow.frequency(facts))
    if facts.knows("lamps"):
        lines += _lamp(facts, current)
    return lines + _places(facts, ordered, why)


def _from_the_chassis(every: list[Heater]) -> tuple[list[Heater], str]:
    """The chain from the chassis up: as given, turned round where the rectifier was named first, since it sits at the mains end."""
    if every[0].valve.is_rectifier and len(every) > 1:
        return every[::-1], "rectifier named first: order as given, from the mains end"
    return list(every), "order as given, from the chassis up: follow the wires, the detector usually sits lowest"


def _dropper(mains: float, high: float, heaters: float, current: float, hertz: float) -> list[Line]:
    if heaters >= 0.98 * mains:
        odd = f"{volts(heaters)} of heaters on {volts(mains)}: no dropper"
        return [Line("heaters", "dropper", odd, warning=heaters > 1.07 * mains)]
    ohms = float(dropper_resistance(mains, heaters, current))
    hot = float(chain_current(high, ohms, heaters, current))
    cold = float(cold_surge(high, ohms, heaters, current, COLD))
    capacitor = float(capacitive_dropper(mains, heaters, current, hertz))
    watts = float(dropper_watts(mains, heaters, current))
    return [
        Line(
            "heaters", "dropper", ohms, "ohm",
            f"({volts(mains)} − {volts(heaters)}) / {say(current, 'A')}: {say(watts, 'W')}, {say(hot**2 * ohms, 'W')} at "
            f"{volts(high)}: fit twice that; {say(hot, 'A')} then; cold {say(cold, 'A')} for a moment",
            assumed=("thermistor and surge resistors not counted",), sure="worked",
            instead="resistance of the dropper and its sections, set cold",
        ),
        Line(
            "heaters", "capacitor instead", capacitor, "F",
            f"class X, {volts(mains)} AC, film: a resistor across it to discharge it; never on DC, see calc dropper",
            sure="worked",
        ),
    ]  # fmt: skip


def _lamp(facts: SetFacts, current: float) -> list[Line]:
    own, at = facts.number("lamp_amperes"), facts.number("lamp_volts")
    if own > 0.99 * current:
        return []
    shunt, _, watts = (float(value) for value in lamp_shunt(at, own, current))
    return [Line("heaters", "lamp shunt", shunt, "ohm", f"across each lamp, {say(watts, 'W')} with the lamp open")]


def _places(facts: SetFacts, ordered: list[Heater], why: str) -> list[Line]:
    """Volts of each heater against the chassis: the sum of those below it; the cathode of a rectifier stands at the HT."""
    rise = follow.mains_high(facts) / follow.mains(facts)[0]
    assumed = (why, "lamps at the mains end") if facts.knows("lamps") else (why,)
    lines, below = [], 0.0
    for place, heater in enumerate(ordered, 1):
        below += heater.volts
        crest = math.sqrt(2) * below * rise
        how = f"place {place}: {volts(below - heater.volts)} to {volts(below)} RMS above the chassis, mains high"
        off, running = 0.0, 0.0
        if heater.valve.is_rectifier:
            peak = follow.off_load(facts).volts
            off, running, how = 0.0 if math.isnan(peak) else peak, _highest_rail(facts), f"{how}; cathode at the HT"
        lines.append(_against(heater.valve, crest + off, crest + running, how, assumed))
    return lines
