"""One line of what follows from a set: a figure or words, how it came, what it takes for granted, what reading is better."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

About = Literal["heaters", "supply", "rectifier", "output", "grids", "readings"]
Sure = Literal["given", "read", "worked", "practice", "memory"]


@dataclass(frozen=True)
class Line:
    """One line.

    Parameters
    ----------
    about : str
        What it is about: heaters, supply, rectifier, output, grids, readings.
    name : str
        What it says, in two or three words.
    value : float or str
        The figure, or words where there is none [unit].
    unit : str
        SI unit, "" for words.
    how : str
        How it came.
    low, high : float
        Its ends, NaN where it has none [unit].
    assumed : tuple of str
        What was taken for granted.
    sure : {"given", "read", "worked", "practice", "memory"}
        The weakest thing that it rests on.
    instead : str
        The reading that takes the place of what is assumed, "" where nothing is.
    warning : bool
        Whether a limit is passed.
    """

    about: About
    name: str
    value: float | str
    unit: str = ""
    how: str = ""
    low: float = math.nan
    high: float = math.nan
    assumed: tuple[str, ...] = ()
    sure: Sure = "worked"
    instead: str = ""
    warning: bool = False


_ORDER: tuple[Sure, ...] = ("given", "read", "worked", "practice", "memory")


def weakest(*standings: str | None) -> Sure:
    """Return the least trusted of several standings; None and "" do not count."""
    known = [word for word in _ORDER if word in standings]
    return known[-1] if known else "worked"
