"""What a description says of the state of a part, whatever its family: broken, worn, used, out of which chassis.

A family reads what is marked on a part. What befell it since is said in the same words for all of them, and is read here, once.
What a word amounts to may hang on the family: a transformer that was repaired is wound anew, a fuse is bridged.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from partsbin.notation.reading import Reading
from partsbin.notation.scan import Token, scan
from partsbin.notation.vocabulary import CONDITION

REPAIRABLE = frozenset(
    {"transformer", "choke", "coil", "loudspeaker", "valve", "hardware", "capacitor", "potentiometer"}
)
"""Families of which a repaired part may be good: wound anew, cone or base glued, can filled anew, track cleaned.

Of a fuse, a lamp, a resistor, a rectifier or a switch the mark no longer holds: they count as broken.
"""

LEAK_IS_READ = frozenset({"capacitor", "rectifier", "valve"})
"""Families whose leakage is a reading: what is called leaky is measured. Elsewhere it is the insulation that has gone."""

NOISE_IS_READ = REPAIRABLE | {"switch", "rectifier", "lamp", "fuse"}
"""Families of which a noisy one may be sound once its contacts, track, leakage or emission are read. A resistor that is noisy is
broken, and no meter shows it."""

_WORST_LAST = ("new", "unused-old", "salvaged")
_KINDS = ("damage", "wear", "origin", "around", "denied")
_ACTION = "pull"  # of a switch rather than of a chassis


def _words(text: str) -> frozenset[str]:
    return frozenset(text.split())


_DENIED = _words("no not none neither nothing never isn't isnt non without nicht kein keine keinen nie ohne")
_BETWEEN = _words(
    "a an any at all been be is are was the longer visible other ever it has mehr ein eine je of from with"
)
"""Words that may stand between a denial and what it denies."""
_CARRIED = _words("or nor oder noch / ,")
"""Words over which a denial carries; over an and it does not: not repaired and blown."""
_NONE = _words("no none nein keine never 0")
_SETS = _words(
    "set sets radio radios receiver chassis amp amplifier tv wireless tuner gerät radiogerät empfänger verstärker"
)
"""Behind a word of damage: the donor was broken, not the part."""
_AROUND = _words(
    "sleeve sleeving label labels box boxes boxed carton packet packaging wrapper print printing stamping paint marking "
    "knob nut screw schachtel karton etikett aufdruck lack hülle knopf"
)
"""What lies about a part: damage to it is said, and changes nothing."""
_INSIDES = _words(
    "circuit primary secondary winding windings heater heaters filament coil track element field turns section wiper choke "
    "transformer fuse lamp bulb resistor valve tube diode capacitor primär sekundär wicklung"
)
"""What is broken if it is open; open before another word tells a kind of part: open frame."""

_LETTERS = re.compile(r"[^\W\d_]+")
_BEGIN = frozenset(found[0] for phrase in CONDITION if (found := _LETTERS.search(phrase)))
"""How a phrase about the state of a part begins: most descriptions hold none, and are not scanned."""

_SECOND_HAND = re.compile(r"(?<!\w)2nd[- ]?hand(?!\w)", re.IGNORECASE)
_DONOR = re.compile(r"(?<!\w)(?:from|ex|out of|aus) (D-[0-9]{1,6})(?!\w)", re.IGNORECASE)
_RUN_TOGETHER = re.compile(
    r"(?<=[^\W\d_]{3})[/;](?=[^\W\d_]{3})|(?<=\w)\.(?=[^\W\d_]{3})|(?<=\w)[-](?=(?:blown|burnt|dead)\b)"
)


@dataclass(frozen=True)
class State:
    """What the words say of the state of a part.

    Parameters
    ----------
    text : str
        The description for the family to read, without what it denies.
    damage : tuple of str
        Words that call it broken.
    condition : str
        The condition that the words leave it in, the worst if there are several, "" where they say nothing.
    donor : str
        The chassis it came from, "" where none is named.
    wear : tuple of str
        Words that call it worn, or that may or may not mean that it is broken.
    around : tuple of str
        Words of damage that are said of its box, sleeve or label.
    denied : tuple of str
        Words of damage and wear that the text denies.
    """

    text: str
    damage: tuple[str, ...] = ()
    condition: str = ""
    donor: str = ""
    wear: tuple[str, ...] = ()
    around: tuple[str, ...] = ()
    denied: tuple[str, ...] = ()


def state_of(text: str, family: str = "") -> State:
    """Read the state of a part out of its description.

    Parameters
    ----------
    text : str
        As given.
    family : str
        What the part is; without it every word that may call it broken does.

    Returns
    -------
    State
        A part that nobody tested, one that came out of a set and one that is worn is salvaged, unless the text calls it new.

    Examples
    --------
    >>> state_of("T500mA blown").damage, state_of("DP switch from D-006").condition, state_of("NOS, untested").condition
    (('blown',), 'salvaged', 'unused-old')
    >>> state_of("5k:3 SE, repaired", "transformer").wear, state_of("no cracks, not repaired").damage
    (('repaired',), ())
    """
    donor, second = _DONOR.search(text), _SECOND_HAND.search(text)
    if not (donor or second) and _BEGIN.isdisjoint(_LETTERS.findall(text.lower())):
        return State(text)
    plain = _SECOND_HAND.sub("second hand", _DONOR.sub("", text))
    pieces = scan(_RUN_TOGETHER.sub(lambda found: f"{found[0].strip('-')} ", plain), CONDITION)
    pieces = [piece for piece in pieces if piece.text not in "()[]\"'"]
    judged = [(piece.text, _amounts_to(pieces, at, family)) for at, piece in enumerate(pieces)]
    damage, wear, origin, around, denied = (
        tuple(dict.fromkeys(word for word, what in judged if what == kind)) for kind in _KINDS
    )
    said = [at for at, piece in enumerate(pieces) if piece.means("condition") and piece.text.lower() != _ACTION]
    left = {_condition(pieces[at]) for at in said if not _denied(pieces, at)}
    condition = max(left, key=_WORST_LAST.index, default="")
    if wear or (not condition and (said or donor or origin)):
        condition = "salvaged"
    spans = [span for at, (_, what) in enumerate(judged) if what == "denied" and (span := _denied(pieces, at))]
    return State(
        _without(plain, pieces, spans), damage, condition, donor[1].upper() if donor else "", wear, around, denied
    )


def _without(text: str, pieces: Sequence[Token], spans: Sequence[tuple[int, int]]) -> str:
    """Take denials out of a text together with what they deny: to a family a ``not`` may speak of something of its own."""
    for first, last in sorted(spans, key=lambda span: span[0] - span[1]):
        said = r"[\W_]*".join(re.escape(piece.text) for piece in pieces[first : last + 1])
        text = re.sub(rf"(?<!\w){said}(?!\w)", "", text, count=1, flags=re.IGNORECASE)
    return text


def _condition(piece: Token) -> str:
    return str(piece.meaning[1]) if piece.meaning is not None else ""


def _amounts_to(pieces: Sequence[Token], at: int, family: str) -> str:
    """What one word says of the part, one of `_KINDS`, or "" where it says nothing."""
    piece = pieces[at]
    if piece.meaning is None or piece.meaning[0] not in ("damage", "wear", "origin"):
        return ""
    field, kind = str(piece.meaning[0]), str(piece.meaning[1])
    if field == "origin":
        return field
    if _denied(pieces, at):
        return "denied"
    if kind == "open" and not _is_open(pieces, at, family):
        return ""
    if field == "damage" and _word(pieces, at + 1) in _SETS:
        return "origin"
    if family != "hardware" and {_word(pieces, at - 1), _word(pieces, at + 1)} & _AROUND:
        return "around"
    if family in {"repaired": REPAIRABLE, "leaky": LEAK_IS_READ}.get(kind, ()):
        return "wear"
    if _word(pieces, at + 1) == "?":
        return "wear"
    return "damage" if kind == "noise" and family not in NOISE_IS_READ else field


def _word(pieces: Sequence[Token], at: int) -> str:
    return pieces[at].text.lower() if 0 <= at < len(pieces) else ""


def _denied(pieces: Sequence[Token], at: int) -> tuple[int, int] | None:
    """Where a denial of the word begins and ends: before it, but for words that join and fill, or behind it: ``cracks: none``."""
    if _word(pieces, at + 1) in (":", "=", "-", "?") and _word(pieces, at + 2) in _NONE:
        return at, at + 2
    if _word(pieces, at + 1) == "free":
        return at, at + 1
    joined = False
    for place in range(at - 1, -1, -1):
        word = _word(pieces, place)
        if word in _DENIED or (word == "free" and _word(pieces, place + 1) in ("of", "from")):
            return place, at
        if pieces[place].means("damage") or pieces[place].means("wear"):
            if not joined:
                return None
            joined = False
        elif word in _CARRIED and not joined and (word != "," or _lists_on(pieces, at)):
            joined = True
        elif word not in _BETWEEN:
            return None
    return None


def _lists_on(pieces: Sequence[Token], at: int) -> bool:
    """Whether a comma goes on with a list of what is denied: ``no cracks, burns or leaks``."""
    return any(_word(pieces, place) in ("or", "nor", "oder", "noch") for place in (at - 1, at + 1))


def _is_open(pieces: Sequence[Token], at: int, family: str) -> bool:
    """Whether open says that a circuit is: at the end of a clause or before what may be open; contacts may well be open."""
    behind = pieces[at + 1] if at + 1 < len(pieces) else None
    if (
        behind is not None
        and behind.kind == "word"
        and not behind.means("damage")
        and behind.text.lower() not in (*_CARRIED, "and", "und")
    ):
        return behind.text.lower() in _INSIDES
    return family not in ("switch", "hardware")


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
        The same, with condition, donor, damage and wear.
    """
    found: dict[str, object] = {}
    notes: list[str] = []
    read = str(reading.fields.get("condition", ""))
    if state.wear:
        found["condition"] = "salvaged"
        notes.append(
            f"{listed_words(state.wear)}: taken as salvaged, whatever else is said, and read before it goes in"
        )
    elif state.condition and _WORST_LAST.index(state.condition) > (_WORST_LAST.index(read) if read else -1):
        found["condition"] = state.condition
        if read:
            notes.append(f"the words disagree on the condition: {state.condition} is taken, the worse")
    if state.donor:
        found["donor"] = state.donor
    if state.around:
        notes.append(f"{listed_words(state.around)}: said of what is round it, not of the part")
    if state.damage:
        notes.append(f"the words say it is broken: {listed_words(state.damage)}")
    fields = {**reading.fields, **found} if found else reading.fields
    damage, wear = ", ".join(state.damage), ", ".join(state.wear)
    return replace(reading, fields=fields, notes=(*reading.notes, *notes), damage=damage, wear=wear)


def listed_words(words: Sequence[str]) -> str:
    """Return words as they were written, each in quotes."""
    return ", ".join(repr(word) for word in words)
