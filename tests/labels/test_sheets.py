"""Pages of labels: every code is read again, every length is measured, in the document and in what a printer makes of it."""

from __future__ import annotations

from datetime import datetime

import numpy as np
import pytest
from numpy.typing import NDArray

from partsbin.errors import UsageError
from partsbin.labels.codes import code_of_place
from partsbin.labels.layout import GRIDS, Layout, roll, sheet
from partsbin.labels.sheets import Label, Placed, arrange, pdf
from tests.labels.pictures import DPI, Box, decoded, drawn, ink, opened, photographed, rendered, size

WITHIN = 0.1
"""What a length on paper may be off [mm]."""

ROLLS = {f"{wide}x{high}": roll(wide, high) for wide, high in ((57, 32), (62, 29), (40, 30), (25, 25), (40, 12))}
LAYOUTS = GRIDS | ROLLS | {"of our own": sheet(60, 30, 3, 8, margin=(8, 20), gap=(5.5, 2.25))}

HOSTILE = {
    "long": "mains transformer 230 V " * 400,
    "one word": "x" * 10_000,
    "control characters": "22n\x00\x01\x1b[31m\x7f 400V",
    "lines": "22n\n400V\r\n\t\u2028end",
    "turned": "\u202e22n\u2066 400V\u2069",
    "right to left": "מגירה 12 שמאל",
    "Arabic": "درج ١٢",
    "no glyph": "漢字 22n \U000e0041\uf8ff",
    "emoji": "🔧 22n 🔥",
    "combining": "e\u0301" * 50,
    "PDF": ") Tj ET Q (P-9999 \\( <</JS>> endstream endobj",
    "half a pair": "22n \ud800 400V",
    "blanks": " " * 50,
    "nothing": "",
}


def labels(count: int) -> list[Label]:
    """Return labels of parts and places in turn."""
    parts = (Label(f"P-{at:04d}", "22 nF ±5 % 630 V film", (f"P-{at:04d}", "drawer C2")) for at in range(count))
    return [Label(code_of_place(f"drawer {at}"), f"drawer {at}") if at % 2 else part for at, part in enumerate(parts)]


def codes(made: list[Label]) -> list[str]:
    """Return what a scanner should read, sorted."""
    return sorted(label.code for label in made)


@pytest.mark.parametrize("name", LAYOUTS)
def test_every_code_is_read_at_the_dots_of_a_cheap_printer(name: str, noon: datetime) -> None:
    """A whole page of them."""
    made = labels(LAYOUTS[name].per_page)
    (page,) = rendered(pdf(made, LAYOUTS[name], made=noon, dpi=DPI))
    assert decoded(page) == codes(made)


@pytest.mark.parametrize("name", LAYOUTS)
def test_every_code_is_read_in_a_tilted_and_blurred_picture(name: str, noon: datetime) -> None:
    """Turned by 15°, the far side at 85 % of the near one, out of focus by a dot of the printer; the printer's dots not known."""
    made = labels(LAYOUTS[name].per_page)
    (page,) = rendered(pdf(made, LAYOUTS[name], made=noon))
    assert decoded(photographed(page)) == codes(made)


def test_out_of_focus_altogether_nothing_is_read(noon: datetime) -> None:
    """The picture does spoil codes: what the test above reads is not given away."""
    (page,) = rendered(pdf(labels(24), GRIDS["70x37"], made=noon))
    assert decoded(photographed(page, blur=8)) == []


@pytest.mark.parametrize(
    "name", ["22 nF", "Fächer", "Fächer Ω", "מגירה שמאל", "抽屉", "n" * 200, 'a "b" \\ %s', "with\nlines"]
)
def test_a_place_of_any_name_is_read_again(name: str, noon: datetime) -> None:
    """Sign by sign, from paper and from a picture of it."""
    (page,) = rendered(pdf([Label(code_of_place(name), name)], roll(57, 32), made=noon, dpi=DPI))
    assert decoded(page) == [code_of_place(name)]
    assert decoded(photographed(page)) == [code_of_place(name)]


@pytest.mark.parametrize("title", HOSTILE.values(), ids=HOSTILE)
@pytest.mark.parametrize("layout", [GRIDS["70x37"], GRIDS["38.1x21.2"], roll(25, 25)], ids=lambda layout: layout.name)
def test_whatever_a_title_holds_stays_in_its_label(title: str, layout: Layout, noon: datetime) -> None:
    """No ink outside the labels or where nothing is to be printed, and the codes are read."""
    made = [Label("P-0042", title, ("P-0042", title))] * min(2, layout.per_page)
    (page,) = rendered(pdf(made, layout, made=noon))
    assert decoded(page) == codes(made)
    dark = ink(page)
    for entry in arrange(made, layout):
        dark[dots(inside(entry, layout))] = False
    assert not dark.any()


