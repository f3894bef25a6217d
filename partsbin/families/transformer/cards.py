"""Words around the verdict: test cards, what to buy, the reading that proves the repair."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from partsbin.circuit.ratio import best_ratio, test_band
from partsbin.families._dangers import LEADS
from partsbin.families._declare import (
    Card,
)
from partsbin.families.transformer.facts import TEST_VOLTS
from partsbin.families.transformer.isolation_checks import ON_THE_MAINS
from partsbin.families.transformer.need import output_valve, trusted, wanted_ratio
from partsbin.families.transformer.winding_cards import after_winding, buy_wound, winding_card
from partsbin.needs import Need
from partsbin.words import listed, say, volts


def cards(reading: str, need: Need, row: Mapping[str, Any]) -> Card | None:
    """Return the test card of a reading: what to connect, what to apply, the band that passes, the danger."""
    if (card := winding_card(reading, need, row)) is not None:
        return card
    if reading == "ratio":
        return _ratio_card(need, row)
    least = say(need.rules.general("insulation_least"), "ohm")
    danger = LEADS
    table = {
        "insulation": (
            "insulation",
            f"500 V DC, wires off: {_apart(need)}, each to core",
            f"over {least} (common practice)",
            danger,
            "500 V tester",
        ),
        "primary_resistance": (
            "primary resistance",
            "meter across the primary, wires off",
            f"100 Ω to 1 kΩ is usual; over {say(need.rules.general('primary_open'), 'ohm')} open or burnt: scrap",
            "",
            "meter",
        ),
        "gap": (
            "gap and current",
            "look at the core: laminations all one way with paper between E and I means a gap, interleaved means none; "
            "which valve did it serve",
            f"gapped, for {say(need.number('standing'), 'A')} or more"
            if need.has("standing")
            else "gapped, for the valve's current",
            "",
            "eyes",
        ),
        "centre_tap": (
            "centre tap",
            "count the primary leads; resistance of each half",
            "two halves within a fifth of each other",
            "",
            "meter",
        ),
        "core": ("size of the iron", "compare stack and tongue with the dead one's", "no smaller", "", "eyes"),
        "line_voltage": (
            "line volts",
            "read the label: 100 V, 70 V or 25 V line",
            f"{volts(need.number('line_volts'))} or more",
            "",
            "eyes",
        ),
        "set": (
            "the set itself",
            "read the output valve's type, and the loudspeaker's ohms (its DC resistance × 1.25)",
            "then every load below is known",
            "",
            "meter",
        ),
        "kind": (
            "kind",
            "look at windings and label: few thick turns against many thin ones",
            listed(need.rules.of(need.position, "kinds")),
            "",
            "eyes",
        ),
    }
    if reading not in table:
        return None
    name, connect, passes, warn, instrument = table[reading]
    return Card(reading, name, connect, passes, danger=warn, instrument=instrument)


def _apart(need: Need) -> str:
    return "each winding to every other" if need.position in ON_THE_MAINS else "primary to secondary"


def _ratio_for(need: Need, row: Mapping[str, Any], load: float) -> float:
    """Ratio that gives a load with this copper, or with the usual share of it where it is not known or more than the load."""
    speaker = need.number("speaker")
    known = float(best_ratio(load, speaker, row["primary_resistance"], row["secondary_resistance"]))
    return math.sqrt(load * (1 - need.rules.general("copper_usual")) / speaker) if math.isnan(known) else known


def _ratio_card(need: Need, row: Mapping[str, Any]) -> Card:
    def band(window: tuple[float, float]) -> str:
        low, high = test_band(TEST_VOLTS, *(_ratio_for(need, row, load) for load in window))
        return f"{low:.2f}–{high:.2f} V"

    back = 6.3 * wanted_ratio(need)
    return Card(
        "ratio",
        "ratio",
        f"{TEST_VOLTS:.1f} V 50 Hz, isolated, on the primary; read the secondary",
        f"{band(need.window('fits'))} fits, {band(need.window('care'))} care",
        correction="primary current 5–15 mA; at 15 mA add 5 % to the reading; over 25 mA: shorted turns, scrap",
        danger=f"never feed the loudspeaker winding: 6.3 V there is {back:.0f} V on the primary",
        instrument="low AC supply",
    )


def buy(need: Need) -> str:
    """Return what to buy new if nothing on the shelf will do."""
    if not need.has("load"):
        return buy_wound(need)
    gap = (
        f", gapped for {say(need.number('standing') * 1.2, 'A')}"
        if need.word("topology") == "single-ended" and need.has("standing")
        else ""
    )
    taps = " centre-tapped" if need.word("topology") == "push-pull" else ""
    watts = f", {say(need.number('power'), 'W')} or more" if need.has("power") else ""
    load, speaker = say(need.number("load"), "ohm"), say(need.number("speaker"), "ohm")
    return f"{need.rules.of(need.position, 'title')} {load}{taps} to {speaker}{gap}{watts}"


def after(need: Need) -> tuple[str, ...]:
    """Return the cathode reading that proves the repair, from the output valve's working point; a pair may share a resistor."""
    if not need.has("load"):
        return after_winding(need)
    output, _ = output_valve(need.facts, {})
    if output is None or not output.bias_volts:
        return ()
    bias, trust = abs(output.bias_volts), f"({trusted(output, 'bias_volts')}, usual working point)"
    if need.word("topology") == "push-pull" or not output.cathode_resistor_ohm:
        return (f"about {bias:.1f} V at each {output.type}'s cathode, alike within a tenth {trust}",)
    return (
        f"{bias:.1f} V ±15 % across {say(output.cathode_resistor_ohm, 'ohm')} at the {output.type}'s cathode {trust}",
    )
