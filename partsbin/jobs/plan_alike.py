"""Pieces of one need that must be alike: the two grid leaks of a push-pull stage, the halves of a balanced output.

What counts is what is known: the ends of a reading, or of a tolerance. Where the shelf may have pieces alike but nobody knows, the
plan says which to measure.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from partsbin.checks import Verdict
from partsbin.families._declare import known
from partsbin.matching.search import Candidate
from partsbin.words import percent

EDGE = 1 + 1e-9


@dataclass(frozen=True)
class Alike:
    """Parts whose pieces together serve a need for several alike.

    Parameters
    ----------
    taken : tuple of (Candidate, int)
        Each part, and how many pieces of it.
    verdict : Verdict
        The worst of theirs; to be measured where it is not known whether they are alike.
    score : float
        The sum over the pieces [-].
    why : str
        What is known of them, or what to read.
    """

    taken: tuple[tuple[Candidate, int], ...]
    verdict: Verdict
    score: float
    why: str

    @property
    def uses(self) -> Mapping[int, int]:
        """How many pieces of each part, by id [-]."""
        return {candidate.part.id: pieces for candidate, pieces in self.taken}


@dataclass(frozen=True)
class _Piece:
    low: float
    high: float
    candidate: Candidate
    pieces: int


def alike(ways: Sequence[Candidate], there: Mapping[int, int], pieces: int, within: float) -> list[Alike]:
    """Return sets of parts alike, one for each part as the lowest of its set.

    Parameters
    ----------
    ways : sequence of Candidate
        Parts that serve singly, the best first.
    there : mapping of int to int
        Pieces of each part that may be taken [-].
    pieces : int
        How many are wanted [-].
    within : float
        The highest over the lowest, less one [-].

    Returns
    -------
    list of Alike
        Those that are known to be alike; where there is none, those that may be once they were measured.
    """
    some = [_piece(candidate, there.get(candidate.part.id, 0)) for candidate in ways]
    lying = [one for one in some if one is not None and one.pieces > 0]
    sure = [
        _set(first, [o for o in lying if first.low <= o.low and o.high <= first.low * (1 + within) * EDGE], pieces)
        for first in lying
        if first.high <= first.low * (1 + within) * EDGE
    ]
    found = [_worded(taken, within) for taken in sure if taken]
    if found:
        return found
    maybe = [
        _set(first, [o for o in lying if first.low <= o.low <= first.high * (1 + within) * EDGE], pieces)
        for first in lying
    ]
    return [_to_measure(taken, within) for taken in maybe if taken]


def _piece(candidate: Candidate, pieces: int) -> _Piece | None:
    offers, keys = candidate.option.offers, candidate.family.keys
    if not (known(offers, keys.low) and known(offers, keys.high)):
        return None
    low, high = (float(offers[name] or 0.0) for name in (keys.low, keys.high))
    return _Piece(low, high, candidate, pieces) if low > 0 else None


def _set(first: _Piece, others: Sequence[_Piece], pieces: int) -> list[tuple[_Piece, int]]:
    """Take the best that go with the first, the first among them; nothing where they are not enough."""
    taken = [(first, 1)]
    left = pieces - 1
    for one in sorted(others, key=lambda o: (o.candidate.verdict, o.candidate.score, o is not first)):
        number = min(left, one.pieces - (one is first))
        left -= number
        if one is first:
            taken[0] = (first, 1 + number)
        elif number:
            taken.append((one, number))
    return taken if left == 0 else []


def _worded(taken: Sequence[tuple[_Piece, int]], within: float) -> Alike:
    apart = max(one.high for one, _ in taken) / min(one.low for one, _ in taken) - 1
    return _alike(taken, Verdict.FITS, f"alike within {percent(apart)}, {percent(within)} wanted")


def _to_measure(taken: Sequence[tuple[_Piece, int]], within: float) -> Alike:
    names = ", ".join(f"{n} × {one.candidate.part.number}" if n > 1 else one.candidate.part.number for one, n in taken)
    return _alike(
        taken, Verdict.MEASURE, f"read {names} piece by piece, closely: {percent(within)} wanted between them"
    )


def _alike(taken: Sequence[tuple[_Piece, int]], least: Verdict, why: str) -> Alike:
    verdict = max(least, *(one.candidate.verdict for one, _ in taken))
    score = sum(one.candidate.score * number for one, number in taken)
    return Alike(tuple((one.candidate, number) for one, number in taken), verdict, score, why)
