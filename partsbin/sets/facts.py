"""Facts of the set, as a repairer gives them: ``rail=250``, ``secondary="250-0-250 off-load"``, ``chassis=live``."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from partsbin.errors import UsageError
from partsbin.notation.choices import folded
from partsbin.sets.rectifiers import read_rectifier
from partsbin.sets.values import SIGNED, half_width, number, over_nominal, read_lamps, read_speaker, without_spread
from partsbin.sets.winding import read_winding

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
    Fact("mains_high", "highest mains over nominal, 1.25 at most (1.10)", "-"),
    Fact("tap", "primary tap in use", "V"),
    Fact("frequency", "mains frequency (50)", "Hz"),
    Fact("chassis", "what the chassis is joined to", choices=("earthed", "floating", *LIVE)),
    Fact("secondary", "HT winding, RMS, loaded unless off-load: 250-0-250, 500 V CT, 250 bridge, or 230 for half-wave"),
    Fact("rectifier", "rectifier: a valve type, silicon or selenium"),
    Fact("filter", "first part of the filter", choices=("capacitor-input", "choke-input")),
    Fact("winding_resistance", "resistance a side, winding and series resistor", "ohm"),
    Fact("reservoir", "reservoir capacitor", "F"),
    Fact("lamps", "dial lamps: 2x 6.3V 0.3A"),
    Fact("lineup", "valve types, in chain order when in series, chassis end first"),
    Fact("rail", "DC volts at the position when running; the sign does not count", "V"),
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
    Fact("alike", "how much pieces of one need may differ, the highest over the lowest: 2%", "-"),
    Fact("other_paths", "other capacitors from the mains side to the same touchable part: 4.7n 1n"),
)
FACTS: dict[str, Fact] = {fact.name: fact for fact in _LIST}


_GIVEN_BY = {
    "secondary_volts": "secondary",
    "secondary_tapped": "secondary",
    "secondary_full_wave": "secondary",
    "secondary_off_load": "secondary",
    "rectifier_bridge": "rectifier",
    "lamp_volts": "lamps",
    "lamp_amperes": "lamps",
    "lamp_count": "lamps",
    "line_volts": "speaker",
    "line_watts": "speaker",
}
"""What a fact gives beside its own value: it goes when the fact is given anew."""


@dataclass(frozen=True)
class SetFacts:
    """What is known of one set: numbers in SI, words as given, and which of them were asked for.

    The HT `secondary` is read into `secondary_volts` (RMS a side) and into the flags `secondary_tapped`,
    `secondary_full_wave` and `secondary_off_load`; a loudspeaker line into `line_volts` and `line_watts`. `said` holds how
    a fact was understood, where it could be taken otherwise.
    """

    values: Mapping[str, Any] = field(default_factory=dict)
    texts: Mapping[str, str] = field(default_factory=dict)
    uncertainty: Mapping[str, float] = field(default_factory=dict)
    said: Mapping[str, str] = field(default_factory=dict)
    _asked: set[str] = field(default_factory=set, init=False, repr=False, compare=False)
    _missed: set[str] = field(default_factory=set, init=False, repr=False, compare=False)

    def number(self, name: str, default: float = float("nan")) -> float:
        """Return the fact as a number in SI, or `default` where it is not known."""
        value = self._take(name)
        return float(value) if isinstance(value, (int, float)) else default

    def text(self, name: str) -> str:
        """Return the fact as it was given, "" where it is not known."""
        value = self._take(name)
        return value if isinstance(value, str) else self.texts.get(name, "")

    def flag(self, name: str) -> bool:
        """Return whether the fact is known and says yes."""
        return self._take(name) is True

    def knows(self, name: str) -> bool:
        """Return whether the fact was given; that alone does not use it."""
        if name not in self.values:
            self._missed.add(_GIVEN_BY.get(name, name))
        return name in self.values

    def _take(self, name: str) -> Any:
        if name in self.values:
            self._asked.add(_GIVEN_BY.get(name, name))
        else:
            self._missed.add(_GIVEN_BY.get(name, name))
        return self.values.get(name)

    @property
    def unused(self) -> tuple[str, ...]:
        """The facts given that nobody asked for so far, as ``KEY=VALUE``."""
        return tuple(f"{name}={text}" for name, text in self.texts.items() if name not in self._asked)

    @property
    def missed(self) -> tuple[str, ...]:
        """The facts that somebody looked for so far and nobody gave: what else would be read if it were said."""
        return tuple(name for name in FACTS if name in self._missed and name not in self.texts)

    @property
    def notes(self) -> tuple[str, ...]:
        """How the facts asked for so far were understood, where they could be taken otherwise."""
        return tuple(note for name, note in self.said.items() if name in self._asked)

    @property
    def live(self) -> bool | None:
        """Whether the chassis may stand at mains potential; None where nobody said."""
        return self.text("chassis") in LIVE if self.knows("chassis") else None

    def having(self, **facts: Any) -> SetFacts:
        """Return a copy with more facts, read as if they had been given; each takes the place of what was known before."""
        return _read(self, (f"{name}={value}" for name, value in facts.items()))

    def _with(self, name: str, text: str) -> SetFacts:
        found = _read_one(FACTS[name], text)
        values = {key: value for key, value in self.values.items() if _GIVEN_BY.get(key, key) != name}
        spread = {key: value for key, value in self.uncertainty.items() if key != name}
        said = {key: note for key, note in self.said.items() if key != name}
        return SetFacts(
            {**values, **found.values},
            {**self.texts, name: text},
            spread if found.spread is None else {**spread, name: found.spread},
            {**said, name: found.note} if found.note else said,
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


class _Found(NamedTuple):
    """What one fact gives: values by name, the half-width of a reading, how the text was understood."""

    values: dict[str, Any]
    spread: float | None = None
    note: str = ""


def _read_one(fact: Fact, text: str) -> _Found:
    if fact.name in _OWN_WAY:
        return _OWN_WAY[fact.name](text)
    if fact.choices:
        word = _SAME.get(folded(text), folded(text))
        if word not in fact.choices:
            raise UsageError(f"{fact.name}={text!r}: expected one of {', '.join(fact.choices)}")
        return _Found({fact.name: word})
    if fact.unit:
        body, spread = without_spread(text)
        value = number(body, fact.unit, fact.name)
        below = fact.name in SIGNED and body.lstrip().startswith("-")
        note = f"{fact.name} {text}: reckoned by its size, the sign left out" if below else ""
        return _Found({fact.name: value}, half_width(spread, value, fact.unit, fact.name), note)
    return _Found({fact.name: text})


def _secondary(text: str) -> _Found:
    """Volts a side, loaded or off load; ``±1%`` or ``±3 V`` is the meter's, kept as a fraction."""
    plain, spread = without_spread(text)
    found = read_winding(plain.strip())
    half = half_width(spread, found.volts, "V", "secondary")
    values = {
        "secondary": text,
        "secondary_volts": found.volts,
        "secondary_tapped": found.tapped,
        "secondary_full_wave": found.full_wave,
        "secondary_off_load": found.off_load,
    }
    return _Found(values, None if half is None else half / found.volts, found.note)


