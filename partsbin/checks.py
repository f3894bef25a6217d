"""Checks, findings and verdicts: one rule applied to one way of using a part, for one need.

A check is written once, over arrays of option quantities. Judging a million rows, a make-up and the one row being explained
call the same function; words are made only for rows that are shown.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import IntEnum, StrEnum
from typing import TYPE_CHECKING, Any, NamedTuple

import numpy as np
import numpy.typing as npt

if TYPE_CHECKING:
    from partsbin.needs import Need

Numbers = npt.NDArray[np.float64]
Texts = npt.NDArray[np.object_]
Columns = Mapping[str, npt.NDArray[Any]]
"""Quantities of n options: float arrays with NaN for unknown, object arrays of text with "" for unknown."""


class Outcome(IntEnum):
    """What one check says; the worst of all decides."""

    PASS = 0
    THIN = 1
    UNKNOWN = 2
    FAIL = 3

    @property
    def word(self) -> str:
        """The outcome as it is written in answers."""
        return self.name.lower()


PASS, THIN, UNKNOWN, FAIL = (int(outcome) for outcome in Outcome)
"""The same as plain numbers, for arrays: a member of an enumeration takes an array ten times as long."""


class Verdict(IntEnum):
    """What all checks together say of an option."""

    FITS = 0
    CARE = 1
    MEASURE = 2
    UNFIT = 3

    @property
    def word(self) -> str:
        """The verdict as it is written in answers."""
        return self.name.lower()


class Missing(StrEnum):
    """What a missing datum means for a check."""

    FAIL = "fail"  # a mark that no reading can replace
    LOOK = "look"  # read the marking, inspect
    MEASURE = "measure"  # a reading settles it
    ASSUME = "assume"  # the option was given a cited default before it came here


_MISSING_OUTCOME = {
    Missing.FAIL: Outcome.FAIL,
    Missing.LOOK: Outcome.UNKNOWN,
    Missing.MEASURE: Outcome.UNKNOWN,
    Missing.ASSUME: Outcome.UNKNOWN,
}


@dataclass(frozen=True)
class Ruling:
    """What a check found for n options.

    Parameters
    ----------
    outcome : array of int8
        Values of `Outcome`.
    offered, needed : array, (array, array) or str
        What the option has and what the need asks: numbers, bounds (low, high) or texts.
    margin : array, optional
        (rating - stress) / rating; NaN where there is none.
    """

    outcome: npt.NDArray[np.int8]
    offered: Any
    needed: Any
    margin: Numbers | None = None


class Finding(NamedTuple):
    """One check's word on one option, as it stands in an answer."""

    check: str
    verdict: str
    offered: float | str | dict[str, float] | None
    needed: float | str | dict[str, float] | None
    unit: str
    margin: float | None
    wall: bool
    reason: str
    source: str
    title: str = ""
    reading: str = ""
    change: bool = False

    @property
    def ends(self) -> tuple[float, float]:
        """Both ends of what is offered: the same twice for a plain number, NaN where it is none."""
        if isinstance(self.offered, dict):
            return self.offered["lo"], self.offered["hi"]
        number = float(self.offered) if isinstance(self.offered, (int, float)) else math.nan
        return number, number


Judge = Callable[["Need", Columns], Ruling | None]
Say = Callable[["Need", Finding, Mapping[str, Any]], str]


@dataclass(frozen=True)
class Check:
    """One rule of a family.

    Parameters
    ----------
    code : str
        Unique and never reused, such as ``CAP02``.
    title : str
        Two or three words for the table of checks.
    source : str
        Key of `partsbin.sources`.
    uses : tuple of str
        Names of the option quantities it reads. A check is skipped, as a lower bound, where a quantity is not at hand.
    judge : callable
        ``judge(need, columns)`` gives a `Ruling`, or None where the check does not concern the need.
    say : callable
        ``say(need, finding, row)`` gives the reason in words, with both numbers.
    unit : str
        SI unit of offered and needed.
    wall : bool
        True if nothing turns it off.
    missing : Missing
        What a missing datum means.
    reading : str
        Name of the reading that settles an unknown.
    change : bool
        True if thin means a change to make, not a margin.
    may : tuple of str
        The outcomes it can have: the family has an example of each.
    """

    code: str
    title: str
    source: str
    uses: tuple[str, ...]
    judge: Judge
    say: Say
    unit: str = ""
    wall: bool = False
    missing: Missing = Missing.FAIL
    reading: str = ""
    change: bool = False
    may: tuple[str, ...] = ("pass", "thin", "unknown", "fail")

    @property
    def missing_outcome(self) -> Outcome:
        """The outcome where a datum is missing."""
        return _MISSING_OUTCOME[self.missing]


def length(columns: Columns) -> int:
    """Return the number of options held in `columns` [-]."""
    return len(next(iter(columns.values())))


def _all(value: float | str, n: int) -> npt.NDArray[Any]:
    """Return n times the same, without writing it down n times."""
    return np.broadcast_to(np.array(value, dtype=object if isinstance(value, str) else np.float64), n)


