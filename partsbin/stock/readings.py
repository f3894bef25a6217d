"""Measurements as they are written down: ``capacitance=22.0uF±1%``, ``leakage=12uA@350V``, ``ratio=230V:5.1V``."""

from __future__ import annotations

import re

from partsbin.errors import NotationError, UsageError
from partsbin.families import Family
from partsbin.notation.quantity import read_quantity, to_float
from partsbin.notation.text import normalise
from partsbin.stock.parts import NewReading

USUAL_METER = 0.02
"""Half-width of a reading whose uncertainty nobody gave, as a fraction: an ordinary meter, common practice."""


def read_measurements(family: Family, text: str) -> list[NewReading]:
    """Read several measurements, separated by semicolons.

    Raises
    ------
    UsageError
        If one is not of a quantity of the family, or its value cannot be read.
    """
    return [read_measurement(family, entry) for entry in re.split(r"[;\n]", text) if entry.strip()]


def read_measurement(family: Family, text: str) -> NewReading:
    """Read one measurement, ``NAME[@SUBJECT]=VALUE[±UNCERTAINTY][@VOLTS]``.

    Parameters
    ----------
    family : Family
        Whose quantities may be measured.
    text : str
        As written; the subject is a section or winding pair, counted from 1.

    Returns
    -------
    NewReading
        In SI, with its half-width and conditions.

    Raises
    ------
    UsageError
        If the quantity is not one of the family's, or the value cannot be read.
    """
    name, mark, rest = text.partition("=")
    quantity, _, subject = name.strip().lower().partition("@")
    known = {reading.name: reading for reading in family.readings}
    if not mark or quantity not in known:
        raise UsageError(
            f"{text.strip()!r} is not NAME=VALUE with a quantity of a {family.name}", hint=f"known: {', '.join(known)}"
        )
    if subject and not (subject.isascii() and subject.isdecimal() and 0 < int(subject[:4]) <= 64):
        raise UsageError(
            f"{text.strip()!r}: {subject!r} is no number of a section or winding pair", hint=f"{quantity}@2=…"
        )
    unit = known[quantity].unit
    body, _, condition = rest.strip().partition("@")
    try:
        value, uncertainty = _value(body.strip(), unit)
        conditions = {"volts": to_float(read_quantity(condition.strip(), "V"))} if condition else {}
    except NotationError as fault:
        raise UsageError(f"{text.strip()!r}: {fault.message}", hint=fault.hint) from None
    if not value > 0 or not conditions.get("volts", 1.0) > 0:
        raise UsageError(f"{text.strip()!r}: expected a value above zero")
    if not 0 <= uncertainty < value:
        raise UsageError(f"{text.strip()!r}: expected an uncertainty below the value itself")
    return NewReading(f"{quantity}@{int(subject)}" if subject else quantity, value, unit, uncertainty, conditions)


def _value(body: str, unit: str) -> tuple[float, float]:
    number, _, spread = normalise(body).text.partition("±")
    value, relative = _ratio_or_value(number.strip(), unit)
    if not spread:
        return value, value * relative
    spread = spread.strip()
    if spread.endswith("%"):
        return value, value * to_float(read_quantity(spread[:-1].strip(), "-")) / 100
    return value, to_float(read_quantity(spread, unit))


def _ratio_or_value(number: str, unit: str) -> tuple[float, float]:
    """A ratio may be given as two measured voltages; their errors add."""
    if unit == "-" and ":" in number:
        first, second = (
            to_float(read_quantity(part.strip(), "V" if "V" in part.upper() else "-")) for part in number.split(":", 1)
        )
        if second <= 0:
            raise NotationError(f"{number!r}: expected two values above zero")
        return first / second, 2 * USUAL_METER if "V" in number.upper() else USUAL_METER
    return to_float(read_quantity(number, unit)), USUAL_METER
