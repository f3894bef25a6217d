"""One value in trade notation to an exact number in SI, and back.

Inside, numbers are `decimal.Decimal`: 0.02 and 2e-8 are then the same digits, and no binary fraction decides anything. `to_float`
is the boundary. What could mean two things is refused here, with both named; the readers of whole descriptions give both.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

from partsbin.errors import NotationError
from partsbin.notation.numerals import Found, Spread, match_signed, match_tolerance
from partsbin.notation.text import normalise
from partsbin.notation.units import INCH, LETTERS, OWN_LETTER, SI_UNITS
from partsbin.notation.writing import format_interval, format_quantity, format_tolerance

__all__ = [
    "Quantity",
    "format_interval",
    "format_quantity",
    "format_tolerance",
    "read_quantity",
    "read_tolerance",
    "to_float",
]

_SAMPLES = {
    "F": "47n or 0.1 µF",
    "ohm": "4k7 or 470 ohm",
    "V": "450 V",
    "A": "12 mA",
    "W": "1/4 W",
    "H": "10 H",
    "Hz": "50 Hz",
    "m": "6.35 mm or 1/4 in",
    "m²": "4 cm²",
    "°C": "105 °C",
    "K": "300 K",
    "J": "4.6 J",
    "s": "5 s",
    "-": "0.1 or 10 %",
}
_LETTERS_OF = {
    "F": "pPnNuU",
    "ohm": "RrEkKMG",
    "V": "umkKV",
    "A": "um",
    "W": "umkK",
    "H": "num",
    "Hz": "kKMG",
    "J": "um",
    "s": "um",
    "m": "u",
}
"""Multiplier letters that mean one thing only beside the unit asked for: 1m ohm may be milli or mega, 470K farad nothing."""

_BARE_FRACTION = re.compile(r"(?:([1-9][0-9]?) )?([0-9]{1,2})/(2|4|5|8|10|16|20|32|64)", re.ASCII)


@dataclass(frozen=True)
class Quantity:
    """A value with its unit.

    Parameters
    ----------
    value : Decimal
        Exact, in SI.
    unit : str
        One of `SI_UNITS`.
    tolerance : tuple of Decimal, or None
        Lower (negative) and upper limit as fractions, None where none is written.
    text : str
        As given.
    """

    value: Decimal
    unit: str
    tolerance: tuple[Decimal, Decimal] | None
    text: str


def to_float(value: Quantity | Decimal) -> float:
    """Return the binary number nearest to an exact one: the boundary to the rest of the program.

    Parameters
    ----------
    value : Quantity or Decimal
        Exact, in SI [same].

    Returns
    -------
    float
        In SI [same].
    """
    return float(value.value if isinstance(value, Quantity) else value)


@lru_cache(maxsize=4096)  # a list of parts says 47n and 400 V over and over
def read_quantity(text: str, unit: str | None = None) -> Quantity:
    """Read one value in trade notation.

    Parameters
    ----------
    text : str
        Such as ``4k7``, ``0.02 mfd``, ``1/4 W``, ``47n ±10 %``, ``2.2e-08 F``.
    unit : str, optional
        The SI unit that is wanted. A text without a unit is taken to be in it; a text with another one is refused.

    Returns
    -------
    Quantity
        The value in SI. A tolerance alone is a pure number: its wider side, with both sides in `tolerance`.

    Raises
    ------
    NotationError
        If the text is no value, is in another unit, or could mean two things.

    Notes
    -----
    Without a unit, p n u mean farads and R E k M ohms. mf, mF and MF are microfarads, as old markings have it; thousands may be set
    apart by a comma or a blank, in groups of exactly three. Where metres are wanted, a bare common fraction is in inches.

    Examples
    --------
    >>> read_quantity("4k7").value, read_quantity(".1mf").value, read_quantity("1/4", "W").value
    (Decimal('4.7E+3'), Decimal('1E-7'), Decimal('0.25'))
    """
    if unit is not None and unit not in SI_UNITS:
        raise NotationError(f"no unit '{unit}': expected one of {', '.join(SI_UNITS)}")
    plain = normalise(text).text
    spread = match_tolerance(plain, 0)
    if spread is not None and spread.end == len(plain) and unit in (None, "-") and spread.unit == "-":
        return Quantity(max(spread.high, -spread.low), "-", (spread.low, spread.high), text)
    found = _bare_fraction(plain, unit) or _own_letter(plain, unit) or match_signed(plain, 0)
    if found is None:
        raise _unreadable(text, unit)
    rest = plain[found.end :].lstrip(" ,;(")
    spread = match_tolerance(rest, 0) if rest else None
    if rest and (spread is None or spread.end < len(rest.rstrip(") "))):
        raise _unreadable(text, unit, rest)
    value, own = _in_unit(found, unit, text)
    return Quantity(value, own, None if spread is None else _as_fractions(spread, value, own, text), text)


def read_tolerance(text: str) -> tuple[Decimal, Decimal]:
    """Read a tolerance in per cent.

    Parameters
    ----------
    text : str
        Such as ``±10%``, ``10 %``, ``+50-20 %``, ``-20/+50 %``.

    Returns
    -------
    tuple of Decimal
        Lower limit (negative) and upper limit as fractions [-].

    Raises
    ------
    NotationError
        If the text is no tolerance in per cent.

    Examples
    --------
    >>> read_tolerance("+50-20 %")
    (Decimal('-0.2'), Decimal('0.5'))
    """
    plain = normalise(text).text
    spread = match_tolerance(plain, 0)
    if spread is None or spread.end < len(plain) or spread.unit != "-":
        raise NotationError(f"'{text}' is not a tolerance: expected per cent, such as ±10% or -20/+50 %")
    return spread.low, spread.high


def _bare_fraction(plain: str, unit: str | None) -> Found | None:
    """A common fraction without a unit, where the unit asked for makes it one: 1/4 of a watt, a spindle of 1/4 inch."""
    found = _BARE_FRACTION.fullmatch(plain)
    if found is None or unit is None or unit not in ("W", "A", "m", "-") or not 0 < int(found[2]) < int(found[3]):
        return None
    value = int(found[1] or 0) + Decimal(found[2]) / Decimal(found[3])
    return Found(value * INCH if unit == "m" else value, unit, "", "", len(plain))


def _own_letter(plain: str, unit: str | None) -> Found | None:
    """The letters m, s and K as units, and A, W, H in the place of the decimal point, where that unit was asked for."""
    if unit is None:
        return None
    if plain.endswith(OWN_LETTER.get(unit, "\n")):
        found = match_signed(plain[:-1].rstrip(), 0)
        if found is not None and not found.unit and not found.letter and found.end == len(plain[:-1].rstrip()):
            return found._replace(unit=unit, end=len(plain))
    point = re.fullmatch(r"([0-9]{1,3})([AWH])([0-9]{1,2})", plain, re.ASCII)
    if point is not None and point[2] == unit:
        return Found(Decimal(f"{point[1]}.{point[3]}"), unit, "", "", len(plain))
    return None


def _in_unit(found: Found, unit: str | None, text: str) -> tuple[Decimal, str]:
    """The value in the unit wanted, or in the one that the text implies."""
    if found.unit:
        if unit not in (None, found.unit):
            raise NotationError(f"'{text}' is in {found.unit}: expected {unit}, such as {_SAMPLES[unit or '-']}")
        return found.value, found.unit
    if not found.letter:
        return found.value, unit or "-"
    implied = LETTERS[found.letter].unit
    wanted = unit or implied
    if not wanted:
        raise NotationError(
            f"'{text}' has a multiplier and no unit: expected a unit too, such as {_SAMPLES['A']} or {_SAMPLES['H']}"
        )
    if found.letter not in _LETTERS_OF.get(wanted, ""):
        raise NotationError(
            f"'{text}' could mean two things: expected {_SAMPLES[wanted]}", hint=_why(found.letter, wanted)
        )
    return found.value, wanted


def _why(letter: str, unit: str) -> str:
    if unit == "F":
        return "on a capacitor K and M may be tolerance letters, m and M an old micro; write pF, nF or µF"
    if unit == "ohm" and letter == "m":
        return "m may be milli or, carelessly, mega; write mΩ or M"
    return f"'{letter}' is no usual multiplier of {unit}; write the unit out"


def _as_fractions(spread: Spread, value: Decimal, unit: str, text: str) -> tuple[Decimal, Decimal]:
    if spread.unit == "-":
        return spread.low, spread.high
    if spread.unit != unit or value == 0:
        raise NotationError(f"the tolerance of '{text}' is in {spread.unit}: expected per cent or {unit}")
    return spread.low / value, spread.high / value


def _unreadable(text: str, unit: str | None, rest: str = "") -> NotationError:
    sample = _SAMPLES[unit] if unit else "47n, 0.1 µF or 4k7"
    expected = (
        f"expected a value in {unit}, such as {sample}"
        if unit and unit != "-"
        else f"expected a value such as {sample}"
    )
    if rest:
        return NotationError(f"'{rest}' in '{text}' is not understood: {expected}")
    return NotationError(f"'{text}' is not a value: {expected}")
