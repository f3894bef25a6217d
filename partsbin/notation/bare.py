"""A capacitor's numbers without a unit: what they may mean, by size, rating and dielectric.

American diagrams write .05 for microfarads and 250 for picofarads; cans carry 16-16-8; discs carry 104. Where the same figures are
used for two things, both readings are given, the likelier first.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from partsbin.notation.codes import capacitance_code, likely_code
from partsbin.notation.marks import Mark

WET = frozenset({"electrolytic", "tantalum"})
SMALL = frozenset({"mica", "ceramic", "ceramic-1", "ceramic-2", "polystyrene", "air", "glass"})
"""Dielectrics whose bare numbers are picofarads."""

# fmt: off
RATED_VOLTS = frozenset((
    6, 10, 12, 15, 16, 20, 25, 30, 35, 40, 50, 63, 64, 70, 75, 80, 100, 110, 125, 150, 160, 175, 200, 220, 250, 275,
    300, 315, 320, 325, 330, 350, 375, 385, 400, 425, 440, 450, 475, 500, 525, 550, 600, 630, 650, 700, 750, 800,
    900, 1000, 1200, 1250, 1500, 1600, 2000, 2500, 3000,
))
# fmt: on
"""Volts that stand on capacitors; another number after a value is not taken for a rating."""

_MICRO, _PICO = Decimal("1E-6"), Decimal("1E-12")
_LARGEST = Decimal(100_000)
_MOST_SMALL = Decimal("0.02")  # µF, common practice; micas and discs reach so far, and nobody makes as many pF


@dataclass(frozen=True)
class Section:
    """One section of a can: its value, the lower end where a range is written, and its rating."""

    capacitance: Decimal
    low: Decimal | None = None
    voltage: Decimal | None = None


@dataclass(frozen=True)
class Sections:
    """One way of reading a list of values."""

    sections: tuple[Section, ...]
    note: str = ""
    sure: bool = True


def bare_value(text: str, number: Decimal, dielectric: str, rated: bool) -> list[Mark]:
    """Return what a capacitor's number without a unit may mean.

    Parameters
    ----------
    text : str
        As written.
    number : Decimal
        The number [-].
    dielectric : str
        As far as it is known, "" if not.
    rated : bool
        Whether a rated voltage stands beside it.

    Returns
    -------
    list of Mark
        The likelier first; none for a number that no capacitor carries.

    Notes
    -----
    Below 1 microfarads. Three digits that make an E12 value and one to six zeros are the code in pF. Electrolytics are in
    microfarads, mica and ceramics in picofarads. Else from 100 up picofarads are likelier, below microfarads, and neither is sure.

    Examples
    --------
    >>> [(str(mark.capacitance), mark.sure) for mark in bare_value("250", Decimal(250), "", False)]
    [('2.50E-10', False)]
    """
    if not 0 < number <= _LARGEST:
        return []
    micro = Mark(number * _MICRO, note=f"'{text}' has no unit: read as µF")
    pico = Mark(number * _PICO, note=f"'{text}' has no unit: read as pF")
    code = _code(text)
    if number < 1:
        sure = (rated or dielectric) and (dielectric not in SMALL or number <= _MOST_SMALL)
        return [micro] if sure else [_doubted(micro)]
    if code is not None and likely_code(text):
        return [code] if dielectric not in WET else [_doubted(micro), _doubted(code)]
    if dielectric in WET:
        return [micro]
    if dielectric in ("mica", "polystyrene", "air", "glass") or (dielectric in SMALL and code is None):
        return [pico]
    readings = [pico] if number >= 100 else [micro, pico]
    if number >= 100 and rated and dielectric not in SMALL:
        readings.append(micro)
    if code is not None and _is_e12(text):
        readings.append(code)
    return [_doubted(mark) for mark in readings]


def _code(text: str) -> Mark | None:
    value = capacitance_code(text)
    return None if value is None else Mark(value, note=f"'{text}' read as three-digit code in pF")


def _is_e12(text: str) -> bool:
    return likely_code(f"{text[:2]}1")


def _doubted(mark: Mark) -> Mark:
    return Mark(mark.capacitance, mark.tolerance, mark.voltage, mark.note, False)


def section_lists(
    lists: list[tuple[Decimal, ...]], between: str, unit: bool, dielectric: str, can: bool
) -> list[Sections]:
    """Return what lists of values may mean: sections of a can, or values from one to another.

    Parameters
    ----------
    lists : list of tuple of Decimal
        In farads where `unit`, else as written.
    between : str
        The sign between the numbers: ``+`` and ``/`` only join, ``-`` may also mean "to".
    unit : bool
        Whether a unit is written.
    dielectric : str
        As far as it is known, "" if not.
    can : bool
        Whether a word says that there are several sections.

    Returns
    -------
    list of Sections
        The likelier first; none if a number is nought.

    Examples
    --------
    >>> [len(way.sections) for way in section_lists([(Decimal(40), Decimal(60)), (Decimal(20), Decimal(40))], "-", False, "", False)]
    [2, 4]
    """
    if not all(number > 0 for numbers in lists for number in numbers):
        return []
    pico = not unit and dielectric in SMALL
    factor = Decimal(1) if unit else _PICO if pico else _MICRO
    farads = [tuple(number * factor for number in numbers) for numbers in lists]
    proven = unit or can or dielectric in WET
    assumed = "" if unit else f"values without a unit read as {'pF' if pico else 'µF, as on electrolytic cans'}"
    flat = Sections(tuple(Section(value) for numbers in farads for value in numbers), assumed, proven)
    if between != "-" or not all(len(numbers) == 2 and numbers[0] < numbers[1] for numbers in farads):
        return [flat]
    ranged = Sections(
        tuple(Section(high, low) for low, high in farads), _join(assumed, "'a-b' read as from a to b"), False
    )
    doubted = Sections(flat.sections, _join(assumed, "'a-b' read as two sections"), False)
    if len(farads) == 1 and (can or dielectric in WET):
        return [flat]
    small = max(value for numbers in farads for value in numbers) < Decimal("1E-8")
    return [ranged, doubted] if len(farads) > 1 or small else [doubted, ranged]


def _join(*notes: str) -> str:
    return "; ".join(note for note in notes if note)
