"""Bands, beads and stripes: all from memory, so never sure; the arithmetic is worked by hand."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.notation.colour import MULTIPLIERS
from partsbin.notation.colour_bands import ceramic_bands, paper_bands, polyester_stripes, tantalum_bead
from partsbin.notation.colour_dots import Painted
from tests.expected import by_hand

SCHEMES: tuple[Callable[[Sequence[str]], list[Painted]], ...] = (
    ceramic_bands,
    paper_bands,
    polyester_stripes,
    tantalum_bead,
)


def one(ways: list[Painted]) -> Painted:
    """The only reading."""
    (way,) = ways
    return way


def test_five_bands_of_a_ceramic_begin_with_the_drift() -> None:
    """Violet is N750; 47 and one nought in pF; white is 10 % above 10 pF."""
    way = one(ceramic_bands(["violet", "yellow", "violet", "brown", "white"]))
    assert float(way.capacitance) == by_hand(470e-12, "47 x 10 pF", of=ceramic_bands)
    assert (way.coefficient, way.dielectric) == ("U2J", "ceramic-1")
    assert way.limits is not None
    assert float(way.limits[1]) == by_hand(0.1, "10 per cent", of=ceramic_bands)


def test_small_ceramics_have_their_tolerance_in_picofarads() -> None:
    """Green is half a picofarad on 4.7 pF."""
    way = one(ceramic_bands(["black", "yellow", "violet", "white", "green"]))
    assert float(way.capacitance) == by_hand(4.7e-12, "47 x 0.1 pF", of=ceramic_bands)
    assert way.limits is not None
    assert float(way.limits[1]) == by_hand(0.10638, "0.5 / 4.7", of=ceramic_bands)


def test_six_bands_of_a_ceramic_leave_the_drift_unread() -> None:
    """Two bands for it: value and tolerance are those of the last four."""
    way = one(ceramic_bands(["violet", "red", "yellow", "violet", "brown", "white"]))
    assert float(way.capacitance) == by_hand(470e-12, "47 x 10 pF", of=ceramic_bands)
    assert way.coefficient == ""
    assert "violet red as temperature coefficient is not read" in way.notes[0]


@pytest.mark.parametrize(("volts", "bands"), [(400.0, ["yellow"]), (1000.0, ["brown", "black"])])
def test_paper_has_one_band_for_volts_and_two_above_900(volts: float, bands: list[str]) -> None:
    """Hundreds of volts."""
    way = one(paper_bands(["red", "red", "orange", "silver", *bands]))
    assert float(way.voltage or 0) == by_hand(volts, "digits x 100 V", of=paper_bands)


def test_a_bead_is_in_microfarads() -> None:
    """The spot is the multiplier, the last band the volts."""
    way = one(tantalum_bead(["yellow", "violet", "white", "pink"]))
    assert float(way.capacitance) == by_hand(4.7e-6, "47 x 0.1 µF", of=tantalum_bead)
    assert way.voltage == 35


def test_a_bead_without_its_last_band_has_no_volts() -> None:
    """Three colours are the value alone."""
    assert one(tantalum_bead(["yellow", "violet", "white"])).voltage is None


def test_stripes_of_polyester_are_in_picofarads() -> None:
    """Brown, black, yellow is 0.1 µF; the last stripe has the volts."""
    way = one(polyester_stripes(["brown", "black", "yellow", "white", "red"]))
    assert float(way.capacitance) == by_hand(1e-7, "10 x 10^4 pF", of=polyester_stripes)
    assert way.voltage == 250


@pytest.mark.parametrize(
    ("scheme", "colours"),
    [
        (ceramic_bands, ["black", "red", "gold", "red", "green"]),
        (ceramic_bands, ["black", "red", "red", "red", "gold"]),
        (ceramic_bands, ["red", "red"]),
        (paper_bands, ["red", "red", "orange", "silver", "gold"]),
        (paper_bands, ["red", "red", "orange", "silver", "black"]),
        (tantalum_bead, ["yellow", "violet", "green"]),
        (tantalum_bead, ["yellow", "violet", "white", "red"]),
        (polyester_stripes, ["brown", "black", "yellow", "red", "red"]),
    ],
)
def test_colours_that_cannot_stand_so_are_not_read(
    scheme: Callable[[Sequence[str]], list[Painted]], colours: list[str]
) -> None:
    """A colour that the scheme has no meaning for is no guess."""
    assert scheme(colours) == []


@given(st.lists(st.sampled_from(sorted(MULTIPLIERS)), max_size=8))
def test_nothing_from_memory_is_sure(colours: list[str]) -> None:
    """And every reading says so."""
    for scheme in SCHEMES:
        for way in scheme(colours):
            assert not way.sure
            assert "from memory" in way.notes[0]
            assert way.capacitance > 0
