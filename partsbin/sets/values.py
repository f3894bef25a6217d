"""Figures of the set in trade notation: a value with its unit, a meter's ``±``, per cent over nominal, a loudspeaker line."""

from __future__ import annotations

import math
import re
from typing import Any

from partsbin.errors import NotationError, UsageError
from partsbin.notation.quantity import read_quantity, to_float
from partsbin.notation.text import normalise

_SPREAD = re.compile(r"±\s*(\S+(?:\s?%|\s(?:[µum]?[A-Za-zΩ]|ohm)\b)?)")

_WITHIN = {
    "mains": (90.0, 265.0),
    "mains_now": (90.0, 265.0),
    "tap": (90.0, 265.0),
    "frequency": (15.0, 65.0),
    "current": (1e-6, 5.0),
    "ambient": (-20.0, 150.0),
    "alike": (1e-4, 0.2),
}
"""What a mains set of the valve era can have; anything else is a slip, and a slip must not move a wall."""

SIGNED = ("rail", "anode")
"""Volts that may lie below the chassis, as on bias and AGC lines: what stands on a part is their size."""

_LEAST = {"V": 0.0, "ohm": 0.0, "A": 0.0, "Hz": 10.0, "F": 0.0, "m": 0.0, "-": 0.0, "°C": -60.0}
_MOST = {"V": 20e3, "ohm": 1e9, "A": 1e3, "Hz": 1e6, "F": 1.0, "m": 10.0, "-": 100.0, "°C": 300.0}


def without_spread(text: str) -> tuple[str, str]:
    """Return a text without its ``±…``, which may stand anywhere in it, and that."""
    plain = normalise(text).text
    match = _SPREAD.search(plain)
    return (plain[: match.start()] + " " + plain[match.end() :], match[1]) if match else (plain, "")


def half_width(spread: str, value: float, unit: str, name: str) -> float | None:
    """Return the half-width that a ``±…`` gives a value [same], None where nothing was stated.

    Raises
    ------
    UsageError
        If it cannot be read, or is as much as the value itself.
    """
    if not spread:
        return None
    share = spread.endswith("%")
    width = abs(value) * _quantity(spread[:-1].strip(), "-", name) / 100 if share else _quantity(spread, unit, name)
    if width >= abs(value):
        raise UsageError(
            f"{name}: ±{spread} is as much as the value itself", hint="a meter is good to a few per cent: ±1%"
        )
    return width


def number(text: str, unit: str, name: str) -> float:
    """Read a number in trade notation; a bare number is in the SI unit `unit` [same].

    Raises
    ------
    UsageError
        If it is no number of that unit, or out of any reason.
    """
    value = _quantity(text, unit, name)
    low, high = _WITHIN.get(name, (-math.inf, math.inf))
    if not low <= value <= high:
        raise UsageError(
            f"{name}={text!r}: expected from {low:g} to {high:g} {unit}", hint="write the unit: 36mA, 0.25kV, 50Hz"
        )
    return value


def over_nominal(text: str, name: str) -> float:
    """Read how far a value may go over nominal, as a factor [-]: ``1.10``, ``10 %``, ``110 %``.

    Raises
    ------
    UsageError
        If it is no factor from 1 to 1.25: no mains goes further, and less would move a wall.
    """
    plain = normalise(text).text.lstrip("+± ")
    share = re.fullmatch(r"(.*\d) ?(?:%|per cent|percent)", plain)
    value = _quantity(f"{share[1]}%" if share else plain, "-", name)
    if share and value < 1:
        value += 1
    if not 1 <= value <= 1.25:
        raise UsageError(
            f"{name}={text!r}: expected a factor from 1 to 1.25",
            hint="1.10 or 10 % stands for ten per cent over nominal",
        )
    return value


_HT_WORDS = re.compile(r"(?i)\s*\b(?:ht|b\+|h\.t\.|volts? ht)(?=\s|$|\d)\s*\+?|\bb\+\s*")


def _quantity(text: str, unit: str, name: str) -> float:
    if name in ("rail", "anode"):
        text = _HT_WORDS.sub(" ", text).strip() or text  # 250V HT, B+ 250
    if unit == "Hz" and text.rstrip().endswith("~"):
        text = text.rstrip(" ~")  # 60~ was written for cycles
    try:
        value = to_float(read_quantity(text, unit))
    except NotationError as fault:
        raise UsageError(f"{name}={text!r}: {fault.message}", hint=fault.hint) from None
    if name in SIGNED:
        value = abs(value)
    if not _LEAST[unit] < value <= _MOST[unit]:
        raise UsageError(f"{name}={text!r}: expected more than {_LEAST[unit]:g} and at most {_MOST[unit]:g} {unit}")
    return value


def read_speaker(text: str) -> dict[str, Any]:
    """Read loudspeaker ohms, or the volts and watts of a line, into the facts that they give."""
    line = re.match(
        r"(?i)^\s*(\d+(?:\.\d+)?)\s*v(?:olts?)?(?:\s+line)?\s*[,/ ]\s*(\d+(?:\.\d+)?)\s*w(?:atts?)?\s*$", text
    )
    if line:
        volts, watts = float(line[1]), float(line[2])
        if not (0 < volts <= 1000 and 0 < watts <= 10_000):
            raise UsageError(f"speaker={text!r}: expected a line such as 100 V 20 W")
        return {"speaker": volts * volts / watts, "line_volts": volts, "line_watts": watts}
    value = number(text, "ohm", "speaker")
    if value > 1e5:
        raise UsageError(f"speaker={text!r}: expected loudspeaker ohms, or line volts and watts")
    return {"speaker": value}


def read_lamps(text: str) -> dict[str, Any]:
    """Read dial lamps, all alike, into their number, volts and amperes.

    Raises
    ------
    UsageError
        If volts or amperes are missing.
    """
    from partsbin.notation.lamp import read_lamp

    count = re.match(r"\s*(\d)\s*[x×*]\s*", text)
    fields = next((found.fields for found in read_lamp(text[count.end() :] if count else text)), {})
    if not {"voltage", "current"} <= set(fields):
        raise UsageError(f"lamps={text!r}: expected volts and amperes of one lamp, such as 2x 6.3V 0.3A")
    return {
        "lamp_count": float(count[1]) if count else 1.0,
        "lamp_volts": float(str(fields["voltage"])),
        "lamp_amperes": float(str(fields["current"])),
    }
