"""The code of a label drawn on a page: dark on light whatever the page's colours, with its clear margin."""

from __future__ import annotations

from functools import lru_cache
from html import escape

from partsbin.errors import UsageError
from partsbin.labels.codes import Room, symbol

SIDE = 30.0
"""Room that the code has, its clear margin included [mm]."""


@lru_cache(256)
def drawn(text: str) -> str:
    """Return the code of a text as markup, its text escaped; "" where it holds more than fits."""
    try:
        code = symbol(text, Room(SIDE), Room(SIDE), pattern=0)  # nothing scratches a screen: any of them is read
    except UsageError:
        return ""
    step, quiet = code.module, code.quiet
    runs = "".join(
        f"M{left + quiet:.2f} {top + quiet:.2f}h{length:.2f}v{step:.2f}h-{length:.2f}z"
        for left, top, length in code.bars()
    )
    side = code.side + 2 * quiet
    return (
        f'<svg class="code" role="img" width="180" height="180" viewBox="0 0 {side:.2f} {side:.2f}" '
        f'aria-label="code {escape(text)}"><rect width="{side:.2f}" height="{side:.2f}" fill="#fff"/>'
        f'<path fill="#000" d="{runs}"/></svg>'
    )
