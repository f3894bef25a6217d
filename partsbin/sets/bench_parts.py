"""The calculations of the bench that put parts together: droppers, parts in series and in parallel, a loaded control."""

from __future__ import annotations

import math
from collections.abc import Sequence

from partsbin.circuit.chains import capacitive_current, cold_surge
from partsbin.circuit.droppers import capacitive_dropper, chain_current, dropper_resistance
from partsbin.circuit.networks import (
    balance_resistor,
    parallel_capacitance,
    parallel_resistance,
    series_capacitance,
    worst_balanced_share,
    worst_series_share,
)
from partsbin.circuit.potentiometers import across_track, level, loaded_fraction, loaded_input
from partsbin.errors import NotationError, UsageError
from partsbin.notation.quantity import read_quantity
from partsbin.sets.calculations import Calculation, Input, Values

HV = "mains and HT kill: switch off, discharge, prove it dead before touching; local regulations come first"
COLD = 7.2  # hot over cold resistance of a heater at worst: audioxpress-2004
MARGIN = 0.8  # share of its rating that a capacitor in series is to stand; common practice


def meant(name: str, figures: Sequence[str]) -> str:
    """Return which calculation a name stands for: ``combine`` with ohms puts resistors together."""
    if name != "combine":
        return name
    units = set()
    for text in figures:
        try:
            units.add(read_quantity(text.rpartition("=")[2]).unit)
        except NotationError:
            continue
    return "resistors" if "ohm" in units and "F" not in units else name


def _dropper(v: Values) -> Sequence[float]:
    """Hot watts and surge at mains high; the capacitor's current at mains high with its tolerance up."""
    mains, heaters, current = v["mains"], v["heaters"], v["current"]
    high = mains * v["mains_high"]
    ohms = float(dropper_resistance(mains, heaters, current))
    hot = chain_current(high, ohms, heaters, current)
    farads = float(capacitive_dropper(mains, heaters, current, v["frequency"]))
    upper = farads * (1 + v["tolerance"])
    return (
        ohms,
        ohms * current**2,
        ohms * hot**2,
        hot,
        cold_surge(high, ohms, heaters, current, COLD),
        farads,
        capacitive_current(high, upper, heaters, current, v["frequency"]),
        math.sqrt(2) * high,
        2 * math.pi * v["frequency"] * farads * high,
    )


def _each(v: Values, names: str) -> list[float]:
    return [v[name] for name in names if not math.isnan(v[name])]


def _resistors(v: Values) -> Sequence[float]:
    """Series and parallel; the spread of the whole where the parts' own spreads add up at worst."""
    parts = _each(v, "abcd")
    series, parallel = sum(parts), parallel_resistance(*parts)
    off = v["tolerance"]
    return (
        series, series * (1 - off), series * (1 + off), parallel, parallel * (1 - off), parallel * (1 + off),
        max(parts) / series, max(parallel / part for part in parts),
    )  # fmt: skip


def _capacitors(v: Values) -> Sequence[float]:
    """Series and parallel, ends by the tolerance; the worst share of the volts in series without resistors."""
    parts = _each(v, "abcd")
    low, high = (1 - v["less"], 1 + v["more"])
    series, parallel = series_capacitance(*parts), parallel_capacitance(*parts)
    least, others = min(parts) * low, sorted(parts)[1:]
    share = series_capacitance(least, *(part * high for part in others)) / least if others else 1.0
    return (
        parallel, parallel * low, parallel * high, series, series * low, series * high, share,
        v["rating"] / share,
    )  # fmt: skip


def _string(v: Values) -> Sequence[float]:
    """Electrolytics in series on a rail: the resistor for their leakage, its watts, what the worst gets without it."""
    n, bus, rating = v["n"], v["bus"], v["rating"]
    ohms = float(balance_resistor(MARGIN * rating, bus, v["difference"], n))
    spread = (v["less"] + v["more"]) / (2 + v["more"] - v["less"])
    share = worst_series_share(bus, spread, n)
    return (
        v["capacitance"] / n,
        v["capacitance"] * (1 - v["less"]) / n,
        ohms,
        (bus / n) ** 2 / ohms if ohms > 0 else math.nan,
        share,
        share / rating,
        n * rating,
    )


