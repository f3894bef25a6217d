"""Measurements as they are written down: ``capacitance=22.0uF±1%``, ``leakage=12uA@350V``, ``ratio=230V:5.1V``."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import datetime

from partsbin.errors import NotationError, UsageError
from partsbin.families import Family
from partsbin.notation.quantity import read_quantity, to_float
from partsbin.notation.text import normalise
from partsbin.stock.parts import NewReading

USUAL_METER = 0.02
"""Half-width of a reading whose uncertainty nobody gave, as a fraction: an ordinary meter, common practice."""

AT_VOLTS = ("leakage", "insulation")
"""What a meter may show only a bound of, and what means something at its volts alone."""

BOUND_SPAN = 1024.0
"""How far beyond ``over 200M`` the value may lie; a power of two, so that the bound itself comes back exactly."""

_WRITTEN = re.compile(r"([^=<>≥≤]*)([=<>≥≤])(.*)", re.DOTALL)
_MORE = re.compile(r"(?i)(?:>=?|≥|(?:over|above|more than|at least|über|ueber|mehr als)\b)\s*")
_LESS = re.compile(r"(?i)(?:<=?|≤|(?:under|below|less than|at most|unter|weniger als|höchstens)\b)\s*")
_BARE = re.compile(r"[\d.,\s+-]*(?:e[+-]?\d+)?", re.IGNORECASE)
SAMPLE = {
    "F": "22nF or 0.022uF",
    "A": "5uA",
    "H": "9H",
    "ohm": "20M",
    "V": "250V",
    "W": "5W",
    "Hz": "50Hz",
    "m": "6mm",
}


def read_measurements(family: Family, text: str) -> list[NewReading]:
    """Read several measurements, separated by semicolons.

    Raises
    ------
    UsageError
        If one is not of a quantity of the family, or its value cannot be read.
    """
    return [read_measurement(family, entry) for entry in re.split(r"[;\n]", text) if entry.strip()]


def read_taken(
    family: Family, texts: Sequence[str], *, instrument: str = "", accuracy: str = "", at: datetime | None = None
) -> list[NewReading]:
    """Read measurements as they are said at the bench: ``ratio 230V:5.1V`` is as good as ``ratio=230V:5.1V``.

    Parameters
    ----------
    family : Family
        Whose quantities may be measured.
    texts : sequence of str
        As of `read_measurement`.
    instrument : str
        What they were read with.
    accuracy : str
        Its accuracy, ``0.8%+3d``, for readings that say no half-width of their own.
    at : datetime, optional
        When they were read, if not at the moment of writing down.

    Raises
    ------
    UsageError
        If one is not of a quantity of the family, or its value cannot be read.
    """
    taken = []
    for text in texts:
        name, gap, rest = text.strip().partition(" ")
        said = f"{name}={rest}" if gap and not _WRITTEN.fullmatch(text) else text
        taken.append(replace(read_measurement(family, said, accuracy), instrument=instrument, taken_at=at))
    return taken


def read_measurement(family: Family, text: str, accuracy: str = "") -> NewReading:
    """Read one measurement, ``NAME[@SUBJECT]=VALUE[±UNCERTAINTY][@VOLTS]``.

    Parameters
    ----------
    family : Family
        Whose quantities may be measured.
    text : str
        As written; the subject is a section or winding pair, counted from 1. Of leakage and insulation ``over 200M`` and
        ``<1uA`` are bounds; the insulation of a part whose family reckons in leakage becomes the leakage at its volts.
    accuracy : str
        Of the instrument, ``0.8%+3d``: the half-width where none is written.

    Returns
    -------
    NewReading
        In SI, with its half-width and conditions.

    Raises
    ------
    UsageError
        If the quantity is not one of the family's, the value cannot be read or lacks its unit, or leakage lacks its volts.
    """
    quantity, subject, rest = _parts(family, text)
    unit = next((reading.unit for reading in family.readings if reading.name == quantity), "ohm")
    body, _, condition = re.sub(r"\s+(?:at|bei)\s+", "@", rest.strip()).partition("@")
    try:
        value, width = _taken(normalise(body).text, quantity, unit, accuracy)
        volts = to_float(read_quantity(condition.strip(), "V")) if condition else None
    except NotationError as fault:
        raise UsageError(f"{text.strip()!r}: {fault.message}", hint=fault.hint) from None
    if not value > 0 or not (volts is None or volts > 0):
        hint = f"a meter that shows none: {quantity}=<0.1uA@250V" if quantity == "leakage" else ""
        raise UsageError(f"{text.strip()!r}: expected a value above zero", hint=hint)
    if quantity in AT_VOLTS and _reckons_in_leakage(family):
        if volts is None:
            raise UsageError(
                f"{text.strip()!r}: {quantity} says nothing without the volts it was read at",
                hint=f"{quantity}={'5uA' if quantity == 'leakage' else '20M'}@250V",
            )
        if quantity == "insulation":
            quantity, unit = "leakage", "A"
            value, width = _middle(volts / (value + width), volts / (value - width))
    name = f"{quantity}@{int(subject)}" if subject else quantity
    return NewReading(name, value, unit, width, {} if volts is None else {"volts": volts})


def _reckons_in_leakage(family: Family) -> bool:
    return any(reading.name == "leakage" for reading in family.readings)


def _parts(family: Family, text: str) -> tuple[str, str, str]:
    """Quantity, subject and the rest; ``insulation>200M`` is as good as ``insulation=>200M``."""
    written = _WRITTEN.fullmatch(text)
    name, sign, rest = written.groups() if written else (text, "", "")
    quantity, _, subject = re.sub(r"[-\s]+", "_", name.strip().lower()).partition("@")
    known = [reading.name for reading in family.readings]
    taken = (*known, "insulation") if _reckons_in_leakage(family) else known
    if not sign or quantity not in taken:
        raise UsageError(
            f"{text.strip()!r} is not NAME=VALUE with a quantity of a {family.name}", hint=f"known: {', '.join(known)}"
        )
    if subject and not (subject.isascii() and subject.isdecimal() and 0 < int(subject[:4]) <= 64):
        raise UsageError(
            f"{text.strip()!r}: {subject!r} is no number of a section or winding pair", hint=f"{quantity}@2=…"
        )
    return quantity, subject, rest if sign == "=" else sign + rest


def _taken(body: str, quantity: str, unit: str, accuracy: str = "") -> tuple[float, float]:
    """A value and its half-width; of a bound, the middle of what it leaves open."""
    more, less = _MORE.match(body), _LESS.match(body)
    bound = more or less
    if bound is None:
        return _value(body, quantity, unit, accuracy=accuracy)
    if quantity not in AT_VOLTS:
        raise NotationError(f"{body!r} is a bound: expected the {quantity.replace('_', ' ')} itself")
    value, width = _value(body[bound.end() :], quantity, unit, meter=0.0)
    low, high = value - width, value + width
    return _middle(low, low * BOUND_SPAN) if more else _middle(high / BOUND_SPAN, high)


def _middle(low: float, high: float) -> tuple[float, float]:
    return (low + high) / 2, (high - low) / 2


def _value(
    body: str, quantity: str, unit: str, *, meter: float = USUAL_METER, accuracy: str = ""
) -> tuple[float, float]:
    """A value and its half-width, which is the meter's where none is written."""
    number, _, spread = body.partition("±")
    value, relative = _ratio_or_value(number.strip(), quantity, unit, meter)
    if not spread and accuracy and value > 0:
        return value, _accurate(number.strip(), value, unit, accuracy)
    if not spread:
        return value, value * relative
    width = _width(spread.strip(), number.strip(), value, unit)
    if value > 0 and not 0 <= width < value:
        raise NotationError("expected an uncertainty below the value itself")
    return value, width


