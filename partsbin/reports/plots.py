"""Plots as SVG that stand in a page: read without colour, each with its text alternative. The table beside them is the caller's."""

from __future__ import annotations

from collections.abc import Sequence
from html import escape

LABEL, LENGTH, ROW, TEXT = 220, 420, 26, 13
"""Room for labels, for the longest bar, of a row; size of type [px]."""


def bars(title: str, labels: Sequence[str], values: Sequence[float], *, unit: str, told: str = "") -> str:
    """Return horizontal bars, each with its label and its figure; the second of a pair of series would be hatched.

    Parameters
    ----------
    title : str
        What is shown.
    labels : sequence of str
        One a bar.
    values : sequence of float
        Lengths, at least 0.
    unit : str
        Written behind each figure.
    told : str
        What the plot says, for those who do not see it; without it the largest and the smallest bar.
    """
    most = max([*values, 0.0]) or 1.0
    rows = []
    for at, (label, value) in enumerate(zip(labels, values, strict=True)):
        top = at * ROW + 4
        length = max(0.0, value) / most * LENGTH
        rows.append(f'<text x="{LABEL - 8}" y="{top + 14}" text-anchor="end">{escape(_short(label))}</text>')
        rows.append(
            f'<rect x="{LABEL}" y="{top}" width="{length:.1f}" height="{ROW - 8}" fill="url(#hatch)" stroke="currentColor"/>'
        )
        rows.append(f'<text x="{LABEL + length + 6:.1f}" y="{top + 14}">{escape(_figure(value, unit))}</text>')
    told = told or _extremes(labels, values, unit)
    return frame(title, told, LABEL + LENGTH + 90, len(labels) * ROW + 8, [HATCH, *rows])


def margins(title: str, labels: Sequence[str], values: Sequence[float]) -> str:
    """Return margins as marks along a line from 0 to 100 %: a filled square under 5 %, an open circle from there up."""
    rows = [f'<line x1="{LABEL}" y1="0" x2="{LABEL}" y2="{len(labels) * ROW + 4}" stroke="currentColor"/>']
    for at, (label, value) in enumerate(zip(labels, values, strict=True)):
        middle, x = at * ROW + 15, LABEL + min(max(value, 0.0), 1.0) * LENGTH
        rows.append(f'<text x="{LABEL - 8}" y="{middle + 4}" text-anchor="end">{escape(_short(label))}</text>')
        rows.append(
            f'<line x1="{LABEL}" y1="{middle}" x2="{LABEL + LENGTH}" y2="{middle}" stroke="currentColor" stroke-opacity=".25"/>'
        )
        rows.append(
            f'<rect x="{x - 5:.1f}" y="{middle - 5}" width="10" height="10" fill="currentColor"/>'
            if value < 0.05
            else f'<circle cx="{x:.1f}" cy="{middle}" r="5" fill="none" stroke="currentColor" stroke-width="2"/>'
        )
        rows.append(f'<text x="{LABEL + LENGTH + 8}" y="{middle + 4}">{value * 100:.1f} %</text>')
    thin = sum(1 for value in values if value < 0.05)
    told = f"{len(values)} margins, {thin} of them under 5 %"
    return frame(title, told, LABEL + LENGTH + 90, len(labels) * ROW + 8, rows)


HATCH = (
    '<defs><pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">'
    '<line x1="0" y1="0" x2="0" y2="6" stroke="currentColor" stroke-width="2" stroke-opacity=".5"/></pattern></defs>'
)


def frame(title: str, told: str, width: float, height: float, drawn: Sequence[str], *, css: str = "") -> str:
    """Return a drawing with its title and its words for those who do not see it.

    Parameters
    ----------
    title, told : str
        What is shown, and what it says.
    width, height : float
        Of the drawing's own units [-].
    drawn : sequence of str
        What stands in it, as SVG.
    css : str
        Class by which a page with a style sheet sizes and colours it; without one it has a width and a type of its own.
    """
    look = f'class="{css}"' if css else f'width="{width:g}" font-size="{TEXT}" fill="currentColor"'
    return (
        f'<svg role="img" viewBox="0 0 {width:g} {height:g}" {look} aria-label="{escape(title)}: {escape(told)}">'
        f"<title>{escape(title)}</title><desc>{escape(told)}</desc>{''.join(drawn)}</svg>"
    )


def _short(label: str) -> str:
    return label if len(label) <= 30 else f"{label[:29]}…"


def _figure(value: float, unit: str) -> str:
    return f"{value:g} {unit}".strip() if value == round(value) else f"{value:.2f} {unit}".strip()


def _extremes(labels: Sequence[str], values: Sequence[float], unit: str) -> str:
    if not values:
        return "nothing to show"
    most, least = max(range(len(values)), key=values.__getitem__), min(range(len(values)), key=values.__getitem__)
    high = f"most: {labels[most]}, {_figure(values[most], unit)}"
    return high if most == least else f"{high}; least: {labels[least]}, {_figure(values[least], unit)}"
