"""What to read on a loudspeaker, and what to buy."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from partsbin.families._dangers import LEADS
from partsbin.families._declare import Card
from partsbin.needs import Need
from partsbin.words import say, span

Row = Mapping[str, Any]


def cards(reading: str, need: Need, row: Row) -> Card | None:
    """Return what to read on a loudspeaker."""
    low, high = need.window("fits")
    rules = need.rules
    watts = "rated for that" if need.has("watts_bound") else f"{say(need.number('watts'), 'W')} or more"
    frame = "read the frame; else compare the magnet with the dead one's"
    if need.has("watts_bound"):
        frame += "; volts across the loudspeaker or a dummy load at full volume, squared over its ohms, are the stage's watts"
    current = f"{say(need.number('current'), 'A')} or more"
    least = say(rules.general("insulation_least"), "ohm")
    coil = span(low / rules.general("impedance_high"), high / rules.general("impedance_low"), "ohm")
    table = {
        "resistance": ("voice coil", "meter across it, one lead off; move the cone by hand: no scrape", f"{coil}", "meter"),
        "power": ("watts", frame, watts, "eyes"),
        "field_current": ("field current", "read the frame; else compare the field's size with the dead one's", current, "eyes"),
        "isolation": ("isolation", "500 V DC, plug out: output primary to secondary", f"over {least}", "500 V tester"),
        "field": ("field coil", "meter across the dead one's field, wires off", "its ohms: then the rail is known", "meter"),
    }  # fmt: skip
    if reading not in table:
        return None
    name, connect, passes, instrument = table[reading]
    return Card(reading, name, connect, passes, danger=LEADS if reading == "isolation" else "", instrument=instrument)


def buy(need: Need) -> str:
    """Return what to buy."""
    size = f", {need.number('diameter') * 1000:.0f} mm" if need.has("diameter") else ""
    watts = "watts of the stage" if need.has("watts_bound") else f"{say(1.5 * need.number('watts'), 'W')} or more"
    return f"loudspeaker {say(need.number('impedance'), 'ohm')}, {watts}{size}"
