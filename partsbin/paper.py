"""Paper: PDF documents measured in millimetres, and the typefaces that travel with the package.

What is printed comes from people's own words, so a text is made printable first: one line, signs that the typeface has, and each
line in the order in which it is seen.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from typing import TYPE_CHECKING

from partsbin.resources import resource

if TYPE_CHECKING:
    from fpdf import FPDF

FAMILY = "DejaVu"
"""What the typeface is called in a document."""

POINT = 25.4 / 72
"""One point of type [mm]."""

LACKING = "□"
"""Stands for a sign that the typeface does not have."""

FILES = {"": "fonts/DejaVuSansCondensed.ttf", "B": "fonts/DejaVuSansCondensed-Bold.ttf"}
"""File by style: upright and bold."""


@dataclass(frozen=True)
class Face:
    """One style of the typeface: which signs it has and how wide they are.

    Parameters
    ----------
    advances : mapping of int to float
        Width of each sign by its code point, as a fraction of the size.
    """

    advances: Mapping[int, float]

    def has(self, sign: str) -> bool:
        """Return whether the typeface has a sign."""
        return ord(sign) in self.advances

    def width(self, text: str, size: float) -> float:
        """Return how wide a line of text is.

        Parameters
        ----------
        text : str
            Printable, on one line.
        size : float
            Of the type [pt].

        Returns
        -------
        float
            Its width [mm].
        """
        return sum(self.advances.get(ord(sign), 0.6) for sign in text) * size * POINT


@cache
def face(style: str = "") -> Face:
    """Return the upright typeface, or the bold one for ``"B"``."""
    from fontTools.ttLib import TTFont

    with TTFont(resource(FILES[style]), lazy=True) as font:
        widths, em = font["hmtx"].metrics, font["head"].unitsPerEm
        return Face({code: widths[name][0] / em for code, name in font.getBestCmap().items()})


def printable(text: str) -> tuple[str, str]:
    """Return a text as one line of signs that can be printed, and those that could not.

    Controls, line ends and marks that turn the direction of writing become blanks; a sign that the typeface lacks becomes □.
    """
    shown: list[str] = []
    lost: dict[str, None] = {}
    have = face()
    for sign in unicodedata.normalize("NFC", text):
        kind = unicodedata.category(sign)
        if kind in ("Cc", "Cf", "Cs", "Zs", "Zl", "Zp"):
            shown.append(" ")
        elif have.has(sign):
            shown.append(sign)
        else:
            shown.append(LACKING)
            lost[sign] = None
    return " ".join("".join(shown).split()), "".join(lost)


def in_order(line: str) -> str:
    """Return one line with its signs from left to right as they are seen: Hebrew and Arabic are written the other way."""
    if not any(unicodedata.bidirectional(sign) in ("R", "AL", "AN") for sign in line):
        return line
    from fpdf.bidi import BidiParagraph

    return BidiParagraph(line).get_reordered_string()


def document(width: float, height: float, *, title: str, made: datetime) -> FPDF:
    """Return an empty PDF document with our typefaces, to be printed at its own size.

    Parameters
    ----------
    width, height : float
        Of every page [mm].
    title : str
        As it stands in the window of a viewer.
    made : datetime
        When, with its zone.

    Returns
    -------
    FPDF
        Without a page; its unit is the millimetre.
    """
    from fpdf import FPDF
    from fpdf.prefs import ViewerPreferences

    made_of = FPDF(unit="mm", format=(width, height))
    made_of.viewer_preferences = ViewerPreferences(print_scaling="None", display_doc_title=True)
    made_of.set_title(title)
    made_of.set_creation_date(made)
    made_of.set_producer("partsbin")
    made_of.set_margin(0)
    made_of.set_auto_page_break(False)
    for style, file in FILES.items():
        made_of.add_font(FAMILY, style, resource(file))
    made_of.set_font(FAMILY, size=10)
    return made_of
