"""What is said of an answer as a whole, on every face of it: which reading to take first, what was not judged in full."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

_MORE = {"fits": "may fit", "care": "may do with care", "measure": "may do once measured or looked at"}


def first_said(answer: Mapping[str, Any]) -> str:
    """Return which readings decide about most parts, "" where there is nothing to choose."""
    cards = [card for candidate in answer["candidates"] for card in candidate["tests"]]
    titles = {card["reading"]: card["title"] for card in cards}
    if len(titles) < 2:
        return ""
    owed = [f"{titles[name]} ({sum(card['reading'] == name for card in cards)})" for name in answer["read_first"]]
    return f"read what decides about most parts: {', '.join(owed)}"


def more_said(answer: Mapping[str, Any]) -> str:
    """Return how many ways of use were counted by their keys and not judged, "" for none."""
    said = [
        f"{entry['n']:,} {'or more ' if entry['capped'] else ''}{_MORE[verdict]}"
        for verdict, entry in answer["more"].items()
    ]
    return f"not judged in full: {'; '.join(said)}" if said else ""


def came_from(candidate: Mapping[str, Any]) -> str:
    """Return the donor of a candidate, "" where it came from none."""
    origin = str(candidate["origin"])
    return "" if origin in ("shelf", "in the hand", "offered") else origin
