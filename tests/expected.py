"""Expected numbers with their origin. Each call is counted, so that a function without an outside check is seen.

``published``: the figure stands in a named source (a key of ``partsbin.sources``). ``by_hand``: worked out in the note.
``simulated``: a circuit simulator's figure. ``regression``: our own earlier output, which proves nothing but constancy.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pytest

from partsbin.sources import source


@dataclass(frozen=True)
class Expected:
    """A number that a test compares with, and where it comes from."""

    value: float
    origin: str  # published, by hand, simulated, regression
    of: str  # module.function it checks
    cite: str
    rel: float

    def matches(self, actual: float) -> bool:
        """Return whether ``actual`` agrees within the stated relative tolerance."""
        return actual == pytest.approx(self.value, rel=self.rel, abs=0.0)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, (int, float)) and self.matches(float(other))

    def __hash__(self) -> int:
        return hash((self.value, self.of))

    def __repr__(self) -> str:
        return f"{self.value} ±{self.rel:.1%} ({self.origin}: {self.cite})"


REGISTER: list[Expected] = []


def _note(value: float, origin: str, of: Callable[..., object], cite: str, rel: float) -> Expected:
    expected = Expected(value, origin, f"{of.__module__}.{of.__qualname__}", cite, rel)
    REGISTER.append(expected)
    return expected


def published(value: float, key: str, *, of: Callable[..., object], where: str = "", rel: float = 1e-3) -> Expected:
    """A figure that stands in the source ``key``, at ``where``."""
    return _note(value, "published", of, f"{source(key).title} {where}".strip(), rel)


def by_hand(value: float, how: str, *, of: Callable[..., object], rel: float = 1e-3) -> Expected:
    """A figure worked out by hand: ``how`` shows the arithmetic."""
    return _note(value, "by hand", of, how, rel)


def simulated(value: float, how: str, *, of: Callable[..., object], rel: float = 1e-2) -> Expected:
    """A figure of a circuit simulator run: ``how`` names simulator and circuit."""
    return _note(value, "simulated", of, how, rel)


def regression(value: float, how: str, *, of: Callable[..., object], rel: float = 1e-6) -> Expected:
    """Our own earlier output: guards against change, proves nothing."""
    return _note(value, "regression", of, how, rel)
