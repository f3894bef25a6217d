"""Plots of the page: drawn where there is something to draw, told in words, with the figures that they show beside them."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ElementTree
from itertools import pairwise
from typing import Any

import pytest

from partsbin.page.plots import Plot, candidates, donor_yield, drift, rail, track_law
from partsbin.page.plots.drawing import BOTTOM, TOP, steps, upright
from partsbin.page.plots.stress import HEIGHT

HOSTILE = "<script>alert(1)</script>"


def check(offered: float, needed: float, **more: Any) -> dict[str, Any]:
    """Return a check of volts with its margin."""
    return {
        "check": "CAP02", "title": "off-load peak", "verdict": "pass", "offered": offered, "needed": needed, "unit": "V",
        "margin": (offered - needed) / offered, "reason": f"off load {needed:g} V of {offered:g} V", **more,
    }  # fmt: skip


def candidate(part: str, *checks: dict[str, Any], make_up: Any = ()) -> dict[str, Any]:
    """Return a candidate of an answer."""
    return {"part": part, "verdict": "fits", "checks": list(checks), "make_up": list(make_up)}


def answer(*shown: dict[str, Any], cold: float = 400.0, hot: float = 260.0) -> dict[str, Any]:
    """Return what the plots read of an answer."""
    fields = {
        name: {"value": value, "unit": "V", "from": HOSTILE}
        for name, value in (("off_load_peak", cold), ("running_peak", hot))
    }
    return {"need": {"fields": fields}, "candidates": list(shown), "near_misses": []}


def reading(value: float, day: str, *, valid: bool = True, quantity: str = "capacitance") -> dict[str, Any]:
    """Return a reading as it is kept."""
    return {
        "quantity": quantity, "value": value, "uncertainty": value * 0.02, "unit": "F", "at": f"{day}T12:00:00+00:00",
        "by": HOSTILE, "valid": valid,
    }  # fmt: skip


GAVE = {
    "donor": "D-007",
    "left": 5,
    "used": 3,
    "bad": 2,
    "families": {HOSTILE: {"parts": 3, "left": 4}, "valve": {"parts": 1, "left": 1}},
}
PLOTS = {
    "candidates": candidates(answer(candidate(HOSTILE, check(500, 400)))),
    "rail": rail(answer(candidate(HOSTILE, check(500, 400)))),
    "track law": track_law("log", 0.15, 0.01),
    "drift": drift("capacitance", [reading(1e-6, "2025-01-01"), reading(1.1e-6, "2026-01-01")], 1e-6, 0.2),
    "donor": donor_yield(GAVE),
}


@pytest.mark.parametrize("name", PLOTS)
def test_a_plot_is_told_in_words_and_in_figures(name: str) -> None:
    """A title, a description, a label, and a row of the table at least."""
    plot = PLOTS[name]
    assert isinstance(plot, Plot)
    drawn = ElementTree.fromstring(plot.svg)
    assert all(
        (drawn.attrib["role"] == "img", drawn.attrib["aria-label"], drawn.findtext("title"), drawn.findtext("desc"))
    )
    assert plot.rows
    assert {len(row) for row in plot.rows} == {len(plot.head)}


@pytest.mark.parametrize("name", PLOTS)
def test_a_plot_brings_neither_colours_nor_scripts(name: str) -> None:
    """Classes of the style sheet alone; somebody's words stay words."""
    plot = PLOTS[name]
    assert isinstance(plot, Plot)
    assert not re.search(r"<script|style=|fill=|stroke=|href|url\(", plot.svg)


@pytest.mark.parametrize("name", PLOTS)
def test_what_is_drawn_lies_in_the_drawing(name: str) -> None:
    """No point outside of what is shown, or it would be cut off."""
    plot = PLOTS[name]
    assert isinstance(plot, Plot)
    drawn = ElementTree.fromstring(plot.svg)
    width, height = (float(part) for part in drawn.attrib["viewBox"].split()[2:])
    spots = [pair.split(",") for each in drawn.iter() for pair in each.attrib.get("points", "").split()]
    spots += [(each.attrib["x"], each.attrib["y"]) for each in drawn.iter() if "x" in each.attrib]
    assert all(0 <= float(x) <= width and 0 <= float(y) <= height for x, y in spots)


def test_a_part_beyond_what_it_bears_is_drawn_beyond_the_line() -> None:
    """And told by its number."""
    plot = candidates(answer(candidate("P-0001", check(500, 400)), candidate("P-0002", check(350, 400))))
    assert plot is not None
    assert (plot.svg.count('class="over"'), plot.told) == (1, "beyond what it bears: P-0002")


