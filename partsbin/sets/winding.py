"""The HT winding as people write it: ``250-0-250``, ``2x250``, ``500 V CT``, ``250 bridge``, ``230 half-wave``."""

from __future__ import annotations

import re
from typing import NamedTuple

from partsbin.errors import UsageError

EXAMPLES = "volts a side such as 250-0-250, 2x250 or 500 V CT, or 250 bridge, or 230 half-wave"
MOST = 2000.0
"""V a side: no receiver or amplifier has more."""

TAPPED_LEAST = 400.0
"""V: with fewer, as in 250 V CT, the figure may be one side's as well as both; the trade writes either."""


class Winding(NamedTuple):
    """One HT winding.

    Parameters
    ----------
    volts : float
        RMS a side, of the whole winding where it has no tap [V].
    tapped : bool
        Whether there are two sides.
    full_wave : bool
        Whether both half-waves are used.
    off_load : bool
        Whether it was read without load.
    note : str
        How a text was understood that could be taken otherwise, "" for a plain one.
    """

    volts: float
    tapped: bool
    full_wave: bool
    off_load: bool
    note: str = ""


_WORDS = {
    "off": r"off[- ]?load|no[- ]?load|un-?loaded|not loaded|without load|open[- ]circuit|o/c|leerlauf|unbelastet|ohne last",
    "on": r"(?:under|on|with|full)[- ]load|loaded|belastet",
    "half": r"half[- ]?wave|einweg",
    "full": r"full[- ]?wave|zweiweg|bi-?phase",
    "bridge": r"bridge(?: rectifier)?|brücke|graetz",
    "tap": r"c\.? ?t\.?|cent(?:re|er)[- ]?tap(?:ped)?|mittelanzapfung",
    "beside": r"rms|eff|ac|each|(?:(?:a|per) )?side|je seite|~",
}
"""Words beside the figures; the first that matches is taken out first, since ``unloaded`` holds ``loaded``."""

_N = r"(\d+(?:[.,]\d+)?)\s*(kv|volts?|v)?"
_SIDES = re.compile(rf"{_N}\s*[-/ ]\s*0\s*v?\s*[-/ ]\s*{_N}")
_SUM = re.compile(rf"{_N}\s*\+\s*{_N}")
_TWICE = re.compile(rf"2\s*x\s*{_N}")
_ONE = re.compile(_N)


def read_winding(text: str) -> Winding:
    """Read an HT winding in plain signs, without a meter's ``±``.

    Raises
    ------
    UsageError
        If it cannot be read, could mean two things, or contradicts itself.

    Examples
    --------
    >>> read_winding("500 V CT off load")[:4]
    (250.0, True, True, True)
    """
    found, rest = _sorted_out(text.lower())
    sides, tapped = _sides(rest, text)
    if {"off", "on"} <= found or {"half", "full"} <= found or {"half", "bridge"} <= found:
        raise UsageError(f"secondary={text!r} contradicts itself", hint=f"expected {EXAMPLES}")
    note = ""
    if "tap" in found and not tapped:
        sides, tapped, note = _halved(sides[0], text)
    if tapped and found & {"half", "bridge"}:
        whole = f"{2 * max(sides):g}"
        raise UsageError(
            f"secondary={text!r}: a {'bridge' if 'bridge' in found else 'half-wave'} has no use for the centre tap",
            hint=f"write {whole} bridge if it stands across the whole winding, {max(sides):g} if across one side",
        )
    if not 1 < max(sides) <= MOST:
        raise UsageError(f"secondary={text!r}: expected between 1 and {MOST:g} V a side")
    if min(sides) < 0.8 * max(sides):
        raise UsageError(
            f"secondary={text!r}: the two sides differ by more than a fifth", hint="250-0-250 means 250 V a side"
        )
    return Winding(max(sides), tapped, tapped or bool(found & {"bridge", "full"}), "off" in found, note)


def _sorted_out(words: str) -> tuple[set[str], str]:
    """Which words stand beside the figures, and the figures without them."""
    found = set()
    for name, pattern in _WORDS.items():
        words, count = re.subn(rf"(?<![a-z])(?:{pattern})(?![a-z])|(?<=\dv)(?:{pattern})(?![a-z])", " ", words)
        if count:
            found.add(name)
    return found, re.sub(r"[();]|,(?!\d)", " ", words).strip()


def _sides(rest: str, text: str) -> tuple[list[float], bool]:
    """The volts of each side, and whether there are two."""
    two = _SIDES.fullmatch(rest) or _SUM.fullmatch(rest)
    if two:
        first, second = (two[1], two[2]), (two[3], two[4])
        if second[1] == "kv" and first[1] is None:
            first = (first[0], "kv")
        return [_volts(*first), _volts(*second)], True
    if twice := _TWICE.fullmatch(rest):
        return [_volts(twice[1], twice[2])], True
    if one := _ONE.fullmatch(rest):
        return [_volts(one[1], one[2])], False
    raise UsageError(f"secondary={text!r}: expected {EXAMPLES}", hint="add off-load if it was read without load")


def _volts(figure: str, unit: str | None) -> float:
    return float(figure.replace(",", ".")) * (1000 if unit == "kv" else 1)


def _halved(whole: float, text: str) -> tuple[list[float], bool, str]:
    """End to end, as the trade writes it; a figure that is usual for one side is not taken for both."""
    half = f"{whole / 2:g}-0-{whole / 2:g}"
    if whole < TAPPED_LEAST:
        raise UsageError(
            f"secondary={text!r} could mean {half} or {whole:g}-0-{whole:g}", hint="write it with the 0 in the middle"
        )
    return [whole / 2], True, f"{text} read as {half}"
