"""What a description says: which family it speaks of, and what that family reads in it. One sure reading, several, or none."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import Any

from pydantic import ValidationError

from partsbin import families
from partsbin.errors import RefusedError
from partsbin.families import Family, load
from partsbin.families._declare import Facts
from partsbin.families._said import said_fields
from partsbin.notation.condition import listed_words, state_of, stated
from partsbin.notation.doubts import without_doubts
from partsbin.notation.reading import Reading
from partsbin.notation.text import LIMIT

BEFORE_FACTS = frozenset({"count", "condition", "place", "donor"})
"""What a description may say of the part as it lies, not of what is marked on it."""

TRADE_FAMILIES = (
    "capacitor", "resistor", "potentiometer", "transformer", "coil", "choke", "valve", "rectifier", "lamp", "fuse", "loudspeaker",
    "switch", "hardware",
)  # fmt: skip
"""Families of the trade; those that this version does not keep yet are named in an account and left out."""

_DESIGNATORS = (
    (r"RV|VR|POT|P(?=\d)", "potentiometer"),
    (r"C|VC|TC", "capacitor"),
    (r"R", "resistor"),
    (r"OPT|TR|T", "transformer"),
    (r"CH|DR", "choke"),
    (r"L|RFC|IFT", "coil"),
    (r"V|B|RÖ", "valve"),
    (r"D|W|MR|REC|GL|BR", "rectifier"),
    (r"LP|PL|LA|DS", "lamp"),
    (r"FS|F|SI", "fuse"),
    (r"LS|SP", "loudspeaker"),
    (r"SW|S", "switch"),
)
_WORDS = (
    (
        r"(?:lamp|bulb|birne)s?\b(?! ?-?(?:holder|socket|base)).*\bscrew|\bscrew.*\b(?:lamp|bulb)s?\b(?! ?-?(?:holder|socket))",
        "lamp",
    ),
    (
        r"(valve|tube|fuse|lamp|bulb) ?-?(holder|socket|base)|\bknob\b|grommet|\bscrew|tag ?strip|fassung"
        r"|sicherungshalter|röhrensockel|solder tag",
        "hardware",
    ),
    (
        r"\bi\.?f\.? ?(can|t|transformer)\b|\bift\b|zf-?filter|bandfilter|drehko\b|drehkond|tuning (cond|cap|gang)",
        "coil",
    ),
    (r"\b[1-6]?-?gang\b(?=.*[0-9] ?p(f|\b))|[0-9] ?pf.*\bgang\b", "coil"),
    (r"trimmer (cond|cap)|trimmkond|variable (cond|cap)|oscillator coil|aerial coil|rf (coil|choke)", "coil"),
    (r"\btrimmer\b.*[0-9] ?pf?\b|[0-9] ?pf?\b.*\btrimmer\b|\bvariable\b.*[0-9] ?pf\b", "coil"),
    (
        r"potentiomet|\b(?:anti)?log\b|\blin\b|\blinear\b|logarithm|\bpot\b|poti\b|drehpot|volume control|trimpot|preset"
        r"|drehwiderstand|regelwiderstand|einstellwiderstand",
        "potentiometer",
    ),
    (
        r"transformer|\bopt\b|\b(?:output|mains|power) (?:trans|tranny|tx)\b|übertrager|ausgangstrafo|\btrafo\b|netztrafo",
        "transformer",
    ),
    (
        r"capacitor|condenser|\belko\b|elektrolyt|electrolytic|kondensator|\bcap\b|polypropylen|polyest|\bmica\b|\bmfd\b|\bmmfd?\b"
        r"|tropical fish",
        "capacitor",
    ),
    (
        r"resistor|widerstand|wire-?\s?wound|metal-?\s?film|metal\s?oxide|metall(?:schicht|oxid)|carbon\s(?:comp|film)|kohleschicht",
        "resistor",
    ),
    (
        r"\bchoke\b|drossel|^(?!.*(?:speaker|lautspr|[0-9] ?(?:in|cm)\b|inch|zoll|\"|\bvc\b|voice))"
        r".*(?:\bfield (?:coil|winding)\b|feldspule|erregerspule|feldwicklung)",
        "choke",
    ),
    (r"(?<!voice )(?<!speech )(?<!field )\bcoil\b|inductor|induktivit", "coil"),
    (r"\bswitch\b|schalter|toggle", "switch"),
    (r"\bvalve\b|(?<!cardboard )(?<!paper )(?<!glass )\btube\b|röhre", "valve"),
    (r"\bfuse\b|sicherung", "fuse"),
    (r"\blamp\b|\bbulb\b|glühlampe", "lamp"),
    (r"\b(?:loud)?speaker\b|lautsprecher", "loudspeaker"),
    (r"rectifier|gleichrichter|diode|selenium", "rectifier"),
)


_ANY_FAMILY = re.compile(r"\s*[0-9]+(?:[.,][0-9]+)?\s?[KM]?\s*", re.ASCII)


def family_by_designator(designator: str) -> str:
    """Return the family that a designator such as ``C17`` or ``RV2`` stands for, "" if none."""
    match = re.match(r"\s*([A-Za-zÖö]+)\s*-?\s*\d", designator)
    if not match:
        return ""
    letters = match[1].upper()
    for pattern, family in _DESIGNATORS:
        if re.fullmatch(pattern.replace(r"(?=\d)", ""), letters):
            return family
    return ""


@lru_cache(4096)
def family_by_words(text: str) -> str:
    """Return the family that a description names in words, "" if none."""
    low = text[:LIMIT].lower()
    for pattern, family in _WORDS:
        if re.search(pattern, low):
            return family
    return ""


def named_family(cell: str) -> str:
    """Return the family that a cell calls by its name and nothing else: ``Capacitors``, ``Widerstände``; "" if none.

    Examples
    --------
    >>> named_family("Capacitors"), named_family("Röhren"), named_family("10k resistor"), named_family("Film")
    ('capacitor', 'valve', '', '')
    """
    if len(cell) < 3 and cell.isalpha() and cell.isupper():
        return family_by_designator(f"{cell}1")
    words = cell.strip(" :.").lower()
    if words in TRADE_FAMILIES:
        return words
    if re.search(r"\d", words) or len(words.split()) > 2:
        return ""
    one = singular(words)
    family = family_by_words(one)
    return family if family == "hardware" or one.endswith(_NOUNS) else ""


_NOUNS = (
    "capacitor", "condenser", "kondensator", "elko", "cap", "resistor", "widerstand", "potentiometer", "pot", "poti", "transformer",
    "trafo", "übertrager", "coil", "spule", "inductor", "choke", "drossel", "valve", "tube", "röhre", "rectifier", "diode",
    "gleichrichter", "lamp", "bulb", "glühlampe", "fuse", "sicherung", "speaker", "lautsprecher", "switch", "schalter",
)  # fmt: skip


def singular(text: str) -> str:
    """Return a heading of parts as one of them would be called.

    Examples
    --------
    >>> singular("Resistors 1/2W"), singular("RÖHREN"), singular("switches"), singular("glass")
    ('resistor 1/2w', 'röhre', 'switch', 'glass')
    """
    return " ".join(_singular(word) for word in text.lower().split())


_PLURALS = {
    "widerstände": "widerstand", "kondensatoren": "kondensator", "röhren": "röhre", "potis": "poti", "elkos": "elko", "trafos": "trafo",
    "drosseln": "drossel", "sicherungen": "sicherung", "lampen": "lampe", "dioden": "diode", "spulen": "spule", "switches": "switch",
    "potentiometers": "potentiometer", "caps": "cap", "res": "resistor", "resistances": "resistor", "fuses": "fuse",
    "potentiometern": "potentiometer",
}  # fmt: skip


def _singular(word: str) -> str:
    bare = word.rstrip(":")
    if bare in _PLURALS:
        return _PLURALS[bare]
    for plural, one in _PLURALS.items():
        if bare.endswith(plural) and len(plural) > 4:
            return bare.removesuffix(plural) + one
    return bare[:-1] if bare.endswith("s") and not bare.endswith("ss") and family_by_words(bare[:-1]) else bare


def read_as(family: Family, text: str) -> list[Reading]:
    """Return one family's readings of a text that say something of its own, or say what is wrong with all of it."""
    state = state_of(text, family.name)
    plain, doubts = without_doubts(state.text, family.name)
    found = [_doubted(stated(reading, state), doubts) for reading in family.read(plain)]
    return [reading for reading in found if set(reading.fields) - BEFORE_FACTS] or [
        reading for reading in found if reading.notes and not (reading.sure or reading.fields or reading.rest)
    ]


