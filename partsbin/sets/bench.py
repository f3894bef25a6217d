"""The calculations of the bench, by name: ratio, load, rail, corner, leakage, balance, touch, discharge, line; parts beside.

The formulas are those of `partsbin.circuit`; here stand their inputs, the words and what can hurt.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from partsbin.circuit.capacitors import corner_frequency, discharge_time, stored_energy
from partsbin.circuit.leakage import grid_shift
from partsbin.circuit.networks import balance_resistor, worst_series_share
from partsbin.circuit.output import efficiency, line_impedance, load_with_copper
from partsbin.circuit.ratio import best_ratio, ratio_from_impedances, turns_ratio
from partsbin.circuit.rectification import Connection, capacitor_input
from partsbin.circuit.supply import off_load_peak, peak_inverse
from partsbin.circuit.touch import largest_capacitance, touch_current
from partsbin.sets.bench_parts import HV, PARTS
from partsbin.sets.calculations import Calculation, Input, Values

SAFE_VOLTS = 50.0  # V, to which a capacitor is brought before it is touched; common practice, no source
COPPER = (
    Input("primary_resistance", "ohm", "copper of the primary", 0.0),
    Input("secondary_resistance", "ohm", "copper of the secondary", 0.0),
)
MAINS = (
    Input("mains", "V", "nominal mains, RMS", 230.0, 1.0, 500.0),
    Input("frequency", "Hz", "mains frequency", 50.0, 10.0, 1000.0),
)


def _ratio(v: Values) -> Sequence[float]:
    ratio = turns_ratio(v["primary"], v["secondary"])
    load = load_with_copper(ratio, v["load"], v["primary_resistance"], v["secondary_resistance"])
    return ratio, load, efficiency(ratio, v["load"], v["primary_resistance"], v["secondary_resistance"])


def _wanted(v: Values) -> Sequence[float]:
    bare = ratio_from_impedances(v["wanted"], v["load"])
    return best_ratio(v["wanted"], v["load"], v["primary_resistance"], v["secondary_resistance"]), bare


def _rail(v: Values) -> Sequence[float]:
    connection: Connection = "half-wave" if v["pulses"] == 1 else "centre-tap"
    winding, risen = v["secondary"], v["secondary"] * v["mains_high"]
    rest = (v["resistance"], v["current"], v["reservoir"], v["frequency"], connection)
    rail, ripple, _, crest, _, flow = capacitor_input(winding, *rest, diode_drop=v["drop"])
    high = capacitor_input(risen, *rest, diode_drop=v["drop"])[0]
    return off_load_peak(risen), rail, high, ripple, flow, crest, peak_inverse(risen, "half-wave")


def _leakage(v: Values) -> Sequence[float]:
    leak = v["insulation"]
    return grid_shift(v["anode"], v["grid_leak"], leak), v["anode"] / (leak + v["grid_leak"])


def _balance(v: Values) -> Sequence[float]:
    across = balance_resistor(v["rating"], v["bus"], v["difference"], v["n"])
    share = worst_series_share(v["bus"], v["tolerance"], v["n"])
    return across, share, (v["bus"] / v["n"]) ** 2 / across if across > 0 else math.nan


def _touch(v: Values) -> Sequence[float]:
    c, mains, frequency = v["capacitance"], v["mains"], v["frequency"]
    return (
        touch_current(c, mains, frequency),
        touch_current(c, mains, frequency, peak=True),
        largest_capacitance(v["limit"], mains, frequency),
    )


def _discharge(v: Values) -> Sequence[float]:
    c, volts, r = v["capacitance"], v["volts"], v["resistance"]
    return stored_energy(c, volts), discharge_time(r, c, volts, v["down_to"]), volts / r, volts**2 / r


def _line(v: Values) -> Sequence[float]:
    primary = line_impedance(v["line"], v["power"])
    return primary, ratio_from_impedances(primary, v["load"])


_TABLE = (
    Calculation(
        "ratio",
        "turns ratio from two volts read, and the load that the valve sees",
        (
            Input("primary", "V", "volts on the primary", least=1e-3),
            Input("secondary", "V", "volts on the secondary", least=1e-6),
            Input("load", "ohm", "loudspeaker", math.nan),
            *COPPER,
        ),
        (
            ("ratio", "-", "primary turns to secondary turns"),
            ("reflected_load", "ohm", "what the valve sees, copper included"),
            ("efficiency", "-", "share of the power that gets out"),
        ),
        "n = Up / Us; R = n² (Z + Rs) + Rp",
        "worked",
        _ratio,
        "never feed the loudspeaker winding: a few volts there are hundreds on the primary",
    ),
    Calculation(
        "wanted",
        "ratio that gives the valve the load it wants",
        (
            Input("wanted", "ohm", "load of the valve, anode to anode for a pair", least=1.0),
            Input("load", "ohm", "loudspeaker", least=0.1),
            *COPPER,
        ),
        (("best_ratio", "-", "ratio, copper included"), ("bare_ratio", "-", "ratio without copper")),
        "n = √((R − Rp) / (Z + Rs))",
        "worked",
        _wanted,
    ),
    Calculation(
        "line",
        "primary of a line transformer, and its ratio",
        (
            Input("line", "V", "line volts, such as 100", least=1.0),
            Input("power", "W", "power tapped", least=1e-3),
            Input("load", "ohm", "loudspeaker", least=0.1),
        ),
        (("primary", "ohm", "impedance shown to the line"), ("ratio", "-", "ratio")),
        "Z = U² / P; n = √(Zp / Zs)",
        "worked",
        _line,
    ),
    Calculation(
        "rail",
        "rail of a capacitor-input supply, running and off load",
        (
            Input("secondary", "V", "winding, a side, RMS, off load", least=1.0),
            Input("current", "A", "direct current drawn", least=1e-6),
            Input("reservoir", "F", "reservoir capacitor", least=1e-9),
            Input(
                "resistance",
                "ohm",
                "in the path of a pulse: winding a side, valve (EZ81 about 125, from memory)",
                least=0.1,
            ),
            Input("drop", "V", "diode drop; 0 for a valve", 0.8),
            Input("pulses", "-", "pulses a period: 2 full-wave, 1 half-wave", 2.0, 1.0, 2.0),
            Input("mains_high", "-", "highest mains over nominal", 1.1, 1.0, 1.25),
            MAINS[1],
        ),
        (
            ("off_load_peak", "V", "off load at mains high: what the reservoir must bear"),
            ("rail", "V", "mean, running"),
            ("rail_high", "V", "mean, running at mains high"),
            ("ripple", "V", "ripple, peak to peak"),
            ("ripple_current", "A", "RMS through the reservoir"),
            ("peak_current", "A", "crest through the rectifier"),
            ("inverse_peak", "V", "each rectifier must stand it at mains high (a bridge: half)"),
        ),
        "off load √2 U k; running: steady state of the pulse with this reservoir (partsbin.circuit.rectification)",
        "worked",
        _rail,
        HV,
    ),
    Calculation(
        "corner",
        "corner frequency of a capacitor and a resistor",
        (Input("capacitance", "F", "capacitor", least=1e-13), Input("resistance", "ohm", "resistor", least=0.1)),
        (("frequency", "Hz", "3 dB down"),),
        "f = 1 / (2π R C)",
        "worked",
        lambda v: [corner_frequency(v["resistance"], v["capacitance"])],
    ),
    Calculation(
        "leakage",
        "what a leaking coupling capacitor does to the next grid",
        (
            Input("anode", "V", "DC on the driving side", least=1.0),
            Input("insulation", "ohm", "insulation of the capacitor", least=1.0),
            Input("grid_leak", "ohm", "grid leak of the next valve", 1e6, 1.0),
        ),
        (("shift", "V", "the grid goes positive by"), ("current", "A", "through the capacitor")),
        "U = Ua Rg / (Rg + Rl)",
        "worked",
        _leakage,
        HV,
    ),
    Calculation(
        "balance",
        "resistors across capacitors in series",
        (
            Input("bus", "V", "volts across all", least=1.0),
            Input("rating", "V", "rating of each", least=1.0),
            Input("difference", "A", "difference of their leakage", 1e-3, 1e-9),
            Input("tolerance", "-", "tolerance of each as a fraction", 0.2, 0.0, 0.99),
            Input("n", "-", "how many in series", 2.0, 2.0, 10.0),
        ),
        (
            ("resistance", "ohm", "largest resistor across each; 0: none helps"),
            ("worst_share", "V", "across the smallest without resistors"),
            ("power", "W", "in each resistor"),
        ),
        "R = (n Ur − Ub) / ((n − 1) ΔI)",
        "worked",
        _balance,
        HV,
    ),
    Calculation(
        "touch",
        "current through a capacitor from the mains to what can be touched",
        (
            Input(
                "capacitance", "F", "all paths to one touchable part together, upper end of the tolerance", least=1e-13
            ),
            Input("limit", "A", "limit of the local code, peak", 0.7e-3, 1e-6),
            *MAINS,
        ),
        (("current", "A", "RMS"), ("peak", "A", "peak"), ("largest", "F", "largest capacitance for the limit")),
        "I = 2π f C U",
        "worked",
        _touch,
        "only class Y parts may bridge it; the limit is that of the local code",
    ),
    Calculation(
        "discharge",
        "energy in a capacitor, and how long a resistor takes to make it safe",
        (
            Input("capacitance", "F", "capacitor", least=1e-12),
            Input("volts", "V", "volts on it", least=0.1),
            Input("resistance", "ohm", "discharge resistor", 10e3, 1.0),
            Input("down_to", "V", "down to", SAFE_VOLTS, 0.1),
        ),
        (
            ("energy", "J", "stored"),
            ("time", "s", "time needed"),
            ("current", "A", "at the start"),
            ("power", "W", "at the start"),
        ),
        "W = C U² / 2; t = R C ln(U / U₁)",
        "worked",
        _discharge,
        "then prove it dead with a meter: what creeps back out of the dielectric bites too",
    ),
)

CALCULATIONS = {entry.name: entry for entry in (*_TABLE, *PARTS)}
