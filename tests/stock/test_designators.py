"""Designators in cells and at the ends of lines."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.stock.designators import designators, told_apart

CELLS = [
    ("R2,3, 5", ["R2", "R3", "R5"]),
    ("R14/15", ["R14", "R15"]),
    ("R11...R13", ["R11", "R12", "R13"]),
    ("R16 to R18", ["R16", "R17", "R18"]),
    ("C12-14", ["C12", "C13", "C14"]),
    ("C10A,B", ["C10A", "C10B"]),
    ("V1a, V1b", ["V1"]),
    ("C-1, C-2", ["C1", "C2"]),
    ("R19 & R20", ["R19", "R20"]),
    ("Rö1", ["RÖ1"]),
]

LINES = [
    ("C1 .05 600V", ("C1", ".05 600V")),
    ("R5, R6 - 220k 1 watt", ("R5, R6", "220k 1 watt")),
    ("R9 1500", ("R9", "1500")),
    ("R1, 470", ("R1", "470")),
    ("2x C1,C2 22n", ("C1,C2", "2 x 22n")),
    ("2  0.1uF 630V   C3, C4", ("C3, C4", "0.1uF 630V")),
    ("1  0.05 400V (C9)", ("C9", "0.05 400V")),
    ("6BQ5 x2 V2 V3", ("V2 V3", "6BQ5 x2")),
    ("4.7k, R4", ("R4", "4.7k")),
]


@pytest.mark.parametrize(("cell", "names"), CELLS)
def test_a_cell_names_every_designator(cell: str, names: list[str]) -> None:
    """Whatever joins them; the halves of a valve are one valve."""
    assert designators(cell) == names


@pytest.mark.parametrize(("line", "parted"), LINES)
def test_a_line_is_told_apart(line: str, parted: tuple[str, str]) -> None:
    """At either end; a count that the designators give again is no value."""
    assert told_apart(line) == parted


@pytest.mark.parametrize("line", ["Intercom amplifier, parts list", "EL84 2 off", "R1,470", "0.1uF 400V", ""])
def test_a_line_without_designators_is_left(line: str) -> None:
    """A table of commas is not cut here either."""
    assert told_apart(line) is None


@given(
    st.sets(st.integers(1, 500), min_size=1, max_size=30), st.sampled_from([", ", ",", " ", "/", " & ", "; ", " and "])
)
def test_a_group_gives_back_what_was_joined(numbers: set[int], joint: str) -> None:
    """No designator is lost or made up, whatever stands between them."""
    names = [f"R{number}" for number in sorted(numbers)]
    assert designators(joint.join(names)) == names


@given(st.integers(1, 900), st.integers(1, 99), st.sampled_from(["-", "–", " - ", "..", "...", " to ", " bis "]))
def test_a_range_names_each_between(first: int, more: int, sign: str) -> None:
    """Both ends included."""
    wanted = [f"C{number}" for number in range(first, first + more + 1)]
    assert designators(f"C{first}{sign}C{first + more}") == designators(f"C{first}{sign}{first + more}") == wanted


@pytest.mark.parametrize("text", ["F1 T1A", "F1: T1A", "FS1 F2A", "F1, F2 T1A"])
def test_the_speed_of_a_fuse_is_no_designator(text: str) -> None:
    """T1A behind the designator of a fuse is its marking; behind that of a transformer it is one more."""
    found = told_apart(text)
    assert found is not None
    assert found[1] == text.split()[-1]
    assert designators("T1 T1A") == ["T1", "T1A"]
