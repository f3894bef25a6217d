"""Which column of somebody's list is what: our own names, or anyone's, and what the words of other people's lists mean."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

PART_COLUMNS = (
    "part",
    "family",
    "title",
    "description",
    "count",
    "condition",
    "place",
    "donor",
    "donor_lineup",
    "marking",
    "maker",
    "date_code",
    "year",
    "lead_style",
    "note",
    "readings",
)
"""Columns of our own that every family has."""

DESIGNATOR, VALUE, RATING = "designator", "value", "rating"
_FOREIGN: dict[str, tuple[str, ...]] = {
    DESIGNATOR: (
        "designator",
        "reference",
        "references",
        "ref",
        "refs",
        "refdes",
        "part ref",
        "circuit ref",
        "bauteil",
    ),
    VALUE: ("value", "val", "wert", "values"),
    RATING: (
        "rating",
        "ratings",
        "characteristic",
        "characteristics",
        "voltage",
        "volts",
        "spannung",
        "working voltage",
        "wattage",
    ),
    "description": (
        "description",
        "desc",
        "bezeichnung",
        "beschreibung",
        "comment",
        "type description",
        "item",
        "text",
    ),
    "count": ("count", "qty", "quantity", "quant", "anzahl", "menge", "stück", "amount", "no off", "pcs"),
    "place": ("place", "location", "drawer", "box", "shelf", "ort", "lagerort", "schublade", "fach"),
    "condition": ("condition", "zustand", "state"),
    "maker": ("maker", "manufacturer", "make", "hersteller", "vendor", "mfn", "brand"),
    "note": ("note", "notes", "remark", "remarks", "bemerkung"),
    "donor": ("donor", "chassis", "spender", "from set"),
}


FOREIGN_ROLE = {word: role for role, words in _FOREIGN.items() for word in words}
LAST_RESORT = {"type": "description", "typ": "description"}
"""Headings that are taken for a role only where no other column has it."""

MONEY = re.compile(r"(?i)[€$£¥]|\b(?:price|cost|preis|eur|usd|gbp)\b")
"""What a heading about money holds: ``€ value`` is no value of a part."""


IGNORED = "ignored"
"""Role that a person gives to a column that is not to be read."""


@dataclass(frozen=True)
class Mapping:
    """What each column was taken for, "" where it is kept but not read, and why."""

    roles: tuple[str, ...]
    why: tuple[str, ...]

    @cached_property
    def _where(self) -> dict[str, int]:
        return {role: index for index, role in enumerate(self.roles) if role}

    def index(self, role: str) -> int | None:
        """Return the column of a role, None if there is none."""
        return self._where.get(role)


def told_apart(header: Sequence[str]) -> list[str]:
    """Return headings without doubles: one that comes twice, or is empty, gets the number of its column."""
    seen: set[str] = set()
    names = []
    for number, heading in enumerate(header, 1):
        names.append(heading if heading and heading not in seen else f"{heading} [{number}]".strip())
        seen.add(heading)
    return names


def plain_heading(name: str) -> str:
    """Return a heading in lower case, its words apart by one blank."""
    return re.sub(r"[^a-z0-9äöüß]+", " ", name.lower()).strip()
