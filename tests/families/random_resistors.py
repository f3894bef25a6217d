"""Random resistors, messy as a shelf: old composition, films, wire, tapped droppers, half of it unknown."""

from __future__ import annotations

import random
from typing import Any

from partsbin.families import load
from partsbin.families.resistor.facts import TECHNOLOGIES
from partsbin.stock.catalogue import Draft, NewReading

E12 = (1.0, 1.2, 1.5, 1.8, 2.2, 2.7, 3.3, 3.9, 4.7, 5.6, 6.8, 8.2)
WATTS = (0.125, 0.25, 0.5, 0.5, 1.0, 2.0, 5.0, 10.0, 25.0)
CONDITIONS = ("new", "new", "unused-old", "salvaged", "salvaged", "")
RESISTOR_TEXTS = (
    "", "470k 1/2W", "1M", "1 k 2W", "150R 1W", "22k 1W fusible", "100R 5W", "2.2M 1/4W", "800R 25W",
)  # fmt: skip


def resistor(source: random.Random) -> Draft:
    """Return a random resistor, one in ten of them tapped."""

    def maybe(value: Any, known: float) -> Any:
        return value if source.random() < known else None

    value = source.choice(E12) * 10 ** source.randint(1, 6)
    fields: dict[str, Any] = {
        "resistance": maybe(value, 0.9), "tolerance": maybe(source.choice((0.01, 0.05, 0.1, 0.2)), 0.6),
        "power": maybe(source.choice(WATTS), 0.8), "voltage_limit": maybe(float(source.choice((150, 250, 350, 500, 1600))), 0.3),
        "technology": maybe(source.choice(TECHNOLOGIES[1:]), 0.75), "length": maybe(source.choice((0.0063, 0.012, 0.05)), 0.3),
        "temperature_max": maybe(float(source.choice((65, 125, 155, 275))), 0.15),
    }  # fmt: skip
    fields |= {
        name: maybe(source.random() < 0.5, 0.25) for name in ("fusible", "non_inductive", "pulse_rated", "bridging")
    }
    if source.random() < 0.1:
        fields["taps"] = [
            {"resistance": maybe(source.choice(E12) * 100, 0.9), "current": maybe(source.choice((0.1, 0.3)), 0.5)}
            for _ in range(source.randint(2, 4))
        ]
    return Draft(
        "resistor",
        load("resistor").facts.model_validate(fields),
        condition=source.choice(CONDITIONS),
        count=source.choice((1, 1, 2, 10)),
        readings=tuple(_readings(source, value, bool(fields.get("taps")))),
    )


def _readings(source: random.Random, value: float, tapped: bool) -> list[NewReading]:
    if source.random() < 0.5:
        return []
    measured = value * source.uniform(0.7, 1.8)
    return [
        NewReading(
            f"resistance{'@1' if tapped else ''}", measured, "ohm", measured * source.choice((0.005, 0.02, 0.05))
        )
    ]
