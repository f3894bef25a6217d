"""What a description says of the state of a part, whatever its family: broken, used, out of which chassis.

A family reads what is marked on a part. What befell it since is said in the same words for all of them, and is read here, once.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from partsbin.notation.reading import Reading
from partsbin.notation.scan import Token, scan
from partsbin.notation.vocabulary import CONDITION

_WORST_LAST = ("new", "unused-old", "salvaged")
_DENIED = frozenset(["no", "not", "never", "isn't", "without", "nicht", "kein", "keine", "nie", "ohne"])
_SECOND_HAND = re.compile(r"(?<!\w)2nd[- ]?hand(?!\w)", re.IGNORECASE)
_DONOR = re.compile(r"(?<!\w)(?:from|ex|out of|aus) (D-[0-9]{1,6})(?!\w)", re.IGNORECASE)
_ACTION = "pull"  # of a switch rather than of a chassis


@dataclass(frozen=True)
class State:
    """What the words say of the state of a part.

    Parameters
    ----------
    text : str
        The description for the family to read.
    damage : tuple of str
        Words that call it broken.
    condition : str
        The condition that the words leave it in, the worst if there are several, "" where they say nothing.
    donor : str
        The chassis it came from, "" where none is named.
    """

    text: str
    damage: tuple[str, ...] = ()
    condition: str = ""
    donor: str = ""


def state_of(text: str) -> State:
    """Read the state of a part out of its description.

    Parameters
    ----------
    text : str
        As given.

    Returns
    -------
    State
        A part that nobody tested, and one that came out of a set, is salvaged unless the text calls it new.

    Examples
    --------
    >>> state_of("T500mA blown").damage, state_of("DP switch from D-006").condition, state_of("NOS, untested").condition
    (('blown',), 'salvaged', 'unused-old')
    """
    donor = _DONOR.search(text)
    plain = _SECOND_HAND.sub("second hand", _DONOR.sub("", text))
    pieces = scan(plain, CONDITION)
    damage = tuple(
        dict.fromkeys(
            piece.text for at, piece in enumerate(pieces) if piece.means("damage") and not _denied(pieces, at)
        )
    )
    said = {_condition(piece) for piece in pieces if piece.means("condition") and piece.text.lower() != _ACTION}
    condition = max(said, key=_WORST_LAST.index, default="")
    if not condition and (donor or any(piece.means("origin") for piece in pieces)):
        condition = "salvaged"
    return State(plain, damage, condition, donor[1].upper() if donor else "")


def _condition(piece: Token) -> str:
    return str(piece.meaning[1]) if piece.meaning is not None else ""


def _denied(pieces: list[Token], at: int) -> bool:
    return at > 0 and pieces[at - 1].text.lower() in _DENIED


def stated(reading: Reading, state: State) -> Reading:
    """Return a family's reading with the state of the part in it.

    Parameters
    ----------
    reading : Reading
        As the family read the text.
    state : State
        What the words say of its state; a condition that the family found stands unless the words hold a worse one.

    Returns
    -------
    Reading
        The same, with condition, donor and damage.
    """
    found: dict[str, object] = {}
    notes: list[str] = []
    read = str(reading.fields.get("condition", ""))
    if state.condition and _WORST_LAST.index(state.condition) > (_WORST_LAST.index(read) if read else -1):
        found["condition"] = state.condition
        if read:
            notes.append(f"the words disagree on the condition: {state.condition} is taken, the worse")
    if state.donor:
        found["donor"] = state.donor
    if state.damage:
        notes.append(f"the words say it is broken: {', '.join(repr(word) for word in state.damage)}")
    fields = {**reading.fields, **found} if found else reading.fields
    return replace(reading, fields=fields, notes=(*reading.notes, *notes), damage=", ".join(state.damage))
