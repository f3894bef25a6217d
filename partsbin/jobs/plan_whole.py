"""Sharing out parts that may be joined: a programme in whole numbers, aim by aim, each to its proven optimum.

Two parts joined take a piece of each or none, the sections of a can serve several needs if the can is taken: no prices of single
parts say that, so the solver branches. It does so seldom: almost all of a plan are single parts.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import numpy.typing as npt

from partsbin.jobs.assignment import HALF, Piece, Way, shares_of

Numbers = npt.NDArray[np.float64]


def assign_whole(
    wanted: Sequence[int], pieces: Sequence[int], ways: Sequence[Way], cans: Sequence[Piece] = ()
) -> tuple[list[int], list[list[int]]]:
    """Return how many pieces of its need each way serves, and which sections of each can serve.

    Parameters
    ----------
    wanted : sequence of int
        Pieces that each need wants.
    pieces : sequence of int
        Pieces that each part has.
    ways : sequence of Way
        Which part, or which several, may serve which need.
    cans : sequence of Piece
        Pieces that may serve several needs at once.

    Returns
    -------
    (list of int, list of list of int)
        By way, in order; by can, the places of the sections that serve.

    Notes
    -----
    HiGHS by `scipy.optimize.milp`, without a gap. What an aim comes to is a bound for the next ones. All aims but the last are
    whole numbers, so that half of one is room for rounding and for nothing else. A can is a part of which each section that
    serves saves a part elsewhere: it counts as one for all its places together.
    """
    shares = shares_of(wanted, pieces, ways)
    if not shares and not cans:
        return [0] * len(ways), []
    total = sum(wanted) + 1
    weight, sections = [0.0, 1.0, float(total)], [section for can in cans for section in can.sections]
    dear = float(total**2)
    served = [weight[share.way.verdict] - dear for share in shares]
    served += [weight[section.verdict] - dear for section in sections] + [0.0] * len(cans)
    moved = [float(not share.kept) for share in shares] + [0.0] * len(sections) + [float(not can.kept) for can in cans]
    parts = [float(len(share.way.more)) for share in shares] + [-1.0] * len(sections) + [1.0] * len(cans)
    score = [share.way.score for share in shares] + [section.score for section in sections] + [0.0] * len(cans)
    programme = _Programme(wanted, pieces, shares, cans)
    for aim in (served, moved, parts):
        programme.settle(np.array(aim))
    given = [0] * len(ways)
    solution = np.round(programme.least(np.array(score))).astype(int).tolist()
    for share, number in zip(shares, solution, strict=False):
        given[share.index] += number
    places = iter(solution[len(shares) :])
    return given, [[at for at, taken in zip(range(len(can.sections)), places, strict=False) if taken] for can in cans]


class _Programme:
    """Whole numbers of pieces by share, within what is wanted and there, and within what earlier aims came to.

    Behind the shares stand the sections of all cans, then the cans, each taken or not.
    """

    def __init__(
        self, wanted: Sequence[int], pieces: Sequence[int], shares: Sequence[Any], cans: Sequence[Piece]
    ) -> None:
        entries = [(share.way.need, at, 1) for at, share in enumerate(shares)]
        entries += [
            (len(wanted) + part, at, number)
            for at, share in enumerate(shares)
            for part, number in share.way.uses.items()
        ]
        self.entries = [(row, at, float(number)) for row, at, number in entries]
        self.room = [*map(float, wanted), *map(float, pieces)]
        first, sections = len(shares), sum(len(can.sections) for can in cans)
        self.high = np.array([share.most for share in shares] + [1] * (sections + len(cans)), dtype=np.float64)
        for at, can in enumerate(cans, len(shares) + sections):
            self._take(can, at, first, len(wanted))
            first += len(can.sections)

    def _take(self, can: Piece, at: int, first: int, needs: int) -> None:
        """A piece of its part if it is taken, and only then what its sections serve."""
        self.entries.append((needs + can.part, at, 1.0))
        for place, section in enumerate(can.sections, first):
            self.entries.append((section.need, place, 1.0))
        for some, most in (*((([place]), 1) for place in range(len(can.sections))), *can.limits):
            self.entries += [(len(self.room), first + place, 1.0) for place in some]
            self.entries.append((len(self.room), at, -float(most)))
            self.room.append(0.0)

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
