"""Readings after power-up that prove a repair, with bands worked out from what the set says: for capacitors, chokes and fuses.

The bands are common practice, no source: a tenth about a rail, a seventh about a cathode's listed bias, three quarters of a fuse.
"""

from __future__ import annotations

import math

from partsbin.needs import Need
from partsbin.reference.valves import valve
from partsbin.sets import follow
from partsbin.words import say, volts

RAIL = 0.10
CATHODE = 0.15
OF_A_FUSE = 0.75
SUPPLY = ("reservoir", "smoothing", "decoupling", "screen-bypass")


def of_capacitor(need: Need) -> tuple[str, ...]:
    """Return the rail, what it reaches at switch-on, the ripple; of a cathode bypass the cathode's volts."""
    if need.position == "cathode-bypass":
        return _cathode(need)
    if need.position not in SUPPLY:
        return ()
    said, rail = [], follow.running_rail(need.facts)
    if not math.isnan(rail.volts):
        said.append(f"{_band(rail.volts, RAIL, 'V')} DC across it under load ({rail.origin})")
    peak = need.number("off_load_peak")
    if not math.isnan(peak):
        said.append(f"no more than {volts(peak)} across it at switch-on ({need.fields['off_load_peak'].origin})")
    if need.has("ripple_original"):
        said.append(f"about {need.number('ripple_original'):.0f} V of ripple, peak to peak, less with a larger one")
    return tuple(said)


def of_choke(need: Need) -> tuple[str, ...]:
    """Return the drop in the winding, where its ohms and its current are known."""
    drop = need.number("resistance") * need.number("current")
    if math.isnan(drop) or need.has("current_assumed"):
        return ()
    ohms, current = say(need.number("resistance"), "ohm"), say(need.number("current"), "A")
    return (f"{_band(drop, RAIL, 'V')} across it warm: {current} through the dead one's {ohms}",)


def of_fuse(need: Need) -> tuple[str, ...]:
    """Return what may flow through a fuse for good, where its rating is known."""
    if need.has("assumed"):
        return ()
    return (f"no more than {say(OF_A_FUSE * need.number('current'), 'A')} through it after a minute",)


def _cathode(need: Need) -> tuple[str, ...]:
    name = need.facts.text("valve")
    found = valve(name) if name else None
    if found is None or not found.bias_volts:
        return ()
    trust = found.standing_of("bias_volts")
    return (f"{_band(abs(found.bias_volts), CATHODE, 'V')} across it, set warm ({found.type}, self-biased, {trust})",)


def _band(value: float, by: float, unit: str) -> str:
    """Return a band in words, rounded inward."""
    low, high = (1 - by) * value, (1 + by) * value
    step = 10.0 ** (math.floor(math.log10(value)) - 2)
    return f"{math.ceil(low / step - 1e-9) * step:.3g} to {math.floor(high / step + 1e-9) * step:.3g} {unit}"
