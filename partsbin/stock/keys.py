"""Search keys: what the retrieval knows of an option without reading the part. Derived from facts and readings, rebuildable."""

from __future__ import annotations

import hashlib
import math
from bisect import bisect_left
from collections.abc import Sequence
from typing import Any

from partsbin.families import Family
from partsbin.families._declare import Option, known

SPREADS = (1.0125, 1.025, 1.055, 1.11, 1.25, 1.6, 3.0, 1e6)
"""Upper bounds of max(high / value, value / low) of a spread class; the last takes everything wider."""

LIMIT_STEP = math.log(1.02)
LIMIT_UNKNOWN = -9999
LEAST = 1e-300
"""A limit that came out as nothing still has a rung: the lowest [-]."""
MISSING_VALUE, MISSING_LIMIT, MISSING_OTHER = 1, 2, 4
OPTIONS_A_PART = 256
NUMBERS = 1 << 52
"""There is a number for every name below this [-]."""
_CONDITION_ORDER = {"new": 0, "unused-old": 1, "salvaged": 2, "": 3}
_MOST = 999_999


def limit_class(limit: float) -> int:
    """Return the rung of a rating, 2 % wide; more than the rating's own rung never holds less [-]."""
    return math.floor(math.log(max(limit, LEAST)) / LIMIT_STEP + 1e-9)


def class_bounds(name: int) -> tuple[float, float]:
    """Return the lowest and the highest rating that a rung can hold, a trifle wider than it is [-]."""
    return math.exp(name * LIMIT_STEP) * (1 - 1e-6), math.exp((name + 1) * LIMIT_STEP) * (1 + 1e-6)


def spread_class(value: float, low: float, high: float) -> int:
    """Return the class of how far the interval reaches from the value [-]."""
    reach = max(high / value, value / low) if low > 0 else math.inf
    return min(bisect_left(SPREADS, reach), len(SPREADS) - 1)


OFFERED = "/offered"
"""What follows a family's name in the keys of what suppliers offer: the shelf's searches never read them."""


def listed(family: str, origin: str) -> str:
    """Return the name under which keys of a family's parts lie: offers have one of their own.

    Examples
    --------
    >>> listed("capacitor", "shelf"), listed("capacitor", "offered")
    ('capacitor', 'capacitor/offered')
    """
    return family + OFFERED if origin == "offered" else family


def promise(condition: str, available: int, origin: str = "shelf") -> int:
    """Return the order among equals that looks at no need: shelf before offers, condition, then the larger count [-]."""
    offered = 10 if origin == "offered" else 0
    return (offered + _CONDITION_ORDER[condition]) * (_MOST + 1) + _MOST - min(available, _MOST)


def pieces_of(order: int) -> int:
    """Return how many pieces are free, by the promise of an option; no more than a promise can say [-]."""
    return _MOST - order % (_MOST + 1)


def number_of_name(name: str) -> int:
    """Return the number that stands for a name among search keys: the same everywhere, exact in a float [-].

    Notes
    -----
    52 bits: of ten thousand names no two have one number but once in a hundred million catalogues.
    """
    digest = hashlib.blake2b(name.encode("utf-8", "surrogatepass"), digest_size=8).digest()
    return int.from_bytes(digest, "big") % (NUMBERS - 1) + 1


def without_name(row: dict[str, Any]) -> dict[str, Any]:
    """Return a key row as it is stored: the name lies in a table of its own."""
    return {column: value for column, value in row.items() if column != "name"} if "name" in row else row


def keys_of(family: Family, part_id: int, options: Sequence[Option], order: int) -> list[dict[str, Any]]:
    """Return the key rows of a part's options; where a name decides, with the name that the value is the number of."""
    rows: list[dict[str, Any]] = []
    names = family.keys
    for number, option in enumerate(options[:OPTIONS_A_PART]):
        offers = option.offers
        has_value = known(offers, names.value) and known(offers, names.low) and known(offers, names.high)
        has_limit = known(offers, names.limit)
        missing = (
            (0 if has_value else MISSING_VALUE)
            | (0 if has_limit else MISSING_LIMIT)
            | (MISSING_OTHER if family.owes(offers) else 0)
        )
        value, low, high = (
            _number(offers[name]) if has_value else None for name in (names.value, names.low, names.high)
        )
        limit = _number(offers[names.limit]) if has_limit else None
        rows.append(
            {
                "id": part_id * OPTIONS_A_PART + number,
                "family": family.name,
                "missing": missing,
                "limit_class": LIMIT_UNKNOWN if limit is None else limit_class(limit),
                "spread": spread_class(value, low, high)
                if value is not None and low is not None and high is not None
                else 0,
                "value": value,
                "low": low,
                "high": high,
                "limit_high": limit,
                "kind": names.pack(offers),
                "promise": order,
            }
        )
        if names.named is not None:  # ratings follow from names: one class holds them all
            name = str(offers[names.named.name])
            named = float(number_of_name(name))
            rows[-1] |= {"limit_class": LIMIT_UNKNOWN, "value": named, "low": named, "high": named, "name": name}
    return rows


def _number(value: Any) -> float:
    return float(value)
