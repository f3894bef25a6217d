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
from partsbin.families._declare import (
    Card,
    Item,
)
from partsbin.families.capacitor.checks import _rule
from partsbin.families.capacitor.facts import WET, CapacitorFacts
from partsbin.needs import Need
from partsbin.words import listed, say, span, volts


def cards(reading: str, need: Need, row: Mapping[str, Any]) -> Card | None:
    """Return the test card of a reading: what to connect, what to apply, the band that passes, the danger."""
    fits = need.window("fits")
    if reading == "capacitance":
        return Card(
            reading,
            "capacitance",
            "capacitance meter, part discharged and out of circuit, 100 or 120 Hz for an electrolytic, 1 kHz else",
            f"{span(*_inward(fits), 'F')} fits",
            danger="a charged part destroys the meter and stings",
            instrument="LCR",
        )
    if reading == "leakage":
        return _leakage_card(need, row)
    look = {
        "voltage_dc": (
            "rated volts",
            "read the rated DC volts on the body, nothing measures them",
            f"{volts(_least(need))} or more",
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
        "rail": (
            "volts at the position",
            "DC volts at the position, set running, meter clipped on with the set off",
            "within the part's rating",
        ),
    }
    if reading == "voltage_dc" and need.has("stress_unknown"):
        return Card(
            "rail",
            "volts in the set",
            "HT winding off load, or the rail when running: AC or DC volts, meter clipped on with the set off",
            "tells every verdict below",
            danger="HT: one hand, insulated clips",
        )
    if reading not in look:
        return None
    name, how, passes = look[reading]
    return Card(reading, name, how, passes, instrument="eyes" if reading != "rail" else "meter")


def _inward(window: tuple[float, float]) -> tuple[float, float]:
    """Round a band inward to three digits, so that a reading on its printed edge passes."""

    def step(x: float) -> float:
        return 10.0 ** (math.floor(math.log10(x)) - 2)

    return math.ceil(window[0] / step(window[0]) - 1e-9) * step(window[0]), math.floor(
        window[1] / step(window[1]) + 1e-9
    ) * step(window[1])


def _least(need: Need) -> float:
    return float(
        np.nanmax([need.number("off_load_peak"), need.number("running_peak"), need.number("original_volts"), 0.0])
    )


def _leakage_card(need: Need, row: Mapping[str, Any]) -> Card:
    """Leakage at the volts that will stand on the part, or its own rating if that is less."""
    test = float(
        np.nanmin(
            [v for v in (row["voltage_dc"], max(_least(need), need.number("anode") or 0.0)) if v and v > 0]
            or [math.nan]
        )
    )
    danger = "HT on the clips; discharge the part after the test"
    if row["dielectric"] in WET:
        value, rated = row["capacitance"], row["voltage_dc"]
        limit = float(leakage_limit_two_minutes(value, rated)) if value and rated else math.nan
        old = float(leakage_limit_old(value, rated)) if value and rated else math.nan
        return Card(
            "leakage",
            "leakage after re-forming",
            f"{'its rated volts' if math.isnan(rated) else volts(rated)} DC through 30 kΩ 5 W, five minutes and one more a month "
            "of storage, then the current",
            (
                f"{say(limit, 'A')} fits, to {say(old, 'A')} care"
                if not math.isnan(limit)
                else "under 0.01 × C × V (2 minutes) fits"
            )
            + "; over that, warm or bulged: scrap",
            danger=danger,
            instrument="meter",
        )
    if need.rules.of(need.position, "leakage") == "line":
        passes = f"over {say(need.rules.general('line_ratio_fits') * need.number('grid_leak'), 'ohm')}"
    elif need.rules.of(need.position, "leakage") == "grid":
        anode, leak = need.number("anode"), need.number("grid_leak")
        fits, care = (need.rules.general(name) / leak for name in ("grid_shift_fits", "grid_shift_care"))
        passes = f"{say(fits, 'A')} or less fits, to {say(care, 'A')} care (on {say(leak, 'ohm')})"
        test = float(np.nanmin([anode, row["voltage_dc"]])) if not math.isnan(anode) else test
    else:
        passes = f"over {say(need.rules.general('insulation_supply'), 'ohm')}"
    return Card(
        "leakage",
        "leakage at working volts",
        f"{volts(test)} DC in series with a 10 MΩ meter, one minute: volts on the meter / 10 MΩ",
        passes,
        correction="the meter's own 10 MΩ is the shunt",
        danger=danger,
        instrument="500 V tester",
    )


def buy(need: Need) -> str:
    """Return what to buy new if nothing on the shelf will do."""
    fits = need.window("fits")
    if need.has("mains"):
        kinds = listed(_rule(need, "classes"))
        return f"{span(fits[0], fits[1], 'F')} class {kinds}, {volts(max(250.0, need.number('mains')))} AC or more, new"
    need_volts = max(
        _least(need) / 0.95, need.number("running_peak") / 0.8 if not math.isnan(need.number("running_peak")) else 0.0
    )
    rungs = (16, 25, 35, 50, 63, 100, 160, 250, 400, 450, 500, 630, 1000, 1600, 2000)
    rating = next((rung for rung in rungs if rung >= need_volts), math.inf)
    material = _rule(need, "dielectrics")[0]
    if math.isinf(rating):
        return f"{span(*fits, 'F')}: no single ordinary part is rated {volts(need_volts)}; two in series with balance resistors"
    if need_volts <= 0:
        return f"{span(*fits, 'F')} {material}; volts once the position's are known"
    warm = " 105 °C" if material == "electrolytic" else ""
    return f"{span(*fits, 'F')} {rating} V{warm} {material} or better"


def hazards(item: Item) -> tuple[str, ...]:
    """Return the material cautions of a part: one line each."""
    facts: CapacitorFacts = item.facts
    if facts.dielectric == "paper-oil":
        return (
            "oil-filled, made before July 1979 or of unknown date: treat the oil as PCB, gloves and a sealed bag (40 CFR 761.2)",
        )
    return ()


def cautions(need: Need) -> tuple[str, ...]:
    """Return the stored energy of the position in words, where it is a tenth of a joule or more."""
    peak = _least(need)
    energy = float(stored_energy(need.window("fits")[1], peak)) if peak > 60 else 0.0
    if energy < 0.1:
        return ()
    return (
        f"{say(need.window('fits')[1], 'F')} at {volts(peak)} holds {energy:.1f} J: 10 kΩ for 5 s, then prove it dead with a meter",
    )
