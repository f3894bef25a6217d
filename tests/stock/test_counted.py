"""How many there are, as people write it."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.stock.counted import count_in, read_count
from partsbin.stock.designators import designated

COUNTS = [
    ("3", 3, False),
    ("2 off", 2, False),
    ("3x", 3, False),
    ("x6", 6, False),
    ("12 Stück", 12, False),
    ("3 St.", 3, False),
    ("4 pc", 4, False),
    ("5 pieces", 5, False),
    ("1,200", 1200, False),
    ("1 500", 1500, False),
    ("12.0", 12, False),
    ("ca. 50", 50, True),
    (">20", 20, True),
    ("20+", 20, True),
    ("100 (approx)", 100, True),
    ("10-12", 10, True),
    ("a few", 1, True),
    ("two", 2, False),
    ("2 pairs", 4, False),
    ("none", 0, False),
]


@pytest.mark.parametrize(("text", "count", "rough"), COUNTS)
def test_a_count_is_read_as_people_write_it(text: str, count: int, rough: bool) -> None:
    """With words of pieces, thousands set apart, sets, and how sure the writer was."""
    assert read_count(text)[:2] == (count, rough)


@pytest.mark.parametrize("text", ["-3", "heaps of", "2.5", "²", "12-10", "9" * 30, "=1+2"])
def test_what_is_no_count_is_none(text: str) -> None:
    """Never a guess."""
    assert read_count(text).many is None


@given(st.integers(0, 10**7), st.sampled_from(["{}", "{}x", "x{}", "{} off", "{:,}", "about {}", "{} Stk", "({})"]))
def test_every_way_of_writing_a_count_gives_it_back(count: int, way: str) -> None:
    """In brackets it stands in descriptions only."""
    text = way.format(count)
    found = count_in(f"EL84 {text}")[1].many if "(" in way else read_count(text).many
    assert found == (count if "(" not in way or count < 100 else None)


SAID = [
    ("ECC83 x4 NOS", "ECC83 NOS", 4),
    ("ECC83 2x", "ECC83", 2),
    ("2 off EL84", "EL84", 2),
    ("470k 1/2W (20)", "470k 1/2W", 20),
    ("100n/400V (4 pcs)", "100n/400V", 4),
    ("EL84 - 6 used", "EL84 used", 6),
    ("22n 630V: 3", "22n 630V", 3),
    ("EL34 ........ 2", "EL34", 2),
    ("EL34 matched pair", "EL34", 2),
]


@pytest.mark.parametrize(("text", "rest", "count"), SAID)
def test_a_count_is_told_from_the_description(text: str, rest: str, count: int) -> None:
    """Wherever it stands."""
    found, counted = count_in(text)
    assert (found, counted.many) == (rest, count)


@pytest.mark.parametrize(
    "text",
    ["can 18 x 35 mm", "E88CC (6922)", "ECC82 = 5963", "PX4 - 300", "OPT 45:1", "32+32uF 450V", "22n 630V", "R - 68 R - 2W",
     "22 nF - 63 V - polyester", "2 x 12 x 30 mm 22nF"],
)  # fmt: skip
def test_a_size_a_ratio_and_a_value_are_no_counts(text: str) -> None:
    """The description stays as it is."""
    assert count_in(text) == (text, (None, False, ""))


def test_several_counts_in_a_line_are_said() -> None:
    """They are of several parts, and nobody can tell which is which."""
    assert count_in("22n 630V x12, 47n 630V x4")[1] == (None, False, "several counts in one line: one line, one part")


@pytest.mark.parametrize(
    ("text", "many"), [("C1, C2, C5-C7", 5), ("R4", 1), ("R1-R4", 4), ("V2,V3", 2), ("", 0), ("C1-R5", 2)]
)
def test_designators_are_counted(text: str, many: int) -> None:
    """A range stands for what it spans, if it is one."""
    assert designated(text) == many
