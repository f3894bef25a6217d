"""What a donor gave: of each family how much lies there still."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from partsbin.page.plots.drawing import Piece, Plot, area, bars, words

_KINDS = (("left", "rated"), ("used", "stress"), ("bad", "over"))


def donor_yield(found: Mapping[str, Any]) -> Plot | None:
    """Return what a donor gave: pieces left, used and bad, and the pieces left of each family; None if it gave nothing.

    Parameters
    ----------
    found : mapping
        A donor's portrait, as of `partsbin.reports.donor.donor_portrait`.
    """
    sums = {name: int(found.get(name) or 0) for name, _ in _KINDS}
    whole = sum(sums.values())
    if not whole:
        return None
    most = max([whole, *(family["left"] for family in found["families"].values())])
    rows = [("all families", f"{whole} pieces", [Piece(sums[name] / most, css) for name, css in _KINDS])]
    rows += [
        (family, f"{sums_of['left']} left", [Piece(sums_of["left"] / most, "rated")])
        for family, sums_of in found["families"].items()
    ]
    height, drawn = bars(rows)
    drawn.append(words(0, height + 14, "outlined: left; filled: used; heavy: bad"))
    told = ", ".join(f"{count} {name}" for name, count in sums.items())
    title = f"what {found['donor']} gave"
    cells = [(name, str(count)) for name, count in sums.items()]
    cells += [(f"{family}, left", str(sums_of["left"])) for family, sums_of in found["families"].items()]
    return Plot(title, told, area(title, told, height + 22, drawn), ("pieces", "number"), tuple(cells))
