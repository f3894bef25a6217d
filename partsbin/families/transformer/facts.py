"""What is marked on a transformer, and the words for it."""

from __future__ import annotations

from typing import Literal

from partsbin.families._declare import (
    Facts,
    fact,
    facts_list,
)
from partsbin.words import say

KINDS = ("", "output", "mains", "interstage", "driver", "line", "heater", "isolating", "auto")
SPEAKERS = (3.0, 4.0, 5.0, 8.0, 15.0, 16.0)
TEST_VOLTS = 20.0


class Winding(Facts):
    """One winding."""

    name: str | None = fact("name of the winding")
    taps: str | None = fact("taps, in the maker's words")
    voltage: float | None = fact("rated volts, RMS", unit="V", gt=0, le=100e3)
    current: float | None = fact("rated current", unit="A", gt=0, le=1000)
    resistance: float | None = fact("DC resistance", unit="ohm", gt=0, le=1e6)


class Pair(Facts):
    """A primary tap with a secondary tap: a way of using the transformer."""

    primary: str | None = fact("name of the primary or its tap")
    secondary: str | None = fact("name of the secondary or its tap")
    ratio: float | None = fact("turns ratio, primary over secondary", unit="-", gt=0, le=10_000)
    primary_impedance: float | None = fact("primary impedance as marked", unit="ohm", gt=0, le=1e7)
    secondary_impedance: float | None = fact("loudspeaker as marked", unit="ohm", gt=0, le=1e5)
    primary_resistance: float | None = fact("copper of this primary", unit="ohm", gt=0, le=1e6)
    secondary_resistance: float | None = fact("copper of this secondary", unit="ohm", gt=0, le=1e5)


class TransformerFacts(Facts):
    """What is marked on a transformer."""

    kind: Literal["output", "mains", "interstage", "driver", "line", "heater", "isolating", "auto"] | None = fact(
        "what it was made for"
    )
    topology: Literal["single-ended", "push-pull"] | None = fact("output stage it was made for")
    windings: tuple[Winding, ...] = facts_list("windings")
    pairs: tuple[Pair, ...] = facts_list("ratio per winding pair")
    primary_resistance: float | None = fact("DC resistance of the whole primary", unit="ohm", gt=0, le=1e6)
    secondary_resistance: float | None = fact("DC resistance of the secondary", unit="ohm", gt=0, le=1e5)
    primary_inductance: float | None = fact("primary inductance", unit="H", gt=0, le=1e4)
    dc_current: float | None = fact("standing current the iron bears", unit="A", gt=0, le=100)
    gapped: bool | None = fact("core has an air gap")
    centre_tapped: bool | None = fact("primary has a centre tap")
    hum_tap: bool | None = fact("primary has a hum tap")
    power: float | None = fact("watts or volt-amperes", unit="W", gt=0, le=100e3)
    insulation_voltage: float | None = fact("test volts of the insulation", unit="V", gt=0, le=100e3)
    frequency: float | None = fact("lowest frequency at full power", unit="Hz", gt=0, le=1e6)
    core_area: float | None = fact("cross section of the centre limb", unit="m²", gt=0, le=1)
    line_voltage: float | None = fact("loudspeaker line", unit="V", gt=0, le=1000)
    served: str | None = fact("valves it was made for or carried")
    fixing: str | None = fact("how it is held")


def title(facts: TransformerFacts) -> str:
    """Return the part in trade notation."""
    pairs = [_turns(pair.ratio) for pair in facts.pairs if pair.ratio]
    loads = [
        f"{say(pair.primary_impedance, 'ohm')}:{say(pair.secondary_impedance, 'ohm')}"
        for pair in facts.pairs
        if pair.primary_impedance and pair.secondary_impedance
    ]
    parts = [
        facts.topology or "",
        f"{facts.kind or ''} transformer".strip(),
        ", ".join(loads or pairs),
        ", ".join(filter(None, map(_winding, facts.windings))),
        f"{say(facts.power, 'W')}" if facts.power else "",
        f"({facts.served})" if facts.served else "",
    ]
    return " ".join(part for part in parts if part)


def _turns(ratio: float) -> str:
    return f"{ratio:.3g}:1" if ratio >= 1 else f"1:{1 / ratio:.3g}"


def _winding(row: Winding) -> str:
    """One winding as the trade writes it, the primary without the word where its volts stand first."""
    name = row.name if row.name and any(sign.isdigit() for sign in row.name) else None
    given = row.taps or name or (say(row.voltage, "V") if row.voltage else "")
    label = row.name if row.name and name is None else ""
    return " ".join(filter(None, (label, given, say(row.current, "A") if row.current else "")))
