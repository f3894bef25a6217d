"""Pairs of values whose sum lies in a window, without trying all pairs: sorted values, and for each the span of its partners."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from partsbin.checks import Numbers

Indexes = npt.NDArray[np.intp]

LEAST_SHARE = 0.05
"""Of the sum, what each must bring: less than tolerances is no make-up; common practice, no source [-]."""

SLACK = 1e-9


def pairs_within(values: Numbers, low: float, high: float) -> tuple[Indexes, Indexes]:
    """Return all pairs, each once, a value with itself among them, whose sum lies in the window.

    Parameters
    ----------
    values : array
        In any order, above 0 [-].
    low, high : float
        The window, bounds inclusive within 1e-9 [-].

    Returns
    -------
    (array of int, array of int)
        Indexes of the smaller and of the larger of each pair.

    Notes
    -----
    Of the sorted values x, the partners of x_i that are no smaller lie between two pointers: the first with x_i + x_j >= low
    and the last with x_i + x_j <= high, also x_j <= x_i (1 - s) / s for the least share s. As x_i grows the pointers move one
    way only. What is found is listed in time that grows with n log n and the number of pairs.
    """
    order = np.argsort(values, kind="stable")
    x = values[order]
    start = np.maximum(np.searchsorted(x, low * (1 - SLACK) - x, side="left"), np.arange(len(x)))
    top = np.minimum(high * (1 + SLACK) - x, x * (1 - LEAST_SHARE) / LEAST_SHARE * (1 + SLACK))
    stop = np.searchsorted(x, top, side="right")
    number = np.maximum(stop - start, 0)
    first = np.repeat(np.arange(len(x)), number)
    nth = np.arange(len(first)) - np.repeat(np.cumsum(number) - number, number)
    return order[first], order[start[first] + nth]
