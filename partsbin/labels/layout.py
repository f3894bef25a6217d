"""Where labels lie on their paper: grids on A4 sheets, and rolls with one label a page. Millimetres throughout."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from partsbin.errors import UsageError

A4 = (210.0, 297.0)
"""Width and height of a sheet [mm]."""

EDGE = 1.5
"""What stays clear at the edges of a label: paper shifts in the printer. Common practice [mm]."""

UNPRINTED = 4.5
"""What office printers leave blank at the edges of a sheet. Common practice [mm]."""

SMALLEST, LARGEST = 10.0, 300.0
"""Sides that a label may have [mm]."""

_SLIP = 1e-6
"""What sums of decimal fractions may be off [mm]."""


@dataclass(frozen=True)
class Layout:
    """A grid of equal labels on pages of one size.

    Parameters
    ----------
    width, height : float
        Of a label [mm].
    across, down : int
        Labels in a row, and rows [-].
    left, top : float
        Margins: from the page's corner to the first label [mm].
    gap : tuple of float
        Between labels, beside and below [mm].
    page : tuple of float
        Width and height of the page [mm].
    roll : bool
        Whether it is one label of a roll, which has no edges that a printer leaves blank.
    """

    width: float
    height: float
    across: int = 1
    down: int = 1
    left: float = 0.0
    top: float = 0.0
    gap: tuple[float, float] = (0.0, 0.0)
    page: tuple[float, float] = A4
    roll: bool = False

    @property
    def per_page(self) -> int:
        """Labels on a page [-]."""
        return self.across * self.down

    @property
    def name(self) -> str:
        """What it is called: by its own dimensions."""
        if self.roll:
            return f"roll, {self.width:g} × {self.height:g} mm"
        return f"{self.per_page} a sheet, {self.width:g} × {self.height:g} mm"

    @property
    def span(self) -> tuple[float, float]:
        """Width and height of the whole grid [mm]."""
        return (
            self.across * self.width + (self.across - 1) * self.gap[0],
            self.down * self.height + (self.down - 1) * self.gap[1],
        )

    @property
    def edge(self) -> tuple[float, float]:
        """What stays clear in every label, left and right, and above and below [mm]."""
        if self.roll:
            return EDGE, EDGE
        (span_x, span_y), (wide, high) = self.span, self.page
        beside, beneath = min(self.left, wide - self.left - span_x), min(self.top, high - self.top - span_y)
        return max(EDGE, UNPRINTED - beside), max(EDGE, UNPRINTED - beneath)

    def cell(self, at: int) -> tuple[int, int, int]:
        """Return page, row and column of the label number `at`, all from 0, row by row."""
        page, left = divmod(at, self.per_page)
        return page, *divmod(left, self.across)

    def corner(self, row: int, column: int) -> tuple[float, float]:
        """Return where a label's upper left corner lies, from the page's upper left corner [mm]."""
        return self.left + column * (self.width + self.gap[0]), self.top + row * (self.height + self.gap[1])


def sheet(
    width: float,
    height: float,
    across: int,
    down: int,
    *,
    margin: tuple[float, float] | None = None,
    gap: tuple[float, float] = (0.0, 0.0),
) -> Layout:
    """Return a grid on A4.

    Parameters
    ----------
    width, height : float
        Of a label [mm].
    across, down : int
        Labels in a row, and rows [-].
    margin : tuple of float, optional
        Left and top margin; without it the grid lies in the middle [mm].
    gap : tuple of float
        Between labels, beside and below [mm].

    Raises
    ------
    UsageError
        If it does not lie on the sheet.
    """
    _sides(width, height)
    if not (1 <= across <= 100 and 1 <= down <= 100):
        raise UsageError(f"{across} across and {down} down", hint="1 to 100 of each")
    if any(not math.isfinite(length) or length < 0 for length in (*gap, *(margin or ()))):
        raise UsageError(
            "a margin or gap below 0 mm", hint="LEFTxTOP and ACROSSxDOWN, such as --margin 7x15 --gap 2.5x0"
        )
    spans = Layout(width, height, across, down, gap=gap).span
    left, top = margin or ((A4[0] - spans[0]) / 2, (A4[1] - spans[1]) / 2)
    if min(left, top, A4[0] - left - spans[0], A4[1] - top - spans[1]) < -_SLIP:
        at = f", {left:g} and {top:g} mm from the edges," if margin else ""
        raise UsageError(
            f"{across} × {down} labels of {width:g} × {height:g} mm are {spans[0]:g} × {spans[1]:g} mm{at} "
            f"and do not lie on a sheet of {A4[0]:g} × {A4[1]:g} mm"
        )
    return Layout(width, height, across, down, max(left, 0.0), max(top, 0.0), gap)


def roll(width: float, height: float) -> Layout:
    """Return a roll with one label a page.

    Raises
    ------
    UsageError
        If a side is no length of a label.
    """
    _sides(width, height)
    return Layout(width, height, page=(width, height), roll=True)


def _sides(width: float, height: float) -> None:
    if not (SMALLEST <= width <= LARGEST and SMALLEST <= height <= LARGEST):
        raise UsageError(f"a label of {width:g} × {height:g} mm", hint=f"sides of {SMALLEST:g} to {LARGEST:g} mm")


GRIDS = {
    "105x48": sheet(105, 48, 2, 6),
    "70x37": sheet(70, 37, 3, 8),
    "70x36": sheet(70, 36, 3, 8),
    "63.5x38.1": sheet(63.5, 38.1, 3, 7, gap=(2.5, 0)),
    "52.5x29.7": sheet(52.5, 29.7, 4, 10),
    "48.5x25.4": sheet(48.5, 25.4, 4, 11),
    "45.7x21.2": sheet(45.7, 21.2, 4, 12, gap=(2.5, 0)),
    "38.1x21.2": sheet(38.1, 21.2, 5, 13, gap=(2.5, 0)),
}
"""Grids that are sold everywhere, by the size of the label; margins even on both sides. Common practice."""


_PAIR = re.compile(
    r"\s*(\d{1,4}(?:[.,]\d{1,3})?)\s*(?:mm)?\s*[x×*]\s*(\d{1,4}(?:[.,]\d{1,3})?)\s*(?:mm)?\s*", re.IGNORECASE
)


def two_lengths(what: str, text: str) -> tuple[float, float]:
    """Read two lengths in mm: ``70x37``, ``63,5 × 38,1 mm``; `what` is what they are said of.

    Raises
    ------
    UsageError
        If the text is not two lengths.
    """
    found = _PAIR.fullmatch(text)
    if not found:
        raise UsageError(f"{what} {text[:60]!r}: expected two lengths in mm", hint=f"such as {what} 70x37")
    first, second = (float(side.replace(",", ".")) for side in found.groups())
    return first, second
