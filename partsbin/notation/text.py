"""Typed and printed text made plain: one sign for each thing, before anything is read or lower-cased.

Lower-casing comes last, if at all: it turns Ω into ω, and the capital M of a megohm into the m of a milliohm.
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache
from typing import NamedTuple

LIMIT = 500
"""Characters that are read; a description on a shelf is far shorter, and work stays bounded."""


class Plain(NamedTuple):
    """A text in plain signs, and what was done to it that a reader should know.

    Parameters
    ----------
    text : str
        The plain text.
    notes : tuple of str
        Such as that the text was cut.
    """

    text: str
    notes: tuple[str, ...]


_SIGNS = str.maketrans(
    {
        "µ": "u",
        "μ": "u",
        "\u039c": "u",  # what capitals make of µ
        "Ω": "ohm",
        "ω": "ohm",
        "\u2126": "ohm",
        "º": "°",
        "˚": "°",
        "×": "x",
        "✕": "x",
        "✖": "x",
        "⨯": "x",
        "\u2212": "-",
        "\u2010": "-",
        "\u2011": "-",
        "\u2012": "-",
        "\u2013": "-",
        "\u2014": "-",
        "\u2015": "-",
        "\ufe63": "-",
        "\u2044": "/",
        "\u2215": "/",
        "÷": "/",
        "\u2236": ":",
        "…": "..",
        "∿": "~",
        "\u223c": "~",
        "⎓": "=",
        "″": '"',
        "“": '"',
        "”": '"',
        "„": '"',
        "′": "'",
        "’": "'",
        "‘": "'",
    }
)
_KEPT = frozenset("²³º")  # compatible with 2, 3 and o, which they do not mean here
_RAISED_POINT = re.compile(r"[·∙⋅](?=[0-9])")
_MIXED = re.compile(r"(?<![0-9.,/])([0-9])([¼½¾⅛⅜⅝⅞])")
"""A figure with a fraction printed on to it, 2½; behind more figures, as in 470½W, the fraction is a number of its own."""
_OHM = re.compile(r"(?i)ohms?(?![a-z])")
_PLUS_MINUS = re.compile(r"\+ ?/ ?-|\+-(?= ?[0-9.])")


@lru_cache(256)
def normalise(text: str) -> Plain:
    """Return the text in plain signs: one micro, one ohm, one dash, one space, digits of one width.

    Parameters
    ----------
    text : str
        As typed, pasted or read from a label. At most `LIMIT` characters of it are read.

    Returns
    -------
    Plain
        ``u`` for both micro signs, ``ohm`` for both omegas and the words, ``x`` for ×, ``-`` for every dash, ``±`` for its
        spellings, a decimal point for the raised point of old print, single blanks. Upper and lower case stay as given.

    Examples
    --------
    >>> normalise("0·1 µF − 4,7 kΩ").text
    '0.1 uF - 4,7 kohm'
    """
    notes: tuple[str, ...] = ()
    if len(text) > LIMIT:
        text, notes = text[:LIMIT], (f"only the first {LIMIT} of {len(text)} characters were read",)
    if text.isascii() and text.isprintable():
        plain = text
    else:
        composed = _MIXED.sub(_decimal, unicodedata.normalize("NFC", text))
        plain = "".join(_plain_sign(sign) for sign in composed).translate(_SIGNS)
        plain = _RAISED_POINT.sub(".", plain)
    plain = " ".join(plain.split())
    plain = _PLUS_MINUS.sub("±", _OHM.sub("ohm", plain))
    return Plain(plain[:LIMIT].strip(), notes)


def _decimal(mixed: re.Match[str]) -> str:
    return f"{int(mixed[1]) + unicodedata.numeric(mixed[2]):g}"


def _plain_sign(sign: str) -> str:
    """One character in its plain form: widths, squared units and printed fractions undone, controls blanked."""
    if sign < "\x7f":
        return sign if sign >= " " else " "
    kind = unicodedata.category(sign)
    if kind[0] == "Z" or kind == "Cc":
        return " "
    if kind in ("Cf", "Cs", "Co", "Cn"):  # zero-width marks and half characters carry nothing
        return ""
    spread = unicodedata.decomposition(sign)
    if spread.startswith("<fraction>"):
        return " " + unicodedata.normalize("NFKC", sign).replace("\u2044", "/")
    return unicodedata.normalize("NFKC", sign) if spread.startswith("<") and sign not in _KEPT else sign