def test_a_candidate_shows_its_thinnest_margin() -> None:
    """Of two checks the one that decides."""
    plot = candidates(answer(candidate("P-0001", check(500, 400), check(500, 475, title="running peak"))))
    assert plot is not None
    assert plot.rows == (("P-0001", "running peak", "off load 475 V of 500 V", "5 % to spare"),)


def test_parts_joined_are_called_by_all_their_numbers() -> None:
    """A make-up has no number of its own."""
    joined = [{"part": "P-0001", "pieces": 2}, {"part": "P-0002", "pieces": 1}]
    plot = candidates(answer(candidate("", check(500, 400), make_up=joined)))
    assert plot is not None
    assert plot.rows[0][0] == "2 × P-0001 + P-0002"


def test_an_answer_without_figures_has_no_plot() -> None:
    """Nothing is drawn for drawing's sake."""
    assert candidates(answer(candidate("P-0001", check(500, 400, margin=None)))) is None
    assert rail({"need": {"fields": {}}, "candidates": [], "near_misses": []}) is None


def test_the_rail_names_what_the_parts_are_rated() -> None:
    """Its two levels are the need's own; each rating is a line with its part."""
    plot = rail(answer(candidate("P-0001", check(500, 400)), candidate("P-0002", check(450, 400))))
    assert plot is not None
    assert [row[:2] for row in plot.rows] == [
        ("cold start, off load", "400 V"), ("running, mains high", "260 V"), ("rated", "450 V"), ("rated", "500 V"),
    ]  # fmt: skip


def test_ratings_that_lie_close_keep_their_names_apart() -> None:
    """A line of words each."""
    plot = rail(answer(*(candidate(f"P-000{at}", check(400.0 + at, 400)) for at in range(1, 5))))
    assert plot is not None
    heights = sorted(float(y) for y in re.findall(r'y="([\d.]+)" text-anchor="end">40\d V P', plot.svg))
    assert min(b - a for a, b in pairwise(heights)) >= 15


def test_the_axis_shows_what_lies_between_its_ends() -> None:
    """The lowest at the foot, the highest at the top."""
    y = upright(0.0, 500.0, HEIGHT)
    assert (y(0.0), y(500.0)) == (HEIGHT - BOTTOM, TOP)


@pytest.mark.parametrize("highest", [0.003, 0.7, 1.0, 5.0, 99.0, 467.0, 12_000.0])
def test_ticks_are_few_and_round(highest: float) -> None:
    """Two at least, six at most, none beyond the highest."""
    ticks = steps(highest)
    assert 2 <= len(ticks) <= 6
    assert ticks[-1] <= highest * (1 + 1e-9)


def test_a_track_that_keeps_its_law_says_so() -> None:
    """15 % at half rotation is logarithmic; 30 % is not the law that was claimed."""
    kept, lost = track_law("log", 0.15, 0.01), track_law("log", 0.30, 0.01)
    assert kept is not None
    assert lost is not None
    assert (kept.rows[1][1], lost.rows[1][1]) == ("15 % ±1 %: log", "30 % ±1 %: old-log")


def test_a_reading_across_two_laws_is_not_said_to_be_one() -> None:
    """Its uncertainty decides."""
    plot = track_law("log", 0.20, 0.02)
    assert plot is not None
    assert plot.rows[1][1].endswith("no law for sure")


def test_a_track_of_which_nothing_is_known_has_no_plot() -> None:
    """Neither claimed nor measured."""
    assert track_law("") is None


def test_a_single_reading_has_not_drifted() -> None:
    """Nor has one whose fellow was taken back."""
    assert drift("capacitance", [reading(1e-6, "2025-01-01"), reading(2e-6, "2026-01-01", valid=False)]) is None


def test_readings_of_another_quantity_stay_out() -> None:
    """Each is drawn by itself."""
    mixed = [
        reading(1e-6, "2025-01-01"),
        reading(1.2e-6, "2026-01-01"),
        reading(5e-6, "2026-02-01", quantity="leakage"),
    ]
    plot = drift("capacitance", mixed)
    assert plot is not None
    assert (len(plot.rows), plot.told) == (2, "1 µF on 2025-01-01, 1.2 µF on 2026-01-01")


def test_a_donor_that_gave_nothing_has_no_plot() -> None:
    """Nothing left, used or bad."""
    assert donor_yield({**GAVE, "left": 0, "used": 0, "bad": 0}) is None
