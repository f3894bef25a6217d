"""What to read about a rectifier and its supply; what to buy."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from partsbin.families._dangers import CLIP_ON, REVERSE
from partsbin.families._declare import Card
from partsbin.families.rectifier.change import fit, made
from partsbin.families.rectifier.need import ARMS, REPLACES
from partsbin.needs import Need
from partsbin.words import say, volts

Row = Mapping[str, Any]


def cards(reading: str, need: Need, row: Row) -> Card | None:
    """Return the card that settles an unknown."""
    if reading == "inverse":
        return _inverse(need)
    if reading == "surge":
        return _surge(need, row)
    drawn = say(need.number("current"), "A") if need.has("current") else "then the current wanted is known"
    most = say(need.rules.general("leakage_most"), "A")
    table = {
        "current": ("current", "read it on the body; of the set: volts across a known resistor in the HT line", drawn,
                    CLIP_ON, "meter"),
        "material": ("material", "plates stacked on a bolt are selenium or copper oxide, a small bead or block silicon; trace the tags",
                     "silicon", "", "eyes"),
        "leakage": ("diode test", "meter on diode test both ways; then 500 V reverse through 1 MΩ, volts across the 1 MΩ",
                    f"one way only, 0.4 to 0.8 V; under {most} (common practice)", REVERSE, "500 V tester"),
    }  # fmt: skip
    if reading not in table:
        return None
    name, connect, passes, danger, instrument = table[reading]
    return Card(reading, name, connect, passes, danger=danger, instrument=instrument)


def _inverse(need: Need) -> Card:
    if not need.has("inverse"):
        return Card("inverse", "HT winding", "HT winding off load, meter on AC volts, rectifier out",
                    "then the inverse volts wanted are known", danger=CLIP_ON)  # fmt: skip
    wanted = f"{volts(need.number('inverse'))} or more"
    return Card("inverse", "rating", "read it on the body, look the type up", wanted, instrument="eyes")


def _surge(need: Need, row: Row) -> Card:
    peak, surge = need.number("off_load_peak"), row["surge"]
    known = not (math.isnan(peak) or math.isnan(surge))
    passes = f"{say(peak / surge, 'ohm')} or more" if known else "then the surge at switch-on is known"
    connect = "plug out, HT discharged, rectifier out: ohms from tap to anode, resistor included"
    return Card("surge", "winding resistance", connect, passes)


def after(need: Need) -> tuple[str, ...]:
    """Return the rail to read after power-up, where it could be worked out."""
    rail = need.number("rail_before")
    return (
        () if math.isnan(rail) else (f"rail {volts(0.95 * rail)} to {volts(1.05 * rail)} under load, resistor fitted",)
    )


def buy(need: Need) -> str:
    """Return what to buy: the diodes, and the resistor that goes with them."""
    inverse, count = need.number("inverse"), ARMS[need.word("connection")]
    if math.isnan(inverse):
        return "silicon rectifiers, 1000 V inverse, 1 A: two in series an arm above 300 V a side"
    one = (
        "1N4007 (1000 V 1 A)"
        if inverse <= 900
        else "1600 V 1 A silicon"
        if inverse <= 1440
        else "2 × 1N4007 in series an arm,"
    )
    with_resistor = ""
    if need.position in REPLACES and need.has("ac_resistor"):
        ohms, watts = need.number("ac_resistor"), need.number("ac_watts")
        each = "in each anode lead" if need.word("connection") in ("centre-tap", "") else "in the AC lead"
        with_resistor = f", with {made(ohms)} {fit(watts)} {each}"
    return f"{count} × {one}{with_resistor}"
