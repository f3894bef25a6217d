"""Lines of trade language while a donor is stripped: understood, kept as unsure, or refused; never guessed, never lost."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from partsbin.stock.stripping import Sitting, Taken
from tests.expected import by_hand


def _take(*lines: str, place: str = "") -> Taken:
    sitting = Sitting("D-007", place)
    return [sitting.take(line) for line in lines][-1]


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("OPT 45:1 Rp 380 ; place B3", "output transformer 45:1 → B3"),
        ("2x 22k 1/2W", "resistor: 2 × 22 kΩ 0.5 W → box 1"),
        ("EL84 ; new", "valve: EL84, new → box 1"),
        ("IF can 470 kHz ; 2 of these ; note squeaky", "coil: 2 × IF transformer 470 kHz (squeaky) → box 1"),
        ("choke 10H 60mA 350R", "choke 10 H 60 mA 350 Ω → box 1"),
    ],
)
def test_a_line_is_read_back_in_a_few_words(line: str, said: str) -> None:
    """What it is, how many, where it goes."""
    assert _take(line, place="box 1").said == said


def test_what_comes_from_a_donor_is_salvaged_and_keeps_its_words() -> None:
    """The words stand as its marking."""
    draft = _take("22n 400V film").draft
    assert draft is not None
    assert (draft.condition, draft.donor, draft.marking) == ("salvaged", "D-007", "22n 400V film")


def test_a_place_holds_until_another_is_named() -> None:
    """On a line of its own it stands for those after it; behind a part for that part alone."""
    sitting = Sitting("D-007")
    places = [
        taken.draft.place
        for line in ("place box B3", "EL84", "EF89 ; place tin", "EZ80")
        if (taken := sitting.take(line)).draft is not None
    ]
    assert places == ["box B3", "tin", "box B3"]


def test_more_of_them_changes_the_part_before() -> None:
    """Count, roughness, and that nobody tested them."""
    draft = _take("250k log pot", "about 3 of them, untested").draft
    assert draft is not None
    assert (draft.count, draft.rough, draft.note) == (3, True, "untested")


def test_more_of_what_was_refused_is_refused() -> None:
    """It must not be taken to speak of the part before that."""
    assert _take("EL84", "wibble", "3 of them").kind == "refused"


def test_readings_behind_a_part_are_taken_with_their_section() -> None:
    """Several are separated by commas."""
    draft = _take("16+16uF 450V can ; read capacitance@1=15.2uF, leakage@1=20uA@350V").draft
    assert draft is not None
    assert [(r.quantity, r.value) for r in draft.readings] == [
        ("capacitance@1", pytest.approx(15.2e-6)),
        ("leakage@1", pytest.approx(20e-6)),
    ]


def test_what_was_read_with_an_instrument_has_its_accuracy() -> None:
    """By hand: 0.5 % of 15.2 µF and 3 digits of 0.1 µF are 0.376 µF; what is written beside the value goes before."""
    sitting = Sitting("D-007", accuracies={"LCR": "0.5%+3d"})
    draft = sitting.take("16+16uF 450V can ; read capacitance@1=15.2uF, capacitance@2=16uF±1uF with the lcr").draft
    assert draft is not None
    assert [(r.instrument, r.uncertainty) for r in draft.readings] == [
        ("LCR", by_hand(0.376e-6, "0.005 · 15.2 + 3 · 0.1 µF", of=Sitting)),
        ("LCR", pytest.approx(1e-6)),
    ]


def test_a_part_that_its_words_call_broken_is_refused() -> None:
    """It is not shelved, and the line is told."""
    taken = _take("EL84 blown")
    assert (taken.kind, taken.draft) == ("refused", None)
    assert "broken" in taken.said


def test_of_several_readings_only_what_all_of_them_say_is_kept() -> None:
    """A code or the value itself: the capacitance stays unknown, the words stand as the title."""
    taken = _take("capacitor 470K")
    assert taken.kind == "unsure"
    assert taken.draft is not None
    assert (taken.draft.title, taken.draft.facts.model_dump().get("capacitance")) == ("capacitor 470K", None)
    assert len(taken.readings) == 2


def test_the_one_that_was_meant_is_taken() -> None:
    """By its number."""
    draft = Sitting("D-007").take("capacitor 470K", chosen=2).draft
    assert draft is not None
    assert draft.facts.model_dump()["capacitance"] == pytest.approx(470e-12)


def test_a_word_that_only_names_the_family_is_kept_as_it_is_called() -> None:
    """What is not known stays unknown."""
    taken = _take("mains transformer, very hot, no label")
    assert taken.draft is not None
    assert taken.draft.family == "transformer"


def test_a_remark_is_no_part() -> None:
    """Nor is an empty line."""
    assert {_take(line).kind for line in ("# valves first", "   ")} == {"remark"}


@given(st.text(max_size=60))
def test_whatever_is_typed_is_taken_or_refused(line: str) -> None:
    """No exception; what is shelved has a family and a count; what is refused says why."""
    taken = Sitting("D-007").take(line)
    if taken.draft is not None:
        assert 0 < taken.draft.count <= 1_000_000
    else:
        assert taken.said or taken.kind in ("remark", "place")
