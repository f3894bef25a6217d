"""A transformer's description to its fields: kind, ratios or loads, copper, gap, line volts, windings, valves served."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal

from partsbin.notation.pairs import Pair
from partsbin.notation.reading import Reading, unread
from partsbin.notation.scan import phrase_key, scan
from partsbin.notation.text import normalise
from partsbin.notation.transformer_pieces import VALVE, TransformerPieces
from partsbin.notation.vocabulary import TRANSFORMER
from partsbin.notation.writing import format_quantity

_SPLIT = re.compile(r"([0-9]{1,4}(?:\.[0-9])?) ?[vV] ?- ?0 ?[vV]? ?- ?(?=[0-9])", re.ASCII)
"""250V-0-250V, to be read as 250-0-250V."""

_VALVES_AFTER = re.compile(rf"\b({VALVE.pattern}) ?x ?([1-9])(?![\w.:])", re.ASCII)
"""EL84 x2, to be read as 2 x EL84."""

_BEFORE_SECONDARY = re.compile(r"(?<=\d) (?=sec(?:s|ondary)?\b)", re.ASCII)
"""0-220-240 sec 250-0-250: volts of the primary and a word, no seconds."""

_LOADS = re.compile(
    r"(?P<at>:|\bto\b|[ ,;]*\b(?:secs?|secondar(?:y|ies))\b(?: taps?)?:?) *"
    r"(?P<list>[0-9.]+(?: ?(?:ohms?|Ω|R)? ?(?:,|\+|/|&|and|or) ?[0-9.]+)+)(?P<unit> ?(?:ohms?|Ω|R)?)(?![\w.,:]| ?[VAW])",
    re.ASCII | re.IGNORECASE,
)
"""to 4, 8 and 16 ohm: a list of loudspeakers, to be read as : 4/8/16 ohm."""

_USUAL_LOADS = frozenset(
    Decimal(load) / 100 for load in (200, 250, 300, 320, 350, 375, 400, 500, 600, 700, 750, 800, 1000, 1200, 1500, 1600)
)
"""Loudspeakers and lines that taps are wound for [ohm]; common practice, no source."""

_TWIN = re.compile(r"[A-Z]([CL])\1[0-9]")
"""ECC, ELL: two systems in one envelope, which may be push-pull by itself."""

_DRIVEN_BY_PAIRS = frozenset({"output", "driver", "interstage", ""})
_PLAIN_WORDS = frozenset(
    {"output", "mains", "driver", "auto", "isolating", "isolation", "pt", "interstage", "inter stage", "ela"}
)
_COPPER = frozenset({"primary_resistance", "secondary_resistance"})

_SCANNING = re.compile(
    r"(?i)\b(?:eht|flyback|frame|horizontal|vertical|deflection|scan(?:ning)?|sweep|width|linearity|zeilen\w*|bildausgang\w*)\b"
)
_LINE_OUTPUT = re.compile(r"(?i)\bline[- ]output\b")

_TAPS = re.compile(
    r"([0-9](?:[kK]|\s?k?ohm)(?: [a-z]-[a-z])?),? ((?:[0-9]{1,2}(?:\.[0-9]{1,2})?[/-]){1,4}[0-9]{1,2}(?:\.[0-9]{1,2})? ?ohm)\b"
)
"""5k 4/8/16 ohm: a load and, right behind it, those of the taps."""


def read_transformer(text: str) -> list[Reading]:
    """Read the description of a transformer.

    Parameters
    ----------
    text : str
        Such as ``OPT 45:1 Rp 380``, ``output transformer EL84 5k2:3Ω``, ``100V line 10/5/2.5W to 15 ohm``,
        ``mains transformer 250-0-250 80mA 6.3V 3A``.

    Returns
    -------
    list of Reading
        One, or none if nothing in the text speaks of a transformer.

    Notes
    -----
    Ratio from impedances: N = √(Zp/Zs). A tap of W watts on a line of V volts has a primary of V²/W ohms. Ohms under 2 kΩ
    beside the word primary, under 2 Ω beside secondary, are copper; above it a load; the reading says so.

    References
    ----------
    The two formulas are the trade's (several authors); the limits between copper and load are common practice, no source.

    Examples
    --------
    >>> read_transformer("OPT 45:1 Rp 380")[0].fields["primary_resistance"]
    380.0
    """
    plain = normalise(_LOADS.sub(_loads, text))
    if ":" not in plain.text:
        plain = plain._replace(text=_TAPS.sub(r"\1 : \2", plain.text, count=1))
    said = _VALVES_AFTER.sub(r"\2x \1", _SPLIT.sub(r"\1-0-", _BEFORE_SECONDARY.sub(", ", plain.text)))
    pieces = TransformerPieces(scan(said, TRANSFORMER))
    if not _speaks_of_transformers(pieces):
        return []
    _draw_together(pieces)
    fields = _fields(pieces)
    if fields.get("kind") == "output" and _deflects(plain.text, fields):
        del fields["kind"]
        pieces.doubt("a television's line or frame transformer is no audio output")
    rest, note = unread(pieces.rest)
    if note:
        pieces.doubt(note)
    notes = tuple(dict.fromkeys((*plain.notes, *pieces.notes, *pieces.windings.notes)))
    return [Reading("transformer", fields, pieces.sure, notes, rest, bare=pieces.bare)]


def _deflects(text: str, fields: dict[str, object]) -> bool:
    """Whether an output transformer is one of a television's scanning: by its words, or a line's without volts, ohms or watts."""
    if _SCANNING.search(text):
        return True
    return bool(_LINE_OUTPUT.search(text)) and not fields.keys() & {"pairs", "line_voltage", "power", "served"}


def _loads(found: re.Match[str]) -> str:
    """A list of loads as the scanner takes it; what may be a number with a decimal comma is left as it is."""
    values = re.findall(r"[0-9]+(?:\.[0-9]+)?", found["list"])
    alone = len(values) == 2 and re.fullmatch(r"[0-9]+,[0-9]+", found["list"]) and not found["unit"].strip()
    if alone or not all(Decimal(value) in _USUAL_LOADS for value in values):
        return found[0]
    return f" : {'/'.join(values)} ohm"


def _speaks_of_transformers(pieces: TransformerPieces) -> bool:
    """Whether the text is about a transformer: its name, a pair of windings, line volts; a word such as driver is not enough."""
    if "transformer" in pieces.words("noun") or any(
        piece.means("kind") and _is_name(piece.text) for piece in pieces.pieces
    ):
        return True
    if "other" in pieces.words("noun"):
        return False
    if pieces.pairs or pieces.windings.rows or "line_voltage" in pieces.values or pieces.values.keys() & _COPPER:
        return True
    if pieces.words("between_anodes") and pieces.impedances:
        return True
    iron = pieces.words("topology") or pieces.words("gapped") or pieces.impedances or "core_area" in pieces.values
    return bool(pieces.kind and iron)


def _is_name(text: str) -> bool:
    return phrase_key(text) not in _PLAIN_WORDS


def _draw_together(pieces: TransformerPieces) -> None:
    """What follows from several pieces together: the taps of a line, a pair from two loads, the power, the kind."""
    line = pieces.values.get("line_voltage")
    primary, secondary = pieces.impedances.get("primary"), pieces.impedances.get("secondary")
    if line is not None and pieces.watts and not any(pair.primary_impedance for pair in pieces.pairs):
        _draw_line(pieces, line)
    elif (
        secondary
        and not primary
        and len(pieces.pairs) == 1
        and pieces.pairs[0].ratio
        and not pieces.pairs[0].secondary_impedance
    ):
        pieces.pairs = [replace(pieces.pairs[0], secondary_impedance=secondary)]
    elif primary or secondary:
        ratio = (primary / secondary).sqrt() if primary and secondary else None
        pieces.pairs.append(Pair("primary", "secondary", ratio, primary, secondary))
    if pieces.watts:
        pieces.values["power"] = max(pieces.watts)
        if len(set(pieces.watts)) > 1 and line is None:
            pieces.doubt("several powers, the highest taken")
    if not pieces.kind and line is not None:
        pieces.kind = "line"


def _draw_line(pieces: TransformerPieces, line: Decimal) -> None:
    """The taps of a loudspeaker line: the primary, unless the load of a valve is given, which the line then is for."""
    primary, secondary = pieces.impedances.get("primary"), pieces.impedances.get("secondary")
    for watts in sorted(set(pieces.watts), reverse=True):
        load, tap = line**2 / watts, format_quantity(watts, "W") if len(set(pieces.watts)) > 1 else ""
        if primary and not secondary:
            pieces.notes.append("the line is taken as the secondary, since a load of the primary is given")
            pieces.pairs.append(Pair("primary", tap or "secondary", (primary / load).sqrt(), primary, load))
        else:
            ratio = (load / secondary).sqrt() if secondary else None
            pieces.pairs.append(Pair(tap or "primary", "secondary", ratio, load, secondary))


def _served(pieces: TransformerPieces, fields: dict[str, object]) -> list[str]:
    """Valves with their number, since what one of them stands in the iron depends on it: a pair is push-pull, push-pull a pair."""
    kinds = dict(pieces.served)
    if len(kinds) == 1 and pieces.kind in _DRIVEN_BY_PAIRS:
        (valve, count), topology = *kinds.items(), fields.get("topology")
        if topology == "push-pull" and count == 1 and not _TWIN.search(valve):
            pieces.notes.append(f"push-pull: two {valve} taken")
            kinds[valve] = 2
        elif topology is None and count % 2 == 0:
            pieces.notes.append(f"{count} {valve}: taken to be push-pull")
            fields["topology"] = "push-pull"
    return [kind if count == 1 else f"{count}x{kind}" for kind, count in kinds.items()]


def _fields(pieces: TransformerPieces) -> dict[str, object]:
    """The fields, in the order in which a part is described."""
    fields: dict[str, object] = {"kind": pieces.kind} if pieces.kind else {}
    if pieces.words("between_anodes") and not pieces.words("topology"):
        pieces.notes.append("a load between anodes: push-pull")
        fields["topology"] = "push-pull"
    for name in ("topology", "centre_tapped", "gapped", "condition"):
        said = pieces.words(name)
        if len(said) > 1:
            pieces.doubt(f"the words disagree on {name.replace('_', ' ')}")
        elif said:
            fields[name] = said[0]
    if pieces.pairs:
        fields["pairs"] = [pair.fields() for pair in pieces.pairs]
    if pieces.windings.rows:
        fields["windings"] = [row.fields() for row in pieces.windings.rows]
    fields.update({name: float(value) for name, value in pieces.values.items()})
    if pieces.served:
        fields["served"] = _served(pieces, fields)
    if pieces.count > 1:
        fields["count"] = pieces.count
    return fields
