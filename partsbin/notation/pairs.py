"""Pairs of windings in a transformer's description: 45:1, 5k2:3Ω, 8k a-a : 15 ohm, 230V:5.1V, 5k:3/8/15.

A transformer has a ratio; the impedances are the ones that it was meant for, and give the ratio as their square root.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from partsbin.notation.scan import Token
from partsbin.notation.writing import format_quantity

Kind = Literal["ohm", "V", "W", ""]
_BETWEEN = frozenset({"to", "into", "zu", "auf"})
_OHM_LETTERS = frozenset("RrEkKMG")
_REACH = 4
_BARE_IMPEDANCE = 1000
_MOST_PAIRS = 24


@dataclass(frozen=True)
class Side:
    """One side of a colon: values of one kind, taps if there are several."""

    values: tuple[Decimal, ...]
    kind: Kind


@dataclass(frozen=True)
class Pair:
    """A primary with a secondary: the ratio, or the impedances that it matches, in ohms."""

    primary: str
    secondary: str
    ratio: Decimal | None = None
    primary_impedance: Decimal | None = None
    secondary_impedance: Decimal | None = None

    def fields(self) -> dict[str, object]:
        """The pair as a row of the field `pairs`; what is not known is absent."""
        row: dict[str, object] = {"primary": self.primary, "secondary": self.secondary}
        for name in ("ratio", "primary_impedance", "secondary_impedance"):
            value = getattr(self, name)
            if value is not None:
                row[name] = float(value)
        return row


@dataclass(frozen=True)
class Joined:
    """Two sides with what stands between them; the pieces used are not to be read again."""

    left: Side
    right: Side
    used: tuple[int, ...]
    text: str


def side_of(piece: Token) -> Side | None:
    """Return what a piece may be as one side of a pair, None if it cannot be one."""
    if piece.kind not in ("quantity", "number", "list") or not all(value > 0 for value in piece.values):
        return None
    if piece.unit == "ohm" or piece.letter in _OHM_LETTERS:
        return Side(piece.values, "ohm")
    if piece.unit == "V" or piece.letter == "V":
        return Side(piece.values, "V")
    if piece.unit == "W":
        return Side(piece.values, "W")
    return None if piece.unit or piece.letter else Side(piece.values, "")


def find_joined(pieces: list[Token]) -> list[Joined]:
    """Return the pairs of sides in a description.

    Parameters
    ----------
    pieces : list of Token
        The description, scanned.

    Returns
    -------
    list of Joined
        In the order of the text. Words such as ``a-a`` or ``CT`` may stand before the colon.
    """
    joined: list[Joined] = []
    free = 0
    for at, piece in enumerate(pieces):
        if piece.kind == "ratio" and all(piece.values):
            joined.append(Joined(Side(piece.values[:1], ""), Side(piece.values[1:], ""), (at,), piece.text))
            free = at + 1
            continue
        stroke = piece.text == "/" and piece.kind == "mark"
        if not (piece.text == ":" or stroke or piece.text.lower() in _BETWEEN) or at + 1 >= len(pieces):
            continue
        before, right = _side_before(pieces, at, free), side_of(pieces[at + 1])
        if before is None or right is None or not _fits(before[1], right, stroke):
            continue
        start, left = before
        text = " ".join(word.text for word in pieces[start : at + 2])
        joined.append(Joined(left, right, (start, at, at + 1), text))
        free = at + 2
    return joined


def _side_before(pieces: list[Token], at: int, free: int) -> tuple[int, Side] | None:
    """The nearest side before a colon, over a few words but over no other number."""
    for index in range(at - 1, max(free, at - _REACH) - 1, -1):
        side = side_of(pieces[index])
        if side is not None:
            return index, side
        if pieces[index].kind != "word":
            return None
    return None


def _fits(left: Side, right: Side, stroke: bool) -> bool:
    """Whether two sides can be a pair. A stroke joins many things: only kilohms and a loudspeaker make a pair of it."""
    if stroke:
        return left.kind == "ohm" and right.kind in ("ohm", "") and min(left.values) >= 50 * max(right.values)
    if left.kind == "W":
        return right.kind in ("ohm", "")
    return left.kind == right.kind or "" in (left.kind, right.kind)


def pairs_of(joined: Joined, line_volts: Decimal | None) -> tuple[list[Pair], str]:
    """Return the pairs that two sides make, one for each pair of taps, and what is to be doubted.

    Parameters
    ----------
    joined : Joined
        Two sides.
    line_volts : Decimal or None
        Of a loudspeaker line, for sides in watts [V].

    Returns
    -------
    tuple of (list of Pair, str)
        No pair if the sides do not make one; "" where nothing is to be doubted.
    """
    left, right = joined.left, joined.right
    if left.kind == "W":
        return (
            ([], f"'{joined.text}': watts without the volts of the line")
            if line_volts is None
            else _taps(
                [line_volts**2 / watts for watts in left.values],
                right.values,
                [format_quantity(watts, "W") for watts in left.values],
            )
        )
    if "ohm" in (left.kind, right.kind):
        return _impedances(joined)
    if "V" in (left.kind, right.kind):
        labels = (
            [format_quantity(volts, "V") for volts in left.values],
            [format_quantity(volts, "V") for volts in right.values],
        )
        return [
            Pair(first, second, a / b)
            for a, first in zip(left.values, labels[0], strict=True)
            for b, second in zip(right.values, labels[1], strict=True)
        ][:_MOST_PAIRS], ""
    return _bare(joined)


def _impedances(joined: Joined) -> tuple[list[Pair], str]:
    left, right = joined.left, joined.right
    doubt, primary = "", list(left.values)
    if left.kind == "" and max(primary) < 100:
        if max(primary) > 20:
            return [], f"'{joined.text}': a ratio, or ohms to ohms"
        primary, doubt = [value * 1000 for value in primary], f"'{joined.text}': the first number read as kilohms"
    pairs, _ = _taps(primary, right.values, [format_quantity(value, "ohm") for value in primary])
    return pairs, doubt


def _bare(joined: Joined) -> tuple[list[Pair], str]:
    """Numbers alone: turns, unless the first is in the thousands and the second is not."""
    left, right = joined.left.values, joined.right.values
    if min(left) >= _BARE_IMPEDANCE and max(right) < _BARE_IMPEDANCE:
        pairs, _ = _taps(list(left), right, [format_quantity(value, "ohm") for value in left])
        return pairs, f"'{joined.text}' read as ohms: as turns it would be a ratio of {left[0] / right[0]:.0f}"
    pairs = [
        Pair("primary", "secondary" if len(left) * len(right) == 1 else f"{a}:{b}", a / b) for a in left for b in right
    ]
    plain = 1 in left or 1 in right
    return pairs[:_MOST_PAIRS], "" if plain else f"'{joined.text}' read as turns; it could be ohms to ohms"


def _taps(primary: list[Decimal], secondary: tuple[Decimal, ...], names: list[str]) -> tuple[list[Pair], str]:
    pairs = [
        Pair(
            name if len(primary) > 1 else "primary",
            format_quantity(load, "ohm") if len(secondary) > 1 else "secondary",
            (high / load).sqrt(),
            high,
            load,
        )
        for high, name in zip(primary, names, strict=True)
        for load in secondary
    ]
    return pairs[:_MOST_PAIRS], ""