def inside(entry: Placed, layout: Layout) -> Box:
    """Return where a label may be printed on."""
    beside, above = layout.edge
    return Box(entry.x + beside, entry.y + above, entry.x + layout.width - beside, entry.y + layout.height - above)


def dots(box: Box, dpi: float = DPI) -> tuple[slice, slice]:
    """Return the dots of a box, those that it only touches included."""
    scale = dpi / 25.4
    low = (int(box.top * scale), int(box.left * scale))
    return slice(low[0], int(box.bottom * scale) + 1), slice(low[1], int(box.right * scale) + 1)


# ---- lengths


@pytest.mark.parametrize("name", LAYOUTS)
def test_pages_and_labels_have_their_size_and_place_in_the_document(name: str, noon: datetime) -> None:
    """In its own units, every edge of every label of two pages."""
    layout = LAYOUTS[name]
    made = labels(layout.per_page + 1)
    with opened(pdf(made, layout, made=noon, outline=True)) as pages:
        assert [size(page) for page in pages] == [pytest.approx(layout.page, abs=WITHIN)] * 2
        found = [[box for box in drawn(page) if box.right - box.left > layout.width - 1] for page in pages]
    wanted = [corners(row, column, layout) for row in range(layout.down) for column in range(layout.across)]
    assert [len(page) for page in found] == [layout.per_page, 1]
    for boxes in found:
        for box, want in zip(boxes, wanted, strict=False):
            assert box == pytest.approx(want, abs=WITHIN)


def corners(row: int, column: int, layout: Layout) -> Box:
    """Return where a label lies by the sums that a ruler gives: not by the code under test."""
    left = layout.left + column * layout.width + column * layout.gap[0]
    top = layout.top + row * layout.height + row * layout.gap[1]
    return Box(left, top, left + layout.width, top + layout.height)


def test_the_edges_of_labels_are_there_on_paper(noon: datetime) -> None:
    """Measured in the dots of a fine printer, along the middle of a label."""
    layout, fine = GRIDS["63.5x38.1"], 1200
    (page,) = rendered(pdf([Label("P-0042", "")] * 21, layout, made=noon, outline=True), fine)
    dark = ink(page)
    scale = 25.4 / fine
    row = round((layout.top + 2.0) / scale)  # above all codes
    column = round((layout.left + 1.0) / scale)
    edges = [7.25, 70.75, 73.25, 136.75, 139.25, 202.75]
    assert middles(dark[row], scale) == pytest.approx(edges, abs=WITHIN)
    assert middles(dark[:, column], scale) == pytest.approx([15.15 + 38.1 * at for at in range(8)], abs=WITHIN)


def middles(line: NDArray[np.bool_], scale: float) -> list[float]:
    """Return the middles of the dark runs along a line of dots [mm]."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], line.astype(np.int8), [0]))))
    return [float(start + end) / 2 * scale for start, end in edges.reshape(-1, 2)]


@pytest.mark.parametrize("name", ["70x37", "38.1x21.2", "57x32", "25x25"])
def test_a_code_has_its_size_and_its_clear_margin_on_paper(name: str, noon: datetime) -> None:
    """Four modules without ink all round, the first dark one where it should be."""
    layout = LAYOUTS[name]
    made = [Label("P-0042", "22 nF ±5 % 630 V film-polypropylene", ("P-0042", "drawer C2"))]
    (entry,) = arrange(made, layout, dpi=DPI)
    (page,) = rendered(pdf(made, layout, made=noon, dpi=DPI), 1016)
    side, quiet = entry.symbol.side, entry.symbol.quiet
    assert quiet == pytest.approx(4 * side / 21)
    whole = Box(entry.code_x, entry.code_y, entry.code_x + side, entry.code_y + side)
    around = Box(whole.left - quiet, whole.top - quiet, whole.right + quiet, whole.bottom + quiet)
    assert around.left >= entry.x - 1e-9
    assert around.top >= entry.y - 1e-9
    assert around.bottom <= entry.y + layout.height + 1e-9
    seen = ink(page)[dots(around, 1016)]
    down, across = (np.flatnonzero(seen.any(axis=axis)) * 25.4 / 1016 for axis in (1, 0))
    for found in (down, across):
        assert (found[0], found[-1]) == pytest.approx((quiet, quiet + side), abs=WITHIN)


def test_a_code_lies_on_whole_dots_of_the_printer(noon: datetime) -> None:
    """Of a label of 406 × 203 of them, next to no dot is grey; where they are not known, many are."""
    layout = roll(50.8, 25.4)
    greys = {}
    for dpi in (DPI, None):
        (page,) = rendered(pdf([Label("P-0042", "")], layout, made=noon, dpi=dpi))
        shades = np.asarray(page)
        greys[dpi] = int(((shades > 8) & (shades < 247)).sum())
    assert greys[DPI] == 0
    assert greys[None] > 100


def test_there_are_no_hairlines_between_the_rows_of_a_code(noon: datetime) -> None:
    """Where the printer's dots are not known, the three dark squares in its corners are dark throughout."""
    (entry,) = arrange([Label("P-0042", "")], GRIDS["70x37"])
    (page,) = rendered(pdf([Label("P-0042", "")], GRIDS["70x37"], made=noon), 300)
    scale, module = 300 / 25.4, entry.symbol.module
    left, top = ((at + 2 * module) * scale for at in (entry.code_x, entry.code_y))
    square = np.asarray(page)[
        int(top) + 2 : int(top + 3 * module * scale) - 1, int(left) + 2 : int(left + 3 * module * scale) - 1
    ]
    assert square.size > 400
    assert square.max() == 0


