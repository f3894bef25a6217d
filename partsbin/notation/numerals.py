"""A number at a place in a plain text, with the unit or multiplier letter that belongs to it.

Commas and blanks inside numbers are the traps: ``0,1`` is a decimal, ``1,000`` a thousand, ``47 450V`` two numbers. The rule: a
group of exactly three digits after a number that does not begin with 0 is a thousands group; a blank separates thousands only
where the result is more likely than two numbers. Where that is not enough to go by, nothing is joined.
"""

from __future__ import annotations

import re
from decimal import Decimal
from typing import NamedTuple

from partsbin.notation.preferred import series
from partsbin.notation.units import LETTERS, match_unit


class Found(NamedTuple):
    """A quantity found in a plain text.

    Parameters
    ----------
    value : Decimal
        In SI; the bare number where neither unit nor letter stands.
    unit : str
        The unit written, "" where none is.
    letter : str
        The multiplier letter that stands without a unit, "" where none does.
    detail : str
        See `units.Spelling`.
    end : int
        Where it ends.
    notes : tuple of str
        What a reader should know.
    """

    value: Decimal
    unit: str
    letter: str
    detail: str
    end: int
    notes: tuple[str, ...] = ()


class Spread(NamedTuple):
    """A tolerance found in a plain text: limits as fractions, or in SI where `unit` is not "-"."""

    low: Decimal
    high: Decimal
    unit: str
    end: int


PLAIN = r"(?:0,[0-9]{1,24}|[0-9]{1,12}(?:\.[0-9]{1,24}|,(?![0-9]{3}(?![0-9]))[0-9]{1,24})?|[.,][0-9]{1,24})(?![0-9])"
"""A number with at most one decimal point or comma; three digits after a comma are left to the thousands rule.

Spreadsheets write 22.000000000000004: more figures behind the point than anybody means, and all of them are one number.
"""

_PLAIN = re.compile(PLAIN, re.ASCII)
_POWER = re.compile(r"([0-9]{1,12}(?:\.[0-9]{1,18})?)[eE]([+-][0-9]{1,2})(?![0-9])", re.ASCII)
_GROUPED = re.compile(r"([1-9][0-9]{0,2})([, '])([0-9]{3})((?:\2[0-9]{3}){0,2})(\.[0-9]{1,9})?(?![0-9])", re.ASCII)
_FRACTION = re.compile(r"(?:([1-9][0-9]?)[ -])?([0-9]{1,2})/(2|4|5|8|10|16|20|32|64)(?![0-9/.,])", re.ASCII)
_OF_AN_OHM = frozenset({(1, 2), (1, 4), (3, 4), (1, 8), (1, 10)})
_LEAST_FRACTION = 10
"""Ohms from which a fraction is one of kilohms or megohms: 3/8 meg."""
_LETTER_POINT = re.compile(r"([0-9]{0,3})([pnuPNURrEkKMmV])([0-9]{1,3})(?: ?(ohm)|([FH]))?(?![A-Za-z0-9])", re.ASCII)
_LETTER = re.compile(r" ?([pnuPNUkKMR])(?![A-Za-z0-9])|([rEGm])(?![A-Za-z0-9])", re.ASCII)
_SIGN = re.compile(r"[+-] ?(?=[0-9.,])")
_NOT_GLUED = re.compile(r"(?![A-Za-z0-9])")

_ROUND_VOLTS = frozenset((1000, 1200, 1250, 1500, 1600, 2000, 2500, 3000, 4000, 5000, 6000, 8000, 10_000))


def match_quantity(text: str, pos: int) -> Found | None:
    """Return the quantity that begins at that place of a plain text.

    Parameters
    ----------
    text : str
        Text from `normalise`.
    pos : int
        Where to look [-].

    Returns
    -------
    Found or None
        None if no number begins there, or if it runs on into letters that are no unit.
    """
    for reader in (_letter_point, _power, _fraction, _grouped, _plain):
        found = reader(text, pos)
        if found is not None:
            return found
    return None


def match_signed(text: str, pos: int) -> Found | None:
    """Return the quantity that begins there with a sign or without."""
    sign = _SIGN.match(text, pos)
    found = match_quantity(text, sign.end() if sign else pos)
    if found is None or sign is None or sign[0][0] == "+":
        return found
    return found._replace(value=-found.value)


def decimal_of(text: str) -> Decimal:
    """Return the number of a text that `PLAIN` matched."""
    return Decimal(text.replace(",", "."))


def _letter_point(text: str, pos: int) -> Found | None:
    """The code of IEC 60062: the multiplier letter stands for the decimal point, 4k7, R47, p33."""
    found = _LETTER_POINT.match(text, pos)
    if found is None:
        return None
    whole, letter, part, ohm, unit = found.groups()
    if (not whole and letter not in "pnuRkM") or len(part) > (2 if whole else 3) or len(whole + part) > 4:
        return None
    if (ohm and letter not in "RrEkKMm") or (unit and letter not in "pnuPNUm"):
        return None
    written = ohm or unit or ""
    value = Decimal(f"{whole or 0}.{part}") * LETTERS[letter].factor
    return Found(value, written, "" if written else letter, "", found.end())


