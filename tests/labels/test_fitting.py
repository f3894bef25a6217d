"""Words into the room beside a code."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given, settings
from hypothesis import strategies as st

from partsbin.labels.fitting import ASCENT, CUT, LEADING, SIZES, fit, middle, wrap
from partsbin.paper import POINT, face, printable

LONG = "mains transformer 230 V: 250-0-250 V 80 mA, 6.3 V 3 A, 5 V 2 A, with a screen between the windings and a tap"
words = st.text(max_size=300).map(lambda text: printable(text)[0])


def texts(title: str, *lines: str, width: float = 40, height: float = 30) -> list[str]:
    """Return the rows of a label."""
    return [row.text for row in fit(title, lines, width, height).rows]


def test_short_words_are_printed_large() -> None:
    """In the largest size, title in bold, lines below it."""
    fitted = fit("22 nF", ("P-0042",), 40, 30)
    assert [(row.text, row.style, row.size) for row in fitted.rows] == [("22 nF", "B", SIZES[0]), ("P-0042", "", 12.8)]
    assert not fitted.cut


def test_a_figure_stays_with_its_unit() -> None:
    """450 at the end of one line and V at the beginning of the next would be read as two things."""
    assert texts("32+32 µF 450 V electrolytic", width=26) == ["32+32 µF", "450 V", "electrolytic"]


def test_a_compound_may_go_on_in_the_next_line() -> None:
    """After its hyphen; a winding of 250-0-250 V stays in one."""
    assert texts("film-polypropylene", width=26) == ["film-", "polypropylene"]
    assert texts("HT 250-0-250 V", width=24)[-1] == "250-0-250 V"


def test_a_long_title_shrinks_before_it_is_cut() -> None:
    """All of it stands there, in smaller type."""
    fitted = fit(LONG, ("P-0042", "drawer C2"), 40, 30)
    assert not fitted.cut
    assert " ".join(row.text for row in fitted.rows[:-2]) == LONG


def test_a_title_too_long_loses_its_end() -> None:
    """The value comes first in a title."""
    fitted = fit(LONG, ("P-0042", "drawer C2"), 30, 12)
    assert fitted.cut
    assert fitted.rows[0].text.startswith("mains transformer")
    assert [row.text[-1] for row in fitted.rows[:-2]][-1] == CUT
    assert [row.text for row in fitted.rows[-2:]] == ["P-0042", "drawer C2"]


def test_a_place_too_long_loses_its_middle() -> None:
    """Its end tells which one it is."""
    said = middle("cupboard by the window, third shelf, tray 17", 6, 30)
    head, tail = said.split(CUT)
    assert head.startswith("cupboard")
    assert tail.endswith("tray 17")


def test_with_little_height_the_number_stays() -> None:
    """Of the lines below the title the first ones are kept."""
    assert texts("22 nF 630 V", "P-0042", "drawer C2", height=5) == ["22 nF 630 V", "P-0042"]


def test_a_word_wider_than_its_room_is_broken_and_not_lost() -> None:
    """Nothing of it is missing."""
    fitted = fit("x" * 60, (), 20, 30)
    assert not fitted.cut
    assert "".join(row.text for row in fitted.rows) == "x" * 60


def test_a_word_is_broken_only_where_that_is_allowed() -> None:
    """Smaller type is tried first."""
    assert wrap("x" * 60, "B", 16, 20) is None


@settings(deadline=None)
@given(words, st.lists(words, max_size=3), st.floats(6, 120), st.floats(3, 60))
def test_words_keep_their_room(title: str, lines: list[str], width: float, height: float) -> None:
    """Whatever is said: no row wider than the room (one sign always stands), none below it, none over another."""
    rows = fit(title, lines, width, height).rows
    assert all(face(row.style).width(row.text, row.size) <= width + 1e-9 for row in rows)
    tops = [row.foot - row.size * ASCENT * POINT for row in rows]
    ends = [top + row.size * LEADING * POINT for row, top in zip(rows, tops, strict=True)]
    assert tops[0] >= -1e-9
    assert ends[-1] <= height + 1e-9
    assert all(after >= end - 1e-9 for end, (_, after) in zip(ends, pairwise(tops), strict=False))
