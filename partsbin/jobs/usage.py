"""Usage by the ledger, and the stock that lasts until a delivery comes, at a chosen service level."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from partsbin.errors import UsageError

DAYS_A_MONTH = 365.25 / 12
MONTHS = 24
"""Months before this one whose usage is looked at; fewer where the catalogue is younger [-]."""

MOST = 1_000_000
"""Pieces of a rule, at most [-]."""

MOST_DAYS, MOST_SERVICE = 3650, 0.9999
"""Days of a lead time and chance that stock lasts, at most: what is beyond them is a slip [-]."""


@dataclass(frozen=True)
class Usage:
    """How many pieces went in each month.

    Parameters
    ----------
    months : tuple of int
        Pieces fitted and not brought back, the oldest month first [-].
    """

    months: tuple[int, ...]

    @property
    def mean(self) -> float:
        """Pieces a month [-]."""
        return sum(self.months) / len(self.months) if self.months else 0.0

    @property
    def variance(self) -> float:
        """Variance of a month's pieces, of a sample; the mean where one month alone is known [-]."""
        n = len(self.months)
        return sum((month - self.mean) ** 2 for month in self.months) / (n - 1) if n > 1 else self.mean


@dataclass(frozen=True)
class Point:
    """A reorder point and what it rests on.

    Parameters
    ----------
    pieces : int
        At so many pieces, or fewer, something is ordered [-].
    law : str
        ``poisson``, or ``negative binomial`` where usage varies more than that.
    mean, variance : float
        Of the demand until the delivery comes [-].
    service : float
        Chance that so many pieces last; `reached` is what it is with this whole number [-].
    """

    pieces: int
    law: str
    mean: float
    variance: float
    service: float
    reached: float


def by_month(moved: Sequence[tuple[datetime, int]], first: datetime, now: datetime) -> Usage:
    """Count pieces by whole calendar months; the month that is not over yet says too little.

    Parameters
    ----------
    moved : sequence of (datetime, int)
        When, and how many pieces went [-]; fewer than 0: came back.
    first : datetime
        When the ledger begins: months before it are no months without usage.
    now : datetime
        The present.

    Notes
    -----
    A month in which more came back than went counts as none: pieces that come back take nothing from the demand of another month.
    """
    this = 12 * now.year + now.month - 1
    start = max(this - MONTHS, 12 * first.year + first.month - 1)
    counts = dict.fromkeys(range(start, this), 0)
    for at, pieces in moved:
        month = 12 * at.year + at.month - 1
        if month in counts:
            counts[month] += pieces
    return Usage(tuple(max(count, 0) for count in counts.values()))


def point(usage: Usage, service: float, lead: int) -> Point:
    """Return the least stock that lasts through the lead time at a service level.

    Parameters
    ----------
    usage : Usage
        By month.
    service : float
        Chance that it lasts, between 0 and 1 [-].
    lead : int
        Days until a delivery comes [-].

    Raises
    ------
    UsageError
        If the service level or the lead time is out of range.

    Notes
    -----
    Demand of the lead time has mean and variance of a month times its length in months. It is Poisson, or negative binomial with
    the same mean and variance where the variance is larger. Months are taken as independent: seasons are neglected.
    """
    if not 0 < service <= MOST_SERVICE:
        raise UsageError(
            f"service level {service:g}: expected a chance above 0, up to {MOST_SERVICE}", hint="such as 0.95"
        )
    if not 0 < lead <= MOST_DAYS:
        raise UsageError(f"{lead} days until a delivery comes: expected 1 to {MOST_DAYS}", hint="such as 14")
    months = lead / DAYS_A_MONTH
    mean, variance = usage.mean * months, usage.variance * months
    wide = variance > mean * (1 + 1e-9)
    total = 0.0
    for pieces, chance in enumerate(_negative_binomial(mean, variance) if wide else _poisson(mean)):
        total += chance
        if total >= service or pieces >= MOST:
            break
    return Point(pieces, "negative binomial" if wide else "poisson", mean, variance, service, min(total, 1.0))


def _poisson(mean: float) -> Iterator[float]:
    n = 0
    while True:
        yield math.exp(n * math.log(mean) - mean - math.lgamma(n + 1)) if mean else float(n == 0)
        n += 1


def _negative_binomial(mean: float, variance: float) -> Iterator[float]:
    size, success = mean * mean / (variance - mean), mean / variance
    n = 0
    while True:
        ways = math.lgamma(n + size) - math.lgamma(size) - math.lgamma(n + 1)
        yield math.exp(ways + size * math.log(success) + n * math.log1p(-success))
        n += 1
