"""What is printed on a capacitor as one run of letters and digits: 2J473K, 473K630, .1K63, 470K.

A mark that has two usual readings gives both, with the reason.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal

from partsbin.notation.codes import (
    TOLERANCE_LETTERS,
    Limits,
    capacitance_code,
    likely_code,
    tolerance_letter,
    voltage_code,
)


@dataclass(frozen=True)
class Mark:
    """One way of reading what is printed on a capacitor.

    Parameters
    ----------
    capacitance : Decimal
        In farads.
    tolerance : tuple of Decimal, or None
        Lower and upper limit as fractions.
    voltage : Decimal or None
        Rated DC volts.
    note : str
        How it was read, and why.
    sure : bool
        False where another reading is usual too.
    """

    capacitance: Decimal
    tolerance: Limits | None = None
    voltage: Decimal | None = None
    note: str = ""
    sure: bool = True


_VOLTS = (
    r"(10|12|16|20|25|35|40|50|63|80|100|125|150|160|200|220|250|300|315|330|350|385|400|450|500|600|630|800"
    r"|1000|1200|1250|1600|2000)"
)
_WITH_CODE = re.compile(r"([0-3][A-Z])([1-9][0-9]{2})([B-Z])?", re.ASCII)
_WITH_VOLTS = re.compile(rf"([1-9][0-9]{{2}})([A-Z]){_VOLTS}V?", re.ASCII)
_DECIMAL_VOLTS = re.compile(rf"([0-9]{{0,2}}\.[0-9]{{1,4}}|[1-9][0-9]?)([A-Z]){_VOLTS}V?", re.ASCII)
_LETTERED_VOLTS = re.compile(rf"([0-9]{{0,3}}[PNU][0-9]{{0,2}})([A-Z])?{_VOLTS}V?", re.ASCII)
_LETTERED = re.compile(r"([0-9]{1,3}[pnu][0-9]{0,2}|[nu][0-9]{1,3})([A-EG-Z])", re.ASCII)
_SMALL_LETTERS = re.compile(
    r"[0-3][a-z][0-9]{3}[a-z]?|[1-9][0-9][1-6][jk][0-9]{2,4}v?|[0-9]?\.[0-9]{1,4}[jk][0-9]{2,4}v?", re.ASCII
)
_POINT_R = re.compile(r"([0-9]R[0-9])([BCDFG])", re.ASCII)
_DIRECT = re.compile(r"([0-9]{1,3}|[0-9]{0,2}\.[0-9]{1,4})([A-Z])", re.ASCII)

_NONE, _PICO, _MICRO = Decimal(0), Decimal("1E-12"), Decimal("1E-6")
_SMALL = Decimal("1E-11")
_POWERS = {"P": -12, "N": -9, "U": -6}
_LIKE_UNITS = frozenset("EFHW")
_LIKE_MULTIPLIERS = frozenset("PN")


def read_mark(text: str) -> list[Mark]:
    """Read what is printed on a capacitor as one run of letters and digits.

    Parameters
    ----------
    text : str
        Such as ``2J473K``, ``473K630``, ``105K330V``, ``.1K63``, ``470K``.

    Returns
    -------
    list of Mark
        One sure reading, several with the reason, or none.

    Examples
    --------
    >>> [(str(mark.capacitance), str(mark.voltage)) for mark in read_mark("2J473K")]
    [('4.7E-8', '630')]
    """
    run = text.strip()
    if _SMALL_LETTERS.fullmatch(run) or (run[-1:] in ("j", "k") and likely_code(run[:-1])):
        run = run.upper()  # typed without the shift key; but 10k is kilohms, and a small p, n or m a multiplier
    for reader in (_coded_volts, _code_then_volts, _value_then_volts, _lettered, _value_then_letter):
        marks = reader(run)
        if marks:
            return marks
    return []


def _marks(capacitance: Decimal, letter: str, voltage: Decimal | None, how: str, *, sure: bool = True) -> list[Mark]:
    """One mark for each reading of its tolerance letter; none if the letter means nothing."""
    if capacitance <= 0:
        return []
    if not letter:
        return [Mark(capacitance, None, voltage, how, sure)]
    rows = tolerance_letter(letter, capacitance)
    if len(rows) == 1:
        return [Mark(capacitance, rows[0][0], voltage, how, sure)]
    return [Mark(capacitance, limits, voltage, f"{how}; letter {letter}: {doubt}", False) for limits, doubt in rows]


def _coded_volts(run: str) -> list[Mark]:
    found = _WITH_CODE.fullmatch(run)
    value = capacitance_code(found[2]) if found else None
    volts = voltage_code(found[1]) if found else None
    if found is None or value is None or volts is None:
        return []
    return _marks(value, found[3] or "", volts, f"'{run}' read as voltage code {found[1]} and value code {found[2]}")


def _code_then_volts(run: str) -> list[Mark]:
    found = _WITH_VOLTS.fullmatch(run)
    value = capacitance_code(found[1]) if found else None
    if found is None or value is None:
        return []
    return _marks(value, found[2], Decimal(found[3]), f"'{run}' read as value code, tolerance letter and volts")


def _value_then_volts(run: str) -> list[Mark]:
    """.1K63 and 1K63: microfarads, tolerance letter, volts; 47n400V and 10nJ100 the same with the multiplier."""
    found = _DECIMAL_VOLTS.fullmatch(run)
    if found is not None:
        how = f"'{run}' read as µF, tolerance letter and volts"
        sure = "." in found[1]  # 1K63 might be a resistor of 1.63 kΩ
        return _marks(Decimal(found[1]) * _MICRO, found[2], Decimal(found[3]), how, sure=sure)
    found = _LETTERED_VOLTS.fullmatch(run.upper())
    if found is None or not (found[2] or run.upper().endswith("V")):
        return []
    value = _with_multiplier(found[1]) or _NONE
    return _marks(value, found[2] or "", Decimal(found[3]), f"'{run}' read as value and volts")


def _with_multiplier(text: str) -> Decimal | None:
    parts = re.fullmatch(r"([0-9]{0,3})([PNU])([0-9]{0,2})", text, re.ASCII)
    if parts is None or not (parts[1] or parts[3]):
        return None
    return Decimal(f"{parts[1] or 0}.{parts[3] or 0}").scaleb(_POWERS[parts[2]])


def _lettered(run: str) -> list[Mark]:
    """10nJ, 4n7K, 4R7C: a value with its multiplier, then the tolerance letter."""
    found = _LETTERED.fullmatch(run)
    if found is not None:
        value = _with_multiplier(found[1].upper()) or _NONE
        return _marks(value, found[2], None, f"'{run}' read as value and tolerance letter")
    found = _POINT_R.fullmatch(run)
    if found is None:
        return []
    value = Decimal(found[1].replace("R", ".")) * _PICO
    return _marks(value, found[2], None, f"'{run}' read as pF, R the point, and tolerance letter")


def _value_then_letter(run: str) -> list[Mark]:
    """473K by code, 47K directly, 470K either way, .1K in microfarads."""
    found = _DIRECT.fullmatch(run)
    if found is None or found[2] not in TOLERANCE_LETTERS:
        return []
    number, letter = found[1], found[2]
    if "." in number:
        return _decimal_then_letter(run, Decimal(number), letter)
    if letter in _LIKE_UNITS and not likely_code(number):
        return []  # 100E is ohms, 1F a farad, 10H and 100W another family's
    if letter in _LIKE_MULTIPLIERS:
        return _multiplier_or_letter(run, number, letter)
    direct = _marks(Decimal(number) * _PICO, letter, None, f"'{run}' read as pF and tolerance letter")
    coded = capacitance_code(number)
    by_code = _marks(coded or _NONE, letter, None, f"'{run}' read as value code and tolerance letter")
    if letter in "BCD":  # for a few pF; 85C is a temperature and 300B a valve
        return [mark for mark in (by_code or direct) if mark.capacitance <= _SMALL][:1]
    if coded is None:
        return direct if len(number) < 3 else []
    if number[2] != "0":
        return by_code
    why = f"'{run}': to most makers a code ({number[:2]} pF), to some the value itself ({number} pF)"
    return _unsure(by_code, why) + _unsure(direct, why)


def _multiplier_or_letter(run: str, number: str, letter: str) -> list[Mark]:
    """P and N as tolerance letters (103P), or capitals in the place of p and n (100N)."""
    plain = _marks(Decimal(number).scaleb(_POWERS[letter]), "", None, f"'{run}' read with {letter} as multiplier")
    if not likely_code(number):
        return plain
    why = f"'{run}': {letter} may be a tolerance letter or the multiplier"
    return _unsure(_marks(capacitance_code(number) or _NONE, letter, None, why)) + _unsure(plain, why)


def _decimal_then_letter(run: str, number: Decimal, letter: str) -> list[Mark]:
    """.1K in microfarads, 4.7C in picofarads, 2.2K in either."""
    small = _marks(number * _PICO, letter, None, f"'{run}' read as pF and tolerance letter")
    large = _marks(number * _MICRO, letter, None, f"'{run}' read as µF and tolerance letter")
    if letter in "BCD":
        return small[:1]
    if letter in _LIKE_UNITS or letter in _LIKE_MULTIPLIERS:
        return []
    if letter == "M":
        old = Mark(number * _MICRO, None, None, f"'{run}': M may be the old sign of the microfarad, not ±20 %", False)
        return [*_unsure(large), old] if number > 0 else []
    return large if number < 1 else _unsure(large) + _unsure(small)


def _unsure(marks: list[Mark], note: str = "") -> list[Mark]:
    return [Mark(m.capacitance, m.tolerance, m.voltage, note or m.note, False) for m in marks]