def _shares(v: Values) -> Sequence[float]:
    """The most volts on each capacitor of a string with a resistor of its own across it, and the most watts in that."""
    ohms = [v[name] for name in ("first", "second", "third")]
    there = [each for each in ohms if not math.isnan(each)]
    made: list[float] = []
    for at, own in enumerate(ohms):
        others = [each for place, each in enumerate(there) if place != at]
        share = worst_balanced_share(v["bus"], v["difference"], v["tolerance"], own, *others)
        made += [share, share**2 / (own * (1 - v["tolerance"]))]
    return made


def _loading(v: Values) -> Sequence[float]:
    """Resistor across a track, and what a load at the wiper does at half and at full."""
    track, load = v["track"], v["load"]
    at = v["fraction"]
    if v["wanted"] > track:
        raise UsageError("a resistor across a track only lowers it", hint="a resistor in series adds to one end of it")
    loaded = math.nan if math.isnan(load) else float(loaded_fraction(at, load / track))
    return (
        across_track(track, v["wanted"]),
        loaded,
        level(loaded) - level(at),
        loaded_input(track, load / track),
    )


_RESISTORS = tuple(
    Input(name, "ohm", "resistor", usual, 1e-3)
    for name, usual in (("a", None), ("b", None), ("c", math.nan), ("d", math.nan))
)
_CAPACITORS = tuple(
    Input(name, "F", "capacitor, or section of a can", usual, 1e-13, 1.0)
    for name, usual in (("a", None), ("b", None), ("c", math.nan), ("d", math.nan))
)

