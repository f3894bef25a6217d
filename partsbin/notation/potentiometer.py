"""A potentiometer's description to its fields: one sure reading, several with the reason, or none.

The letter for the law is the trap: A500K is logarithmic from the Far East and today's America, linear from older Europe.
"""

from __future__ import annotations

import re
from decimal import Decimal

from partsbin.notation.potentiometer_pieces import PotentiometerPieces, Volts
from partsbin.notation.ratings import LOW_AC, rated
from partsbin.notation.reading import Reading, unread
from partsbin.notation.text import normalise

LAWS: dict[str, tuple[tuple[str, str], ...]] = {
    "A": (("log", "Far East, today's America"), ("linear", "older Europe")),
    "B": (
        ("linear", "Far East, today's America"),
        ("log", "older Europe"),
        ("antilog", "old American composition controls"),
    ),
    "C": (("antilog", "Far East, America and Europe; log from one maker"),),
    "F": (("antilog", "older Europe; log from one maker"),),
    "L": (("log", "one maker's letter"),),
    "U": (("linear", "old American composition controls"),),
}
"""What a letter for the law means, and to whom: mutts, omeg, prec, b81."""

_MULTIPLIED = r"[0-9]{1,3}(?:[.,][0-9]{1,2})? ?(?:[kK][0-9]?|M[0-9]?|[mM]eg)(?:ohm)?"
_IN_FRONT = re.compile(rf"(?<![\w.,-])([ABCFLU])({_MULTIPLIED})(?!\w)", re.ASCII)
_BEHIND = re.compile(rf"(?<![\w.,-])({_MULTIPLIED}) ?-?([ABCFLU]|(?<=[kK])[abc])(?!\w)", re.ASCII)
_NAMED = re.compile(r"(?<!\w)(?:([ABCFLU])[- ]?(?:taper|law|curve)|(?:taper|law|curve)[: ]+([ABCFLU]))(?!\w)", re.ASCII)
_GLUED_TWO = re.compile(r"(?<!\w)2x(?=[0-9])", re.ASCII)
_STEPS = frozenset(map(Decimal, ("1", "1.5", "2", "2.2", "2.5", "3", "3.3", "4.7", "5", "6.8", "7.5")))
"""Figures of potentiometers; a letter beside another figure alone does not make one."""

_TWICE = "'2x' is two of them or one with two gangs"
_Way = tuple[dict[str, object], str]
"""Fields, and why there are others beside them."""


def read_potentiometer(text: str) -> list[Reading]:
    """Read the description of a potentiometer.

    Parameters
    ----------
    text : str
        Such as ``250k log DP sw``, ``A500K``, ``250K(70K-tap)``, ``dual 100k lin``, ``Poti 1M log m. Schalter 2pol``.

    Returns
    -------
    list of Reading
        One; several if the text alone does not tell, the likelier first, each with its reason; none if nothing in it speaks of
        a potentiometer. Ohms alone make a reading that is marked as bare.

    Notes
    -----
    Volts are the switch's where the text joins them to it: beside amperes, or behind the word; not beside watts. Up to 30 V
    without a sign they are taken as DC. Elsewhere they are the track's limit. Volts of a test rate nothing.

    References
    ----------
    mutts, omeg, prec, b81: letters for the law.

    Examples
    --------
    >>> [reading.fields["taper"] for reading in read_potentiometer("A500K")]
    ['log', 'linear']
    """
    plain = normalise(text)
    letters, rest = _letters(plain.text)
    pieces = PotentiometerPieces(rest)
    bare = not _speaks_of_potentiometers(pieces, letters)
    if bare and not _may_be_one(pieces):
        return []
    fields = _fields(pieces)
    left, note = unread(pieces.rest)
    if note:
        pieces.doubt(note)
    first = {"resistance": fields["resistance"]} if "resistance" in fields else {}
    ways = [(first | law | fields, why) for law, why in _laws(pieces, letters)]
    if _GLUED_TWO.search(plain.text) and pieces.found.count == 2 and "gangs" not in fields:
        ways = _once_or_twice(ways)
    notes = (*plain.notes, *pieces.notes)
    sure = pieces.sure and not any(why for _, why in ways)
    return [
        Reading("potentiometer", way, sure, tuple(dict.fromkeys((*notes, why) if why else notes)), left, bare)
        for way, why in ways
    ]


def _once_or_twice(ways: list[_Way]) -> list[_Way]:
    """Two of them, or one with two gangs."""
    ganged = [
        ({name: value for name, value in way.items() if name != "count"} | {"gangs": 2}, why) for way, why in ways
    ]
    return [(way, f"{why}; {_TWICE}".removeprefix("; ")) for way, why in (*ways, *ganged)]


def _letters(plain: str) -> tuple[list[str], str]:
    """Take the letters for the law off their values, and return them with the text that is left."""
    found: list[str] = []

    def front(match: re.Match[str]) -> str:
        found.append(match[1])
        return match[2]

    def behind(match: re.Match[str]) -> str:
        found.append(match[2].upper())
        return match[1]

    def named(match: re.Match[str]) -> str:
        found.append(match[1] or match[2])
        return " "

    text = _NAMED.sub(named, plain)
    text = _BEHIND.sub(behind, _IN_FRONT.sub(front, text))
    return list(dict.fromkeys(found)), text


def _speaks_of_potentiometers(pieces: PotentiometerPieces, letters: list[str]) -> bool:
    """Whether the text is about a potentiometer: its name, or ohms with a law, gangs, a spindle, a tap or a switch."""
    if pieces.has_noun("potentiometer"):
        return True
    if pieces.has_noun("other") or pieces.foreign or not pieces.found.ohms:
        return False
    if letters:
        ohms = pieces.found.ohms[0]
        return bool(pieces.words("taper")) or ohms.scaleb(-ohms.adjusted()) in _STEPS
    hints = ("noun", "taper", "gangs", "style", "insulated", "switch", "poles", "action", "wired")
    named = any(pieces.words(name) for name in hints)
    return named or bool({"shaft", "tap", "bush"} & set(pieces.words("role")))


