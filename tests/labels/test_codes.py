"""What a code holds, and how large and how well protected it is."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from partsbin.errors import UsageError
from partsbin.labels.codes import (
    LEAST,
    MOST,
    QUIET,
    Room,
    Scanned,
    code_of_part,
    code_of_place,
    code_on_page,
    read_code,
    symbol,
)
from tests.expected import by_hand

DOT = 25.4 / 203
NAMES = st.text(st.characters(exclude_categories=("Cs",)), min_size=1, max_size=200)


@settings(deadline=None)
@given(st.integers(1, 2**53 - 1))
def test_the_code_of_a_part_is_read_back(ident: int) -> None:
    """Whatever its number."""
    number = f"P-{ident:04d}"
    assert read_code(code_of_part(number)) == Scanned(part=number)


@settings(deadline=None)
@given(NAMES)
def test_the_code_of_a_place_is_read_back(name: str) -> None:
    """Sign by sign: the name is what the catalogue knows it by, even if it looks like a part's number."""
    assert read_code(code_of_place(name)) == Scanned(place=name)


@settings(deadline=None)
@given(NAMES, st.sampled_from(["http://192.0.2.7:8071", "https://bench.example/", "http://[::1]:8071"]))
def test_a_code_with_the_address_of_the_page_means_the_same(name: str, page: str) -> None:
    """Whoever reads it, the page or a scanner at the keyboard."""
    assert read_code(code_on_page(page, code_of_place(name))) == Scanned(place=name)


@pytest.mark.parametrize(
    "page", ["", "bench", "ftp://bench", "http://", "http://bench/jobs", "http://a b", "http://x@y"]
)
def test_what_is_no_address_of_the_page_is_refused(page: str) -> None:
    """Before a sheet of labels is printed with it."""
    with pytest.raises(UsageError, match="no address of the bench page"):
        code_on_page(page, "P-0042")


@pytest.mark.parametrize(
    "text",
    [
        "http://bench/part?code=P-0042",
        "http://bench/scan?code=",
        "x/scan?code=P-0042",
        "",
        "P-",
        "P-42",
        "p-0042",
        "P-0042 ",
        "P-00000",
        "PLACE:",
        "drawer C2",
        "place:x",
        "P-٠٠٤٢",
    ],
)
def test_another_text_is_none_of_ours(text: str) -> None:
    """A parcel's code beside the drawer names neither a part nor a place."""
    with pytest.raises(UsageError):
        read_code(text)


def test_a_module_is_as_large_as_the_label_allows() -> None:
    """Of a label 21.2 mm high, 2 mm unprinted above and below: the clear margin decides."""
    expected = by_hand(21.2 / 29, "21 modules and four clear ones on either side", of=Room.module)
    assert Room(21.2, 2.0, 2.0).module(21) == expected


def test_the_unprinted_edge_may_be_the_clear_margin() -> None:
    """4.5 mm unprinted on either side are more than four modules: the code takes the rest."""
    expected = by_hand((21.2 - 9.0) / 21, "21 modules between the unprinted edges", of=Room.module)
    assert Room(21.2, 4.5, 4.5).module(21) == expected


def test_with_room_a_code_has_the_strongest_level_and_no_larger_modules_than_are_of_use() -> None:
    """Level H; the words keep what is left."""
    made = symbol("P-0042", Room(60), Room(60))
    assert (made.level, made.module, len(made.rows)) == ("H", MOST, 21)


@pytest.mark.parametrize(("side", "level"), [(32.1, "H"), (29.1, "Q"), (26.1, "M"), (23.1, "L")])
def test_a_long_name_gives_up_protection_before_it_gives_up(side: float, level: str) -> None:
    """A name of 200 signs takes 77, 69, 61 or 53 modules by level, and eight clear ones."""
    made = symbol(code_of_place("n" * 200), Room(side), Room(side), dot=DOT)
    assert made.level == level
    assert made.module >= LEAST


def test_a_name_that_does_not_fit_is_refused_with_both_figures() -> None:
    """What it needs at least, and what there is."""
    with pytest.raises(
        UsageError, match=r"needs 23\.0 mm with its clear margin: the label has 40\.0 × 20\.0 mm for it"
    ):
        symbol(code_of_place("n" * 200), Room(40), Room(20), dot=DOT)


def test_a_name_beyond_any_code_is_refused() -> None:
    """Whatever the label."""
    with pytest.raises(UsageError, match=r"n… \(10006 signs\)' is more than a code can hold"):
        symbol(code_of_place("n" * 10_000), Room(1000), Room(1000))


def test_a_name_beyond_plain_letters_says_how_it_is_written() -> None:
    """Twelve bits say UTF-8, so that no scanner has to guess: at level H, 14 bytes no longer fit 25 modules."""
    plain, marked = (symbol(code_of_place(name), Room(60), Room(60)) for name in ("nnnnnnnn", "üüüü"))
    assert (len(plain.rows), len(marked.rows)) == (25, 29)


@settings(deadline=None)
@given(
    st.integers(1, 80),
    st.floats(15, 80),
    st.floats(15, 80),
    st.floats(0, 4),
    st.sampled_from([0.0, DOT, 25.4 / 300, 25.4 / 600]),
)
def test_a_code_keeps_its_room(length: int, wide: float, high: float, edge: float, dot: float) -> None:
    """With its clear margin and clear of the edges, modules of whole dots and not too small; or it is refused."""
    across, down = Room(wide, edge), Room(high, edge, edge)
    try:
        made = symbol("n" * length, across, down, dot=dot)
    except UsageError:
        return
    slack = 1e-9 - dot
    assert LEAST <= made.module <= MOST
    assert made.quiet == QUIET * made.module
    assert max(edge, made.quiet) + made.side + made.quiet <= wide + slack
    assert max(edge, made.quiet) + made.side + max(edge, made.quiet) <= high + slack
    assert not dot or made.module / dot == pytest.approx(round(made.module / dot))


def test_the_bars_cover_the_dark_modules_and_no_others() -> None:
    """Each run once."""
    made = symbol("P-0042", Room(40), Room(40))
    drawn = {
        (round((left + at * made.module) / made.module), round(top / made.module))
        for left, top, long in made.bars()
        for at in range(round(long / made.module))
    }
    assert drawn == {(x, y) for y, row in enumerate(made.rows) for x, dark in enumerate(row) if dark}