PARTS = (
    Calculation(
        "dropper",
        "dropper of a heater chain, by resistor or by capacitor",
        (
            Input("heaters", "V", "heaters of the chain together", least=1.0),
            Input("current", "A", "current of the chain", least=1e-3),
            Input("mains", "V", "nominal mains, RMS", 230.0, 1.0, 500.0),
            Input("frequency", "Hz", "mains frequency", 50.0, 10.0, 1000.0),
            Input("mains_high", "-", "highest mains over nominal", 1.1, 1.0, 1.25),
            Input("tolerance", "-", "of the capacitor, as a fraction", 0.1, 0.0, 0.5),
        ),
        (
            ("resistance", "ohm", "resistor"),
            ("power", "W", "in it, chain warm"),
            ("power_high", "W", "at mains high: fit twice that, in free air"),
            ("current_high", "A", "chain at mains high with the resistor"),
            ("surge", "A", "chain cold at mains high, RMS, for a moment"),
            ("capacitance", "F", "instead: film, class X, AC mains only, 470 kΩ 0.5 W across it and a surge resistor"),
            (
                "capacitor_high",
                "A",
                "chain at mains high, capacitor at its upper end; over 1.07 of rated: a closer tolerance, or less",
            ),
            ("capacitor_peak", "V", "peak across it when a heater opens; a class X part for the mains covers it"),
            ("capacitor_most", "A", "through it with the chain shorted, mains high"),
        ),
        "R = (U − Uh) / I; C = 1 / (2π f √(U² − Uh²) / I)",
        "worked",
        _dropper,
        "the chain stands at the mains: pull the plug; only a class X capacitor made for the mains; never on DC mains",
    ),
    Calculation(
        "resistors",
        "two to four resistors in series and in parallel",
        (*_RESISTORS, Input("tolerance", "-", "of each, as a fraction", 0.05, 0.0, 0.5)),
        (
            ("series", "ohm", "in series"),
            ("series_low", "ohm", "least"),
            ("series_high", "ohm", "most"),
            ("parallel", "ohm", "in parallel"),
            ("parallel_low", "ohm", "least"),
            ("parallel_high", "ohm", "most"),
            ("series_share", "-", "of volts and watts in the largest, in series"),
            ("parallel_share", "-", "of current and watts in the smallest, in parallel"),
        ),
        "Rs = ΣR; 1/Rp = Σ1/R",
        "worked",
        _resistors,
    ),
    Calculation(
        "combine",
        "two to four capacitors or sections, or resistors, in parallel and in series",
        (
            *_CAPACITORS,
            Input("less", "-", "tolerance downwards, as a fraction", 0.2, 0.0, 0.99),
            Input("more", "-", "tolerance upwards, as a fraction", 0.2, 0.0, 2.0),
            Input("rating", "V", "rating of each", math.nan, 1.0),
        ),
        (
            ("parallel", "F", "in parallel: the lowest rating holds"),
            ("parallel_low", "F", "least"),
            ("parallel_high", "F", "most"),
            ("series", "F", "in series"),
            ("series_low", "F", "least"),
            ("series_high", "F", "most"),
            ("worst_share", "-", "of the volts on the smallest when just applied, in series"),
            ("series_volts", "V", "that the string stands at that share; DC that stays: calc string"),
        ),
        "Cp = ΣC; 1/Cs = Σ1/C; share = Cs / C",
        "worked",
        _capacitors,
        "sections of one can share their minus: they cannot stand in series",
    ),
    Calculation(
        "shares",
        "volts on capacitors in series with resistors of any values across them",
        (
            Input("bus", "V", "volts across all, steady", least=1.0),
            Input("first", "ohm", "resistor across the first", least=1e3),
            Input("second", "ohm", "resistor across the second", least=1e3),
            Input("third", "ohm", "resistor across the third, where there is one", math.nan, 1e3),
            Input("difference", "A", "difference of their leakage", 0.5e-3, 0.0),
            Input("tolerance", "-", "tolerance of the resistors as a fraction", 0.05, 0.0, 0.99),
        ),
        (
            ("share_first", "V", "across the first at most"),
            ("power_first", "W", "in its resistor at most"),
            ("share_second", "V", "across the second at most"),
            ("power_second", "W", "in its resistor at most"),
            ("share_third", "V", "across the third at most"),
            ("power_third", "W", "in its resistor at most"),
        ),
        "U₁ = R₁ (U + ΔI Σ Rⱼ) / (R₁ + Σ Rⱼ)",
        "worked",
        _shares,
        HV,
    ),
    Calculation(
        "string",
        "equal electrolytics in series: what each gets with their real spread, and the resistors across them",
        (
            Input("capacitance", "F", "each", least=1e-9),
            Input("bus", "V", "highest volts across all, off load at mains high", least=1.0),
            Input("rating", "V", "rating of each", least=1.0),
            Input("n", "-", "how many in series", 2.0, 2.0, 10.0),
            Input("less", "-", "tolerance downwards; old electrolytics −20 %", 0.2, 0.0, 0.99),
            Input("more", "-", "tolerance upwards; old electrolytics +50 %", 0.5, 0.0, 2.0),
            Input("difference", "A", "difference of their leakage", 5e-4, 1e-9),
        ),
        (
            ("series", "F", "nominal"),
            ("series_low", "F", "least"),
            ("resistance", "ohm", "largest resistor across each; 0: none helps, more in series or a higher rating"),
            ("power", "W", "in each resistor: fit twice that"),
            ("worst_volts", "V", "on the smallest when just applied, without resistors"),
            ("worst_share", "-", "of its rating: over 1 it fails"),
            ("rated", "V", "ratings together"),
        ),
        "R = (n 0.8 Ur − Ub) / ((n − 1) ΔI); worst of a spread s: (1 + s) / (n + s (2 − n))",
        "worked",
        _string,
        HV,
    ),
    Calculation(
        "loading",
        "resistor that brings a control down to the track wanted, and what a load at its wiper does",
        (
            Input("track", "ohm", "track of the control", least=1.0),
            Input("wanted", "ohm", "track wanted, end to end", math.nan, 1.0),
            Input("load", "ohm", "from the wiper to the cold end", math.nan, 1.0),
            Input("fraction", "-", "of the track below the wiper", 0.5, 0.001, 1.0),
        ),
        (
            ("across", "ohm", "resistor across the track"),
            ("loaded", "-", "of the volts at the wiper, loaded"),
            ("loss", "-", "of that by the load, in decibels"),
            ("input", "ohm", "what the source sees, full up"),
        ),
        "R = Rt Rw / (Rt − Rw); x' = x / (1 + x (1 − x) Rt / Rl)",
        "worked",
        _loading,
    ),
)
