"""Random parts, sets and needs of the two families: messy as a shelf, half of it unknown."""

from __future__ import annotations

import random
from collections.abc import Callable
from functools import partial
from typing import Any

from partsbin.families import load
from partsbin.families._declare import Item, Measured
from partsbin.families._mains_checks import CLASSES
from partsbin.families.capacitor.facts import DIELECTRICS, MOUNTINGS
from partsbin.needs import Request
from partsbin.rules import load_rules
from partsbin.sets import read_facts
from partsbin.stock.catalogue import Draft, NewReading
from tests.families import random_any
from tests.families.random_resistors import RESISTOR_TEXTS, resistor

E6 = (1.0, 1.5, 2.2, 3.3, 4.7, 6.8)
VOLTS = (6.3, 12, 25, 50, 63, 100, 160, 250, 350, 400, 450, 500, 630, 1000, 1600)
CONDITIONS = ("new", "new", "unused-old", "salvaged", "salvaged", "")


def maybe(source: random.Random, value: Any, known: float = 0.7) -> Any:
    """Return the value, or None where nobody knows it."""
    return value if source.random() < known else None


def capacitor(source: random.Random) -> Draft:
    """Return a random capacitor."""
    value = source.choice(E6) * 10 ** source.randint(-11, -5)
    dielectric = maybe(source, source.choice(DIELECTRICS[1:]), 0.8)
    fields: dict[str, Any] = {
        "capacitance": maybe(source, value, 0.9), "tolerance": maybe(source, source.choice((0.01, 0.05, 0.1, 0.2, 0.5)), 0.5),
        "voltage_dc": maybe(source, float(source.choice(VOLTS)), 0.85),
        "voltage_ac": maybe(source, float(source.choice((125, 250, 275, 400))), 0.2),
        "dielectric": dielectric, "safety_class": maybe(source, source.choice(CLASSES[1:]), 0.15),
        "polarised": maybe(source, source.random() < 0.5, 0.2), "mounting": maybe(source, source.choice(MOUNTINGS[1:]), 0.4),
        "ripple_current": maybe(source, source.choice((0.05, 0.2, 0.6)), 0.2),
    }  # fmt: skip
    if source.random() < 0.15:
        sections = [
            {
                "capacitance": maybe(source, source.choice((8e-6, 16e-6, 32e-6, 50e-6)), 0.9),
                "voltage_dc": maybe(source, float(source.choice((350, 450, 500))), 0.9),
            }
            for _ in range(source.randint(2, 4))
        ]
        fields |= {"capacitance": None, "voltage_dc": None, "sections": sections}
    condition = source.choice(CONDITIONS)
    return Draft(
        "capacitor",
        load("capacitor").facts.model_validate(fields),
        condition=condition,
        count=source.choice((1, 1, 2, 10)),
        readings=tuple(_capacitor_readings(source, value, bool(fields.get("sections")))),
    )


def _capacitor_readings(source: random.Random, value: float, can: bool) -> list[NewReading]:
    made = []
    at = "@1" if can else ""
    if source.random() < 0.4:
        measured = value * source.uniform(0.6, 1.6)
        made.append(NewReading(f"capacitance{at}", measured, "F", measured * source.choice((0.005, 0.02, 0.1))))
    if source.random() < 0.4:
        made.append(
            NewReading(
                f"leakage{at}",
                10 ** source.uniform(-9, -3),
                "A",
                0.0,
                {"volts": float(source.choice((10, 50, 250, 350, 450)))},
            )
        )
    return made


def transformer(source: random.Random) -> Draft:
    """Return a random transformer."""
    pairs = [
        {"ratio": maybe(source, round(source.uniform(3, 90), 1), 0.8), "secondary_impedance": maybe(source, 3.0, 0.3)}
        for _ in range(source.choice((0, 1, 1, 1, 3)))
    ]
    fields: dict[str, Any] = {
        "kind": maybe(source, source.choice(("output", "output", "output", "mains", "line", "interstage", "auto")), 0.8),
        "topology": maybe(source, source.choice(("single-ended", "push-pull")), 0.5), "pairs": pairs,
        "primary_resistance": maybe(source, source.uniform(80, 2500), 0.6),
        "secondary_resistance": maybe(source, source.uniform(0.1, 1.5), 0.6),
        "centre_tapped": maybe(source, source.random() < 0.5, 0.6), "gapped": maybe(source, source.random() < 0.5, 0.4),
        "dc_current": maybe(source, source.choice((0.02, 0.036, 0.048, 0.06, 0.1)), 0.4),
        "power": maybe(source, source.choice((2.0, 5.0, 10.0, 20.0)), 0.5),
        "served": maybe(source, source.choice(("EL84", "UL84", "2xEL84", "EL41")), 0.3),
    }  # fmt: skip
    if fields["kind"] in (None, "mains", "auto"):
        fields["windings"] = windings(source)
    readings = []
    if source.random() < 0.5:
        readings.append(
            NewReading(
                "insulation",
                10 ** source.uniform(5, 9),
                "ohm",
                0.0,
                {"volts": float(source.choice((100, 500, 500, 1000)))},
            )
        )
    if source.random() < 0.3 and pairs:
        ratio = source.uniform(3, 90)
        readings.append(NewReading("ratio", ratio, "-", ratio * source.choice((0.01, 0.04))))
    return Draft(
        "transformer",
        load("transformer").facts.model_validate(fields),
        condition=source.choice(CONDITIONS),
        count=source.choice((1, 1, 3)),
        readings=tuple(readings),
    )