def _doubted(reading: Reading, doubts: Sequence[str]) -> Reading:
    if not doubts:
        return reading
    return replace(
        reading, sure=False, notes=(*reading.notes, f"{listed_words(doubts)}: denied or doubted, not counted")
    )


def refuse_broken(text: str, found: Sequence[Reading]) -> None:
    """Refuse a part that its own words call broken: it can do no job, and must not be found for one.

    Raises
    ------
    RefusedError
        If one of the readings holds such a word.
    """
    damage = next((reading.damage for reading in found if reading.damage), "")
    if damage:
        raise RefusedError(f"{text!r}: {broken(damage)}", hint="leave the word out if the part is whole")


def broken(damage: str) -> str:
    """Return the fault of a part that is called broken."""
    return f"the words say it is broken: {damage!r}"


def readings_of(text: str, family: str = "") -> list[Reading]:
    """Return every reading of a description.

    Parameters
    ----------
    text : str
        In trade notation.
    family : str
        The family meant; without it the words decide, else every family is asked.

    Returns
    -------
    list of Reading
        The likeliest first; more than one means that nobody can tell from the text alone.

    Notes
    -----
    A family that is sure stands before those that guess, but for a number alone, or one with K or M: on a disc those are the
    tolerance behind a code in pF, elsewhere a thousand or a million ohms.
    """
    if family:
        return read_as(load(family), text)
    named = family_by_words(text)
    if named in families.names():
        found = read_as(load(named), text)
        if found:
            return found
    if named:
        return []
    offered = [reading for name in families.names() for reading in read_as(load(name), text) if not reading.bare]
    whole = [reading for reading in offered if not reading.rest]
    return _told_apart(whole or offered, text)


