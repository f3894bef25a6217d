"""Materials that harm: one line on a part whose family may contain one, or whose own words name one.

Each line says what to do; the key beside it says where that stands. A new part is made without them and has no line unless
its words name the material.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from partsbin.families._declare import Item

Hazards = Callable[[Item], tuple[str, ...]]
ON_A_WASHER = 5.0  # A from which an old diode may sit on a beryllia washer: common practice, no source


@dataclass(frozen=True)
class Material:
    """What it is called in a description, what to do about it, and where that stands."""

    words: str
    line: str
    source: str


PCB = Material(
    r"pyranol|pcb[ -]?(?:oil|filled)|oil[ -]?filled|in oil",
    "oil of before July 1979 or of unknown date: treat it as PCB, gloves and a sealed bag (40 CFR 761.2)",
    "cfr-761",
)
ASBESTOS = Material(
    r"asbestos|asbest\b",
    "pads, cords and linings of its age may hold asbestos: wet, bag, never scrape or blow",
    "stanwatkins",
)
SELENIUM = Material(
    r"selenium|selen\b", "selenium: poisonous when it burns; do not file, scrape or heat it", "selenium-bonkowski"
)
BERYLLIA = Material(
    r"beryllia|beryllium|\bbeo\b",
    "white ceramic may be beryllia, harmless whole: never break, file or sand it",
    "us-extra-pool",
)
RADIUM = Material(
    r"radium|luminous|leuchtfarbe|\bra ?-?226\b",
    "luminous paint of before 1960 may hold radium: do not open, scrape or dust it, wash your hands",
    "memory",
)
LEAD = Material(r"lead paint|red lead|bleifarbe", "old paint may hold lead: no dry sanding, wash your hands", "nost89")
CADMIUM = Material(
    r"cadmium|cad[ -]plated", "old plating may hold cadmium: no sanding, no heat, wash your hands", "nost89"
)
MATERIALS = {
    "PCB": PCB, "asbestos": ASBESTOS, "selenium": SELENIUM, "beryllia": BERYLLIA, "radium": RADIUM, "lead": LEAD, "cadmium": CADMIUM,
}  # fmt: skip
_ANY = re.compile("|".join(material.words for material in MATERIALS.values()))
_DENIED = r"\b(?:no|not|non|without|free of|ohne|kein)[ -]+(?:any +|a +)?(?:{0})|(?:{0})[ -]+free"


def named(item: Item) -> tuple[Material, ...]:
    """Return the materials that a part's own words name; a denial names none."""
    text = item.marking.lower()
    if not _ANY.search(text):  # as of nearly every part
        return ()
    found = [m for m in MATERIALS.values() if re.search(m.words, text)]
    return tuple(m for m in found if not re.search(_DENIED.format(m.words), text))


def _hardware(item: Item) -> tuple[Material, ...]:
    kind = (item.facts.kind or "").lower()
    table = (
        (("dial", "scale", "pointer", "hand"), RADIUM), (("pad", "shield", "gasket", "sleev", "lampholder"), ASBESTOS),
        (("screw", "nut", "bracket", "chassis", "clip", "spring", "holder", "coupler"), CADMIUM),
        (("cabinet", "grille", "panel", "case", "frame"), LEAD),
    )  # fmt: skip
    return tuple(material for words, material in table if any(word in kind for word in words))


def _power_diode(item: Item) -> tuple[Material, ...]:
    return (BERYLLIA,) if (item.facts.dc_current or 0) >= ON_A_WASHER else ()


def _ganged(item: Item) -> tuple[Material, ...]:
    return (CADMIUM,) if item.facts.kind in ("tuning-gang", "trimmer") else ()


_OLD: dict[str, Callable[[Item], tuple[Material, ...]]] = {
    "transformer": lambda item: (LEAD,),
    "choke": lambda item: (LEAD,),
    "loudspeaker": lambda item: (LEAD,),
    "fuse": lambda item: (ASBESTOS,),
    "switch": lambda item: (CADMIUM,),
    "potentiometer": lambda item: (CADMIUM,),
    "coil": _ganged,
    "rectifier": _power_diode,
    "hardware": _hardware,
}
"""What an old part of a family may contain, by what is known of it: from memory where the material's own source names no family."""


def materials(family: str, *own: Hazards) -> Hazards:
    """Return the hazards of a family's parts: its own lines, what an old one may contain, and what its words name."""
    old = _OLD.get(family)

    def hazards(item: Item) -> tuple[str, ...]:
        said = [line for more in own for line in more(item)]
        found = [*(old(item) if old is not None and item.condition != "new" else ()), *named(item)]
        if not found:
            return tuple(dict.fromkeys(said))
        told = {
            name
            for name, m in MATERIALS.items()
            if any(re.search(m.words, line.lower()) or name in line for line in said)
        }
        lines = [m.line for name, m in MATERIALS.items() if m in found and name not in told]
        return tuple(dict.fromkeys([*said, *lines]))

    return hazards
