"""Several parts joined into one: what they offer together, each quantity at its worst, and which checks look at each by itself."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import reduce
from typing import Any

import numpy as np

from partsbin.checks import Columns, Numbers
from partsbin.needs import Need

SERIES, PARALLEL = "in series", "in parallel"


@dataclass(frozen=True)
class Join:
    """One way of joining parts of a family.

    Parameters
    ----------
    how : str
        `SERIES` or `PARALLEL`.
    adds : bool
        Whether the values add; else their reciprocals do.
    together : callable
        ``together(need, members)`` gives what n make-ups offer: of each place a member's columns, of n rows. What it does not
        name stays that of each part. A quantity is left out where a member's is not at hand, and is unknown where one is unknown.
    each : frozenset of str
        Codes of checks that look at each part by itself, whatever it is joined with.
    title : callable
        ``title(rows)`` says the whole in trade notation, from what each part offers.
    both : frozenset of str
        Codes of checks that look at each part by itself and at the whole as well.
    """

    how: str
    adds: bool
    together: Callable[[Need, Sequence[Columns]], dict[str, Any]]
    each: frozenset[str]
    title: Callable[[Sequence[Mapping[str, Any]]], str]
    both: frozenset[str] = frozenset()

    @property
    def alone(self) -> frozenset[str]:
        """Codes of checks that a part which fails them fails in any company."""
        return self.each | self.both


def of_all(members: Sequence[Columns], name: str) -> list[Numbers]:
    """Return a quantity of each member."""
    return [member[name] for member in members]


def total(values: Sequence[Numbers]) -> Numbers:
    """Return the sum."""
    return reduce(np.add, values)


def reciprocal(values: Sequence[Numbers]) -> Numbers:
    """Return one over the sum of reciprocals: 0 if any is 0, inf if all are."""
    with np.errstate(divide="ignore", invalid="ignore"):
        made: Numbers = 1 / total([1 / value for value in values])
    return made


def least(values: Sequence[Numbers]) -> Numbers:
    """Return the smallest; unknown if any is."""
    return reduce(np.minimum, values)


def most(values: Sequence[Numbers]) -> Numbers:
    """Return the largest; unknown if any is."""
    return reduce(np.maximum, values)


def only_if_all(values: Sequence[Numbers]) -> Numbers:
    """Return 1 if all are 1, 0 if any is 0, else unknown: a mark that every part must have."""
    any_0 = reduce(np.logical_or, [value == 0.0 for value in values])
    return np.where(any_0, 0.0, total(values) * 0.0 + 1.0)


def times_worst(largest: Sequence[Numbers], smallest: Sequence[Numbers]) -> list[Numbers]:
    """Return for each member how many times what it takes the whole takes, at the member's worst.

    Parameters
    ----------
    largest, smallest : sequence of array
        Ends of what the stress is shared by: ohms in series, conductance in parallel [-].

    Returns
    -------
    list of array
        (its largest + the others' smallest) / its largest [-].
    """
    with np.errstate(divide="ignore", invalid="ignore"):
        return [
            (own + total([other for at, other in enumerate(smallest) if at != place])) / own
            for place, own in enumerate(largest)
        ]


def borne(ratings: Sequence[Numbers], times: Sequence[Numbers]) -> Numbers:
    """Return what the whole bears before the first of its parts has its rating."""
    return least([rating * factor for rating, factor in zip(ratings, times, strict=True)])
