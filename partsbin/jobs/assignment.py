"""Which part goes where, exactly: needs want pieces, parts have pieces, and some parts may serve some needs.

It is a matter of whole numbers only. Aims are met one after the other, an earlier one is never given up for a later one:
most pieces served, fewest that must still be measured, fewest with care, fewest moved away from what is set aside, least score.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

FITS, CARE, MEASURE = 0, 1, 2
SLACK = 1e-6
"""How far sums of scores may lie apart and still be the same [-]."""

Numbers = npt.NDArray[np.float64]


@dataclass(frozen=True)
class Way:
    """One part that may serve one need.

    Parameters
    ----------
    need, part : int
        Which, counted from 0.
    verdict : int
        `FITS`, `CARE` or `MEASURE`.
    score : float
        The smaller the better, at least 0.
    kept : int
        Pieces of it that are set aside for this need's job already.
    """

    need: int
    part: int
    verdict: int
    score: float
    kept: int = 0


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
    Mixed-integer programmes solved to proven optimality by HiGHS (scipy), one for each aim; what was reached holds in the next.
    """
    if not ways:
        return []
    from scipy.optimize import Bounds, LinearConstraint, milp

    size = len(ways)
    kept = _Kept(ways)
    held = [
        LinearConstraint(
            _incidence([w.need for w in ways], len(wanted), kept.extra), -np.inf, np.asarray(wanted, float)
        )
    ]
    held.append(
        LinearConstraint(
            _incidence([w.part for w in ways], len(pieces), kept.extra), -np.inf, np.asarray(pieces, float)
        )
    )
    most = np.array([min(wanted[w.need], pieces[w.part]) for w in ways] + kept.most, float)
    if kept.extra:
        held.append(LinearConstraint(kept.rows(size), -np.inf, 0.0))
    solution: Numbers = np.zeros(size + kept.extra)
    for aim in _aims(ways, kept):
        found = milp(aim, constraints=held, bounds=Bounds(0, most), integrality=np.ones(len(most)))
        if found.x is None:  # cannot be: nothing anywhere is always allowed
            raise RuntimeError(f"the solver found no plan: {found.message}")
        solution = np.round(found.x)
        reached = float(aim @ solution)
        held.append(LinearConstraint(aim[None, :], -np.inf, reached + SLACK))
    return [int(value) for value in solution[:size]]


class _Kept:
    """Pieces that stay where they are set aside: a variable for each way that has some, no more than go that way."""

    def __init__(self, ways: Sequence[Way]) -> None:
        self.at = [index for index, way in enumerate(ways) if way.kept > 0]
        self.most = [ways[index].kept for index in self.at]
        self.extra = len(self.at)

    def rows(self, size: int) -> Numbers:
        """Return, for each of them, ``stays - goes that way <= 0``."""
        made = np.zeros((self.extra, size + self.extra))
        for row, index in enumerate(self.at):
            made[row, index], made[row, size + row] = -1.0, 1.0
        return made


def _incidence(of: Sequence[int], count: int, extra: int) -> object:
    """Which way belongs to which need, or part: rows of ones, as a sparse matrix."""
    from scipy.sparse import csr_array

    size = len(of)
    return csr_array((np.ones(size), (np.asarray(of), np.arange(size))), shape=(count, size + extra))


def _aims(ways: Sequence[Way], kept: _Kept) -> list[Numbers]:
    """What is to be as small as it can be, the first aim first."""
    verdict = np.array([way.verdict for way in ways])
    rest = np.zeros(kept.extra)
    aims = [
        np.concatenate([-np.ones(len(ways)), rest]),
        np.concatenate([(verdict == MEASURE).astype(float), rest]),
        np.concatenate([(verdict == CARE).astype(float), rest]),
    ]
    if kept.extra:
        aims.append(np.concatenate([np.zeros(len(ways)), -np.ones(kept.extra)]))
    aims.append(np.concatenate([np.array([way.score for way in ways]), rest]))
    return aims
