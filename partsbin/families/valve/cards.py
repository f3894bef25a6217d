"""What to read on a valve before it is trusted, with the figures of its type; and what to buy."""

from __future__ import annotations

import math

from partsbin.families._dangers import CLIP_ON, VALVE_HOT
from partsbin.families._declare import Card
from partsbin.families.valve.plugged import Row
from partsbin.needs import Need
from partsbin.reference.equivalents import equivalents, type_key
from partsbin.reference.valves import Valve, valve
from partsbin.words import listed, say, span, volts


def cards(reading: str, need: Need, row: Row) -> Card | None:
    """Return the card that settles an unknown."""
    if reading == "emission":
        return _emission(need, valve(row["type"]) if row["type"] else None)
    if reading == "insulation":
        least = say(need.rules.general("insulation_care"), "ohm")
        return Card(reading, "heater to cathode", "meter, heater hot in the tester or just switched off, heater pin to cathode pin",
                    f"over {least} (common practice)", danger=VALVE_HOT)  # fmt: skip
    if reading == "sheet":
        return Card(
            reading,
            "data sheet",
            f"look {row['type'] or 'the type'} up in a valve data book",
            _asked(need),
            instrument="eyes",
        )
    table = {
        "type": ("type", "read the bulb: breathe on it, tilt it to the light; else the print beside the socket",
                 f"{need.word('socket') or 'the type'}, or one listed for it"),
        "base": ("base", "count pins and look at the key", need.word("base") or "as the socket"),
    }  # fmt: skip
    if reading not in table:
        return None
    name, connect, passes = table[reading]
    return Card(reading, name, connect, passes, instrument="eyes")


def _emission(need: Need, row: Valve | None) -> Card:
    """In the set itself, since a valve tester is rare: current through the cathode resistor, or the rail of a rectifier."""
    first = "meter on ohms: heater pins joined, no other pin to any other; "
    if row is not None and row.is_rectifier:
        return Card("emission", "emission", first + "then in the set, warm: rail under load",
                    "within 10 % of the rail with a good valve (common practice)", danger=CLIP_ON)  # fmt: skip
    if row is not None and row.is_output and row.bias_volts:
        low, high = (abs(row.bias_volts) * share for share in (0.7, 1.15))
        passes = f"{span(low, high, 'V')} across its cathode resistor, {say(abs(row.bias_volts), 'V')} listed"
    else:
        passes = f"{100 * need.rules.of(need.position, 'care')[0]:.0f} % or more of a good one in the same socket"
    return Card("emission", "emission", first + "then in the set, warm: volts across the cathode resistor", passes,
                danger=CLIP_ON)  # fmt: skip


def _asked(need: Need) -> str:
    asked = [
        say(value, unit)
        for value, unit in (
            (need.number("heater_volts"), "V"),
            (need.number("heater_amperes"), "A"),
            (need.number("dissipation"), "W"),
        )
        if not math.isnan(value)
    ]
    cold = need.number("off_load_peak")
    asked += [f"{volts(cold)} heater to cathode"] if need.has("common_heater") and not math.isnan(cold) else []
    return listed(asked, "and") if asked else "the dead one's figures"


def after(need: Need) -> tuple[str, ...]:
    """Return the cathode volts to read after power-up, where the type's self-bias is listed."""
    row = valve(need.word("socket")) if need.word("socket") else None
    if row is None or not row.bias_volts or not row.is_output:
        return ()
    low, high = 0.85 * abs(row.bias_volts), 1.15 * abs(row.bias_volts)
    sure = "" if row.standing_of("bias_volts") == "read" else ", from memory"
    return (
        f"{span(low, high, 'V')} across the cathode resistor, self-biased ({row.type} at {row.anode_volts:g} V{sure})",
    )


def buy(need: Need) -> str:
    """Return what to buy: the type, and the names under which it is sold too."""
    socket = need.word("socket")
    if not socket:
        return "the valve of the socket: read its type first"
    key = type_key(socket.split("/")[0])
    others = [
        row.type_b if type_key(row.type_a) == key else row.type_a
        for row in equivalents()
        if row.relation != "near"
        and (type_key(row.type_a) == key or (row.relation == "identical" and type_key(row.type_b) == key))
    ]
    return f"{socket}" + (f", also sold as {listed(others[:4])}" if others else "")
