"""Facts of the set, as a repairer gives them: ``rail=250``, ``secondary="250-0-250 off-load"``, ``chassis=live``."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

from partsbin.errors import NotationError, UsageError
from partsbin.notation.quantity import read_quantity, to_float
from partsbin.notation.text import normalise

LIVE = ("live", "live-behind-capacitor", "auto")
"""Chassis that may stand at mains potential: an auto-transformer isolates nothing."""


@dataclass(frozen=True)
class Fact:
    """One thing that may be known of a set.

    Parameters
    ----------
    name : str
        The word before ``=``.
    help : str
        One line for people.
    unit : str
        SI unit of a number; "" for words.
    choices : tuple of str
        The words allowed, if any.
    """

    name: str
    help: str
    unit: str = ""
    choices: tuple[str, ...] = ()


_LIST = (
    Fact("mains", "nominal mains, RMS (230)", "V"),
    Fact("mains_now", "mains as measured today, RMS", "V"),
    Fact("mains_high", "highest mains over nominal (1.10)", "-"),
    Fact("tap", "primary tap in use", "V"),
    Fact("frequency", "mains frequency (50)", "Hz"),
    Fact("chassis", "what the chassis is joined to", choices=("earthed", "floating", *LIVE)),
    Fact("secondary", "HT winding, RMS, loaded unless off-load: 250-0-250, or 230 for half-wave"),
    Fact("rectifier", "rectifier: a valve type, silicon or selenium"),
    Fact("filter", "first part of the filter", choices=("capacitor-input", "choke-input")),
    Fact("winding_resistance", "resistance a side, winding and series resistor", "ohm"),
    Fact("lineup", "valve types, in chain order when in series"),
    Fact("rail", "DC volts at the position when running", "V"),
    Fact("anode", "DC volts on the driving side", "V"),
    Fact("grid_leak", "grid leak of the next valve", "ohm"),
    Fact("valve", "valve at the position"),
    Fact("bias", "how the valve is biased", choices=("cathode", "back", "fixed")),
    Fact("topology", "output stage", choices=("single-ended", "push-pull")),
    Fact("speaker", "loudspeaker ohms, or line volts and watts: 100 V 20 W"),
    Fact("current", "DC through the position", "A"),
    Fact("ambient", "air at the part (55 under a chassis, 70 beside an output valve or rectifier)", "°C"),
    Fact("original", "the dead part's marking"),
    Fact("space", "room for the part, longest side", "m"),
    Fact("other_paths", "other capacitors from the mains side to the same touchable part: 4.7n 1n"),
)
FACTS: dict[str, Fact] = {fact.name: fact for fact in _LIST}


@dataclass(frozen=True)
class SetFacts:
    """What is known of one set: numbers in SI, words as given.

    ``windings`` of the HT secondary are read into `secondary_volts` (RMS a side), `secondary_full_wave` and `off_load`.
    """

    values: Mapping[str, Any] = field(default_factory=dict)
    texts: Mapping[str, str] = field(default_factory=dict)
    uncertainty: Mapping[str, float] = field(default_factory=dict)

    def number(self, name: str, default: float = float("nan")) -> float:
        """Return the fact as a number in SI, or `default` where it is not known."""
        value = self.values.get(name)
        return float(value) if isinstance(value, (int, float)) else default

    def text(self, name: str) -> str:
        """Return the fact as it was given, "" where it is not known."""
        value = self.values.get(name)
        return value if isinstance(value, str) else self.texts.get(name, "")

    def knows(self, name: str) -> bool:
        """Return whether the fact was given."""
        return name in self.values

    @property
    def live(self) -> bool | None:
        """Whether the chassis may stand at mains potential; None where nobody said."""
        return self.text("chassis") in LIVE if self.knows("chassis") else None

    def having(self, **facts: Any) -> SetFacts:
        """Return a copy with more facts, read as if they had been given; each takes the place of what was known before."""
        return _read(self, (f"{name}={value}" for name, value in facts.items()))

    def _with(self, name: str, text: str) -> SetFacts:
        values, spread = _read_one(FACTS[name], text)
        kept = {key: value for key, value in self.values.items() if key not in _GIVES.get(name, ())}
        unsure = {key: value for key, value in self.uncertainty.items() if key != name}
        return SetFacts(
            {**kept, **values},
            {**self.texts, name: text},
            unsure if spread is None else {**unsure, name: spread},
        )


def read_facts(pairs: Iterable[str]) -> SetFacts:
    """Read facts given as ``KEY=VALUE``.

    Parameters
    ----------
    pairs : iterable of str
        The facts, values in trade notation. A later one of the same key takes the place of an earlier one.

    Returns
    -------
    SetFacts
        Numbers in SI.

    Raises
    ------
    UsageError
        If a key is unknown, or its value cannot be read.
    """
    return _read(SetFacts(), pairs)


def _read(found: SetFacts, pairs: Iterable[str]) -> SetFacts:
    for pair in pairs:
        name, mark, text = pair.partition("=")
        name, text = re.sub(r"[-\s]+", "_", name.strip()).lower(), text.strip()
        if not mark:
            raise UsageError(f"{pair!r} is not KEY=VALUE", hint="for example --with rail=250")
        if name not in FACTS:
            raise UsageError(f"unknown fact {name!r}", hint=_nearest(name))
        if text:
            found = found._with(name, text)
    return found


_MEANT = {
    "ht": "rail", "hv": "rail", "b+": "rail", "supply": "rail", "voltage": "rail", "volts": "rail", "valves": "lineup",
    "tubes": "lineup", "loudspeaker": "speaker", "impedance": "speaker", "line_up": "lineup", "winding": "secondary",
}  # fmt: skip


def _nearest(name: str) -> str:
    from rapidfuzz import process

    if name in _MEANT:
        return f"{_MEANT[name]}: {FACTS[_MEANT[name]].help}"
    near = process.extractOne(name, FACTS.keys(), score_cutoff=60)
    known = ", ".join(FACTS)
    return f"did you mean {near[0]!r}? Known: {known}" if near else f"known: {known}"


def _read_one(fact: Fact, text: str) -> tuple[dict[str, Any], float | None]:
    """The values that a fact gives, and its half-width if one was stated."""
    if fact.name == "secondary":
        return _read_secondary(text)
    if fact.name == "speaker":
        return _read_speaker(text), None
    if fact.name == "other_paths":
        paths = [number(item, "F", fact.name) for item in re.split(r"[\s,;+]+", text) if item]
        return {"other_paths": sum(paths)}, None
    if fact.choices:
        word = re.sub(r"[ _/]+", "-", text.strip().lower())
        word = _SAME.get(word, word)
        if word not in fact.choices:
            raise UsageError(f"{fact.name}={text!r}: expected one of {', '.join(fact.choices)}")
        return {fact.name: word}, None
    if fact.unit:
        body, spread = _without_spread(text)
        value = number(body, fact.unit, fact.name)
        return {fact.name: value}, _half_width(spread, value, fact.unit, fact.name)
    return {fact.name: text}, None


_SPREAD = re.compile(r"±\s*(\S+(?:\s?%|\s(?:[µum]?[A-Za-zΩ]|ohm)\b)?)")


_SAME = {
    "hot": "live", "ac-dc": "live", "allstrom": "live", "universal": "live", "transformerless": "live",
    "isolated": "floating", "transformer": "floating", "grounded": "earthed",
    "choke": "choke-input", "capacitor": "capacitor-input",
    "pp": "push-pull", "se": "single-ended", "single": "single-ended",
}  # fmt: skip
"""Trade words that mean one of the choices."""


def _without_spread(text: str) -> tuple[str, str]:
    """A text without its ``±…``, which may stand anywhere in it, and that."""
    plain = normalise(text).text
    match = _SPREAD.search(plain)
    return (plain[: match.start()] + " " + plain[match.end() :], match[1]) if match else (plain, "")


def _half_width(spread: str, value: float, unit: str, name: str) -> float | None:
    if not spread:
        return None
    share = spread.endswith("%")
    width = abs(value) * _quantity(spread[:-1].strip(), "-", name) / 100 if share else _quantity(spread, unit, name)
    if width >= abs(value):
        raise UsageError(
            f"{name}: ±{spread} is as much as the value itself", hint="a meter is good to a few per cent: ±1%"
        )
    return width


_WITHIN = {
    "mains": (90.0, 265.0),
    "mains_now": (90.0, 265.0),
    "tap": (90.0, 265.0),
    "frequency": (15.0, 65.0),
    "secondary": (1.0, 2000.0),
    "current": (1e-6, 5.0),
    "ambient": (-20.0, 150.0),
}
"""What a mains set of the valve era can have; anything else is a slip, and a slip must not move a wall."""

_LEAST = {"V": 0.0, "ohm": 0.0, "A": 0.0, "Hz": 10.0, "F": 0.0, "m": 0.0, "-": 0.0, "°C": -60.0}
_MOST = {"V": 20e3, "ohm": 1e9, "A": 1e3, "Hz": 1e6, "F": 1.0, "m": 10.0, "-": 100.0, "°C": 300.0}


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
    if name == "mains_high" and not 1 <= value <= 2:
        raise UsageError(
            f"{name}={text!r}: expected a factor from 1 to 2", hint="1.10 stands for ten per cent over nominal"
        )
    return value


def _quantity(text: str, unit: str, name: str) -> float:
    try:
        value = to_float(read_quantity(text, unit))
    except NotationError as fault:
        raise UsageError(f"{name}={text!r}: {fault.message}", hint=fault.hint) from None
    if not _LEAST[unit] < value <= _MOST[unit]:
        raise UsageError(f"{name}={text!r}: expected more than {_LEAST[unit]:g} and at most {_MOST[unit]:g} {unit}")
    return value


_GIVES = {"speaker": ("line_volts", "line_watts")}
"""What a fact may give beside its own value: it goes when the fact is given anew."""


_BESIDE = re.compile(r"off-? ?load|loaded|half-?wave|rms|\bac\b|\beach\b|\ba side\b|\bside\b|volts?\b|\bv\b|(?<=\d)v\b")
_WINDING = re.compile(r"^(?:2x)?(?P<a>\d+(?:\.\d+)?)(?P<ct>-0-(?P<b>\d+(?:\.\d+)?))?$")


def _read_secondary(text: str) -> tuple[dict[str, Any], float | None]:
    """Volts a side, loaded or off load; ``±1%`` or ``±3 V`` is the meter's, kept as a fraction."""
    plain, spread = _without_spread(text)
    words = plain.lower()
    flat = "".join(_BESIDE.sub(" ", words).split())
    match = _WINDING.match(flat)
    if not match:
        raise UsageError(
            f"secondary={text!r}: expected volts a side such as 250-0-250, or 230 for half-wave",
            hint="add off-load if it was read without load",
        )
    side = float(match["a"])
    if match["b"] and abs(float(match["b"]) - side) > 0.2 * side:
        raise UsageError(
            f"secondary={text!r}: the two sides differ by more than a fifth", hint="250-0-250 means 250 V a side"
        )
    side = max(side, float(match["b"] or 0))
    if not 1 < side <= 5000:
        raise UsageError(f"secondary={text!r}: expected between 1 and 5000 V a side")
    half = _half_width(spread, side, "V", "secondary")
    return {
        "secondary": text,
        "secondary_volts": side,
        "secondary_full_wave": bool(match["ct"]) or flat.startswith("2x"),
        "secondary_off_load": bool(re.search(r"\boff-? ?load\b", words)),
    }, None if half is None else half / side


def _read_speaker(text: str) -> dict[str, Any]:
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
