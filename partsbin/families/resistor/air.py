"""What a resistor bears in the air of its position: its watts, derated by what it is made of."""

from __future__ import annotations

from typing import Any

import numpy as np

from partsbin.checks import Columns, Numbers
from partsbin.circuit.resistors import derated_power
from partsbin.families.resistor.facts import TECHNOLOGIES
from partsbin.needs import Need


def by_technology(need: Need, section: str, words: Any) -> Numbers:
    """Return the figure of a section of the rules for each technology [°C or -]."""
    return _each(
        {name: float(need.rules.get(section, name, need.rules.get(section, "other"))) for name in TECHNOLOGIES}, words
    )


def share_left(need: Need, words: Any, ambient: float) -> Numbers:
    """Return the share of the rating that is left in air so warm [-]; of a make that nobody knows the least of all makes."""
    table = {}
    for name in filter(None, TECHNOLOGIES):
        full, zero = (float(need.rules.get(section, name)) for section in ("full_to", "zero_at"))
        table[name] = float(derated_power(1.0, ambient, full, zero))
    return _each({**table, "": min(table.values())}, words)


def watts_borne(need: Need, c: Columns, power: Numbers | None = None) -> Numbers:
    """Return the watts that a part bears in the air of its position [W]."""
    rated = c["power"] if power is None else power
    borne: Numbers = rated * share_left(need, c["technology"], need.number("ambient"))
    return borne


def _each(table: dict[str, float], words: Any) -> Numbers:
    return np.array([table[word] for word in words], dtype=np.float64)