def _power(text: str, pos: int) -> Found | None:
    """A computer's number, 2.2e-08; the sign of the exponent is asked for, since 4E7 is 4.7 ohms to some makers."""
    found = _POWER.match(text, pos)
    return None if found is None else _with_unit(text, found.end(), Decimal(f"{found[1]}E{found[2]}"), bare=True)


def _fraction(text: str, pos: int) -> Found | None:
    """A common fraction, only with its unit: without one, 8/16 is a value and a rating."""
    found = _FRACTION.match(text, pos)
    if found is None:
        return None
    whole, above, below = int(found[1] or 0), int(found[2]), int(found[3])
    if not 0 < above < below:
        return None
    value = _with_unit(text, found.end(), whole + Decimal(above) / Decimal(below), bare=False)
    if value is None or value.unit not in ("W", "A", "m", "ohm", "F", "H"):
        return None
    if (value.unit in ("F", "H") and above != 1) or (whole and not _mixed(found[0], value.unit)):
        return None
    ohms = value.unit == "ohm" and value.value < _LEAST_FRACTION
    if ohms and not whole and (above, below) not in _OF_AN_OHM:
        return None  # 4/8 ohm are two taps of an output transformer
    if not whole or value.unit == "m":
        return value
    return value._replace(notes=(*value.notes, f"'{text[pos : value.end]}' read as one number with its fraction"))


def _mixed(written: str, unit: str) -> bool:
    """Whether 2 1/2 is one number in that unit; 5 1/2W is a value and its watts, and so may 5-1/2W be."""
    return unit == "m" or (unit == "ohm" and written[1] in " -") or (unit == "A" and written[1] == "-")


def _grouped(text: str, pos: int) -> Found | None:
    """A number with its thousands set apart, where that is the likelier reading."""
    found = _GROUPED.match(text, pos)
    if found is None:
        return None
    first, mark, group, more, part = found.groups()
    number = Decimal(first + group + re.sub(r"[^0-9]", "", more) + (part or ""))
    value = _with_unit(text, found.end(), number, bare=mark != " " or group == "000")
    if value is None:
        return None
    if value.unit == "V" and (number not in _ROUND_VOLTS or (mark == " " and group != "000")):
        return None  # 47,450V and 8 500V: a value, then its rating
    if mark == " " and group != "000" and not _preferred(number):
        return None  # 6 100n: six of them
    what = "the comma" if mark == "," else "the blank" if mark == " " else "the mark"
    return value._replace(notes=(*value.notes, f"{what} in '{found[0]}' read as setting thousands apart"))


def _preferred(number: Decimal) -> bool:
    digits = number.normalize().as_tuple().digits
    return any(step.normalize().as_tuple().digits == digits for step in series("E12"))


def _plain(text: str, pos: int) -> Found | None:
    found = _PLAIN.match(text, pos)
    return None if found is None else _with_unit(text, found.end(), decimal_of(found[0]), bare=True)


def _with_unit(text: str, end: int, number: Decimal, *, bare: bool) -> Found | None:
    """Add the unit or the multiplier letter that follows a number; a bare one only if that is wanted."""
    after = end + 1 if text[end : end + 1] == " " else end
    unit = match_unit(text, after)
    if unit is not None:
        spelling, stop = unit
        notes = (spelling.note,) if spelling.note else ()
        return Found(number * spelling.factor, spelling.unit, "", spelling.detail, stop, notes)
    letter = _LETTER.match(text, end)
    if letter is not None:
        sign = letter[1] or letter[2]
        return Found(number * LETTERS[sign].factor, "", sign, "", letter.end())
    if bare and _NOT_GLUED.match(text, end):
        return Found(number, "", "", "", end)
    return None


_EITHER_WAY = re.compile(rf"± ?({PLAIN}) ?%", re.ASCII)
_TWO_SIDED = re.compile(rf"([+-]) ?({PLAIN}) ?%? ?[/,]? ?([+-]) ?({PLAIN}) ?%", re.ASCII)
_PERCENT = re.compile(rf"({PLAIN}) ?%", re.ASCII)


def match_tolerance(text: str, pos: int) -> Spread | None:
    """Return the tolerance that begins at that place of a plain text.

    Parameters
    ----------
    text : str
        Text from `normalise`.
    pos : int
        Where to look [-].

    Returns
    -------
    Spread or None
        ``±10 %``, ``10%``, ``+50-20 %``, ``-20/+50 %`` as fractions; ``±0.5 pF`` in its unit.
    """
    found = _EITHER_WAY.match(text, pos) or _PERCENT.match(text, pos)
    if found is not None:
        share = decimal_of(found[1]) / 100
        return Spread(-share, share, "-", found.end())
    found = _TWO_SIDED.match(text, pos)
    if found is not None and found[1] != found[3]:
        first, second = decimal_of(found[2]) / 100, decimal_of(found[4]) / 100
        low, high = (second, first) if found[1] == "+" else (first, second)
        return Spread(-low, high, "-", found.end())
    if text[pos : pos + 1] == "±":
        value = match_quantity(text, pos + 2 if text[pos + 1 : pos + 2] == " " else pos + 1)
        if value is not None and value.unit:
            return Spread(-value.value, value.value, value.unit, value.end)
    return None
