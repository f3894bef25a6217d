"""What a contact is rated for: volts and amperes as they stand together, test voltages left out.

A test voltage is several times the rating, and the volts beside watts belong to the track of a control: neither may pass
for what a switch breaks on the mains.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from partsbin.notation.scan import Token, Vocabulary, phrase_key

LOW_AC = 30.0  # V; unmarked volts up to here are those of a battery, direct current (common practice, no source)
MOST_UNMARKED = 250.0  # V; unmarked volts up to here are AC as switches are marked, others only as listed below
USUAL = frozenset({277.0, 380.0, 400.0, 415.0, 440.0})
"""Further ratings for alternating current that stand on switches without a sign (common practice, no source)."""

TESTS: Vocabulary = {
    phrase_key(word): ("proof", "test")
    for word in (
        "test", "tests", "tested", "tested at", "tested to", "test voltage", "insulation", "insulation test", "insulation voltage",
        "proof", "proof voltage", "proof tested", "dielectric", "dielectric strength", "withstand", "withstand voltage", "hipot",
        "hi pot", "breakdown", "flash", "flash test", "flash tested", "impulse", "peak", "prüfspannung", "geprüft",
        "isolation voltage", "isolationsspannung", "durchschlag",
    )
} | {phrase_key(word): ("filler", True) for word in ("tested ok", "tested good", "tests ok", "tests good")}  # fmt: skip
"""Words beside which volts are those of a test, and those that say that the part itself passed one."""

_GLUED = re.compile(r"(?<=[0-9])( ?A)/?(?=[0-9]{1,4} ?V)|(?<=[0-9])( ?V(?:AC|DC)?)/?(?=[0-9]{1,3}(?:[.,][0-9]+)? ?A)")
_MOTOR = re.compile(r"(?<![\w.])([0-9]{1,3}(?:[.,][0-9]{1,2})?) ?\(([0-9]{1,3}(?:[.,][0-9]{1,2})?)\) ?A(?![a-z])")
_FARTHEST = 4  # pieces between a word and the volts that it speaks of


def unglued(text: str) -> str:
    """Return a text in which volts and amperes stand apart, and two currents of one contact as ``16/4A``.

    Parameters
    ----------
    text : str
        Such as ``2A250V`` or ``16(4)A 250V``: for heating load, and for motors in brackets.

    Returns
    -------
    str
        The same, to be scanned.

    Examples
    --------
    >>> unglued("DP 2A250V"), unglued("16(4)A 250V")
    ('DP 2A 250V', '16/4A 250V')
    """
    return _GLUED.sub(lambda found: f"{found[1] or found[2]} ", _MOTOR.sub(r"\1/\2A", text))


def proofs(pieces: Sequence[Token]) -> frozenset[int]:
    """Return the places of those volts that are said of a test; of two figures round the word, the higher.

    Parameters
    ----------
    pieces : sequence of Token
        The description, scanned with `TESTS` among its words.

    Returns
    -------
    frozenset of int
        Places among the pieces.
    """
    found: set[int] = set()
    for at, piece in enumerate(pieces):
        if not piece.means("proof"):
            continue
        before = _volts_near(pieces, range(at - 1, max(at - 1 - _FARTHEST, -1), -1))
        after = _volts_near(pieces, range(at + 1, min(at + 1 + _FARTHEST, len(pieces))))
        beside = [place for place in (before, after) if place is not None]
        if beside:
            found.add(max(beside, key=lambda place: pieces[place].value))
    return frozenset(found)


def _volts_near(pieces: Sequence[Token], places: range) -> int | None:
    """The first volts on one side; amperes, watts and what else has a unit end the search, ohms of an insulation do not."""
    for place in places:
        piece = pieces[place]
        if piece.unit == "V" and piece.kind in ("quantity", "list"):
            return place
        if piece.kind in ("quantity", "list") and piece.unit not in ("", "ohm"):
            return None
    return None


@dataclass
class Rated:
    """What a contact may break: volts of either kind, amperes, what was taken for granted, and what is in doubt.

    `current_dc` is that of direct current where another one is printed beside the AC volts. `others` are further AC volts that
    the one current may belong to just as well.
    """

    ac: float | None = None
    dc: float | None = None
    current: float | None = None
    current_dc: float | None = None
    notes: list[str] = field(default_factory=list)
    doubts: list[str] = field(default_factory=list)
    others: list[float] = field(default_factory=list)


def rated(volts: Sequence[tuple[float, str]], amperes: Sequence[float]) -> Rated:
    """Put volts and amperes together as they stand: ``6A 125V 3A 250V`` is rated twice, and the pair of most volts counts.

    Parameters
    ----------
    volts : sequence of (float, str)
        In the order of the text: the figure [V] and ``ac``, ``dc`` or "".
    amperes : sequence of float
        In the order of the text [A].

    Returns
    -------
    Rated
        Where figures cannot be paired, the smallest of each kind.
    """
    answer = Rated()
    found = [(_kind(value, kind, answer), value, at) for at, (value, kind) in enumerate(volts)]
    paired = len(volts) == len(amperes) > 1
    if not paired:
        found = _told_apart(found, [not kind for _, kind in volts], answer)
    chosen: list[int] = []
    for kind in ("ac", "dc"):
        own = [(value, at) for name, value, at in found if name == kind]
        if own:
            value, at = max(own) if paired else min(own)
            chosen.append(at)
            setattr(answer, kind, value)
    currents = [amperes[at] for at in chosen] if paired and chosen else list(amperes)
    if paired and len(chosen) == 2 and currents[0] != currents[1]:  # each kind of current with a rating of its own
        answer.current, answer.current_dc = currents
        answer.notes.append(f"{currents[0]:g} A of alternating, {currents[1]:g} A of direct current")
        currents = currents[:1]
    elif currents:
        answer.current = min(currents)
    if paired and len(volts) > len(chosen) > 0:
        answer.notes.append("rated for several volts: the pair of most volts is taken")
    if len(set(currents)) > 1:
        answer.doubts.append("several currents: the smallest is taken")
    return answer


def _told_apart(
    found: Sequence[tuple[str, float, int]], unsigned: Sequence[bool], answer: Rated
) -> list[tuple[str, float, int]]:
    """Keep the least of several volts that one current may belong to; what else may be AC is another reading.

    Volts of one kind are several, and so are volts without a sign, whatever kind their figure makes them: of ``2A 250V 16V``
    nobody can say which the switch breaks.
    """
    left = list(found)
    for group in (
        [one for one in found if unsigned[one[2]]],
        *([x for x in found if x[0] == kind] for kind in ("ac", "dc")),
    ):
        meant = [one for one in group if one[0] and one in left]
        several = sorted({value for _, value, _ in meant})
        if len(several) < 2:
            continue
        answer.doubts.append(
            f"{' and '.join(f'{one:g} V' for one in several)}: which of them the current goes with is not said"
        )
        answer.others += sorted({value for kind, value, _ in meant if kind == "ac" and value > several[0]})
        left = [one for one in left if one not in meant or one[1] == several[0]]
    return left


def _kind(value: float, kind: str, answer: Rated) -> str:
    if kind in ("ac", "dc"):
        return kind
    if value <= LOW_AC:
        answer.doubts.append(f"{value:g} V is taken as DC: so few volts are a battery's")
        return "dc"
    if value <= MOST_UNMARKED or value in USUAL:
        answer.notes.append(f"{value:g} V is taken as AC, as switches are marked")
        return "ac"
    answer.doubts.append(f"{value:g} V is no usual rating and has no sign: neither AC nor DC is taken from it")
    return ""


def listed_amperes(values: Collection[float], notes: list[str]) -> float:
    """Return the current of ``4/2A`` or ``16(4)A`` [A]: the smaller, that of motors and of capacitors."""
    notes.append(
        f"of {'/'.join(f'{value:g}' for value in values)} A the smaller is taken, as for motors and capacitors"
    )
    return min(values)


def listed_volts(piece: Token) -> list[tuple[Decimal, str]]:
    """Return volts of a list with their kind: of ``125/250V~`` the highest, since one current is printed with both [V]."""
    low = piece.text.lower()
    kind = "dc" if "dc" in low or low.endswith(("=", "-")) else "ac" if "ac" in low or "~" in low else ""
    return [(value, kind) for value in ([max(piece.values)] if piece.detail == "/" else piece.values)]
