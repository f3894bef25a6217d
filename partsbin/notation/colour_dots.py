"""Dots on moulded mica and paper capacitors, in the two American schemes, as published pages give them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from partsbin.notation.codes import Limits
from partsbin.notation.colour import DIGITS, MULTIPLIERS

PICO, _PERCENT = Decimal("1E-12"), Decimal("0.01")
_SMALLEST, _LARGEST = Decimal("5E-13"), Decimal("1E-7")  # farad: what dots and ceramic bands can mean

DOT_TOLERANCES: dict[str, Decimal] = {
    **{colour: Decimal(digit) for colour, digit in DIGITS.items() if digit},
    "black": Decimal(20),
    "gold": Decimal(5),
    "silver": Decimal(10),
}
"""Per cent either way: digit, gold, silver and none were read; black is from memory."""

ARMY_BLUE = Decimal(2)
"""Per cent that an army text gives for a blue dot, where the rule of the digit has 6."""

_DOT_VOLTS = {
    **{colour: 100 * digit for colour, digit in DIGITS.items() if digit},
    "gold": 1000,
    "silver": 2000,
}
_NO_DOT_VOLTS, _NO_DOT_TOLERANCE = Decimal(500), Decimal(20)
_MICA_VOLTS = ((Decimal("6800E-12"), Decimal(500)), (Decimal("10000.1E-12"), Decimal(300)))
_MADE = {"black": "mica", "white": "mica", "silver": "paper-moulded"}


@dataclass(frozen=True)
class Painted:
    """One way of reading the colours.

    Parameters
    ----------
    capacitance : Decimal
        In farads.
    limits : tuple of Decimal, or None
        Lower and upper tolerance as fractions.
    voltage : Decimal or None
        Rated DC volts.
    notes : tuple of str
        The scheme first.
    sure : bool
        False where it is from memory, or another scheme gives something else.
    dielectric, coefficient : str
        What the colours say of the material, "" if nothing.
    """

    capacitance: Decimal
    limits: Limits | None
    voltage: Decimal | None
    notes: tuple[str, ...]
    sure: bool = False
    dielectric: str = ""
    coefficient: str = ""

    def noted(self, *notes: str) -> Painted:
        """Return the same, unsure, with the reason."""
        return replace(self, sure=False, notes=(*self.notes, *notes))


def rma_dots(dots: Sequence[str]) -> list[Painted]:
    """Read three, five or six dots of the older American scheme.

    Parameters
    ----------
    dots : sequence of str
        Colours in the order of the scheme: digits, noughts; of five, then volts and tolerance; of six, three digits, noughts,
        tolerance and volts, which is once round the edge.

    Returns
    -------
    list of Painted
        One, or none if the colours cannot stand so.

    Notes
    -----
    Volts are hundreds, gold 1000, silver 2000. Three dots imply 500 V and ±20 %.

    References
    ----------
    Page on capacitor colour codes (vcomp); the tolerance black from memory.

    Examples
    --------
    >>> str(rma_dots(["red", "green", "black"])[0].capacitance)
    '2.5E-11'
    """
    scheme = f"{len(dots)} dots of RMA"
    if len(dots) == 3:
        note = f"{scheme}: 500 V and ±20 % are implied"
        return _whole(pico(dots[:2], dots[2]), "", _NO_DOT_VOLTS, note)
    if len(dots) == 5:
        value, volts, percent = pico(dots[:2], dots[2]), dots[3], dots[4]
    elif len(dots) == 6:
        value, volts, percent = pico(dots[:3], dots[3]), dots[5], dots[4]
    else:
        return []
    if volts not in _DOT_VOLTS or percent not in DOT_TOLERANCES:
        return []
    return _whole(value, percent, Decimal(_DOT_VOLTS[volts]), scheme)


def aws_dots(dots: Sequence[str]) -> list[Painted]:
    """Read six dots of the American war standard, of JAN and EIA.

    Parameters
    ----------
    dots : sequence of str
        Along the arrows: material, digit, digit; characteristic, tolerance, multiplier.

    Returns
    -------
    list of Painted
        None if the colours cannot stand so; two where the sources differ on the tolerance.

    Notes
    -----
    Black or white is mica, silver is paper. Micas below 6800 pF are for 500 V, to 10000 pF for 300 V; papers carry no volts.

    References
    ----------
    Army text (army) and mailing list (arc5c) on capacitor dots; the tolerance black from memory.

    Examples
    --------
    >>> str(aws_dots(["black", "green", "brown", "red", "yellow", "black"])[0].capacitance)
    '5.1E-11'
    """
    if len(dots) != 6 or dots[0] not in _MADE or dots[4] not in DOT_TOLERANCES:
        return []
    value, made = pico(dots[1:3], dots[5]), _MADE[dots[0]]
    volts = next((rated for limit, rated in _MICA_VOLTS if value and value < limit), None) if made == "mica" else None
    scheme = f"6 dots of AWS, JAN and EIA, {dots[0]} for {made.partition('-')[0]}"
    found = _whole(value, dots[4], volts, scheme)
    if found and dots[4] == "blue":
        other = replace(found[0], limits=either_way(ARMY_BLUE))
        why = "a blue tolerance dot is ±2 % in an army text, ±6 % by its digit"
        found = [other.noted(why), found[0].noted(why)]
    return [replace(way, dielectric=made) for way in found]


def pico(digits: Sequence[str], power: str) -> Decimal | None:
    """Return the farads of digits and noughts in picofarads, None if a colour is neither."""
    return number(digits, power, MULTIPLIERS, PICO)


def number(digits: Sequence[str], power: str, powers: Mapping[str, Decimal], unit: Decimal) -> Decimal | None:
    """Return the farads of digits and a multiplier, None if a colour is neither or nothing comes out."""
    if power not in powers or not all(colour in DIGITS for colour in digits):
        return None
    return int("".join(str(DIGITS[colour]) for colour in digits)) * powers[power] * unit or None


def either_way(percent: Decimal) -> Limits:
    """Return the limits of so many per cent."""
    return -percent * _PERCENT, percent * _PERCENT


def _whole(value: Decimal | None, tolerance: str, volts: Decimal | None, scheme: str) -> list[Painted]:
    if value is None:
        return []
    way = Painted(value, either_way(DOT_TOLERANCES.get(tolerance, _NO_DOT_TOLERANCE)), volts, (scheme,), sure=True)
    return within(way.noted("a black tolerance dot read as ±20 % (from memory)") if tolerance == "black" else way)


def within(way: Painted) -> list[Painted]:
    """Return a reading if dots and small bands can mean so much."""
    return [way] if _SMALLEST <= way.capacitance <= _LARGEST else []
