"""What is marked on a potentiometer, and the words for it."""

from __future__ import annotations

from typing import Literal, get_args

from partsbin.families._declare import Facts, fact, facts_list
from partsbin.words import percent, say, volts

Taper = Literal["linear", "log", "antilog"]
LAWS = get_args(Taper)
TAPERS = ("", *LAWS, "old-log", "other")
"""Laws as judged: as marked, or as half rotation shows; ``old-log`` is the flatter track of old sets, ``other`` none of them."""

STYLES = {"flat": "flatted", "spline": "splined", "round": "round", "slotted": "slotted"}
_GANGS = {2: "dual", 3: "triple", 4: "quad"}


class Tap(Facts):
    """One fixed tap of the track."""

    ratio: float | None = fact("fraction of the track between cold end and tap", unit="-", gt=0, le=1)


class PotentiometerFacts(Facts):
    """What is marked on a potentiometer."""

    resistance: float | None = fact("resistance of the track", unit="ohm", gt=0, le=1e9)
    tolerance: float | None = fact("tolerance, either way, as a fraction", unit="-", ge=0, le=1)
    taper: Taper | None = fact("law of the track")
    track: Literal["carbon", "cermet", "wirewound", "conductive-plastic"] | None = fact("what the track is made of")
    power: float | None = fact("rated power of the track", unit="W", gt=0, le=1000)
    voltage_limit: float | None = fact("highest volts across the track", unit="V", gt=0, le=10e3)
    gangs: int | None = fact("tracks on one spindle", ge=1, le=8)
    taps: tuple[Tap, ...] = facts_list("fixed taps of the track")
    switch_poles: int | None = fact("poles of its switch, 0 for none", ge=0, le=2)
    switch_action: Literal["rotary", "push-pull", "push"] | None = fact("how the switch is worked")
    switch_voltage_ac: float | None = fact(
        "volts of alternating current the switch may break, RMS", unit="V", gt=0, le=1000
    )
    switch_voltage_dc: float | None = fact("volts of direct current the switch may break", unit="V", gt=0, le=1000)
    switch_current: float | None = fact("current the switch may break", unit="A", gt=0, le=100)
    shaft_diameter: float | None = fact("diameter of the spindle", unit="m", gt=0, le=0.05)
    shaft_length: float | None = fact("length of the spindle", unit="m", gt=0, le=0.5)
    shaft_style: Literal["flat", "spline", "round", "slotted"] | None = fact("end of the spindle")
    bush_diameter: float | None = fact("diameter of the bush", unit="m", gt=0, le=0.05)
    bush_length: float | None = fact("length of the bush", unit="m", gt=0, le=0.1)
    insulated_shaft: bool | None = fact("spindle of insulating material")


def title(facts: PotentiometerFacts) -> str:
    """Return the part in trade notation: `read_potentiometer` reads it back."""
    words = [
        say(facts.resistance, "ohm") if facts.resistance else "",
        facts.taper or "",
        (facts.track or "").replace("-", " "),
        "potentiometer",
        f"±{percent(facts.tolerance)}" if facts.tolerance else "",
        say(facts.power, "W") if facts.power else "",
        f"{volts(facts.voltage_limit)} limit" if facts.voltage_limit else "",
        _GANGS.get(facts.gangs, f"{facts.gangs}-gang") if facts.gangs and facts.gangs > 1 else "",
        " ".join(f"tap {percent(tap.ratio)}" if tap.ratio else "tapped" for tap in facts.taps),
        switch_words(facts),
        spindle_words(facts.shaft_diameter, facts.shaft_length, facts.shaft_style or "", facts.insulated_shaft),
        bush_words(facts.bush_diameter, facts.bush_length),
    ]
    return " ".join(word for word in words if word)


def switch_words(facts: PotentiometerFacts) -> str:
    """Return the switch in trade notation, "" where nothing is known of it."""
    if facts.switch_poles == 0:
        return "no switch"
    rated = (
        say(facts.switch_current, "A") if facts.switch_current else "",
        f"{volts(facts.switch_voltage_ac)} AC" if facts.switch_voltage_ac else "",
        f"{volts(facts.switch_voltage_dc)} DC" if facts.switch_voltage_dc else "",
    )
    if not (facts.switch_poles or facts.switch_action or any(rated)):
        return ""
    poles = {1: "single pole", 2: "double pole"}.get(facts.switch_poles or 0, "")
    action = facts.switch_action if facts.switch_action not in (None, "rotary") else ""
    return " ".join(word for word in (poles, action, "switch", *rated) if word)


def spindle_words(diameter: float | None, length: float | None, style: str, insulated: bool | None) -> str:
    """Return the spindle in trade notation, "" where nothing is known of it."""
    if diameter is None and length is None and not style and insulated is None:
        return ""
    kind = {True: "plastic ", False: "metal ", None: ""}[insulated]
    return " ".join(word for word in (f"{kind}spindle", millimetres(diameter, length), STYLES.get(style, "")) if word)


def bush_words(diameter: float | None, length: float | None) -> str:
    """Return the bush in trade notation, "" where nothing is known of it."""
    return f"bush {millimetres(diameter, length)}" if diameter or length else ""


def millimetres(diameter: float | None, length: float | None) -> str:
    """Return a diameter and a length in millimetres, "" where neither is known."""
    if diameter and length:
        return f"{diameter * 1000:.4g} x {length * 1000:.3g} mm"
    if diameter:
        return f"{diameter * 1000:.4g} mm"
    return f"{length * 1000:.3g} mm long" if length else ""
