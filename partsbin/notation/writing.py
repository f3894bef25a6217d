"""SI numbers to text, the trade's way: 22 nF, 0.1 µF, 4.7 kΩ, 12 mA, at most four significant digits."""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Context, Decimal
from typing import NamedTuple

from partsbin.errors import NotationError
from partsbin.notation.units import SI_UNITS, exact

DIGITS = 4
_ROUNDING = Context(prec=DIGITS, rounding=ROUND_HALF_EVEN)


class _Step(NamedTuple):
    """A unit as written, and from how much on it is used."""

    least: Decimal
    factor: Decimal
    sign: str


def _steps(*rows: tuple[str, str, str]) -> tuple[_Step, ...]:
    return tuple(_Step(Decimal(least), Decimal(factor), sign) for least, factor, sign in rows)


# Largest first; the last one takes everything smaller. 0.1 µF and not 100 nF, 1000 V and not 1 kV: as the trade writes them.
_STEPS: dict[str, tuple[_Step, ...]] = {
    "F": _steps(("0.1", "1", "F"), ("1E-7", "1E-6", "µF"), ("1E-9", "1E-9", "nF"), ("0", "1E-12", "pF")),
    "ohm": _steps(
        ("1E9", "1E9", "GΩ"), ("1E6", "1E6", "MΩ"), ("1E3", "1E3", "kΩ"), ("0.1", "1", "Ω"), ("0", "1E-3", "mΩ")
    ),
    "V": _steps(("1E4", "1E3", "kV"), ("0.1", "1", "V"), ("1E-3", "1E-3", "mV"), ("0", "1E-6", "µV")),
    "A": _steps(("1", "1", "A"), ("1E-3", "1E-3", "mA"), ("1E-6", "1E-6", "µA"), ("0", "1E-9", "nA")),
    "W": _steps(("1E4", "1E3", "kW"), ("0.1", "1", "W"), ("0", "1E-3", "mW")),
    "H": _steps(("0.1", "1", "H"), ("1E-3", "1E-3", "mH"), ("0", "1E-6", "µH")),
    "Hz": _steps(("1E6", "1E6", "MHz"), ("1E3", "1E3", "kHz"), ("0", "1", "Hz")),
    "m": _steps(("1", "1", "m"), ("0", "1E-3", "mm")),
    "m²": _steps(("0", "1E-4", "cm²")),
    "°C": _steps(("0", "1", "°C")),
    "K": _steps(("0", "1", "K")),
    "J": _steps(("0.1", "1", "J"), ("0", "1E-3", "mJ")),
    "s": _steps(("0.1", "1", "s"), ("1E-3", "1E-3", "ms"), ("0", "1E-6", "µs")),
    "-": _steps(("0", "1", "")),
}


def _step(value: Decimal, unit: str) -> _Step:
    if unit not in _STEPS:
        raise NotationError(f"no unit '{unit}': expected one of {', '.join(SI_UNITS)}")
    size = abs(_ROUNDING.plus(value))
    if size == 0:
        return next(step for step in _STEPS[unit] if step.factor == 1 or step is _STEPS[unit][-1])
    return next(step for step in _STEPS[unit] if size >= step.least)


def _digits(value: Decimal) -> str:
    """A number with at most four significant digits, without trailing zeros, without an exponent where that is readable."""
    rounded = _ROUNDING.plus(value).normalize()
    if rounded and not -9 <= rounded.adjusted() <= 9:
        return f"{rounded:E}"
    return f"{rounded:f}" if rounded else "0"


def format_quantity(value: Decimal | float | int, unit: str) -> str:
    """Return a value as the trade writes it.

    Parameters
    ----------
    value : Decimal, float or int
        In SI; NaN is a value that is not known [same].
    unit : str
        One of `SI_UNITS`.

    Returns
    -------
    str
        At most four significant digits and the unit; "unknown" for NaN.

    Raises
    ------
    NotationError
        If there is no such unit.

    Notes
    -----
    `read_quantity` reads the text back to the same value, if that had no more than four significant digits.

    Examples
    --------
    >>> format_quantity(2.2e-8, "F"), format_quantity(1e-7, "F"), format_quantity(4700, "ohm"), format_quantity(0.00635, "m")
    ('22 nF', '0.1 µF', '4.7 kΩ', '6.35 mm')
    """
    number = exact(value)
    if number.is_nan():
        return "unknown"
    if number.is_infinite():
        return f"{'-' if number < 0 else ''}∞ {_step(Decimal(0), unit).sign}".strip()
    step = _step(number, unit)
    return f"{_digits(number / step.factor)} {step.sign}".strip()


def format_tolerance(low: Decimal | float | int, high: Decimal | float | int | None = None) -> str:
    """Return a tolerance as the trade writes it.

    Parameters
    ----------
    low : Decimal, float or int
        The lower limit as a fraction, negative; or the one figure that holds either way [-].
    high : Decimal, float or int, optional
        The upper limit as a fraction [-].

    Returns
    -------
    str
        ``±10 %`` or ``-20/+50 %``.

    Examples
    --------
    >>> format_tolerance(0.1), format_tolerance(-0.2, 0.5)
    ('±10 %', '-20/+50 %')
    """
    below = exact(low) * 100
    above = abs(below) if high is None else exact(high) * 100
    if high is None or below == -above:
        return f"±{_digits(abs(above))} %"
    return f"{'' if below < 0 else '-' if below == 0 else '+'}{_digits(below)}/{'+' if above >= 0 else ''}{_digits(above)} %"


def format_interval(lo: Decimal | float | int, hi: Decimal | float | int, unit: str) -> str:
    """Return an interval as the trade writes it, both ends in the unit that suits the upper one.

    Parameters
    ----------
    lo, hi : Decimal, float or int
        The ends, in SI; an infinite end is left open [same].
    unit : str
        One of `SI_UNITS`.

    Returns
    -------
    str
        ``26–50 µF``; "over 20 MΩ" or "up to 50 µF" where an end is open, "unknown" where one is NaN.

    Raises
    ------
    NotationError
        If there is no such unit.

    Examples
    --------
    >>> format_interval(26e-6, 50e-6, "F"), format_interval(3900, 6900, "ohm"), format_interval(20e6, float("inf"), "ohm")
    ('26–50 µF', '3.9–6.9 kΩ', 'over 20 MΩ')
    """
    low, high = exact(lo), exact(hi)
    if low.is_nan() or high.is_nan():
        return "unknown"
    if low.is_infinite() or high.is_infinite():
        if low.is_infinite() and high.is_infinite():
            return "any"
        return f"over {format_quantity(low, unit)}" if high.is_infinite() else f"up to {format_quantity(high, unit)}"
    step = _step(max(abs(low), abs(high)), unit)
    between = "–" if low >= 0 else " to "
    return f"{_digits(low / step.factor)}{between}{_digits(high / step.factor)} {step.sign}".strip()