_DIGITS = re.compile(r"\(?\s*([\d.,]+)\s*%\s*\+\s*(\d+)\s*(?:d|dgts?|digits?)?\s*\)?", re.IGNORECASE)


def _width(spread: str, number: str, value: float, unit: str) -> float:
    """The half-width that an accuracy stands for: ``1%``, ``0.2nF``, or of a meter ``(1%+2d)``, digits of the last place shown."""
    digits = _DIGITS.fullmatch(spread)
    if digits:
        fraction = to_float(read_quantity(digits[1], "-")) / 100
        return fraction * value + int(digits[2]) * _last_place(number, value)
    if spread.endswith("%"):
        return to_float(read_quantity(spread[:-1].strip(), "-")) / 100 * value
    return to_float(read_quantity(spread, unit))


def accuracy_of(text: str) -> str:
    """Return an instrument's accuracy as it is kept: ``0.8%+3d``, or ``1%``.

    Raises
    ------
    UsageError
        If it is neither, or no less than the whole reading.

    Examples
    --------
    >>> accuracy_of(" ±(0.8 % + 3 digits)")
    '0.8%+3d'
    """
    said = text.strip().removeprefix("±").strip()
    both, alone = _DIGITS.fullmatch(said), re.fullmatch(r"([\d.,]+)\s*%", said)
    found = both or alone
    try:
        if found and 0 < to_float(read_quantity(found[1], "-")) < 100:
            return f"{found[1]}%+{int(both[2])}d" if both else f"{found[1]}%"
    except NotationError:
        pass
    raise UsageError(
        f"{text!r} is no accuracy of an instrument", hint="percent of the reading and digits: 0.8%+3d, or 1%"
    )


def _accurate(number: str, value: float, unit: str, accuracy: str) -> float:
    """The half-width that an instrument gives a reading; of a ratio of two volts, both readings' errors add."""
    if unit == "-" and ":" in number:
        pair = [part.strip() for part in number.split(":", 1)]
        shown = [to_float(read_quantity(part, "V" if "V" in part.upper() else "-")) for part in pair]
        relative = sum(_width(accuracy, part, read, "V") / read for part, read in zip(pair, shown, strict=True))
        return relative * value
    return _width(accuracy, number, value, unit)


def _last_place(number: str, value: float) -> float:
    """What one digit of the last place shown is worth: 0.1 nF of ``21.6nF``."""
    shown = re.match(r"[\d.,]+", number)
    if shown is None:
        raise NotationError(f"{number!r}: expected the figure as the meter shows it")
    figures = shown[0].replace(",", ".")
    places = len(figures.partition(".")[2])
    return value / float(figures) / float(10**places)


def _ratio_or_value(number: str, quantity: str, unit: str, meter: float) -> tuple[float, float]:
    """A ratio may be given as two measured voltages; their errors add."""
    if unit == "-" and ":" in number:
        first, second = (
            to_float(read_quantity(part.strip(), "V" if "V" in part.upper() else "-")) for part in number.split(":", 1)
        )
        if second <= 0:
            raise NotationError(f"{number!r}: expected two values above zero")
        return first / second, 2 * meter if "V" in number.upper() else meter
    if number and _BARE.fullmatch(number) and (unit not in ("-", "ohm") or quantity == "insulation"):
        raise NotationError(f"{number!r} has no unit", hint=f"write it out: {quantity}={SAMPLE.get(unit, unit)}")
    return to_float(read_quantity(number, unit)), meter
