"""Units as the trade spells them, and what one of each is in SI. Every factor is an exact decimal.

Unit words are tried before multiplier letters: read the other way round, ``500 mmfd`` is m + mfd, a million times too big.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import NamedTuple

SI_UNITS = ("F", "ohm", "V", "A", "W", "H", "Hz", "m", "m²", "°C", "K", "J", "s", "-")
"""The units of quantities; ``-`` is a pure number."""

INCH = Decimal("0.0254")
CENTIMETRE_OF_CAPACITANCE = Decimal("1.11265E-12")
"""Farads in one cm of the old German and French sheets: 1 / (0.8987552 × 10¹²) F, worked from the speed of light."""

_ENDS = r"(?![A-Za-z0-9])"
_ENDS_OR_DIGIT = r"(?![A-Za-z])"  # 47uF450V: a rating follows at once
_ANY_END = ""


@dataclass(frozen=True)
class Spelling:
    """One way of writing a unit.

    Parameters
    ----------
    pattern : str
        Regular expression without unbounded repeats, on plain text.
    unit : str
        SI unit.
    factor : Decimal
        SI units in one of it.
    detail : str
        What the spelling says beyond the unit: ``ac``, ``dc``, ``va``, ``cm``.
    note : str
        What a reader should know.
    """

    pattern: str
    unit: str
    factor: Decimal
    detail: str = ""
    note: str = ""
    end: str = _ENDS


def _plain(unit: str, *rows: tuple[str, str]) -> tuple[Spelling, ...]:
    return tuple(Spelling(pattern, unit, Decimal(factor)) for pattern, factor in rows)


_MF_NOTE = "mf read as microfarad, as old markings mean it"
_CAPACITANCE = tuple(
    Spelling(pattern, "F", Decimal(factor), note=note, end=_ENDS_OR_DIGIT)
    for pattern, factor, note in (
        (r"(?i:uufd?s?|mmfd?s?|m\.m\.f\.(?:d\.)?|micro-?microfarads?|picofarads?|p ?fd?)", "1E-12", ""),
        (r"(?i:nanofarads?|n ?f|k ?pf)", "1E-9", ""),  # kpF: a thousand pF, on old sheets
        (r"(?i:u ?fd?s?|mfds?|m\.f\.d\.|mi[ck]rofarads?)", "1E-6", ""),
        (r"(?i:mf|m\.f\.)", "1E-6", _MF_NOTE),
    )
)

_VOLT = r"(?i:v(?:olts?)?\.?)"
_DC = rf"{_VOLT}(?i: ?(?:d\.? ?c\.?|wkg\.?|working|w\.?)){{1,2}}"
_DC_FIRST = r"(?i:d\.? ?c\.? ?(?:v(?:olts?)?\.?|wkg\.?|working)|w\.? ?v\.?(?: ?d\.? ?c\.?)?)"
_AC = rf"{_VOLT}(?i: ?(?:a\.? ?c\.?|rms|eff\.?)){{1,2}}"
_AC_FIRST = r"(?i:a\.? ?c\.? ?v(?:olts?)?\.?)"
_VOLTS = tuple(
    Spelling(before + pattern, "V", Decimal(factor), detail, end=end)
    for before, factor in ((r"[kK] ?", "1E3"), ("m", "1E-3"), ("u", "1E-6"), ("", "1"))
    for pattern, detail, end in (
        (_AC, "ac", _ENDS),
        (_AC_FIRST, "ac", _ENDS),
        (r"[vV] ?~", "ac", _ANY_END),
        (_DC, "dc", _ENDS),
        (_DC_FIRST, "dc", _ENDS),
        (r"[vV] ?=", "dc", _ANY_END),
        (r"[vV]-(?=[ ,;)]|$)", "dc", _ANY_END),
        (_VOLT, "", _ENDS),
    )
)

_OTHERS = (
    *_plain("F", (r"farads?|Farads?|F", "1")),
    *_plain(
        "ohm",
        (r"(?i:megohm|meg(?:s|a)? ?ohm|megs?)|M ?(?i:ohm)", "1E6"),
        (r"(?i:kil(?:o-?)?ohm|k ?ohm)", "1E3"),
        (r"m ?(?i:ohm)|(?i:milliohm)", "1E-3"),
        (r"G ?(?i:ohm)", "1E9"),
        (r"T ?(?i:ohm)", "1E12"),
        (r"(?i:ohm)", "1"),
    ),
    *_plain(
        "A",
        (r"(?i:m ?a(?:mps?)?|milliamp(?:ere)?s?)", "1E-3"),
        (r"(?i:u ?a(?:mps?)?|microamp(?:ere)?s?)", "1E-6"),
        (r"nA", "1E-9"),
        (r"A|(?<=[0-9])a|(?i:amps?|amperes?)", "1"),
    ),
    *_plain(
        "W", (r"m ?[wW]|(?i:milliwatts?)", "1E-3"), (r"[kK] ?[wW]|(?i:kilowatts?)", "1E3"), (r"(?i:w(?:atts?)?)", "1")
    ),
    Spelling(r"(?i:v\.?a\.?)", "W", Decimal(1), "va"),
    *_plain(
        "H",
        (r"(?i:m ?h(?:y|enrys?|enries)?|millihenr(?:ys?|ies))", "1E-3"),
        (r"(?i:u ?h(?:y|enrys?)?|microhenr(?:ys?|ies))", "1E-6"),
        (r"nH", "1E-9"),
        (r"H|(?i:hy|henrys?|henries)", "1"),
    ),
    *_plain(
        "Hz",
        (r"(?i:khz|kc/s|kcs|kcps|kc|kilocycles?)", "1E3"),
        (r"(?i:mhz|mc/s|mcps|mc|megacycles?)", "1E6"),
        (r"(?i:ghz)", "1E9"),
        (r"(?i:hz|c/s|cps|c\.p\.s\.|cycles?)", "1"),
    ),
    *_plain(
        "m²",
        (r"(?i:sq\.? ?cm|cm(?:\^?2|²))", "1E-4"),
        (r"(?i:sq\.? ?mm|mm(?:\^?2|²))", "1E-6"),
        (r"(?i:sq\.? ?in(?:ch(?:es)?)?|in(?:\^?2|²))", "0.00064516"),
        (r"m(?:\^2|²)", "1"),
    ),
    *_plain("m", (r"(?i:mm|millimet(?:re|er)s?)", "1E-3")),
    Spelling(r"(?i:cm|centimet(?:re|er)s?)", "m", Decimal("1E-2"), "cm"),
    *_plain(
        "m",
        (r"um", "1E-6"),
        (r"(?i:inch(?:es)?|in\.?(?! (?:series|parallel|a|an|the|one|can|oil|box|reihe)\b))", "0.0254"),
        (r"(?i:met(?:re|er)s?)", "1"),
    ),
    Spelling(r"\"|''", "m", INCH, end=_ANY_END),
    Spelling(r"° ?[Cc]|(?i:deg\.? ?c)|C|(?i:celsius)", "°C", Decimal(1)),
    Spelling(r"°(?! ?[CcFf])", "°C", Decimal(1), end=_ANY_END),
    *_plain("J", (r"mJ", "1E-3"), (r"uJ", "1E-6"), (r"kJ", "1E3"), (r"J|(?i:joules?)", "1")),
    *_plain("s", (r"ms", "1E-3"), (r"us", "1E-6"), (r"(?i:secs?|seconds?)", "1")),
)

SPELLINGS: tuple[Spelling, ...] = (*_CAPACITANCE, *_VOLTS, *_OTHERS)
_WRITTEN = re.compile("|".join(f"(?P<u{n}>(?:{s.pattern}){s.end})" for n, s in enumerate(SPELLINGS)), re.ASCII)

OWN_LETTER = {"m": "m", "s": "s", "K": "K"}
"""Letters that are a unit only where that unit was asked for: elsewhere m is a multiplier, K a thousand, s a plural."""


class Letter(NamedTuple):
    """A multiplier letter that stands without a unit: its factor, and the unit that it implies (""  if none)."""

    factor: Decimal
    unit: str


LETTERS: dict[str, Letter] = {
    **{letter: Letter(Decimal("1E-12"), "F") for letter in "pP"},
    **{letter: Letter(Decimal("1E-9"), "F") for letter in "nN"},
    **{letter: Letter(Decimal("1E-6"), "F") for letter in "uU"},
    **{letter: Letter(Decimal(1), "ohm") for letter in "RrE"},
    **{letter: Letter(Decimal("1E3"), "ohm") for letter in "kK"},
    "M": Letter(Decimal("1E6"), "ohm"),
    "G": Letter(Decimal("1E9"), "ohm"),
    "m": Letter(Decimal("1E-3"), ""),
    "V": Letter(Decimal(1), "V"),
}


def match_unit(text: str, pos: int) -> tuple[Spelling, int] | None:
    """Return the unit that is spelled at that place of a plain text, and where it ends; None if none is."""
    found = _WRITTEN.match(text, pos)
    return None if found is None else (SPELLINGS[int((found.lastgroup or "u0")[1:])], found.end())


def exact(value: Decimal | float | int) -> Decimal:
    """Return a number as the decimal that it prints as, so that 2e-8 is 2 × 10⁻⁸ and not its nearest binary fraction."""
    return value if isinstance(value, Decimal) else Decimal(str(value))
