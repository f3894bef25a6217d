"""Words around the verdict: test cards, what to buy, the reading that proves the repair."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from partsbin.families._contacts import contacts_card
from partsbin.families._declare import Card
from partsbin.families.potentiometer.facts import LAWS
from partsbin.families.potentiometer.need import WANTED, load_at, wanted_bush, wanted_spindle, wanted_switch
from partsbin.needs import Need
from partsbin.words import listed, say, span, volts


def cards(reading: str, need: Need, row: Mapping[str, Any]) -> Card | None:
    """Return the test card of a reading: what to connect, what to apply, the band that passes, the danger."""
    table = {
        "resistance": _track_card,
        "mid": _mid_card,
        "power": _body_card,
        "contacts": lambda need: contacts_card(need.rules, "spindle and to track"),
        "poles": _poles_card,
    }
    if reading in table:
        return table[reading](need)
    if reading == "gangs":
        return Card(
            reading, "gangs", "count the tags: three a track", f"{need.number('gangs'):.0f} tracks", instrument="eyes"
        )
    if reading == "dead":
        return Card(
            reading,
            "the dead part",
            "read its marking; broken, add up the two parts of its track",
            "then the ohms wanted are known",
        )
    if reading == "wiring":
        return Card(
            reading,
            "wiring of the preset",
            "follow wiper and both ends: wiper tied to an end, or a resistor from wiper to the negative end?",
            "either: say rheostat, or end resistor, with the dead part",
            danger="output valves out first",
            instrument="eyes",
        )
    return None


def _track_card(need: Need) -> Card:
    window = f"{span(*need.window('fits'), 'ohm')} fits, {span(*need.window('care'), 'ohm')} care"
    passes = f"{window}; no jump and no gap on the whole turn"
    return Card(
        "resistance", "track and wiper", "meter end to end; then wiper to one end, turned slowly both ways", passes
    )


def _mid_card(need: Need) -> Card:
    bands = {law: line.value for law, line in need.rules.sections["mid"].items()}
    good, care = (
        [
            f"{round(100 * low)}–{round(100 * high)} %"
            for law, (low, high) in bands.items()
            if law in need.word(name).split(", ")
        ]
        for name in ("tapers", "tapers_care")
    )
    passes = f"{listed(good)} of the track fits" + (f", {listed(care)} care" if care else "")
    correction = "dead travel at both ends does not count, with a switch still less"
    return Card("mid", "law", "half turn, wiper to the cold end, over end to end", passes, correction=correction)


def _body_card(need: Need) -> Card:
    if need.has("load_unknown"):
        return Card(
            "power",
            "what stands on the track",
            "volts from end to end of the working position, or current through it",
            "then the watts wanted are known: give them with rail= or current=",
            danger="chassis and track may be live: clip on first, then switch on",
        )
    ideal = need.number("ideal")
    load = float(load_at(need, ideal))
    least = f"{say(load, 'W')} or more"
    stands = f", and {volts(need.number('across'))}" if need.has("across") else ""
    body = need.rules.general("body_watts"), need.rules.general("body_volts")
    return Card(
        "power",
        "size of the body",
        "diameter of the body, marks on it",
        f"{least}{stands}: a 16 mm carbon body bears {say(body[0], 'W')} and {volts(body[1])}, 9 mm "
        f"{say(need.rules.general('floor_watts'), 'W')} and {volts(need.rules.general('floor_volts'))}",
        instrument="eyes",
    )


def _poles_card(need: Need) -> Card:
    wanted = wanted_switch(need) if need.has("poles") else "two poles or no switch"
    return Card(
        "poles",
        "poles of the switch",
        "count the tags at the back; meter on ohms across each pair, on and off",
        f"{wanted}; volts and amperes are read on its case, nothing else tells them",
    )


def buy(need: Need) -> str:
    """Return what to buy new if nothing on the shelf will do; and the way out where its switch is hard to find."""
    law = next((word for word in need.word("tapers").split(", ") if word in LAWS), "linear")
    ideal = need.number("ideal")
    watts = float(load_at(need, ideal)) / need.rules.general("nonlinear" if law != "linear" else "thin_power")
    words = [
        f"{say(ideal, 'ohm')} {law}",
        "" if math.isnan(watts) else f"{say(max(watts, need.rules.general('floor_watts')), 'W')} or more",
        f"{need.number('gangs'):.0f} gangs" if need.number("gangs") > 1 else "",
        "tapped" if need.has("taps") else "",
        wanted_spindle(need),
        wanted_bush(need),
        "insulated spindle" if need.has("live") else "",
    ]
    text = ", ".join(word for word in words if word)
    if need.word("switch") != WANTED:
        return text
    return f"{text}, switch: {wanted_switch(need)}; way out: the same without a switch, and a separate switch, {wanted_switch(need)}"


def after(need: Need) -> tuple[str, ...]:
    """Return the readings that prove a switch: nothing between set and mains when it is off."""
    if need.word("switch") != WANTED:
        return ()
    leads = "both leads" if need.number("poles") == 2 else "the live lead"
    return (f"off, plug out: {leads} of the set open to the plug's pins; on: the switch stays cold after half an hour",)