def _may_be_one(pieces: PotentiometerPieces) -> bool:
    """Whether a text that speaks of no potentiometer may be one's value: ohms, and nothing of another part."""
    return bool(pieces.found.ohms) and not pieces.foreign and not pieces.has_noun("other") and not pieces.rest


def _laws(pieces: PotentiometerPieces, letters: list[str]) -> list[_Way]:
    """The laws that the text may mean, each with the reason: a word decides, a letter leaves all that it means."""
    words = pieces.words("taper")
    if len(words) > 1:
        pieces.doubt("the words disagree on the law")
        return [({}, "")]
    meant = [law for letter in letters[:1] for law in LAWS[letter]]
    if len(letters) > 1:
        pieces.doubt(f"several letters for the law: {', '.join(letters)}")
        meant = []
    if words:
        if meant and words[0] not in [law for law, _ in meant]:
            pieces.doubt(f"letter {letters[0]} and the word {words[0]} disagree: the word is taken")
        return [({"taper": words[0]}, "")]
    if not meant:
        return [({}, "")]
    return [({"taper": law}, f"'{letters[0]}' as the letter for the law: {law} ({who})") for law, who in meant]


def _fields(pieces: PotentiometerPieces) -> dict[str, object]:
    """The fields, in the order in which a part is described."""
    found = pieces.found
    fields: dict[str, object] = {}
    _ohms(pieces, fields)
    for name, field in (("track", "track"), ("style", "shaft_style"), ("action", "switch_action"), ("wired", "wired")):
        said = pieces.wiring() if name == "wired" else pieces.words(name)
        if len(said) > 1:
            pieces.doubt(f"the words disagree on the {field.replace('_', ' ')}")
        elif said:
            fields[field] = said[0]
    for name, field in (("poles", "switch_poles"), ("gangs", "gangs")):
        said = pieces.words(name)
        if len(said) > 1:
            pieces.doubt(f"the words disagree on the {name}")
        elif said:
            fields.setdefault(field, int(str(said[0])))
    if pieces.words("insulated"):
        fields["insulated_shaft"] = pieces.words("insulated")[0]
    fields |= found.fields
    if found.watts:
        fields["power"] = float(min(found.watts))
    if len(set(found.watts)) > 1:
        pieces.doubt("several powers: the smallest is taken")
    _ratings(pieces, fields)
    if pieces.switched and not {"switch_poles", "switch_action"} & fields.keys():
        fields["switch_action"] = "rotary"
        pieces.notes.append("a switch of unknown poles, taken as turned by the spindle")
    conditions = pieces.words("condition")
    if len(conditions) > 1:
        pieces.doubt("the words disagree on the condition")
    elif conditions:
        fields["condition"] = conditions[0]
    if found.count > 1:
        fields["count"] = found.count
    return fields


def _ohms(pieces: PotentiometerPieces, fields: dict[str, object]) -> None:
    """The track, its taps, and gangs that are written as several values."""
    found = pieces.found
    if found.ohms:
        fields["resistance"] = float(found.ohms[0])
        if len(found.ohms) > 1 and len(set(found.ohms)) == 1:
            fields["gangs"] = len(found.ohms)
        elif len(found.ohms) > 1:
            pieces.doubt("several values: the first is taken")
    taps: list[dict[str, object]] = [{"ratio": float(ratio)} for ratio in found.tap_ratios]
    for ohms in found.taps:
        if found.ohms and ohms < found.ohms[0]:
            taps.append({"ratio": float(round(ohms / found.ohms[0], 6))})
        else:
            pieces.doubt("a tap that is not inside the track")
    if not taps and "tap" in pieces.words("role"):
        taps = [{}]
    if taps:
        fields["taps"] = taps


def _ratings(pieces: PotentiometerPieces, fields: dict[str, object]) -> None:
    """Share volts and amperes out: to the switch, where there is one, else to the track."""
    found = pieces.found
    if found.amperes and not pieces.switched:
        pieces.doubt("amperes, and no switch: not understood")
    track = [one for one in found.volts if not _is_switchs(pieces, one)]
    if track:
        fields["voltage_limit"] = float(min(one.value for one in track))
    if track and pieces.switched and len(track) == len(found.volts):
        said = " and ".join(f"{one.value:g} V" for one in track)
        pieces.notes.append(f"{said} taken as the track's, not the switch's: nothing joins it to the switch")
    if not pieces.switched:
        return
    volts = [(float(one.value), one.kind) for one in found.volts if one not in track]
    switch = rated(volts, [float(amperes) for amperes in found.amperes])
    least = min((each for each in (switch.current, switch.current_dc) if each is not None), default=None)
    ratings = {"switch_voltage_ac": switch.ac, "switch_voltage_dc": switch.dc, "switch_current": least}
    fields |= {name: value for name, value in ratings.items() if value is not None}
    pieces.notes += switch.notes
    for doubt in switch.doubts:
        pieces.doubt(doubt)


def _is_switchs(pieces: PotentiometerPieces, one: Volts) -> bool:
    """Whether volts are the switch's: only where the text joins them to it."""
    if not pieces.switched or one.track:
        return False
    if one.kind == "dc":
        return one.beside_amperes or one.value <= 2 * LOW_AC
    return one.kind == "ac" or one.beside_amperes or len(pieces.found.volts) == 1