def _rectifier(text: str) -> _Found:
    found = read_rectifier(text)
    bridge = {"rectifier_bridge": True} if found.bridge else {}
    return _Found({"rectifier": found.name, **bridge}, note=found.note)


def _other_paths(text: str) -> _Found:
    return _Found(
        {"other_paths": sum(number(item, "F", "other_paths") for item in re.split(r"[\s,;+]+", text) if item)}
    )


_OWN_WAY: Mapping[str, Callable[[str], _Found]] = {
    "secondary": _secondary,
    "rectifier": _rectifier,
    "other_paths": _other_paths,
    "speaker": lambda text: _Found(read_speaker(text)),
    "lamps": lambda text: _Found({"lamps": text, **read_lamps(text)}),
    "mains_high": lambda text: _Found({"mains_high": over_nominal(text, "mains_high")}),
}
"""Facts that are written in a way of their own."""

_SAME = {
    "hot": "live", "ac-dc": "live", "allstrom": "live", "universal": "live", "transformerless": "live",
    "auto-transformer": "auto", "autotransformer": "auto", "spartrafo": "auto",
    "isolated": "floating", "transformer": "floating", "grounded": "earthed", "earth": "earthed",
    "choke": "choke-input", "capacitor": "capacitor-input",
    "pp": "push-pull", "se": "single-ended", "single": "single-ended",
}  # fmt: skip
"""Trade words that mean one of the choices."""