def outcomes(
    n: int,
    *,
    fail: npt.NDArray[np.bool_],
    thin: npt.NDArray[np.bool_] | None = None,
    unknown: npt.NDArray[np.bool_] | None = None,
    missing: Outcome = Outcome.UNKNOWN,
) -> npt.NDArray[np.int8]:
    """Combine masks into outcomes: fail beats unknown beats thin beats pass.

    Comparisons with NaN are false, so every caller names its unknown rows; they never pass by accident.
    """
    result = np.zeros(n, dtype=np.int8)
    if thin is not None:
        result[thin] = THIN
    if unknown is not None:
        result[unknown] = missing
    result[fail] = FAIL
    return result


def at_most(
    stress: Numbers | float, rating: Numbers, *, thin_above: float = 1.0, missing: Outcome = Outcome.UNKNOWN
) -> Ruling:
    """Judge a stress against a rating at its worst end: fail above it, thin from `thin_above` of it and at equality.

    Parameters
    ----------
    stress : array or float
        What the circuit puts on the part, worst end [-].
    rating : array
        What the part bears [-].
    thin_above : float
        Fraction of the rating above which the margin is thin [-].
    missing : Outcome
        Outcome where stress or rating is NaN.

    Returns
    -------
    Ruling
        With the margin (rating - stress) / rating [-].
    """
    load = np.broadcast_to(np.asarray(stress, dtype=np.float64), rating.shape)
    with np.errstate(invalid="ignore", divide="ignore"):
        margin = (rating - load) / rating
        fail = load > rating
        thin = (load > thin_above * rating) | (load == rating)
    return Ruling(
        outcomes(len(rating), fail=fail, thin=thin, unknown=np.isnan(load) | np.isnan(rating), missing=missing),
        rating,
        load,
        margin,
    )


def straddling(
    low: Numbers,
    high: Numbers,
    *,
    least: float,
    thin_below: float = 0.0,
    missing: Outcome = Outcome.UNKNOWN,
    narrows: bool = True,
) -> Ruling:
    """Judge an uncertain rating against the least that is needed, at its worst end.

    Where worst and best end straddle the limit the outcome is unknown if a reading can narrow it, else fail: never thin.

    Parameters
    ----------
    low, high : array
        The two ends of what the part offers [-].
    least : float
        What the need asks [-].
    thin_below : float
        Worst ends under this pass as thin [-].
    missing : Outcome
        Outcome where an end is NaN.
    narrows : bool
        Whether a reading can narrow the interval.

    Returns
    -------
    Ruling
        Offered is the pair of ends.
    """
    with np.errstate(invalid="ignore", divide="ignore"):
        fail = high < least
        straddle = (low < least) & ~fail
        thin = (low < thin_below) | (low == least)
        margin = (low - least) / low
    result = outcomes(len(low), fail=fail, thin=thin)
    result[straddle] = UNKNOWN if narrows else FAIL
    result[np.isnan(low) | np.isnan(high) | np.isnan(least)] = missing
    return Ruling(result, (low, high), _all(least, len(low)), margin)


def within(
    value: Numbers,
    low: Numbers,
    high: Numbers,
    whole: npt.NDArray[np.bool_],
    fits: tuple[float, float],
    care: tuple[float, float],
    *,
    missing: Outcome = Outcome.UNKNOWN,
) -> Ruling:
    """Judge a value against the window that fits and the wider one that needs care; bounds are inclusive.

    Parameters
    ----------
    value : array
        Nominal or measured value [-].
    low, high : array
        Its interval: measured ± uncertainty, else marked ± tolerance [-].
    whole : array of bool
        True where the whole interval must lie inside (measured, or a critical position), else the value alone.
    fits, care : (float, float)
        The two windows [-].
    missing : Outcome
        Outcome where the value is NaN.

    Returns
    -------
    Ruling
        Offered is the value where it alone is judged, else the interval; needed is the window that fits.
    """
    slack = 1e-9  # a value written on the bound is inside it: 0.8 × 0.05 µF is 40 nF whatever binary floats make of it
    bottom = np.where(whole, low, value)
    top = np.where(whole, high, value)
    with np.errstate(invalid="ignore"):
        inside = (bottom >= fits[0] * (1 - slack)) & (top <= fits[1] * (1 + slack))
        near = (bottom >= care[0] * (1 - slack)) & (top <= care[1] * (1 + slack))
    result = outcomes(len(value), fail=~near, thin=near & ~inside)
    result[np.isnan(bottom) | np.isnan(top) | np.isnan(fits[0]) | np.isnan(fits[1])] = missing
    return Ruling(result, (bottom, top), (_all(fits[0], len(value)), _all(fits[1], len(value))))


def one_of(
    texts: Texts,
    *,
    good: frozenset[str],
    thin: frozenset[str] = frozenset(),
    needed: str,
    missing: Outcome = Outcome.UNKNOWN,
) -> Ruling:
    """Judge a word: good, passing as thin, or failing; "" is unknown."""
    words = texts.tolist()
    table = {
        word: Outcome.PASS if word in good else Outcome.THIN if word in thin else Outcome.FAIL for word in set(words)
    }
    table[""] = missing
    result = np.fromiter((table[word] for word in words), dtype=np.int8, count=len(words))
    return Ruling(result, texts, _all(needed, len(words)))


def verdict_of(outcome: npt.NDArray[np.int8]) -> npt.NDArray[np.int8]:
    """Return the verdict for the worst outcome of each option: pass fits, thin care, unknown measure, fail unfit."""
    return outcome.astype(np.int8)
