"""Grids and rolls: where labels lie, and what is refused."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from partsbin.errors import UsageError
from partsbin.labels.layout import A4, EDGE, GRIDS, SMALLEST, UNPRINTED, Layout, roll, sheet
from tests.expected import by_hand


def test_a_grid_is_named_by_its_own_dimensions() -> None:
    """How many, and how large."""
    assert GRIDS["70x37"].name == "24 a sheet, 70 × 37 mm"
    assert GRIDS["38.1x21.2"].name == "65 a sheet, 38.1 × 21.2 mm"
    assert roll(57, 32).name == "roll, 57 × 32 mm"


def test_the_last_label_of_a_sheet_lies_where_the_sum_says() -> None:
    """With margins and gaps."""
    grid = GRIDS["63.5x38.1"]
    left = by_hand(
        (210 - (3 * 63.5 + 2 * 2.5)) / 2 + 2 * (63.5 + 2.5), "even margins, two labels and gaps", of=Layout.corner
    )
    top = by_hand((297 - 7 * 38.1) / 2 + 6 * 38.1, "even margins, six labels", of=Layout.corner)
    assert grid.cell(20) == (0, 6, 2)
    assert grid.corner(6, 2) == (left, top)


def test_labels_follow_row_by_row_and_page_by_page() -> None:
    """The twenty-fifth of 24 a sheet is the first of the second sheet."""
    grid = GRIDS["70x37"]
    assert [grid.cell(at) for at in (0, 2, 3, 23, 24)] == [(0, 0, 0), (0, 0, 2), (0, 1, 0), (0, 7, 2), (1, 0, 0)]


def test_what_a_printer_leaves_blank_stays_clear() -> None:
    """Labels that reach the edge of the sheet keep clear of it, all of them alike; on a roll paper only shifts."""
    assert GRIDS["70x37"].edge == (UNPRINTED, UNPRINTED - 0.5)
    assert GRIDS["63.5x38.1"].edge == (EDGE, EDGE)
    assert roll(57, 32).edge == (EDGE, EDGE)


sides = st.floats(1, 400)
lengths = st.floats(0, 50)


@settings(deadline=None)
@given(
    sides,
    sides,
    st.integers(0, 40),
    st.integers(0, 40),
    st.none() | st.tuples(lengths, lengths),
    st.tuples(lengths, lengths),
)
def test_every_label_of_a_grid_lies_on_the_sheet_and_off_its_neighbours(
    width: float,
    height: float,
    across: int,
    down: int,
    margin: tuple[float, float] | None,
    gap: tuple[float, float],
) -> None:
    """Or the grid is refused."""
    try:
        grid = sheet(width, height, across, down, margin=margin, gap=gap)
    except UsageError:
        return
    corners = [grid.corner(*grid.cell(at)[1:]) for at in range(grid.per_page)]
    assert min(x for x, _ in corners) >= 0
    assert min(y for _, y in corners) >= 0
    assert max(x for x, _ in corners) + width <= A4[0] + 1e-5
    assert max(y for _, y in corners) + height <= A4[1] + 1e-5
    columns, rows = sorted({x for x, _ in corners}), sorted({y for _, y in corners})
    assert (len(columns), len(rows)) == (across, down)
    for found, side in ((columns, width), (rows, height)):
        assert all(after - before >= side - 1e-9 for before, after in pairwise(found))


@pytest.mark.parametrize(
    ("given_", "said"),
    [
        ((70, 37, 3, 9), r"3 × 9 labels of 70 × 37 mm are 210 × 333 mm and do not lie on a sheet of 210 × 297 mm"),
        ((9, 37, 3, 8), "a label of 9 × 37 mm"),
        ((float("nan"), 37, 3, 8), "a label of nan × 37 mm"),
        ((70, 37, 0, 8), "0 across and 8 down"),
        ((70, 37, -3, 8), "-3 across and 8 down"),
    ],
)
def test_a_grid_that_cannot_be_is_refused(given_: tuple[float, float, int, int], said: str) -> None:
    """With its figures."""
    with pytest.raises(UsageError, match=said):
        sheet(*given_)


def test_a_margin_that_pushes_the_grid_off_the_sheet_is_named() -> None:
    """24 labels of 70 × 37 mm leave 1 mm of height."""
    with pytest.raises(UsageError, match=r"are 210 × 296 mm, 0 and 2 mm from the edges, and do not lie"):
        sheet(70, 37, 3, 8, margin=(0, 2))


@pytest.mark.parametrize("gap", [(-1, 0), (0, float("nan")), (float("inf"), 0)])
def test_a_gap_is_a_length(gap: tuple[float, float]) -> None:
    """Not less than nothing."""
    with pytest.raises(UsageError, match="a margin or gap below 0 mm"):
        sheet(70, 37, 2, 2, gap=gap)


def test_a_roll_is_one_label_a_page() -> None:
    """The page is the label."""
    assert (roll(57, 32).page, roll(57, 32).per_page) == ((57, 32), 1)
    with pytest.raises(UsageError, match="a label of 57 × 5 mm"):
        roll(57, SMALLEST / 2)
