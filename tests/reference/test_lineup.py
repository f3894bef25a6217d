"""What a line-up of valve types says about a set."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.reference.valves import lineup, valves

TYPES = [one.type for one in valves()]

WRITTEN = [
    ("ECC83 2xECL86 EZ81", [(1, "ECC83"), (2, "ECL86"), (1, "EZ81")]),
    ("ECH81, EBF89, 2×EL84", [(1, "ECH81"), (1, "EBF89"), (2, "EL84")]),
    ("UCH42+UF41+UBC41+UL41+UY41", [(1, "UCH42"), (1, "UF41"), (1, "UBC41"), (1, "UL41"), (1, "UY41")]),
    ("ECH81-EBF89-EL84", [(1, "ECH81"), (1, "EBF89"), (1, "EL84")]),
    ("ECH81 / EL84 / EZ80", [(1, "ECH81"), (1, "EL84"), (1, "EZ80")]),
    ("ECH81 and EL84 und EZ80", [(1, "ECH81"), (1, "EL84"), (1, "EZ80")]),
    ("ecc 83; el-84 & ez 80", [(1, "ECC83"), (1, "EL84"), (1, "EZ80")]),
    ("2 x EL 84", [(2, "EL84")]),
    ("2x EL84", [(2, "EL84")]),
    ("2xEL 84", [(2, "EL84")]),
    ("2*EL84", [(2, "EL84")]),
    ("2 EL84 EZ81", [(2, "EL84"), (1, "EZ81")]),
    ("EL84 x2, ECC83", [(2, "EL84"), (1, "ECC83")]),
    ("EL84 x 2 EZ80", [(2, "EL84"), (1, "EZ80")]),
    ("EL84×2", [(2, "EL84")]),
    ("EL84 (2) EZ80", [(2, "EL84"), (1, "EZ80")]),
    ("EL84 (2x) EZ80", [(2, "EL84"), (1, "EZ80")]),
    ("6V6 GT, 6X4", [(1, "6V6GT"), (1, "6X4")]),
    ("2 x 42, 80", [(2, "42"), (1, "80")]),
    ("6BQ5/EL84 12AX7", [(1, "EL84"), (1, "ECC83")]),
    ("EL84/EL84", [(1, "EL84"), (1, "EL84")]),
    ("ECH81 (EZ80).", [(1, "ECH81"), (1, "EZ80")]),
]


@pytest.mark.parametrize(("text", "expected"), WRITTEN)
def test_a_lineup_is_split_into_counted_valves(text: str, expected: list[tuple[int, str]]) -> None:
    """Any separator; counts before or behind; spaces and hyphens within a type."""
    found = lineup(text)
    assert [(item.count, item.valve.type) for item in found.valves] == expected
    assert found.unknown == ()


@pytest.mark.parametrize(
    ("text", "known", "unknown"),
    [
        ("ECH81 XY99 EL84", 2, ("XY99",)),
        ("2xXY99 EL84", 1, ("2xXY99",)),
        ("XY99 x2 EL84", 1, ("XY99x2",)),
        ("12X4 2X2 6X9", 0, ("12X4", "2X2", "6X9")),
        ("EL84 2", 1, ("2",)),
        ("EL84/XY99", 0, ("EL84/XY99",)),
        ("", 0, ()),
    ],
)
def test_what_is_not_known_is_kept_as_written(text: str, known: int, unknown: tuple[str, ...]) -> None:
    """A count belongs to the unknown type beside it, never to the next valve; X may be part of a type."""
    found = lineup(text)
    assert len(found.valves) == known
    assert found.unknown == unknown


def test_output_valves_are_counted_over_all_names() -> None:
    """An EL84 and a 6BQ5 are two alike."""
    output = lineup("EL84 ECC83 6BQ5 EZ81").output
    assert output is not None
    assert (output.count, output.valve.type) == (2, "EL84")


def test_rectifier_is_found() -> None:
    """Two half-wave rectifiers are counted together; a set without one has none."""
    rectifier = lineup("2xUY1N UBL21 UCH21").rectifier
    assert rectifier is not None
    assert (rectifier.count, rectifier.valve.type) == (2, "UY1N")
    assert lineup("ECC83 EL84").rectifier is None


TOPOLOGIES = [
    ("ECH81 EBF89 EABC80 EL84 EZ80", "single-ended", "1 EL84: one output valve works single-ended"),
    ("ECC83 2xEL84 EZ81", "push-pull", "2 EL84: push-pull, unless two channels single-ended"),
    ("ECC83 4xEL84 GZ34", None, "4 EL84: push-pull in parallel, or several channels"),
    ("ECL82 EL84", None, "output valves of several types"),
    ("ECC83 EZ80", None, "no output valve"),
    ("EL84 XY99", "single-ended", "1 EL84: one output valve works single-ended; not known here: XY99"),
]


@pytest.mark.parametrize(("text", "value", "why"), TOPOLOGIES)
def test_topology_is_guessed_from_the_number_of_output_valves(text: str, value: str | None, why: str) -> None:
    """One is single-ended, two alike push-pull; the guess is practice and names what it does not know."""
    found = lineup(text)
    assert (found.topology.value, found.topology.standing, found.topology.why) == (value, "practice", why)
    assert (found.single_ended, found.push_pull) == (value == "single-ended", value == "push-pull")


LOADS = [
    ("EL84 EZ80", 5200.0, "read", "1 EL84 single-ended: 5200 ohm at 250 V"),
    ("2xEL84 EZ81", 8000.0, "memory", "2 EL84 push-pull: 8000 ohm anode to anode at 300 V"),
    ("2xEL3N AZ1", 10e3, "read", "2 EL3N push-pull: 10000 ohm anode to anode at 250 V"),
    ("N709", 5200.0, "memory", "1 EL84 single-ended: 5200 ohm at 250 V"),
    ("2xECL86", None, "practice", "2 ECL86 push-pull: no load known here"),
    ("EF86", None, "practice", "no output valve"),
]


@pytest.mark.parametrize(("text", "load", "standing", "why"), LOADS)
def test_load_follows_from_output_valves_and_topology(text: str, load: float | None, standing: str, why: str) -> None:
    """With the standing of the figure, and of the name it was found under."""
    found = lineup(text).load
    assert (found.value, found.standing, found.why) == (load, standing, why)


@given(
    names=st.lists(st.tuples(st.integers(1, 9), st.sampled_from(TYPES)), min_size=1, max_size=8),
    gap=st.sampled_from([" ", ", ", " + ", "; ", "\n"]),
    sign=st.sampled_from(["x", "×", " x ", "× ", "*"]),
)
def test_every_listed_type_is_read_back_with_its_count(names: list[tuple[int, str]], gap: str, sign: str) -> None:
    """Types such as 6X4, 80 and 84 are not torn into counts and rests."""
    found = lineup(gap.join(f"{count}{sign}{name}" for count, name in names))
    assert [(item.count, item.valve.type) for item in found.valves] == names
    assert found.unknown == ()


@given(names=st.lists(st.sampled_from(TYPES), min_size=1, max_size=8))
def test_types_without_counts_are_read_back(names: list[str]) -> None:
    """One valve each, in the order written."""
    found = lineup(" ".join(names))
    assert [(item.count, item.valve.type) for item in found.valves] == [(1, name) for name in names]


@given(text=st.text(max_size=200))
def test_no_text_breaks_the_reading(text: str) -> None:
    """Whatever is typed, the words come back known or unknown."""
    found = lineup(text)
    assert all(1 <= item.count <= 9 for item in found.valves)
