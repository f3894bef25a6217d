"""Valve data: one row a type, each figure with its origin; and what a line-up of types says about a set.

``valve("6BQ5")`` finds the row of EL84 and says so. A figure is ``read`` or from ``memory``: ask ``standing_of``. The
tables are read when first asked for and then kept.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cache, lru_cache
from pathlib import Path
from typing import Any, Literal

from partsbin.reference.equivalents import Known, Namesake, namesakes, type_key
from partsbin.sources import Source, Standing, source

_TABLE = Path(__file__).with_name("valves.csv")
_GLUED = re.compile(r"([1-9])x(.+)|(.+)x([1-9])", re.IGNORECASE)  # 2xEL84, EL84x2; 6X4 is first asked for as a type
_COUNTS = (  # each way of writing a count, brought to 2xEL84 or EL84x2; words stand one space apart
    (re.compile(r" ?\( ?x? ?([1-9]) ?x? ?\)", re.IGNORECASE), r"x\1"),
    (re.compile(r"(?<!\S)([1-9])(?: x ?| ?x )(?=\S)", re.IGNORECASE), r"\1x"),
    (re.compile(r"(?<=\S) x ?([1-9])(?!\S)", re.IGNORECASE), r"x\1"),
    (re.compile(r"(?<!\S)([1-9]) (?=\S\S)"), r"\1x"),
)
_WORDS = {
    "type",
    "kind",
    "base",
    "standing",
    "also",
}  # columns kept as text; all others but source and read are figures


@dataclass(frozen=True)
class Valve:
    """One valve type. A figure that is not known is None.

    Parameters
    ----------
    type, kind, base : str
        Designation; what it is, such as ``triode output pentode``; socket.
    heater_volts, heater_amperes : float or None
        Heater, halves in parallel where it is tapped [V], [A].
    anode_volts, anode_amperes, screen_volts, screen_amperes, bias_volts : float or None
        Usual working point; the bias is negative [V], [A].
    cathode_resistor_ohm : float or None
        Resistor that gives the bias, one valve [ohm].
    transconductance_siemens, amplification_factor : float or None
        At the working point [S], [-].
    optimum_load_ohm, output_watts : float or None
        Load of one valve and what it gives [ohm], [W].
    push_pull_supply_volts, push_pull_load_ohm : float or None
        Anode voltage of a pair and its load, anode to anode [V], [ohm].
    anode_volts_max, anode_dissipation_watts, cathode_amperes_max : float or None
        Limits [V], [W], [A].
    rectifier_volts_rms_max, rectifier_amperes_max : float or None
        ONE rating point of a rectifier: more volts mean less current and more series ohms [V], [A].
    rectifier_reservoir_farads_max, rectifier_series_ohm_min : float or None
        Largest reservoir and least resistance in each anode at that point; None is unknown, not unlimited [F], [ohm].
    rectifier_peak_inverse_volts_max : float or None
        Peak inverse voltage [V].
    standing : {"read", "mixed", "memory"}
        Whether all, some or none of the figures were read in a source.
    source : tuple of str
        Keys in ``partsbin.sources``; where the row is not ``read``, the last is the memory that the rest comes from.
    read : mapping of str to str
        The figures that were read, each with the key of its source.
    also : str
        Figures of other sources or other working points, as text.
    read_as : str
        How another name was understood, such as ``6BQ5 read as EL84 (identical)``; empty for the row's own name.
    name_standing : {"read", "memory"}
        How far the reading of the name is known.
    """

    type: str
    kind: str
    base: str
    heater_volts: float | None
    heater_amperes: float | None
    anode_volts: float | None
    anode_amperes: float | None
    screen_volts: float | None
    screen_amperes: float | None
    bias_volts: float | None
    cathode_resistor_ohm: float | None
    transconductance_siemens: float | None
    amplification_factor: float | None
    optimum_load_ohm: float | None
    output_watts: float | None
    push_pull_supply_volts: float | None
    push_pull_load_ohm: float | None
    anode_volts_max: float | None
    anode_dissipation_watts: float | None
    cathode_amperes_max: float | None
    rectifier_volts_rms_max: float | None
    rectifier_amperes_max: float | None
    rectifier_reservoir_farads_max: float | None
    rectifier_series_ohm_min: float | None
    rectifier_peak_inverse_volts_max: float | None
    standing: Literal["read", "mixed", "memory"]
    source: tuple[str, ...]
    read: Mapping[str, str] = field(hash=False)
    also: str
    read_as: str = ""
    name_standing: Known = "read"

    @property
    def is_output(self) -> bool:
        """Whether the valve drives a loudspeaker."""
        return "output" in self.kind.split()

    @property
    def is_rectifier(self) -> bool:
        """Whether the valve makes HT of AC."""
        return self.kind.startswith("rectifier")

    def source_of(self, figure: str) -> Source | None:
        """Return where a figure comes from, or None if the row does not have it."""
        if getattr(self, figure) is None:
            return None
        return source(self.read.get(figure, self.source[-1]))

    def standing_of(self, figure: str) -> Known | None:
        """Return how far a figure may be trusted, or None if the row does not have it.

        Notes
        -----
        Under a name that only memory ties to the row, every figure is from memory.
        """
        if getattr(self, figure) is None:
            return None
        return "read" if figure in self.read and self.name_standing == "read" else "memory"


@cache
def valves() -> tuple[Valve, ...]:
    """Return all rows, in the order of the file."""
    with _TABLE.open(encoding="utf-8", newline="") as file:
        return tuple(_valve(row) for row in csv.DictReader(file))


@lru_cache(4096)  # a shelf of thousands has few types
def valve(type: str) -> Valve | None:
    """Return the row of a valve, under any name that means the same valve, or None if it is not known.

    Parameters
    ----------
    type : str
        Designation, whatever its case, spaces and hyphens; ``6BQ5/EL84`` is one valve with two names.

    Examples
    --------
    >>> valve("el-84").optimum_load_ohm
    5200.0
    >>> valve("6BQ5").read_as
    '6BQ5 read as EL84 (identical)'
    """
    keys = [type_key(name) for name in _EITHER_BULB.sub("", type).split("/")]
    known = [found for found in map(_named, keys) if found]
    one = len(known) == len(keys) == len(set(keys)) and len({found.type for found in known}) == 1
    return min(known, key=lambda found: found.read_as) if one else None  # the row's own name, if given, comes first


def _named(key: str) -> Valve | None:
    if key in _rows():
        return _rows()[key]
    if (name := _namesakes().get(key)) is None:
        return _in_another_bulb(key)
    doubt = "" if name.standing == "read" else ", from memory"
    understood = f"{name.name} read as {name.listed_as} (identical{doubt})"
    return replace(_rows()[type_key(name.listed_as)], read_as=understood, name_standing=name.standing)


_EITHER_BULB = re.compile(r"(?i)(?<=\dGT)/G(?![\w/])")
"""6V6GT/G was printed on those that took the place of both; from memory."""
_BULBS = (
    "GT",
    "G",
    "GA",
    "GB",
    "A",
    "GTA",
    "GTB",
)  # the first listed is the commonest; 6L6 alone means the weaker 6L6G


def _in_another_bulb(key: str) -> Valve | None:
    """Find 6V6GT for 6V6 and 5Y3GT for 5Y3: line-ups are written without the letters of the bulb."""
    if not re.fullmatch(r"\d{1,2}[A-Z]{1,2}\d{1,2}", key):
        return None
    for bulb in _BULBS:
        if (found := _rows().get(key + bulb)) is not None:
            said = f"{key} read as {found.type} (the same valve in another bulb, from memory)"
            return replace(found, read_as=said, name_standing="memory")
    return None


@cache
def _rows() -> dict[str, Valve]:
    return {type_key(row.type): row for row in valves()}


@cache
def _namesakes() -> dict[str, Namesake]:
    return namesakes(row.type for row in valves())


def _valve(row: dict[str, str]) -> Valve:
    values: dict[str, Any] = {
        name: text if name in _WORDS else float(text) if text else None
        for name, text in row.items()
        if name not in ("source", "read")
    }
    values["source"] = tuple(row["source"].split())
    values["read"] = dict(pair.split("=") for pair in row["read"].split())
    return Valve(**values)


@dataclass(frozen=True)
class Counted:
    """So many valves of one type."""

    valve: Valve
    count: int


@dataclass(frozen=True)
class Statement:
    """What a line-up says, why, and how far it may be trusted; the value is None where it says nothing."""

    value: str | float | None
    standing: Standing
    why: str


@dataclass(frozen=True)
class Lineup:
    """The valves of a set in the order written, and the words that are no valve known here.

    Parameters
    ----------
    valves : tuple of Counted
        Known valves.
    unknown : tuple of str
        The rest, as written.
    """

    valves: tuple[Counted, ...]
    unknown: tuple[str, ...]

    @property
    def output(self) -> Counted | None:
        """The output valves and how many; None if there are none, or of several types."""
        return self._only([item for item in self.valves if item.valve.is_output])

    @property
    def rectifier(self) -> Counted | None:
        """The rectifier and how many; None if there is none, or of several types."""
        return self._only([item for item in self.valves if item.valve.is_rectifier])

    @property
    def single_ended(self) -> bool:
        """Whether one output valve alone is known; a guess, see `topology`."""
        return self.topology.value == "single-ended"

    @property
    def push_pull(self) -> bool:
        """Whether two output valves alike are known; a guess, see `topology`."""
        return self.topology.value == "push-pull"

    @property
    def topology(self) -> Statement:
        """Single-ended or push-pull, guessed from the number of output valves."""
        doubt = f"; not known here: {', '.join(self.unknown)}" if self.unknown else ""
        output = self.output
        if output is None:
            several = any(item.valve.is_output for item in self.valves)
            return Statement(
                None, "practice", ("output valves of several types" if several else "no output valve") + doubt
            )
        name = f"{output.count} {output.valve.type}"
        if output.count == 1:
            return Statement("single-ended", "practice", f"{name}: one output valve works single-ended{doubt}")
        if output.count == 2:
            return Statement("push-pull", "practice", f"{name}: push-pull, unless two channels single-ended{doubt}")
        return Statement(None, "practice", f"{name}: push-pull in parallel, or several channels{doubt}")

    @property
    def load(self) -> Statement:
        """The load [ohm] that the output valves want, anode to anode for a pair."""
        output, topology = self.output, self.topology
        if output is None or topology.value is None:
            return topology
        pair = topology.value == "push-pull"
        figure, at = ("push_pull_load_ohm", "push_pull_supply_volts") if pair else ("optimum_load_ohm", "anode_volts")
        load, volts = getattr(output.valve, figure), getattr(output.valve, at)
        name = f"{output.count} {output.valve.type} {topology.value}"
        if load is None:
            return Statement(None, topology.standing, f"{name}: no load known here")
        where = "anode to anode at" if pair else "at"
        return Statement(
            load, output.valve.standing_of(figure) or "memory", f"{name}: {load:g} ohm {where} {volts:g} V"
        )

    def _only(self, items: list[Counted]) -> Counted | None:
        types = {item.valve.type for item in items}
        return replace(items[0], count=sum(item.count for item in items)) if len(types) == 1 else None


def lineup(text: str) -> Lineup:
    """Return the valves of a set from a list of their types.

    Parameters
    ----------
    text : str
        Types with any separators, counts before or behind: ``ECC83 2xECL86 EZ81``.

    Examples
    --------
    >>> found = lineup("ECH81, EBF89, 2×EL84, XY99")
    >>> found.output.count, found.push_pull, found.unknown
    (2, True, ('XY99',))
    """
    words = [word for word in re.split(r"[\s,;+&]+|\b(?:and|und)\b", re.sub("[×*]", "x", text)) if word.strip(".:/-–—")]
    plain = " ".join(_joined(words))
    for pattern, glued in _COUNTS:
        plain = pattern.sub(glued, plain)
    taken: list[Counted] = []
    unknown: list[str] = []
    for word in plain.split():
        found = _counted(word.strip("().:"))
        taken += found
        if not found:
            unknown.append(word)
    return Lineup(tuple(taken), tuple(unknown))


def _joined(words: list[str]) -> list[str]:
    """Put together what a space tore apart: ``EL 84`` is one valve, though 84 is a rectifier; ``6V6 GT`` likewise."""
    joined: list[str] = []
    for word in words:
        before = re.sub(r"^[1-9]x(?=\D)", "", joined[-1], flags=re.IGNORECASE) if joined else ""
        torn = (before.isalpha() and word[0].isdigit()) or (before[-1:].isdigit() and word.isalpha())
        if torn and valve(before + word):
            joined[-1] += word
        else:
            joined.append(word)
    return joined


def _counted(word: str) -> list[Counted]:
    """Return the valve or valves of one word, or nothing if it holds anything else."""
    if whole := valve(word):
        return [Counted(whole, 1)]
    if glued := _GLUED.fullmatch(word):
        count, name = (glued[1], glued[2]) if glued[1] else (glued[4], glued[3])
        if named := valve(name):
            return [Counted(named, int(count))]
    pieces = [valve(piece) for piece in re.split("[-/–—]", word)]
    return [Counted(piece, 1) for piece in pieces if piece] if len(pieces) > 1 and all(pieces) else []
