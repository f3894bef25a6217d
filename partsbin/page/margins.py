"""A margin drawn: what is needed against what is offered, on one bar, with its words for those who do not see it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from partsbin.words import percent

WIDTH = 240.0
"""Width of the drawing [-]."""


@dataclass(frozen=True)
class Bar:
    """One check as it is drawn.

    Parameters
    ----------
    title, reason, verdict : str
        The check's words.
    fill : float or None
        Length of the stress along the rating's bar; None where the check has no margin to draw [-].
    share : str
        The margin in words, "" without one.
    """

    title: str
    reason: str
    verdict: str
    fill: float | None
    share: str


def bars(candidate: Mapping[str, Any]) -> list[Bar]:
    """Return the checks that decide: all that are not plain, then those with figures, the thinnest margin first.

    Parameters
    ----------
    candidate : mapping
        A candidate of schemas/answer.json.
    """
    decisive = [
        check
        for check in candidate["checks"]
        if check["verdict"] != "pass" or isinstance(check["offered"], (int, float, dict))
    ]
    decisive.sort(
        key=lambda check: (_FIRST.index(check["verdict"]), 1.0 if check["margin"] is None else check["margin"])
    )
    return [_bar(check) for check in decisive]


_FIRST = ("fail", "unknown", "thin", "pass")


def _bar(check: Mapping[str, Any]) -> Bar:
    margin = check["margin"]
    if margin is None:
        return Bar(check["title"], check["reason"], check["verdict"], None, "")
    stress = min(1.0, max(0.0, 1.0 - margin))
    return Bar(check["title"], check["reason"], check["verdict"], round(stress * WIDTH, 1), spare(margin))


def spare(margin: float) -> str:
    """Return a margin in words.

    Examples
    --------
    >>> spare(0.39), spare(-0.038)
    ('39 % to spare', '3.8 % too little')
    """
    return f"{percent(margin)} to spare" if margin >= 0 else f"{percent(-margin)} too little"
