"""What a parts list says behind a value of where the part sits: ``470k diode load``, ``.02 600V from plate to grid``.

Readers take ``diode`` or ``transformer`` for the name of another part, and then read nothing. Under the designator of a resistor
or a capacitor they only say where it sits, unless they are what the text is about: ``10k thermistor``.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import replace

from partsbin.notation.reading import Reading

_VALUES = {"resistor": "resistance", "capacitor": "capacitance"}
_LINK = re.compile(
    r"(?i)(?<=\s)(?:to|from|of|off|across|in|into|on|at|for|with|between|by|near|behind|before|after|under|over|around|feeding|zu|zum"
    r"|zur|von|vom|an|am|im|über|für|bei|zwischen|nach|vor|auf|hinter|parallel)(?=\s)"
)
_KIND = re.compile(
    r"(?i)(?:thermistor|ntc|ptc|vdr|ldr|varistor|heiss?leiter|heißleiter|kaltleiter|fuse|sicherung|lamp|bulb|relay|relais|coil|spule|choke"
    r"|drossel|transformer|trafo|diode|rectifier|gleichrichter|transistor|valve|tube|röhre|switch|schalter|socket|plug|holder"
    r"|(?:loud)?speaker|pot|poti|potentiometer|control|preset|trimmer|padder|gang|network|array|meter|crystal|barretter|neon|field)s?"
)
_WATTS = re.compile(r"(?i)(?<![\w.])[0-9][0-9.,/]*\s?(?:w|watts?|%)(?!\w)")
_VOLTS = re.compile(r"(?i)(?<![\w.])[0-9][0-9.,]*\s?k?(?:v|volts?)(?!\w)[\w. ]{0,8}")


def value_alone(family: str, text: str, read: Callable[[str], Sequence[Reading]]) -> list[Reading]:
    """Read a value without the words behind it that say where the part sits.

    Parameters
    ----------
    family : str
        What its designator stands for.
    text : str
        What a list says of it, of which nothing is understood as a whole.
    read : callable
        The family's reader.

    Returns
    -------
    list of Reading
        With the words in `rest`, never sure; empty where there is no value, where the words name another kind of part, or where
        volts stand among them that may be the circuit's.
    """
    words = text.split()
    field = _VALUES.get(family)
    if field is None:
        return []
    for many in range(len(words) - 1, 0, -1):
        begin = " ".join(words[:many])
        link = _LINK.search(text)
        begin = text[: link.start()].rstrip(" ,;") if link and link.start() < len(begin) else begin
        tail = text[len(begin) :].strip(" ,;")
        found = [reading for reading in read(begin) if field in reading.fields or "sections" in reading.fields]
        if found:
            return [] if _is_another(tail) else _with_ratings(begin, tail, found, read)
    return []


def _is_another(tail: str) -> bool:
    """Whether the words are the name of a part: the last of them, where none leads on to where it sits."""
    named = _LINK.split(f" {tail} ", maxsplit=1)[0].split()
    return bool(named) and _KIND.fullmatch(named[-1].strip("().,;")) is not None


def _with_ratings(
    begin: str, tail: str, found: Sequence[Reading], read: Callable[[str], Sequence[Reading]]
) -> list[Reading]:
    """Put watts and volts of the words back to the value; volts only where they end the line."""
    volts = list(_VOLTS.finditer(tail))
    if any(match.end() < len(tail) for match in volts):
        return []
    ratings = [match[0].strip() for match in (*_WATTS.finditer(tail), *volts)]
    whole = read(" ".join((begin, *ratings))) if ratings else found
    left = _VOLTS.sub("", _WATTS.sub("", tail)).strip(" ,;")
    return [replace(reading, sure=False, rest=f"{reading.rest} {left}".strip()) for reading in whole]
