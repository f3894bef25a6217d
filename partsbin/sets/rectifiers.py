"""The rectifier as people name it: a valve type, or a word that means silicon or selenium."""

from __future__ import annotations

import re
from typing import NamedTuple

from partsbin.errors import UsageError
from partsbin.notation.choices import folded
from partsbin.reference.valves import lineup

_SELENIUM = re.compile(r"se|sel|selenium|selen|metal|plate|selengleichrichter|trockengleichrichter")
_SILICON = re.compile(
    r"si|solid|silicon|silicium|silizium|diodes?|bridge|diodenbrücke|brücke|brückengleichrichter|graetz"
    r"|1n400[1-7]|1n540[0-8]|uf400[1-7]|uf540[0-8]|by(?:x|w|v)?\d{2,3}"
)
_BESIDE = re.compile(r"rectifier|gleichrichter|diodes?|bridge|full|half|wave|stack|pair|solid|state")
"""Words that may stand beside the material without changing it."""


class Rectifier(NamedTuple):
    """What rectifies.

    Parameters
    ----------
    name : str
        ``silicon``, ``selenium`` or the type of a valve.
    bridge : bool
        Whether it was said to be a bridge.
    note : str
        How another word was understood, "" where it is the name itself.
    """

    name: str
    bridge: bool = False
    note: str = ""


def read_rectifier(text: str) -> Rectifier:
    """Read what rectifies the HT.

    Raises
    ------
    UsageError
        If it is no rectifier that is known here: an unknown word would silently change the volts reckoned with.

    Examples
    --------
    >>> read_rectifier("4 x 1N4007 bridge")[:2], read_rectifier("ez-81").name
    (('silicon', True), 'EZ81')
    """
    words = [word for word in folded(re.sub(r"[×*]", "x", text)).split("-") if not re.fullmatch(r"[1-8]?x?", word)]
    words = [re.sub(r"^[1-8]x(?=\D|1n)|x[1-8]$", "", word) for word in words]
    bridge = any(word.startswith(("bridge", "brücke", "diodenbrücke", "graetz")) for word in words)
    for name, pattern in (("selenium", _SELENIUM), ("silicon", _SILICON)):
        if any(pattern.fullmatch(word) for word in words) and all(
            pattern.fullmatch(word) or _BESIDE.fullmatch(word) for word in words
        ):
            note = "" if folded(text) == name else f"rectifier {text!r} taken as {name}"
            return Rectifier(name, bridge, note)
    return _valve(text)


def _valve(text: str) -> Rectifier:
    found = lineup(re.sub(r"(?i)\b(?:rectifier|valve|tube|röhre|gleichrichterröhre)\b", " ", text))
    kinds = {item.valve.type: item.valve for item in found.valves}
    if found.unknown or len(kinds) != 1:
        raise UsageError(
            f"rectifier={text!r}: expected silicon, selenium or a rectifier valve such as EZ81",
            hint="a valve that is not in the table: leave the fact out, and read the HT winding off load",
        )
    (valve,) = kinds.values()
    if not valve.is_rectifier:
        raise UsageError(
            f"rectifier={text!r}: {valve.type} is no rectifier ({valve.kind}): "
            "expected silicon, selenium or a rectifier valve such as EZ81"
        )
    return Rectifier(valve.type, note=f"rectifier {valve.read_as}" if valve.read_as else "")
