"""What is marked on a valve, and what one offers: its type's rows of the tables, and what was read on it."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from typing import Any, Literal

from partsbin.families._declare import Facts, Item, Measured, Option, fact
from partsbin.notation.reading import Reading
from partsbin.notation.valve import read_valve
from partsbin.reference.equivalents import type_key
from partsbin.reference.substitutes import is_listed, listed_types, rectifier_limits
from partsbin.reference.valves import Valve, valve

LONG = 4  # signs; fewer, such as 80 or N78, may be a count or a place on a diagram
VALUE = re.compile(r"[0-9]+[KMRNPUFV][0-9]+", re.IGNORECASE)  # 14K7 may be 14.7 kΩ
AMOUNT = re.compile(r"[0-9.]+[KMRNPUFV][0-9]*", re.IGNORECASE)
Base = Literal[
    "IO", "B7G", "B8A", "B8G", "B9A", "P8A", "Y8A", "UX4", "UX5", "UX6", "UX7", "Mazda octal", "wire-ended subminiature"
]


BEFORE_BASE = "\t"
"""What stands before the base in the name that a valve is looked up by; no base holds it."""

BEST = {"emission": math.inf, "gas": 0.0, "insulation": math.inf}
"""What is read on a valve, as no valve is better."""


class ValveFacts(Facts):
    """What is marked on a valve: its type says the rest."""

    valve_type: str | None = fact("type designation, other names behind a stroke: ECC83/12AX7")
    base: Base | None = fact("base, where it is not that of the type")


def read(text: str) -> list[Reading]:
    """Return what a description says; a designation that looks like a number is one if the tables hold it."""
    found = read_valve(text)
    name = text.strip()
    if not found and len(name) >= LONG and not VALUE.fullmatch(name) and is_listed(name):
        found = read_valve(f"valve {name}")
    return [reading for reading in found if not _is_amount(str(reading.fields.get("valve_type", "")))]


def _is_amount(name: str) -> bool:
    """Whether a designation that no table holds is an amount: 470K is no valve, 6K7 is one."""
    return bool(AMOUNT.fullmatch(name)) and not is_listed(name)


def title(facts: ValveFacts) -> str:
    """Return the part in trade notation; a type of digits alone is no valve without the word."""
    name = facts.valve_type or ""
    word = "valve " if not name or name.replace("/", "").isdigit() else ""
    return " ".join(f"{word}{name} {facts.base or ''}".split())


def mercury(item: Item) -> tuple[str, ...]:
    """Return the hazard of a mercury-vapour rectifier."""
    row = valve(item.facts.valve_type or "")
    vapour = row is not None and "mercury" in row.kind
    return (
        ("mercury vapour inside: if it breaks, air the room, take the drops up with tape, no vacuum cleaner",)
        if vapour
        else ()
    )


def options(item: Item) -> Sequence[Option]:
    """Return the one way of using a valve: plugged in."""
    facts: ValveFacts = item.facts
    row = valve(facts.valve_type) if facts.valve_type else None
    called = f"{facts.valve_type or ''}{BEFORE_BASE}{facts.base or ''}"
    offers: dict[str, Any] = {
        "called": called, "condition": item.condition, "tested": "yes" if item.readings else "",
        **told(called), **_read(row, item),
    }  # fmt: skip
    return [Option("", offers, (row.read_as,) if row is not None and row.read_as else ())]


def told(called: str) -> Mapping[str, Any]:
    """Return what follows from the type, and from the base where one is marked: the same for all valves that are called so."""
    type, _, base = called.rpartition(BEFORE_BASE)
    row = valve(type) if type else None
    return {"one": 1.0, "type": type, "base": base or (row.base if row else ""), **_rated(row, type)}


def listed(text: str) -> frozenset[str]:
    """Return the names of valves of no marked base: of types that tables know, and of those that a text may hold."""
    said = {key for word in re.split(r"[\s/,;]+", text) if re.search(r"\d", key := type_key(word))}
    return frozenset(f"{type}{BEFORE_BASE}" for type in listed_types() | said)


def owes(offers: Mapping[str, Any]) -> bool:
    """Return whether its keys leave open what was read on it: of one that nobody has tested they say all."""
    return bool(offers["tested"])


def _rated(row: Valve | None, type: str) -> dict[str, float | None]:
    limits = rectifier_limits(type) if type else None
    columns = {
        "heater_volts": "heater_volts", "heater_amperes": "heater_amperes", "dissipation": "anode_dissipation_watts",
        "anode_volts_max": "anode_volts_max", "rectified": "rectifier_amperes_max", "volts_a_side": "rectifier_volts_rms_max",
    }  # fmt: skip
    return {
        **{name: getattr(row, column, None) for name, column in columns.items()},
        "heater_cathode": limits.heater_cathode_volts if limits else None,
    }


def _read(row: Valve | None, item: Item) -> dict[str, float | None]:
    """What was read on this very valve, at its worse end; current and slope as a share of the type's."""
    shares = [_low(item.readings.get(name)) for name in ("emission", "gm")]
    current, usual = _low(item.readings.get("anode_current")), row.anode_amperes if row else None
    if current is not None and usual:
        shares.append(current / usual)
    known = [share for share in shares if share is not None]
    gas = item.readings.get("gas")
    return {
        "emission": min(known) if known else None,
        "gas": None if gas is None else gas.value + gas.uncertainty,
        "insulation": _low(item.readings.get("insulation")),
    }


def _low(read: Measured | None) -> float | None:
    return None if read is None else read.value - read.uncertainty
