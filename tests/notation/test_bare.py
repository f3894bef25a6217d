"""Numbers without a unit on a capacitor: what they may mean, by size, rating and dielectric."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.notation.bare import SMALL, WET, bare_value, section_lists
from tests.expected import by_hand

MICRO, PICO, NANO = Decimal("1E-6"), Decimal("1E-12"), Decimal("1E-9")


@pytest.mark.parametrize(
    ("text", "dielectric", "rated", "values", "sure"),
    [
        (".05", "", True, [50 * NANO], True),
        (".05", "", False, [50 * NANO], False),
        (".05", "paper", False, [50 * NANO], True),
        (".05", "mica", True, [50 * NANO], False),
        (".001", "mica", True, [NANO], True),
        ("104", "", False, [100 * NANO], True),
        ("250", "", False, [250 * PICO], False),
        ("470", "", False, [470 * PICO, 47 * PICO], False),
        ("470", "", True, [470 * PICO, 470 * MICRO, 47 * PICO], False),
        ("470", "mica", True, [470 * PICO], True),
        ("470", "ceramic", True, [470 * PICO, 47 * PICO], False),
        ("47", "ceramic", True, [47 * PICO], True),
        ("8", "", True, [8 * MICRO, 8 * PICO], False),
        ("8", "electrolytic", False, [8 * MICRO], True),
        ("104", "electrolytic", False, [104 * MICRO, 100 * NANO], False),
        ("0", "", False, [], True),
        ("1000000", "", False, [], True),
    ],
)
def test_a_bare_number_means_what_its_company_says(
    text: str, dielectric: str, rated: bool, values: list[Decimal], sure: bool
) -> None:
    """The likelier first; sure only where one reading is left."""
    found = bare_value(text, Decimal(text), dielectric, rated)
    assert [mark.capacitance for mark in found] == values
    assert all(mark.sure is sure and mark.note for mark in found)


def test_the_american_way_of_writing_is_micro_below_one_and_pico_above() -> None:
    """.05 and 250, as US diagrams have them (from memory)."""
    small, large = bare_value(".05", Decimal(".05"), "paper", True)[0], bare_value("250", Decimal(250), "mica", True)[0]
    assert float(small.capacitance) == by_hand(50e-9, "0.05 × 10^-6", of=bare_value)
    assert float(large.capacitance) == by_hand(250e-12, "250 × 10^-12", of=bare_value)


@given(
    st.decimals(0, 200_000, places=3),
    st.sampled_from(["", "paper", "film", *sorted(WET), *sorted(SMALL)]),
    st.booleans(),
)
def test_several_readings_are_never_sure(number: Decimal, dielectric: str, rated: bool) -> None:
    """Whatever the number."""
    found = bare_value(str(number), number, dielectric, rated)
    assert len(found) < 2 or not any(mark.sure for mark in found)


@pytest.mark.parametrize(
    ("numbers", "between", "unit", "dielectric", "can", "ways", "sure"),
    [
        ("16 16 8", "-", False, "", False, 1, False),
        ("16 16 8", "-", False, "", True, 1, True),
        ("16 16 8", "-", False, "electrolytic", False, 1, True),
        ("8 8", "+", False, "", False, 1, False),
        ("40 60", "+", False, "", False, 1, False),
        ("40 60", "-", False, "", False, 2, False),
        ("60 40", "-", False, "", False, 1, False),
        ("40 60", "-", False, "", True, 1, True),
        ("0 250", "-", False, "", False, 0, True),
    ],
)
def test_a_list_is_sections_unless_it_may_be_a_range(
    numbers: str, between: str, unit: bool, dielectric: str, can: bool, ways: int, sure: bool
) -> None:
    """Only two rising numbers with a dash may be "from a to b"."""
    found = section_lists([tuple(Decimal(n) for n in numbers.split())], between, unit, dielectric, can)
    assert len(found) == ways
    assert all(way.sure is sure for way in found)


def test_a_range_in_picofarads_is_likelier_a_range() -> None:
    """3-30 pF is a trimmer."""
    ranged, flat = section_lists([(3 * PICO, 30 * PICO)], "-", True, "", False)
    assert [(section.low, section.capacitance) for section in ranged.sections] == [(3 * PICO, 30 * PICO)]
    assert len(flat.sections) == 2
