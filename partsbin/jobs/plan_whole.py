"""Sharing out parts that may be joined: a programme in whole numbers, aim by aim, each to its proven optimum.

Two parts joined take a piece of each or none: no prices of single parts say that, so the solver branches. It does so seldom:
almost all of a plan are single parts.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import numpy.typing as npt

from partsbin.jobs.assignment import HALF, Way, shares_of

Numbers = npt.NDArray[np.float64]


def assign_whole(wanted: Sequence[int], pieces: Sequence[int], ways: Sequence[Way]) -> list[int]:
    """Return how many pieces of its need each way serves.

    Parameters
    ----------
    wanted : sequence of int
        Pieces that each need wants.
    pieces : sequence of int
        Pieces that each part has.
    ways : sequence of Way
        Which part, or which several, may serve which need.

    Returns
    -------
    list of int
        By way, in order.

    Notes
    -----
    HiGHS by `scipy.optimize.milp`, without a gap. What an aim comes to is a bound for the next ones. All aims but the last are
    whole numbers, so that half of one is room for rounding and for nothing else.
    """
    shares = shares_of(wanted, pieces, ways)
    if not shares:
        return [0] * len(ways)
    total = sum(wanted) + 1
    served = np.array([[0.0, 1.0, float(total)][share.way.verdict] for share in shares]) - float(total**2)
    moved = np.array([float(not share.kept) for share in shares])
    parts = np.array([float(len(share.way.more)) for share in shares])
    score = np.array([share.way.score for share in shares])
    programme = _Programme(wanted, pieces, shares)
    for aim in (served, moved, parts):
        programme.settle(aim)
    given = [0] * len(ways)
    for share, number in zip(shares, np.round(programme.least(score)), strict=True):
        given[share.index] += int(number)
    return given


class _Programme:
    """Whole numbers of pieces by share, within what is wanted and there, and within what earlier aims came to."""

    def __init__(self, wanted: Sequence[int], pieces: Sequence[int], shares: Sequence[Any]) -> None:
        entries = [(share.way.need, at, 1) for at, share in enumerate(shares)]
        entries += [
            (len(wanted) + part, at, number)
            for at, share in enumerate(shares)
            for part, number in share.way.uses.items()
        ]
        self.entries = [(row, at, float(number)) for row, at, number in entries]
        self.room = [*map(float, wanted), *map(float, pieces)]
        self.high = np.array([share.most for share in shares], dtype=np.float64)

    def least(self, cost: Numbers) -> Numbers:
        """Return an optimum of one aim."""
        from scipy.optimize import Bounds, LinearConstraint, milp
        from scipy.sparse import csr_array

        rows, columns, numbers = zip(*self.entries, strict=True)
        table = csr_array((numbers, (rows, columns)), shape=(len(self.room), len(self.high)))
        found = milp(
            cost,
            integrality=np.ones(len(self.high)),
            bounds=Bounds(0, self.high),
            constraints=LinearConstraint(table, ub=np.array(self.room)),
            options={"mip_rel_gap": 0.0},
        )
        if found.x is None:  # cannot be: nothing at all is a plan, and so is what was best for the aims before
            raise RuntimeError(f"the solver found no plan: {found.message}")
        solution: Numbers = found.x
        return solution

    def settle(self, cost: Numbers) -> None:
        """Meet an aim, and hold on to it."""
        if not cost.any():
            return
        best = float(cost @ np.round(self.least(cost)))
        self.entries += [(len(self.room), at, float(cost[at])) for at in np.flatnonzero(cost).tolist()]
        self.room.append(best + HALF)
