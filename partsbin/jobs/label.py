"""What the dead part was marked with: the least that a part may have where the position is only a guess."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from partsbin.families import Family
from partsbin.families._declare import known
from partsbin.stock.describe import read_as

RATINGS = ("voltage_dc", "voltage_ac", "voltage_limit", "power", "current", "dc_current", "insulation_voltage")


def label(family: Family, text: str) -> dict[str, float]:
    """Return the dead part's ratings [SI], as its marking says."""
    found = read_as(family, text)
    marked: dict[str, Any] = dict(found[0].fields) if found else {}
    ratings = {name: float(marked[name]) for name in RATINGS if marked.get(name) is not None}
    if "voltage_ac" in ratings:
        ratings["voltage_dc"] = max(ratings.get("voltage_dc", 0.0), math.sqrt(2) * ratings["voltage_ac"])
    return ratings


def weaker(offers: Mapping[str, Any], least: Mapping[str, float]) -> bool:
    """Return whether a part is marked with less than the dead one: where its position is a guess, that alone says no."""
    return any(known(offers, name) and float(offers[name]) < rating * (1 - 1e-9) for name, rating in least.items())
