"""Preferred values of IEC 60063, in exact decimals, and what replaces a value from before them.

Binary floats decide ties by accident: 20 lies exactly between 18 and 22, and 0.02 must give the same answer as 2e-8. Distance is
by ratio, as tolerances are; a tie goes to the higher value, as the trade resolves .02 to .022 and .03 to .033.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from decimal import Decimal, localcontext
from functools import cache
from typing import NamedTuple

from partsbin.errors import NotationError
from partsbin.notation.units import exact

_E24 = "10 11 12 13 15 16 18 20 22 24 27 30 33 36 39 43 47 51 56 62 68 75 82 91"
SERIES_NAMES = ("E3", "E6", "E12", "E24", "E48", "E96", "E192")
"""The series of IEC 60063."""


class Replacement(NamedTuple):
    """What replaces an old value.

    Parameters
    ----------
    old, new : Decimal
        Both in the unit given.
    deviation : Decimal
        new / old - 1 [-].
    """

    old: Decimal
    new: Decimal
    deviation: Decimal


@cache
def series(name: str) -> tuple[Decimal, ...]:
    """Return one decade of a series, from 1 up to below 10.

    Parameters
    ----------
    name : str
        One of `SERIES_NAMES`.

    Returns
    -------
    tuple of Decimal
        Exact decimals [-].

    Raises
    ------
    NotationError
        If there is no such series.

    Notes
    -----
    E24 and below are a list of their own; E48, E96 and E192 are the steps 10^(i/n) rounded to three digits, but for 9.20 in
    E192, which the rounding would make 9.19.

    References
    ----------
    IEC 60063:2015, as given by encyclopaedia pages and by the package eseries.

    Examples
    --------
    >>> [str(step) for step in series("E6")]
    ['1', '1.5', '2.2', '3.3', '4.7', '6.8']
    """
    if name not in SERIES_NAMES:
        raise NotationError(f"no series {name!r}: expected one of {', '.join(SERIES_NAMES)}")
    count = int(name[1:])
    if count <= 24:
        return tuple(Decimal(step) / 10 for step in _E24.split()[:: 24 // count])
    with localcontext() as context:
        context.prec = 30
        steps = [(Decimal(10) ** (Decimal(i) / count)).quantize(Decimal("0.01")) for i in range(count)]
    return tuple(Decimal("9.20") if step == Decimal("9.19") else step for step in steps)


def _decade(value: Decimal | float | int) -> tuple[Decimal, int]:
    """Split a positive number into a mantissa from 1 up to below 10 and its power of ten."""
    number = exact(value)
    if not number.is_finite() or number <= 0:
        raise NotationError(f"no preferred value for '{value}': expected a number above 0")
    power = number.adjusted()
    return number.scaleb(-power), power


def neighbours(value: Decimal | float | int, name: str = "E12") -> tuple[Decimal, Decimal]:
    """Return the preferred values next below and next above, the value itself left out.

    Parameters
    ----------
    value : Decimal, float or int
        Positive, in any unit [same].
    name : str
        One of `SERIES_NAMES`.

    Returns
    -------
    tuple of Decimal
        Below and above [same].

    Raises
    ------
    NotationError
        If the value is not above 0, or there is no such series.

    Examples
    --------
    >>> [str(step) for step in neighbours(5100, "E24")]
    ['4.7E+3', '5.6E+3']
    """
    mantissa, power = _decade(value)
    steps = series(name)
    below, above = bisect_left(steps, mantissa) - 1, bisect_right(steps, mantissa)
    low = steps[below].scaleb(power) if below >= 0 else steps[-1].scaleb(power - 1)
    high = steps[above].scaleb(power) if above < len(steps) else steps[0].scaleb(power + 1)
    return low, high


def nearest(value: Decimal | float | int, name: str = "E12") -> Decimal:
    """Return the preferred value nearest by ratio; of two equally near ones the higher.

    Parameters
    ----------
    value : Decimal, float or int
        Positive, in any unit [same].
    name : str
        One of `SERIES_NAMES`.

    Returns
    -------
    Decimal
        The preferred value [same].

    Raises
    ------
    NotationError
        If the value is not above 0, or there is no such series.

    Notes
    -----
    Between neighbours a < b the border is the geometric mean: b is nearer where value² ≥ a b. 20 in E12 becomes 22, since
    22/20 < 20/18.

    References
    ----------
    Rule: nearest by ratio; for capacitors upward is what restorers do (antiqradio.com).

    Examples
    --------
    >>> str(nearest(Decimal("0.02")))
    '0.022'
    """
    mantissa, power = _decade(value)
    if mantissa in series(name):
        return mantissa.scaleb(power)
    low, high = neighbours(mantissa, name)
    return (high if mantissa * mantissa >= low * high else low).scaleb(power)


def replacement(old: Decimal | float | int, name: str = "E12") -> Replacement:
    """Return the preferred value that replaces an old one, and by how much it differs.

    Parameters
    ----------
    old : Decimal, float or int
        Positive, in any unit [same].
    name : str
        One of `SERIES_NAMES`.

    Returns
    -------
    Replacement
        Old and new value [same] and the deviation, new / old - 1 [-].

    Raises
    ------
    NotationError
        If the value is not above 0, or there is no such series.

    Examples
    --------
    >>> str(replacement(Decimal("0.05")).deviation)
    '-0.06'
    """
    given, new = exact(old), nearest(old, name)
    return Replacement(given, new, new / given - 1)
