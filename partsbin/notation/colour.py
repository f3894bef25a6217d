"""Colours on resistors: bands of IEC 60062, and the body, tip and dot of before. Where a colour means two things, both are given.

The digits and the multipliers are those of capacitors too; their schemes are elsewhere.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Literal

from partsbin.errors import NotationError
from partsbin.notation.preferred import series

_WORDS = {
    "black": "black blk bk sw schwarz",
    "brown": "brown brn bn br braun",
    "red": "red rd rt rot",
    "orange": "orange org orn og",
    "yellow": "yellow yel ylw yl ye ge gelb",
    "green": "green grn gn grün gruen",
    "blue": "blue blu bu blau",
    "violet": "violet vio vt vi violett purple pur lila",
    "grey": "grey gray gry gy gra grau",
    "white": "white wht wh ws weiß weiss",
    "gold": "gold gld gd golden",
    "silver": "silver sil slv sr silber",
    "pink": "pink pk rosa",
}
COLOURS: dict[str, str] = {word: colour for colour, words in _WORDS.items() for word in words.split()}
"""English and German words and the usual abbreviations to the colour."""

AMBIGUOUS: dict[str, tuple[str, ...]] = {"gr": ("grey", "green"), "bl": ("blue", "black")}
"""Abbreviations that are used for two colours."""

DIGITS: dict[str, int] = {colour: digit for digit, colour in enumerate(tuple(_WORDS)[:10])}
"""Colour to digit: brown and red read in the sources, the others as everybody knows them."""

MULTIPLIERS: dict[str, Decimal] = {
    **{colour: Decimal(1).scaleb(digit) for colour, digit in DIGITS.items()},
    "gold": Decimal("0.1"),
    "silver": Decimal("0.01"),
    "pink": Decimal("0.001"),
}
"""Colour to multiplier, IEC 60062; pink since 2016, from memory."""

OLDER_MULTIPLIERS: dict[str, Decimal] = {"grey": Decimal("0.01"), "white": Decimal("0.1")}
"""What grey and white meant to some makers before gold and silver did; from memory."""

TOLERANCES: dict[str, tuple[Decimal, ...]] = {
    "brown": (Decimal("0.01"),),
    "red": (Decimal("0.02"),),
    "orange": (Decimal("0.0005"),),
    "yellow": (Decimal("0.0002"),),
    "green": (Decimal("0.005"),),
    "blue": (Decimal("0.0025"),),
    "violet": (Decimal("0.001"),),
    "grey": (Decimal("0.0005"), Decimal("0.0001")),
    "gold": (Decimal("0.05"),),
    "silver": (Decimal("0.1"),),
}
"""Colour to tolerance as fractions; two where the editions differ. Brown, red, gold, silver were read, the rest is from memory."""

NO_BAND = Decimal("0.2")
"""Tolerance where there is no band for it."""

OLD_ROUND = frozenset({25, 35, 40, 50, 60, 80})
"""First two digits of values that were made before the preferred ones, as old diagrams carry them."""

_LEAST, _MOST = Decimal("0.1"), Decimal("1E8")  # ohm; a reading from the other end is offered only inside these
_FROM_MEMORY = frozenset({"orange", "yellow", "grey"})  # tolerances of the edition of 2016
_DRIFTS = {
    "black": 250, "brown": 100, "red": 50, "orange": 15, "yellow": 25, "green": 20, "blue": 10, "violet": 5, "grey": 1,
}  # fmt: skip


@dataclass(frozen=True)
class Coded:
    """One way of reading colours.

    Parameters
    ----------
    value : Decimal
        The number, in the unit of the part: ohms on a resistor.
    tolerance : Decimal
        As a fraction [-].
    notes : tuple of str
        The scheme first, then what speaks against it.
    sure : bool
        False where it could be otherwise.
    kind : {"preferred", "round", "odd"}
        Whether the value is a preferred one, a round one of before, or neither.
    """

    value: Decimal
    tolerance: Decimal
    notes: tuple[str, ...]
    sure: bool = True
    kind: Literal["preferred", "round", "odd"] = "preferred"

    def doubted(self, *notes: str) -> Coded:
        """Return the same, unsure, with the reason."""
        return replace(self, sure=False, notes=(*self.notes, *notes))


def bands(colours: Sequence[str]) -> list[Coded]:
    """Read three to six bands.

    Parameters
    ----------
    colours : sequence of str
        Names of colours, keys of `MULTIPLIERS`, as written from the left.

    Returns
    -------
    list of Coded
        One sure reading, or several, the likelier first.

    Raises
    ------
    NotationError
        If neither end can be the first.

    Notes
    -----
    Three bands have ±20 %. From the other end bands are read too where they make a preferred value that way, unless three bands
    make one as they stand; a round value of before is not enough for that. A fifth band behind gold or silver may be one of
    reliability on a part of four.

    References
    ----------
    IEC 60062: digits, brown, red, gold, silver and no band as in "Resistors in valve radios" (vrres) and "Resistor codes and
    tolerances" (vrw); the rest from memory.

    Examples
    --------
    >>> [(str(way.value), str(way.tolerance)) for way in bands(["yellow", "violet", "red", "silver"])]
    [('4.7E+3', '0.1')]
    """
    forward, fault = _either(tuple(colours))
    backward, _ = _either(tuple(reversed(colours)))
    stands = any(way.kind != "odd" and _LEAST <= way.value <= _MOST for way in forward)
    if forward:
        backward = [way for way in backward if way.kind == "preferred" and _LEAST <= way.value <= _MOST]
    if len(colours) == 3 and any(way.kind == "preferred" and _LEAST <= way.value <= _MOST for way in forward):
        backward = []
    backward = [replace(way, notes=(*way.notes, _other_end(colours, bool(forward)))) for way in backward]
    found = forward + backward if stands else backward + forward
    if not found:
        raise NotationError(fault)
    if len(found) > 1:
        found = [way if not way.sure else way.doubted("the bands can be read in more than one way") for way in found]
    return found


def _other_end(colours: Sequence[str], both: bool) -> str:
    return "read from the other end" if both else f"read from the other end: {colours[0]} cannot come first"


def _either(colours: tuple[str, ...]) -> tuple[list[Coded], str]:
    """Readings from the left, or the fault."""
    try:
        return _from_left(colours), ""
    except NotationError as fault:
        return [], fault.message


def _from_left(colours: tuple[str, ...]) -> list[Coded]:
    count = len(colours)
    if not 3 <= count <= 6:
        raise NotationError(f"{count} bands '{' '.join(colours)}': expected three to six")
    if count == 3:
        return _values(colours[:2], colours[2], [(NO_BAND, "")], "three bands of IEC 60062, ±20 % for want of a fourth")
    if count == 4:
        return _values(colours[:2], colours[2], _tolerances(colours[3], colours), "four bands of IEC 60062")
    if count == 6:
        drift = _DRIFTS.get(colours[5])
        said = f", {drift} ppm/K (from memory)" if drift else f": {colours[5]} is no temperature coefficient"
        six = _values(colours[:3], colours[3], _tolerances(colours[4], colours), f"six bands of IEC 60062{said}")
        return six if drift else [way.doubted() for way in six]
    return _five(colours)


def _five(colours: tuple[str, ...]) -> list[Coded]:
    """Three digits, multiplier, tolerance; or a part of four bands with one more behind gold or silver."""
    found: list[Coded] = []
    if colours[4] in TOLERANCES or colours[3] not in ("gold", "silver"):
        found = _values(colours[:3], colours[3], _tolerances(colours[4], colours), "five bands of IEC 60062")
    if colours[3] in ("gold", "silver"):
        extra = (
            "white behind them means fusible on one maker's wire-wound parts"
            if colours[4] == "white"
            else f"{colours[4]} behind them taken as reliability or material (from memory)"
        )
        four = _values(colours[:2], colours[2], _tolerances(colours[3], colours), f"four bands of IEC 60062, {extra}")
        found += [way.doubted() for way in four]
    return sorted(found, key=lambda way: way.kind == "odd")


def body_tip_dot(body: str, tip: str = "", dot: str = "", end: str = "") -> list[Coded]:
    """Read a resistor whose body, tip and dot are painted.

    Parameters
    ----------
    body, tip, dot : str
        First digit, second digit, number of noughts; a colour that seems missing is that of the body.
    end : str
        The other end: gold ±5 %, silver ±10 %, none ±20 %.

    Returns
    -------
    list of Coded
        One sure reading, or several.

    Raises
    ------
    NotationError
        If a colour cannot stand where it does.

    References
    ----------
    "Resistor codes and tolerances" (vrw); the second tip from memory.

    Examples
    --------
    >>> [str(way.value) for way in body_tip_dot("red", "red", "brown")]
    ['2.2E+2']
    """
    limits = [(TOLERANCES[end][0], "")] if end in ("gold", "silver") else [(NO_BAND, "")]
    if end and end not in ("gold", "silver"):
        raise NotationError(f"'{end}' at the second end: expected gold or silver")
    found = _values((body, tip or body), dot or body, limits, "body, tip and dot")
    missing = " and ".join(name for name, colour in (("tip", tip), ("dot", dot)) if not colour)
    return (
        [way.doubted(f"no {missing} named: taken as {body}, the colour of the body") for way in found]
        if missing
        else found
    )


def _values(digits: Sequence[str], power: str, limits: list[tuple[Decimal, str]], scheme: str) -> list[Coded]:
    """Every way of reading digits, multiplier and tolerance."""
    for place, colour in enumerate(digits):
        if colour not in DIGITS or (place == 0 and colour == "black"):
            which = ("first", "second", "third")[place]
            raise NotationError(
                f"{colour} as {which} digit of '{' '.join((*digits, power))}': "
                f"expected {'brown' if place == 0 else 'black'} to white"
            )
    number = int("".join(str(DIGITS[colour]) for colour in digits))
    factors = [(MULTIPLIERS[power], "")]
    if power in OLDER_MULTIPLIERS:
        older = OLDER_MULTIPLIERS[power]
        factors = [
            (older, f"{power} as multiplier {older}, as some makers had it before gold and silver (from memory)"),
            (MULTIPLIERS[power], f"{power} as multiplier of IEC 60062"),
        ]
    kind = _kind(number, len(digits))
    said = {"round": "a round value, as made before the preferred ones", "odd": "no preferred value: look again"}.get(
        kind
    )
    found = [
        Coded(
            factor * number, limit, tuple(filter(None, (scheme, why, doubt, said))), kind != "odd" and not doubt, kind
        )
        for factor, why in factors
        for limit, doubt in limits
    ]
    return found if len(found) == 1 else [way.doubted() for way in found]


def _kind(number: int, digits: int) -> Literal["preferred", "round", "odd"]:
    names = ("E24",) if digits == 2 else ("E24", "E96", "E192")
    if any(Decimal(number).scaleb(1 - digits) in series(name) for name in names):
        return "preferred"
    return "round" if digits == 2 and number in OLD_ROUND else "odd"


def _tolerances(colour: str, colours: Sequence[str]) -> list[tuple[Decimal, str]]:
    if colour not in TOLERANCES:
        raise NotationError(
            f"{colour} as tolerance of '{' '.join(colours)}': expected brown, red, gold, silver, green, blue or violet"
        )
    doubt = f"{colour} as tolerance (from memory)" if colour in _FROM_MEMORY else ""
    return [(limit, doubt) for limit in TOLERANCES[colour]]
