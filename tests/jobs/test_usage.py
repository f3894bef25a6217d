"""Reorder points: against scipy's own distributions."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from partsbin.errors import UsageError
from partsbin.jobs.usage import DAYS_A_MONTH, Usage, by_month, point


@given(st.lists(st.integers(0, 30), min_size=1, max_size=24), st.floats(0.5, 0.999), st.integers(1, 120))
def test_the_point_is_the_quantile_of_the_demand(months: list[int], service: float, lead: int) -> None:
    """Poisson, or negative binomial of the same mean and variance where these differ: `scipy.stats` has both."""
    usage = Usage(tuple(months))
    found = point(usage, service, lead)
    mean, variance = usage.mean * lead / DAYS_A_MONTH, usage.variance * lead / DAYS_A_MONTH
    wide = variance > mean * (1 + 1e-9)
    law = stats.nbinom(mean * mean / (variance - mean), mean / variance) if wide else stats.poisson(mean)
    assert law.cdf(found.pieces) >= service - 1e-9
    assert found.pieces == 0 or law.cdf(found.pieces - 1) < service + 1e-9
    assert found.reached == pytest.approx(law.cdf(found.pieces), abs=1e-9)


def test_the_month_that_is_not_over_does_not_count() -> None:
    """By hand: two pieces in March, one in January, none in February; April is not over."""

    def at(month: int) -> datetime:
        return datetime(2026, month, 5, tzinfo=UTC)

    moved = [(at(1), 1), (at(3), 3), (at(3), -1), (at(4), 7)]
    assert by_month(moved, at(1), at(4)) == Usage((1, 0, 2))


@pytest.mark.parametrize(("service", "lead"), [(0.0, 14), (1.0, 14), (0.95, 0)])
def test_a_chance_is_no_certainty(service: float, lead: int) -> None:
    """Nor does a delivery come before it was ordered."""
    with pytest.raises(UsageError):
        point(Usage((1,)), service, lead)
