"""Labels on paper: what each one says, where it lies, and the pages as PDF. Nothing here knows the catalogue."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from partsbin.errors import UsageError
from partsbin.labels.codes import Room, Symbol, symbol
from partsbin.labels.fitting import Row, fit
from partsbin.labels.layout import Layout
from partsbin.paper import FAMILY, document, printable

if TYPE_CHECKING:
    from fpdf import FPDF

WIDE = 1.2
"""Width over height from which the words stand beside the code, not below it [-]."""

SHARE = 0.6
"""What a code may take of the longer way [-]."""

FINEST, COARSEST = 100, 2400
"""Dots per inch that a printer may have [1/in]."""


@dataclass(frozen=True)
class Label:
    """What a label says.

    Parameters
    ----------
    code : str
        What its code holds.
    title : str
        In bold: what the part is, or the name of the place.
    lines : tuple of str
        Below it: the number, the place; the first ones are the last to be left out.
    """

    code: str
    title: str
    lines: tuple[str, ...] = ()


@dataclass(frozen=True)
class Placed:
    """A label on its page. Lengths are from the page's upper left corner.

    Parameters
    ----------
    label : Label
        What it says.
    page, row, column : int
        Where, from 0 [-].
    x, y : float
        Upper left corner of the label [mm].
    symbol : Symbol
        Its code.
    code_x, code_y : float
        Upper left corner of the code, its clear margin not counted [mm].
    rows : tuple of Row
        Its words.
    words_x, words_y : float
        Upper left corner of their room [mm].
    notes : tuple of str
        What could not be shown as it is.
    """

    label: Label
    page: int
    row: int
    column: int
    x: float
    y: float
    symbol: Symbol
    code_x: float
    code_y: float
    rows: tuple[Row, ...]
    words_x: float
    words_y: float
    notes: tuple[str, ...]


def arrange(labels: Sequence[Label], layout: Layout, *, skip: int = 0, dpi: int | None = None) -> list[Placed]:
    """Return labels with their places, row by row.

    Parameters
    ----------
    labels : sequence of Label
        In the order in which they are wanted.
    layout : Layout
        The paper.
    skip : int
        Labels of the first sheet that are used up [-].
    dpi : int, optional
        Dots per inch of the printer: codes then lie on whole dots [1/in].

    Raises
    ------
    UsageError
        If more are used up than a sheet has, or a code does not fit its label.
    """
    if not 0 <= skip < layout.per_page:
        raise UsageError(f"{skip} labels used up of {layout.per_page} on a page", hint=f"0 to {layout.per_page - 1}")
    if dpi is not None and not FINEST <= dpi <= COARSEST:
        raise UsageError(f"{dpi} dots per inch", hint=f"{FINEST} to {COARSEST}, such as 203, 300 or 600")
    dot = 25.4 / dpi if dpi else 0.0
    return [_placed(label, layout, at, dot) for at, label in enumerate(labels, skip)]


def _placed(label: Label, layout: Layout, at: int, dot: float) -> Placed:
    page, row, column = layout.cell(at)
    x, y = layout.corner(row, column)
    beside, above = layout.edge
    wide = layout.width >= WIDE * layout.height
    if wide:  # what stays clear at the far edge is for the words to keep
        across, down = Room(layout.width * SHARE, beside), Room(layout.height, above, above)
    else:
        across, down = Room(layout.width, beside, beside), Room(layout.height * SHARE, above)
    code = symbol(label.code, across, down, dot=dot)
    code_x = x + (max(beside, code.quiet) if wide else (layout.width - code.side) / 2)
    code_y = y + ((layout.height - code.side) / 2 if wide else max(above, code.quiet))
    code_x, code_y = _on_dots(code_x, dot), _on_dots(code_y, dot)
    words_x, words_y = (
        (code_x + code.side + code.quiet, y + above) if wide else (x + beside, code_y + code.side + code.quiet)
    )
    (title, *lines), notes = _printable(label)
    fitted = fit(title, lines, x + layout.width - beside - words_x, y + layout.height - above - words_y)
    if fitted.cut:
        notes.append("shortened")
    return Placed(
        label, page, row, column, x, y, code, code_x, code_y, fitted.rows, words_x, words_y, tuple(notes)
    )  # fmt: skip


def _on_dots(length: float, dot: float) -> float:
    return math.ceil(length / dot - 1e-6) * dot if dot else length


def _printable(label: Label) -> tuple[list[str], list[str]]:
    """Return title and lines as they can be printed, and what was lost of them."""
    shown, lost = [], ""
    for text in (label.title, *label.lines):
        words, lacking = printable(text)
        shown.append(words)
        lost += "".join(sign for sign in lacking if sign not in lost)
    return shown, [f"the typeface lacks {lost}"] if lost else []


def draw(
    placed: Sequence[Placed], layout: Layout, *, made: datetime, title: str = "labels", outline: bool = False
) -> bytes:
    """Return the pages as PDF.

    Parameters
    ----------
    placed : sequence of Placed
        As `arrange` gave them, for the same layout.
    layout : Layout
        The paper.
    made : datetime
        When, with its zone.
    title : str
        As a viewer shows it.
    outline : bool
        Whether each label's edge is drawn, for a trial on plain paper.
    """
    pages = document(*layout.page, title=title, made=made)
    for entry in placed:
        while len(pages.pages) <= entry.page:
            pages.add_page()
        _draw(pages, entry, layout, outline)
    return bytes(pages.output())


def _draw(pages: FPDF, entry: Placed, layout: Layout, outline: bool) -> None:
    from fpdf.drawing import PaintedPath

    if outline:
        pages.set_line_width(0.1)
        pages.rect(entry.x, entry.y, layout.width, layout.height)
    module = entry.symbol.module
    code = PaintedPath()  # one path, painted at once: no hairlines between its rows
    code.style.fill_color, code.style.stroke_color = "#000000", None
    for left, top, length in entry.symbol.bars():
        code.rectangle(entry.code_x + left, entry.code_y + top, length, module)
    with pages.drawing_context() as context:
        context.add_item(code, clone=False)
    for row in entry.rows:
        pages.set_font(FAMILY, row.style, row.size)
        pages.text(entry.words_x, entry.words_y + row.foot, row.text)


def pdf(
    labels: Sequence[Label],
    layout: Layout,
    *,
    made: datetime,
    skip: int = 0,
    dpi: int | None = None,
    outline: bool = False,
) -> bytes:
    """Return labels as PDF: `arrange` and `draw` in one."""
    return draw(arrange(labels, layout, skip=skip, dpi=dpi), layout, made=made, outline=outline)