def _told_apart(offered: list[Reading], text: str) -> list[Reading]:
    """Readings of the one family that is sure; else of all, the likelier first and none of them sure."""
    surely = {reading.family for reading in offered if reading.sure}
    if len(surely) == 1 and not _ANY_FAMILY.fullmatch(text):
        return [reading for reading in offered if reading.family in surely]
    asked = list(dict.fromkeys(reading.family for reading in offered))
    if len(asked) < 2:
        return offered
    ranked = sorted(offered, key=lambda reading: (not reading.sure, len(reading.notes)))
    said = f"'{text.strip()}' may be of a {' or a '.join(asked)}: nothing says which"
    return [replace(reading, sure=False, notes=(*reading.notes, said)) for reading in ranked]


def facts_from(family: Family, fields: dict[str, Any]) -> tuple[Facts | None, list[str]]:
    """Validate fields with the family's model.

    Returns
    -------
    (Facts or None, list of str)
        The facts, or the faults in words.
    """
    try:
        return family.facts.model_validate(fields), []
    except ValidationError as fault:
        return None, [_fault(entry) for entry in fault.errors()]


def _fault(entry: Any) -> str:
    place = ".".join(str(item) for item in entry["loc"])
    kind, context = entry["type"], entry.get("ctx", {})
    given = entry.get("input")
    if kind in ("greater_than", "greater_than_equal", "less_than_equal"):
        bound = {"greater_than": "more than", "greater_than_equal": "at least", "less_than_equal": "at most"}[kind]
        said = f"{given:g}" if isinstance(given, float) else repr(given)
        return f"{place}: {said} is impossible, expected {bound} {next(iter(context.values())):g}"
    if kind == "extra_forbidden":
        return f"{place}: no such field"
    if kind == "literal_error":
        return f"{place}: {given!r} is not one of {context['expected']}"
    return f"{place}: {given!r}: {entry['msg'].lower()}"


def part_fields(fields: dict[str, Any], family: Family) -> tuple[dict[str, Any], dict[str, Any]]:
    """Split what a description said into marked facts and what concerns the part as it lies."""
    own = {name: _plain(value) for name, value in fields.items() if name in family.facts.model_fields}
    lying = {name: value for name, value in fields.items() if name in BEFORE_FACTS}
    return own, lying


def _plain(value: Any) -> Any:
    if (
        isinstance(value, Sequence)
        and not isinstance(value, str)
        and value
        and all(isinstance(item, str) for item in value)
    ):
        return " ".join(value)
    return value


def reading_said(family: str, fields: Mapping[str, Any], *, sure: bool = True) -> str:
    """Return one way of understanding a description, in a line."""
    said = ", ".join(f"{name} {text}" for name, text in said_fields(load(family).facts, fields))
    return f"{family}{'' if sure else ' (not sure)'}: {said}"
