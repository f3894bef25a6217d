"""The readings to expect when a set is powered up: through a lamp first, then cathodes and rail, each with its band."""

from __future__ import annotations

import math

from partsbin.circuit.droppers import cathode_resistor
from partsbin.circuit.primary import lamp_limited
from partsbin.reference.valves import lineup
from partsbin.sets import follow
from partsbin.sets.facts import SetFacts
from partsbin.sets.feeding import feed
from partsbin.sets.heating import heaters, is_chain, usual_lamps
from partsbin.sets.lines import Line, weakest
from partsbin.words import percent, say, volts

LAMPS = (25.0, 40.0, 60.0, 100.0, 150.0, 200.0)  # W, filament lamps for a limiter; common practice
EFFICIENCY = 0.85  # of a receiver's mains transformer; common practice, no source
CATHODE, SMALL, LIMITED = 0.15, 0.25, 0.25  # bands of cathodes, of small valves and of the limited current; practice


def reading_lines(facts: SetFacts) -> list[Line]:
    """Return the readings to expect, in the order in which they are taken."""
    return [*_limited(facts), *_rail(facts), *_cathodes(facts)]


def power(facts: SetFacts) -> float:
    """Return what the set takes from the mains [W], NaN where its HT is not known."""
    found = feed(facts)
    rail = facts.number("rail", found.supply.charged().rail if found.supply.known else math.nan)
    every = heaters(facts)
    if is_chain(facts):
        return follow.mains(facts)[0] * (max(h.amperes for h in every) + found.supply.current)
    lamps = usual_lamps() * 6.3 if not facts.knows("lamps") else 0.0
    known = facts.number("lamp_volts", 0.0) * facts.number("lamp_amperes", 0.0) * facts.number("lamp_count", 0.0)
    heat = sum(h.volts * h.amperes for h in every) + lamps + known
    return (heat + rail * found.supply.current) / EFFICIENCY


def _limited(facts: SetFacts) -> list[Line]:
    if not lineup(facts.text("lineup")).valves:
        return []
    watts, mains = power(facts), follow.mains(facts)[0]
    if math.isnan(watts):
        return []
    lamp = next((size for size in LAMPS if size >= 1.2 * watts), LAMPS[-1])
    current, left = (float(value) for value in lamp_limited(watts, mains, lamp))
    band = (1 - LIMITED) * current, (1 + LIMITED) * current
    full = watts / mains
    lost = () if is_chain(facts) else (f"{percent(1 - EFFICIENCY)} lost in the iron",)
    whole = Line(
        "readings", "primary current", full, "A", f"{say(watts, 'W')} on {volts(mains)}, no lamp in series", 0.8 * full, 1.2 * full,
        lost, "practice",
    )  # fmt: skip
    return [
        Line(
            "readings", f"through a {lamp:g} W lamp", current, "A",
            f"after a minute; {volts(left)} left to the set; a short: {say(lamp / mains, 'A')} and the lamp at full light",
            *band, ("filament lamp, the set as a resistance",), "memory",
        ),
        whole,
    ]  # fmt: skip


def _rail(facts: SetFacts) -> list[Line]:
    found = feed(facts)
    if not (facts.knows("rail") or found.supply.known):
        return []
    rail = facts.number("rail", found.supply.charged().rail)
    if math.isnan(rail):
        return []
    return [
        Line("readings", "rail", rail, "V", "at the reservoir, warm, full mains; off load or with a dead output valve far more",
             0.9 * rail, 1.1 * rail, sure="given" if facts.knows("rail") else weakest("practice", found.sure))
    ]  # fmt: skip


def _cathodes(facts: SetFacts) -> list[Line]:
    lines = []
    fixed = facts.text("bias") in ("fixed", "back")
    for item in lineup(facts.text("lineup")).valves:
        row = item.valve
        if row.is_rectifier or not row.bias_volts or (fixed and row.is_output):
            continue
        volts_there, anode, screen = abs(row.bias_volts), row.anode_amperes or math.nan, row.screen_amperes or 0.0
        ohms = row.cathode_resistor_ohm or float(cathode_resistor(volts_there, anode, screen))
        band = CATHODE if row.is_output else SMALL
        both = " (each valve's own; half for a pair on one)" if item.count > 1 else ""
        across = "" if math.isnan(ohms) else f"across {say(ohms, 'ohm')}{both}"
        lines.append(
            Line("readings", f"cathode of {row.type}", volts_there, "V", across or "to chassis", (1 - band) * volts_there,
                 (1 + band) * volts_there, (f"{volts(row.anode_volts)} at its anode",) if row.anode_volts else (),
                 weakest(row.standing_of("bias_volts")), "the resistor that the set has: other ohms, other volts")
        )  # fmt: skip
    if fixed:
        lines.append(
            Line("readings", "bias of the output grid", "negative, as marked or in the sheet", sure="practice")
        )
    return lines
