"""Words around the verdict: test cards, what to buy, stored energy, materials."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from partsbin.circuit.capacitors import stored_energy
from partsbin.circuit.leakage import (
    leakage_limit_old,
    leakage_limit_two_minutes,
)
from partsbin.families._dangers import CHARGED, INSULATED, ON_THE_CLIPS
from partsbin.families._declare import (
    Card,
    Item,
)
from partsbin.families._volts_checks import has_own_volts
from partsbin.families.capacitor.checks import _rule
from partsbin.families.capacitor.facts import WET
from partsbin.families.capacitor.leakage import least_rating
from partsbin.needs import Need
from partsbin.words import listed, say, span, volts

BLEEDER_ABOVE = 0.1e-6  # F across the mains from which the plug must be bled, RC of a second; IEC 60950 as quoted


def cards(reading: str, need: Need, row: Mapping[str, Any]) -> Card | None:
    """Return the test card of a reading: what to connect, what to apply, the band that passes, the danger."""
    fits = need.window("fits")
    if reading == "capacitance":
        return Card(
            reading,
            "capacitance",
            "capacitance meter, part discharged and out of circuit, 100 or 120 Hz for an electrolytic, 1 kHz else",
            f"{span(*_inward(fits), 'F')} fits",
            danger=CHARGED,
            instrument="LCR",
        )
    if reading == "leakage":
        return _leakage_card(need, row)
    look = {
        "voltage_dc": (
            "rated volts",
            "read the rated DC volts on the body, nothing measures them",
            f"{volts(least_rating(need))} or more",
        ),
        "voltage_ac": (
            "AC rating",
            "read the rated AC volts beside the class mark",
            f"{volts(need.number('mains'))} AC or more",
        ),
        "dielectric": (
            "what it is made of",
            "look at the body: wax, moulded brown or black with colours, foil end-caps, aluminium can",
            listed(_rule(need, "dielectrics")) + "; waxed or moulded paper never",
        ),
        "condition": ("new or used", "look at the leads: cut, tinned or bent means used", "new"),
        "polarised": ("polarity", "look for + or − or a ring in the rubber end", "not polarised"),
        "original": (
            "the dead part's value",
            "what is written on the dead part, on its neighbour of the same kind, or in the other channel",
            "this part's value in {:g} to {:g} times it".format(*need.rules.of(need.position, "fits")),
        ),
        "rail": (
            "volts at the position",
            f"{'AC' if need.position == 'crossover' else 'DC'} volts at the position, set running"
            f"{' at full volume' if need.position == 'crossover' else ''}, meter clipped on with the set off",
            "within the part's rating",
        ),
    }
    if reading == "voltage_dc" and need.has("stress_unknown"):
        return Card(
            "rail",
            "volts in the set",
            ("" if has_own_volts(need) else "HT winding off load, or the rail when running: ")
            + f"AC or DC volts{' at the position' if has_own_volts(need) else ''}, meter clipped on with the set off",
            "tells every verdict below",
            danger=INSULATED,
        )
    if reading not in look:
        return None
    name, how, passes = look[reading]
    if reading == "rail":
        return Card(reading, name, how, passes, danger=INSULATED)
    return Card(reading, name, how, passes, instrument="eyes")


def _inward(window: tuple[float, float]) -> tuple[float, float]:
    """Round a band inward to three digits, so that a reading on its printed edge passes."""

    def step(x: float) -> float:
        return 10.0 ** (math.floor(math.log10(x)) - 2)

    return math.ceil(window[0] / step(window[0]) - 1e-9) * step(window[0]), math.floor(
        window[1] / step(window[1]) + 1e-9
    ) * step(window[1])


def _leakage_card(need: Need, row: Mapping[str, Any]) -> Card:
    """Leakage at the volts that will stand on the part, or its own rating if that is less."""
    danger = ON_THE_CLIPS
    if row["dielectric"] in WET:
        return _reforming_card(row["capacitance"], row["voltage_dc"], danger)
    kind, leak = need.rules.of(need.position, "leakage"), need.number("grid_leak")
    stands = need.number("anode") if kind == "grid" else least_rating(need)
    test = float(np.fmin(row["voltage_dc"], stands))
    if kind == "line":
        passes = f"insulation over {say(need.rules.general('line_ratio_fits') * leak, 'ohm')}"
    elif kind == "grid":
        fits, care = (say(need.rules.general(name) / leak, "A") for name in ("grid_shift_fits", "grid_shift_care"))
        passes = f"{fits} or less fits, to {care} care (on {say(leak, 'ohm')})"
    else:
        passes = f"insulation over {say(need.rules.general('insulation_supply'), 'ohm')}"
    applied = "the working volts" if math.isnan(test) else f"{volts(test)} DC"
    return Card(
        "leakage",
        "leakage at working volts",
        f"{applied} in series with a 10 MΩ meter, one minute: volts on the meter / 10 MΩ is the "
        "current, volts applied / current the insulation",
        passes,
        danger=danger,
        instrument="500 V tester",
    )


def _reforming_card(value: float, rated: float, danger: str) -> Card:
    limit, old = float(leakage_limit_two_minutes(value, rated)), float(leakage_limit_old(value, rated))
    passes = "under 0.01 × C × V fits" if math.isnan(limit) else f"{say(limit, 'A')} fits"
    if not math.isnan(old):
        passes += f", to {say(old, 'A')} care"
    applied = "its rated volts" if math.isnan(rated) else volts(rated)
    return Card(
        "leakage",
        "leakage after re-forming",
        f"{applied} DC through 30 kΩ 5 W, five minutes and one more a month of storage, then the current",
        f"{passes}; over that, warm or bulged: scrap",
        danger=danger,
    )


def buy(need: Need) -> str:
    """Return what to buy new if nothing on the shelf will do."""
    fits = need.window("fits")
    if need.has("touch_limit"):
        fits = (
            min(fits[0], need.number("largest") / 1.2),
            need.number("largest") / 1.2,
        )  # a ±20 % part stays under the limit
    if need.has("mains"):
        kinds = listed(_rule(need, "classes"))
        return f"{span(fits[0], fits[1], 'F')} class {kinds}, {volts(max(250.0, need.number('mains')))} AC or more, new"
    material = _rule(need, "dielectrics")[0]
    wanted = float(np.fmax(least_rating(need) / need.rules.general("thin_above"), _derated(need, material)))
    if math.isnan(wanted):
        return f"{span(*fits, 'F')} {material}; volts once the position's are known"
    rungs = (16, 25, 35, 50, 63, 100, 160, 250, 400, 450, 500, 630, 1000, 1600, 2000)
    rating = next((rung for rung in rungs if rung >= wanted), math.inf)
    if math.isinf(rating):
        return f"{span(*fits, 'F')}: no single ordinary part is rated {volts(wanted)}; two in series with balance resistors"
    warm = " 105 °C" if material == "electrolytic" else ""
    return f"{span(*fits, 'F')} {rating} V{warm} {material} or better"


def _derated(need: Need, material: str) -> float:
    """Volts of a part of that dielectric that the running peak loads to its derated rating."""
    return need.number("running_peak") / float(need.rules.get("derating", material, 1.0))


def hazards(item: Item) -> tuple[str, ...]:
    """Return the material cautions of a part: one line each."""
    if item.facts.dielectric != "paper-oil" or "no pcb" in item.marking.lower():
        return ()
    if item.year is not None and item.year > 1979:
        return ()
    return (
        "oil-filled, made before July 1979 or of unknown date: treat the oil as PCB, gloves and a sealed bag (40 CFR 761.2)",
    )


def cautions(need: Need) -> tuple[str, ...]:
    """Return the stored energy of the position where it is a tenth of a joule or more, and the bleeder that a large X part asks."""
    if need.position == "mains-across" and need.window("fits")[1] > BLEEDER_ABOVE:
        most = 1.0 / need.window("fits")[1]
        return (
            f"over 0.1 µF: a bleeder across it so that the plug is dead in a second, {say(most, 'ohm')} at most for this window",
        )
    peak = least_rating(need)
    energy = float(stored_energy(need.window("fits")[1], peak)) if peak > 60 else 0.0
    if energy < 0.1:
        return ()
    return (
        f"{say(need.window('fits')[1], 'F')} at {volts(peak)} holds {energy:.1f} J: 10 kΩ for 5 s, then prove it dead with a meter",
    )
