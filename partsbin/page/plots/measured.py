"""What was measured on a part: the law of a track against the one claimed, and how readings moved over time."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from partsbin.circuit.potentiometers import two_piece_taper
from partsbin.page.plots.drawing import (
    BOTTOM,
    LEFT,
    RIGHT,
    WIDTH,
    Plot,
    along,
    area,
    axes,
    box,
    line,
    mark,
    upright,
    words,
)
from partsbin.rules import load_rules
from partsbin.words import listed, percent, say

HEIGHT = 260.0


def track_law(claimed: str, mid: float | None = None, uncertainty: float = 0.0) -> Plot | None:
    """Return a track's law: the band that its mark claims at half rotation, and what was measured there.

    Parameters
    ----------
    claimed : str
        The law that is marked: linear, log, antilog; "" if none.
    mid : float, optional
        Track below the wiper at half rotation, measured, over the whole [-]
    uncertainty : float
        Of that reading [-]

    Returns
    -------
    Plot or None
        None if nothing is claimed and nothing measured.
    """
    bands = {law: tuple(row.value) for law, row in load_rules("potentiometer").sections["mid"].items()}
    band = bands.get(claimed)
    if band is None and mid is None:
        return None
    x, y = along(0.0, 1.0), upright(0.0, 1.0, HEIGHT)
    drawn = axes(HEIGHT, y, [(part, percent(part)) for part in (0.0, 0.25, 0.5, 0.75, 1.0)])
    drawn += [words(x(part), HEIGHT - BOTTOM + 18, said, anchor=where) for part, said, where in _TURNS]
    drawn.append(words((LEFT + WIDTH) / 2, HEIGHT - 4, "rotation", anchor="middle"))
    rows: list[tuple[str, ...]] = []
    if band is not None:
        low, high = band
        there = [(x(turn), y(float(two_piece_taper(turn, low)))) for turn in (0.0, 0.5, 1.0)]
        back = [(x(turn), y(float(two_piece_taper(turn, high)))) for turn in (1.0, 0.5, 0.0)]
        drawn.append(f'<polygon class="band" points="{" ".join(f"{a:.1f},{b:.1f}" for a, b in (*there, *back))}"/>')
        rows.append((f"claimed, {claimed}", f"{percent(low)} to {percent(high)}"))
    held = [
        law
        for law, (low, high) in bands.items()
        if mid is not None and low <= mid - uncertainty and mid + uncertainty <= high
    ]
    if mid is not None:
        drawn.append(line([(x(turn), y(float(two_piece_taper(turn, mid)))) for turn in (0.0, 0.5, 1.0)], "trace"))
        drawn.append(line([(x(0.5), y(mid - uncertainty)), (x(0.5), y(mid + uncertainty))], "spread"))
        drawn.append(mark(x(0.5), y(mid)))
        rows.append(("measured", f"{percent(mid)} ±{percent(uncertainty)}: {listed(held) or 'no law for sure'}"))
    told = "; ".join(f"{name} {said}" for name, said in rows) + " of the track at half rotation"
    title = "law of the track"
    return Plot(
        title, told, area(title, told, HEIGHT, drawn), ("at half rotation", "track below the wiper"), tuple(rows)
    )


_TURNS = ((0.0, "0", "start"), (0.5, "half", "middle"), (1.0, "full", "end"))


def drift(
    quantity: str, readings: Sequence[Mapping[str, Any]], mark_at: float | None = None, tolerance: float = 0.0
) -> Plot | None:
    """Return how the readings of one quantity moved over time, each with its uncertainty, beside what is marked.

    Parameters
    ----------
    quantity : str
        Which; with the number of a section as it is written down, ``capacitance@2``.
    readings : sequence of mapping
        Those of the part, as `partsbin.stock.history.readings_of_part` gives them; those taken back are left out.
    mark_at : float, optional
        What is marked, in the readings' unit.
    tolerance : float
        Of the mark, as a fraction [-]

    Returns
    -------
    Plot or None
        None with fewer than two readings: one has moved nowhere.
    """
    own = [reading for reading in readings if reading["quantity"] == quantity and reading["valid"]]
    if len(own) < 2:
        return None
    unit, times = str(own[0]["unit"]), [datetime.fromisoformat(str(reading["at"])).timestamp() for reading in own]
    ends = [reading["value"] + way * reading["uncertainty"] for reading in own for way in (-1, 1)]
    if mark_at is not None:
        ends += [mark_at * (1 - tolerance), mark_at * (1 + tolerance)]
    low, high = min(ends), max(ends)
    room = (high - low) * 0.1 or abs(high) * 0.1 or 1.0
    x, y = along(min(times), max(times)), upright(low - room, high + room, HEIGHT)
    drawn = axes(HEIGHT, y, [(value, say(value, unit)) for value in (low, (low + high) / 2, high)])
    if mark_at is not None:
        top, under = y(mark_at * (1 + tolerance)), y(mark_at * (1 - tolerance))
        drawn.append(box(LEFT, top, WIDTH - LEFT - RIGHT, under - top, "band"))
        drawn.append(line([(LEFT, y(mark_at)), (WIDTH - RIGHT, y(mark_at))], "limit"))
        drawn.append(words(WIDTH - RIGHT, y(mark_at) - 5, "as marked", anchor="end"))
    spots = [(x(at), y(float(reading["value"]))) for at, reading in zip(times, own, strict=True)]
    drawn.append(line(spots, "trace"))
    for (across, down), reading in zip(spots, own, strict=True):
        reach = abs(y(float(reading["value"]) + reading["uncertainty"]) - down)
        drawn += [line([(across, down - reach), (across, down + reach)], "spread"), mark(across, down)]
    days = [str(reading["at"])[:10] for reading in own]
    if days[0] == days[-1]:  # read again on the same day: the hour tells them apart
        days = [str(reading["at"])[:16].replace("T", " ") for reading in own]
    first_at, last_at = days[0], days[-1]
    drawn.append(words(LEFT, HEIGHT - BOTTOM + 18, first_at))
    drawn.append(words(WIDTH - RIGHT, HEIGHT - BOTTOM + 18, last_at, anchor="end"))
    first, last = own[0], own[-1]
    told = f"{say(first['value'], unit)} on {first_at}, {say(last['value'], unit)} on {last_at}"
    title = f"{quantity} over time"
    rows = tuple(
        (
            str(reading["at"])[:10],
            say(reading["value"], unit),
            f"±{say(reading['uncertainty'], unit)}",
            str(reading["by"]),
        )
        for reading in own
    )
    return Plot(title, told, area(title, told, HEIGHT, drawn), ("day", "read", "uncertainty", "by"), rows)
