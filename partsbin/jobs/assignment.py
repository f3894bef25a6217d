"""Which part goes where, exactly: needs want pieces, parts have pieces, and some parts, or several joined, may serve some needs.

It is a matter of whole numbers only. Aims are met one after the other, an earlier one is never given up for a later one:
most pieces served, fewest that must still be measured, fewest with care, fewest moved away from what is set aside, fewest parts
beyond one for a place, least score.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt

FITS, CARE, MEASURE = 0, 1, 2

HALF = 0.5
"""Prices of whole-number aims are whole numbers: what is less than a half is none [-]."""

Numbers = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Way:
    """One part that may serve one need, or several joined that may.

    Parameters
    ----------
    need, part : int
        Which, counted from 0.
    verdict : int
        `FITS`, `CARE` or `MEASURE`.
    score : float
        The smaller the better, at least 0.
    kept : int
        Pieces of it that are set aside for this need's job already; of several joined, how often they are.
    more : tuple of int
        The further parts that it takes, each as often as it takes a piece of it.
    """

    need: int
    part: int
    verdict: int
    score: float
    kept: int = 0
    more: tuple[int, ...] = ()

    @property
    def uses(self) -> Mapping[int, int]:
        """How many pieces of each part it takes [-]."""
        return Counter((self.part, *self.more))


@dataclass(frozen=True)
class Section:
    """Some of a piece, which would serve one piece of a need."""

    need: int
    verdict: int
    score: float


@dataclass(frozen=True)
class Piece:
    """One piece of a part that may serve several needs at once: a can, by its sections.

    Parameters
    ----------
    part : int
        Which, counted from 0.
    kept : bool
        Whether it is set aside for these needs' job already.
    sections : tuple of Section
        What it may serve.
    limits : tuple of (sequence of int, int)
        Sections, by their place, of which it serves so many at most.
    """

    part: int
    kept: bool
    sections: tuple[Section, ...]
    limits: tuple[tuple[Sequence[int], int], ...]


def assign(wanted: Sequence[int], pieces: Sequence[int], ways: Sequence[Way]) -> list[int]:
    """Return how many pieces go each way.

    Parameters
    ----------
    wanted : sequence of int
        Pieces that each need wants.
    pieces : sequence of int
        Pieces that each part has.
    ways : sequence of Way
        Which part may serve which need.

    Returns
    -------
    list of int
        Pieces by way, in order. No need gets more than it wants, no part gives more than it has.

    Notes
    -----
    Sharing out is a transport problem: its vertices are whole numbers, so linear programmes (HiGHS, by scipy) solve it exactly.
    Each aim is solved over all that is best for those before it: ways of non-zero reduced cost stay at their bound, rows with a
    price stay full. Aims but the last are whole numbers, hence prices and reduced costs are too, and no rounding blurs them.
    Where parts are joined it is no transport problem any more: then `plan_whole` solves it, aim by aim, in whole numbers.
    """
    if not ways:
        return []
    if any(way.more for way in ways):
        from partsbin.jobs.plan_whole import assign_whole

        return assign_whole(wanted, pieces, ways)[0]
    shares = shares_of(wanted, pieces, ways)
    rows = [share.way.need for share in shares], [len(wanted) + share.way.part for share in shares]
    face = _Face(rows, np.array([*wanted, *pieces], float), np.array([share.most for share in shares], float))
    total = sum(wanted) + 1
    verdicts = np.array([share.way.verdict for share in shares])
    weight = np.array([0.0, 1.0, float(total)])[verdicts] - float(total**2)  # served before measured before care
    solution = face.least(weight)
    solution = face.least(np.array([float(not share.kept) for share in shares]))
    solution = face.least(np.array([share.way.score for share in shares]), last=True)
    given = [0] * len(ways)
    for share, number in zip(shares, np.round(solution), strict=True):
        given[share.index] += int(number)
    return given


@dataclass(frozen=True)
class Share:
    """Pieces that may go one way: those that are set aside for it already, and others, apart."""

    index: int
    way: Way
    kept: bool
    most: int


def shares_of(wanted: Sequence[int], pieces: Sequence[int], ways: Sequence[Way]) -> list[Share]:
    """Return what may go each way, pieces that are set aside for it apart."""
    made = []
    for index, way in enumerate(ways):
        most = min(wanted[way.need], *(pieces[part] // number for part, number in way.uses.items()))
        kept = min(most, way.kept)
        made += [Share(index, way, True, kept)] if kept else []
        made += [Share(index, way, False, most - kept)] if most > kept else []
    return made


class _Face:
    """All ways of sharing out that are best for the aims so far."""

    def __init__(self, rows: tuple[Sequence[int], Sequence[int]], room: Numbers, most: Numbers) -> None:
        from scipy.sparse import csr_array

        size = len(most)
        ones, columns = np.ones(2 * size), np.tile(np.arange(size), 2)
        self.rows: Any = csr_array((ones, (np.concatenate(rows), columns)), shape=(len(room), size))
        self.room, self.low, self.high = room, np.zeros(size), most
        self.full = np.zeros(len(room), dtype=bool)

    def least(self, cost: Numbers, *, last: bool = False) -> Numbers:
        """Return a vertex of least cost, and keep to the face of all that cost as little."""
        from scipy.optimize import linprog

        loose = ~self.full
        found = linprog(
            cost,
            A_ub=self.rows[loose] if loose.any() else None,
            b_ub=self.room[loose] if loose.any() else None,
            A_eq=self.rows[self.full] if self.full.any() else None,
            b_eq=self.room[self.full] if self.full.any() else None,
            bounds=np.column_stack([self.low, self.high]),
            method="highs-ds",
        )
        if found.x is None:  # cannot be: the solution of the aim before is allowed
            raise RuntimeError(f"the solver found no plan: {found.message}")
        if not last:
            self.high = np.where(found.lower.marginals > HALF, self.low, self.high)
            self.low = np.where(found.upper.marginals < -HALF, self.high, self.low)
            self.full[np.flatnonzero(loose)[found.ineqlin.marginals < -HALF]] = True
        solution: Numbers = found.x
        return solution
