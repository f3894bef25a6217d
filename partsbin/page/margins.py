"""A margin drawn: what is needed against what is offered, on one bar, with its words for those who do not see it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

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
    """Return the checks that decide: all that are not plain, then those with figures.

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
    decisive.sort(key=lambda check: ("fail", "unknown", "thin", "pass").index(check["verdict"]))
    return [_bar(check) for check in decisive]


def _bar(check: Mapping[str, Any]) -> Bar:
    margin = check["margin"]
    if margin is None:
        return Bar(check["title"], check["reason"], check["verdict"], None, "")
    stress = min(1.0, max(0.0, 1.0 - margin))
    percent = round(100 * margin)
    share = f"{percent} % to spare" if percent >= 0 else f"{-percent} % too little"
    return Bar(check["title"], check["reason"], check["verdict"], round(stress * WIDTH, 1), share)
