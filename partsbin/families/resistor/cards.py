"""Words around the verdict: test cards, what to buy, what to read afterwards, materials."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from partsbin.families._dangers import INSULATED, SET_DEAD
from partsbin.families._declare import Card, Item
from partsbin.families.resistor.need import least_watts, power_at
from partsbin.families.resistor.options import body
from partsbin.families.resistor.value import trusted, valve_here
from partsbin.needs import Need
from partsbin.words import listed, say, span, volts

RUNGS = (0.25, 0.5, 1.0, 2.0, 3.0, 5.0, 7.0, 10.0, 15.0, 20.0, 25.0, 50.0)
SAFE_VOLTS = 60.0  # V at the pins of a plug, a second after it was pulled
HOT_WATTS = 5.0  # W from which an old resistor may sit on a pad or a cord that holds asbestos


def cards(reading: str, need: Need, row: Mapping[str, Any]) -> Card | None:
    """Return what to do about an unknown: the reading or the look that settles it."""
    if reading == "resistance":
        return _ohms(need, row)
    if reading == "load":
        return Card(
            "load",
            "load in the set",
            "DC volts across the old part, set running, meter clipped on with the set off; if it is open, current in its place "
            "through a meter",
            "volts squared over its ohms at most half the new part's watts; HT no more than its body bears",
            danger=f"{INSULATED}, discharge first",
        )
    if reading == "off_load":
        return Card(
            "off_load",
            "HT off load",
            "RMS volts of each half of the HT winding, rectifier out, nothing drawn",
            f"named with --with secondary=..., {volts(need.number('off_load_peak'))} is no longer taken for it",
            danger=f"{INSULATED}, discharge first",
        )
    look = {
        "power": ("rated watts", "measure the body, set it beside known ones", _watts(need)),
        "voltage_limit": (
            "limiting voltage",
            "make and type on the bag or the body, else its length",
            f"{volts(_volts(need))} or more",
        ),
        "technology": (
            "what it is made of",
            "moulded brown rod: composition; lacquered or blue, with end caps: film; cement, vitreous, wire: wirewound",
            listed(need.rules.of(need.position, "technologies")),
        ),
        "pulse_rated": ("pulse rating", "the maker's sheet: a curve of pulse energy or peak power", "rated for pulses"),
        "condition": ("new or used", "look at the leads: cut, tinned or bent means used", "new"),
        "original": (
            "the dead part's value",
            "what is written on the dead part, on its neighbour of the same kind, or in the other channel",
            "this part's value in {:g} to {:g} times it".format(*need.rules.of(need.position, "fits")),
        ),
    }
    if reading not in look:
        return None
    name, how, passes = look[reading]
    return Card(reading, name, how, passes, instrument="eyes")


def _ohms(need: Need, row: Mapping[str, Any]) -> Card:
    """An ohmmeter, one leg lifted; the band is rounded inward."""
    fits, care = need.window("fits"), need.window("care")
    correction = "both ways round: if they differ something else is in circuit; fingers off both ends from 100 kΩ up"
    if row["technology"] in ("carbon-composition", ""):
        correction += "; old composition: warm it to hand heat, it must not wander"
    return Card(
        "resistance",
        "resistance",
        "ohmmeter, one leg lifted, part cold",
        f"{span(*_inward(fits), 'ohm')} fits, {span(*_inward(care), 'ohm')} care",
        correction=correction,
        danger=SET_DEAD,
    )


def _inward(window: tuple[float, float]) -> tuple[float, float]:
    """Round a band inward to three digits, so that a reading on its printed edge passes."""

    def step(x: float) -> float:
        return 10.0 ** (math.floor(math.log10(x)) - 2)

    low, high = (step(end) for end in window)
    return math.ceil(window[0] / low - 1e-9) * low, math.floor(window[1] / high + 1e-9) * high


def _watts(need: Need) -> str:
    least = least_watts(need, need.rules, _material(need))
    return "as large as the dead part or larger" if math.isnan(least) else f"{say(_rung(least), 'W')} or more"


def _volts(need: Need) -> float:
    stress = need.number("element_volts")
    return need.number("like_volts") if math.isnan(stress) else stress


def _material(need: Need) -> str:
    return str(need.rules.of(need.position, "technologies")[0])


def _rung(watts: float) -> float:
    return next((rung for rung in RUNGS if rung >= watts * (1 - 1e-9)), watts)


def _bearing(need: Need, watts: float, stress: float) -> float:
    """Return the watts of the first body, from so many up, that bears the volts across it by its size."""
    for rung in (rung for rung in RUNGS if rung >= watts):
        section = f"element_{body(rung)}"
        row = need.rules.get(section, _material(need), need.rules.get(section, "other"))
        if math.isnan(stress) or float(row) >= stress:
            return rung
    return watts


def buy(need: Need) -> str:
    """Return what to buy new if nothing on the shelf will do."""
    least, stress = least_watts(need, need.rules, _material(need)), _volts(need)
    most = need.number("fuse_watts")
    watts = "watts once the load is known" if math.isnan(least) else say(_bearing(need, _rung(least), stress), "W")
    if need.has("fusible"):
        watts = f"fusible, {say(most, 'W')}" if not math.isnan(most) else "fusible, watts as the dead one"
    body = "" if math.isnan(stress) else f", body for {volts(stress)}"
    approved = ", approved to bridge insulation" if need.has("touch_limit") else ""
    return f"{span(*need.window('fits'), 'ohm')}, {watts}, {_material(need)}{body}{approved}"


def after(need: Need) -> tuple[str, ...]:
    """Return the volts that prove the repair: the valve's bias, or what the current makes across the resistor."""
    ideal, current = need.number("ideal"), need.number("current")
    if need.position == "x-discharge":
        peak = math.sqrt(2) * need.number("across")
        most = 1.0 / (ideal * math.log(peak / SAFE_VOLTS))  # one second from the crest
        return (
            f"{say(ideal, 'ohm')} does that with {say(most, 'F')} at most, all capacitors across the mains together",
        )
    here = valve_here(need.facts) if need.position == "cathode-bias" else None
    if here is not None and here.valve.bias_volts:
        bias, trust = abs(here.valve.bias_volts), trusted(here.valve, "bias_volts")
        return (f"about {bias:.1f} V ±15 % at the {here.valve.type}'s cathode ({trust}, usual working point)",)
    if math.isnan(current) or need.position in ("surge-limiter", "heater-dropper"):
        return ()
    return (f"across {say(ideal, 'ohm')} no more than {volts(current * ideal)}, mains high",)


def cautions(need: Need) -> tuple[str, ...]:
    """Return the heat of the position where it burns fingers."""
    watts = power_at(need, need.number("ideal"))[0]
    return (f"{say(watts, 'W')} of heat: it burns fingers, wax and wiring long after switch-off",) if watts >= 2 else ()


def hazards(item: Item) -> tuple[str, ...]:
    """Return the material cautions of a part: one line each."""
    if item.facts.technology != "wirewound" or item.condition == "new" or not (item.facts.power or 0) >= HOT_WATTS:
        return ()
    return ("old power resistor: pads, cords and sleeves under it may hold asbestos: wet, bag, never scrape",)
