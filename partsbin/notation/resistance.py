"""The value of a resistor: what a number, a letter code or a printed code may mean. Where two meanings are usual, both are given."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from decimal import Decimal

from partsbin.notation.codes import Limits
from partsbin.notation.preferred import series
from partsbin.notation.units import LETTERS
from partsbin.notation.writing import format_quantity, format_tolerance

TOLERANCE_LETTERS: dict[str, Decimal] = {
    letter: Decimal(share) / 100
    for letter, share in {
        "B": "0.1", "C": "0.25", "D": "0.5", "F": "1", "G": "2", "J": "5", "K": "10", "M": "20", "N": "30",
    }.items()
}  # fmt: skip
"""Letter of IEC 60062 to tolerance as a fraction; D to M read in a service manual (sanyo), B, C and N are from memory."""

_TAPERS = "BC"  # on a control the letter of its law
_CODE = re.compile(r"(?:([0-9]{1,3}(?:[.,][0-9]{1,2})?)[Ww])?(.+?)(?:([0-9]{1,3})[Ww])?")
_LETTERED = re.compile(r"([0-9]{0,4})(?:[.,]([0-9]{1,3}))?(ohm|[RrEkKMGm])([0-9]{0,3})(ohm|R)?([BCDFGJKMN])?", re.ASCII)
_PRINTED = re.compile(r"([1-9][0-9]{2,3})([BCDFGJKMN])?", re.ASCII)
_VALVE = re.compile(r"[1-9][0-9]?[EKMR][1-9][BCG]", re.ASCII)  # 6K8G
_CHIP = re.compile(r"([0-9]{2})([ZYXSABHCDEF])", re.ASCII)
_CHIP_POWERS = {
    "Z": -3, "Y": -2, "X": -1, "S": -1, "A": 0, "B": 1, "H": 1, "C": 2, "D": 3, "E": 4, "F": 5,
}  # fmt: skip


@dataclass(frozen=True)
class Way:
    """One way of reading the value.

    Parameters
    ----------
    resistance : Decimal or None
        Ohms; None where no value is given.
    tolerance : limits or None
        What a letter or a band adds, as fractions.
    power : Decimal or None
        What a printed code adds, in watts; 0 where the watts of the text are something else.
    voltage : Decimal or None
        Limiting voltage that this way finds, in volts.
    notes : tuple of str
        What was assumed.
    sure : bool
        False where another reading is usual too.
    """

    resistance: Decimal | None = None
    tolerance: Limits | None = None
    power: Decimal | None = None
    voltage: Decimal | None = None
    notes: tuple[str, ...] = ()
    sure: bool = True

    def doubted(self, note: str) -> Way:
        """Return the same, unsure, with the reason."""
        return replace(self, sure=False, notes=(*self.notes, note))


def either_way(share: Decimal) -> Limits:
    """Return a tolerance as its two limits."""
    return -share, share


def preferred(value: Decimal) -> bool:
    """Return whether a value is one of E24 or E96."""
    if value <= 0:
        return False
    step = value.normalize().scaleb(-value.adjusted())
    return step in series("E24") or step in series("E96")


def coded(text: str) -> list[Way]:
    """Return what a run of letters and digits may mean: 4K7J, 5W10RJ, 10mR, 472J.

    Parameters
    ----------
    text : str
        As written.

    Returns
    -------
    list of Way
        The likelier first; none if it is no such code.

    Examples
    --------
    >>> way, = coded("5W4R7J")
    >>> str(way.resistance), str(way.power), str(way.tolerance[1])
    ('4.7', '5', '0.05')
    """
    found = _CODE.fullmatch(text)
    if found is None:
        return []
    before, core, behind = found.groups()
    watts = before or behind
    power = None if watts is None else Decimal(watts.replace(",", "."))
    if power == 0 or (before and behind):
        return []
    return [replace(way, power=power) for way in _letters(core, bool(watts)) or _printed(core, bool(watts))]


def _letters(core: str, rated: bool) -> list[Way]:
    found = _LETTERED.fullmatch(core)
    if found is None:
        return []
    whole, part, letter, point, ohm, limit = found.groups()
    if (
        not (whole or (point and letter == "R"))
        or (part and (point or not whole))
        or (ohm and letter in ("ohm", "R", "r", "E"))
    ):
        return []
    if not rated and not (ohm or limit):
        return []  # the scanner reads those; what it left is something else
    factor = Decimal(1) if letter == "ohm" else LETTERS[letter].factor
    value = Decimal(f"{whole or 0}.{part or point or 0}") * factor
    if value <= 0:
        return []
    way = Way(value, either_way(TOLERANCE_LETTERS[limit]) if limit else None)
    if _VALVE.fullmatch(core):
        way = way.doubted(f"'{core}': valves have such names too")
    if limit and limit in _TAPERS and not rated:
        way = way.doubted(
            f"'{core}': {limit} taken as {format_tolerance(TOLERANCE_LETTERS[limit])}, on a control it is the law"
        )
    return [way]


def _printed(core: str, leaded: bool) -> list[Way]:
    found = _PRINTED.fullmatch(core)
    if found is None or (not found[2] and not leaded):
        return []
    limits = either_way(TOLERANCE_LETTERS[found[2]]) if found[2] else None
    return [replace(way, tolerance=limits) for way in bare(found[1], Decimal(found[1]), leaded=leaded)]


def bare(text: str, value: Decimal, *, leaded: bool) -> list[Way]:
    """Return what a number without a unit may mean: ohms, or the printed code of small bodies.

    Parameters
    ----------
    text : str
        As written.
    value : Decimal
        The number, above 0 [-].
    leaded : bool
        Whether watts or words speak of a body with leads, on which round ohms are printed as they are.

    Returns
    -------
    list of Way
        The likelier first.

    Notes
    -----
    A code is two digits of E24 and the number of noughts, or three digits of E96 and the number of noughts. A number that ends in
    0 is likelier ohms, another the code.

    Examples
    --------
    >>> [str(way.resistance) for way in bare("472", Decimal(472), leaded=False)]
    ['4.7E+3', '472']
    """
    plain = Way(value, notes=(f"'{text}' has no unit: read as ohms",))
    digits = re.fullmatch(r"([1-9][0-9]{1,2})([0-6])", text, re.ASCII)
    if digits is None or not _code_digits(digits[1]) or (leaded and digits[2] == "0"):
        return [plain]
    code = Decimal(int(digits[1])).scaleb(int(digits[2]))
    note = f"'{text}' may be ohms, or the code of {format_quantity(code, 'ohm')}"
    both = [Way(value).doubted(note), Way(code).doubted(note)]
    return both if digits[2] == "0" else both[::-1]


def _code_digits(digits: str) -> bool:
    return preferred(Decimal(digits)) if len(digits) == 3 else Decimal(digits) / 10 in series("E24")


def chip(text: str) -> list[Way]:
    """Return what the code of three signs on a small chip means: two digits for the step of E96, a letter for the power.

    Parameters
    ----------
    text : str
        As written.

    Returns
    -------
    list of Way
        One, never sure, since the letters are from memory; none if it is no such code.

    Examples
    --------
    >>> [str(way.resistance) for way in chip("01C")]
    ['10000']
    """
    found = _CHIP.fullmatch(text)
    if found is None or not 1 <= int(found[1]) <= 96:
        return []
    step = series("E96")[int(found[1]) - 1] * 100
    way = Way(step.scaleb(_CHIP_POWERS[found[2]]), either_way(Decimal("0.01")))
    return [way.doubted(f"'{text}' read as the code of 1 % chips (from memory)")]
