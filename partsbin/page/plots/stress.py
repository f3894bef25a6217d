"""What stands on a part against what it bears: every candidate's thinnest margin, and the rail from cold start to running."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from partsbin.page.margins import spare
from partsbin.page.plots.drawing import (
    BOTTOM,
    LEFT,
    RIGHT,
    WIDTH,
    Piece,
    Plot,
    area,
    axes,
    bars,
    box,
    line,
    steps,
    upright,
    words,
)
from partsbin.words import listed, volts

HEIGHT = 280.0
LETTERS = 17.0
"""A line of words [-]."""

MOST_RATINGS = 4
"""Lines of rated volts on one drawing [-]."""


def candidates(answer: Mapping[str, Any]) -> Plot | None:
    """Return the thinnest margin of each candidate, as what stands on it over what it bears; None where none has figures.

    Parameters
    ----------
    answer : mapping
        An answer of schemas/answer.json.
    """
    shown = [
        (candidate, check)
        for candidate in (*answer["candidates"], *answer["near_misses"])
        if (check := _thinnest(candidate)) is not None
    ]
    if not shown:
        return None
    rows = []
    for candidate, check in shown:
        load = 1 - check["margin"]
        inside = Piece(min(load, 1.0) * _BEARS, "stress")
        rest = [Piece(_BEARS - inside.length, "rated")] if load <= 1 else [Piece((load - 1) * _BEARS, "over")]
        rows.append((f"{_called(candidate)} {check['title']}", spare(check["margin"]), [inside, *rest]))
    height, drawn = bars(rows)
    edge = _BEARS * WIDTH
    drawn.insert(0, line([(edge, 0), (edge, height)], "limit"))
    drawn.append(words(edge, height + 16, "what it bears", anchor="end"))
    over = [_called(candidate) for candidate, check in shown if check["margin"] < 0]
    least = min((check["margin"], _called(candidate)) for candidate, check in shown)
    told = f"thinnest: {least[1]}, {spare(least[0])}"
    if over:
        told = f"beyond what it bears: {listed(over, 'and')}"
    return Plot(
        _TITLE,
        told,
        area(_TITLE, told, height + 24, drawn),
        ("part", "check", "figures", "margin"),
        tuple(
            (_called(candidate), check["title"], check["reason"], spare(check["margin"])) for candidate, check in shown
        ),
    )


_TITLE = "what stands on each part, of what it bears"
_BEARS = 0.8  # of the width: room beyond it for what is too much


def _thinnest(candidate: Mapping[str, Any]) -> Mapping[str, Any] | None:
    with_margin = [check for check in candidate["checks"] if check["margin"] is not None]
    return min(with_margin, key=lambda check: float(check["margin"]), default=None)


def _called(candidate: Mapping[str, Any]) -> str:
    """Return the part's number, of several joined all of them."""
    return str(candidate["part"]) or " + ".join(
        f"{each['pieces']} × {each['part']}" if each["pieces"] > 1 else each["part"] for each in candidate["make_up"]
    )


def rail(answer: Mapping[str, Any]) -> Plot | None:
    """Return the volts at the position from cold start to running, with the rated volts of the candidates.

    The two levels are those that the parts are judged by. None where the answer does not know both.

    Parameters
    ----------
    answer : mapping
        An answer of schemas/answer.json.
    """
    fields = answer["need"]["fields"]
    if not {"off_load_peak", "running_peak"} <= fields.keys():
        return None
    cold, hot = (float(fields[name]["value"]) for name in ("off_load_peak", "running_peak"))
    ratings = _ratings(answer, cold)
    y = upright(0.0, 1.08 * max(cold, hot, *ratings), HEIGHT)
    warm = LEFT + (WIDTH - LEFT - RIGHT) * 0.5
    drawn = axes(HEIGHT, y, [(value, f"{value:g} V") for value in steps(max(cold, hot, *ratings))])
    drawn.append(box(LEFT, y(cold), warm - LEFT, y(0) - y(cold), "band"))
    drawn.append(
        line(
            [(LEFT, y(0)), (LEFT + 8, y(cold)), (warm, y(cold)), (warm + 34, y(hot)), (WIDTH - RIGHT, y(hot))], "trace"
        )
    )
    drawn += [
        words(LEFT, HEIGHT - BOTTOM + 17, "cold: no valve draws yet"),
        words(WIDTH - RIGHT, HEIGHT - BOTTOM + 36, "running, mains high", anchor="end"),
    ]
    free = 0.0
    for rating, parts in reversed(ratings.items()):  # from above: a name keeps clear of the one above it
        drawn.append(line([(LEFT, y(rating)), (WIDTH - RIGHT, y(rating))], "limit"))
        free = max(free + LETTERS, y(rating) - 4)
        said = f"{volts(rating)} {parts[0]}{' …' if parts[1:] else ''}"
        drawn.append(words(WIDTH - RIGHT, free, said, anchor="end"))
    drawn += [
        words(LEFT + 14, y(cold) + LETTERS + 3, volts(cold)),
        words(WIDTH - RIGHT, max(free + LETTERS, y(hot) + LETTERS + 3), volts(hot), anchor="end"),
    ]
    title = "volts at the position, from cold start to running"
    told = f"{volts(cold)} until the valves draw, then {volts(hot)}; not to scale in time"
    rows = [
        ("cold start, off load", volts(cold), str(fields["off_load_peak"]["from"])),
        ("running, mains high", volts(hot), str(fields["running_peak"]["from"])),
        *(("rated", volts(rating), ", ".join(parts)) for rating, parts in ratings.items()),
    ]
    return Plot(title, told, area(title, told, HEIGHT, drawn), ("when", "volts", "from"), tuple(rows))


def _ratings(answer: Mapping[str, Any], cold: float) -> dict[float, list[str]]:
    """Return rated volts that the off-load peak is held against, each with its parts, the nearest to the peak first."""
    found: dict[float, list[str]] = {}
    shown: Sequence[Mapping[str, Any]] = (*answer["candidates"], *answer["near_misses"])
    for candidate in shown:
        for check in candidate["checks"]:
            if check["unit"] == "V" and check["needed"] == cold and isinstance(check["offered"], (int, float)):
                found.setdefault(float(check["offered"]), []).append(_called(candidate))
    nearest = sorted(found, key=lambda rating: abs(rating - cold))[:MOST_RATINGS]
    return {rating: list(dict.fromkeys(found[rating])) for rating in sorted(nearest)}
