"""Numbers as people on the bench read them. Data stays in SI; these make the text of reasons and headlines."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

from partsbin.notation.writing import format_interval, format_quantity


@lru_cache(maxsize=4096)  # a shelf has few values, and they come again and again
def say(value: float, unit: str) -> str:
    """Return a value in trade notation to three digits, more than any bench meter decides by; "unknown" for NaN."""
    return "unknown" if math.isnan(value) else format_quantity(_three_digits(value), unit)


def _three_digits(value: float) -> float:
    return value if value == 0 or math.isinf(value) else round(value, 2 - math.floor(math.log10(abs(value))))


@lru_cache(maxsize=4096)
def span(low: float, high: float, unit: str) -> str:
    """Return an interval in trade notation, one figure where both ends read the same."""
    if math.isnan(low) or math.isnan(high):
        return "unknown"
    return (
        say(low, unit)
        if say(low, unit) == say(high, unit)
        else format_interval(_three_digits(low), _three_digits(high), unit)
    )


def volts(value: float) -> str:
    """Return volts to the whole volt above 10, since nobody reads tenths on a 500 V range."""
    return "unknown" if math.isnan(value) else f"{value:.0f} V" if abs(value) >= 10 else f"{value:.2g} V"


def percent(fraction: float) -> str:
    """Return a fraction as per cent, one decimal below ten unless it is whole."""
    return (
        f"{fraction * 100:.1f} %" if abs(fraction) < 0.1 and round(fraction * 100, 1) % 1 else f"{fraction * 100:.0f} %"
    )


def listed(words: Sequence[str], last: str = "or") -> str:
    """Return words joined by commas and a last ``or``."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} {last} {words[-1]}" if words else ""
