"""Output valves that do the work of another in a socket of their own: from the tables' figures alone, and what has to change.

Nothing here replaces a valve as plugged in. The figures say that heater, dissipation and working volts agree; the wiring is made
by electrode from both sheets.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from partsbin.reference.substitutes import substitute
from partsbin.reference.valves import Valve, valves

HEATER_VOLTS = 0.07  # share by which heater volts may differ: usual practice
HEATER_AMPERES = 1.4  # heater current over the dead one's; more no winding has to spare
DISSIPATION = 0.9  # of the dead one's
WORKING = 0.2  # share by which the usual anode volts may differ
LOADS = (0.5, 2.0)  # load over the dead one's that the output transformer still feeds, with care
_ALIKE = frozenset({"pentode", "beam", "tetrode"})


@dataclass(frozen=True)
class Rewired:
    """One valve in place of another.

    Parameters
    ----------
    valve : Valve
        The valve.
    changes : tuple of str
        What has to be changed, in words.
    distance : float
        How far its load and heater lie from those of the dead one; 0 is alike [-].
    """

    valve: Valve
    changes: tuple[str, ...]
    distance: float


def rewired(dead: Valve) -> tuple[Rewired, ...]:
    """Return the output valves that do a dead one's work once its socket is rewired, the nearest first.

    Parameters
    ----------
    dead : Valve
        The output valve that was there; any other kind has none.

    Examples
    --------
    >>> from partsbin.reference.valves import valve
    >>> "EL84" in [found.valve.type for found in rewired(valve("EL41"))]
    True
    """
    if not dead.is_output:
        return ()
    found = [Rewired(row, _changes(dead, row), _distance(dead, row)) for row in valves() if _serves(dead, row)]
    return tuple(sorted(found, key=lambda entry: (entry.distance, entry.valve.type)))


def _serves(dead: Valve, row: Valve) -> bool:
    """Whether the tables hold every figure that matters of both, and all of them agree."""
    words, offered = set(dead.kind.split()) - _ALIKE, set(row.kind.split()) - _ALIKE
    both = bool(_ALIKE & set(dead.kind.split())) == bool(_ALIKE & set(row.kind.split()))
    if not (row.is_output and both and words <= offered):
        return False
    if substitute(dead.type, row.type).relation in ("same", "drop-in", "never"):
        return False
    watts = _ratio(row.anode_dissipation_watts, dead.anode_dissipation_watts)
    return (
        abs(_ratio(row.heater_volts, dead.heater_volts) - 1) <= HEATER_VOLTS
        and _ratio(row.heater_amperes, dead.heater_amperes) <= HEATER_AMPERES
        and watts >= DISSIPATION
        and abs(_ratio(row.anode_volts, dead.anode_volts) - 1) <= WORKING
        and LOADS[0] <= _ratio(row.optimum_load_ohm, dead.optimum_load_ohm) <= LOADS[1]
    )


def _ratio(new: float | None, old: float | None) -> float:
    """One over the other, NaN where either is unknown: comparisons with it are false."""
    return new / old if new and old else math.nan


def _distance(dead: Valve, row: Valve) -> float:
    load = abs(math.log(_ratio(row.optimum_load_ohm, dead.optimum_load_ohm)))
    heater = max(0.0, math.log(_ratio(row.heater_amperes, dead.heater_amperes)))
    return load + heater + (0.0 if row.base == dead.base else 0.2)


def _changes(dead: Valve, row: Valve) -> tuple[str, ...]:
    same = row.base == dead.base
    said = [
        "socket rewired by electrode"
        if same
        else f"{row.base} socket for {dead.base}, wired by electrode from both sheets"
    ]
    more = (row.heater_amperes or 0.0) - (dead.heater_amperes or 0.0)
    if more > 0.02:
        said.append(f"the heater winding must spare {more * 1000:.0f} mA")
    said.append(_bias(row))
    load = _ratio(row.optimum_load_ohm, dead.optimum_load_ohm)
    if abs(load - 1) > 0.1:
        said.append(
            f"load {row.optimum_load_ohm:g} Ω, {dead.optimum_load_ohm:g} was: ratio × {math.sqrt(load):.2f}, or less power"
        )
    current = _ratio(row.anode_amperes, dead.anode_amperes)
    if current > 1.15:
        was, now = ((each.anode_amperes or 0.0) * 1000 for each in (dead, row))
        said.append(f"{now:.0f} mA, {was:.0f} was: see that rail and transformer bear it")
    if row.standing != "read" or dead.standing != "read":
        said.append("figures partly from memory: compare both sheets first")
    return tuple(said)


def _bias(row: Valve) -> str:
    if row.cathode_resistor_ohm:
        return f"cathode resistor {row.cathode_resistor_ohm:g} Ω"
    whole = (row.anode_amperes or 0.0) + (row.screen_amperes or 0.0)
    if row.bias_volts and whole:
        return f"cathode resistor about {abs(row.bias_volts) / whole:.0f} Ω ({abs(row.bias_volts):g} V)"
    return f"cathode resistor by its sheet: until then no more than {(row.anode_amperes or 0.0) * 1000:.0f} mA"
