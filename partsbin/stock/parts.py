"""A part on its way into the catalogue."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

from partsbin.families._declare import Facts


@dataclass(frozen=True)
class NewReading:
    """A measurement to be recorded with a part."""

    quantity: str
    value: float
    unit: str
    uncertainty: float = 0.0
    conditions: Mapping[str, float] = field(default_factory=dict)
    instrument: str = ""
    taken_at: datetime | None = None


@dataclass(frozen=True)
class Draft:
    """A part about to be shelved. `facts` has been validated by the family's model; `price` is a piece's, in thousandths."""

    family: str
    facts: Facts
    title: str = ""
    condition: str = ""
    count: int = 1
    rough: bool = False
    marking: str = ""
    place: str = ""
    donor: str = ""
    maker: str = ""
    date_code: str = ""
    year: int | None = None
    lead_style: str = ""
    note: str = ""
    origin: str = "shelf"
    donor_lineup: str = ""
    price: int | None = None
    readings: tuple[NewReading, ...] = ()
    file: tuple[str, int, str, Mapping[str, str]] | None = None
