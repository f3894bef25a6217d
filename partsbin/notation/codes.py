"""Code letters and digits on capacitors: three digits in pF, tolerance letters, two-character voltages, ceramic codes.

Where published lists disagree, both readings are kept. Letters of one maker's own are not here: two makers' single-letter
voltages differ, and neither may be applied to the other's parts.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal

from partsbin.notation.preferred import series

Limits = tuple[Decimal, Decimal]


@dataclass(frozen=True)
class Letter:
    """What a tolerance letter means: limits as fractions, or in pF; where it is from, and what speaks against it."""

    low: Decimal
    high: Decimal
    unit: str
    source: str
    doubt: str = ""


@dataclass(frozen=True)
class CeramicCode:
    """What a ceramic code means.

    Parameters
    ----------
    code : str
        Such as ``X7R``.
    dielectric : str
        ``ceramic-1`` (stable, drifts in a straight line) or ``ceramic-2``.
    coldest, hottest : Decimal or None
        Range of temperature [°C]; None for class 1.
    low, high : Decimal
        Class 2: change over that range as fractions. Class 1: temperature coefficient and its tolerance, ppm/K.
    source : str
        Key of `partsbin.sources`.
    """

    code: str
    dielectric: str
    coldest: Decimal | None
    hottest: Decimal | None
    low: Decimal
    high: Decimal
    source: str


def _percent(low: str, high: str, source: str, doubt: str = "") -> Letter:
    return Letter(Decimal(low) / 100, Decimal(high) / 100, "-", source, doubt)


def _pico(limit: str, source: str, doubt: str = "") -> Letter:
    return Letter(-Decimal(limit), Decimal(limit), "pF", source, doubt)


TOLERANCE_LETTERS: dict[str, tuple[Letter, ...]] = {
    "B": (_pico("0.1", "iec-60384-tolerance", "or ±0.1 %, as on precision parts"),),
    "C": (_pico("0.25", "iec-60384-tolerance", "or ±0.25 %, as on precision parts"),),
    "D": (_pico("0.5", "iec-60384-tolerance", "or ±0.5 %, as on precision parts"),),
    "E": (_percent("-0.25", "0.25", "eto"),),
    "F": (_percent("-1", "1", "iec-60384-tolerance"),),
    "G": (_percent("-2", "2", "iec-60384-tolerance"),),
    "H": (_percent("-2.5", "2.5", "eto", "another list has 3 %"), _percent("-3", "3", "ori", "another list has 2.5 %")),
    "J": (_percent("-5", "5", "iec-60384-tolerance"),),
    "K": (_percent("-10", "10", "iec-60384-tolerance"),),
    "L": (_percent("-15", "15", "eto"),),
    "M": (_percent("-20", "20", "iec-60384-tolerance"),),
    "N": (_percent("-30", "30", "sanyo"),),
    "P": (_percent("0", "100", "sanyo"),),
    "Q": (_percent("-10", "30", "memory"),),
    "S": (_percent("-20", "50", "eto"),),
    "T": (_percent("-10", "50", "sanyo"),),
    "W": (_percent("0", "200", "eto"),),
    "X": (_percent("-20", "40", "eto"),),
    "Z": (_percent("-20", "80", "iec-60384-tolerance"),),
}
"""Letter to its readings; two where published lists disagree."""

_SMALL = Decimal("1E-11")
_BELOW_10_PF = {"F": (_pico("1", "eto"),), "G": (_pico("2", "memory"),)}

# fmt: off
_VOLTS = {
    "0E": "2.5", "0G": "4", "0L": "5.5", "0J": "6.3", "1A": "10", "1B": "12.5", "1C": "16", "1D": "20", "1E": "25",
    "1V": "35", "1G": "40", "1H": "50", "1J": "63", "1K": "80", "2A": "100", "2B": "125", "2C": "160", "2D": "200",
    "2E": "250", "2F": "315", "2V": "350", "2G": "400", "2W": "450", "2H": "500", "2J": "630", "2K": "800",
    "2Q": "110", "2Z": "180", "2P": "220", "3A": "1000", "3B": "1250", "3C": "1600",
}
# fmt: on
VOLTAGE_CODES: dict[str, Decimal] = {code: Decimal(volts) for code, volts in _VOLTS.items()}
"""Two-character code of JIS and EIA to DC volts; read in three lists, except 1B and 3C, which are from memory."""

_COLDEST = {"X": "-55", "Y": "-30", "Z": "10"}
_HOTTEST = {"2": "45", "4": "65", "5": "85", "6": "105", "7": "125", "8": "150", "9": "200"}
_CHANGE = {
    "A": ("-1.0", "1.0"),
    "B": ("-1.5", "1.5"),
    "C": ("-2.2", "2.2"),
    "D": ("-3.3", "3.3"),
    "E": ("-4.7", "4.7"),
    "F": ("-7.5", "7.5"),
    "P": ("-10", "10"),
    "R": ("-15", "15"),
    "S": ("-22", "22"),
    "T": ("-33", "22"),
    "U": ("-56", "22"),
    "V": ("-82", "22"),
}
_SLOPE = re.compile(r"([NP])(030|033|075|080|100|120|150|220|330|470|750|1500|2200|3300|4700|5600)", re.ASCII)
_CLASS_1 = {"C0G": ("0", "30"), "U2J": ("-750", "120")}
_SAME_AS = {"COG": "C0G", "NP0": "C0G", "NPO": "C0G", "N750": "U2J"}


def capacitance_code(digits: str) -> Decimal | None:
    """Return the farads of a three-digit code.

    Parameters
    ----------
    digits : str
        Two significant digits and the number of zeros in pF; 8 means × 0.01, 9 × 0.1; 7 is not used.

    Returns
    -------
    Decimal or None
        Farads [F]; None if it is no such code.

    Examples
    --------
    >>> str(capacitance_code("473")), str(capacitance_code("479"))
    ('4.7E-8', '4.7E-12')
    """
    if not re.fullmatch(r"[1-9][0-9]{2}", digits, re.ASCII) or digits[2] == "7":
        return None
    zeros = {"8": -2, "9": -1}.get(digits[2], int(digits[2]))
    return Decimal(digits[:2]).scaleb(zeros - 12)


def tolerance_letter(letter: str, capacitance: Decimal) -> tuple[tuple[Limits, str], ...]:
    """Return what a tolerance letter means on a capacitor.

    Parameters
    ----------
    letter : str
        One letter.
    capacitance : Decimal
        Which it stands on, above 0 [F].

    Returns
    -------
    tuple of (limits, doubt)
        Limits as fractions [-], and what speaks against them; two where published lists disagree, none for another letter.

    Examples
    --------
    >>> tolerance_letter("K", Decimal("4.7E-8"))[0][0]
    (Decimal('-0.1'), Decimal('0.1'))
    """
    rows = TOLERANCE_LETTERS.get(letter, ())
    if capacitance < _SMALL:
        rows = _BELOW_10_PF.get(letter, rows)
    elif letter in "BCD":  # meant for a few pF; on a larger part they are more likely the per cent of precision parts
        rows = (
            tuple(
                _percent(str(-row.high), str(row.high), row.source, f"or ±{row.high} pF, as below 10 pF")
                for row in rows
            )
            + rows
        )
    scale = Decimal("1E-12") / capacitance
    return tuple(
        ((row.low * scale, row.high * scale) if row.unit == "pF" else (row.low, row.high), row.doubt) for row in rows
    )


def voltage_code(code: str) -> Decimal | None:
    """Return the volts of a two-character code.

    Parameters
    ----------
    code : str
        Digit and letter, such as ``2J``.

    Returns
    -------
    Decimal or None
        DC volts [V]; None if it is no such code.

    Examples
    --------
    >>> str(voltage_code("2J"))
    '630'
    """
    return VOLTAGE_CODES.get(code.upper())


def ceramic_code(code: str) -> CeramicCode | None:
    """Return what a ceramic code means.

    Parameters
    ----------
    code : str
        Such as ``X7R``, ``Z5U``, ``C0G``, ``NP0``, ``N750``.

    Returns
    -------
    CeramicCode or None
        None if it is no such code.

    References
    ----------
    EIA-198, as given by makers' pages; of class 1 only what was read there, the rest of the N and P codes by their own figure.

    Examples
    --------
    >>> ceramic_code("Z5U").high, ceramic_code("NP0").code
    (Decimal('0.22'), 'C0G')
    """
    name = _SAME_AS.get(code.upper(), code.upper())
    if name in _CLASS_1:
        drift, spread = _CLASS_1[name]
        return CeramicCode(name, "ceramic-1", None, None, Decimal(drift), Decimal(spread), "holy")
    slope = _SLOPE.fullmatch(name)
    if slope is not None:
        drift_ppm = Decimal(slope[2]) * (-1 if slope[1] == "N" else 1)
        return CeramicCode(name, "ceramic-1", None, None, drift_ppm, Decimal(0), "memory")
    if len(name) == 3 and name[0] in _COLDEST and name[1] in _HOTTEST and name[2] in _CHANGE:
        low, high = (Decimal(limit) / 100 for limit in _CHANGE[name[2]])
        coldest, hottest = Decimal(_COLDEST[name[0]]), Decimal(_HOTTEST[name[1]])
        return CeramicCode(
            name, "ceramic-2", coldest, hottest, low, high, "memory" if name[2] == "B" else "ti-slaa701b"
        )
    return None


def likely_code(digits: str) -> bool:
    """Return whether three digits are far likelier a value code than a value: an E12 value and one to six zeros.

    Parameters
    ----------
    digits : str
        Three digits.

    Returns
    -------
    bool
        True for 104 and 223; False for 250, 365 and 500.
    """
    steps = {str(int(step * 10)) for step in series("E12")}
    return len(digits) == 3 and digits[2] in "123456" and digits[:2] in steps
