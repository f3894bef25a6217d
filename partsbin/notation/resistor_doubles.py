"""Values of resistors that may mean two things by the way they are written: both are given, the likelier first."""

from __future__ import annotations

import re
from decimal import Decimal

from partsbin.notation.resistance import Way, preferred

OLD_AMERICAN = Decimal("5E7")  # from so many megohms on, an M may be the thousand of old American diagrams
_THOUSANDS = re.compile(r"[1-9][0-9]{0,2}\.[0-9]{3}", re.ASCII)
_POWER = re.compile(r"([1-9][0-9]{0,2}(?:\.[0-9]{1,2})?)[eE]([0-8])", re.ASCII)
_MOST = Decimal("1E8")  # ohms beyond which an E is no power of ten
_GLUED = re.compile(r"(?<![0-9.,/])([0-9]{1,4})[kKMRr]([0-9]{0,2}?)(?=([1-9])/(2|3|4|8|16) ?[wW])", re.ASCII)
_VALVE = re.compile(r"[1-9][0-9]?[A-Z][1-9]", re.ASCII)


def lettered(text: str, value: Decimal, letter: str) -> list[Way]:
    """Return what a value with a multiplier letter, and no unit, may mean.

    Parameters
    ----------
    text : str
        As written.
    value : Decimal
        As the letter has it today [ohm].
    letter : str
        The letter.

    Returns
    -------
    list of Way
        The likelier first: an m alone is mega to whoever types it of a valve set; beside its unit it is milli.

    Examples
    --------
    >>> [str(way.resistance) for way in lettered("1m", Decimal("0.001"), "m")]
    ['1000000.000', '0.001']
    """
    if letter == "m":
        note = f"'{text}': m is milli, but many write it for mega"
        return [Way(value * 10**9).doubted(note), Way(value).doubted(note)]
    if letter == "M" and value >= OLD_AMERICAN:
        note = f"'{text}': M is mega, on American diagrams before 1945 a thousand (from memory)"
        return [Way(value).doubted(note), Way(value / 1000).doubted(note)]
    if letter in "rE":
        return _power_of_ten(text, value) or [Way(value, notes=(f"'{text}' read with {letter} for the ohm",))]
    if text[0] in "Rr" and not preferred(value):
        return [Way(value).doubted(f"'{text}' is no preferred value, and may be the name of a part in a diagram")]
    if _VALVE.fullmatch(text) and not preferred(value):
        return [Way(value).doubted(f"'{text}' is no preferred value, and valves have such names")]
    return [Way(value)]


def with_unit(text: str, value: Decimal) -> list[Way]:
    """Return what a value in ohms may mean: m is milli or mega, E a letter or a power, a stop may set thousands apart.

    Parameters
    ----------
    text : str
        As written, with its unit.
    value : Decimal
        As the unit has it [ohm].

    Returns
    -------
    list of Way
        The likelier first.

    Examples
    --------
    >>> [str(way.resistance) for way in with_unit("10.000 ohm", Decimal("10.000"))]
    ['10000', '10.000']
    """
    plain = text.removesuffix("ohm").rstrip()
    if plain[-1:] == "m":
        return lettered(text, value, "m")[::-1]
    if plain[-1:] == "M" and value >= OLD_AMERICAN:
        return lettered(text, value, "M")
    ways = thousands(plain, value) or _power_of_ten(plain, value)
    return sorted(ways, key=lambda way: -(way.resistance or value)) or [Way(value)]  # E and ohm: one would be too many


def thousands(text: str, value: Decimal) -> list[Way]:
    """Return what a figure such as 1.000 may mean: thousands set apart, as in German, or decimals.

    Parameters
    ----------
    text : str
        As written, without a unit.
    value : Decimal
        With the stop as decimal point [ohm].

    Returns
    -------
    list of Way
        The thousands first; none if it is no such figure.

    Examples
    --------
    >>> [str(way.resistance) for way in thousands("1.500", Decimal("1.500"))]
    ['1500', '1.500']
    """
    if not _THOUSANDS.fullmatch(text):
        return []
    note = f"'{text}': the stop sets thousands apart, or is a decimal point"
    return [Way(Decimal(text.replace(".", ""))).doubted(note), Way(value).doubted(note)]


def tens(text: str) -> list[Way]:
    """Return what a figure such as 1e3 may mean, where a power of ten gives a preferred value.

    Parameters
    ----------
    text : str
        As written.

    Returns
    -------
    list of Way
        The power of ten first; none if it is no such figure.

    Examples
    --------
    >>> [str(way.resistance) for way in tens("1e3")]
    ['1E+3', '1.3']
    """
    found = _POWER.fullmatch(text)
    if found is None or "e" not in text:
        return []
    if "." in found[1]:
        ten = Decimal(found[1]).scaleb(int(found[2]))
        return [Way(ten, notes=(f"'{text}' read as a power of ten",))] if preferred(ten) else []
    ways = _power_of_ten(text, Decimal(f"{found[1]}.{found[2]}"))
    return sorted(ways, key=lambda way: -(way.resistance or 0))


def _power_of_ten(text: str, value: Decimal) -> list[Way]:
    """Two readings where the E of 2E2 may be a computer's, and gives a preferred value; that one first if the letter gives none."""
    found = _POWER.fullmatch(text)
    if found is None or "." in found[1]:
        return []
    other = Decimal(found[1]).scaleb(int(found[2]))
    if other == value or not preferred(other) or other > _MOST:
        return []
    note = f"'{text}': E for the ohm, or a power of ten"
    ways = [Way(value).doubted(note), Way(other).doubted(note)]
    return ways if preferred(value) else ways[::-1]


def unglued(text: str) -> tuple[str, str]:
    """Return a description with watts such as the 1/2W of 100k1/2W set apart from the value, and a note that says so.

    Parameters
    ----------
    text : str
        The description.

    Returns
    -------
    tuple of (str, str)
        The text unchanged, with no note, where nothing is glued or where the digit makes the value a preferred one.

    Examples
    --------
    >>> unglued("100k1/2W")[0], unglued("9k1/2W")[0], unglued("4k7/2W")[0]
    ('100k 1/2W', '9k1/2W', '4k7/2W')
    """
    found = _GLUED.search(text)
    if found is None or int(found[3]) >= int(found[4]):
        return text, ""
    less, more = (Decimal(f"{found[1]}.{found[2]}{digit}" + "0") for digit in ("", found[3]))
    if preferred(more) and not preferred(less):
        return text, ""
    value, watts = found[0], f"{found[3]}/{found[4]} W"
    return f"{text[: found.end()]} {text[found.end() :]}", f"read as {value} and {watts}, not as {value}{found[3]}"
