"""Test cards, what to buy and what to read afterwards: iron on the mains, interstage and driver iron."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from partsbin.circuit.ratio import test_band
from partsbin.families._dangers import LEADS, LOW_WINDING
from partsbin.families._declare import Card
from partsbin.families.transformer.facts import TEST_VOLTS
from partsbin.families.transformer.isolation_checks import ON_THE_MAINS
from partsbin.families.transformer.other_needs import turns
from partsbin.needs import Need
from partsbin.words import say, volts

Row = Mapping[str, Any]

LIMITER = "series lamp of 60 to 100 W in the primary, windings open, then volts of each winding off load"
DANGER = "the HT winding gives full volts off load: clip on, then switch on, one hand"


def winding_card(reading: str, need: Need, row: Row) -> Card | None:
    """Return the card of a reading that iron on the mains, or interstage and driver iron, owes; None for another."""
    if reading == "ratio" and need.position not in ("output", "line"):
        return _ratio_card(need)
    table = {
        "ht_current": (
            "HT current", "read the label; else wire diameter of the HT winding, bare: 2.5 to 3 A for each mm² of copper (memory)",
            _amperes(need, "ht_current", "ht_mark", "what the set draws"), "", "eyes",
        ),
        "ht_leads": (
            "HT leads", "meter on ohms: two ends and a middle, or two alone", "two halves within a tenth of each other", "", "meter",
        ),
        "heater_volts": (
            "heater winding", LIMITER, f"{say(need.number('heater'), 'V')} to a tenth more off load", DANGER, "meter",
        ),
        "heater_current": (
            "heater current",
            "read the label; else load the winding with a resistor that draws the current, volts after a quarter of an hour",
            _amperes(need, "heater_current", "", "what the valves draw") + ", volts within 7 %", "", "meter",
        ),
        "rect_winding": (
            "rectifier winding", "read the label; volts off load of each low winding", _rectifier(need), DANGER, "meter",
        ),
        "rect_insulation": (
            "rectifier winding's insulation", "500 V DC, wires off: that winding to every other and to the core",
            f"over {say(need.rules.general('insulation_least'), 'ohm')} (common practice)", LEADS,
            "500 V tester",
        ),
        "primary": (
            "primary", f"read the label for volts and frequency; {LIMITER}; then primary current without the lamp",
            f"lamp dark or nearly; off load under a quarter of full load ({_mains(need)}); warm, not hot, after an hour", DANGER,
            "meter",
        ),
        "secondary_resistance": (
            "secondary", "meter across each half of the secondary",
            f"under {say(need.rules.general('secondary_most'), 'ohm')}", "", "meter",
        ),
        "sheet": (
            "rectifier's sheet", "look up the volts it bears from heater to cathode",
            f"over {volts(need.number('off_load_peak'))}", "", "eyes",
        ),
    }  # fmt: skip
    if reading == "core" and need.position in ON_THE_MAINS:
        connect = "stack times tongue in cm²: its square times 0.64 is the volt-amperes at 50 Hz"
        return Card(reading, "size of the iron", connect, f"{need.number('va'):.0f} VA or more", instrument="eyes")
    if reading == "set" or reading not in table:
        return None
    name, connect, passes, danger, instrument = table[reading]
    return Card(reading, name, connect, passes, danger=danger, instrument=instrument)


def _amperes(need: Need, name: str, other: str, words: str) -> str:
    known = name if need.has(name) else other if other and need.has(other) else ""
    return f"{say(need.number(known), 'A')} or more" if known else f"{words}: name the line-up, then the figure is here"


def _rectifier(need: Need) -> str:
    amperes = f" {say(need.number('rect_current'), 'A')}" if need.has("rect_current") else ""
    return f"{say(need.number('rect_heater'), 'V')}{amperes}" if need.has("rect_heater") else "a winding of its own"


def _mains(need: Need) -> str:
    return f"{volts(need.number('mains'))} {need.number('frequency'):.0f} Hz" if need.has("mains") else "on the mains"


def _ratio_card(need: Need) -> Card:
    """Low volts on the primary show every ratio without the HT being there."""
    low, high = need.window("fits")
    if need.position in ("mains", "heater"):
        low, high = need.number("mains") / high, need.number("mains") / low
    bottom, top = test_band(TEST_VOLTS, low, high)
    side = "a side of the HT" if need.position == "mains" else "the secondary"
    return Card(
        "ratio", "ratio", f"{TEST_VOLTS:.1f} V 50 Hz, isolated, on the primary; read {side}", f"{bottom:.2f}–{top:.2f} V fits",
        correction="of a tapped primary on its highest tap; volts here are off load, a twentieth more than loaded",
        danger=LOW_WINDING, instrument="low AC supply",
    )  # fmt: skip


def buy_wound(need: Need) -> str:
    """Return what to buy new where nothing on the shelf will do."""
    title = str(need.rules.of(need.position, "title"))
    if need.position == "mains":
        ht = volts(need.number("ht"))
        shape = f"{need.number('ht'):.0f}-0-{ht}" if need.word("use") == "centre-tap" else ht
        rectifier = (
            f", {_rectifier(need)} insulated for the HT"
            if need.has("rect_heater") and not need.has("rect_shares")
            else ""
        )
        return f"{title} {_mains(need)}, {shape}{_of(need, 'ht_current')}, {_heater(need)}{rectifier}"
    if need.position == "heater":
        return f"{title} {_mains(need)}, {_heater(need)}"
    if need.position == "isolating":
        return f"{title} {turns(need.number('ratio'))}, {need.number('va'):.0f} VA or more, tested 3 kV between the windings"
    gap = f", for {say(need.number('standing'), 'A')} standing" if need.has("standing") else ""
    return f"{title} {turns(need.number('ratio'))}{', centre tap' if need.has('split') else ''}{gap}"


def _of(need: Need, name: str) -> str:
    return f" {say(need.number(name) * 1.2, 'A')}" if need.has(name) else ""


def _heater(need: Need) -> str:
    extra = need.number("heater_extra") if need.has("heater_extra") else 0.0
    amperes = need.number("heater_current") + extra
    return f"{say(need.number('heater'), 'V')}" + ("" if math.isnan(amperes) else f" {say(amperes, 'A')}")


def after_winding(need: Need) -> tuple[str, ...]:
    """Return the readings that prove the repair."""
    if need.position in ("mains", "heater"):
        low, high = (need.number("heater") * (1 + by * need.rules.general("heater_tolerance")) for by in (-1, 1))
        return (f"heaters {low:.2f} to {high:.2f} V under load",)
    return ()
