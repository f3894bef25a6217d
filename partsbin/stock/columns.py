"""Which column of somebody's list is what: our own names, or anyone's, matched by name."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

PART_COLUMNS = (
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


_LAST_RESORT = {"type": "description", "typ": "description"}
"""Headings that are taken for a role only where no other column has it."""

_MONEY = re.compile(r"(?i)[€$£¥]|\b(?:price|cost|preis|eur|usd|gbp)\b")
"""What a heading about money holds: ``€ value`` is no value of a part."""


@dataclass(frozen=True)
class Mapping:
    """What each column was taken for; "" means that it is kept but not read."""

    roles: tuple[str, ...]

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


def _plain(name: str) -> str:
    return re.sub(r"[^a-z0-9äöüß]+", " ", name.lower()).strip()


def map_columns(header: Sequence[str], fields: Sequence[str]) -> Mapping:
    """Map column names to roles.

    Parameters
    ----------
    header : sequence of str
        Names as written in the file.
    fields : sequence of str
        Field names of the families.

    Returns
    -------
    Mapping
        Our own names first; then the usual names of other people's lists; each role once.
    """
    roles: list[str] = []
    own = set(PART_COLUMNS) | set(fields) | {DESIGNATOR, VALUE, RATING}
    for name in header:
        exact = name.strip().lower().replace(" ", "_").replace("-", "_")
        role = exact if exact in own else _foreign(name)
        roles.append("" if role in roles else role)
    for index, name in enumerate(header):
        late = _LAST_RESORT.get(_plain(name), "")
        if not roles[index] and late not in roles:
            roles[index] = late
    return Mapping(tuple(roles))


def _foreign(name: str) -> str:
    if _MONEY.search(name):
        return ""
    plain = _plain(name)
    for role, words in _FOREIGN.items():
        if plain in words:
            return role
    return ""
