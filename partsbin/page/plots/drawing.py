"""What the plots share: room, axes, bars with their words above them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from html import escape

from partsbin.reports.plots import frame

WIDTH = 360.0
"""Width of every plot: about a phone's, so that its type is drawn as large as it is set [-]."""

LEFT, RIGHT, TOP, BOTTOM = 54.0, 12.0, 26.0, 40.0
"""Room round an area with axes [-]."""

ROW = 48.0
"""Height of a bar and the line of words above it [-]."""

Scale = Callable[[float], float]


@dataclass(frozen=True)
class Plot:
    """A drawing with what it says and the figures behind it.

    Parameters
    ----------
    title, told : str
        What is shown, and what it says in a sentence.
    svg : str
        The drawing: markup, its texts escaped.
    head : tuple of str
        Heads of the table.
    rows : tuple of tuple of str
        Its cells.
    """

    title: str
    told: str
    svg: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class Piece:
    """A part of a bar: how long, in which class of the style sheet."""

    length: float
    css: str


def area(title: str, told: str, height: float, drawn: Sequence[str]) -> str:
    """Return a drawing of the page's own width."""
    return frame(title, told, WIDTH, height, drawn, css="plot")


def words(x: float, y: float, said: str, css: str = "", anchor: str = "start") -> str:
    """Return a line of words; `anchor` is where x lies in it: start, middle or end."""
    kind = f' class="{css}"' if css else ""
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}"{kind}>{escape(said)}</text>'


def line(points: Sequence[tuple[float, float]], css: str) -> str:
    """Return a line through points."""
    return f'<polyline class="{css}" points="{" ".join(f"{x:.1f},{y:.1f}" for x, y in points)}"/>'


def box(x: float, y: float, width: float, height: float, css: str) -> str:
    """Return a filled box."""
    return f'<rect class="{css}" x="{x:.1f}" y="{y:.1f}" width="{max(width, 0):.1f}" height="{max(height, 0):.1f}"/>'


def mark(x: float, y: float, css: str = "mark") -> str:
    """Return a point."""
    return f'<circle class="{css}" cx="{x:.1f}" cy="{y:.1f}" r="5"/>'


def bars(rows: Sequence[tuple[str, str, Sequence[Piece]]]) -> tuple[float, list[str]]:
    """Return height and drawing of bars: of each its name, its figure at the right, its pieces, 1 being the whole width.

    What is longer than the whole width ends at the edge, with an arrow.
    """
    drawn: list[str] = []
    for at, (name, figure, pieces) in enumerate(rows):
        top, x = at * ROW, 0.0
        drawn += [words(0, top + 16, _short(name, 24)), words(WIDTH, top + 16, figure, anchor="end")]
        for piece in pieces:
            length = min(piece.length, 1 - x) * WIDTH
            drawn.append(box(x * WIDTH, top + 22, length, 16, piece.css))
            if x + piece.length > 1:
                tip, middle = WIDTH, top + 30
                drawn.append(
                    f'<path class="over" d="M{tip - 9:g} {middle - 7:g} L{tip:g} {middle:g} L{tip - 9:g} {middle + 7:g}Z"/>'
                )
                break
            x += piece.length
    return max(len(rows), 1) * ROW, drawn


def upright(lowest: float, highest: float, height: float) -> Scale:
    """Return the scale of an upright axis in an area of this height."""
    room, reach = height - TOP - BOTTOM, (highest - lowest) or 1.0
    return lambda value: TOP + room * (1 - (value - lowest) / reach)


def along(lowest: float, highest: float) -> Scale:
    """Return the scale of a level axis."""
    room, reach = WIDTH - LEFT - RIGHT, (highest - lowest) or 1.0
    return lambda value: LEFT + room * (value - lowest) / reach


def axes(height: float, y: Scale, ticks: Sequence[tuple[float, str]]) -> list[str]:
    """Return the two axes and the level lines of the upright one."""
    drawn = [line([(LEFT, TOP - 6), (LEFT, height - BOTTOM), (WIDTH - RIGHT, height - BOTTOM)], "axis")]
    for value, said in ticks:
        drawn.append(line([(LEFT, y(value)), (WIDTH - RIGHT, y(value))], "grid"))
        drawn.append(words(LEFT - 6, y(value) + 5, said, anchor="end"))
    return drawn


def steps(highest: float, most: int = 5) -> list[float]:
    """Return round values from 0 up to a highest one, `most` at most.

    Examples
    --------
    >>> steps(467.0)
    [0.0, 100.0, 200.0, 300.0, 400.0]
    >>> steps(0.4)
    [0.0, 0.1, 0.2, 0.3, 0.4]
    """
    if not highest > 0:
        return [0.0]
    from math import floor, log10

    decade = 10.0 ** floor(log10(highest))
    step = next(size * decade for size in (0.1, 0.2, 0.25, 0.5, 1, 2) if highest / (size * decade) < most)
    return [round(at * step, 12) for at in range(int(highest / step + 1e-9) + 1)]


def _short(said: str, most: int) -> str:
    return said if len(said) <= most else f"{said[: most - 1]}…"