def windings(source: random.Random) -> list[dict[str, Any]]:
    """Return random windings of iron on the mains: often one is missing, or its current is."""
    side = source.choice((200.0, 250.0, 280.0, 300.0, 350.0))
    split = f"{side:g}-0-{side:g} V" if source.random() < 0.8 else f"{side:g} V"
    rows = [
        maybe(
            source, {"name": "primary", "voltage": 240.0, "taps": source.choice((None, "220/240 V", "110/230 V"))}, 0.6
        ),
        maybe(
            source,
            {"name": split, "voltage": side, "current": maybe(source, source.choice((0.05, 0.08, 0.12)), 0.7)},
            0.8,
        ),
        maybe(
            source,
            {"name": "6.3 V", "voltage": 6.3, "current": maybe(source, source.choice((1.5, 3.0, 4.0)), 0.8)},
            0.8,
        ),
        maybe(source, {"name": "6.3 V", "voltage": 6.3, "current": maybe(source, 1.0, 0.8)}, 0.3),
        maybe(source, {"name": "5 V", "voltage": 5.0, "current": maybe(source, 2.0, 0.8)}, 0.4),
    ]
    return [row for row in rows if row is not None]


class _Makers(dict[str, Callable[[random.Random], Draft]]):
    """A maker for every family: one of its own, else one that follows from its declaration."""

    def __missing__(self, name: str) -> Callable[[random.Random], Draft]:
        return partial(random_any.draft, name=name)


MAKERS = _Makers(capacitor=capacitor, transformer=transformer, resistor=resistor)


def item(draft: Draft) -> Item:
    """Return a draft as its family sees it."""
    return Item(
        draft.facts,
        draft.condition,
        {r.quantity: Measured(r.value, r.uncertainty, r.conditions) for r in draft.readings},
    )


def facts_of_set(source: random.Random, family: str) -> list[str]:
    """Return random facts of a set."""
    given = []

    def add(known: float, *choices: str) -> None:
        if source.random() < known:
            given.append(source.choice(choices))

    add(0.5, "chassis=live", "chassis=floating", "chassis=earthed", "chassis=auto", "chassis=live-behind-capacitor")
    add(0.4, "rail=12", "rail=90", "rail=180", "rail=250", "rail=330")
    add(0.3, "mains=230", "mains=240", "mains=117")
    if family not in ("capacitor", "transformer"):
        add(0.4, "current=60mA", "current=300mA", "current=1A")
        add(0.3, "ambient=55", "ambient=70")
    if family == "transformer":
        add(0.3, "secondary=250-0-250", "secondary=230", "secondary=250 bridge")
        add(0.2, "rectifier=EZ80", "rectifier=5Y3GT", "rectifier=silicon")
        add(0.2, "current=60mA")
    else:
        add(0.4, "secondary=250-0-250", "secondary=286-0-286 off-load±1%", "secondary=350-0-350", "secondary=230")
        add(0.3, "anode=90", "anode=180")
        add(0.3, "grid_leak=470k", "grid_leak=1M")
        add(0.3, "current=60mA", "current=100mA")
        add(0.3, "winding_resistance=200")
        add(0.3, "rectifier=EZ81", "rectifier=silicon", "rectifier=EZ80")
        add(0.2, "other_paths=1n", "other_paths=4.7n")
    if family != "capacitor":
        add(
            0.7,
            "lineup=ECH81 EBF89 EABC80 EL84 EZ80",
            "lineup=UCH81 UL84 UY85",
            "lineup=EF86 ECC83 2xEL84 EZ81",
            "valve=EL41",
        )
        add(0.7, "speaker=3", "speaker=8", "speaker=100 V 20 W")
        add(0.2, "topology=single-ended", "topology=push-pull")
    return given


def request(source: random.Random, family: str) -> Request:
    """Return a random need as a repairer would give it."""
    positions = load_rules(family).positions
    texts = {
        "capacitor": ("", "0.02uF 350V", "0.1uF", "32uF 350V", "25uF 25V", "200pF", "4.7nF"),
        "transformer": ("", "5k2:3Ω", "8k:15Ω", "mains transformer 250-0-250 80mA 6.3V 3A 5V 2A"),
        "resistor": RESISTOR_TEXTS,
    }
    text = source.choice(texts[family]) if family in texts else random_any.text(source, family)
    return Request(family, text, source.choice(positions), {}, read_facts(facts_of_set(source, family)))
