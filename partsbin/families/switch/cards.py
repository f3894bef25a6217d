"""What to read on a switch, and what to buy."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from partsbin.families._contacts import contacts_card
from partsbin.families._dangers import CLIP_ON
from partsbin.families._declare import Card
from partsbin.needs import Need
from partsbin.words import say, volts

Row = Mapping[str, Any]


def cards(reading: str, need: Need, row: Row) -> Card | None:
    """Return what to do about an unknown."""
    if reading == "rail":
        return Card(
            reading, "rail", "HT off load, meter to chassis", "then the DC rating wanted is known", danger=CLIP_ON
        )
    if reading == "contacts":
        return contacts_card(need.rules, "the frame")
    if reading == "poles":
        wanted = f"{need.number('poles'):.0f} pairs that close together"
        return Card(reading, "poles", "plug out; meter on ohms across each pair of tags, worked on and off", wanted)
    if reading != "current":
        return None
    rated = row["current"]
    if math.isnan(rated):
        return Card(
            reading, "rating", "read it on the body", f"{say(need.number('current'), 'A')} or more", instrument="eyes"
        )
    fits = say(need.rules.general("thin_current") * rated, "A")
    what = "watts on the set's plate over the mains volts" if need.has("mains") else "current through the dead one"
    passes = f"up to {fits} fits, up to {say(rated, 'A')} care: then give it with current="
    return Card(reading, "load", what, passes, instrument="eyes")


def buy(need: Need) -> str:
    """Return what to buy where nothing on the shelf does."""
    poles = {1.0: "single-pole", 2.0: "double-pole"}.get(need.number("poles"), f"{need.number('poles'):.0f}-pole")
    amperes = say(max(1.0, 2 * need.number("current")), "A") if need.has("mains") else say(need.number("current"), "A")
    if need.has("mains"):
        return f"{poles} mains switch, {amperes} 250 V AC or more, approved, contact gap 3 mm"
    if need.has("off_load_peak"):
        return f"{poles} switch rated for {volts(need.number('off_load_peak'))} DC, {amperes}"
    return f"{poles} switch"