# ---- sheets that were begun, words, refusals


def test_labels_that_are_used_up_stay_free(noon: datetime) -> None:
    """The sixth label of the sheet is the first printed on; what is over goes onto a second sheet."""
    layout = GRIDS["70x37"]
    placed = arrange(labels(20), layout, skip=5)
    assert (placed[0].row, placed[0].column) == (1, 2)
    assert (placed[-1].page, placed[-1].row, placed[-1].column) == (1, 0, 0)
    first, second = rendered(pdf(labels(20), layout, made=noon, skip=5))
    assert decoded(first) == codes(labels(20)[:19])
    assert decoded(second) == codes(labels(20)[19:])
    high = int(37.5 / 25.4 * DPI)
    assert not ink(first)[:high].any()


@pytest.mark.parametrize("skip", [-1, 24, 10**9])
def test_more_than_a_sheet_cannot_be_used_up(skip: int) -> None:
    """Nor less than nothing."""
    with pytest.raises(UsageError, match=f"{skip} labels used up of 24 on a page"):
        arrange(labels(1), GRIDS["70x37"], skip=skip)


@pytest.mark.parametrize("dpi", [0, -203, 50, 10_000])
def test_a_printer_has_so_many_dots(dpi: int) -> None:
    """Between those of an old fax and those of a film setter."""
    with pytest.raises(UsageError, match=f"{dpi} dots per inch"):
        arrange(labels(1), GRIDS["70x37"], dpi=dpi)


def test_the_signs_of_the_trade_are_words_in_the_document(noon: datetime) -> None:
    """They can be looked for in a viewer, hence each has its own glyph."""
    said = "4.7 kΩ ±10 % 100 µF → ≥ × °C “é”"
    with opened(pdf([Label("P-0042", said)], roll(100, 50), made=noon)) as pages:
        assert " ".join(pages[0].get_textpage().get_text_range().split()) == said


def test_signs_without_a_glyph_are_told() -> None:
    """What is printed in their place is no secret."""
    (entry,) = arrange([Label("P-0042", "漢 22n", ("字",))], GRIDS["70x37"])
    assert entry.notes == ("the typeface lacks 漢字",)
    assert [row.text for row in entry.rows] == ["□ 22n", "□"]


def test_what_was_shortened_is_told() -> None:
    """So that a person can give a shorter title."""
    (entry,) = arrange([Label("P-0042", "x" * 500)], GRIDS["70x37"])
    assert entry.notes == ("shortened",)


def test_a_row_from_right_to_left_is_printed_as_it_is_seen() -> None:
    """The first letter stands at the right; figures keep their own order."""
    (entry,) = arrange([Label("P-0042", "אבג 12")], GRIDS["70x37"])
    assert [row.text for row in entry.rows] == ["12 גבא"]


def test_the_same_labels_give_the_same_document(noon: datetime) -> None:
    """Byte for byte."""
    assert pdf(labels(30), GRIDS["70x37"], made=noon) == pdf(labels(30), GRIDS["70x37"], made=noon)


def test_the_document_asks_to_be_printed_at_its_own_size(noon: datetime) -> None:
    """A viewer that fits pages to the paper would spoil every millimetre."""
    assert b"/PrintScaling /None" in pdf(labels(1), GRIDS["70x37"], made=noon)
