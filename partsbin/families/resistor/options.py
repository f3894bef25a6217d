"""The ways of using a resistor: the one there is, or any run of sections of a tapped one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from partsbin.circuit.resistors import power_of_current, section_power
from partsbin.families._declare import Item, Measured, Option, known
from partsbin.families.resistor.facts import ResistorFacts
from partsbin.rules import Rules, load_rules
from partsbin.words import say, volts

BODIES = ((2.0, "two"), (1.0, "one"), (0.4, "half"), (0.2, "quarter"), (0.0, "eighth"))
"""Least watts of a class of bodies, with its section of the rules."""

SMALL_BODY = (
    0.0075  # m, up to which a body of half a watt and more is of the small kind: 6.3 mm and the spread of makers
)
WIRE_OHMS = (
    2200.0  # ohm above which nobody sells a wire-wound body without naming its watts: common practice, no source
)
MARKED, BY_STYLE, PRESUMED, FLOOR = 0.0, 1.0, 2.0, 3.0
"""How a limiting voltage was come by: marked, by style and watts, by a style that is presumed, or as the lowest of any make."""
_FLAGS = ("fusible", "non_inductive", "pulse_rated", "bridging")


@dataclass(frozen=True)
class _Way:
    """One way: its label, ohms, watts and reading."""

    label: str = ""
    resistance: float | None = None
    power: float | None = None
    reading: Measured | None = None


def options(item: Item) -> Sequence[Option]:
    """Return the resistor, and of a tapped one each section and each run of neighbours."""
    facts: ResistorFacts = item.facts
    values = [tap.resistance for tap in facts.taps]
    total = facts.resistance or (sum(v for v in values if v) if values and all(values) else None)
    whole = _Way("", total, facts.power, item.readings.get("resistance"))
    if len(values) < 2:
        return (_option(item, whole),)
    runs = [(i, j) for i in range(len(values)) for j in range(i + 1, len(values) + 1) if j - i < len(values)]
    return (_option(item, whole), *(_option(item, _run(item, first, last, total)) for first, last in runs))


def _run(item: Item, first: int, last: int, total: float | None) -> _Way:
    """A run of sections: ohms add, the weakest section sets the current, else the watts are shared by ohms."""
    facts: ResistorFacts = item.facts
    taps = facts.taps[first:last]
    ohms = [tap.resistance for tap in taps]
    value = sum(one for one in ohms if one) if all(ohms) else None
    readings = [item.readings.get(f"resistance@{number}") for number in range(first + 1, last + 1)]
    read = [one for one in readings if one is not None]
    reading = Measured(sum(r.value for r in read), sum(r.uncertainty for r in read)) if len(read) == len(taps) else None
    currents = [tap.current for tap in taps]
    power = None
    if value is not None and all(currents):
        power = float(power_of_current(value, min(current for current in currents if current)))
    elif value is not None and facts.power and total:
        power = float(section_power(facts.power, value, total))
    label = f"section {first + 1}" if last == first + 1 else f"sections {first + 1} to {last}"
    return _Way(label, value, power, reading)


def _option(item: Item, way: _Way) -> Option:
    facts: ResistorFacts = item.facts
    rules = load_rules("resistor")
    assumed: list[str] = []
    technology = facts.technology or _presumed(item, rules, assumed)
    value, low, high = _interval(item, technology, way, rules, assumed)
    limit, taken = _element(item, technology, rules, assumed)
    if way.label and way.power is not None and not all(tap.current for tap in facts.taps):
        assumed.append(f"of the whole resistor's watts the sections' share: {say(way.power, 'W')}")
    zero_at = rules.get("zero_at", technology, rules.get("zero_at", "other"))
    offers: dict[str, float | str | None] = {
        "resistance": value,
        "resistance_low": low,
        "resistance_high": high,
        "measured": 1.0 if way.reading else 0.0,
        "power": way.power,
        "voltage": limit,
        "limit_taken": taken,
        "technology": technology,
        "condition": item.condition,
        "temperature_max": facts.temperature_max or float(zero_at),
        "length": facts.length,
    }
    flags = {name: getattr(facts, name) for name in _FLAGS}
    return Option(
        way.label,
        {**offers, **{name: None if flag is None else float(flag) for name, flag in flags.items()}},
        tuple(assumed),
    )


def _presumed(item: Item, rules: Rules, assumed: list[str]) -> str:
    """A new small body that says nothing is carbon film, the humblest that is sold; of an old one nobody can tell."""
    power, ohms = item.facts.power, item.facts.resistance
    small = power <= rules.general("film_watts") if power is not None else (ohms or 0.0) > WIRE_OHMS
    if item.condition != "new" or not small or item.facts.taps:
        return ""
    assumed.append("technology not marked: new and small, taken as carbon film")
    return "carbon-film"


def _interval(
    item: Item, technology: str, way: _Way, rules: Rules, assumed: list[str]
) -> tuple[float | None, float | None, float | None]:
    """Measured ± uncertainty, else marked ± tolerance, else marked ± what is usual for the technology."""
    facts: ResistorFacts = item.facts
    if way.reading is not None:
        read, spread = way.reading.value, way.reading.uncertainty
        return read, read - spread, read + spread
    if way.resistance is None:
        return None, None, None
    if facts.tolerance is not None:
        low, high = -facts.tolerance, facts.tolerance
    elif facts.tolerance_low is not None or facts.tolerance_high is not None:
        low, high = facts.tolerance_low or 0.0, facts.tolerance_high or 0.0
    else:
        key = f"new-{technology or 'other'}" if item.condition == "new" else technology
        tables = (rules.get("tolerance", name) for name in (key, technology, "other"))
        low, high = next(table for table in tables if table is not None)
        assumed.append(f"tolerance not marked: ±{high:.0%} taken")
    return way.resistance, way.resistance * (1 + low), way.resistance * (1 + high)


def body(power: float) -> str:
    """Return the section of the rules that a body of so many watts belongs to."""
    return next(name for least, name in BODIES if power >= least)


def _element(item: Item, technology: str, rules: Rules, assumed: list[str]) -> tuple[float | None, float]:
    """Limiting element voltage and how it was come by.

    Of a new body, or of old composition, it follows from the watts, else it is not known. What is made to bridge insulation
    bears more than its watts tell: it is looked up.
    """
    facts: ResistorFacts = item.facts
    if facts.voltage_limit is not None:
        return facts.voltage_limit, MARKED
    trusted = item.condition == "new" or technology == "carbon-composition"
    if facts.power is None or not trusted or facts.bridging:
        return None, MARKED
    small = facts.length is not None and facts.length <= SMALL_BODY and facts.power >= BODIES[2][0]
    section = f"element_{body(facts.power)}"
    row = "small" if small else technology
    listed = rules.get(section, row) if row else None
    limit = float(rules.get(section, "other") if listed is None else listed)
    assumed.append(f"limiting voltage not marked: {volts(limit)} taken, {'small body' if small else 'style'} and watts")
    if listed is None or (small and not facts.technology):
        return limit, FLOOR
    return limit, BY_STYLE if facts.technology else PRESUMED


def owes(offers: Mapping[str, object]) -> bool:
    """Return whether a datum outside the search keys is missing: the limiting voltage alone is asked of a part."""
    return not known(offers, "voltage") or offers.get("limit_taken") in (PRESUMED, FLOOR)
